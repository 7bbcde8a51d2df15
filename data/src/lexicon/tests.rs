//! The table itself: whole, sorted, small, and harmless when damaged.

use super::*;

#[test]
fn every_word_can_be_looked_up_again() {
    let mut last = "";
    let mut seen = 0;
    for entry in words() {
        assert!(entry.spelling() > last, "{} after {last}", entry.spelling());
        last = entry.spelling();
        assert!(
            entry.variants().all(|v| !v.sounds().is_empty()) && entry.variants().count() > 0,
            "{last}"
        );
        assert_eq!(look_up(last).unwrap().spelling(), last);
        seen += 1;
    }
    assert_eq!(seen, Lexicon::builtin().len());
}

#[test]
fn words_that_are_not_there_are_not_found() {
    for word in [
        "",
        "aaa",
        "zzzzzz",
        "a b",
        "naïve",
        "\u{1f600}",
        "'",
        "~",
        &"a".repeat(61),
    ] {
        assert!(look_up(word).is_none(), "{word}");
    }
}

#[test]
fn case_and_apostrophes_are_folded() {
    for (asked, found) in [("CHESS", "chess"), ("We\u{2019}ll", "we'll"), ("well", "well")] {
        assert_eq!(look_up(asked).unwrap().spelling(), found);
    }
}

/// Size limit of the project: the tables under 3 MB.
#[test]
fn tables_are_small() {
    assert!(WORDS.len() + ZIPF.len() < 3_000_000);
}

/// Reads everything there is to read.
fn drain(table: &Lexicon<'_>) -> usize {
    let found: usize = table
        .words()
        .map(|e| e.variants().map(|v| v.sounds().len()).sum::<usize>())
        .sum();
    found
        + ["sun", "moth", "a", "zoo", "chess"]
            .iter()
            .filter(|w| table.look_up(w).is_some())
            .count()
}

/// A table of the first 64 words with bytes changed at random (fixed seed), or cut short: no panic, whatever comes out.
#[test]
fn damaged_bytes_never_panic() {
    let body_start = HEADER + 4 * Lexicon::builtin().len().div_ceil(BLOCK);
    let end = read_u32(WORDS, HEADER + 4 * 4).unwrap();
    let mut small = [
        MAGIC.as_slice(),
        &64u32.to_le_bytes(),
        &4u32.to_le_bytes(),
        &(end as u32).to_le_bytes(),
    ]
    .concat();
    small.extend_from_slice(&WORDS[HEADER..HEADER + 16]);
    small.extend_from_slice(&WORDS[body_start..body_start + end]);
    let whole = drain(&Lexicon::open(&small, &ZIPF[..64]).unwrap());
    assert!(whole > 64);
    let mut state = 0x2545_f491_4f6c_dd1d_u64;
    let mut random = |below: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state % below as u64) as usize
    };
    let mut opened = 0;
    for _ in 0..20_000 {
        let mut bytes = small.clone();
        for _ in 0..1 + random(4) {
            let at = random(bytes.len());
            bytes[at] = random(256) as u8;
        }
        if random(4) == 0 {
            bytes.truncate(random(bytes.len()));
        }
        if let Ok(table) = Lexicon::open(&bytes, &ZIPF[..64]) {
            opened += 1;
            drain(&table);
        }
    }
    assert!(
        opened > 1000,
        "only {opened} damaged tables were read: the test reaches too little"
    );
}

#[test]
fn wrong_sizes_are_refused() {
    for (words, zipf) in [
        (&WORDS[..10], ZIPF),
        (&WORDS[1..], ZIPF),
        (&WORDS[..WORDS.len() - 1], ZIPF),
        (WORDS, &ZIPF[1..]),
    ] {
        assert!(Lexicon::open(words, zipf).is_err());
    }
}
