//! A lesson for a sound that a note is on: words that have it where the note says, and a chain of words with it.

use soundbead_data::Sound;
use soundbead_data::chain::{Graph, Limits, Unit};
use soundbead_data::{Rules, inventory, surprise};

use crate::notebook::WhereInWord;
use crate::plan::{Content, Plan, PlanItem, PlanWord};

/// How frequent a word must be to be offered (Zipf scale: 4 is ten times in a million words).
const LEAST_ZIPF: f32 = 4.0;
/// Words that are offered.
const WORDS: usize = 10;
/// Fewest sounds of a word that is offered, and most.
const SOUNDS: std::ops::RangeInclusive<usize> = 2..=5;
/// Words of the chain; shorter where there is none of so many.
const CHAINS: [usize; 3] = [8, 6, 4];
/// Chains that are tried from each word.
const TRIES: u64 = 4;

/// What a lesson is wanted for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotedRequest {
    /// The sound.
    pub sound: Sound,
    /// Where in the word; none where the note leaves it open.
    pub place: Option<WhereInWord>,
}

impl NotedRequest {
    /// Whether a word has the sound where it is wanted.
    fn fits(&self, sounds: &[Sound]) -> bool {
        let own = sounds.iter().enumerate().filter(|(_, s)| **s == self.sound);
        own.map(|(at, _)| WhereInWord::of(sounds, at))
            .any(|place| self.place.is_none_or(|wanted| wanted == place))
    }

    /// The lesson. Words come from the graph's list.
    ///
    /// # Errors
    /// One line, where no frequent word has the sound there.
    pub fn answer(&self, graph: &Graph) -> Result<Plan, String> {
        let words = self.words(graph);
        let name = &inventory::of(self.sound).respelling;
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
        if let Some(chain) = self.chain(graph, &words) {
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

    /// Frequent short words of one syllable, the most frequent first.
    fn words(&self, graph: &Graph) -> Vec<PlanWord> {
        let mut frequent = graph.list().words();
        frequent.retain(|w| w.zipf >= LEAST_ZIPF && w.spelling.len() > 1 && surprise::find(&w.spelling).is_none());
        frequent.sort_by(|a, b| b.zipf.total_cmp(&a.zipf).then_with(|| a.spelling.cmp(&b.spelling)));
        let fits = |said: &[Sound]| {
            let vowels = said.iter().filter(|s| s.is_vowel()).count();
            vowels == 1 && SOUNDS.contains(&said.len()) && self.fits(said)
        };
        let fitting = frequent
            .into_iter()
            .filter(|w| w.variants.first().is_some_and(|v| fits(v.sounds())));
        fitting.take(WORDS).map(|w| PlanWord::new(w.spelling)).collect()
    }

    /// A chain of words that all have the sound, from the first of these from which there is one.
    fn chain(&self, graph: &Graph, words: &[PlanWord]) -> Option<Vec<PlanWord>> {
        let limits = Limits {
            syllables: Some(1..=1),
            count: Some(SOUNDS),
            with_sounds: vec![Unit::from(self.sound)],
            ..Limits::default()
        };
        let limits = &limits;
        let mut made = CHAINS.into_iter().flat_map(move |length| {
            words.iter().flat_map(move |word| {
                (0..TRIES).filter_map(move |seed| graph.practice(Some(&word.spelling), length, limits, seed).ok())
            })
        });
        let plain =
            |chain: &soundbead_data::chain::Chain| chain.steps.iter().all(|s| surprise::find(&s.word).is_none());
        let chain = made.find(plain)?;
        let steps = chain.steps.into_iter();
        Some(steps.map(|s| PlanWord::said_as(s.word, s.said)).collect())
    }
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
        let none = NotedRequest {
            sound: Sound::NG,
            place: Some(WhereInWord::Start),
        };
        assert!(none.answer(&graph).unwrap_err().contains("ng at the start"));
    }
}
