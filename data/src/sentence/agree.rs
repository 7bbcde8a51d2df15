//! What goes with what: determiners, adjectives and verbs with their noun.

use super::frame::{Frame, NounRole, Slot};
use super::sense::{Number, Sense, Stands, VerbForm, WordSense};

/// What a noun must be like so that the forced word can stand where it does.
pub struct NounDemands<'a> {
    pub role: NounRole,
    pub classes: u64,
    /// The classes of an adjective, and whether it stands before the noun.
    adjective: Option<(u64, bool)>,
    determiner: Option<Sense>,
    /// A form of *be* or of a verb that must agree.
    agrees: Option<&'a WordSense>,
}

impl<'a> NounDemands<'a> {
    /// For the noun at place `at`.
    pub fn new(
        frame: &Frame,
        forced: (usize, &'a WordSense),
        at: usize,
        role: NounRole,
        classes: u64,
    ) -> NounDemands<'a> {
        let (place, word) = forced;
        let of_this = match frame.slots[place] {
            Slot::Adjective { of } | Slot::Be { of } | Slot::Verb { of, .. } => of == at,
            _ => place == at,
        };
        let sense = Some(word.sense).filter(|_| of_this);
        NounDemands {
            role,
            classes,
            adjective: match sense {
                Some(Sense::Adjective { classes, .. }) => Some((classes, place == at)),
                _ => None,
            },
            determiner: sense.filter(|s| matches!(s, Sense::Determiner { .. })),
            agrees: sense
                .and(Some(word))
                .filter(|w| matches!(w.sense, Sense::Be | Sense::Verb { .. })),
        }
    }

    /// Whether only a plural will do.
    pub fn plural(&self) -> bool {
        let takes_one = |sense| before(sense, Number::One) || before(sense, Number::Mass);
        let be = self
            .agrees
            .as_ref()
            .is_some_and(|w| w.sense == Sense::Be && !agrees(w, Number::One));
        be || self.determiner.is_some_and(|sense| !takes_one(sense))
    }

    /// Whether a word of this sense will do.
    pub fn fits(&self, sense: Sense) -> bool {
        let Sense::Noun {
            classes,
            number,
            stands,
        } = sense
        else {
            return false;
        };
        let common = stands == Stands::Common;
        let described = matches!(stands, Stands::Common | Stands::The);
        let adjective = self
            .adjective
            .is_none_or(|(own, in_front)| own & classes & self.classes != 0 && (described || !in_front));
        let determiner = self.determiner.is_none_or(|sense| common && before(sense, number));
        let verb = self.agrees.is_none_or(|w| agrees(w, number));
        classes & self.classes != 0 && self.role.takes(number, stands) && adjective && determiner && verb
    }
}

/// Whether a determiner may stand before a noun of this number.
pub fn before(sense: Sense, number: Number) -> bool {
    match (sense, number) {
        (Sense::Determiner { one, .. }, Number::One) => one,
        (Sense::Determiner { many, .. }, Number::Many) => many,
        (Sense::Determiner { mass, .. }, Number::Mass) => mass,
        _ => false,
    }
}

/// Whether a determiner speaks of something not met before.
pub fn indefinite(sense: Sense) -> bool {
    matches!(sense, Sense::Determiner { indefinite: true, .. })
}

/// Whether a form of *be* or of a verb goes with a subject of this number; other words go with none.
pub fn agrees(word: &WordSense, number: Number) -> bool {
    match (word.sense, word.text.as_str()) {
        (Sense::Be, "was") => number != Number::Many,
        (Sense::Be, "were" | "are") => number == Number::Many,
        (Sense::Be, "am") => number == Number::I,
        (Sense::Be, _) => matches!(number, Number::One | Number::Mass),
        (Sense::Verb { form: VerbForm::S, .. }, _) => matches!(number, Number::One | Number::Mass),
        (Sense::Verb { .. }, _) => true,
        _ => false,
    }
}

/// The past of *be* for a subject of this number.
pub fn was(number: Number) -> &'static str {
    match number {
        Number::Many => "were",
        _ => "was",
    }
}
