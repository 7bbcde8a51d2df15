//! The plan file: what is written is read back, and what is wrong is said by line.

use std::fs;
use std::path::PathBuf;

use proptest::prelude::*;
use soundbead::plan::{Content, EXAMPLE, Plan, PlanItem, PlanWord, Shelf, SortGroup};
use soundbead_data::lexicon;
use soundbead_data::word::Overrides;

fn scratch(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("plan-{}-{name}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("a scratch folder can be made");
    folder
}

#[test]
fn the_example_is_a_true_plan() {
    let plan = Plan::from_text(EXAMPLE).expect("the example can be read");
    assert_eq!(plan.items.len(), 4);
    for item in &plan.items {
        assert_eq!(
            item.doubts(&plan.rules, &Overrides::default()),
            Vec::<String>::new(),
            "{}",
            item.heading()
        );
        assert!(item.words().count() >= 3);
    }
    let read = plan.items[1].words().last().expect("a word");
    assert_eq!(read.pronunciation(&Overrides::default()).to_string(), "R EH1 D");
    assert_eq!(
        Plan::from_text(&plan.to_text()).expect("what is written can be read"),
        plan
    );
}

#[test]
fn what_is_wrong_is_said_by_line_found_and_wanted() {
    let top = "soundbead_plan = 1\n";
    let item = |rest: &str| format!("{top}\n[[item]]\n{rest}");
    for (text, line, parts) in [
        (String::new(), None, &["no soundbead_plan", "wanted"][..]),
        ("soundbead_plan = 2\nnew = 1".into(), Some(1), &["version 2", "newer"]),
        ("soundbead_plan = \"x\"".into(), Some(1), &["found", "wanted 1"]),
        (format!("{top}titel = \"a\""), Some(2), &["titel"]),
        (format!("{top}title = 3"), Some(2), &["string"]),
        (
            format!("{top}[rules]\nr_vowel = \"one\""),
            Some(3),
            &["r_vowel", "did you mean `r_vowels`"],
        ),
        (
            format!("{top}[rules]\nr_vowels = \"three\""),
            Some(3),
            &["three", "one or two"],
        ),
        (item("words = [\"pig\"]"), Some(3), &["kind"]),
        (item("kind = \"chian\""), Some(4), &["found `chian`", "wanted chain"]),
        (
            item("kind = \"chain\"\nwords = [\n  \"pig\",\n  \"p1g\",\n]"),
            Some(7),
            &["p1g", "digit"],
        ),
        (
            item("kind = \"chain\"\nwords = [\"pig: P QQ\"]"),
            Some(5),
            &["QQ", "ARPAbet"],
        ),
        (
            item("kind = \"sort\"\nwords = [\"pig\"]"),
            Some(3),
            &["words", "groups"],
        ),
        (
            item("kind = \"boxes\"\nsentences = [\"A pig.\"]"),
            Some(3),
            &["dictation"],
        ),
        (format!("{top}title = \"unclosed"), Some(2), &[]),
    ] {
        let fault = Plan::from_text(&text).expect_err(&text).to_string();
        assert!(!fault.contains('\n'), "{fault}");
        if let Some(line) = line {
            assert!(fault.starts_with(&format!("line {line},")), "{text}: {fault}");
        }
        for part in parts {
            assert!(fault.contains(part), "{text}: {fault}");
        }
    }
    assert!(Plan::from_text(&"#".repeat(2 << 20)).is_err());
}

#[test]
fn a_step_of_more_than_one_sound_is_doubted() {
    let text = "soundbead_plan = 1\n[[item]]\nkind = \"chain\"\nwords = [\"pig\", \"pen\", \"pan\"]\n";
    let plan = Plan::from_text(text).expect("it can be read");
    let doubts = plan.items[0].doubts(&plan.rules, &Overrides::default());
    assert_eq!(doubts.len(), 1);
    assert!(doubts[0].starts_with("pig to pen"));
}

#[test]
fn kept_whole_and_listed() {
    let shelf = Shelf::new(&scratch("shelf"));
    assert!(shelf.list().expect("an empty shelf").is_empty());
    let mut plan = Plan::from_text(EXAMPLE).expect("the example can be read");
    let first = shelf.fresh(&plan.title);
    assert!(
        first.ends_with("plans/short-e-against-short-i.toml"),
        "{}",
        first.display()
    );
    plan.save(&first).expect("it can be saved");
    let second = shelf.fresh(&plan.title);
    assert_ne!(first, second);
    plan.title = "../..".into();
    assert!(shelf.fresh(&plan.title).ends_with("plans/plan.toml"));
    plan.save(&second).expect("it can be saved");
    fs::write(second.with_file_name("bad.toml"), "nonsense").expect("a file can be written");
    let listed = shelf.list().expect("they can be listed");
    assert_eq!(listed.len(), 3);
    assert_eq!(listed.iter().filter(|s| s.title.is_err()).count(), 1);
    assert_eq!(Plan::load(&second).expect("it can be loaded"), plan);
    // A folder that cannot be written to: the plan there stays as it was.
    let inside = first.join("never.toml");
    assert!(plan.save(&inside).is_err());
    assert_eq!(
        Plan::load(&first).expect("still there").title,
        "Short e against short i"
    );
    assert!(
        fs::read_dir(first.parent().expect("a folder"))
            .expect("a folder")
            .count()
            == 3,
        "no scratch file is left"
    );
}

fn text() -> impl Strategy<Value = String> {
    "[ -~éɪ\\n\"\\\\']{0,20}"
}

fn word() -> impl Strategy<Value = PlanWord> {
    ("[a-z]{1,8}", any::<bool>()).prop_map(|(spelling, say)| {
        let entry = lexicon::look_up(&spelling).or_else(|| lexicon::look_up("pig"));
        let said = entry.and_then(|e| e.variants().next()).filter(|_| say);
        PlanWord { spelling, said }
    })
}

fn content() -> impl Strategy<Value = Content> {
    let words = || prop::collection::vec(word(), 0..5);
    let group = (text(), words()).prop_map(|(heading, words)| SortGroup { heading, words });
    prop_oneof![
        words().prop_map(Content::Chain),
        words().prop_map(Content::Boxes),
        prop::collection::vec(group, 0..4).prop_map(Content::Sort),
        (words(), prop::collection::vec(text(), 0..3))
            .prop_map(|(words, sentences)| Content::Dictation { words, sentences }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn any_plan_survives_writing(
        head in (text(), text(), text()),
        items in prop::collection::vec((text(), text(), content()), 0..5),
        rules in any::<bool>(),
    ) {
        let items = items.into_iter().map(|(title, note, content)| PlanItem { title, note, content });
        let rules = soundbead_data::Rules::named(if rules { "phonics" } else { "phoneme" }).expect("a set");
        let plan = Plan { title: head.0, day: head.1, note: head.2, rules, items: items.collect() };
        prop_assert_eq!(Plan::from_text(&plan.to_text()).expect("what is written can be read"), plan);
    }

    #[test]
    fn no_text_is_too_bad(text in "(soundbead_plan = 1\n)?[ -~\\n\\[\\]=\"]{0,80}") {
        if let Err(fault) = Plan::from_text(&text) {
            prop_assert!(!fault.to_string().contains('\n'));
        }
    }
}
