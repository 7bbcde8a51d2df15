//! The print preview through its accessibility tree: what is shown is what is saved, and no file is lost.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};

use egui::{Key, Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use soundbead::sheet::{SheetOptions, boxes, words};
use soundbead::ui::to_print::ToPrint;
use soundbead::ui::{App, MainView};
use soundbead_data::Rules;
use soundbead_data::word::Overrides;

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("preview-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a scratch folder can be made");
    folder
}

/// A window with a preview of sound boxes for three words over the Plan view.
fn window(folder: &Path) -> Harness<'static, App> {
    let folder = folder.to_owned();
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .build_eframe(move |cc| App::new(&cc.egui_ctx, folder));
    harness.state_mut().shared.go(MainView::Plan);
    let preview = ToPrint::new("Boxes: day 1", true, |paper, key| {
        let rules = Rules::default();
        let spelled = ["chess", "pig", "moth"].map(|w| words::spell(w, &rules, &Overrides::default()));
        let spelled: Result<Vec<_>, _> = spelled.into_iter().collect();
        let about = SheetOptions {
            paper,
            key,
            ..SheetOptions::new(rules)
        };
        Ok(boxes::sheet(&spelled.map_err(|e| e.to_string())?, &about))
    });
    harness.state_mut().shared.print(preview);
    until(&mut harness, |h| h.query_by_role(Role::Document).is_some());
    harness
}

/// Steps until `done`, giving the jobs' threads time; fails after a long while.
fn until(harness: &mut Harness<'static, App>, done: impl Fn(&Harness<'static, App>) -> bool) {
    for _ in 0..500 {
        harness.step();
        if done(harness) {
            harness.run_steps(2);
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    panic!("it did not happen");
}

fn shown(harness: &Harness<'static, App>) -> String {
    let node = harness.get_by_role(Role::Document);
    node.accesskit_node().label().unwrap_or_default()
}

#[test]
fn pages_are_turned_by_mouse_and_key_and_read_out() {
    let mut window = window(&folder("turn"));
    assert!(
        shown(&window).starts_with("Page 1 of 2: Sound boxes"),
        "{}",
        shown(&window)
    );
    assert!(!shown(&window).contains("chess"), "the child's page gives no answers");
    window.get_by_label("Next page").click();
    window.run_steps(3);
    assert!(
        shown(&window).contains("chess") && shown(&window).contains("/mɔθ/"),
        "{}",
        shown(&window)
    );
    window.key_press(Key::PageUp);
    window.run_steps(3);
    assert!(shown(&window).starts_with("Page 1"));
    window.get_by_label("Answers: Without the key").click();
    until(&mut window, |w| shown(w).starts_with("Page 1 of 1"));
}

#[test]
fn the_page_keeps_the_papers_proportions_and_grows() {
    let mut window = window(&folder("zoom"));
    let small = window.get_by_role(Role::Document).rect();
    assert!((small.width() / small.height() - 8.5 / 11.0).abs() < 0.01, "{small:?}");
    window.key_press(Key::Plus);
    window.run_steps(3);
    let large = window.get_by_role(Role::Document).rect();
    assert!(large.width() > small.width() * 1.05, "{small:?} {large:?}");
    window.get_by_label("Paper: A4").click();
    until(&mut window, |w| {
        let rect = w.get_by_role(Role::Document).rect();
        (rect.width() / rect.height() - 210.0 / 297.0).abs() < 0.005
    });
}

#[test]
fn esc_closes_the_preview_and_stays_in_the_view() {
    let mut window = window(&folder("esc"));
    window.key_press(Key::Escape);
    window.run_steps(3);
    assert!(window.query_by_role(Role::Document).is_none());
    assert_eq!(window.state().shared.place(), MainView::Plan);
}

/// Puts `path` in place of the file's name.
fn write_name(window: &mut Harness<'static, App>, path: &Path) {
    window.get_by_role(Role::TextInput).focus();
    window.run_steps(2);
    window.key_press_modifiers(egui::Modifiers::COMMAND, Key::A);
    window.run_steps(2);
    window
        .get_by_role(Role::TextInput)
        .type_text(path.to_str().expect("a path"));
    window.run_steps(2);
}

/// Erasing a learner clears the notebook's folder of what the notebook put there; a printed report would stay.
#[test]
fn nothing_is_saved_among_what_the_notebook_keeps() {
    let folder = folder("inside");
    let mut window = window(&folder);
    let out = folder.join("boxes.pdf");
    write_name(&mut window, &out);
    window.get_by_label("Save to print").click();
    until(&mut window, |w| {
        w.query_by_label_contains("notebook's own folder").is_some()
    });
    assert!(!out.exists());
}

#[test]
fn what_is_saved_is_a_pdf_and_a_file_that_is_there_is_kept_until_asked() {
    let folder = folder("save");
    let out = folder.join("boxes.pdf");
    let home = folder.join("home");
    std::fs::create_dir_all(&home).expect("a scratch folder can be made");
    let mut window = window(&home);
    write_name(&mut window, &out);
    window.get_by_label("Save to print").click();
    until(&mut window, |_| out.is_file());
    assert!(std::fs::read(&out).expect("a file").starts_with(b"%PDF"));
    let pages = lopdf::Document::load(&out).expect("a PDF").get_pages().len();
    assert_eq!(pages, 2);

    std::fs::write(&out, b"dear letter").expect("a file can be written");
    until(&mut window, |w| w.query_by_label("Save to print").is_some());
    window.get_by_label("Save to print").click();
    until(&mut window, |w| w.query_by_label("Replace it").is_some());
    assert_eq!(std::fs::read(&out).expect("a file"), b"dear letter");
    window.get_by_label("Replace it").click();
    until(&mut window, |_| {
        std::fs::read(&out).is_ok_and(|b| b.starts_with(b"%PDF"))
    });
}

#[test]
fn what_is_saved_says_where_it_lies_and_can_be_opened_with_its_folder() {
    let folder = folder("open");
    let out = folder.join("boxes.pdf");
    let home = folder.join("home");
    std::fs::create_dir_all(&home).expect("a scratch folder can be made");
    let mut window = window(&home);
    let opened: Arc<Mutex<Vec<PathBuf>>> = Arc::default();
    let (kept, fails) = (opened.clone(), Arc::new(AtomicBool::new(false)));
    let failing = fails.clone();
    window.state_mut().shared.opens = Some(Arc::new(move |path: &Path| {
        kept.lock().unwrap().push(path.to_owned());
        match failing.load(Ordering::Relaxed) {
            true => Err("It could not be opened.".into()),
            false => Ok(()),
        }
    }));
    assert!(window.query_by_label("Open the file").is_none(), "nothing is saved yet");
    write_name(&mut window, &out);
    window.get_by_label("Save to print").click();
    until(&mut window, |w| w.query_by_label("Open the file").is_some());
    let line = format!("Saved as {}.", out.display());
    assert!(window.query_by_label(&line).is_some() || window.query_by_value(&line).is_some());
    window.get_by_label("Open the file").click();
    until(&mut window, |_| opened.lock().unwrap().len() == 1);
    window.get_by_label("Open its folder").click();
    until(&mut window, |_| opened.lock().unwrap().len() == 2);
    assert_eq!(*opened.lock().unwrap(), [out.clone(), folder.clone()]);
    fails.store(true, Ordering::Relaxed);
    window.get_by_label("Open the file").click();
    until(&mut window, |w| {
        w.query_by_label_contains("It could not be opened.").is_some()
    });
    // Where the desktop has no way, the path alone is said.
    window.state_mut().shared.opens = None;
    window.run_steps(2);
    assert!(window.query_by_label("Open the file").is_none());
    assert!(window.query_by_label(&line).is_some() || window.query_by_value(&line).is_some());
}

/// Every chart and card of the Sounds view can be printed: its button opens the preview of that very thing.
#[test]
fn charts_and_cards_have_a_print_button() {
    let home = folder("charts");
    let mut window = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .build_eframe(move |cc| App::new(&cc.egui_ctx, home));
    window.state_mut().shared.go(MainView::Sounds);
    window.run_steps(3);
    for (open, button, wanted) in [
        ("Print", "This chart", "The vowels"),
        ("Print", "A chart for the wall", "The mouth moves"),
        ("Chart: Consonants", "Print this card", "The sound p"),
        ("Print", "This chart", "bilabial"),
        ("Print", "A chart for the wall", "Feel your throat"),
    ] {
        window.get_by_label(open).click();
        window.run_steps(3);
        window.get_by_label(button).click();
        until(&mut window, |w| w.query_by_role(Role::Document).is_some());
        assert!(shown(&window).contains(wanted), "{wanted}: {}", shown(&window));
        window.key_press(Key::Escape);
        window.run_steps(3);
    }
    // By the keyboard: the menu opens under the ring, and the ring goes on into it.
    window.get_by_label("Print").focus();
    window.run_steps(2);
    window.key_press(Key::Enter);
    window.run_steps(3);
    for _ in 0..2 {
        window.key_press(Key::Tab);
        window.run_steps(2);
    }
    window.key_press(Key::Enter);
    until(&mut window, |w| w.query_by_role(Role::Document).is_some());
    assert!(
        shown(&window).contains("Cut along the broken lines"),
        "{}",
        shown(&window)
    );
}

/// What is previewed is what is printed: each text is as wide on the screen as the font's own advances make it on paper,
/// within a pixel or three parts in a hundred, at sizes from half to twice life size.
#[test]
fn text_is_as_wide_on_the_screen_as_on_paper() {
    let mut window = window(&folder("width"));
    let entry = soundbead_data::inventory::find("CH").expect("in the inventory");
    let sheets = [
        soundbead::sheet::card::sheet(entry, &SheetOptions::default()),
        soundbead::sheet::consonants::sheet(&SheetOptions::default()),
    ];
    let ctx = window.ctx.clone();
    window.run_steps(1);
    let mut seen = 0;
    for item in sheets.iter().flat_map(|s| &s.pages[0].items) {
        let soundbead::sheet::page::PageItem::Text(text) = item else {
            continue;
        };
        for scale in [0.5, 1.0, 2.0] {
            let family = match text.face {
                soundbead::sheet::font::FontFace::Regular => egui::FontFamily::Proportional,
                soundbead::sheet::font::FontFace::Bold => egui::FontFamily::Name("bold".into()),
            };
            let id = egui::FontId::new(text.size * scale, family);
            let shown = ctx.fonts_mut(|f| f.layout_no_wrap(text.text.clone(), id, egui::Color32::BLACK).size().x);
            let printed = soundbead::sheet::font::width(text.face, text.size, &text.text) * scale;
            assert!(
                (shown - printed).abs() <= (printed * 0.03).max(1.0),
                "`{}`: {shown} and {printed}",
                text.text
            );
            seen += 1;
        }
    }
    assert!(seen > 100, "{seen} texts");
}

/// In the smallest window every button of the preview still lies inside it.
#[test]
fn everything_fits_in_the_smallest_window() {
    let mut window = window(&folder("small"));
    window.set_size(vec2(800.0, 500.0));
    window.run_steps(4);
    for role in [Role::Button, Role::TextInput] {
        for node in window.query_all_by_role(role) {
            let rect = node.rect();
            assert!(
                rect.right() <= 800.5 && rect.bottom() <= 500.5,
                "{:?}: {rect:?}",
                node.accesskit_node().label()
            );
        }
    }
    let page = window.get_by_role(Role::Document).rect();
    assert!(page.height() > 100.0, "{page:?}");
}
