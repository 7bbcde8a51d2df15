//! The choices of spelling, and the order in which they are taught.

use std::fmt;

/// Declares each choice with its name, how it is told to a parent, and what comes before it.
macro_rules! choices {
    ($($choice:ident $name:literal, $example:literal after [$($before:ident)*];)*) => {
        /// Something that a writer of English has to choose. In the order of the list, none comes before what it builds on.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Choice {
            $(#[doc = concat!($name, ", as in ", $example, ".")] $choice,)*
        }

        impl Choice {
            /// Every choice; each stands behind those it builds on.
            pub const ALL: &'static [Choice] = &[$(Choice::$choice,)*];

            /// A short name in plain terms of the trade.
            pub fn name(self) -> &'static str {
                match self { $(Choice::$choice => $name,)* }
            }

            /// A word that meets it.
            pub fn example(self) -> &'static str {
                match self { $(Choice::$choice => $example,)* }
            }

            /// What is taught before it: a sound before its spelling choices, one syllable before endings, endings before what
            /// happens at the join and before longer words (common practice, no source).
            pub fn before(self) -> &'static [Choice] {
                match self { $(Choice::$choice => &[$(Choice::$before,)*],)* }
            }
        }
    };
}

choices! {
    ShortVowel "short vowels", "bed" after [];
    Digraph "sh, ch, th, wh, ng, ph", "ship" after [ShortVowel];
    StartCluster "consonants together at the start", "stop" after [ShortVowel];
    EndCluster "consonants together at the end", "desk" after [ShortVowel];
    LostNasal "m, n or ng before a consonant", "lamp" after [EndCluster];
    DoubledEnd "ff, ll, ss, zz at the end", "hill" after [ShortVowel];
    KSpelling "ck, k or c", "duck" after [ShortVowel];
    ChSpelling "tch or ch", "catch" after [Digraph];
    JSpelling "ge, dge or j", "bridge" after [Digraph];
    Irregular "letters known by heart", "said" after [ShortVowel];
    SilentE "long vowel with silent e", "cake" after [ShortVowel];
    VowelTeam "long vowel with two letters or more", "rain" after [SilentE];
    OtherVowel "ou, ow, oi, oy, au, aw, oo", "cloud" after [VowelTeam];
    RVowel "vowel before r", "bird" after [VowelTeam];
    SilentLetter "silent consonants", "knee" after [Digraph StartCluster];
    SEnding "-s or -es", "boxes" after [EndCluster];
    EdEnding "-ed", "jumped" after [EndCluster];
    DropsE "e dropped before an ending", "making" after [SilentE EdEnding];
    Doubling "letter doubled before an ending", "hopping" after [DoubledEnd EdEnding];
    YToI "y to i before an ending", "babies" after [SEnding EdEnding];
    InnerDouble "doubled letter inside", "rabbit" after [DoubledEnd];
    Schwa "weak vowel", "lemon" after [InnerDouble];
    Prefix "prefixes", "unlock" after [EdEnding];
    Tion "-tion and its kin", "station" after [Schwa];
}

impl Choice {
    /// The choice of this name.
    pub fn find(name: &str) -> Option<Choice> {
        Choice::ALL.iter().copied().find(|choice| choice.name() == name)
    }

    /// Its place in [`Choice::ALL`].
    pub fn index(self) -> usize {
        self as usize
    }
}

impl fmt::Display for Choice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}
