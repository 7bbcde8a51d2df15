//! The parts of a word as beats: which of the places where parts meet divide it for the ear too.
//!
//! What parts a word has is said by [`parts::take_apart`] alone. Here they are laid over letters and sounds. A part begins a
//! beat only where what it joins is said alone as it is inside the word: *teach-er*, but *mu-si-cian*. Words whose base a
//! child no longer sees (*im-por-tant*) are named in `data/tables/whole.txt`; they are divided by their sounds.

use crate::Sound;
use crate::joined::{self, JoinedWord};
use crate::lexicon;
use crate::parts::{self, PieceRole};
use crate::spelling::{self, LetterBox};

/// A place in a word where a part begins that is a beat of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Seam {
    /// The first sound of the later part.
    pub at: usize,
    /// Whether the earlier part ends with a doubled letter of its own, which stays whole: *sell-ing*, not *sel-ling*.
    pub whole_double: bool,
}

/// Those that come off a whole word only: after a dropped e the sounds decide (*fa-mous*, *cre-a-tor*).
const NEEDS_WHOLE: &[&str] = &[
    "or", "ous", "al", "age", "ance", "ence", "ancy", "ency", "ess", "ism", "ade",
];
/// Openings that part from any consonant after them, word or not: *dis-turb*, *trans-fer*.
const BEFORE_CONSONANTS: &[&str] = &["dis", "mis", "trans"];
/// Greek parts that stand last and begin a beat, whatever is before them: *tel-e-scope*.
const TAILS: &[&str] = &["scope", "sphere"];
/// Doubled letters with which a word may end by itself; the others come from doubling before an ending.
const DOUBLES: &[&str] = &["ll", "ss", "ff", "zz"];
/// Words that end with another doubled letter.
const DOUBLED_WORDS: &[&str] = &["add", "odd", "egg", "err", "purr", "ebb"];
/// Words in whose comparison a g is heard: *long-er*.
const HEARD_G: &[&str] = &["long", "strong", "young"];

/// Where the parts of `word` (small letters), said as `sounds` and laid in `boxes`, begin beats.
pub(crate) fn seams(word: &str, sounds: &[Sound], boxes: &[LetterBox]) -> Vec<Seam> {
    if joined::is_whole(word) || boxes.is_empty() {
        return Vec::new();
    }
    let laid = Laid::new(word, sounds, boxes);
    let letters = laid.joined.letters.as_str();
    let found = (1..laid.joined.pieces.len()).filter_map(|k| laid.seam(k));
    let last = TAILS.iter().filter_map(|tail| Some(letters.strip_suffix(tail)?.len()));
    let first = BEFORE_CONSONANTS
        .iter()
        .filter(|opening| letters.starts_with(**opening));
    let first = first.map(|opening| opening.len()).filter(|&letter| {
        let at = laid.sound_of(letter);
        at.is_some_and(|at| sounds.get(at).is_some_and(|s| !s.is_vowel()))
    });
    let given = laid.joined.given();
    let plain = last.chain(first).chain(given).filter_map(|letter| laid.plain(letter));
    found.chain(plain).collect()
}

/// The pieces over the sounds.
struct Laid<'w> {
    joined: JoinedWord,
    sounds: &'w [Sound],
    boxes: &'w [LetterBox],
    /// For each box its letters, by number among those of the word.
    places: Vec<Vec<usize>>,
}

impl<'w> Laid<'w> {
    fn new(word: &str, sounds: &'w [Sound], boxes: &'w [LetterBox]) -> Laid<'w> {
        // Hyphens and apostrophes are no letters here.
        let bare = boxes.iter().map(|held| LetterBox {
            letters: held.letters.replace(['-', '\''], ""),
            sounds: held.sounds.clone(),
        });
        Laid {
            joined: JoinedWord::new(word),
            sounds,
            boxes,
            places: spelling::places(&bare.collect::<Vec<_>>()),
        }
    }

    /// The beat that piece `k` begins, if it does.
    fn seam(&self, k: usize) -> Option<Seam> {
        let piece = &self.joined.pieces[k];
        let at = self.first_sound(k)?;
        let before = &self.joined.letters[..piece.letters.start];
        let before = match (self.joined.pieces[k - 1].role, piece.role) {
            (_, PieceRole::Suffix) => self.ends(k, at)?,
            (PieceRole::Prefix, _) => self.opens(k, at).then(|| before.to_owned())?,
            // Two words: parted where both are heard, which has been looked at.
            _ => before.to_owned(),
        };
        let stands = self.joined.is_clean(k) && self.joined.letters[..piece.letters.start].ends_with(&before);
        (self.beats(at, self.end(k)) && !self.joined.is_whole_over(k)).then_some(Seam {
            at,
            whole_double: stands && ends_doubled(&before),
        })
    }

    /// Whether there is a beat before `at`, and one from there to before `end`.
    fn beats(&self, at: usize, end: usize) -> bool {
        let vowel = |sounds: Option<&[Sound]>| sounds.is_some_and(|s| s.iter().any(|s| s.is_vowel()));
        vowel(self.sounds.get(..at)) && vowel(self.sounds.get(at..end))
    }

    /// Where the sounds of piece `k` end.
    fn end(&self, k: usize) -> usize {
        let next = (k + 1 < self.joined.pieces.len())
            .then(|| self.first_sound(k + 1))
            .flatten();
        next.unwrap_or(self.sounds.len())
    }

    /// The first sound of piece `k`.
    fn first_sound(&self, k: usize) -> Option<usize> {
        let letter = self.joined.start(k);
        let at = self.sound_of(letter)?;
        // The e of pages is heard with the s.
        let s = self.joined.pieces[k].text == "s" && self.joined.letters[..letter].ends_with('e');
        let vowel = |at: usize| self.sounds[at].is_vowel();
        Some(if s && at > 1 && vowel(at - 1) && !vowel(at - 2) {
            at - 1
        } else {
            at
        })
    }

    /// The sound that letter `letter` begins. A letter that both sides share (*mis-spell*) belongs to the earlier.
    fn sound_of(&self, letter: usize) -> Option<usize> {
        let number = self.places.iter().position(|held| held.contains(&letter))?;
        let held = &self.boxes[number];
        Some(match self.places[number].first() == Some(&letter) {
            true => held.sounds.start,
            false => held.sounds.end,
        })
    }

    /// The beat that begins with a letter, wherever parts meet.
    fn plain(&self, letter: usize) -> Option<Seam> {
        let at = self.sound_of(letter)?;
        self.beats(at, self.sounds.len()).then_some(Seam {
            at,
            whole_double: false,
        })
    }

    /// The word before the ending that is piece `k`, where it is heard as it is alone, so that the ending is a beat.
    fn ends(&self, k: usize, at: usize) -> Option<String> {
        let ending = self.joined.pieces[k].text.as_str();
        let stem = &self.joined.letters[..self.joined.start(k)];
        let weak = !["er", "or"].contains(&ending) || self.sounds.get(at) == Some(&Sound::ER);
        if !joined::ENDINGS.contains(&ending) || keeps_to_sounds(stem, ending) || !weak {
            return None;
        }
        // After an opening the base may stand alone where the two make no word: *un-zip-ping*. It is a word of the list, not
        // the *vers* of *universal*.
        let own = |from: usize| from == 0 || self.joined.pieces[from - 1].role != PieceRole::Prefix;
        let known = |from: usize| {
            let piece = &self.joined.pieces[from];
            own(from) || piece.role == PieceRole::Prefix || piece.part.is_none()
        };
        let mut bases = (0..k).filter(|&from| known(from)).map(|from| {
            let start = self.joined.start(from);
            (start, self.base(start, k, ending))
        });
        let (from, words) = bases.find(|(_, words)| !words.is_empty())?;
        let said = self.sounds.get(self.sound_of(from)?..at)?;
        let whole = NEEDS_WHOLE.contains(&ending);
        let stands = |word: &String| !whole || self.joined.letters[from..self.joined.start(k)] == **word;
        words.into_iter().find(|word| stands(word) && is_said(word, said))
    }

    /// The dictionary's words that the letters from `from` to piece `k` may have been before its ending.
    fn base(&self, from: usize, k: usize, ending: &str) -> Vec<String> {
        let stem = &self.joined.letters[from..self.joined.start(k)];
        if stem.len() < 2 {
            return Vec::new();
        }
        let words = parts::stems(stem, ending).into_iter();
        words
            .filter(|word| word.len() > 2 && lexicon::look_up(word).is_some())
            .collect()
    }

    /// Whether the opening before piece `k` comes off as a beat: some word after it is heard as it is alone, and its own last
    /// vowel, if it ends with one, is not short and strong (*prod-uct*, *rec-om-mend*). The e- of *especial* is none.
    fn opens(&self, k: usize, at: usize) -> bool {
        let e = self.joined.pieces[k - 1].text == "e";
        let open = self.joined.letters[..self.joined.start(k)].ends_with(['a', 'e', 'i', 'o', 'u']);
        let short = matches!(
            at.checked_sub(1).map(|i| self.sounds[i]),
            Some(Sound::EH | Sound::AA | Sound::AE)
        );
        let mut ends = k..self.joined.pieces.len();
        !(e || open && short) && ends.any(|to| self.is_word_from(k, to, at))
    }

    /// Whether pieces `k` to `to` are a word that is heard from `at` on as alone.
    fn is_word_from(&self, k: usize, to: usize, at: usize) -> bool {
        let letters = &self.joined.letters[self.joined.start(k)..self.joined.pieces[to].letters.end];
        let said = self.sounds.get(at..self.end(to));
        let own = (k == to).then_some(self.joined.pieces[k].text.as_str());
        let is = |word: &str| word.len() > 2 && said.is_some_and(|said| is_said(word, said));
        is(letters) || own.is_some_and(is)
    }
}

/// Whether what stands before an ending makes another of it, which the sounds divide: -ical (*mu-si-cal*), -ory and -ury
/// (*fac-to-ry*), -ity (*u-ni-ty*), -ency and -ancy, -tance and -tence (*as-sis-tance*).
fn keeps_to_sounds(stem: &str, ending: &str) -> bool {
    let before: &[&str] = match ending {
        "al" => &["ic"],
        "y" => &["or", "ur", "it", "enc", "anc"],
        "ance" | "ence" => &["t"],
        _ => &[],
    };
    // Words of one beat keep their ending: *fruit-y*, *short-y*.
    let beats = stem.bytes().filter(|b| b"aeiouy".contains(b)).count();
    before.iter().any(|end| stem.ends_with(end)) && (beats > 1 || ending != "y") && stem != "fruit"
}

/// Whether a word ends with a doubled letter of its own.
fn ends_doubled(word: &str) -> bool {
    DOUBLED_WORDS.contains(&word) || DOUBLES.iter().any(|pair| word.ends_with(pair))
}

/// Whether one of the dictionary's ways of saying `word` is `sounds`, weak vowels aside.
fn is_said(word: &str, sounds: &[Sound]) -> bool {
    let heard_g = HEARD_G.contains(&word) && sounds.last() == Some(&Sound::G);
    let sounds = if heard_g { &sounds[..sounds.len() - 1] } else { sounds };
    lexicon::look_up(word).is_some_and(|entry| entry.variants().any(|said| alike(said.sounds(), sounds)))
}

/// Whether two rows of sounds are one but for what the dictionary itself wavers in: weak AH and IH, AA and AO, IY and IH, a
/// first EH and IH (*express*), the last consonant's voice (*house*, *hous-es*), and a last y (*easy*, *eas-i-ly*).
fn alike(a: &[Sound], b: &[Sound]) -> bool {
    const WAVERS: [(Sound, Sound); 3] = [(Sound::AH, Sound::IH), (Sound::AA, Sound::AO), (Sound::IY, Sound::IH)];
    const LAST: [(Sound, Sound); 4] = [
        (Sound::S, Sound::Z),
        (Sound::TH, Sound::DH),
        (Sound::F, Sound::V),
        (Sound::IY, Sound::AH),
    ];
    const FIRST: [(Sound, Sound); 1] = [(Sound::EH, Sound::IH)];
    // The vowel of re- and de- is written in three ways.
    const SECOND: [(Sound, Sound); 1] = [(Sound::AH, Sound::IY)];
    let pair = |pairs: &[(Sound, Sound)], x, y| x == y || pairs.contains(&(x, y)) || pairs.contains(&(y, x));
    let last = a.len().wrapping_sub(1);
    let fits = |i: usize| {
        let (a, b) = (a[i], b[i]);
        let last = i == last && pair(&LAST, a, b);
        let front = (i == 0 && pair(&FIRST, a, b)) || (i == 1 && pair(&SECOND, a, b));
        pair(&WAVERS, a, b) || last || front
    };
    a.len() == b.len() && (0..a.len()).all(fits)
}
