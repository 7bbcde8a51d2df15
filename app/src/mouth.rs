//! A mouth drawn from where its parts are: a side view through the middle of the head, and the lips from the front.
//!
//! A sound is one or two [`Articulation`]s ([`movement`]); [`Articulation::towards`] lies anywhere between two, so any sound
//! can turn into any other. [`side`] and [`lips`] give closed shapes in a unit square (x to the right, y downward, the face
//! looking left), to be painted in the order they come. Nothing here knows of a screen: whoever draws it picks colours by
//! [`MouthPart`]. The head is a grown-up's, simplified; what moves, and where it meets what, is what phonetics handbooks say of
//! each sound.

mod curve;
mod front;
mod positions;
mod side;

pub use front::lips;
pub use positions::movement;
pub use side::side;

/// x and y, 0 to 1.
pub type MouthPoint = [f32; 2];

/// Where the parts of the mouth are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Articulation {
    /// How far the jaw is down: 0 teeth together, 1 as for the doctor.
    pub jaw: f32,
    /// Where the highest part of the tongue is: 0 under the front of the hard roof, 1 under the soft roof.
    pub back: f32,
    /// How high it is: 0 on the floor, 1 at the roof.
    pub high: f32,
    /// Where the tip points: 0 between the teeth, 1 the ridge behind them, 2 behind the ridge, 3 drawn back.
    pub tip: f32,
    /// How high the tip is: 0 behind the bottom teeth, 1 touching what it points at.
    pub tip_high: f32,
    /// How far apart the lips are: 0 shut, 1 wide open.
    pub lips: f32,
    /// 1 pushed forward to a ring, 0 at ease, -1 drawn wide.
    pub round: f32,
    /// 1 when the bottom lip is under the top teeth.
    pub tuck: f32,
    /// 0 when the soft roof shuts the nose off, 1 when it hangs.
    pub nose: f32,
    /// Whether the voice buzzes: 0 or 1, or on the way.
    pub voice: f32,
    /// How freely air leaves by the mouth: 0 held, 1 freely.
    pub breath: f32,
    /// How much it hisses: 0 not at all, 1 as in s.
    pub hiss: f32,
}

impl Articulation {
    /// A mouth at rest: lips closed lightly, breathing by the nose, no voice.
    pub const REST: Articulation = Articulation {
        jaw: 0.1,
        back: 0.45,
        high: 0.45,
        tip: 1.0,
        tip_high: 0.3,
        lips: 0.0,
        round: 0.0,
        tuck: 0.0,
        nose: 0.8,
        voice: 0.0,
        breath: 0.0,
        hiss: 0.0,
    };

    /// The articulation `share` (0 to 1) of the way to another. Parts start and stop gently, as flesh does.
    pub fn towards(&self, other: &Articulation, share: f32) -> Articulation {
        let share = share.clamp(0.0, 1.0);
        let s = share * share * (3.0 - 2.0 * share);
        let mix = |a: f32, b: f32| a + s * (b - a);
        Articulation {
            jaw: mix(self.jaw, other.jaw),
            back: mix(self.back, other.back),
            high: mix(self.high, other.high),
            tip: mix(self.tip, other.tip),
            tip_high: mix(self.tip_high, other.tip_high),
            lips: mix(self.lips, other.lips),
            round: mix(self.round, other.round),
            tuck: mix(self.tuck, other.tuck),
            nose: mix(self.nose, other.nose),
            voice: mix(self.voice, other.voice),
            breath: mix(self.breath, other.breath),
            hiss: mix(self.hiss, other.hiss),
        }
    }
}

/// What a shape is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MouthPart {
    /// The head cut through the middle, or the face around the lips.
    Head,
    /// Air inside: nose, mouth, throat.
    Hollow,
    /// The dark between the lips, from the front.
    Inside,
    /// The soft roof, and the flap over the windpipe.
    Soft,
    /// The tongue.
    Tongue,
    /// Teeth.
    Tooth,
    /// A lip, from the front.
    Lip,
    /// A lip cut through; the line of the face is its outline.
    LipCut,
    /// The vocal folds.
    Fold,
    /// An outline: of the face, the roof, the walls of nose and throat.
    Line,
    /// A wave of the voice.
    Wave,
    /// A stream of air.
    Air,
    /// A hiss.
    Hiss,
}

/// One shape.
#[derive(Clone, Debug, PartialEq)]
pub struct MouthShape {
    /// What it is.
    pub part: MouthPart,
    /// Its line; closed and filled if [`MouthShape::is_area`].
    pub points: Vec<MouthPoint>,
}

impl MouthShape {
    /// Whether it is a closed area, not an open line.
    pub fn is_area(&self) -> bool {
        !matches!(
            self.part,
            MouthPart::Line | MouthPart::Wave | MouthPart::Air | MouthPart::Hiss
        )
    }
}

#[cfg(test)]
mod tests;
