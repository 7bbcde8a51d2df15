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

/// Each crate, with its version, of which a package of ours is built.
fn built_of(package: &str) -> BTreeSet<String> {
    let tree = [
        "tree",
        "--offline",
        "--locked",
        "-e",
        "normal,build",
        "--prefix",
        "none",
        "-f",
        "{p}",
    ];
    let asked = std::process::Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
        .args(tree)
        .args(["-p", package])
        .current_dir(house())
        .output()
        .expect("cargo runs");
    assert!(asked.status.success(), "{}", String::from_utf8_lossy(&asked.stderr));
    let text = String::from_utf8(asked.stdout).expect("cargo writes UTF-8");
    let lines = text.lines().filter(|l| !l.is_empty() && !l.starts_with("soundbead"));
    lines.map(|l| l.trim_end_matches(" (*)").to_owned()).collect()
}

/// `app/run.sh` builds the ear first, so that there is something to see soon, and what it is built of is not for nothing.
#[test]
#[cfg(target_os = "linux")]
fn the_ear_is_built_of_few_of_the_crates_that_the_program_is_built_of() {
    let (ear, all) = (built_of("soundbead-dsp"), built_of("soundbead"));
    assert!(
        ear.len() > 20 && 4 * ear.len() <= all.len(),
        "{} and {} crates",
        ear.len(),
        all.len()
    );
    let besides: Vec<_> = ear.difference(&all).collect();
    assert!(besides.is_empty(), "{besides:?}");
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

/// Licenses under which a crate may be part of the program or of its tests: they ask for their text to go along (`notices` sees to
/// it), and for changes to a crate's own files to be given away (MPL), which is never done here.
const LICENSES: [&str; 13] = [
    "0BSD",
    "Apache-2.0",
    "BSD-1-Clause",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MPL-2.0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Whether an SPDX expression can be satisfied by the licenses above (SPDX specification 2.3, annex D: AND binds before OR). The
/// slash of older manifests stands for OR.
fn may_be_used(expression: &str) -> bool {
    let spaced = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let mut words = spaced.split_whitespace().peekable();
    any_of(&mut words)
}

type LicenseWords<'a> = std::iter::Peekable<std::str::SplitWhitespace<'a>>;

fn any_of(words: &mut LicenseWords) -> bool {
    let mut may = all_of(words);
    while words.next_if_eq(&"OR").is_some() {
        may |= all_of(words);
    }
    may
}

fn all_of(words: &mut LicenseWords) -> bool {
    let mut may = one(words);
    while words.next_if_eq(&"AND").is_some() {
        may &= one(words);
    }
    may
}

fn one(words: &mut LicenseWords) -> bool {
    match words.next() {
        Some("(") => {
            let may = any_of(words);
            words.next_if_eq(&")").is_some() && may
        }
        Some(license) => {
            // An exception only takes away from what is asked for.
            if words.next_if_eq(&"WITH").is_some() {
                words.next();
            }
            LICENSES.contains(&license)
        }
        None => false,
    }
}

#[test]
fn expressions_of_licenses_are_read_as_they_are_meant() {
    for yes in [
        "MIT",
        "MIT/Apache-2.0",
        "GPL-3.0-only OR MIT",
        "(MIT OR GPL-2.0-only) AND Unicode-3.0",
    ] {
        assert!(may_be_used(yes), "{yes}");
    }
    for no in [
        "",
        "GPL-3.0-only",
        "MIT AND GPL-3.0-only",
        "(MIT OR ISC) AND AGPL-3.0-only",
        "MIT AND",
    ] {
        assert!(!may_be_used(no), "{no}");
    }
}

/// For every platform, tests and build tools included.
#[test]
fn every_crate_is_under_a_license_that_may_be_used() {
    // Crates of other platforms are fetched where they are missing: a build here needs none of them.
    let args = ["metadata", "--format-version", "1", "--locked"];
    let asked = std::process::Command::new(env!("CARGO"))
        .args(args)
        .current_dir(house())
        .output();
    let answer = asked.expect("cargo runs");
    assert!(answer.status.success(), "{}", String::from_utf8_lossy(&answer.stderr));
    let metadata: serde_json::Value = serde_json::from_slice(&answer.stdout).expect("cargo metadata is JSON");
    let packages = metadata["packages"].as_array().expect("it names packages");
    assert!(
        packages.len() > 300,
        "{} packages are too few to be all",
        packages.len()
    );
    let unfit = packages
        .iter()
        .filter(|p| !may_be_used(p["license"].as_str().unwrap_or_default()));
    let names: Vec<String> = unfit.map(|p| format!("{}: {}", p["name"], p["license"])).collect();
    assert!(names.is_empty(), "look at these licenses: {names:?}");
}

/// From one registry, each with the checksum that the registry published: nothing comes from a branch that may move, or from
/// elsewhere on the disk.
#[test]
fn every_crate_comes_from_the_registry_and_is_held_by_its_checksum() {
    const REGISTRY: &str = "registry+https://github.com/rust-lang/crates.io-index";
    let lock = fs::read_to_string(house().join("Cargo.lock")).expect("the lock file is there");
    let mut own = Vec::new();
    for package in lock.split("[[package]]").skip(1) {
        let text = |key: &str| {
            package
                .lines()
                .find_map(|l| l.strip_prefix(key)?.strip_prefix(" = \"")?.strip_suffix('"'))
        };
        let name = text("name").expect("a package has a name");
        let Some(source) = text("source") else {
            own.push(name);
            continue;
        };
        assert_eq!(source, REGISTRY, "{name}");
        // SHA-256 in hexadecimal.
        assert!(
            text("checksum").is_some_and(|sum| sum.len() == 64),
            "{name} has no checksum"
        );
    }
    assert_eq!(
        own,
        ["soundbead", "soundbead-data", "soundbead-dsp", "soundbead-tests"],
        "packages without a source"
    );
}
