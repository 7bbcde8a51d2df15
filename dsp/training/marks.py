"""What five trained listeners marked, tied to where each sound lies in the recording."""

import json
import random
from typing import NamedTuple

import numpy as np

from common import INDEX

MOST = 16  # sounds in a word at most; the few longer ones are left out
LISTENERS = 5
FOLDS = 5


class Marked(NamedTuple):
    """Words as columns, one row each. `cuts`: first and one past the last sample of each sound; `sounds`: classes, 0 past the
    last; `votes`: shares of the listeners who call the sound right, accented, wrong or left out; `added`: the largest share
    that heard a sound added before each place (the last place: at the end); `before`, `after`: samples of silence around;
    `fold`: which part of the speakers its speaker is in, -1 for a made word; `sentence`: its sentence, -1 for a made word."""

    start: np.ndarray
    end: np.ndarray
    before: np.ndarray
    after: np.ndarray
    child: np.ndarray
    sounds: np.ndarray
    cuts: np.ndarray
    votes: np.ndarray
    added: np.ndarray
    fold: np.ndarray
    sentence: np.ndarray


def row(said, cuts, votes, added, before, after, child, fold, sentence):
    """One word; `said`: names, `votes`: a triple a sound, `added`: one share more than there are sounds."""
    n = len(said)
    pad = lambda values, shape, kind: np.concatenate([np.asarray(values, kind), np.zeros((shape[0] - len(values), *shape[1:]), kind)])
    return Marked(
        cuts[0][0], cuts[-1][1], before, after, child, pad([INDEX[s] for s in said], (MOST,), np.int8), pad(cuts, (MOST, 2), np.int32),
        pad(votes, (MOST, 3), np.float32), pad(added, (MOST + 1,), np.float32), fold, sentence,
    )


def columns(rows):
    """Rows as one Marked."""
    return Marked(*(np.array(column) for column in zip(*rows)))


def joined(parts):
    """Several Marked, one after another."""
    return Marked(*(np.concatenate(column) for column in zip(*parts)))


def folds_of(lines):
    """Which of FOLDS parts each speaker is in: children and adults are dealt out one by one."""
    rng, out = random.Random(3), {}
    for child in (True, False):
        who = sorted({l["speaker"] for l in lines if (l["age"] < 13) == child})
        rng.shuffle(who)
        out |= {s: i % FOLDS for i, s in enumerate(who)}
    return out


def share_added(added, n):
    """The largest share of listeners who heard one and the same sound added before each of the n + 1 places."""
    out = [0.0] * (n + 1)
    for a in added:
        out[a["before"]] = max(out[a["before"]], a["experts"] / LISTENERS)
    return out


def read(stem, alignment, base=0):
    """The marked words of `stem`.jsonl and `stem`_experts.jsonl, with cuts from `alignment` (a line a sentence: `cuts` for each
    sound of each word, or null); samples are counted from `base`. Words whose marks could not be tied are left out."""
    lines = [json.loads(l) for l in open(f"{stem}.jsonl")]
    experts = [json.loads(l) for l in open(f"{stem}_experts.jsonl")]
    placed = [json.loads(l) for l in open(alignment)]
    folds, rows = folds_of(lines), []
    for i, (line, marks, at) in enumerate(zip(lines, experts, placed)):
        assert line["utterance"] == marks["utterance"] == at["utterance"]
        if at["cuts"] is None:
            continue
        for k, (word, cuts) in enumerate(zip(marks["words"], at["cuts"])):
            if not word["tied"] or len(cuts) > MOST:
                continue
            low = at["cuts"][k - 1][-1][1] if k else line["start"]
            high = at["cuts"][k + 1][0][0] if k + 1 < len(at["cuts"]) else line["end"]
            votes = np.array([word["right"], word["accented"], word["wrong"]]).T / LISTENERS
            rows.append(row(
                word["phones"], np.array(cuts) + base, votes, share_added(word["added"], len(cuts)), cuts[0][0] - low, high - cuts[-1][1],
                line["age"] < 13, folds[line["speaker"]], i,
            ))
    return columns(rows), lines


def made(pack, base=0):
    """Synthetic words as a pack holds them (voices/pack.py): all that was said was said right."""
    names, rows = list(INDEX), []
    for i in range(len(pack["off"])):
        off, n = int(pack["off"][i]) + base, int(pack["n"][i])
        a, b = int(pack["seg_ptr"][i]), int(pack["seg_ptr"][i + 1])
        parts = zip(pack["seg_start"][a:b], pack["seg_end"][a:b], pack["seg_phone"][a:b])
        said = [(off + int(s), off + int(e), int(p)) for s, e, p in parts if p > 0 and e > s]
        if not 1 <= len(said) <= MOST or n > 30000:
            continue
        cuts = [(s, e) for s, e, _ in said]
        rows.append(row(
            [names[p] for _, _, p in said], cuts, [(1.0, 0.0, 0.0)] * len(said), [0.0] * (len(said) + 1), cuts[0][0] - off, off + n - cuts[-1][1],
            bool(pack["child"][i]), -1, -1,
        ))
    return columns(rows)
