//! The frame of the window, through its accessibility tree: rail, keys, help, settings, undo; and its type.

use std::path::PathBuf;

use egui::{Key, Modifiers, Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use soundbead::ui::{App, MainView, ThemeChoice};
use soundbead_data::inventory;

fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("window-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    folder
}

fn window(name: &str) -> Harness<'static, App> {
    let folder = folder(name);
    let mut harness = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .build_eframe(move |cc| App::new(&cc.egui_ctx, folder));
    harness.run_steps(3);
    harness
}

#[test]
fn every_view_is_reached_by_mouse_and_by_key_and_esc_comes_back() {
    let mut window = window("rail");
    for place in MainView::ALL.into_iter().rev() {
        window.get_by_role_and_label(Role::Tab, place.name()).click();
        window.run_steps(2);
        assert_eq!(window.state().shared.place(), place);
    }
    let keys = [
        Key::Num1,
        Key::Num2,
        Key::Num3,
        Key::Num4,
        Key::Num5,
        Key::Num6,
        Key::Num7,
    ];
    for (place, key) in MainView::ALL.into_iter().zip(keys) {
        window.key_press_modifiers(Modifiers::COMMAND, key);
        window.run_steps(2);
        assert_eq!(window.state().shared.place(), place);
    }
    window.key_press(Key::Escape);
    window.run_steps(2);
    assert_eq!(window.state().shared.place(), MainView::Notebook);
}

#[test]
fn the_rail_is_reached_by_the_keyboard_alone() {
    let mut window = window("tab");
    // Where the window opens, the name of who learns has the focus already.
    window.state_mut().shared.go(MainView::Settings);
    window.run_steps(3);
    for _ in 0..2 {
        window.key_press(Key::Tab);
        window.run_steps(2);
    }
    assert!(window.get_by_role_and_label(Role::Tab, "Sounds").is_focused());
    window.key_press(Key::Enter);
    window.run_steps(2);
    assert_eq!(window.state().shared.place(), MainView::Sounds);
}

#[test]
fn help_tells_the_keys_and_esc_closes_it_without_leaving_the_view() {
    let mut window = window("help");
    window.state_mut().shared.go(MainView::Plan);
    window.key_press(Key::F1);
    window.run_steps(3);
    assert!(window.query_by_label("Keys everywhere").is_some());
    window.key_press(Key::Escape);
    window.run_steps(3);
    assert!(window.query_by_label("Keys everywhere").is_none());
    assert_eq!(window.state().shared.place(), MainView::Plan);
}

/// Google's and the W3C's touch targets are 48 and 44 units (WCAG 2.2, success criterion 2.5.5: 44 by 44 CSS pixels).
#[test]
fn what_is_touched_is_at_least_44_points() {
    for place in MainView::ALL {
        let mut window = window("touch");
        window.state_mut().shared.go(place);
        window.run_steps(3);
        for role in [Role::Button, Role::Tab] {
            for node in window.query_all_by_role(role) {
                let rect = node.rect();
                let name = node.accesskit_node().label().unwrap_or_default();
                assert!(
                    rect.width() >= 44.0 && rect.height() >= 44.0,
                    "{place:?}: `{name}` is {:?}",
                    rect.size()
                );
                assert!(!name.is_empty(), "{place:?}: a {role:?} without a name at {rect:?}");
            }
        }
    }
}

#[test]
fn settings_change_rules_and_look_and_are_kept() {
    let mut window = window("settings");
    let kept = window.state().shared.folder.join("settings.toml");
    window.state_mut().shared.go(MainView::Settings);
    window.run_steps(3);
    window.get_by_label("Look: Dark").click();
    window.run_steps(2);
    window.get_by_label("Text size: Plain").click();
    window.get_by_label("Long u: One sound").click();
    window.run_steps(3);
    let prefs = window.state().shared.prefs.clone();
    assert_eq!(
        (prefs.look, prefs.rules.yu),
        (ThemeChoice::Dark, soundbead_data::rule::Counted::One)
    );
    assert_eq!(window.ctx.theme(), egui::Theme::Dark);
    // Kept by a worker: wait for the file to say what was set.
    let mut text = String::new();
    for _ in 0..1000 {
        window.step();
        text = std::fs::read_to_string(&kept).unwrap_or_default();
        if text.contains("yu = \"one\"") {
            break;
        }
        std::thread::yield_now();
        std::thread::sleep(std::time::Duration::from_millis(2));
    }
    assert!(text.contains("dark") && text.contains("yu = \"one\""), "{text}");
}

#[test]
fn every_rule_stands_with_its_reason() {
    let mut window = window("reasons");
    window.state_mut().shared.go(MainView::Settings);
    window.run_steps(3);
    for info in soundbead_data::Rules::about() {
        assert!(window.query_by_label(info.reason).is_some(), "{}", info.name);
    }
}

#[test]
fn an_undo_is_offered_and_reaches_the_view_that_promised_it() {
    let mut window = window("undo");
    let undo = window.state_mut().shared.say_with_undo("Bead taken away");
    window.run_steps(2);
    assert!(window.query_by_label("Bead taken away").is_some());
    window.get_by_label("Undo").click();
    window.run_steps(2);
    assert!(window.query_by_label("Bead taken away").is_none());
    assert!(window.state_mut().shared.take_undo(undo));
}

/// Every sign that the window can be asked to show is in the shipped type: the inventory's IPA, both faces.
#[test]
fn every_sound_has_its_signs_in_the_type() {
    let window = window("type");
    let mut missing = Vec::new();
    let texts = inventory::all()
        .iter()
        .flat_map(|e| [e.ipa.as_str(), e.respelling.as_str()]);
    let marks = "ABCXYZabcxyz0189 .,:;!?'\"()[]{}/%+-–—−×·…→←↑↓≈≥≤±°“”‘’ˈˌː";
    for c in texts.flat_map(str::chars).chain(marks.chars()) {
        for font in [soundbead::ui::theme::font(17.0), soundbead::ui::theme::bold_font(17.0)] {
            if !window.ctx.fonts_mut(|f| f.has_glyph(&font, c)) {
                missing.push((c, font.family.to_string()));
            }
        }
    }
    assert!(missing.is_empty(), "{missing:?}");
}

/// Every sign outside ASCII in what the window can say: its own sources and the inventory's table.
#[test]
fn every_text_of_the_window_has_its_signs_in_the_type() {
    let window = window("texts");
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let mut files = vec![root.join("../data/tables/sounds.toml")];
    let mut folders = vec![root.join("src")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).expect("the sources are there").flatten() {
            let path = entry.path();
            // What only the terminal and files of values (CSV) show is not looked at.
            let terminal = [
                "cli",
                "strip.rs",
                "page.rs",
                "shown.rs",
                "help.rs",
                "visible.rs",
                "export.rs",
            ]
            .iter()
            .any(|n| path.ends_with(n));
            if path.is_dir() && !terminal {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") && !terminal {
                files.push(path);
            }
        }
    }
    assert!(files.len() > 50, "{} files", files.len());
    let font = soundbead::ui::theme::font(17.0);
    let mut missing = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("readable");
        let lines = text.lines().filter(|l| !l.trim_start().starts_with("//"));
        for c in lines.flat_map(str::chars).filter(|c| !c.is_ascii()) {
            if !window.ctx.fonts_mut(|f| f.has_glyph(&font, c)) {
                missing.push((c, file.file_name().map(|n| n.to_owned())));
            }
        }
    }
    assert!(missing.is_empty(), "{missing:?}");
}
