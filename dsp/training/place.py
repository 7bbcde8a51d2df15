"""Lays the dictionary's sounds on read sentences with a network that ships, every sound somewhere, for the sixth listener.

    python3 place.py ../weights/ear.safetensors SPEECH/read_train OUT/placed_train.jsonl [.ogg] [SENTENCES]

The third argument is what is put after the name of the audio (".opus.ogg" where it is left out). Writes a line a sentence: `cuts`, for
each sound of each word its first sample and one past its last; null where the sounds do not fit.
"""

import json
import sys
from types import SimpleNamespace

import numpy as np

import load
import verdict
from align import best_path, heard_sentences, sentence_states, stacked
from common import FRAME

NEVER_LEFT_OUT = -1e9  # the cost of a sound that is not said


def cuts_of(logp, prior, words, base):
    """Where each sound lies, or None where they do not fit."""
    phone, silence, second, owner = sentence_states(words)
    if len(phone) > len(logp):
        return None
    path, _ = best_path((logp - 0.5 * prior).astype(np.float64), phone, silence, second, NEVER_LEFT_OUT)
    found = {}
    for t, j in enumerate(path):
        if owner[j][0] >= 0:
            found[owner[j]] = (found.get(owner[j], (t, t))[0], t + 1)
    try:
        return [[[base + found[k, n][0] * FRAME, base + found[k, n][1] * FRAME] for n in range(len(sounds))] for k, sounds in enumerate(words)]
    except KeyError:
        return None


def main(weights, stem, out, ending=".opus.ogg", most=None):
    """`most`: only so many sentences, to see that it runs."""
    lines = [json.loads(l) for l in open(f"{stem}.jsonl")][: most and int(most)]
    shape_of, w, prior = verdict.shipped(weights)
    audio = load.start(stem + ending, lines[-1]["end"])()
    corpus = SimpleNamespace(audio=audio, sentences=[l | {"from": l["start"], "to": l["end"]} for l in lines])
    cuts = [None] * len(lines)
    for i, logp in heard_sentences(corpus, stacked([w]), shape_of):
        cuts[i] = cuts_of(logp, np.asarray(prior), lines[i]["phones"], lines[i]["start"])
    with open(out, "w") as f:
        for line, c in zip(lines, cuts):
            f.write(json.dumps(dict(utterance=line["utterance"], speaker=line["speaker"], age=line["age"], cuts=c)) + "\n")
    print(sum(c is None for c in cuts), "of", len(cuts), "sentences do not fit")


if __name__ == "__main__":
    main(*sys.argv[1:])
