//! Which module uses which, and the circles in it.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use proc_macro2::{TokenStream, TokenTree};
use syn::visit::{self, Visit};
use syn::{Item, ItemUse, Path, UseTree, Visibility};

use super::ModuleSource;

/// A path in the code, from the top of its crate: the names between the double colons.
type CratePath = Vec<String>;
/// How often a name that is handed on (`pub use`) is followed: longer rows of them are not written.
const HANDED_ON: usize = 8;

/// The circles of a crate's imports, each as the names of its modules.
///
/// A module that uses its own children makes none, for that is what modules are for; nor does the top of the crate, which
/// hands on what lies below. Where a name is handed on (`pub use`), the module that defines it is the one that is used.
pub(super) fn circles(krate: &str, modules: &[ModuleSource]) -> Vec<Vec<String>> {
    let map = ModuleMap::new(modules);
    let edges: Vec<Vec<usize>> = (0..modules.len()).map(|from| map.used_by(from)).collect();
    let name = |at: &usize| format!("{krate}::{}", modules[*at].path.join("::"));
    let found = connected(&edges);
    found.iter().map(|circle| circle.iter().map(name).collect()).collect()
}

/// What one module brings in and names.
#[derive(Default)]
struct ModuleUses {
    /// Names brought in or handed on, with the path that each stands for.
    names: HashMap<String, CratePath>,
    /// Modules of which everything is brought in.
    all_of: Vec<CratePath>,
    /// Paths that are used here.
    used: Vec<CratePath>,
    /// Names of what is defined here.
    defined: HashSet<String>,
}

struct ModuleMap<'a> {
    modules: &'a [ModuleSource],
    at: HashMap<&'a [String], usize>,
    uses: Vec<ModuleUses>,
}

impl<'a> ModuleMap<'a> {
    fn new(modules: &'a [ModuleSource]) -> ModuleMap<'a> {
        let at: HashMap<&[String], usize> = modules
            .iter()
            .enumerate()
            .map(|(n, m)| (m.path.as_slice(), n))
            .collect();
        let uses = modules.iter().map(|module| read(module, &at)).collect();
        ModuleMap { modules, at, uses }
    }

    /// The modules that `from` uses, its own children and itself left out.
    fn used_by(&self, from: usize) -> Vec<usize> {
        let own = &self.modules[from].path;
        let targets = self.uses[from].used.iter().filter_map(|path| self.resolve(path, 0));
        let others = targets.filter(|&to| !own.is_empty() && !self.modules[to].path.starts_with(own));
        others.collect::<BTreeSet<usize>>().into_iter().collect()
    }

    /// The module that defines what a path names; nothing where the path names a module itself.
    fn resolve(&self, path: &[String], depth: usize) -> Option<usize> {
        if depth > HANDED_ON {
            return None;
        }
        let mut module: &[String] = &[];
        for (place, name) in path.iter().enumerate() {
            if self.at.contains_key(&path[..=place]) {
                module = &path[..=place];
                continue;
            }
            let at = *self.at.get(module)?;
            let uses = &self.uses[at];
            if uses.defined.contains(name) {
                return Some(at);
            }
            let rest = &path[place + 1..];
            if let Some(meant) = uses.names.get(name).filter(|meant| meant.as_slice() != path) {
                return self.resolve(&[meant.as_slice(), rest].concat(), depth + 1);
            }
            let within = uses
                .all_of
                .iter()
                .find_map(|all| self.resolve(&[all.as_slice(), &path[place..]].concat(), depth + 1));
            return within.or(Some(at));
        }
        None
    }
}

/// Reads what a module brings in, names and defines.
fn read(module: &ModuleSource, at: &HashMap<&[String], usize>) -> ModuleUses {
    let mut reader = PathReader {
        module,
        at,
        uses: ModuleUses::default(),
    };
    let is_use = |item: &&Item| matches!(item, Item::Use(_));
    // What is brought in first: the paths in the code begin with its names.
    module
        .items
        .iter()
        .filter(is_use)
        .for_each(|item| reader.visit_item(item));
    module
        .items
        .iter()
        .filter(|item| !is_use(item))
        .for_each(|item| reader.visit_item(item));
    reader.uses
}

struct PathReader<'a> {
    module: &'a ModuleSource,
    at: &'a HashMap<&'a [String], usize>,
    uses: ModuleUses,
}

impl PathReader<'_> {
    /// A path as it stands in the module, from the top of the crate; nothing where it leads to another crate.
    fn absolute(&self, path: &[String]) -> Option<CratePath> {
        let own = &self.module.path;
        let ups = path.iter().take_while(|name| *name == "super").count();
        match path.first()?.as_str() {
            "crate" => Some(path[1..].to_vec()),
            "self" => Some([own, &path[1..]].concat()),
            "super" => Some([&own[..own.len().checked_sub(ups)?], &path[ups..]].concat()),
            first => {
                let child = [own.as_slice(), &[first.to_owned()]].concat();
                match self.at.contains_key(child.as_slice()) {
                    true => Some([own, path].concat()),
                    false => self.uses.names.get(first).map(|meant| [meant, &path[1..]].concat()),
                }
            }
        }
    }

    fn bring(&mut self, tree: &UseTree, before: &[String], handed_on: bool) {
        match tree {
            UseTree::Path(path) => self.bring(&path.tree, &[before, &[path.ident.to_string()]].concat(), handed_on),
            UseTree::Group(group) => group.items.iter().for_each(|tree| self.bring(tree, before, handed_on)),
            UseTree::Glob(_) => self.uses.all_of.extend(self.absolute(before)),
            UseTree::Name(name) => self.name(before, &name.ident.to_string(), &name.ident.to_string(), handed_on),
            UseTree::Rename(name) => self.name(before, &name.ident.to_string(), &name.rename.to_string(), handed_on),
        }
    }

    fn name(&mut self, before: &[String], name: &str, called: &str, handed_on: bool) {
        let (path, called) = match name {
            "self" => (before.to_vec(), before.last().cloned().unwrap_or_default()),
            _ => ([before, &[name.to_owned()]].concat(), called.to_owned()),
        };
        if let Some(path) = self.absolute(&path) {
            // Handing on is no use of it.
            if !handed_on {
                self.uses.used.push(path.clone());
            }
            self.uses.names.insert(called, path);
        }
    }

    fn used(&mut self, path: &[String]) {
        if path.len() > 1 {
            self.uses.used.extend(self.absolute(path));
        }
    }

    /// Paths inside a macro's call, which is not parsed: rows of names with double colons between them.
    fn tokens(&mut self, tokens: TokenStream) {
        let (mut path, mut colons) = (CratePath::new(), 0);
        for token in tokens {
            match token {
                TokenTree::Ident(ident) => {
                    if colons != 2 {
                        self.used(&std::mem::take(&mut path));
                    }
                    path.push(ident.to_string());
                    colons = 0;
                }
                TokenTree::Punct(mark) if mark.as_char() == ':' => colons += 1,
                TokenTree::Group(group) => {
                    self.used(&std::mem::take(&mut path));
                    self.tokens(group.stream());
                }
                _ => self.used(&std::mem::take(&mut path)),
            }
        }
        self.used(&path);
    }
}

impl<'ast> Visit<'ast> for PathReader<'_> {
    fn visit_item(&mut self, item: &'ast Item) {
        let name = match item {
            Item::Struct(item) => Some(&item.ident),
            Item::Enum(item) => Some(&item.ident),
            Item::Trait(item) => Some(&item.ident),
            Item::Type(item) => Some(&item.ident),
            Item::Union(item) => Some(&item.ident),
            Item::Const(item) => Some(&item.ident),
            Item::Static(item) => Some(&item.ident),
            Item::Fn(item) => Some(&item.sig.ident),
            Item::Macro(item) => item.ident.as_ref(),
            _ => None,
        };
        self.uses.defined.extend(name.map(ToString::to_string));
        visit::visit_item(self, item);
    }

    fn visit_item_use(&mut self, item: &'ast ItemUse) {
        self.bring(&item.tree, &[], !matches!(item.vis, Visibility::Inherited));
    }

    fn visit_path(&mut self, path: &'ast Path) {
        let names: CratePath = path.segments.iter().map(|segment| segment.ident.to_string()).collect();
        self.used(&names);
        visit::visit_path(self, path);
    }

    fn visit_macro(&mut self, call: &'ast syn::Macro) {
        self.tokens(call.tokens.clone());
    }
}

/// Groups of more than one node that can all be reached from each other.
fn connected(edges: &[Vec<usize>]) -> Vec<Vec<usize>> {
    let reached: Vec<BTreeSet<usize>> = (0..edges.len()).map(|from| reach(edges, from)).collect();
    let mut groups: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for node in 0..edges.len() {
        let with = reached[node]
            .iter()
            .copied()
            .filter(|&other| reached[other].contains(&node));
        if let Some(first) = with.min() {
            groups.entry(first).or_default().push(node);
        }
    }
    groups.into_values().filter(|group| group.len() > 1).collect()
}

/// Everything that can be reached from a node by one step or more.
fn reach(edges: &[Vec<usize>], from: usize) -> BTreeSet<usize> {
    let (mut found, mut open) = (BTreeSet::new(), edges[from].clone());
    while let Some(node) = open.pop() {
        if found.insert(node) {
            open.extend(&edges[node]);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_is_no_circle_and_a_ring_is_one() {
        assert!(connected(&[vec![1], vec![2], vec![]]).is_empty());
        assert_eq!(connected(&[vec![1], vec![2, 3], vec![0], vec![]]), [vec![0, 1, 2]]);
    }

    #[test]
    fn a_circle_is_found_through_a_name_that_is_handed_on() {
        let module = |path: &[&str], text: &str| ModuleSource {
            path: path.iter().map(|name| (*name).to_owned()).collect(),
            file: String::new(),
            public: true,
            items: syn::parse_file(text).expect("it is Rust").items,
        };
        let modules = [
            module(&[], ""),
            module(
                &["a"],
                "pub use crate::b::inner::Thing; use crate::c::go; pub struct Own;",
            ),
            module(&["b"], ""),
            module(
                &["b", "inner"],
                "pub struct Thing; fn f() { println!(\"{}\", crate::a::Own) }",
            ),
            module(&["c"], "use crate::a::Thing; pub fn go() {}"),
        ];
        let named = circles("x", &modules);
        // a uses c; c uses b::inner through a; b::inner uses a, in a macro's call.
        assert_eq!(named, [["x::a", "x::b::inner", "x::c"]]);
    }
}
