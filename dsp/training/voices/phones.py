"""The 39 ARPAbet sounds, their numbers in the pack, and the maps to and from each synthesiser's own phone names.

Every map fails loudly: a name that is not listed raises KeyError, the item is dropped and the name is counted.
"""

ARPABET = ("AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH").split()
INDEX = {"SIL": 0, **{name: i + 1 for i, name in enumerate(ARPABET)}}
VOWELS = set("AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW".split())
STOPS = set("P B T D K G".split())
# Sounds that can be held: the ones that get stretched.
CONTINUANTS = VOWELS | set("F V TH DH S Z SH ZH M N NG L R".split())

# Where a sound of one synthesiser holds two of ours, the first takes this share of its time (r-coloured vowels).
SPLIT = 0.55

# ARPAbet (stress kept for AH and ER) to espeak-ng's en-us mnemonics.
TO_ESPEAK = {
    "AA": "A:", "AE": "a", "AO": "O:", "AW": "aU", "AY": "aI", "EH": "E", "EY": "eI", "IH": "I", "IY": "i:", "OW": "oU",
    "OY": "OI", "UH": "U", "UW": "u:", "B": "b", "CH": "tS", "D": "d", "DH": "D", "F": "f", "G": "g", "HH": "h",
    "JH": "dZ", "K": "k", "L": "l", "M": "m", "N": "n", "NG": "N", "P": "p", "R": "r", "S": "s", "SH": "S", "T": "t",
    "TH": "T", "V": "v", "W": "w", "Y": "j", "Z": "z", "ZH": "Z", "AH0": "@", "AH": "V", "ER0": "3", "ER": "3:",
}
# A vowel and a following R at the end of a syllable is one r-coloured mnemonic in espeak-ng's en-us.
R_COLOURED = {"AA": "A@", "AO": "o@", "EH": "e@", "IH": "i@3", "UH": "U@"}

# espeak-ng's en-us mnemonics, as its phoneme events name them, to our sounds.
FROM_ESPEAK = {
    "I": "IH", "I2": "IH", "I#": "IH", "i:": "IY", "i": "IY", "E": "EH", "E#": "EH", "a": "AE", "aa": "AE", "a#": "AH",
    "A:": "AA", "A": "AA", "0": "AA", "A@": "AA R", "O": "AO", "O:": "AO", "O2": "AO", "V": "AH", "@": "AH", "@2": "AH",
    "@-": "AH", "U": "UH", "u:": "UW", "u": "UW", "eI": "EY", "aI": "AY", "OI": "OY", "aU": "AW", "oU": "OW", "3:": "ER",
    "3": "ER", "o@": "AO R", "O@": "AO R", "e@": "EH R", "i@3": "IH R", "U@": "UH R", "aI@": "AY ER", "aI3": "AY ER",
    "@L": "AH L", "tS": "CH", "dZ": "JH", "S": "SH", "Z": "ZH", "T": "TH", "D": "DH", "N": "NG", "n-": "AH N",
    "m-": "AH M", "j": "Y", "r": "R", "r-": "R", "w": "W", "l": "L", "l#": "L", "h": "HH", "t#": "T", "t2": "T",
    "d#": "D", "p": "P", "b": "B", "t": "T", "d": "D", "k": "K", "g": "G", "f": "F", "v": "V", "s": "S", "z": "Z",
    "m": "M", "n": "N", "z#": "Z", "?": "T", "_:": "SIL", "_": "SIL", "_|": "SIL", "_!": "SIL", "_::": "SIL", "": "SIL",
}

# flite's and festival's US radio phone set to ours; the names not listed here are ARPAbet in small letters.
FROM_RADIO = {"ax": "AH", "axr": "ER", "dx": "T", "nx": "N", "el": "AH L", "en": "AH N", "em": "AH M", "hv": "HH",
              "pau": "SIL", "h#": "SIL", "brth": "SIL", "#": "SIL", **{name.lower(): name for name in ARPABET}}


def to_radio(phone):
    """The radio-set name of an ARPAbet phone with or without a stress digit: AH0 is `ax`, all else is the small letters."""
    return "ax" if phone == "AH0" else phone.rstrip("012").lower()


def segments(events, end, table, keep_empty=False):
    """(start_s, name) events, in order, to [(start_s, end_s, sound)]; compounds are split, equal SIL neighbours joined.

    Sounds of no length are left out unless `keep_empty` (espeak-ng's L after a vowel: see sound.split_vowel_l).
    """
    out = []
    stops = [t for t, _ in events[1:]] + [end]
    for (start, name), stop in zip(events, stops):
        ours = table[name].split()
        if stop < start or stop == start and (ours == ["SIL"] or not keep_empty):
            continue
        cut = [start, stop] if len(ours) == 1 else [start, start + SPLIT * (stop - start), stop]
        for a, b, sound in zip(cut, cut[1:], ours):
            if out and out[-1][2] == sound == "SIL":
                out[-1] = (out[-1][0], b, sound)
            else:
                out.append((a, b, sound))
    return out
