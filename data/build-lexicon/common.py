#!/usr/bin/env python3
"""Make data/tables/common.bin: which words of the dictionary a child of 8 to 12 may meet.

    python3 data/build-lexicon/common.py SMALL FULL

SMALL and FULL are `american-english-small` and `american-english`, the word lists of Debian's packages
wamerican-small and wamerican (2020.12.07-2), which hold SCOWL up to size 35 and up to size 60 (Kevin Atkinson; terms
in data/tables/LICENSE-scowl.txt). They write names of people, places, days and months with a capital, so a word that
stands there in small letters is not only a name. The table has one bit for each word of lexicon.bin, in its order, the
lowest bit of a byte first. A bit is set for a word

- in small letters in SMALL, with a Zipf frequency of 2.5 or more, or in FULL with one of 3.0 or more;
- of two letters or more (and `a`), without apostrophe;
- that is no abbreviation or sign name of the list below.

What is unkind, sexual or violent is not dealt with here but in data/tables/block.txt. Run it after build.py.
"""

import struct
import sys
from pathlib import Path

TABLES = Path(__file__).resolve().parent.parent / "tables"
ZIPF_STEP = 32
RARE_SMALL, RARE_FULL = 2.5, 3.0

# Short forms, letters of alphabets and other things that are no words to sound out.
LEFT_OUT = set(
    """al alt aux eh ay aw uh um sh bah duh hah ca cal cam cc chi cox ct deb dis doc docs dos dun ed ell em ems en es est etc ex fed feds fer
    ftp gen gm gov hah haw hoc hp hr id ids inc ins ion ken la lam lat lb lbs lei lib lo ls mas max med meg mg mi mil min mm
    mod mos mpg mph ms mu non nth nu op ops ova oz pas pi pol qua re ref rep reps rev rho rpm rte sec sic sim sis sol sos
    sox tam tel ti tor ts ups ve vi via viz vol vs wan wen xi zen amp amps ave blvd capt cert co comm cont corp cont cpl
    dept div dram est ext ft fwd gov govt hwy inc lieut ltd maj max misc mfg natl oct orig phi pics
    pkg prof promo psi quo rehab sept sgt spec specs sq std temp temps theta univ admin
    acct bldg chem cpu dvd eta fax foo iota kappa lambda omega omicron sigma tau upsilon zeta bio ye yea nay
    john johns jimmy peter mike mikes tom toms sally molly polly betty jenny hank willy billy nelly""".split()
)


def words():
    """The spellings of lexicon.bin in order."""
    data = (TABLES / "lexicon.bin").read_bytes()
    count, blocks, _ = struct.unpack("<III", data[8:20])
    at = 20 + blocks * 4
    for _ in range(count):
        length = data[at]
        yield data[at + 1 : at + 1 + length].decode("ascii")
        at += 1 + length
        variants = data[at]
        at += 1
        for _ in range(variants):
            at += 1 + data[at]


def small_letters(path):
    """The words of a list that have no capital."""
    return {w for w in Path(path).read_text(encoding="utf-8").split() if w == w.lower()}


def main():
    small, full = small_letters(sys.argv[1]), small_letters(sys.argv[2])
    zipf = (TABLES / "zipf.bin").read_bytes()
    bits, count = bytearray((len(zipf) + 7) // 8), 0
    for number, word in enumerate(words()):
        frequency = zipf[number] / ZIPF_STEP
        known = (word in small and frequency >= RARE_SMALL) or (word in full and frequency >= RARE_FULL)
        if known and word.isalpha() and word not in LEFT_OUT and (len(word) > 1 or word == "a"):
            bits[number // 8] |= 1 << number % 8
            count += 1
    (TABLES / "common.bin").write_bytes(bytes(bits))
    print(f"{count} common words of {len(zipf)}")


if __name__ == "__main__":
    main()
