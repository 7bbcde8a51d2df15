//! A window with a lesson in it.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use egui::{Key, Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use soundbead::mic::spoken::{KeepingPlayer, Pace, SpokenFiles};
use soundbead::notebook::Attempt;
use soundbead::ui::{App, MainView};
use soundbead_data::Rules;

/// What is pressed where nobody is to learn.
pub const ONLY_TRY: &str = "Only try it: nothing is kept";

pub type Window = Harness<'static, App>;

pub fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../recordings-demo")
        .join(name)
}

/// An empty folder of this name for the test file that asks.
#[track_caller]
pub fn folder(name: &str) -> PathBuf {
    let asked_by = Path::new(std::panic::Location::caller().file()).file_stem();
    let asked_by = asked_by.expect("a source file has a name").to_string_lossy();
    let folder = format!("window-{}-{asked_by}-{name}", std::process::id());
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(folder);
    let _ = std::fs::remove_dir_all(&folder);
    folder
}

/// Each frame brings 33 ms of sound.
pub fn spoken(names: &[&str]) -> SpokenFiles {
    let files = names.iter().map(|n| demo(n)).collect();
    SpokenFiles::new(files).paced(Pace::EachRead(Duration::from_millis(33)))
}

/// A window at the Drill, over an empty folder.
#[track_caller]
pub fn window(name: &str, mic: SpokenFiles) -> Window {
    window_over(folder(name), mic)
}

pub fn window_over(folder: PathBuf, mic: SpokenFiles) -> Window {
    let mut window = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .build_eframe(move |cc| App::new(&cc.egui_ctx, folder));
    let shared = &mut window.state_mut().shared;
    shared.mic = Box::new(mic);
    shared.playback = soundbead::playback::Playback::on(Box::new(KeepingPlayer::default()));
    shared.go(MainView::Drill);
    window.run_steps(3);
    window
}

/// Puts a learner called Juno into the notebook, or takes the one who is there, and picks her.
pub fn pick_juno(window: &mut Window) {
    let shared = &mut window.state_mut().shared;
    let learner = shared.notebook.ask(|n| match n.learners()?.into_iter().next() {
        Some(learner) => Ok(learner),
        None => n.add_learner("Juno", &Rules::default()),
    });
    let learner = learner.wait().unwrap();
    shared.learner = Some(learner.into());
    window.run_steps(2);
}

/// What is in the notebook of the learner in hand, once all that was asked of it is done.
pub fn attempts(window: &mut Window) -> Vec<Attempt> {
    let shared = &window.state().shared;
    let learner = shared.learner.as_ref().unwrap().id;
    let all = soundbead::notebook::ListRange { skip: 0, take: 100 };
    let found = shared
        .notebook
        .ask(move |n| n.attempts(learner, &Default::default(), all));
    found.wait().unwrap()
}

/// Steps until `done`, half a minute at most.
pub fn until(window: &mut Window, what: &str, done: impl Fn(&Window) -> bool) {
    let end = Instant::now() + Duration::from_secs(30);
    while !done(window) {
        assert!(
            Instant::now() < end,
            "waited in vain for {what}; there is:\n{}",
            texts(window).join("\n")
        );
        window.step();
        std::thread::sleep(Duration::from_millis(2));
    }
    window.run_steps(2);
}

/// Whether some node says `text`, as its name or as its words.
pub fn says(window: &Window, text: &str) -> bool {
    texts(window).iter().any(|t| t.contains(text))
}

/// Everything that can be read: names and words of all nodes.
pub fn texts(window: &Window) -> Vec<String> {
    let mut all = Vec::new();
    for node in window.root().children_recursive() {
        let node = node.accesskit_node();
        all.extend(node.label());
        all.extend(node.value());
    }
    all
}

/// What stands on the screen as text, without the names of what is drawn.
pub fn shown(window: &Window) -> Vec<String> {
    let texts = window.query_all_by(|node| matches!(node.role(), Role::Label | Role::Heading));
    let both = |n: egui_kittest::Node| {
        let node = n.accesskit_node();
        [node.label(), node.value()]
    };
    texts.flat_map(both).flatten().collect()
}

pub fn press(window: &mut Window, name: &str) {
    window.get_by_role_and_label(Role::Button, name).click();
    window.run_steps(3);
}

pub fn key(window: &mut Window, key: Key) {
    window.key_press(key);
    window.run_steps(3);
}

/// Types into a field.
pub fn fill(window: &mut Window, name: &str, text: &str) {
    window.get_by_role_and_label(Role::TextInput, name).focus();
    window.run_steps(2);
    window.event(egui::Event::Text(text.into()));
    window.run_steps(2);
}

/// Types words into the start and begins.
pub fn begin(window: &mut Window, words: &str) {
    fill(window, "Your own words", words);
    window.run_steps(2);
    press(window, "Start these");
    // Asked once, before the first recording.
    if window.query_by_label(ONLY_TRY).is_some() {
        press(window, ONLY_TRY);
    }
    until(window, "the lesson", |w| says(w, "Add a bead"));
}

/// Shows what is for the grown-up beside the recording.
pub fn for_the_grown_up(window: &mut Window) {
    key(window, Key::V);
}

/// Leaves the step in hand without an answer.
pub fn skip(window: &mut Window) {
    press(window, "Skip this step");
}

/// Types into a box of letters.
pub fn write(window: &mut Window, at: usize, of: usize, text: &str) {
    let label = format!("Letters of box {at} of {of}");
    window.get_by_label_contains(&label).focus();
    window.run_steps(2);
    window.get_by_label_contains(&label).focus();
    window.event(egui::Event::Text(text.into()));
    window.run_steps(3);
}

/// Records the word in hand by the space bar and waits for the counts.
pub fn record(window: &mut Window) {
    key(window, Key::Space);
    until(window, "the counts", |w| w.query_by_label("Say it again").is_some());
}
