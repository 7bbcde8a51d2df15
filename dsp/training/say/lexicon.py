"""The dictionary's tables, read here as data/src/lexicon.rs reads them."""
import os
import struct

NAMES = ("AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH").split()
VOWELS = set("AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW".split())


def words(tables):
    """(word, its ways of being said as [(sound, stress)], Zipf frequency, whether it is common) of every entry."""
    read = lambda name: open(os.path.join(tables, name), "rb").read()
    lexicon, zipf, common = read("lexicon.bin"), read("zipf.bin"), read("common.bin")
    count, blocks, _ = struct.unpack("<III", lexicon[8:20])
    body, at = lexicon[20 + 4 * blocks:], 0

    def piece():
        nonlocal at
        length = body[at]
        at += 1 + length
        return body[at - length:at]

    for i in range(count):
        word, ways = piece().decode(), []
        variants = body[at]
        at += 1
        for _ in range(variants):
            ways.append([(NAMES[b & 63], b >> 6) for b in piece()])
        yield word, ways, zipf[i] / 32, bool(common[i >> 3] >> (i & 7) & 1)


def blocker(tables):
    """Whether a word is kept from children (data/tables/block.txt)."""
    with open(os.path.join(tables, "block.txt"), encoding="utf-8") as f:
        entries = [line.strip() for line in f if line.strip() and not line.startswith("#")]

    def blocked(word):
        def fits(entry):
            stem = entry.strip("*")
            if entry.startswith("*") and entry.endswith("*"):
                return stem in word
            if entry.startswith("*"):
                return word.endswith(stem)
            return word.startswith(stem) if entry.endswith("*") else word == stem
        return any(map(fits, entries))
    return blocked
