//! Choices of spelling as a parent says them: the title of a lesson.

use soundbead_data::course::Choice;

/// What a lesson on a choice is called.
pub fn choice_title(choice: Choice) -> &'static str {
    match choice {
        Choice::ShortVowel => "Short vowels",
        Choice::Digraph => "Two letters, one sound: sh, ch, th, wh, ng, ph",
        Choice::StartCluster => "Consonants together at the start",
        Choice::EndCluster => "Consonants together at the end",
        Choice::LostNasal => "M, n or ng before another consonant",
        Choice::DoubledEnd => "Doubled at the end: ff, ll, ss, zz",
        Choice::KSpelling => "The k sound: ck, k or c",
        Choice::ChSpelling => "The ch sound at the end: tch or ch",
        Choice::JSpelling => "The j sound: ge, dge or j",
        Choice::Irregular => "Letters known by heart",
        Choice::SilentE => "Long vowels with a silent e",
        Choice::VowelTeam => "Long vowels in two letters or more",
        Choice::OtherVowel => "Vowels such as ou, oi, au and oo",
        Choice::RVowel => "A vowel before r",
        Choice::SilentLetter => "Silent consonants",
        Choice::SEnding => "The ending -s or -es",
        Choice::EdEnding => "The ending -ed",
        Choice::DropsE => "An e dropped before an ending",
        Choice::Doubling => "A letter doubled before an ending",
        Choice::YToI => "Y to i before an ending",
        Choice::InnerDouble => "A doubled letter inside the word",
        Choice::Schwa => "The weak vowel",
        Choice::Prefix => "Prefixes",
        Choice::Tion => "-tion and its kin",
    }
}
