//! A lesson for a sound that a note is on: words that have it where the note says, and a chain of words with it.

use std::collections::BTreeSet;

use soundbead_data::Sound;
use soundbead_data::chain::{Chain, Graph, Limits, Range, WordList};
use soundbead_data::course::{Choice, CourseWord, CourseWords};
use soundbead_data::{Rules, inventory};

use super::tonight::plain_choices;
use crate::notebook::WhereInWord;
use crate::plan::{Content, Plan, PlanItem, PlanWord};

/// Words that are offered.
const WORDS: usize = 10;
/// Choices whose letters are plain: words that meet no others come first, red and run before road and right.
const PLAINEST: [Choice; 7] = [
    Choice::ShortVowel,
    Choice::Digraph,
    Choice::StartCluster,
    Choice::EndCluster,
    Choice::LostNasal,
    Choice::DoubledEnd,
    Choice::KSpelling,
];
/// Fewer words than these with the voiced th, and function words are offered too.
const FEWEST: usize = 3;
/// Fewest sounds of a word that is offered, and most.
const SOUNDS: std::ops::RangeInclusive<usize> = 2..=5;
/// Words of the chain; shorter where there is none of so many.
const CHAINS: [usize; 3] = [8, 6, 4];
/// Chains that are tried of each length.
const TRIES: u64 = 8;

/// What a lesson is wanted for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotedRequest {
    /// The sound.
    pub sound: Sound,
    /// Where in the word; none where the note leaves it open.
    pub place: Option<WhereInWord>,
}

impl NotedRequest {
    /// Whether a word has the sound where it is wanted. An r after a vowel belongs to the vowel: where the place is left open, words
    /// have the r of *red*.
    fn fits(&self, sounds: &[Sound]) -> bool {
        let before_vowel = |at: usize| sounds.get(at + 1).is_some_and(|next| next.is_vowel());
        let own = sounds.iter().enumerate().filter(|(_, s)| **s == self.sound);
        own.map(|(at, _)| (WhereInWord::of(sounds, at), at))
            .any(|(place, at)| match self.place {
                Some(wanted) => wanted == place,
                None => self.sound != Sound::R || before_vowel(at),
            })
    }

    /// The lesson. Words come from the graph's list.
    ///
    /// # Errors
    /// One line, where no frequent word has the sound there.
    pub fn answer(&self, graph: &Graph) -> Result<Plan, String> {
        let words = self.words(graph);
        let name = inventory::of(self.sound).shown();
        let at = self.place.map_or(String::new(), |place| format!(" {place}"));
        if words.is_empty() {
            return Err(format!("no frequent word has the sound {name}{at}"));
        }
        let item = |title: String, content: Content| PlanItem {
            title,
            note: String::new(),
            content,
        };
        let mut items = Vec::new();
        if let Some(chain) = self.chain(graph) {
            items.push(item(format!("A chain with {name}"), Content::Chain(chain)));
        }
        items.push(item(format!("Words with {name}{at}"), Content::Boxes(words)));
        Ok(Plan {
            title: format!("The sound {name}{at}"),
            rules: graph.rules().clone(),
            items,
            ..Plan::default()
        })
    }

    /// Short plain words of one syllable with the sound in its place: those with the plainest letters first, and of these the
    /// commonest. Function words too where there are hardly any others: this and them for the voiced th.
    fn fitting(&self, graph: &Graph) -> Vec<&'static CourseWord> {
        let all: BTreeSet<Choice> = plain_choices().collect();
        let block = &graph.list().block;
        let fits = |e: &&CourseWord| {
            let sounds = e.said.sounds();
            let vowels = sounds.iter().filter(|s| s.is_vowel()).count();
            vowels == 1 && SOUNDS.contains(&sounds.len()) && self.fits(sounds) && !block.blocks(&e.word)
        };
        let of = |fit: &dyn Fn(&CourseWord) -> bool| -> Vec<&'static CourseWord> {
            CourseWords::wider()
                .all()
                .iter()
                .filter(|e| fit(e))
                .filter(fits)
                .collect()
        };
        let mut words = of(&|e| e.fits(&all) && is_no_form(e));
        if words.len() < FEWEST && self.sound == Sound::DH {
            words = of(&|e| e.fits_though_small(&all));
        }
        words.sort_by_key(|e| e.met.iter().any(|(choice, _)| !PLAINEST.contains(choice)));
        words
    }

    /// The words that are offered.
    fn words(&self, graph: &Graph) -> Vec<PlanWord> {
        let words = self.fitting(graph).into_iter().take(WORDS);
        words.map(|e| PlanWord::new(e.word.clone())).collect()
    }

    /// A chain of plain words that all have the sound in its place, the commonest of those that are found.
    fn chain(&self, graph: &Graph) -> Option<Vec<PlanWord>> {
        let words = self.fitting(graph).into_iter().map(|e| e.word.clone());
        let list = WordList {
            range: Range::Given(words.collect()),
            ..graph.list().clone()
        };
        let own = Graph::new(&list, graph.rules());
        let limits = Limits {
            syllables: Some(1..=1),
            ..Limits::default()
        };
        let zipf = |word: &str| CourseWords::wider().get(word).map_or(0.0, |e| e.zipf);
        let common = |chain: &Chain| {
            chain
                .steps
                .iter()
                .map(|s| (100.0 * zipf(&s.word)) as usize)
                .sum::<usize>()
        };
        let placed = |chain: &Chain| chain.steps.iter().all(|s| self.fits(s.said.sounds()));
        let of_length = |length: usize| {
            let made = (0..TRIES).filter_map(|seed| own.practice(None, length, &limits, seed).ok());
            made.filter(placed).max_by_key(common)
        };
        let chain = CHAINS.into_iter().find_map(of_length)?;
        let steps = chain.steps.into_iter();
        Some(steps.map(|s| PlanWord::said_as(s.word, s.said)).collect())
    }
}

/// Whether a word has no ending: things ends with its -s, not with its th.
fn is_no_form(entry: &CourseWord) -> bool {
    let endings = [
        Choice::SEnding,
        Choice::EdEnding,
        Choice::DropsE,
        Choice::Doubling,
        Choice::YToI,
    ];
    endings.iter().all(|choice| !entry.meets(*choice))
}

/// The lesson for a note, from the family's own word list, by these rules.
///
/// # Errors
/// One line: the list cannot be read, or no frequent word has the sound there.
pub fn plan(folder: &std::path::Path, request: NotedRequest, rules: &Rules) -> Result<Plan, String> {
    let list = crate::store::word_list_in(folder, soundbead_data::chain::Range::Common);
    let list = list.map_err(|e| e.into_line("the word list"))?;
    request.answer(&Graph::new(&list, rules))
}

#[cfg(test)]
mod tests {
    use super::*;
    use soundbead_data::chain::WordList;

    fn said(word: &str) -> Vec<Sound> {
        let entry = soundbead_data::lexicon::look_up(word).unwrap();
        entry.variants().next().unwrap().sounds().to_vec()
    }

    #[test]
    fn every_word_has_the_sound_where_it_is_wanted_and_the_chain_changes_one_sound_at_a_time() {
        let graph = Graph::new(&WordList::default(), &Rules::default());
        for (sound, place) in [
            (Sound::TH, Some(WhereInWord::Start)),
            (Sound::TH, Some(WhereInWord::End)),
            (Sound::S, Some(WhereInWord::Cluster)),
            (Sound::R, None),
        ] {
            let request = NotedRequest { sound, place };
            let plan = request.answer(&graph).unwrap();
            let boxes = plan.items.last().unwrap();
            let words: Vec<_> = boxes.words().collect();
            assert!(words.len() >= 3, "{sound} {place:?}: {words:?}");
            assert!(words.iter().all(|w| request.fits(&said(&w.spelling))), "{words:?}");
            if let [chain, _] = &plan.items[..] {
                assert!(chain.words().all(|w| said(&w.spelling).contains(&sound)), "{chain:?}");
                let doubts = chain.doubts(&plan.rules, &Default::default());
                assert!(doubts.is_empty(), "{doubts:?}");
            }
        }
        let red = NotedRequest {
            sound: Sound::R,
            place: None,
        };
        let words: Vec<String> = red.words(&graph).into_iter().map(|w| w.spelling).collect();
        assert!(
            words.contains(&"red".to_owned()) && words.contains(&"run".to_owned()),
            "{words:?}"
        );
        let none = NotedRequest {
            sound: Sound::NG,
            place: Some(WhereInWord::Start),
        };
        assert!(none.answer(&graph).unwrap_err().contains("ng at the start"));
    }

    /// Every sound in every place that a note can name: each word has it there, before any ending, and is no function word where there
    /// are others; each word of the chain too.
    #[test]
    fn any_sound_in_any_place_gets_words_that_have_it_there() {
        let graph = Graph::new(&WordList::default(), &Rules::default());
        let places = [
            WhereInWord::Start,
            WhereInWord::Middle,
            WhereInWord::End,
            WhereInWord::Cluster,
        ];
        let mut found = 0;
        for sound in Sound::all() {
            for place in places.into_iter().map(Some).chain([None]) {
                let request = NotedRequest { sound, place };
                let Ok(plan) = request.answer(&graph) else { continue };
                found += 1;
                for word in plan.items.iter().flat_map(PlanItem::words) {
                    assert!(
                        request.fits(&said(&word.spelling)),
                        "{sound} {place:?}: {}",
                        word.spelling
                    );
                    let entry = CourseWords::wider().get(&word.spelling).unwrap();
                    assert!(
                        entry.is_plain() || sound == Sound::DH,
                        "{sound} {place:?}: {}",
                        word.spelling
                    );
                }
                if sound == Sound::TH && place == Some(WhereInWord::End) {
                    let ends = |w: &PlanWord| w.spelling.ends_with("th");
                    assert!(plan.items.iter().flat_map(PlanItem::words).all(ends), "{plan:?}");
                }
            }
        }
        println!("{found} lessons");
        assert!(found >= 90, "{found}");
    }
}
