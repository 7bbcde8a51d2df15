#!/usr/bin/env python3
"""Make data/tables/lexicon.bin and data/tables/zipf.bin from the two named PyPI packages.

Run from anywhere, with Python 3.9 or later and a way to reach PyPI:

    python3 data/build-lexicon/build.py

It makes a virtual environment in .venv (kept out of git), installs requirements.txt into it, checks the
SHA-256 of every file it reads, and writes the tables. The same input gives the same bytes.

lexicon.bin holds the words and how they are said (CMU Pronouncing Dictionary, its licence in
LICENSE-cmudict.txt); zipf.bin holds one byte of word frequency for each word of lexicon.bin, in the same
order (wordfreq, CC BY-SA 4.0, LICENSE-wordfreq.txt). They are two files because their licences differ.

What is left out, and said so: spellings with a full stop (`a.m.`), repeated pronunciations of one spelling, and
what corrections.tsv names (short forms read out as other words, slips of the dictionary). Names of people and
places stay; their low frequency shows what they are. Most letter names and short forms stay too (`dr`, `tv`).

The other tables are learned from this one, so after it run, in this order:

    cargo run --release -p soundbead-data --example train_spelling
    cargo run --release -p soundbead-data --example train_guess
"""

import hashlib
import math
import os
import struct
import subprocess
import sys
import venv
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
TABLES = HERE.parent / "tables"
VENV = ROOT / ".venv"

# SHA-256 of each file as the pinned packages hold it.
SHA256 = {
    "cmudict.dict": "81917843c7f44ce2b094ac63873c2c7a4cf802040792c455ba3ca406891c3d22",
    "LICENSE": "bd4ce8e44170a5f9f481310ca85c51de3c4f851a65e679b40e603b143bd3542a",
    "large_en.msgpack.gz": "dffae8066b78dce0a6667cf5f58e567054f902674667090a7ac8a8a44628b05c",
}

# The order of soundbead_data::Sound; a sound's place here is its index there.
SOUNDS = (
    "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH"
).split()
INDEX = {name: i for i, name in enumerate(SOUNDS)}

MAGIC = b"SBLX\x00\x01\x00\x00"  # name and version of the layout
BLOCK = 16  # words to one entry of the on-disk index
LONGEST = 60  # letters; the look-up's own limit
ZIPF_STEP = 32  # a frequency byte is the Zipf value times this, rounded; 0 means "not in the list"


def in_our_environment():
    """Start again inside .venv, with the pinned packages, unless we are there already."""
    python = VENV / "bin" / "python"
    if Path(sys.prefix).resolve() == VENV.resolve():
        return
    if not python.exists():
        venv.create(VENV, with_pip=True)
    pip = [str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--no-deps"]
    subprocess.run([*pip, "-r", str(HERE / "requirements.txt")], check=True)
    subprocess.run([*pip, "msgpack==1.2.1"], check=True)  # to read the frequency list's container
    os.execv(str(python), [str(python), *sys.argv])


def package_file(package, *parts):
    """The bytes of one data file of an installed package, after checking them."""
    import importlib.util

    path = Path(importlib.util.find_spec(package).origin).parent.joinpath("data", *parts)
    data = path.read_bytes()
    found = hashlib.sha256(data).hexdigest()
    wanted = SHA256[parts[-1]]
    if found != wanted:
        sys.exit(f"{path.name} of {package}: SHA-256 {found}, expected {wanted}; install the pinned version")
    return data


def corrections():
    """Hand corrections: {word: list of pronunciations, or empty to leave the word out}."""
    fixed = {}
    for number, line in enumerate((HERE / "corrections.tsv").read_text().splitlines(), 1):
        if not line or line.startswith("#"):
            continue
        fields = line.split("\t")
        if len(fields) != 3:
            sys.exit(f"corrections.tsv line {number}: {len(fields)} fields, expected word, sounds, reason")
        fixed.setdefault(fields[0], [])
        if fields[1] != "-":
            fixed[fields[0]].append(fields[1].split())
    return fixed


def symbols(phones):
    """One byte a sound: its index in the low six bits, its stress (0, 1, 2) in the high two."""
    out = bytearray()
    for phone in phones:
        stress = phone[-1] if phone[-1] in "012" else "0"
        out.append(INDEX[phone.rstrip("012")] | int(stress) << 6)
    return bytes(out)


def caught_first(spelling, variants):
    """The variants, with one that has the vowel of caught before the same one with the vowel of cot.

    Only for words with au, aw or ough: where the two vowels differ, these spell the vowel of caught, and lessons teach it
    so (cause, awful). The dictionary has either first, without a system."""
    if not any(team in spelling for team in ("au", "aw", "ough")):
        return variants
    cot, caught = INDEX["AA"], INDEX["AO"]

    def raised(said):
        return bytes(b - cot + caught if b & 63 == cot else b for b in said)

    first = variants[0]
    better = next((v for v in variants[1:] if v != first and raised(v) == raised(first)), None)
    more = better is not None and sum(b & 63 == caught for b in better) > sum(b & 63 == caught for b in first)
    return [better, *(v for v in variants if v != better)] if more else variants


def read_dictionary():
    """{spelling: [pronunciation bytes]}, variants in the dictionary's own order but for caught_first."""
    words, dropped = {}, {"full stop": 0, "repeated": 0, "corrected or left out": 0}
    fixed = corrections()
    for line in package_file("cmudict", "cmudict.dict").decode("ascii").splitlines():
        spelling, *phones = line.split(" #")[0].split()
        spelling = spelling.split("(")[0]
        if "." in spelling:
            dropped["full stop"] += 1
        elif spelling in fixed:
            dropped["corrected or left out"] += 1
        else:
            said = symbols(phones)
            known = words.setdefault(spelling, [])
            if said in known:
                dropped["repeated"] += 1
            else:
                known.append(said)
    for spelling, variants in fixed.items():
        if variants:
            words[spelling] = [symbols(v) for v in variants]
    print(f"left out of the dictionary: {dropped}")
    return {spelling: caught_first(spelling, variants) for spelling, variants in words.items()}


def write_lexicon(words, order):
    """Header, index of block offsets, then the words: length, letters, variants (length, sounds)."""
    body, offsets = bytearray(), []
    for number, spelling in enumerate(order):
        if number % BLOCK == 0:
            offsets.append(len(body))
        letters = spelling.encode("ascii")
        assert 0 < len(letters) <= LONGEST and all(97 <= b <= 122 or b in b"'-" for b in letters), spelling
        body += bytes([len(letters)]) + letters + bytes([len(words[spelling])])
        for said in words[spelling]:
            body += bytes([len(said)]) + said
    header = MAGIC + struct.pack("<III", len(order), len(offsets), len(body))
    data = header + b"".join(struct.pack("<I", o) for o in offsets) + bytes(body)
    (TABLES / "lexicon.bin").write_bytes(data)
    return len(data)


def frequencies():
    """{token: Zipf value}, log10 of uses in a thousand million words, from the list's centibel bins."""
    import gzip

    import msgpack

    bins = msgpack.unpackb(gzip.decompress(package_file("wordfreq", "large_en.msgpack.gz")), raw=False)
    assert bins[0] == {"format": "cB", "version": 1}, bins[0]
    return {token: 9 - i / 100 for i, tokens in enumerate(bins[1:]) for token in tokens}


def write_zipf(order):
    """One byte a word."""
    zipf = frequencies()
    data = bytes(min(255, max(0, math.floor(zipf.get(w, 0) * ZIPF_STEP + 0.5))) for w in order)
    (TABLES / "zipf.bin").write_bytes(data)
    return len(data), sum(b > 0 for b in data)


def main():
    in_our_environment()
    TABLES.mkdir(exist_ok=True)
    words = read_dictionary()
    order = sorted(words, key=lambda w: w.encode("ascii"))
    size = write_lexicon(words, order)
    zipf_size, known = write_zipf(order)
    (TABLES / "LICENSE-cmudict.txt").write_bytes(package_file("cmudict", "LICENSE"))
    variants = sum(len(v) for v in words.values())
    print(f"{len(order)} words, {variants} pronunciations, {size} bytes")
    print(f"{known} words have a frequency, {zipf_size} bytes")


if __name__ == "__main__":
    main()
