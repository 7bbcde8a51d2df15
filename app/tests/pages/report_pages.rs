//! The report: nothing outside its pages, every word of it in both forms, and nothing in the HTML but text and pictures.

use std::path::{Path, PathBuf};

use jiff::civil::{Date, date};
use proptest::prelude::*;
use soundbead::ask::writing::ReadWritings;
use soundbead::notebook::{DoneBeside, Help, Moment, Writing, WritingSource};
use soundbead::report::data::{
    DaysTold, Habit, HeardFor, NextStep, ReportData, ShareTable, ShownShare, TrendStretch, Verdicts, VowelSpot,
    WordsThenNow, WritingData, WrittenNote,
};
use soundbead::report::{html, pages, plots, save};
use soundbead::sheet::Paper;
use soundbead_data::chain::Unit;
use soundbead_data::course::{Choice, CourseWords, set};
use soundbead_data::norm::{NORMS, VoiceKind};
use soundbead_data::word::Overrides;
use soundbead_data::{Rules, Sound};

/// Wilson's interval at 95 % (Wilson 1927, J. Am. Stat. Assoc. 22, 209-212).
fn share(right: usize, of: usize) -> ShownShare {
    if of == 0 {
        return ShownShare {
            high: 1.0,
            ..ShownShare::default()
        };
    }
    let (z, n) = (1.959_963_985_f64, of as f64);
    let p = right as f64 / n;
    let middle = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
    let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
    ShownShare {
        right,
        of,
        low: (middle - half).max(0.0),
        high: (middle + half).min(1.0),
    }
}

/// No words at all.
fn empty(learner: &str) -> ReportData {
    ReportData {
        learner: learner.into(),
        family: String::new(),
        went: Vec::new(),
        from: date(2026, 9, 3),
        to: date(2026, 11, 25),
        made: date(2026, 11, 25),
        rules: Rules::default(),
        by_other_rules: 0,
        models: Vec::new(),
        by: None,
        lessons: DaysTold::default(),
        old: DaysTold::default(),
        plans: Vec::new(),
        attempts: 0,
        words: 0,
        counted: share(0, 0),
        unsettled: 0,
        verdicts: Verdicts::default(),
        trend: Vec::new(),
        groups: Vec::new(),
        patterns: Vec::new(),
        sounds: None,
        standing: WordsThenNow::default(),
        tried: Vec::new(),
        said: Vec::new(),
        heard: Vec::new(),
        voice: VoiceKind::Child,
        vowels: Vec::new(),
        ruled_apart: Vec::new(),
        writing: None,
        writing_alone: false,
        notes: Vec::new(),
        records_left_out: 0,
        beside: DoneBeside::default(),
        goals: Vec::new(),
        next: Vec::new(),
    }
}

fn unit(name: &str) -> Unit {
    name.parse().expect("a sound")
}

/// A made-up autumn of an invented child: figures for the look of the pages alone.
fn autumn() -> ReportData {
    let week = |n: i64| -> Date { date(2026, 9, 7).checked_add(jiff::Span::new().weeks(n)).expect("a day") };
    let spans = (0..11_usize).map(|n| TrendStretch {
        from: week(n as i64),
        to: week(n as i64 + 1).yesterday().expect("a day"),
        counted: share(9 + n, if n == 4 { 9 + n } else { 22 }),
    });
    let by_sound: Vec<(String, ShownShare)> = Sound::all().map(|s| (format!("/{s}/"), share(8, 11))).collect();
    let mut heard: Vec<HeardFor> = Vec::new();
    for (expected, other, times) in [
        ("TH", "F", 9),
        ("IH", "EH", 7),
        ("R", "W", 5),
        ("NG", "N", 2),
        ("Z", "S", 4),
        ("AA+R", "AA", 3),
    ] {
        heard.push(HeardFor {
            expected: unit(expected),
            heard: Some(unit(expected)),
            times: 21,
        });
        heard.push(HeardFor {
            expected: unit(expected),
            heard: Some(unit(other)),
            times,
        });
        heard.push(HeardFor {
            expected: unit(expected),
            heard: None,
            times: times / 2,
        });
    }
    let vowel = |month: i8, vowel: Sound, k: f32| {
        let norm = NORMS
            .iter()
            .find(|n| n.voice == VoiceKind::Child && n.vowel == vowel)
            .expect("a norm");
        let [f1, f2, ..] = norm.means_hz;
        VowelSpot {
            month: date(2026, month, 1),
            vowel,
            f1_hz: f1 * k,
            f2_hz: f2 / k,
            times: 6,
        }
    };
    ReportData {
        models: vec!["3f9c21".into()],
        lessons: DaysTold {
            days: 18,
            ends: Some((date(2026, 9, 3), date(2026, 11, 24))),
        },
        attempts: 240,
        words: 171,
        counted: share(151, 231),
        by_other_rules: 12,
        verdicts: Verdicts { same: 90, fewer: 14, more: 3, changed: 21, unsure: 112, ruled: 60, ruled_otherwise: 7 },
        trend: spans.collect(),
        groups: vec![
            ShareTable {
                title: "Length of the word".into(),
                caption: String::new(),
                rows: [2, 3, 4, 5, 6].iter().map(|n| (format!("{n} sounds"), share(40 - 5 * n, 42))).collect(),
            },
            ShareTable {
                title: "Words with the sound".into(),
                caption: "Words with the sound: the 10 lowest of 39, shown because they are low.".into(),
                rows: by_sound.into_iter().take(10).collect(),
            },
        ],
        patterns: vec![
            Habit {
                what: "Letters are counted instead of sounds".into(),
                evidence: share(19, 40),
                seen: (9, 14),
                words: ["chess", "ship", "back"].map(str::to_owned).to_vec(),
                examples: vec!["chess counted 5 where there are 3 on 19 November".into()],
                enough: true,
                past: None,
            },
            Habit {
                what: "A cluster at the end is counted as one sound".into(),
                evidence: share(2, 4),
                seen: (1, 2),
                words: vec!["desk".into()],
                examples: Vec::new(),
                enough: false,
                past: None,
            },
            Habit {
                what: "A silent e is counted (cake)".into(),
                evidence: share(0, 12),
                seen: (0, 8),
                words: ["cake", "time"].map(str::to_owned).to_vec(),
                examples: Vec::new(),
                enough: false,
                past: Some("so until September 2026 (6 of 8 words); not seen since, at 8 words".into()),
            },
        ],
        heard,
        vowels: [9, 10, 11]
            .iter()
            .flat_map(|m| {
                let k = 1.25 - 0.02 * f32::from(*m);
                [Sound::IY, Sound::IH, Sound::EH, Sound::AE, Sound::UW].map(|v| vowel(*m, v, k))
            })
            .collect(),
        notes: vec![WrittenNote {
            day: date(2026, 10, 14),
            by: "consultant".into(),
            on: "the sound th".into(),
            text: "Tongue between the teeth when cued; behind them when in a hurry.\n\nListen to /θ/ against /f/ in thin, fin."
                .into(),
            record: false,
        }],
        sounds: Some(vec!["Words with ʃ (ship): 40 % counted right, where 70 % would be expected".into()]),
        standing: WordsThenNow {
            again: 34,
            right_then: 18,
            right_now: 29,
            gained: ["ship", "chess", "spoon"].map(str::to_owned).to_vec(),
            lost: vec!["queen".into()],
            holds: ["pig", "peg", "hat"].map(str::to_owned).to_vec(),
            fragile: ["fish", "lamp"].map(str::to_owned).to_vec(),
            so_far: vec!["mud".into()],
            not_yet: vec!["crust".into()],
        },
        said: vec!["moth said as m-aw-f (consultant, 14 November)".into()],
        tried: vec!["First tries are counted. Of 80 that missed, 60 came again after a hint, and 51 of these right.".into()],
        plans: vec![("Short vowels".into(), 8), ("Digraphs".into(), 10)],
        next: vec![NextStep {
            what: "Letters that spell one consonant are counted apart (ship)".into(),
            why: "Seen in 9 of 14 such words in the last two months".into(),
            words: ["ship (3)", "fish (3)"].map(str::to_owned).to_vec(),
            chain: ["ship", "chip", "chick", "check", "deck"].map(str::to_owned).to_vec(),
        }],
        ..empty("Juno")
    }
}

/// All that a child of a full course wrote: every common word of the two sets right in spring, and with letters left out in autumn,
/// so that every choice is met then and now.
fn written() -> WritingData {
    let row = |(n, word, tried, on): (u8, &str, String, Date)| Writing {
        id: format!("{n:032x}").parse().unwrap(),
        session: None,
        word: word.to_owned(),
        tries: vec![tried],
        source: WritingSource::Paper,
        help: Help::None,
        day: on,
        kept_at: Moment(0),
        changed: Moment(0),
    };
    let words = CourseWords::builtin();
    let mut rows = Vec::new();
    for (number, on) in [(1, date(2027, 4, 1)), (0, date(2026, 9, 3))] {
        for (n, entry) in set(words, number).iter().enumerate() {
            let slips = [
                ("dge", "j"),
                ("ck", "k"),
                ("ea", "ee"),
                ("ed", "t"),
                ("tion", "shun"),
                ("ll", "l"),
                ("oa", "o"),
            ];
            let slip = slips
                .iter()
                .fold(entry.word.clone(), |word, (own, other)| word.replace(own, other));
            let tried = if number == 0 { slip } else { entry.word.clone() };
            rows.push(row((n as u8, &entry.word, tried, on)));
        }
    }
    let evidence = ReadWritings::of(&rows, &Overrides::default());
    let since = evidence.middle();
    WritingData {
        tries: evidence.read().len(),
        words: evidence.words(),
        right: evidence.right(),
        since,
        choices: evidence.then_and_now(since.unwrap()),
        matrix: evidence.matrix(),
        examples: evidence.examples(),
        missed: evidence.missed(since.expect("two days")),
    }
}

/// A lesson without a title has all its words in its plan's place: of months of them, nothing else would be seen.
#[test]
fn the_latest_plans_are_named_and_those_before_them_are_counted() {
    let data = ReportData {
        plans: ["mud mug", "ship shop", "cake make", "thin thumb", "box fox"]
            .map(|plan| (plan.to_owned(), 1))
            .to_vec(),
        ..autumn()
    };
    let page = html::page(&data);
    let told =
        "<dt>Planned</dt><dd>cake make (1 lesson); thin thumb (1 lesson); box fox (1 lesson); 2 plans before</dd>";
    assert!(page.contains(told), "{page}");
}

/// The page of the writing is one page, on both papers, whatever it has to tell; and each form says all of it.
#[test]
fn the_writing_is_one_page_with_every_choice_then_and_now() {
    let mut data = autumn();
    data.writing = Some(written());
    data.writing_alone = true;
    let writing = data.writing.clone().unwrap();
    assert_eq!(writing.choices.len(), Choice::ALL.len());
    assert_eq!(writing.examples.len(), 5, "{:?}", writing.examples);
    let html = html::page(&data);
    for paper in [Paper::A4, Paper::Letter] {
        let sheet = pages::sheet(&data, paper);
        assert_eq!(sheet.overruns(), Vec::<String>::new());
        assert_eq!(sheet.pages.len(), 1, "{}", paper.name());
        let printed = sheet.words(0).collect::<Vec<_>>().join(" ");
        for choice in &writing.choices {
            assert!(
                printed.contains(choice.choice) && html.contains(choice.choice),
                "{}",
                choice.choice
            );
            assert!(choice.then.is_some() && choice.now.is_some(), "{}", choice.choice);
        }
        for example in &writing.examples {
            let shown = format!("{} for {}", example.wrote, example.word);
            assert!(printed.contains(&shown) && html.contains(&shown), "{shown}");
        }
    }
    // In the whole report it goes on from what was said: what holds and what is still missed, with words as they were written.
    data.writing_alone = false;
    let sheet = pages::sheet(&data, Paper::Letter);
    assert_eq!(sheet.overruns(), Vec::<String>::new());
    let printed = (0..sheet.pages.len())
        .flat_map(|at| sheet.words(at))
        .collect::<Vec<_>>()
        .join(" ");
    for wanted in [
        "What Juno wrote",
        "Telling examples",
        "Holds, right in each word the last time",
    ] {
        assert!(printed.contains(wanted), "{wanted} in {printed}");
    }
}

/// A page that is half empty is no page: one lesson gives one page, months give full ones, on both papers.
#[test]
fn no_page_is_half_empty() {
    let mut lesson = autumn();
    (lesson.attempts, lesson.words) = (12, 12);
    lesson.lessons = DaysTold::of([date(2026, 11, 24)]);
    (lesson.counted, lesson.standing) = (share(9, 12), WordsThenNow::default());
    lesson.patterns.retain(|p| !p.enough && p.past.is_none());
    // Neither takes a single lesson: sounds beside each other need many words, and what is next needs a pattern.
    lesson.sounds = None;
    lesson.next.clear();
    let mut months = autumn();
    months.writing = Some(written());
    for paper in [Paper::A4, Paper::Letter] {
        let one = pages::sheet(&lesson, paper);
        assert_eq!(one.pages.len(), 1, "{}", paper.name());
        assert_eq!(one.overruns(), Vec::<String>::new());
        for data in [&months, &autumn()] {
            let sheet = pages::sheet(data, paper);
            let foot = paper.inside().bottom() - 40.0;
            for (number, page) in sheet.pages.iter().enumerate() {
                // The feet are left out: they stand at the bottom of every page.
                let drawn = page.items.iter().filter_map(soundbead::sheet::page::PageItem::bounds);
                let lowest = drawn.map(|b| b.bottom()).filter(|y| *y < foot).fold(0.0, f32::max);
                let full = (lowest - paper.inside().y) / (foot - paper.inside().y);
                assert!(
                    full > 0.5,
                    "{}: page {} of {} is {full:.2} full",
                    paper.name(),
                    number + 1,
                    sheet.pages.len()
                );
            }
            assert!((3..=5).contains(&sheet.pages.len()), "{} pages", sheet.pages.len());
        }
    }
}

fn scratch() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("report-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a scratch folder can be made");
    folder
}

#[test]
fn the_pages_hold_everything_and_nothing_is_cut() {
    for data in [autumn(), empty("Juno")] {
        for paper in [Paper::A4, Paper::Letter] {
            let sheet = pages::sheet(&data, paper);
            assert_eq!(sheet.overruns(), Vec::<String>::new());
            let printed: Vec<&str> = (0..sheet.pages.len()).flat_map(|at| sheet.words(at)).collect();
            let printed = printed.join(" ");
            for wanted in [
                "Juno",
                "not an assessment",
                "speech-language pathologist",
                "audiologist",
                "rules on recording",
                "Counted by the phoneme rules",
            ] {
                assert!(printed.contains(wanted), "`{wanted}` in {printed}");
            }
        }
    }
    let few = pages::sheet(&empty("Juno"), Paper::A4).pages.len();
    let many = pages::sheet(&autumn(), Paper::A4).pages.len();
    assert_eq!(few, 1);
    assert!((2..=7).contains(&many), "{many} pages");
}

/// HTML Living Standard, 13.1: a text may hold no bare `<` or `&`. No scripts, links or addresses to fetch.
#[test]
fn the_html_stands_alone_and_escapes_what_people_wrote() {
    let hostile = "<script>alert('x')</script> & \"<img src=x onerror=y>\"";
    let mut data = autumn();
    data.learner = hostile.into();
    data.notes[0].text = hostile.into();
    data.notes[0].on = hostile.into();
    data.patterns[0].words = vec![hostile.into()];
    data.groups[0].rows[0].0 = hostile.into();
    data.next[0].what = hostile.into();
    let page = html::page(&data);
    for forbidden in [
        "<script",
        "<img",
        "<a ",
        "<link",
        "<iframe",
        "onerror=y>\"",
        "url(",
        "@import",
    ] {
        assert!(!page.contains(forbidden), "`{forbidden}`");
    }
    assert!(
        page.matches("&lt;script&gt;").count() >= 6,
        "what was written is there, as text"
    );
    assert_eq!(
        page.matches("http").count(),
        page.matches("http://www.w3.org/").count() + page.matches("http-equiv").count()
    );
    let (open, close) = (page.matches("<svg").count(), page.matches("</svg>").count());
    assert!(open >= 4 && open == close, "{open} pictures opened, {close} closed");
    assert!(page.contains("Tongue") || page.contains("Content-Security-Policy"));
}

/// What a report without advice says in its place.
#[test]
fn a_report_without_advice_says_why_and_what_to_do_next() {
    let counted = |right, of| ReportData {
        counted: share(right, of),
        ..empty("Mia")
    };
    let none = html::page(&counted(0, 0));
    assert!(none.contains("No count of the child") && none.contains("Nothing was written yet"));
    let few = html::page(&counted(5, 7));
    assert!(few.contains("No advice yet: 7 counts made so far"));
    let written = ReportData {
        writing: Some(written()),
        ..counted(30, 31)
    };
    let many = html::page(&written);
    assert!(many.contains("No habit shows in 31 counts") && !many.contains("Nothing was written yet"));
    let advised = html::page(&autumn());
    assert!(!advised.contains("No advice yet") && !advised.contains("No habit shows"));
}

#[test]
fn both_forms_say_the_same() {
    let data = autumn();
    let sheet = pages::sheet(&data, Paper::Letter);
    let printed: String = (0..sheet.pages.len())
        .flat_map(|at| sheet.words(at))
        .collect::<Vec<_>>()
        .join(" ");
    let page = html::page(&data);
    for wanted in [
        "151 of 231",
        // Held together by a space that is not broken.
        "65\u{a0}%",
        "19 of 40",
        "ship → chip",
        "12 words were counted",
        "3f9c21",
        "18 lessons",
        "Digraphs (10 lessons)",
        "34 words came again",
        "so until September 2026",
        "shown because they are low",
        "51 of these right",
        "of 22",
    ] {
        assert!(printed.contains(wanted), "`{wanted}` on the pages");
        assert!(page.contains(wanted), "`{wanted}` in the HTML");
    }
}

#[test]
fn a_report_is_written_and_never_over_another() {
    let folder = scratch();
    let data = autumn();
    for name in ["juno.pdf", "juno.html"] {
        let path = folder.join(name);
        assert_eq!(save(&data, &path, Paper::Letter, true), Ok(vec![path.clone()]));
        assert!(
            save(&data, &path, Paper::Letter, false)
                .expect_err("it is there")
                .to_string()
                .contains("already")
        );
    }
    let pdf = lopdf::Document::load(folder.join("juno.pdf")).expect("a PDF");
    let text = pdf.extract_text(&[1]).expect("text");
    assert!(text.contains("Juno: report") && text.contains("151 of 231"), "{text}");
    assert!(
        save(&data, &folder.join("juno.doc"), Paper::Letter, false)
            .expect_err("no form")
            .to_string()
            .contains(".html")
    );
}

/// A point far outside the frame, one word, every share at its end: the plots stay in their room.
#[test]
fn plots_of_extremes_stay_in_their_room() {
    let mut data = autumn();
    data.vowels.push(VowelSpot {
        month: date(2026, 1, 1),
        vowel: Sound::AA,
        f1_hz: 30.0,
        f2_hz: 9000.0,
        times: 1,
    });
    data.trend = vec![
        TrendStretch {
            from: date(2026, 9, 1),
            to: date(2026, 9, 1),
            counted: share(0, 1),
        },
        TrendStretch {
            from: date(2026, 9, 2),
            to: date(2026, 9, 8),
            counted: share(0, 0),
        },
    ];
    data.heard = Sound::all()
        .flat_map(|a| {
            Sound::all().map(move |b| HeardFor {
                expected: a.into(),
                heard: Some(b.into()),
                times: 1,
            })
        })
        .collect();
    assert_eq!(pages::sheet(&data, Paper::A4).overruns(), Vec::<String>::new());
    assert!(plots::vowels(&empty("Juno"), 400.0).is_none());
    assert!(plots::matrix(&[], 400.0).is_none());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn whatever_is_written_in_a_note_stays_on_the_page_and_out_of_the_markup(text in "\\PC{0,600}", name in "\\PC{1,80}") {
        let mut data = empty(&name);
        data.notes = vec![WrittenNote { day: date(2026, 10, 1), by: "parent".into(), on: "a word".into(), text: text.clone(), record: false }];
        prop_assert_eq!(pages::sheet(&data, Paper::A4).overruns(), Vec::<String>::new());
        let page = html::page(&data);
        let tags = page.matches('<').count();
        data.notes[0].text = text.replace(['<', '>', '&'], "x");
        data.learner = name.replace(['<', '>', '&'], "x");
        prop_assert_eq!(tags, html::page(&data).matches('<').count());
    }
}
