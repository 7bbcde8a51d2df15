//! Sheets of any words: nothing outside the margins, nothing cut, nothing left out, and true under the rules in force.

use proptest::prelude::*;
use proptest::sample::{Index, select};
use soundbead::sheet::page::{PageItem, Sheet};
use soundbead::sheet::sort::{self, SheetColumn, SortKind, SortSheet};
use soundbead::sheet::words::{self, SheetWord};
use soundbead::sheet::{Paper, SheetOptions, boxes, card, chain, consonants, dictation, font, string, vowels, wall};
use soundbead_data::Rules;
use soundbead_data::lexicon;
use soundbead_data::word::Overrides;
use soundbead_dsp::formant::VoiceKind;

/// The dictionary's spellings, the longest first.
fn longest() -> Vec<String> {
    let mut all: Vec<String> = lexicon::words().map(|e| e.spelling().to_owned()).collect();
    all.sort_by_key(|word| std::cmp::Reverse(word.len()));
    all
}

fn spell(word: &str, rules: &Rules) -> SheetWord {
    words::spell(word, rules, &Overrides::default()).expect("the dictionary's words are words")
}

fn all_right(sheet: &Sheet) {
    let overruns = sheet.overruns();
    assert!(overruns.is_empty(), "{} of them, first {}", overruns.len(), overruns[0]);
    for page in &sheet.pages {
        for item in &page.items {
            if let PageItem::Text(text) = item {
                assert!(
                    text.size >= 4.0,
                    "`{}` is too small to read: {} points",
                    text.text,
                    text.size
                );
            }
        }
    }
}

fn texts(sheet: &Sheet) -> Vec<&str> {
    (0..sheet.pages.len()).flat_map(|at| sheet.words(at)).collect()
}

fn rules() -> impl Strategy<Value = Rules> {
    let each = Rules::about()
        .iter()
        .map(|info| select(info.values))
        .collect::<Vec<_>>();
    each.prop_map(|values| {
        let mut rules = Rules::default();
        for (info, value) in Rules::about().iter().zip(values) {
            rules.set(info.name, value).expect("a rule takes its own values");
        }
        rules
    })
}

fn about() -> impl Strategy<Value = SheetOptions> {
    (rules(), any::<bool>(), select(vec![Paper::A4, Paper::Letter])).prop_map(|(rules, key, paper)| SheetOptions {
        key,
        paper,
        ..SheetOptions::new(rules)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Common practice, no source: a sound-box sheet has one box a sound, and read together its boxes spell the word.
    #[test]
    fn boxes_of_any_words_lie_inside_the_page_and_spell_the_words(
        picked in prop::collection::vec(any::<Index>(), 1..40),
        about in about(),
    ) {
        let all: Vec<&str> = lexicon::words().map(|e| e.spelling()).collect();
        let list: Vec<SheetWord> = picked.iter().map(|i| spell(all[i.index(all.len())], &about.rules)).collect();
        all_right(&boxes::sheet(&list, &about));
        all_right(&dictation::sheet(&list, &["The cat sat.".into()], &about));
        for word in &list {
            prop_assert_eq!(word.cells.iter().map(|c| c.sounds).sum::<usize>(), word.units.len(), "{}", &word.word);
            // A split vowel's e stands one box early; apart from that the letters stand in the word's order.
            let together: String = word.cells.iter().map(|c| c.letters.replace('_', "")).collect();
            let sorted = |text: &str| { let mut c: Vec<char> = text.chars().collect(); c.sort_unstable(); c };
            prop_assert!(together.is_empty() || sorted(&together) == sorted(&word.word), "{}: {}", &word.word, together);
        }
    }

    /// Whatever a person writes as a heading or a sentence is wrapped or set smaller, and all of it is there.
    #[test]
    fn any_text_stays_on_the_page(title in "\\PC{0,60}", sentence in "[a-zæðθʃʒŋɹ͡ʧ' ]{0,400}", about in about()) {
        let about = SheetOptions { title: Some(title), ..about };
        let sheet = dictation::sheet(&[], std::slice::from_ref(&sentence), &SheetOptions { key: true, ..about });
        prop_assert!(sheet.overruns().is_empty(), "{:?}", sheet.overruns().first());
        let printed: String = texts(&sheet).concat().split_whitespace().collect();
        let wanted: String = sentence.split_whitespace().collect();
        prop_assert!(printed.contains(&wanted));
    }
}

#[test]
fn the_longest_words_of_the_dictionary_fit() {
    let all = longest();
    let rules = Rules::default();
    let list: Vec<SheetWord> = all.iter().take(120).map(|w| spell(w, &rules)).collect();
    let most = list.iter().map(|w| w.units.len()).max().expect("there are words");
    assert!(most > 15, "the test needs long words, found at most {most} sounds");
    for paper in [Paper::A4, Paper::Letter] {
        let about = SheetOptions {
            key: true,
            paper,
            ..SheetOptions::new(rules.clone())
        };
        let sheet = boxes::sheet(&list, &about);
        all_right(&sheet);
        let printed = texts(&sheet);
        assert!(
            list.iter().all(|w| printed.contains(&w.word.as_str())),
            "a word is missing in the key"
        );
        all_right(&dictation::sheet(&list, &[], &about));
    }
}

/// Sorts of any size, charts and cards: inside the margins on each paper, and every sound on its page.
#[test]
fn sorts_charts_and_cards_fit() {
    let rules = Rules::default();
    let all = longest();
    for paper in [Paper::A4, Paper::Letter] {
        let about = SheetOptions {
            key: true,
            paper,
            ..SheetOptions::new(rules.clone())
        };
        for (columns, each) in [(1, 3), (4, 60), (12, 9), (2, 0)] {
            let column = |at: usize| SheetColumn {
                heading: "a heading that is long for a column".into(),
                when: if at.is_multiple_of(2) {
                    String::new()
                } else {
                    "only after a short vowel, at the end".into()
                },
                words: all.iter().skip(at * 300).take(each).map(|w| spell(w, &rules)).collect(),
                ..SheetColumn::default()
            };
            let columns: Vec<SheetColumn> = (0..columns).map(column).collect();
            for (kind, cards) in [
                (SortKind::Headed, false),
                (SortKind::Headed, true),
                (SortKind::Groups, false),
                (SortKind::Groups, true),
                (SortKind::Ladders, false),
                (SortKind::Ladders, true),
            ] {
                let sheet = sort::sheet(
                    &SortSheet {
                        columns: columns.clone(),
                        why: vec!["It holds in 41 of 43 words.".to_owned()],
                        kind,
                        cards,
                        ..SortSheet::default()
                    },
                    &about,
                );
                all_right(&sheet);
                let printed = texts(&sheet);
                let lost = columns
                    .iter()
                    .flat_map(|c| &c.words)
                    .find(|w| !printed.contains(&w.word.as_str()));
                assert_eq!(lost, None);
            }
        }
        for voice in [VoiceKind::Child, VoiceKind::Woman, VoiceKind::Man] {
            let chart = vowels::sheet(voice, &about);
            all_right(&chart);
            let shown = texts(&chart);
            let lost = soundbead_data::inventory::all().iter().find(|e| {
                matches!(e.features, soundbead_data::inventory::Features::Vowel(_)) && !shown.contains(&e.ipa.as_str())
            });
            assert!(lost.is_none(), "{lost:?}");
        }
        let chart = consonants::sheet(&about);
        all_right(&chart);
        let shown = texts(&chart);
        for wall in [wall::vowels(&about), wall::consonants(&about)] {
            all_right(&wall);
            assert_eq!(wall.pages.len(), 1, "a wall chart is one page");
        }
        let cards = card::six(&soundbead_data::inventory::all().iter().collect::<Vec<_>>(), &about);
        all_right(&cards);
        assert_eq!(cards.pages.len(), soundbead_data::inventory::all().len().div_ceil(6));
        // Each small card has its three lines, on the shorter paper too.
        for part in ["Lips", "Tongue", "Air"] {
            let lines = texts(&cards).into_iter().filter(|t| *t == part).count();
            assert_eq!(lines, soundbead_data::inventory::all().len(), "{part} on {paper:?}");
        }
        for entry in soundbead_data::inventory::all() {
            let own = card::sheet(entry, &about);
            all_right(&own);
            assert_eq!(own.pages.len(), 1, "{} on {paper:?}", entry.ipa);
            let consonant = matches!(entry.features, soundbead_data::inventory::Features::Consonant(_));
            assert_eq!(
                shown.contains(&entry.ipa.as_str()),
                consonant,
                "{} in the grid",
                entry.ipa
            );
        }
    }
}

/// The child's pages do not give the answers away: no word and no letters of one are on them.
#[test]
fn the_childs_pages_hold_no_answers() {
    let rules = Rules::default();
    let ways: Vec<_> = ["zip", "zap", "zag"]
        .map(|w| words::ways(w, &rules, &Overrides::default()).expect("a word"))
        .to_vec();
    let about = SheetOptions::new(rules.clone());
    let list: Vec<SheetWord> = ways.iter().map(|w| w[0].clone()).collect();
    for sheet in [
        boxes::sheet(&list, &about),
        dictation::sheet(&list, &[], &about),
        chain::sheet(&chain::steps(&ways).expect("a chain"), &about),
    ] {
        let shown = texts(&sheet);
        assert!(
            !shown.iter().any(|t| ["zip", "zap", "zag", "z", "p", "g"].contains(t)),
            "{shown:?}"
        );
        assert_eq!(sheet.pages.len(), 1);
    }
}

/// Ten words of boxes fit on one page of US Letter, with the line that says where a silent e goes and without it; a few more than a
/// page holds are parted evenly.
#[test]
fn ten_rows_of_boxes_fit_on_a_page_and_no_page_is_nearly_empty() {
    let rules = Rules::default();
    let words = [
        "thumb", "shell", "quilt", "chess", "box", "bridge", "cake", "splash", "knight", "queen", "ring", "moth",
    ];
    let list: Vec<SheetWord> = words.iter().map(|w| spell(w, &rules)).collect();
    for (paper, spare) in [(Paper::Letter, false), (Paper::Letter, true), (Paper::A4, false)] {
        let about = SheetOptions {
            paper,
            spare,
            ..SheetOptions::new(rules.clone())
        };
        let ten = boxes::sheet(&list[..10], &about);
        all_right(&ten);
        assert_eq!(ten.pages.len(), 1, "{paper:?}");
        let twelve = boxes::sheet(&list, &about);
        if twelve.pages.len() == 2 {
            assert!(
                texts(&twelve).contains(&"7.") && twelve.words(1).any(|t| t == "7."),
                "six on each"
            );
        }
    }
    // With spare boxes the child's page does not tell how many sounds a word has: every row is alike.
    let about = SheetOptions {
        spare: true,
        ..SheetOptions::new(rules)
    };
    let boxes_of = |words: &[SheetWord]| {
        let sheet = boxes::sheet(words, &about);
        let squares = sheet.pages[0]
            .items
            .iter()
            .filter(|i| matches!(i, PageItem::Box { .. }));
        squares.count()
    };
    assert_eq!(
        boxes_of(&list[..2]),
        2 * 4,
        "thumb and shell, three sounds each, and one box over"
    );
}

/// The child's page of a sort names its columns, and neither when a word belongs there nor what is sorted; the key marks exceptions.
#[test]
fn a_sort_gives_its_rule_away_on_the_key_alone() {
    let rules = Rules::default();
    let column = |heading: &str, when: &str, words: &[&str], exception: &str| SheetColumn {
        heading: heading.into(),
        when: when.into(),
        words: words.iter().map(|w| spell(w, &rules)).collect(),
        exceptions: [exception.to_owned()].into_iter().filter(|w| !w.is_empty()).collect(),
        ..SheetColumn::default()
    };
    let mut sort = SortSheet {
        columns: vec![
            column("ck", "after a short vowel", &["duck", "neck", "sock"], ""),
            column("k", "after anything else", &["milk", "bank", "yak"], "yak"),
        ],
        about: "a short vowel before ck".into(),
        why: vec!["ck: after a short vowel (66 of 70)".into()],
        ..SortSheet::default()
    };
    let about = SheetOptions {
        key: true,
        ..SheetOptions::new(rules.clone())
    };
    for cards in [false, true] {
        sort.cards = cards;
        let sheet = sort::sheet(&sort, &about);
        assert_eq!(sheet.pages.len(), 2);
        let (child, key): (Vec<&str>, Vec<&str>) = (sheet.words(0).collect(), sheet.words(1).collect());
        assert!(child.contains(&"ck") && child.contains(&"yak"), "{child:?}");
        for rule in ["short vowel", "66 of 70", "*"] {
            assert!(child.iter().all(|t| !t.contains(rule)), "{rule}: {child:?}");
            assert!(key.iter().any(|t| t.contains(rule)), "{rule}: {key:?}");
        }
        // Words of one column stand apart: in the order of the key they would give the columns away.
        let order: Vec<&&str> = child
            .iter()
            .filter(|t| ["duck", "neck", "sock", "milk", "bank", "yak"].contains(t))
            .collect();
        assert_ne!(order, [&"duck", &"neck", &"sock", &"milk", &"bank", &"yak"]);
    }
    // Groups of words said alike are headed by their own words: the child finds them.
    sort.kind = SortKind::Groups;
    sort.cards = false;
    let sheet = sort::sheet(&sort, &about);
    assert!(sheet.words(0).all(|t| t != "ck"));
}

/// A rule that goes by letters has them wherever a word is counted: hour is one sound with its r, flower is not.
#[test]
fn boxes_and_count_agree_where_fire_is_one_sound() {
    let mut rules = Rules::default();
    rules.set("fire", "one_sound").unwrap();
    for (word, count) in [
        ("hour", 1),
        ("our", 1),
        ("sour", 2),
        ("fire", 2),
        ("flower", 4),
        ("higher", 3),
    ] {
        let word = spell(word, &rules);
        assert_eq!(word.units.len(), count, "{}", word.word);
        assert_eq!(
            word.cells.iter().map(|c| c.sounds).sum::<usize>(),
            count,
            "{}",
            word.word
        );
    }
}

/// Words of every sort that has a name, as its sheet takes them.
fn named_sorts() -> Vec<(&'static str, SortSheet)> {
    use soundbead_data::sort as weighed;
    let corpus = weighed::Corpus::new(&soundbead_data::chain::WordList::default());
    let rules = Rules::default();
    let made = |sort: &'static weighed::Sort| {
        let sorted = corpus.sort_at(sort, weighed::Level::default());
        let columns = weighed::sheet(&sorted, *weighed::SHEET.end(), 0).into_iter();
        let columns = columns.map(|c| SheetColumn {
            words: c.members.iter().map(|m| spell(&m.word, &rules)).collect(),
            heading: c.heading,
            ..SheetColumn::default()
        });
        let columns = columns.collect();
        (
            sort.name,
            SortSheet {
                columns,
                ..SortSheet::default()
            },
        )
    };
    weighed::all().iter().map(made).collect()
}

/// Every named sort, on either paper: a second page holds more than a line and the question, and the last line to cut along keeps
/// off the number of the page.
#[test]
fn no_named_sort_leaves_a_page_nearly_empty() {
    for paper in [Paper::A4, Paper::Letter] {
        let about = SheetOptions {
            key: true,
            paper,
            ..SheetOptions::new(Rules::default())
        };
        for (name, mut sort) in named_sorts() {
            let child = SheetOptions {
                key: false,
                ..about.clone()
            };
            let sheet = sort::sheet(&sort, &child);
            all_right(&sheet);
            if sheet.pages.len() > 1 {
                let last = sheet.pages.last().unwrap();
                let lowest = last.items.iter().filter_map(PageItem::bounds).map(|a| a.y + a.h);
                let used = lowest.filter(|y| *y < paper.size().1 * 0.92).fold(0.0, f32::max);
                assert!(used > paper.size().1 * 0.35, "{name} on {paper:?}: {used}");
            }
            sort.cards = true;
            let cards = sort::sheet(&sort, &about);
            all_right(&cards);
            let first = &cards.pages[0];
            let lines = first
                .items
                .iter()
                .filter(|i| matches!(i, PageItem::Path { .. } | PageItem::Line { .. }));
            let cut = lines
                .filter_map(PageItem::bounds)
                .map(|a| a.y + a.h)
                .fold(0.0, f32::max);
            let number = first.items.iter().find_map(|i| match i {
                PageItem::Text(text) if text.text.contains(" of ") && text.text.starts_with("1 ") => Some(text.room.y),
                _ => None,
            });
            if let Some(number) = number {
                assert!(
                    cut + 4.0 < number,
                    "{name} on {paper:?}: cut at {cut}, number at {number}"
                );
            }
        }
    }
}

/// Each row of a string is read from left to right, as every line is.
#[test]
fn a_string_runs_as_one_reads() {
    let words: Vec<String> = (0..60)
        .map(|n| format!("{}{}", "ship".repeat(1 + n % 2), "a".repeat(n % 3 + 1)))
        .collect();
    let beads = string::BeadPage {
        learner: "Juno".into(),
        days: vec![(jiff::civil::date(2026, 11, 3), words.clone())],
        made: jiff::civil::date(2026, 11, 4),
    };
    let sheet = string::sheet(&beads, &SheetOptions::default()).expect("beads");
    let mut at: Vec<(usize, i64, i64)> = Vec::new();
    for (number, page) in sheet.pages.iter().enumerate() {
        for item in &page.items {
            if let PageItem::Text(text) = item
                && words.contains(&text.text)
            {
                at.push((number, text.room.y.round() as i64, text.room.x.round() as i64));
            }
        }
    }
    assert_eq!(at.len(), words.len());
    assert!(
        at.iter()
            .map(|spot| spot.1)
            .collect::<std::collections::BTreeSet<_>>()
            .len()
            > 2,
        "some rows"
    );
    assert!(at.is_sorted(), "{at:?}");
}

/// A chain of six, eight cards and two sentences: one page for the grown-up, one for the child, on either paper.
#[test]
fn a_lesson_of_twenty_minutes_is_two_pages() {
    let text = r#"
soundbead_plan = 1
title = "Short e and short i"
[[item]]
kind = "chain"
words = ["pig", "peg", "pen", "pin", "tin", "ten"]
[[item]]
kind = "sort"
title = "Which vowel do you hear?"
[[item.group]]
heading = "short e"
words = ["bed", "leg", "wet", "hen"]
[[item.group]]
heading = "short i"
words = ["dish", "lid", "win", "fish"]
[[item]]
kind = "dictation"
words = ["mess", "kick", "sled", "grip"]
sentences = ["Ten men met in the shed.", "The kid hid his red hat."]
"#;
    let plan = soundbead::plan::Plan::from_text(text).expect("a plan");
    for paper in [Paper::A4, Paper::Letter] {
        let about = SheetOptions {
            key: true,
            paper,
            ..SheetOptions::new(plan.rules.clone())
        };
        let sheet = soundbead::sheet::plan::sheet(&plan, &about, &Overrides::default()).expect("a lesson");
        all_right(&sheet);
        assert_eq!(sheet.pages.len(), 2, "{paper:?}");
        let (grown, child): (Vec<&str>, Vec<&str>) = (sheet.words(0).collect(), sheet.words(1).collect());
        let all = plan.items.iter().flat_map(soundbead::plan::PlanItem::words);
        for word in all.map(|w| w.spelling.as_str()) {
            assert!(grown.iter().any(|t| t.contains(word)), "{word}: {grown:?}");
            let is_card = plan.items[1].words().any(|w| w.spelling == word);
            assert_eq!(child.contains(&word), is_card, "{word}: {child:?}");
        }
        for answer in [
            "Short e and short i",
            "Which vowel do you hear?",
            "Ten men met in the shed.",
            "ih → eh",
        ] {
            assert!(grown.iter().any(|t| t.contains(answer)), "{answer}: {grown:?}");
            assert!(child.iter().all(|t| !t.contains(answer)), "{answer}: {child:?}");
        }
        // Both sounds are taken for each other, so there is a cue that tells them apart (`sounds.toml`).
        assert!(grown.contains(&"Cues"), "{grown:?}");
    }
}

/// The words of a sort are written after it, and its cards lie on the child's page: nobody is to copy from them.
#[test]
fn cards_with_words_to_write_are_put_away_first() {
    for (written, away) in [("bed", true), ("mess", false)] {
        let text = format!(
            r#"
soundbead_plan = 1
[[item]]
kind = "sort"
[[item.group]]
heading = "short e"
words = ["bed", "leg"]
[[item.group]]
heading = "short i"
words = ["dish", "lid"]
[[item]]
kind = "dictation"
words = ["{written}", "kick"]
"#
        );
        let plan = soundbead::plan::Plan::from_text(&text).expect("a plan");
        let about = SheetOptions {
            key: true,
            ..SheetOptions::new(plan.rules.clone())
        };
        let sheet = soundbead::sheet::plan::sheet(&plan, &about, &Overrides::default()).expect("a lesson");
        let told = sheet.words(0).any(|line| line.contains("Put the cards away first"));
        assert_eq!(told, away, "{written}");
    }
}

/// A string of any length lies inside the page, has each word as often as it was done, and no count.
#[test]
fn a_string_holds_its_words_and_no_scores() {
    let day = |n: i8| jiff::civil::date(2026, 11, n);
    let all = longest();
    let long = || all.iter().step_by(4_000).take(10).cloned();
    let short = || {
        [
            "ship", "hat", "moth", "ring", "milk", "bed", "chess", "box", "cake", "frog",
        ]
        .map(str::to_owned)
    };
    // Ten of the longest words fill a row or two each; of short ones a lesson is one row, and two pages hold thirty.
    for (times, words, pages) in [
        (1, long().collect::<Vec<String>>(), 1),
        (30, long().collect(), 5),
        (30, short().to_vec(), 2),
    ] {
        let words: Vec<String> = words.into_iter().chain(["pig".to_owned()]).collect();
        let beads = string::BeadPage {
            learner: "Juno".into(),
            days: (1..=times).map(|n| (day(1 + n % 28), words.clone())).collect(),
            made: day(28),
        };
        for paper in [Paper::A4, Paper::Letter] {
            let about = SheetOptions {
                paper,
                ..SheetOptions::default()
            };
            let sheet = string::sheet(&beads, &about).expect("beads");
            all_right(&sheet);
            assert!(sheet.pages.len() <= pages, "{times}: {}", sheet.pages.len());
            let shown = texts(&sheet);
            assert_eq!(
                shown.iter().filter(|t| **t == "pig").count(),
                usize::try_from(times).expect("few")
            );
            assert!(shown.iter().all(|t| !t.contains('%')), "{shown:?}");
        }
    }
    let none = string::BeadPage {
        learner: "Juno".into(),
        days: Vec::new(),
        made: day(28),
    };
    assert!(string::sheet(&none, &SheetOptions::default()).is_err());
}

/// Facts of the words' sounds: pig, peg, beg change one each; bed to bread adds /r/; read is reed or red, and only as
/// /rɛd/ does it follow bread by dropping /b/.
#[test]
fn a_chain_takes_the_pronunciation_that_makes_it_one() {
    let rules = Rules::default();
    let ways = |list: &[&str]| -> Vec<Vec<SheetWord>> {
        list.iter()
            .map(|w| words::ways(w, &rules, &Overrides::default()).expect("a word"))
            .collect()
    };
    let steps = chain::steps(&ways(&["pig", "peg", "beg", "bed", "bread", "read"])).expect("a chain");
    let last = &steps[5].0;
    assert_eq!((last.word.as_str(), last.ipa.as_str()), ("read", "ɹɛd"));
    let steps = chain::steps(&ways(&["need", "reed", "weed"])).expect("a chain");
    assert_eq!(steps.len(), 3);
    let fault = chain::steps(&ways(&["pig", "peg", "bed"])).expect_err("two changes");
    assert_eq!((fault.number, fault.same), (3, false));
    assert!(chain::steps(&ways(&["sun", "son"])).expect_err("no change").same);
}

/// The font has every letter of the inventory's IPA; an unknown sign is not held to be there.
#[test]
fn the_font_has_the_ipa() {
    for entry in soundbead_data::inventory::all() {
        for face in [font::FontFace::Regular, font::FontFace::Bold] {
            assert!(font::covers(face, &entry.ipa), "{}", entry.ipa);
        }
    }
    assert!(!font::covers(font::FontFace::Regular, "\u{e0001}"));
}
