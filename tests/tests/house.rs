//! What holds for the whole house and no single part can see: no network code, and what lies at the top.
//! House rules of this project; no outside source.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use soundbead_tests::house::figures;

fn house() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("the tests lie in the workspace")
}

/// Crates whose work is talking to other machines. The desktop's message bus (`zbus`, for screen readers and file
/// dialogs) speaks over a local socket and is not one of them.
const NETWORK: [&str; 18] = [
    "curl",
    "h2",
    "hyper",
    "isahc",
    "native-tls",
    "openssl",
    "quinn",
    "reqwest",
    "rustls",
    "socket2",
    "surf",
    "tiny_http",
    "tonic",
    "tungstenite",
    "ureq",
    "warp",
    "webbrowser",
    "websocket",
];

#[test]
fn no_crate_that_is_built_in_talks_to_other_machines() {
    let lock = fs::read_to_string(house().join("Cargo.lock")).expect("the lock file is there");
    let names: BTreeSet<&str> = lock
        .lines()
        .filter_map(|l| l.strip_prefix("name = \"")?.strip_suffix('"'))
        .collect();
    assert!(names.contains("eframe"), "the lock file was not read as it is written");
    let found: Vec<_> = NETWORK.iter().filter(|n| names.contains(**n)).collect();
    assert!(found.is_empty(), "network crates in the lock file: {found:?}");
}

#[test]
fn no_source_of_ours_opens_a_socket() {
    let mut seen = 0;
    for krate in ["app/src", "data/src", "dsp/src"] {
        for file in sources(&house().join(krate)) {
            let text = fs::read_to_string(&file).expect("sources are UTF-8");
            seen += 1;
            for word in ["std::net", "TcpStream", "UdpSocket", "TcpListener"] {
                assert!(!text.contains(word), "{} names {word}", file.display());
            }
        }
    }
    assert!(seen > 50, "only {seen} sources were read");
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).expect("the folder is there");
    let paths: Vec<PathBuf> = entries.map(|e| e.expect("it can be read").path()).collect();
    let (folders, files): (Vec<_>, Vec<_>) = paths.into_iter().partition(|p| p.is_dir());
    let own = files.into_iter().filter(|f| f.extension().is_some_and(|e| e == "rs"));
    own.chain(folders.iter().flat_map(|f| sources(f))).collect()
}

#[test]
fn nothing_else_lies_at_the_top() {
    const TOP: [&str; 9] = [
        "Cargo.lock",
        "Cargo.toml",
        "DEVELOPERS.md",
        "README.md",
        "app",
        "data",
        "dsp",
        "recordings-demo",
        "tests",
    ];
    let names = fs::read_dir(house()).expect("the top can be listed");
    let names = names.map(|e| e.expect("it can be read").file_name().to_string_lossy().into_owned());
    // Built things and licences may lie there besides.
    let strange: Vec<String> = names
        .filter(|n| !n.starts_with('.') && !n.starts_with("LICENSE-") && n != "target" && !TOP.contains(&n.as_str()))
        .collect();
    assert!(strange.is_empty(), "at the top: {strange:?}");
}

#[test]
fn no_modules_of_a_crate_import_each_other_in_a_circle_and_types_have_names_of_their_own() {
    let found = figures(house()).expect("our sources can be read");
    assert!(
        found.lengths.len() > 1000,
        "only {} functions were read",
        found.lengths.len()
    );
    assert!(found.circles.is_empty(), "circles of imports: {:#?}", found.circles);
    // One in ten: what the project asks of itself.
    let shared: Vec<String> = found.shared.iter().map(ToString::to_string).collect();
    assert!(shared.len() * 10 < found.types, "shared type names: {shared:#?}");
}

#[test]
fn functions_are_short_and_public_ones_say_when_they_fail() {
    let found = figures(house()).expect("our sources can be read");
    assert!(found.long.is_empty(), "more than 60 lines: {:#?}", found.long);
    assert!(
        found.without_errors.is_empty(),
        "no `# Errors`: {:#?}",
        found.without_errors
    );
}
