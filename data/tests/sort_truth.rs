//! Every place that a sort shows, over the whole list: the word has that sound there, and that spelling.

use soundbead_data::chain::WordList;
use soundbead_data::sort::{self, Corpus, Level, Member, Sorted};
use soundbead_data::{lexicon, spelling};

fn every(sorted: &Sorted) -> impl Iterator<Item = &Member> {
    let columns = sorted.columns.iter().chain(&sorted.others).flat_map(|c| &c.members);
    columns.chain(sorted.rules.iter().flat_map(|r| &r.exceptions))
}

#[test]
fn each_member_has_the_letters_and_sounds_claimed() {
    let corpus = Corpus::new(&WordList::default());
    assert!(corpus.words().len() > 20_000);
    for sort in sort::all() {
        let sorted = corpus.sort(sort);
        assert!(sorted.total() > 25, "{}: {}", sort.name, sorted.total());
        if ["homophones", "contractions"].contains(&sort.name) {
            continue;
        }
        for member in every(&sorted) {
            let said = &corpus.known(member).unwrap().said;
            assert!(
                lexicon::look_up(&member.word).unwrap().variants().any(|v| v == *said),
                "{}",
                member.word
            );
            let boxes = spelling::boxes(&member.word, said.sounds()).unwrap();
            let found = boxes
                .iter()
                .any(|b| b.letters == member.letters && b.sounds == member.sounds);
            assert!(found, "{}: {} in {boxes:?}", sort.name, member.word);
        }
        for (column, heading) in sorted.columns.iter().zip(sort.columns) {
            assert_eq!(column.heading, *heading);
            assert!(column.members.iter().all(|m| m.heading == *heading));
            assert!(column.members.windows(2).all(|pair| pair[0].zipf >= pair[1].zipf));
        }
        for rule in &sorted.rules {
            assert!(rule.of > 0, "{}: `{}` never speaks", sort.name, rule.when);
            let counted: usize = rule.shares.iter().map(|(_, n)| n).sum();
            assert_eq!(counted, rule.of);
            let broken = rule.of - rule.holds;
            assert!(
                rule.exceptions.len() <= broken && (rule.is_choice() || broken == 0 || !rule.exceptions.is_empty())
            );
            // A choice has no exceptions: every spelling there is one to choose.
            assert!(!rule.is_choice() || rule.exceptions.is_empty());
            let mut words: Vec<&str> = rule.exceptions.iter().map(|m| m.word.as_str()).collect();
            words.dedup();
            assert_eq!(words.len(), rule.exceptions.len(), "{}: a word stands twice", sort.name);
            assert!(rule.exceptions.iter().all(|m| m.heading != rule.then));
        }
    }
}

/// The headings against the words' own letters and sounds, worked out here by other ways than the boxes.
#[test]
fn headings_against_plain_letters() {
    let corpus = Corpus::new(&WordList::default());
    let words = |name: &str, heading: &str| {
        let sorted = corpus.sort(sort::find(name).unwrap());
        let column = sorted.columns.into_iter().find(|c| c.heading == heading).unwrap();
        column.members.into_iter().map(|m| m.word).collect::<Vec<_>>()
    };
    for (name, heading) in [
        ("k", "ck"),
        ("k", "qu"),
        ("j", "dge"),
        ("ch", "tch"),
        ("f", "ph"),
        ("long-a", "ai"),
        ("silent", "kn"),
    ] {
        assert!(
            words(name, heading).iter().all(|w| w.contains(heading)),
            "{name} {heading}"
        );
    }
    let end = |word: &str| {
        lexicon::look_up(word)
            .unwrap()
            .variants()
            .next()
            .unwrap()
            .sounds()
            .last()
            .unwrap()
            .arpabet()
    };
    assert!(words("ed", "t").iter().all(|w| w.ends_with("ed") && end(w) == "T"));
    assert!(words("ed", "id").iter().all(|w| w.ends_with("ed") && end(w) == "D"));
    assert!(
        words("doubling", "doubled")
            .iter()
            .filter(|w| w.ends_with("ing"))
            .all(|w| {
                let stem = w.strip_suffix("ing").unwrap().as_bytes();
                stem[stem.len() - 1] == stem[stem.len() - 2]
            })
    );
}

/// Facts of the trade (common practice, no source): what lessons teach as nearly without exception must come out so.
#[test]
fn what_lessons_teach_holds() {
    let corpus = Corpus::new(&WordList::default());
    let share = |name: &str, when: &str| {
        let sorted = corpus.sort(sort::find(name).unwrap());
        sorted
            .rules
            .iter()
            .find(|r| r.when.contains(when))
            .unwrap_or_else(|| panic!("{name} {when}"))
            .share()
    };
    for (name, when, least) in [
        ("k", "before a, o, u", 0.95),
        ("k", "right after a short vowel", 0.85),
        ("j", "before a, o or u", 0.95),
        ("j", "right after a short vowel", 0.95),
        ("ed", "after t or d", 0.99),
        ("ed", "without voice", 0.99),
        ("soft-c", "before e, i or y", 0.95),
        ("soft-c", "any other letter", 0.95),
        ("doubling", "one syllable", 0.9),
        ("doubling", "silent e", 0.99),
    ] {
        assert!(share(name, when) >= least, "{name}, {when}: {}", share(name, when));
    }
    // A rule that lessons know to be weak must not come out strong: g before e, i, y (get, give, girl).
    let g = share("soft-g", "before e, i or y");
    assert!((0.5..0.95).contains(&g), "{g}");
}

#[test]
fn ladders_differ_in_the_vowel_alone() {
    let corpus = Corpus::new(&WordList::default());
    let ladders = corpus.ladders(5, 3.0);
    assert!(ladders.len() > 50, "{}", ladders.len());
    for ladder in &ladders {
        assert!(ladder.rungs.len() >= 5);
        for (vowel, word) in &ladder.rungs {
            let said = corpus.word(word).unwrap().said.sounds();
            let wanted: Vec<_> = ladder.frame.iter().map(|s| s.unwrap_or(*vowel)).collect();
            assert_eq!(said, wanted, "{word}");
        }
    }
}

/// Facts of the trade (common practice, no source), each of which an earlier version had wrong.
#[test]
fn false_exceptions_stay_out() {
    let corpus = Corpus::new(&WordList::default());
    let exceptions = |name: &str| -> Vec<String> {
        let rules = corpus.sort(sort::find(name).unwrap()).rules;
        rules.into_iter().flat_map(|r| r.exceptions).map(|m| m.word).collect()
    };
    let doubling = exceptions("doubling");
    assert!(doubling.iter().all(|w| w != "dining" && w != "hoping"), "{doubling:?}");
    let j = exceptions("j");
    assert!(
        ["age", "page", "huge", "stage"]
            .iter()
            .all(|w| !j.iter().any(|x| x == w)),
        "{j:?}"
    );
    let ch = exceptions("ch");
    assert!(ch.iter().all(|w| w != "watch" && w != "swatch"), "{ch:?}");
    for (name, words) in [("ed", ["bed", "feed", "seed"]), ("long-a", ["plays", "played", "days"])] {
        let sorted = corpus.sort(sort::find(name).unwrap());
        let none = every(&sorted).all(|m| !words.contains(&m.word.as_str()));
        assert!(none, "{name}");
    }
}

/// The words of a sheet are those that the level names, 12 to 24 of them, and none twice.
#[test]
fn a_sheet_is_of_common_words() {
    let corpus = Corpus::new(&WordList::default());
    for sort in sort::all() {
        let sorted = corpus.sort_at(sort, Level::Known);
        let columns = sort::sheet(&sorted, 24, 0);
        let words: Vec<&Member> = columns.iter().flat_map(|c| &c.members).collect();
        assert!((8..=24).contains(&words.len()), "{}: {}", sort.name, words.len());
        for member in words {
            assert!(member.zipf >= Level::Known.least(), "{}: {}", sort.name, member.word);
            let hard = [
                "psych",
                "rhea",
                "techniques",
                "technological",
                "characteristic",
                "scholarship",
                "campaign",
            ];
            assert!(!hard.contains(&member.word.as_str()), "{}: {}", sort.name, member.word);
            assert!(
                !columns.iter().any(|c| c.heading == member.word),
                "{}: {}",
                sort.name,
                member.word
            );
        }
        // Words of four syllables only where a column has no two shorter ones.
        for column in &columns {
            let long = column.members.iter().filter(|m| m.syllables > 3).count();
            let all = sorted.columns.iter().find(|c| c.heading == column.heading).unwrap();
            let short = all.members.iter().filter(|m| m.syllables <= 3).count();
            assert!(
                long == 0 || short < 2 || column.heading.contains(','),
                "{}: {column:?}",
                sort.name
            );
        }
    }
}
