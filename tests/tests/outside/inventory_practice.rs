//! The inventory against facts of the trade (common practice, no source) and against itself and the dictionary.

use soundbead_data::inventory::{self, Arpabet, Features, SoundEntry, Stress, Tenseness};
use soundbead_data::lexicon::{self, Pronunciation};
use soundbead_data::{Rules, Sound};
use std::collections::{HashMap, HashSet};

/// Common practice, no source: 24 consonants, and 40 sounds or so against the 26 letters.
#[test]
fn as_many_sounds_as_teachers_say() {
    let consonants = inventory::all()
        .iter()
        .filter(|entry| matches!(entry.features, Features::Consonant(_)));
    assert_eq!(consonants.count(), 24);

    let letters: HashSet<char> = lexicon::words()
        .flat_map(|entry| entry.spelling().chars().collect::<Vec<_>>())
        .filter(|c| c.is_alphabetic())
        .collect();
    assert_eq!(letters.len(), 26, "{letters:?}");

    // The sounds that are told apart by themselves: without vowel and r in one, and without the weak form of `bird`.
    let alone = inventory::all()
        .iter()
        .filter(|entry| entry.arpabet.sounds().len() == 1 && entry.ipa != "ɚ");
    let alone = alone.count();
    assert!((38..=44).contains(&alone), "{alone} sounds");
}

/// Long u is y and oo, which one letter spells (common practice, no source): a card of its own, and no sound.
#[test]
fn long_u_has_a_card_and_is_no_sound() {
    assert_eq!((inventory::all().len(), inventory::pairs().len()), (46, 1));
    let card = inventory::find("Y UW").unwrap();
    assert_eq!(card.arpabet.sounds(), [Sound::Y, Sound::UW]);
    assert!(inventory::all().iter().all(|entry| entry.arpabet != card.arpabet));
    assert!(card.confused.tell_apart.contains("two"), "{}", card.confused.tell_apart);
    let cube = lexicon::look_up("cube")
        .and_then(|entry| entry.variants().next())
        .unwrap();
    assert_eq!(Rules::default().count(cube.sounds(), &[]), 4, "{cube:?}");
}

/// Common practice, no source: words every lesson on counting starts with.
#[test]
fn first_words_have_the_sounds_teachers_count() {
    for (word, count) in [
        ("moth", 3),
        ("sun", 3),
        ("chess", 3),
        ("pig", 3),
        ("ship", 3),
        ("box", 4),
        ("stop", 4),
    ] {
        let pronunciation = lexicon::look_up(word)
            .and_then(|entry| entry.variants().next())
            .unwrap();
        assert_eq!(
            Rules::default().count(pronunciation.sounds(), &[]),
            count,
            "{word} {pronunciation:?}"
        );
    }
}

#[test]
fn every_dictionary_sound_has_an_entry_of_its_kind() {
    for sound in Sound::all() {
        let entry = inventory::of(sound);
        assert_eq!(entry.arpabet.sounds(), [sound]);
        assert_eq!(
            matches!(entry.features, Features::Vowel(_)),
            sound.is_vowel(),
            "{sound}"
        );
        assert_ne!(
            entry.arpabet.stress(),
            Some(Stress::Weak),
            "{sound} alone gives the strong form"
        );
    }
}

#[test]
fn no_two_entries_share_a_name_or_a_cue() {
    let mut seen = HashMap::new();
    for entry in inventory::cards() {
        let names = [
            ("IPA", entry.ipa.clone()),
            ("ARPAbet", entry.arpabet.to_string()),
            ("respelling", entry.respelling.clone()),
        ];
        let cues = entry.cues.iter().map(|(_, cue)| ("text", cue.to_owned()));
        let told = [("text", entry.confused.tell_apart.clone())]
            .into_iter()
            .chain(entry.confused.one_way.clone().map(|why| ("text", why)));
        for name in names.into_iter().chain(cues).chain(told) {
            if let Some(other) = seen.insert(name.clone(), &entry.ipa) {
                panic!("{other} and {} share the {} `{}`", entry.ipa, name.0, name.1);
            }
        }
    }
}

#[test]
fn cues_are_short_whole_sentences() {
    for entry in inventory::cards() {
        for (part, cue) in entry.cues.iter() {
            let length = cue.chars().count();
            assert!((10..140).contains(&length), "{} {part}: {length} characters", entry.ipa);
            assert!(
                cue.ends_with(['.', '!', '?']) && cue.starts_with(char::is_uppercase),
                "{} {part}: {cue}",
                entry.ipa
            );
        }
        let told = entry.confused.tell_apart.chars().count();
        assert!((20..180).contains(&told), "{} tell_apart: {told} characters", entry.ipa);
    }
}

/// What children without phonetics cannot use must not be in what is said to them.
#[test]
fn cues_use_no_terms_of_phonetics() {
    let terms = [
        "alveolar",
        "velar",
        "palat",
        "dental",
        "labial",
        "glott",
        "fricative",
        "plosive",
        "affricate",
        "voiced",
        "voiceless",
        "formant",
        "phoneme",
        "articulat",
    ];
    for entry in inventory::cards() {
        for (part, cue) in entry
            .cues
            .iter()
            .chain([("tell_apart", entry.confused.tell_apart.as_str())])
        {
            let found = terms.iter().find(|term| cue.to_lowercase().contains(*term));
            assert!(found.is_none(), "{} {part}: {cue}", entry.ipa);
        }
    }
}

fn partner(entry: &SoundEntry) -> &'static SoundEntry {
    inventory::find(&entry.confused.with.to_string()).unwrap_or_else(|| panic!("{} names no entry", entry.ipa))
}

#[test]
fn mixed_up_sounds_differ_in_just_the_stated_features() {
    for entry in inventory::cards() {
        let other = partner(entry);
        assert_ne!(entry.ipa, other.ipa);
        assert!(!entry.confused.differs_in.is_empty(), "{}", entry.ipa);
        assert_eq!(
            entry.features.differences(&other.features),
            entry.confused.differs_in,
            "{} {}",
            entry.ipa,
            other.ipa
        );
    }
}

#[test]
fn mix_ups_are_mutual_or_explained() {
    for entry in inventory::cards() {
        let back = partner(partner(entry)).ipa == entry.ipa;
        assert_eq!(
            entry.confused.one_way.is_none(),
            back,
            "{} and {}",
            entry.ipa,
            partner(entry).ipa
        );
    }
}

/// Common practice, no source: the mix-ups that every lesson meets are all on the cards, each told in its own words.
#[test]
fn all_common_mix_ups_are_told() {
    let met = |sound: &str, with: &str| {
        let entry = inventory::find(sound).unwrap();
        let named = entry
            .also
            .iter()
            .map(|m| m.with.as_ref().map_or_else(String::new, ToString::to_string));
        named.chain([entry.confused.with.to_string()]).any(|name| name == with)
    };
    let pairs = "T:CH R,CH:T R,D:JH R,JH:D R,M:,N:,NG:,IH:EH,EH:IH,EH:AE,AE:EH,AE:AH1,AH1:AE,AA:AH1,UH:AH1,F:TH,TH:F,W:HH W,\
                 V:W,W:V,L:R,R:L,SH:S,UW:Y UW";
    for pair in pairs.split(',') {
        let (sound, with) = pair.split_once(':').unwrap();
        assert!(met(sound, with), "{sound} and {with}");
    }
    let mut seen = HashSet::new();
    for entry in inventory::cards() {
        assert!(!entry.also.is_empty(), "{}", entry.ipa);
        for mixup in &entry.also {
            let told = mixup.tell_apart.chars().count();
            assert!(
                (20..180).contains(&told) && seen.insert(&mixup.tell_apart),
                "{}: {}",
                entry.ipa,
                mixup.tell_apart
            );
        }
    }
}

/// Common practice, no source: words that begin with a vowel followed by g, l, a nasal or r teach the wrong vowel.
#[test]
fn key_words_that_trainers_avoid_are_not_used() {
    for entry in inventory::cards() {
        for word in [&entry.words.initial, &entry.words.medial, &entry.words.final_]
            .into_iter()
            .flatten()
        {
            assert!(
                !["egg", "ant", "in", "ladder", "genre", "oil", "ocean", "beige"].contains(&word.as_str()),
                "{word}"
            );
        }
    }
}

#[test]
fn arpabet_comes_back_as_it_went() {
    for entry in inventory::cards() {
        let text = entry.arpabet.to_string();
        assert_eq!(text.parse::<Arpabet>().as_ref(), Ok(&entry.arpabet));
        assert_eq!(text.to_lowercase().parse::<Arpabet>().as_ref(), Ok(&entry.arpabet));
        assert_eq!(inventory::find(&text).map(|found| &found.ipa), Some(&entry.ipa));
        assert_eq!(
            inventory::by_ipa(&entry.ipa).map(|found| &found.arpabet),
            Some(&entry.arpabet)
        );
    }
    for wrong in ["", "  ", "QQ", "P1", "AA X", "AH3", "θ"] {
        assert!(wrong.parse::<Arpabet>().is_err(), "{wrong:?}");
    }
    assert_eq!(
        inventory::find("AA1").map(|entry| entry.ipa.as_str()),
        Some("ɑ"),
        "a digit that decides nothing is dropped"
    );
    assert!(inventory::find("K W").is_none(), "two sounds that are no unit");
}

/// Whether a pronunciation has the entry's sounds, with its stress, at a place where `fits(start, end, length)`.
fn has(said: &Pronunciation, entry: &SoundEntry, fits: impl Fn(usize, usize, usize) -> bool) -> bool {
    let wanted = entry.arpabet.sounds();
    let length = said.sounds().len();
    (0..=length.saturating_sub(wanted.len())).any(|start| {
        let end = start + wanted.len();
        let stress_fits = match entry.arpabet.stress() {
            None => true,
            Some(Stress::Strong) => said.stress()[start] > 0,
            Some(Stress::Weak) => said.stress()[start] == 0,
        };
        said.sounds().get(start..end) == Some(wanted) && stress_fits && fits(start, end, length)
    })
}

/// Key words against the open CMU Pronouncing Dictionary, as shipped.
#[test]
fn key_words_have_their_sound_in_its_place() {
    for entry in inventory::cards() {
        let words = [&entry.words.initial, &entry.words.medial, &entry.words.final_];
        assert!(words.iter().any(|word| word.is_some()), "{} has no key word", entry.ipa);
        for (place, word) in words.into_iter().enumerate() {
            let Some(word) = word else { continue };
            let known = lexicon::look_up(word).unwrap_or_else(|| panic!("{word} is not in the dictionary"));
            let found = known.variants().any(|said| {
                has(&said, entry, |start, end, length| match place {
                    0 => start == 0,
                    1 => start > 0 && end < length,
                    _ => end == length,
                })
            });
            let said: Vec<_> = known.variants().collect();
            assert!(
                found,
                "{} {} in place {place} of {word}: {said:?}",
                entry.ipa, entry.arpabet
            );
        }
    }
}

/// Where no key word is given for a place, the dictionary's everyday words have none there either: h and the glides
/// end no word, ng starts none, and the lax vowels end none (facts of English, common practice, no source). The
/// bound of Zipf 4 keeps out names and abbreviations; a handful may slip through, and a real gap has hundreds.
#[test]
fn places_left_empty_are_empty_in_english() {
    let everyday: Vec<(&str, Pronunciation)> = lexicon::words()
        .filter(|entry| entry.zipf() >= 4.0)
        .filter_map(|entry| Some((entry.spelling(), entry.variants().next()?)))
        .collect();
    assert!(everyday.len() > 3000, "{} words", everyday.len());
    for entry in inventory::all() {
        let with = |fits: &dyn Fn(&Pronunciation, usize, usize) -> bool| -> Vec<&str> {
            let found = everyday
                .iter()
                .filter(|(_, said)| has(said, entry, |start, end, _| fits(said, start, end)));
            found.map(|(word, _)| *word).collect()
        };
        // The dictionary writes the start of `around` as ER0; teachers hear schwa, and an r that opens the next beat.
        let r_opens = |said: &Pronunciation, end: usize| {
            said.sounds()[end - 1] == Sound::ER && said.sounds().get(end).is_some_and(|next| next.is_vowel())
        };
        let starts = with(&|said, start, end| start == 0 && !r_opens(said, end));
        let ends = with(&|said, _, end| end == said.sounds().len());
        let ipa = &entry.ipa;
        assert!(
            entry.words.initial.is_some() || starts.len() <= 5,
            "{ipa} starts {starts:?}"
        );
        assert!(entry.words.final_.is_some() || ends.len() <= 5, "{ipa} ends {ends:?}");
    }
}

/// A vowel is lax when no everyday word ends in it under stress, tense when one does (handbook definition of the
/// English tense and lax vowels, from memory; schwa is left out, being never stressed).
#[test]
fn tense_vowels_end_strong_syllables_and_lax_ones_do_not() {
    for entry in inventory::all() {
        let Features::Vowel(vowel) = &entry.features else {
            continue;
        };
        if vowel.r_coloured {
            assert_eq!(vowel.tenseness, Tenseness::Neutral, "{}", entry.ipa);
            continue;
        }
        if entry.arpabet.stress() == Some(Stress::Weak) {
            continue;
        }
        assert_eq!(
            vowel.tenseness == Tenseness::Tense,
            entry.words.final_.is_some(),
            "{}",
            entry.ipa
        );
    }
}

/// What a parent reads is plain letters: no doubled sign and no mark over a letter, and no two sounds are shown alike. Common practice, no
/// source: the two sounds of th, the two of oo and the vowel of *up* are told apart by a word.
#[test]
fn what_is_shown_is_plain_letters_and_means_one_sound() {
    let mut shown: Vec<&str> = Vec::new();
    for entry in inventory::all() {
        let text = entry.shown();
        assert!(
            text.chars().all(|c| c.is_ascii_lowercase() || " ()".contains(c)) && text != "dh",
            "{text}"
        );
        assert!(!entry.letters().contains(['(', ' ']) && text.starts_with(entry.letters()));
        assert!(!shown.contains(&text), "{text} twice");
        shown.push(text);
        // The word in brackets has the sound that it stands for.
        if let Some((_, word)) = text.split_once(" (") {
            let word = word.trim_end_matches(')');
            let said = lexicon::look_up(word).unwrap().variants().next().unwrap();
            assert!(
                entry.arpabet.sounds().iter().all(|s| said.sounds().contains(s)),
                "{text}: {said}"
            );
        }
    }
    for word in ["this", "book", "up"] {
        assert!(shown.iter().any(|text| text.ends_with(&format!("({word})"))), "{word}");
    }
}
