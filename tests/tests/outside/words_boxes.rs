//! Sound boxes against the hand-set gold list, and their properties over the whole dictionary.

use soundbead_data::spelling::{LetterBox, boxes};
use soundbead_data::{Sound, lexicon};

/// Word, sounds, gold boxes as written, and the sounds of each box.
struct Gold {
    word: String,
    sounds: Vec<Sound>,
    boxes: String,
    grouped: String,
}

fn gold() -> Vec<Gold> {
    read(include_str!("../../reference/boxes_sounds.tsv"))
}

fn read(text: &str) -> Vec<Gold> {
    let lines = text.lines().filter(|l| !l.is_empty() && !l.starts_with('#'));
    lines
        .map(|line| {
            let fields: Vec<&str> = line.split('\t').collect();
            let [word, grouped, boxes] = fields[..] else {
                panic!("gold line `{line}`")
            };
            assert_eq!(
                grouped.split('|').count(),
                boxes.split('|').count(),
                "gold line `{line}`"
            );
            let sounds = grouped.split(['|', ' ']).map(|s| s.parse().unwrap()).collect();
            Gold {
                word: word.into(),
                sounds,
                boxes: boxes.into(),
                grouped: grouped.into(),
            }
        })
        .collect()
}

fn write(boxes: &[LetterBox], sounds: &[Sound]) -> (String, String) {
    let letters: Vec<&str> = boxes.iter().map(|b| b.letters.as_str()).collect();
    let names = |b: &LetterBox| {
        sounds[b.sounds.clone()]
            .iter()
            .map(|s| s.arpabet())
            .collect::<Vec<_>>()
            .join(" ")
    };
    (letters.join("|"), boxes.iter().map(names).collect::<Vec<_>>().join("|"))
}

/// Per cent of `gold` wholly right, letters and sounds, and a line for each of the others.
fn measure(gold: &[Gold]) -> (f64, Vec<String>) {
    let mut wrong = Vec::new();
    for g in gold {
        let found = boxes(&g.word, &g.sounds).map(|b| write(&b, &g.sounds));
        if found.as_ref() != Some(&(g.boxes.clone(), g.grouped.clone())) {
            wrong.push(format!(
                "{}: {} here, {} by hand",
                g.word,
                found.map_or("none".into(), |f| f.0),
                g.boxes
            ));
        }
    }
    let right = 100.0 * (gold.len() - wrong.len()) as f64 / gold.len() as f64;
    println!(
        "{right:.1} % of {} gold words wholly right; the others:\n{}",
        gold.len(),
        wrong.join("\n")
    );
    (right, wrong)
}

/// Every word is laid as by hand. Common practice, no source.
///
/// At the first run 526 of 537 (98.0 %, the floor of the project) were right; the eleven errors then led to the rules for doubled
/// letters, swallowed vowels and silent e, so today's figure says less than that of the unseen list below.
#[test]
fn gold_boxes() {
    let gold = gold();
    assert!(gold.len() >= 420, "only {} gold words", gold.len());
    let (right, wrong) = measure(&gold);
    assert!(wrong.is_empty(), "{right:.1} %:\n{}", wrong.join("\n"));
}

/// Words set by hand after the rules were settled and before the program saw them. Common practice, no source.
#[test]
fn unseen_gold_boxes() {
    let (right, wrong) = measure(&read(include_str!("../../reference/boxes_unseen.tsv")));
    assert!(wrong.is_empty(), "{right:.1} %:\n{}", wrong.join("\n"));
}

/// The gold list is honest about sounds: each word is said there as the dictionary says it.
#[test]
fn gold_sounds_are_the_dictionarys() {
    for g in gold()
        .into_iter()
        .chain(read(include_str!("../../reference/boxes_unseen.tsv")))
    {
        let entry = lexicon::look_up(&g.word).unwrap_or_else(|| panic!("{} is not in the dictionary", g.word));
        assert!(
            entry.variants().any(|v| v.sounds() == g.sounds),
            "{}: {}",
            g.word,
            g.grouped
        );
    }
}

/// The word that boxes spell when each split vowel's e is put back behind the box inside it.
fn spell(boxes: &[LetterBox]) -> String {
    let (mut word, mut owed) = (String::new(), false);
    for b in boxes {
        let split = b.letters.ends_with("_e");
        word.push_str(b.letters.trim_end_matches("_e"));
        if owed {
            assert!(!split, "a split vowel inside another");
            word.push('e');
        }
        owed = split;
    }
    assert!(!owed, "a split vowel with nothing inside");
    word
}

/// Every word that gets boxes: each letter in one box, each sound in one box, in order. And how many words get them.
#[test]
fn boxes_cover_letters_and_sounds_of_the_whole_dictionary() {
    let (mut all, mut given, mut common, mut common_given) = (0, 0, 0, 0);
    let mut missed = Vec::new();
    for entry in lexicon::words() {
        for said in entry.variants() {
            let found = boxes(entry.spelling(), said.sounds());
            all += 1;
            given += usize::from(found.is_some());
            common += usize::from(entry.zipf() >= 3.5);
            common_given += usize::from(entry.zipf() >= 3.5 && found.is_some());
            let Some(found) = found else {
                if entry.zipf() >= 3.5 {
                    missed.push(format!("{} [{said}]", entry.spelling()));
                }
                continue;
            };
            assert_eq!(spell(&found), entry.spelling());
            let mut next = 0;
            for b in &found {
                assert!(
                    b.sounds.start == next && b.sounds.end > next && b.sounds.len() <= 3,
                    "{entry:?}"
                );
                next = b.sounds.end;
            }
            assert_eq!(next, said.sounds().len(), "{entry:?}");
        }
    }
    let share = |part: usize, whole: usize| 100.0 * part as f64 / whole as f64;
    println!("{:.2} % of {all} pronunciations get boxes", share(given, all));
    println!(
        "{:.2} % of {common} of Zipf 3.5 and more; not: {}",
        share(common_given, common),
        missed.join(", ")
    );
    assert!(share(given, all) > 95.0 && share(common_given, common) > 97.0);
}
