//! `soundbead sheet`, and its PDFs read again from outside the library that wrote them.

use std::path::Path;
use std::process::Command;

use crate::common::{file, run, scratch, text};
use lopdf::{Document, Object};

/// Width and height of a page in points.
fn media_box(pdf: &Document, page: lopdf::ObjectId) -> (f32, f32) {
    let page = pdf.get_dictionary(page).expect("a page");
    let mut holder = page.clone();
    // The box may be the page's own or that of the tree above it (ISO 32000-1, 7.7.3.4).
    while !holder.has(b"MediaBox") {
        let parent = holder.get(b"Parent").and_then(Object::as_reference).expect("a parent");
        holder = pdf.get_dictionary(parent).expect("a parent").clone();
    }
    let numbers: Vec<f32> = holder
        .get(b"MediaBox")
        .and_then(Object::as_array)
        .expect("a media box")
        .iter()
        .map(|n| n.as_float().expect("a number"))
        .collect();
    (numbers[2] - numbers[0], numbers[3] - numbers[1])
}

/// Whether every font of the file is embedded (ISO 32000-1, 9.9: a font file stream in its descriptor), and how many.
fn embedded_fonts(pdf: &Document) -> usize {
    let descriptors = pdf.objects.values().filter_map(|o| o.as_dict().ok()).filter(|d| {
        d.get(b"Type")
            .and_then(Object::as_name)
            .is_ok_and(|n| n == b"FontDescriptor")
    });
    descriptors
        .inspect(|d| {
            let held = [&b"FontFile"[..], b"FontFile2", b"FontFile3"]
                .iter()
                .any(|key| d.has(key));
            assert!(held, "a font is not embedded: {d:?}");
        })
        .count()
}

/// ISO 216: A4 is 210 x 297 mm; ANSI/ASME Y14.1: size A is 8.5 x 11 inches; PDF's unit is 1/72 inch.
#[test]
fn paper_has_the_size_of_its_standard() {
    let folder = scratch("paper");
    for (paper, width_mm, height_mm) in [("a4", 210.0, 297.0), ("letter", 8.5 * 25.4, 11.0 * 25.4)] {
        let out = folder.join(format!("{paper}.pdf"));
        run(&["sheet", "boxes", "pig", "--paper", paper, "--out", text(&out)]).well();
        let pdf = Document::load(&out).expect("a PDF");
        let (width, height) = media_box(&pdf, pdf.get_pages()[&1]);
        assert!(
            (width / 72.0 * 25.4 - width_mm).abs() < 0.1,
            "{paper}: {width} points wide"
        );
        assert!(
            (height / 72.0 * 25.4 - height_mm).abs() < 0.1,
            "{paper}: {height} points high"
        );
    }
}

#[test]
fn the_key_is_on_its_own_page_and_its_text_is_text() {
    let folder = scratch("key");
    let out = folder.join("boxes.pdf");
    let ran = run(&["sheet", "boxes", "moth", "ring", "--key", "--out", text(&out)]).well();
    assert!(ran.out.contains("2 pages"), "{}", ran.out);
    let pdf = Document::load(&out).expect("a PDF");
    assert_eq!(pdf.get_pages().len(), 2);
    assert_eq!(embedded_fonts(&pdf), 2, "regular and bold");
    // ISO 32000-1, 14.7 and 14.8: a tagged file says so in its catalogue and holds a structure tree; Title is read out.
    let catalogue = pdf.catalog().expect("a catalogue");
    let marked = catalogue
        .get(b"MarkInfo")
        .and_then(|o| pdf.dereference(o))
        .and_then(|(_, o)| o.as_dict().cloned());
    assert!(
        marked
            .expect("marks")
            .get(b"Marked")
            .and_then(Object::as_bool)
            .is_ok_and(|m| m)
    );
    assert!(catalogue.has(b"StructTreeRoot") && catalogue.has(b"Lang"));
    let (child, key) = (
        pdf.extract_text(&[1]).expect("text"),
        pdf.extract_text(&[2]).expect("text"),
    );
    let child_has = |word: &str| child.split_whitespace().any(|t| t == word);
    assert!(!child_has("moth") && !child_has("ring"), "{child}");
    // IPA letters come back as themselves: theta U+03B8, turned r U+0279, small capital i U+026A, eng U+014B.
    for wanted in ["moth", "ring", "3 sounds", "θ", "ɹɪŋ", "Counted by the phoneme rules"] {
        assert!(key.contains(wanted), "`{wanted}` in {key}");
    }
}

/// The same, by poppler's tools, which know ActualText and check the fonts for themselves.
#[test]
fn poppler_reads_it_too() {
    let tool = |name: &str, path: &Path| -> Option<String> {
        let mut command = Command::new(name);
        command.arg(path);
        if name == "pdftotext" {
            command.arg("-");
        }
        let output = command.output().ok()?;
        assert!(
            output.status.success() && output.stderr.is_empty(),
            "{name}: {output:?}"
        );
        Some(String::from_utf8(output.stdout).expect("UTF-8"))
    };
    let out = scratch("poppler").join("chain.pdf");
    run(&[
        "sheet",
        "chain",
        "chop",
        "cheap",
        "sheep",
        "ship",
        "--key",
        "--out",
        text(&out),
    ])
    .well();
    let (Some(words), Some(fonts)) = (tool("pdftotext", &out), tool("pdffonts", &out)) else {
        eprintln!("left out: poppler's pdftotext and pdffonts are not installed");
        return;
    };
    for wanted in ["chop", "cheap", "sheep", "/ɑ/ → /i/", "/t͡ʃ/ → /ʃ/", "first sound"] {
        assert!(words.contains(wanted), "`{wanted}` in {words}");
    }
    let rows: Vec<&str> = fonts.lines().skip(2).collect();
    assert!(
        !rows.is_empty()
            && rows
                .iter()
                .all(|row| row.contains("Andika") && row.contains(" yes yes yes ")),
        "{fonts}"
    );
}

#[test]
fn svg_is_one_file_a_page_and_well_formed() {
    let folder = scratch("svg");
    let out = folder.join("list.svg");
    let ran = run(&[
        "sheet",
        "boxes",
        "chess",
        "--title",
        "<Ada & \"Bo\">",
        "--key",
        "--out",
        text(&out),
    ])
    .well();
    assert!(
        ran.out.contains("list-1.svg") && ran.out.contains("list-2.svg"),
        "{}",
        ran.out
    );
    for name in ["list-1.svg", "list-2.svg"] {
        let svg = std::fs::read_to_string(folder.join(name)).expect("a file");
        assert!(
            svg.contains("&lt;Ada &amp; &quot;Bo&quot;&gt;") && !svg.contains("<Ada"),
            "{name}"
        );
        // Nothing is fetched from anywhere: the only addresses are the names of SVG's own name spaces.
        let addresses = svg.matches("http").count();
        assert_eq!(addresses, svg.matches("http://www.w3.org/").count(), "{name}");
        assert!(!svg.contains("<script"), "{name}");
    }
}

#[test]
fn no_file_is_replaced_unless_asked() {
    let folder = scratch("replace");
    let out = file(&folder, "kept.pdf", b"dear letter");
    let refused = run(&["sheet", "boxes", "pig", "--out", text(&out)]);
    assert!(refused.refused("a file that is there").contains("--force"));
    assert_eq!(std::fs::read(&out).expect("kept"), b"dear letter");
    run(&["sheet", "boxes", "pig", "--out", text(&out), "--force"]).well();
    assert!(std::fs::read(&out).expect("a file").starts_with(b"%PDF"));
    let left: Vec<_> = std::fs::read_dir(&folder).expect("a folder").collect();
    assert_eq!(left.len(), 1, "{left:?}");
}

#[test]
fn what_cannot_be_printed_gets_one_line() {
    let folder = scratch("bad");
    let out = folder.join("x.pdf");
    let list = file(&folder, "list.txt", b"\xff\xfe");
    let nowhere = folder.join("no").join("x.pdf");
    let out = text(&out);
    let cases: [(&[&str], &str); 10] = [
        (&["sheet"], "kind of sheet"),
        (&["sheet", "boxs", "pig", "--out", out], "did you mean `boxes`"),
        (&["sheet", "boxes", "--out", out], "needs words"),
        (&["sheet", "boxes", "pig"], "--out"),
        (&["sheet", "boxes", "pig", "--out", "x.doc"], ".pdf or .svg"),
        (&["sheet", "boxes", "p1g", "--out", out], "p1g"),
        (
            &["sheet", "boxes", "pig", "--paper", "a5", "--out", out],
            "a4 or letter",
        ),
        (&["sheet", "chain", "pig", "bed", "--out", out], "word 2"),
        (&["sheet", "boxes", "--list", text(&list), "--out", out], "list.txt"),
        (&["sheet", "boxes", "pig", "--out", text(&nowhere)], "cannot be written"),
    ];
    for (args, wanted) in cases {
        let ran = run(args);
        let line = ran.refused(&args.join(" "));
        assert!(line.contains(wanted), "{args:?}: {line}");
    }
    let left: Vec<_> = std::fs::read_dir(&folder)
        .expect("a folder")
        .flatten()
        .map(|e| e.file_name())
        .collect();
    assert_eq!(left, ["list.txt"]);
}

#[test]
fn a_list_is_read_with_its_remarks_passed_over() {
    let folder = scratch("list");
    let list = file(&folder, "words.txt", "\u{feff}# short e\nbed\n\n  peg \r\n".as_bytes());
    let out = folder.join("list.pdf");
    run(&[
        "sheet",
        "dictation",
        "--list",
        text(&list),
        "--key",
        "--out",
        text(&out),
    ])
    .well();
    let pdf = Document::load(&out).expect("a PDF");
    let key = pdf.extract_text(&[2]).expect("text");
    assert!(
        key.contains("bed") && key.contains("peg") && !key.contains("short e"),
        "{key}"
    );
}

/// A plan with one item of each kind; the words of the chain are one sound apart by anyone's ear.
const PLAN: &str = r#"
soundbead_plan = 1
title = "Short e and i"
note = "Slowly today."
[[item]]
kind = "chain"
words = ["pig", "peg", "beg"]
[[item]]
kind = "boxes"
title = "With ck"
words = ["back", "neck"]
[[item]]
kind = "dictation"
words = ["deck"]
sentences = ["Ben fed the pig."]
"#;

#[test]
fn a_plan_is_printed_whole_or_one_kind_of_it() {
    let folder = scratch("plan");
    let plan = file(&folder, "monday.toml", PLAN.as_bytes());
    let out = folder.join("all.pdf");
    run(&["sheet", "--plan", text(&plan), "--key", "--out", text(&out)]).well();
    let pdf = Document::load(&out).expect("a PDF");
    assert_eq!(pdf.get_pages().len(), 2, "the grown-up's page and the child's");
    let lesson = pdf.extract_text(&[1]).expect("text");
    for wanted in ["Short e and i", "Slowly today.", "beg", "With ck", "Ben fed the pig."] {
        assert!(lesson.contains(wanted), "`{wanted}` in {lesson}");
    }
    let out = folder.join("boxes.pdf");
    let ran = run(&["sheet", "boxes", "--plan", text(&plan), "--out", text(&out)]).well();
    assert!(ran.out.contains("1 page,"), "{}", ran.out);
    let none = run(&[
        "sheet",
        "sort",
        "--plan",
        text(&plan),
        "--out",
        text(&folder.join("x.pdf")),
    ]);
    assert!(none.refused("no sort in it").contains("monday.toml"));
    let broken = file(&folder, "broken.toml", PLAN.replace("\"beg\"]", "\"bed\"]").as_bytes());
    let line = run(&["sheet", "--plan", text(&broken), "--out", text(&folder.join("x.pdf"))]);
    assert!(
        line.refused("two changes").contains("item 1, Chain: word 3"),
        "{}",
        line.err
    );
}

/// Common practice, no source: a plan's own rules count its words (car is two sounds where r-vowels count as one), unless
/// others are asked for.
#[test]
fn a_plan_is_counted_by_its_own_rules_unless_others_are_given() {
    let folder = scratch("rules");
    let text_of = |extra: &[&str], name: &str| {
        let plan = "soundbead_plan = 1\n[rules]\nr_vowels = \"one\"\n[[item]]\nkind = \"boxes\"\nwords = [\"car\"]\n";
        let plan = file(&folder, "car.toml", plan.as_bytes());
        let out = folder.join(name);
        let fixed = ["sheet", "--plan", text(&plan), "--key", "--out", text(&out)];
        run(&[&fixed[..], extra].concat()).well();
        Document::load(&out).expect("a PDF").extract_text(&[1]).expect("text")
    };
    let own = text_of(&[], "own.pdf");
    assert!(
        own.contains("2 sounds") && own.contains("but Vowel and r: one sound"),
        "{own}"
    );
    let other = text_of(&["--rules", "phoneme"], "other.pdf");
    assert!(
        other.contains("3 sounds") && other.contains("by the phoneme rules."),
        "{other}"
    );
}

#[test]
fn a_chain_is_found_between_two_words() {
    let out = scratch("found").join("chain.pdf");
    run(&["sheet", "--chain", "pig", "bed", "--key", "--out", text(&out)]).well();
    let key = Document::load(&out).expect("a PDF").extract_text(&[2]).expect("text");
    assert!(key.contains("pig") && key.contains("bed"), "{key}");
    // Facts of the sounds: pig and bed differ in all three, so three steps are the fewest; pig, peg, beg, bed is one way.
    assert!(key.contains("4.") && !key.contains("5."), "{key}");
}

#[test]
fn charts_and_cards_are_printed() {
    let folder = scratch("charts");
    for (args, wanted) in [
        (&["sheet", "vowels", "--voice", "woman"][..], "As women say them"),
        (&["sheet", "consonants"], "fricative"),
        (&["sheet", "card", "/θ/", "ng"], "thumb"),
    ] {
        let out = folder.join(format!("{}.pdf", args[1]));
        run(&[args, &["--out", text(&out)]].concat()).well();
        let pdf = Document::load(&out).expect("a PDF");
        let words = pdf.extract_text(&[1]).expect("text");
        assert!(words.contains(wanted), "{wanted}: {words}");
        assert_eq!(pdf.get_pages().len(), if args[1] == "card" { 2 } else { 1 });
    }
    for (args, wanted) in [
        (&["sheet", "card", "QQ"][..], "no sound"),
        (&["sheet", "vowels", "pig"], "takes no words"),
        (&["sheet", "sort", "back", "milk"], "HEADING"),
        (&["sheet", "sort", "ka"], "there is no sort"),
        (&["sheet", "--chain", "pig", "bed", "boxes", "x"], "no other words"),
    ] {
        let ran = run(&[args, &["--out", text(&folder.join("x.pdf"))]].concat());
        assert!(ran.refused(&args.join(" ")).contains(wanted), "{args:?}: {}", ran.err);
    }
}

/// The words of a sort lie under the right heading, and the key says how often its rules hold (figures of `soundbead sort`).
#[test]
fn a_sort_by_name_has_its_words_and_its_rules() {
    let out = scratch("sorted").join("k.pdf");
    run(&["sheet", "sort", "k", "--most", "4", "--key", "--out", text(&out)]).well();
    let pdf = Document::load(&out).expect("a PDF");
    let (child, key) = (
        pdf.extract_text(&[1]).expect("text"),
        pdf.extract_text(&[2]).expect("text"),
    );
    let sorted = run(&["sort", "k", "--json"]).well().json().remove(0);
    let columns = sorted["columns"].as_array().expect("columns");
    let filled: Vec<_> = columns.iter().filter(|c| c["count"].as_u64() > Some(0)).collect();
    assert!(filled.len() >= 3, "{sorted}");
    for column in filled {
        let words = column["words"].as_array().expect("words");
        let on = |page: &str| {
            let has = |w: &&serde_json::Value| page.split_whitespace().any(|t| Some(t) == w["word"].as_str());
            words.iter().filter(has).count()
        };
        let least = words.len().min(4);
        assert!(
            on(&child) >= least && on(&key) >= least,
            "{}: {child}\n{key}",
            column["heading"]
        );
    }
    let rule = &sorted["rules"][0];
    let figures = format!("({} of {})", rule["holds"], rule["of"]);
    // The text is folded over lines.
    let together: String = key.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(together.contains(&figures), "{figures} in {together}");
}

/// I is written large wherever it stands (common practice, no source).
#[test]
fn contractions_of_i_are_written_large() {
    let out = scratch("contractions").join("x.pdf");
    for args in [&["sort", "contractions"][..], &["boxes", "i'll", "I'd", "i'm", "it'll"]] {
        run(&[&["sheet"], args, &["--force", "--key", "--out", text(&out)]].concat()).well();
        let pdf = Document::load(&out).expect("a PDF");
        let pages: Vec<u32> = pdf.get_pages().keys().copied().collect();
        let printed = pdf.extract_text(&pages).expect("text");
        let words: Vec<&str> = printed.split_whitespace().collect();
        let large = words.iter().filter(|w| w.starts_with("I'")).count();
        assert!(large >= 3, "{args:?}: {printed}");
        assert!(!words.iter().any(|w| w.starts_with("i'")), "{args:?}: {printed}");
    }
}

/// A word that is none is printed, since lessons use made-up words, and said to be guessed.
#[test]
fn a_word_that_is_in_no_dictionary_is_said_to_be_guessed() {
    let out = scratch("guessed-boxes").join("x.pdf");
    for args in [&["boxes", "xyzzyq"][..], &["boxes", "pig", "xyzzyq", "shell"]] {
        let ran = run(&[&["sheet"], args, &["--force", "--out", text(&out)]].concat());
        assert_eq!(ran.code, 0, "{}", ran.err);
        assert!(ran.err.contains("xyzzyq is in no dictionary"), "{args:?}: {}", ran.err);
        assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
    }
    let ran = run(&["sheet", "boxes", "pig", "shell", "--force", "--out", text(&out)]).well();
    assert!(ran.err.is_empty(), "{}", ran.err);
}

/// Ladders, cards to cut apart, charts for the wall: each is printed by its name, on as many pages as there is something on.
#[test]
fn cards_ladders_walls_and_lessons_are_printed() {
    let folder = scratch("cards");
    let out = folder.join("x.pdf");
    for (args, pages) in [
        (&["sort", "ladders", "--key"][..], 2),
        (&["sort", "ladders", "--cards"], 1),
        (&["sort", "long-u", "--cards"], 1),
        (&["card", "TH", "F", "--cards"], 1),
        (&["vowels", "--wall"], 1),
        (&["consonants", "--wall"], 1),
        (&["boxes", "ship", "--spare"], 1),
        (&["lesson", "short e and short i"], 2),
        (&["lesson", "ck", "or", "k", "--paper", "a4"], 2),
    ] {
        let ran = run(&[&["sheet"], args, &["--force", "--out", text(&out)]].concat()).well();
        assert!(ran.err.is_empty(), "{args:?}: {}", ran.err);
        let pdf = Document::load(&out).expect("a PDF");
        assert_eq!(pdf.get_pages().len(), pages, "{args:?}");
    }
    for (args, wanted) in [
        (&["boxes", "ship", "--cards"][..], "--cards is for a sort"),
        (&["chain", "pig", "peg", "--spare"], "--spare is for sound boxes"),
        (&["sort", "k", "--wall"], "--wall is for the vowels"),
        (&["lesson", "homework"], "no mix-up and no choice"),
        (&["string"], "name one with --learner"),
    ] {
        let ran = run(&[&["sheet"], args, &["--out", text(&folder.join("y.pdf"))]].concat());
        assert!(ran.refused(&args.join(" ")).contains(wanted), "{args:?}: {}", ran.err);
    }
}

/// A child's string is printed from the notebook: each word of the lesson, and none before there was one.
#[test]
fn a_childs_string_is_printed() {
    let home = scratch("string").join("home");
    let out = home.join("..").join("string.pdf");
    crate::common::run_in(&home, &["learner", "add", "Juno"]).well();
    let args = ["sheet", "string", "--learner", "Juno", "--out", text(&out)];
    assert!(
        crate::common::run_in(&home, &args)
            .refused("no bead")
            .contains("no bead")
    );
    for (recording, word) in [("01-goat.wav", "goat"), ("03-milk.wav", "milk")] {
        let path = crate::common::demo(recording);
        let count = [
            "count",
            text(&path),
            "--word",
            word,
            "--learner",
            "Juno",
            "--counted",
            "3",
        ];
        crate::common::run_in(&home, &count);
    }
    crate::common::run_in(&home, &args).well();
    let page = Document::load(&out).expect("a PDF").extract_text(&[1]).expect("text");
    assert!(
        page.contains("goat") && page.contains("milk") && page.contains("Juno"),
        "{page}"
    );
}

#[test]
fn letters_that_the_type_does_not_have_are_said() {
    let out = scratch("type").join("x.pdf");
    let ran = run(&["sheet", "boxes", "pig", "--title", "Łódź 一", "--out", text(&out)]);
    assert_eq!(ran.code, 0);
    assert!(
        ran.err.contains('一') && !ran.err.contains('Ł') && ran.err.lines().count() == 1,
        "{}",
        ran.err
    );
}

/// Random arguments, bounded in number: whatever is given, no panic, status 0 or 2, and a refusal is one line.
#[test]
fn any_arguments_are_printed_or_refused() {
    const PIECES: [&str; 30] = [
        "boxes",
        "chain",
        "sort",
        "dictation",
        "vowels",
        "consonants",
        "card",
        "plan",
        "k",
        "TH",
        "pig",
        "peg",
        "x-ray",
        "don't",
        "",
        "ck=back,neck",
        "=",
        "a=,",
        "The cat sat.",
        "--key",
        "--paper",
        "a4",
        "--title",
        "--rules",
        "phonics",
        "--voice",
        "--most",
        "3",
        "--chain",
        "\u{202e}\u{0}x",
    ];
    let folder = scratch("fuzz");
    let out = folder.join("x.pdf");
    // A small generator with a fixed start (Knuth's MMIX constants), so that a failure can be had again.
    let mut seed = 7_u64;
    let mut roll = |sides: usize| {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as usize % sides
    };
    let mut printed = 0;
    for _ in 0..80 {
        let some: Vec<&str> = (0..1 + roll(5))
            .map(|_| PIECES[roll(PIECES.len())])
            .filter(|p| !p.contains('\0'))
            .collect();
        let kind = PIECES[roll(8)];
        let args = [&["sheet", kind], &some[..], &["--force", "--out", text(&out)]].concat();
        let ran = run(&args);
        assert!(matches!(ran.code, 0 | 2), "{args:?}: {} {}", ran.code, ran.err);
        if ran.code == 2 {
            ran.refused(&args.join(" "));
        } else {
            printed += 1;
            assert!(Document::load(&out).is_ok(), "{args:?}");
        }
    }
    assert!(printed > 5, "{printed} of 80 were printed");
}

#[test]
fn a_dictation_gets_sentences_of_its_words_and_says_which_have_none() {
    let folder = scratch("sentences");
    let out = folder.join("dictation.pdf");
    let args = [
        "sheet",
        "dictation",
        "duck",
        "clock",
        "flibbet",
        "--key",
        "--sentences",
        "4",
        "--out",
        text(&out),
    ];
    let ran = run(&args);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
    assert!(ran.err.contains("flibbet"), "{}", ran.err);
    let pdf = Document::load(&out).expect("a PDF");
    let pages: Vec<u32> = pdf.get_pages().keys().copied().collect();
    let key = pdf.extract_text(&pages[1..]).expect("text").to_lowercase();
    let sentences = key
        .lines()
        .filter(|l| l.trim_end().ends_with('.') && l.split(' ').count() >= 4);
    let sentences: Vec<&str> = sentences
        .filter(|l| l.contains("duck") || l.contains("clock"))
        .collect();
    assert!(sentences.len() >= 3, "{key}");
    for (kind, count) in [("boxes", "3"), ("dictation", "0"), ("dictation", "many")] {
        run(&[
            "sheet",
            kind,
            "duck",
            "--sentences",
            count,
            "--out",
            text(&out),
            "--force",
        ])
        .refused(count);
    }
}

/// Sound boxes of a word that is said in two ways: which is printed is said, and the way behind the word is boxed.
#[test]
fn the_way_behind_a_word_is_printed() {
    let ran = run(&["boxes", "use"]).well();
    let told = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        told.contains("The first is printed; use:Y-UW-S prints the other."),
        "{told}"
    );
    let ran = run(&["boxes", "use:Y-UW-S", "--json"]).well();
    assert_eq!(ran.json()[0]["sounds"], serde_json::json!(["Y", "UW", "S"]));
    let folder = scratch("the-way-printed");
    let key_of = |word: &str, name: &str| {
        let page = folder.join(format!("{name}.svg"));
        let args = ["sheet", "boxes", word, "--key", "--out", page.to_str().expect("text")];
        let ran = run(&args);
        assert_eq!(ran.code, 0, "{}", ran.err);
        (
            std::fs::read_to_string(folder.join(format!("{name}-2.svg"))).expect("the key"),
            ran.err,
        )
    };
    let (first, told) = key_of("use", "first");
    assert!(
        told.contains("The first is printed; use:Y-UW-S prints the other."),
        "{told}"
    );
    let (second, told) = key_of("use:Y-UW-S", "second");
    assert!(told.is_empty() && first != second, "the key tells the sounds: {told}");
}
