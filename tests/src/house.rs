//! What can be counted of the workspace itself: lines, circles of imports, shared type names, long functions, missing docs.
//!
//! The sources are read with a parser of Rust (crate `syn`), not as text, so that a word in a comment or in a string counts
//! for nothing. Tests inside `src` are left out.

mod graph;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use proc_macro2::Span;
use syn::spanned::Spanned;
use syn::visit::{self, Visit};
use syn::{Attribute, File, Item, Meta, ReturnType, Signature, Type, Visibility};

/// The four crates of the workspace.
pub const CRATES: [&str; 4] = ["app", "data", "dsp", "tests"];
/// A function longer than this does more than one thing: common practice, no source.
const LONG: usize = 60;

/// Where something stands: a file below the workspace, and a line in it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct SourcePlace {
    /// Path below the workspace.
    pub file: String,
    /// From 1.
    pub line: usize,
    /// What it is called.
    pub name: String,
}

impl std::fmt::Display for SourcePlace {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}:{} {}", self.file, self.line, self.name)
    }
}

/// What was counted.
#[derive(Debug, Default)]
pub struct HouseFigures {
    /// For each crate the lines of `src` that are neither blank nor a comment, tests inside `src` included.
    pub code_lines: Vec<(&'static str, usize)>,
    /// Groups of modules of one crate that import each other in a circle. A module that uses its own children makes none.
    pub circles: Vec<Vec<String>>,
    /// How many types (structs, enums, traits, unions, aliases) are defined.
    pub types: usize,
    /// Those whose name another type of the workspace has too.
    pub shared: Vec<SourcePlace>,
    /// Public items and methods in the public modules of dsp.
    pub public_of_dsp: usize,
    /// Lines of each function, the shortest first.
    pub lengths: Vec<usize>,
    /// Functions of more than 60 lines.
    pub long: Vec<SourcePlace>,
    /// Public functions that return a `Result` and do not say when it is an error.
    pub without_errors: Vec<SourcePlace>,
}

/// One module: its path inside the crate, the file it stands in, and what it holds besides its own modules.
struct ModuleSource {
    path: Vec<String>,
    file: String,
    public: bool,
    items: Vec<Item>,
}

/// Counts everything in the workspace at `root`.
///
/// # Errors
/// A file that cannot be read or parsed, with its path.
pub fn figures(root: &Path) -> Result<HouseFigures, String> {
    let mut found = HouseFigures::default();
    let mut types: BTreeMap<String, Vec<SourcePlace>> = BTreeMap::new();
    for krate in CRATES {
        let modules = modules(root, krate)?;
        found
            .code_lines
            .push((krate, code_lines(&root.join(krate).join("src"))?));
        found.circles.extend(graph::circles(krate, &modules));
        for module in &modules {
            for place in module.items.iter().filter_map(|item| defined_type(item, &module.file)) {
                types.entry(place.name.clone()).or_default().push(place);
            }
            let mut functions = FunctionVisitor {
                file: &module.file,
                found: &mut found,
                counts_public: krate == "dsp" && module.public,
            };
            module.items.iter().for_each(|item| functions.visit_item(item));
        }
    }
    found.types = types.values().map(Vec::len).sum();
    found.shared = types
        .into_values()
        .filter(|places| places.len() > 1)
        .flatten()
        .collect();
    found.lengths.sort_unstable();
    Ok(found)
}

/// Prints the figures; with `all` each place that they count.
///
/// # Errors
/// As [`figures`].
pub fn run(all: bool) -> Result<(), String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let found = figures(&root)?;
    for (krate, lines) in &found.code_lines {
        println!("{krate}/src: {lines} lines of code");
    }
    let shared = found.shared.len();
    println!("circles of imports inside a crate: {}", found.circles.len());
    println!("type names shared with another type: {shared} of {}", found.types);
    println!("public items of dsp: {}", found.public_of_dsp);
    let at = |share: usize| {
        found
            .lengths
            .get(found.lengths.len() * share / 10)
            .copied()
            .unwrap_or(0)
    };
    println!(
        "functions: {}, lines in the middle {}, nine in ten at most {}",
        found.lengths.len(),
        at(5),
        at(9)
    );
    println!("functions of more than {LONG} lines: {}", found.long.len());
    println!(
        "fallible public functions that do not say when they fail: {}",
        found.without_errors.len()
    );
    if all {
        found
            .circles
            .iter()
            .for_each(|circle| println!("  circle: {}", circle.join(", ")));
        let places = [
            ("shared", &found.shared),
            ("long", &found.long),
            ("no # Errors", &found.without_errors),
        ];
        for (what, places) in places {
            places.iter().for_each(|place| println!("  {what}: {place}"));
        }
    }
    Ok(())
}

/// Every module of a crate that is not a test, the outermost first.
fn modules(root: &Path, krate: &str) -> Result<Vec<ModuleSource>, String> {
    let mut found = Vec::new();
    let source = root.join(krate).join("src");
    read_module(root, &source.join("lib.rs"), &source, Vec::new(), true, &mut found)?;
    Ok(found)
}

/// Reads the module in `file`, whose own modules lie in `folder`, and those below it.
fn read_module(
    root: &Path,
    file: &Path,
    folder: &Path,
    path: Vec<String>,
    public: bool,
    found: &mut Vec<ModuleSource>,
) -> Result<(), String> {
    let text = fs::read_to_string(file).map_err(|error| format!("{}: {error}", file.display()))?;
    let parsed: File = syn::parse_file(&text).map_err(|error| format!("{}: {error}", file.display()))?;
    let name = file.strip_prefix(root).unwrap_or(file).display().to_string();
    let mut below = Vec::new();
    split(name, path, public, parsed.items, &mut below, found);
    for (path, public) in below {
        let inside = path.last().map(String::as_str).unwrap_or_default();
        let plain = folder.join(format!("{inside}.rs"));
        let file = if plain.exists() {
            plain
        } else {
            folder.join(inside).join("mod.rs")
        };
        read_module(root, &file, &folder.join(inside), path, public, found)?;
    }
    Ok(())
}

/// Parts a module's items from its own modules: those written inside it are modules too, those in files go to `below`.
fn split(
    file: String,
    path: Vec<String>,
    public: bool,
    items: Vec<Item>,
    below: &mut Vec<(Vec<String>, bool)>,
    found: &mut Vec<ModuleSource>,
) {
    let mut own = Vec::new();
    for item in items.into_iter().filter(|item| !is_test(attributes(item))) {
        let Item::Mod(module) = item else {
            own.push(item);
            continue;
        };
        // A file that is borrowed from elsewhere is counted where it lies.
        if module.attrs.iter().any(|attribute| attribute.path().is_ident("path")) {
            continue;
        }
        let mut inner = path.clone();
        inner.push(module.ident.to_string());
        let public = public && matches!(module.vis, Visibility::Public(_));
        match module.content {
            Some((_, items)) => split(file.clone(), inner, public, items, below, found),
            None => below.push((inner, public)),
        }
    }
    found.push(ModuleSource {
        path,
        file,
        public,
        items: own,
    });
}

/// The attributes of the items that a test could be.
fn attributes(item: &Item) -> &[Attribute] {
    match item {
        Item::Mod(item) => &item.attrs,
        Item::Fn(item) => &item.attrs,
        Item::Impl(item) => &item.attrs,
        Item::Struct(item) => &item.attrs,
        Item::Use(item) => &item.attrs,
        _ => &[],
    }
}

/// Whether it is built for tests alone: `#[cfg(test)]`, or with more beside it.
fn is_test(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| match &attribute.meta {
        Meta::List(list) if list.path.is_ident("cfg") => {
            let text = list.tokens.to_string();
            text.split(|c: char| !c.is_alphanumeric()).any(|word| word == "test") && !text.contains("not")
        }
        _ => false,
    })
}

/// The type that an item defines.
fn defined_type(item: &Item, file: &str) -> Option<SourcePlace> {
    let name = match item {
        Item::Struct(item) => &item.ident,
        Item::Enum(item) => &item.ident,
        Item::Trait(item) => &item.ident,
        Item::Type(item) => &item.ident,
        Item::Union(item) => &item.ident,
        _ => return None,
    };
    Some(place(file, name.span(), &name.to_string()))
}

fn place(file: &str, span: Span, name: &str) -> SourcePlace {
    SourcePlace {
        file: file.to_owned(),
        line: span.start().line,
        name: name.to_owned(),
    }
}

/// Looks at every function, and counts what is public.
struct FunctionVisitor<'a> {
    file: &'a str,
    found: &'a mut HouseFigures,
    counts_public: bool,
}

impl FunctionVisitor<'_> {
    fn look(&mut self, public: bool, attributes: &[Attribute], signature: &Signature, block: Span) {
        let lines = 1 + block.end().line - signature.span().start().line;
        let place = place(self.file, signature.ident.span(), &signature.ident.to_string());
        self.found.lengths.push(lines);
        if lines > LONG {
            self.found.long.push(place.clone());
        }
        if public && returns_result(&signature.output) && !says_errors(attributes) {
            self.found.without_errors.push(place);
        }
        self.count(public);
    }

    fn count(&mut self, public: bool) {
        self.found.public_of_dsp += usize::from(self.counts_public && public);
    }
}

impl<'ast> Visit<'ast> for FunctionVisitor<'_> {
    fn visit_item(&mut self, item: &'ast Item) {
        let visibility = match item {
            Item::Struct(item) => &item.vis,
            Item::Enum(item) => &item.vis,
            Item::Trait(item) => &item.vis,
            Item::Type(item) => &item.vis,
            Item::Const(item) => &item.vis,
            Item::Static(item) => &item.vis,
            _ => &Visibility::Inherited,
        };
        self.count(matches!(visibility, Visibility::Public(_)));
        visit::visit_item(self, item);
    }

    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        let public = matches!(item.vis, Visibility::Public(_));
        self.look(public, &item.attrs, &item.sig, item.block.span());
        visit::visit_item_fn(self, item);
    }

    fn visit_impl_item_fn(&mut self, item: &'ast syn::ImplItemFn) {
        let public = matches!(item.vis, Visibility::Public(_));
        self.look(public, &item.attrs, &item.sig, item.block.span());
        visit::visit_impl_item_fn(self, item);
    }
}

fn returns_result(output: &ReturnType) -> bool {
    let ReturnType::Type(_, returned) = output else {
        return false;
    };
    let Type::Path(returned) = returned.as_ref() else {
        return false;
    };
    returned.path.segments.last().is_some_and(|last| last.ident == "Result")
}

fn says_errors(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| {
        let Meta::NameValue(pair) = &attribute.meta else {
            return false;
        };
        let syn::Expr::Lit(literal) = &pair.value else {
            return false;
        };
        let syn::Lit::Str(text) = &literal.lit else {
            return false;
        };
        pair.path.is_ident("doc") && text.value().trim() == "# Errors"
    })
}

/// Lines of all files below `folder` that are neither blank nor wholly a comment.
fn code_lines(folder: &Path) -> Result<usize, String> {
    let mut lines = 0;
    for file in rust_files(folder)? {
        let text = fs::read_to_string(&file).map_err(|error| format!("{}: {error}", file.display()))?;
        let code = text
            .lines()
            .map(str::trim)
            .filter(|line| !line.is_empty() && !line.starts_with("//"));
        lines += code.count();
    }
    Ok(lines)
}

fn rust_files(folder: &Path) -> Result<Vec<PathBuf>, String> {
    let told = |error: std::io::Error| format!("{}: {error}", folder.display());
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).map_err(told)? {
        let path = entry.map_err(told)?.path();
        match path.is_dir() {
            true => files.extend(rust_files(&path)?),
            false if path.extension().is_some_and(|ending| ending == "rs") => files.push(path),
            false => {}
        }
    }
    Ok(files)
}
