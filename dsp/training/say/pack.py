"""Makes voice/bank.bin from the recordings (see README.md beside this file)."""
import argparse
import json
import os
import struct

import numpy as np
import soundfile as sf

from lexicon import NAMES
from sound import EDGE, RATE, clean_start, edges, join_place, leveled, levels, packets

SILENCE = len(NAMES)
STEP = 4            # samples to a step of a phone's times
SINGLE, WHOLE = 1, 2


def lines(path):
    """The objects of a file, one a line."""
    with open(path, encoding="utf-8") as f:
        return [json.loads(line) for line in f]


def phone(code, start, end, join, x):
    """One phone's bytes."""
    return struct.pack("<BHHH10b", code, start // STEP, end // STEP, join // STEP, *levels(x, join))


def word_item(entry, heard, folder):
    """(flags, phones, samples) of a word, or None where the ear does not hear its sounds."""
    fit = heard.get("fit")
    if not fit or max(fit, key=fit.get) != "same" or len(heard["sounds"]) != len(entry["pron"]):
        return None
    x, _ = sf.read(os.path.join(folder, entry["word"] + ".wav"))
    sound, part = entry["pron"][0][0], heard["sounds"][0]
    x = clean_start(x, sound, int(part["start_s"] * RATE), int(part["end_s"] * RATE))
    first, last = edges(x)
    x = leveled(x[first:last])
    times = [(int(s["start_s"] * RATE) - first, int(s["end_s"] * RATE) - first) for s in heard["sounds"]]
    times = [(min(max(0, a), len(x)), min(max(0, b), len(x))) for a, b in times]
    begin, end, phones = times[0][0], times[-1][1], []
    phones.append(phone(SILENCE, 0, begin, min(begin, int(EDGE * RATE)) // 2, x))
    for (name, stress), (a, b) in zip(entry["pron"], times):
        phones.append(phone(NAMES.index(name) | stress << 6, a, b, min(join_place(x, name, a, b), len(x) - 1), x))
    phones.append(phone(SILENCE, end, len(x), (end + len(x)) // 2, x))
    return WHOLE, phones, x


def single_item(entry, folder):
    """(flags, phones, samples) of one sound alone."""
    x, _ = sf.read(os.path.join(folder, entry["file"]))
    codes = [NAMES.index(name) | (0 if entry.get("weak") else 1) << 6 for name in entry["sounds"]]
    return SINGLE, [phone(code, 0, len(x), len(x) // 2, x) for code in codes], x


def write(items, path):
    """Writes the bank; gives its size."""
    heads, phones, lengths, data, header = b"", b"", b"", [], None
    count = 0
    for flags, own, x in items:
        headers, coded = packets(x)
        if header not in (None, headers):
            raise SystemExit("the coder's headers differ between recordings")
        header = headers
        heads += struct.pack("<BBBBI", flags, len(own), len(coded), 0, len(x))
        phones += b"".join(own)
        count += len(own)
        lengths += b"".join(struct.pack("<H", len(p)) for p in coded)
        data += coded
    with open(path, "wb") as f:
        f.write(b"SBVOICE1" + struct.pack("<HIII", len(items), count, len(data), len(header)) + header)
        f.write(heads + phones + lengths + b"".join(data))
    return os.path.getsize(path)


def main():
    """Reads the command line and packs."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--bank", required=True, help="folder with words.jsonl, heard.jsonl, words/, singles.jsonl, singles/")
    parser.add_argument("--out", required=True, help="the bank")
    args = parser.parse_args()
    at = lambda name: os.path.join(args.bank, name)
    heard = {answer["id"]: answer for answer in lines(at("heard.jsonl"))}
    words = [word_item(e, heard[e["word"]], at("words")) for e in lines(at("words.jsonl")) if e["word"] in heard]
    kept = [item for item in words if item]
    singles = [single_item(e, at("singles")) for e in lines(at("singles.jsonl"))]
    size = write(singles + kept, args.out)
    seconds = sum(len(x) for _, _, x in kept) / RATE
    print(f"{len(kept)} words of {len(words)}, {seconds / 60:.1f} min, {len(singles)} single sounds, {size / 1e6:.2f} MB")


if __name__ == "__main__":
    main()
