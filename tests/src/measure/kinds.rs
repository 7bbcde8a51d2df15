//! Whether the kind of misspelling that a teacher would name at once is the kind that the program names first.

use soundbead_data::course::{Choice, CourseWords, NamedChoices, ShareInterval, WrittenTry, propose, standing};

use super::hits::Hits;
use super::writing;

/// The made children; the head of the file says its form.
pub const CHILDREN: &str = include_str!("../../reference/writing_children.tsv");

/// Words in which a choice has to be met before a report names it as the one kept least.
const LEAST: usize = 3;

/// What the program says of one made child.
pub struct NamedKind {
    /// The kind that a teacher would name.
    pub expected: Choice,
    /// The choice of which the smallest share was kept; the earlier of equal ones.
    pub kept_least: Option<Choice>,
    /// The choice whose share has the lowest upper end: of 0 of 10 words less is sure to be kept than of 0 of 3.
    pub surely_least: Option<Choice>,
    /// The choice that is proposed for the next week.
    pub proposed: Option<Choice>,
}

/// Reads every child's writing.
///
/// # Panics
/// When a line is not of that form, or names no choice.
pub fn children(text: &str) -> Vec<NamedKind> {
    let lines = text.lines().filter(|l| !l.is_empty() && !l.starts_with('#'));
    lines.map(child).collect()
}

fn child(line: &str) -> NamedKind {
    let (kind, pairs) = line.split_once('\t').expect("a kind and what was written");
    let tried = |pair: &str| {
        let (word, wrote) = pair.split_once('=').expect("word=written");
        let reading = writing::read(word, wrote).unwrap_or_else(|what| panic!("{pair}: {what}"));
        WrittenTry::of(0, &reading)
    };
    let tries: Vec<WrittenTry> = pairs.split(' ').filter_map(tried).collect();
    let least = |end: fn(&ShareInterval) -> f64| {
        let met = standing(&tries)
            .into_iter()
            .filter(|at| at.kept < at.met && at.met >= LEAST);
        let shares = met.filter_map(|at| Some((end(&at.share?), at.choice)));
        shares.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, choice)| choice)
    };
    NamedKind {
        expected: Choice::find(kind).unwrap_or_else(|| panic!("no choice is called {kind}")),
        kept_least: least(|share| share.share),
        surely_least: least(|share| share.high),
        proposed: propose(CourseWords::builtin(), &tries, &NamedChoices::default(), 1).new,
    }
}

/// Prints for how many made children each way of naming a kind names the one that a teacher names.
pub fn run() {
    let (mut least, mut surely, mut proposed) = (Hits::default(), Hits::default(), Hits::default());
    for named in children(CHILDREN) {
        let right = |choice: Option<Choice>| usize::from(choice == Some(named.expected));
        least.add(right(named.kept_least), 1);
        surely.add(right(named.surely_least), 1);
        proposed.add(right(named.proposed), 1);
        let name = |choice: Option<Choice>| choice.map_or("none", Choice::name);
        println!(
            "  {}: kept least {}; surely least {}; proposed {}",
            named.expected,
            name(named.kept_least),
            name(named.surely_least),
            name(named.proposed)
        );
    }
    println!(
        "made children, what a teacher names has the smallest share kept:    {}",
        least.shown()
    );
    println!(
        "made children, it has the share with the lowest upper end:          {}",
        surely.shown()
    );
    println!(
        "made children, it is what is proposed in the order of teaching:     {}",
        proposed.shown()
    );
}
