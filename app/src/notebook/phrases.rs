//! Ready phrases for notes, in plain words. Each describes what was seen or heard; none names a condition or guesses at a
//! cause.

use super::note::{HowOften, Lips, Manner, NoteBody, Place, Voice, WhereInWord};

/// A ready phrase, and what of the note's form it fills in.
pub struct Phrase {
    /// What it is filed under.
    pub group: &'static str,
    /// The phrase.
    pub text: &'static str,
    fill: fn(&mut NoteBody),
}

impl Phrase {
    /// Puts the phrase into a note: its words after those that are there, and its choices where none were made.
    pub fn put(&self, body: &mut NoteBody) {
        let mut filled = NoteBody::default();
        (self.fill)(&mut filled);
        body.place = body.place.or(filled.place);
        body.manner = body.manner.or(filled.manner);
        body.voice = body.voice.or(filled.voice);
        body.lips = body.lips.or(filled.lips);
        body.position = body.position.or(filled.position);
        body.how_often = body.how_often.or(filled.how_often);
        if !body.text.is_empty() && !body.text.ends_with(char::is_whitespace) {
            body.text.push(' ');
        }
        body.text.push_str(self.text);
    }
}

const fn phrase(group: &'static str, text: &'static str, fill: fn(&mut NoteBody)) -> Phrase {
    Phrase { group, text, fill }
}

/// Every ready phrase, group by group.
pub const PHRASES: &[Phrase] = &[
    phrase("Tongue", "The tongue tip came between the teeth.", |n| {
        n.place = Some(Place::Teeth)
    }),
    phrase(
        "Tongue",
        "The tongue tip touched the ridge behind the top teeth.",
        |n| n.place = Some(Place::Ridge),
    ),
    phrase("Tongue", "The tongue stayed low where it is usually raised.", |_| ()),
    phrase("Tongue", "The back of the tongue did the work of the tip.", |n| {
        n.place = Some(Place::Back)
    }),
    phrase("Lips", "The lips made a ring.", |n| n.lips = Some(Lips::Round)),
    phrase("Lips", "The lips stayed at rest where they usually make a ring.", |n| {
        n.lips = Some(Lips::Neutral)
    }),
    phrase("Lips", "The lower lip touched the top teeth.", |n| {
        n.place = Some(Place::LipTeeth)
    }),
    phrase("Voice", "The voice was on all through the sound.", |n| {
        n.voice = Some(Voice::On)
    }),
    phrase("Voice", "The voice stopped before the sound was over.", |n| {
        n.voice = Some(Voice::Partly)
    }),
    phrase("Voice", "It was said without voice.", |n| n.voice = Some(Voice::Off)),
    phrase("Air", "The sound could be held with a steady hiss.", |n| {
        n.manner = Some(Manner::Hiss)
    }),
    phrase("Air", "The air was stopped where it usually flows on.", |n| {
        n.manner = Some(Manner::Stop)
    }),
    phrase("Air", "Air came out at the sides of the tongue.", |n| {
        n.manner = Some(Manner::Side)
    }),
    phrase("Count", "A small extra vowel came after the last sound.", |n| {
        n.position = Some(WhereInWord::End)
    }),
    phrase("Count", "Two neighbors were said and counted as one.", |n| {
        n.position = Some(WhereInWord::Cluster)
    }),
    phrase("Count", "Letters were counted, not sounds.", |_| ()),
    phrase("Count", "The last sound was hardly to be heard.", |n| {
        n.position = Some(WhereInWord::End)
    }),
    phrase("Progress", "Clear at once, without a model.", |n| {
        n.how_often = Some(HowOften::Once)
    }),
    phrase("Progress", "Clear after one model.", |_| ()),
    phrase("Progress", "Noticed the slip and mended it without help.", |_| ()),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// Words that name a condition or a measure of ability; a note of ours must not suggest them. Common practice, no
    /// source: a describing note leaves naming to those who are trained for it.
    const NOT_OURS: [&str; 10] = [
        "disorder", "delay", "lisp", "impair", "dyslex", "apraxia", "deficit", "abnormal", "diagnos", "patholog",
    ];

    #[test]
    fn phrases_describe_and_never_name_a_condition() {
        for phrase in PHRASES {
            let text = phrase.text.to_lowercase();
            assert!(NOT_OURS.iter().all(|word| !text.contains(word)), "{text}");
            assert!(text.ends_with('.') && text.len() < 70, "{text}");
        }
    }

    #[test]
    fn a_phrase_never_overwrites_what_a_person_chose() {
        let mut body = NoteBody {
            place: Some(Place::Ridge),
            text: "In thumb.".into(),
            ..NoteBody::default()
        };
        PHRASES[0].put(&mut body);
        assert_eq!(body.place, Some(Place::Ridge));
        assert_eq!(body.text, "In thumb. The tongue tip came between the teeth.");
    }
}
