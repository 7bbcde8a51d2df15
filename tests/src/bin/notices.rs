//! The licenses of every crate that is part of the program, as text to ship with it.
//!
//! ```text
//! cargo run -p soundbead-tests --bin notices > notices.txt
//! ```
//! What is part of the program, and under which license, is what `cargo metadata` says for this platform, build
//! dependencies and tests left out. The texts are those in the crates' own folders, each written once with the names of
//! those that share it. A crate without a text of its own is named with its license alone. Exit status 1, and one line, when a
//! crate has no license at all.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::error::Error;
use std::path::Path;
use std::process::{Command, ExitCode};
use std::{env, fs, iter};

use serde_json::Value;

/// The program's own package.
const PROGRAM: &str = "soundbead";

/// How files with license texts begin, in small letters.
const TEXTS: [&str; 5] = ["license", "licence", "copying", "notice", "unlicense"];

fn main() -> ExitCode {
    match notices() {
        Ok(text) => {
            print!("{text}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("notices: {why}");
            ExitCode::FAILURE
        }
    }
}

/// The whole text.
fn notices() -> Result<String, Box<dyn Error>> {
    let metadata = metadata()?;
    let packages = metadata["packages"]
        .as_array()
        .ok_or("cargo metadata names no packages")?;
    let inside = closure(&metadata, packages)?;
    let mut crates: Vec<&Value> = packages.iter().filter(|p| inside.contains(text(p, "id"))).collect();
    crates.sort_by_key(|p| (text(p, "name"), text(p, "version")));
    let mut out = format!(
        "Soundbead is made of these {} crates besides its own.\n\n",
        crates.len()
    );
    let mut texts: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for package in crates {
        let name = format!("{} {}", text(package, "name"), text(package, "version"));
        let folder = Path::new(text(package, "manifest_path"))
            .parent()
            .ok_or("a manifest lies in a folder")?;
        let found = license_texts(folder)?;
        let license = text(package, "license");
        if license.is_empty() && found.is_empty() {
            return Err(format!("{name} names no license and has no license text").into());
        }
        out += &format!("{name}  {license}  {}\n", text(package, "repository"));
        for found in found {
            texts.entry(found).or_default().push(name.clone());
        }
    }
    for (license, names) in texts {
        out += &format!("\n{}\n{}\n\n{}\n", "=".repeat(78), names.join(", "), license.trim_end());
    }
    Ok(out)
}

fn metadata() -> Result<Value, Box<dyn Error>> {
    let cargo = env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let version = Command::new(&cargo).arg("-vV").output()?.stdout;
    let version = String::from_utf8(version)?;
    let host = version
        .lines()
        .find_map(|line| line.strip_prefix("host: "))
        .ok_or("cargo names no host")?;
    let arguments = [
        "metadata",
        "--format-version",
        "1",
        "--locked",
        "--filter-platform",
        host,
    ];
    let said = Command::new(&cargo).args(arguments).output()?;
    if !said.status.success() {
        return Err(String::from_utf8_lossy(&said.stderr).trim().to_owned().into());
    }
    Ok(serde_json::from_slice(&said.stdout)?)
}

/// The ids of what the program is built from, without our own packages.
fn closure(metadata: &Value, packages: &[Value]) -> Result<BTreeSet<String>, Box<dyn Error>> {
    let nodes = metadata["resolve"]["nodes"]
        .as_array()
        .ok_or("cargo metadata resolves nothing")?;
    let nodes: HashMap<&str, &Value> = nodes.iter().map(|node| (text(node, "id"), node)).collect();
    let program = packages
        .iter()
        .find(|p| text(p, "name") == PROGRAM)
        .ok_or("the program is not in the workspace")?;
    let mut seen = BTreeSet::new();
    let mut open = vec![text(program, "id")];
    while let Some(id) = open.pop() {
        if seen.insert(id.to_owned()) {
            let deps = nodes.get(id).and_then(|node| node["deps"].as_array());
            open.extend(
                deps.into_iter()
                    .flatten()
                    .filter(|d| is_normal(d))
                    .map(|d| text(d, "pkg")),
            );
        }
    }
    let ours: BTreeSet<&str> = metadata["workspace_members"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .collect();
    seen.retain(|id| !ours.contains(id.as_str()));
    Ok(seen)
}

/// Whether a dependency becomes part of the program: not one of build scripts or tests alone.
fn is_normal(dependency: &Value) -> bool {
    let kinds = dependency["dep_kinds"].as_array();
    kinds.into_iter().flatten().any(|kind| kind["kind"].is_null())
}

/// The license texts in a crate's folder.
fn license_texts(folder: &Path) -> Result<Vec<String>, Box<dyn Error>> {
    let mut files: Vec<_> = iter::once(folder.to_owned())
        .chain(["LICENSES", "licenses"].map(|inner| folder.join(inner)))
        .filter_map(|folder| fs::read_dir(folder).ok())
        .flatten()
        .filter_map(|entry| entry.ok())
        .map(|entry| entry.path())
        .filter(|path| path.is_file() && is_license(path))
        .collect();
    files.sort();
    let read = |path| fs::read(path).map(|bytes| String::from_utf8_lossy(&bytes).replace('\r', ""));
    Ok(files.into_iter().map(read).collect::<Result<_, _>>()?)
}

fn is_license(path: &Path) -> bool {
    let name = path.file_name().unwrap_or_default().to_string_lossy().to_lowercase();
    let within = path
        .parent()
        .is_some_and(|p| p.ends_with("LICENSES") || p.ends_with("licenses"));
    within || TEXTS.iter().any(|start| name.starts_with(start))
}

/// A field's text; empty where there is none.
fn text<'v>(value: &'v Value, field: &str) -> &'v str {
    value[field].as_str().unwrap_or_default()
}
