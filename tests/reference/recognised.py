"""How often a general recogniser picks a word that the model voice says, from a list of 1,000, and how many words of sentences.

    cargo run --release -p soundbead-tests --bin measure -- say --out FOLDER
    python3 tests/reference/recognised.py FOLDER [--misses]
    cargo run --release -p soundbead-tests --bin measure -- say --rows sentences --out FOLDER
    python3 tests/reference/recognised.py FOLDER --sentences [--misses]

Reads FOLDER/words.tsv, FOLDER/list.txt and the WAV files beside them. The list of the recogniser is the words said and
the next ones of list.txt, common words in a fixed shuffle, 1,000 in all; an utterance is one of them, all as likely. A word counts as picked when what is picked sounds the same in the recogniser's dictionary. Words that its
dictionary lacks are left out and counted. Needs numpy and pocketsphinx (5, with its own US model, which learned from
adult speech).
"""
import math
import os
import sys
import wave

import numpy as np
from pocketsphinx import Decoder, get_model_path

SEED, LIST = 20261128, 1000
QUIET = 0.15    # seconds of silence before and after: more of it, and the mean that the recogniser takes off is silence


def dictionary():
    """{word: its pronunciations} of the recogniser."""
    path = os.path.join(get_model_path("en-us"), "cmudict-en-us.dict")
    said = {}
    with open(path, encoding="utf-8") as f:
        for line in f:
            word, *phones = line.split()
            said.setdefault(word.split("(")[0], []).append(tuple(phones))
    return said


def samples(path):
    """The file's 16-bit samples with silence around them: a little noise, for the recogniser's silence is never none."""
    with wave.open(path) as f:
        x = np.frombuffer(f.readframes(f.getnframes()), np.int16).astype(float)
        quiet = np.zeros(int(QUIET * f.getframerate()))
    x = np.concatenate([quiet, x, quiet]) + np.random.default_rng(SEED).normal(0, 3, len(x) + 2 * len(quiet))
    return np.clip(x, -32768, 32767).astype(np.int16).tobytes()


def interval(hits, n):
    """Wilson (1927), 95 %."""
    z, p = 1.959964, hits / max(n, 1)
    n = max(n, 1)
    middle, half = p + z * z / (2 * n), z * math.sqrt(p * (1 - p) / n + z * z / (4 * n * n))
    return [100 * (middle + sign * half) / (1 + z * z / n) for sign in (-1, 1)]


def decoder(words, folder):
    """A recogniser of one word of the list."""
    grammar = os.path.join(folder, "words.jsgf")
    with open(grammar, "w", encoding="utf-8") as f:
        f.write("#JSGF V1.0;\ngrammar words;\npublic <word> = " + " | ".join(words) + ";\n")
    return Decoder(jsgf=grammar, lm=None, cmn="batch", logfn=os.devnull)


def dictation(words, folder, said):
    """A recogniser of any number of words of the list, all as likely after each other: an ARPA model of single words."""
    model, own = os.path.join(folder, "words.arpa"), os.path.join(folder, "words.dict")
    chance = -math.log10(len(words) + 1)
    with open(model, "w", encoding="utf-8") as f:
        f.write(f"\\data\\\nngram 1={len(words) + 2}\n\n\\1-grams:\n-99 <s>\n{chance:.4f} </s>\n")
        f.writelines(f"{chance:.4f} {word}\n" for word in words)
        f.write("\n\\end\\\n")
    with open(own, "w", encoding="utf-8") as f:
        for word in words:
            ways = [" ".join(way) for way in said[word]]
            f.writelines(f"{word}{'' if n == 0 else f'({n + 1})'} {way}\n" for n, way in enumerate(ways))
    return Decoder(lm=model, dict=own, cmn="batch", logfn=os.devnull)


def kept(wanted, found, same):
    """How many words were added, left out or changed at least (Levenshtein 1966), and how many of the wanted ones then stand in their order."""
    row = [(at, 0) for at in range(len(found) + 1)]
    for number, word in enumerate(wanted, 1):
        before, row = row, [(number, 0)]
        for at, other in enumerate(found, 1):
            hit = same(word, other)
            ways = [(before[at][0] + 1, before[at][1]), (row[-1][0] + 1, row[-1][1]),
                    (before[at - 1][0] + (not hit), before[at - 1][1] + hit)]
            row.append(min(ways, key=lambda way: (way[0], -way[1])))
    return row[-1]


def sentences(folder):
    """Recognises the sentences of FOLDER/sentences.tsv, those whose words the recogniser's dictionary has."""
    with open(os.path.join(folder, "sentences.tsv"), encoding="utf-8") as f:
        rows = [line.rstrip("\n").split("\t") for line in f]
    said = dictionary()
    known = [(number, words.split()) for number, words, _ in rows if all(word in said for word in words.split())]
    with open(os.path.join(folder, "list.txt"), encoding="utf-8") as f:
        others = [word for word in f.read().split() if word in said and word.isalpha()]
    words = list(dict.fromkeys([w for _, own in known for w in own] + others))[:LIST]
    recogniser = dictation(words, folder, said)
    same = lambda a, b: a == b or bool(set(said.get(a, [])) & set(said.get(b, [])))
    wrong, right, n = 0, 0, 0
    for number, own in known:
        recogniser.start_utt()
        recogniser.process_raw(samples(os.path.join(folder, number + ".wav")), full_utt=True)
        recogniser.end_utt()
        found = recogniser.hyp()
        found = found.hypstr.split() if found else []
        errors, hits = kept(own, found, same)
        wrong, right, n = wrong + errors, right + hits, n + len(own)
        if "--misses" in sys.argv and errors:
            print(f"  {' '.join(own)}  as  {' '.join(found)}")
    low, high = interval(right, n)
    print(f"{len(rows)} sentences, {len(rows) - len(known)} left out; any words of {len(words)} in any order:")
    print(f"  words found {100 * right / n:.1f} % ({low:.1f} to {high:.1f}) of {n}; word error rate {100 * wrong / n:.1f} %")


def main():
    """Reads, recognises and prints."""
    folder = sys.argv[1]
    if "--sentences" in sys.argv:
        return sentences(folder)
    with open(os.path.join(folder, "words.tsv"), encoding="utf-8") as f:
        rows = [line.rstrip("\n").split("\t")[:2] for line in f]
    said = dictionary()
    known = [(word, how) for word, how in rows if word in said and word.isalpha()]
    with open(os.path.join(folder, "list.txt"), encoding="utf-8") as f:
        others = [word for word in f.read().split() if word in said and word.isalpha()]
    words = list(dict.fromkeys([w for w, _ in known] + others))[:LIST]
    recogniser, counts, misses = decoder(words, folder), {}, []
    for word, how in known:
        recogniser.start_utt()
        recogniser.process_raw(samples(os.path.join(folder, word + ".wav")), full_utt=True)
        recogniser.end_utt()
        found = recogniser.hyp()
        found = found.hypstr.strip() if found else ""
        right = found == word or bool(set(said.get(found, [])) & set(said[word]))
        for kind in (how, "all"):
            hits, n = counts.get(kind, (0, 0))
            counts[kind] = (hits + right, n + 1)
        if not right:
            misses.append(f"{word} as {found or 'nothing'}")
    print(f"{len(rows)} words, {len(rows) - len(known)} not in the recogniser's dictionary; picked from {len(words)}:")
    for kind, (hits, n) in sorted(counts.items()):
        low, high = interval(hits, n)
        print(f"  {kind:9} {100 * hits / n:5.1f} % ({low:.1f} to {high:.1f}) of {n}")
    if "--misses" in sys.argv:
        print("; ".join(misses))


if __name__ == "__main__":
    main()
