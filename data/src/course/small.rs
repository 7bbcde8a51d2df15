//! Function words: the closed classes of English. They hold sentences together, and alone on a card they show nothing.

use std::collections::HashSet;
use std::sync::LazyLock;

/// Articles, pronouns, determiners, prepositions, conjunctions, helping verbs and the like (the closed classes of any English
/// grammar; common practice, no source), with their common forms.
const FUNCTION_WORDS: &str = "a an the this that these those some any no none each every either neither both all such \
    i me my mine myself you your yours yourself he him his himself she her hers herself it its itself we us our ours \
    ourselves they them their theirs themselves who whom whose which what whoever whatever one ones other others \
    at by for from in into of off on onto out over to up upon with within without about above across after against along \
    among around as before behind below beneath beside besides between beyond down during except inside like near outside \
    past per since than through till toward towards under until via \
    and but or nor so yet if because although though unless while whereas whether \
    am is are was were be been being do does did doing done have has had having can could may might must shall should will \
    would ought not there here then when where why how too very just also even ever never only quite rather again else own \
    more most much many few less least another same thus hence yes";

/// Whether a word is a function word of English: *the*, *with*, *would*.
pub fn is_function_word(word: &str) -> bool {
    static KNOWN: LazyLock<HashSet<&str>> = LazyLock::new(|| FUNCTION_WORDS.split_whitespace().collect());
    KNOWN.contains(word)
}
