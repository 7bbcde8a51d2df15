//! The words of one sheet.

use std::ops::RangeInclusive;

use super::{Column, Sorted};

/// Fewest and most words of a sheet: enough to see the pattern, few enough for one sitting (common practice, no source).
pub const SHEET: RangeInclusive<usize> = 12..=24;

/// Most columns of a sheet; more are for several days.
const COLUMNS: usize = 4;
/// Fewest words that a column needs to show what it is.
const LEAST: usize = 2;
/// Syllables of a word that a child of eight to ten reads at a glance, and most that a sheet takes where a column has others
/// (*character*, not *characteristic*; common practice, no source).
const SHORT: usize = 2;
const LONGEST: usize = 3;

/// Picks the words of a sheet: the commonest of each column, about as many of each, `words` together (held to [`SHEET`]).
///
/// The columns with most words are taken, at most four of them, in the sort's own order; of hand-made groups as many as fit.
/// `turn` 0 gives the commonest words, 1 the next, and so on, round and round.
pub fn sheet(sorted: &Sorted, words: usize, turn: usize) -> Vec<Column> {
    let words = words.clamp(*SHEET.start(), *SHEET.end());
    let groups = sorted.columns.iter().all(|c| c.heading.contains(','));
    if groups {
        return of_groups(&sorted.columns, words, turn);
    }
    let plain: Vec<Column> = sorted.columns.iter().map(plain_words_first).collect();
    let mut chosen: Vec<&Column> = plain.iter().filter(|c| c.members.len() >= LEAST).collect();
    let mut sizes: Vec<usize> = chosen.iter().map(|c| c.members.len()).collect();
    sizes.sort_unstable_by_key(|&n| std::cmp::Reverse(n));
    let least = sizes.get(COLUMNS - 1).copied().unwrap_or(0);
    chosen.retain(|c| c.members.len() >= least);
    chosen.truncate(COLUMNS);
    let shares = shares(&chosen, words);
    let pick = |(column, share): (&&Column, usize)| Column {
        heading: column.heading.clone(),
        members: once(column, share, turn),
    };
    chosen.iter().zip(shares).map(pick).collect()
}

/// A column with its short words before its long ones, without the longest, and without a word that is its heading (*a* under a).
fn plain_words_first(column: &Column) -> Column {
    let own = |m: &&super::Member| m.word != column.heading;
    let of = |range: RangeInclusive<usize>| {
        let all = column.members.iter().filter(own);
        all.filter(move |m| range.contains(&m.syllables)).cloned()
    };
    let mut members: Vec<super::Member> = of(0..=SHORT).chain(of(SHORT + 1..=LONGEST)).collect();
    if members.len() < LEAST {
        members.extend(of(LONGEST + 1..=usize::MAX));
    }
    Column {
        heading: column.heading.clone(),
        members,
    }
}

/// How many words of each column: evenly, and what a small column lacks goes to the others.
fn shares(columns: &[&Column], words: usize) -> Vec<usize> {
    let mut shares = vec![0; columns.len()];
    let mut left = words;
    while left > 0 {
        let before = left;
        for (share, column) in shares.iter_mut().zip(columns) {
            if left > 0 && *share < column.members.len() {
                *share += 1;
                left -= 1;
            }
        }
        if before == left {
            break;
        }
    }
    shares
}

/// `share` words of a column, none twice, the `turn`th handful.
fn once(column: &Column, share: usize, turn: usize) -> Vec<super::Member> {
    let mut all: Vec<&super::Member> = column.members.iter().collect();
    all.dedup_by(|a, b| a.word == b.word);
    // Round and round through the commoner words, so that a column is never empty for want of further ones.
    let pages = all.len().min(10 * share).div_ceil(share.max(1)).max(1);
    all.into_iter()
        .skip(turn % pages * share)
        .take(share)
        .cloned()
        .collect()
}

/// As many groups as fit, from the `turn`th on: a turn goes on by half as many groups as a sheet has words, for a group has two or
/// more.
fn of_groups(columns: &[Column], words: usize, turn: usize) -> Vec<Column> {
    let mut left = words;
    let start = if columns.is_empty() {
        0
    } else {
        turn * words / 2 % columns.len()
    };
    let rest = columns.iter().cycle().skip(start).take(columns.len());
    rest.take_while(|c| {
        let fits = c.members.len() <= left;
        left = left.saturating_sub(c.members.len());
        fits
    })
    .cloned()
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::WordList;
    use crate::sort::{Corpus, find};

    /// Twelve words are six pairs at most: the next turn begins with the seventh group.
    #[test]
    fn the_next_sheet_of_groups_goes_on_after_the_last() {
        let sorted = Corpus::new(&WordList::default()).sort(find("homophones").unwrap());
        let first = |turn: usize| sheet(&sorted, 12, turn)[0].heading.clone();
        let headings: Vec<&str> = sorted.columns.iter().map(|c| c.heading.as_str()).collect();
        assert_eq!([first(0), first(1), first(2)], [headings[0], headings[6], headings[12]]);
        let shown: usize = sheet(&sorted, 12, 1).iter().map(|c| c.members.len()).sum();
        assert!((10..=12).contains(&shown), "{shown}");
    }
}
