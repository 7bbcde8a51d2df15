"""How well speakers kept from training are told, printed while the recipe runs. (`measure` is the measurement.)"""

import functools
import json
import random

import jax
import numpy as np

import network
from align import heard_sentences, stacked
from common import HOP
from corpus import LENGTH, windows_of
from device import heard
from sequence import forward, one_off, states_of

KINDS = ("fewer", "more", "changed")


def held_words(corpus, apart):
    """Words of the speakers kept out, with a real word a sound away of each kind to tell them from: those with at least
    40 ms of silence on both sides, or (`apart` false) all others."""
    rng = random.Random(4)
    out = []
    for w in corpus.held_words:
        if not 2 <= len(w.sounds) <= 12 or (min(w.before, w.after) >= 640) != apart:
            continue
        real = [(k, s) for k, s in one_off(w.sounds) if s in corpus.lexicon]
        pick = {k: rng.choice([s for kk, s in real if kk == k]) for k in KINDS if any(kk == k for kk, _ in real)}
        if pick:
            out.append((w, pick))
    return out


@functools.partial(jax.jit, static_argnums=1)
def told(w, shape_of, log_prior, x, states):
    """Forward scores of the readings (states: B x K x STATES) of audio as it is (B x N)."""
    x, wide = heard(x, shape_of.primed)
    return forward(w, network.scores(w, shape_of, x, wide=wide), log_prior, states)


def margins(corpus, w, shape_of, log_prior, todo):
    """For each word of `todo`, by how much (nats) it is preferred to each of its neighbours."""
    rng, out = np.random.default_rng(0), []
    for a in range(0, len(todo), 64):
        part = todo[a : a + 64]
        pieces = [corpus.audio[word.start - 400 : word.end + 400][: LENGTH - 3200] for word, _ in part]
        x = windows_of(pieces, 2400, rng.standard_normal((64, LENGTH)))
        states = np.full((64, 4, states_of([("P",)]).shape[1]), -1, np.int8)
        states[:, :, :4] = states_of([("P",)])[0][:4]
        for row, (word, pick) in enumerate(part):
            states[row] = states_of([word.sounds] + [pick.get(k, word.sounds) for k in KINDS])
        total = np.asarray(told(w, shape_of, log_prior, x, states))
        out += [{k: float(total[row, 0] - total[row, c + 1]) for c, k in enumerate(KINDS) if k in pick} for row, (_, pick) in enumerate(part)]
    return out


def measure(corpus, w, shape_of, log_prior):
    """Share of held-out words preferred to a real word with one sound fewer, more, changed; children and adults."""
    lines = []
    for apart in (True, False):
        todo = held_words(corpus, apart)
        res = {}
        for (word, _), found in zip(todo, margins(corpus, w, shape_of, log_prior, todo)):
            for k, v in found.items():
                res.setdefault((k, "child" if word.child else "adult"), []).append(v)
        text = ", ".join(f"{who} {k} {100 * np.mean(np.array(v) > 0):.1f} of {len(v)}" for (k, who), v in sorted(res.items()))
        loss = np.mean([np.logaddexp(0, -np.array(v)).mean() for v in res.values()]) if res else 0.0
        lines.append(f"{'said alone' if apart else 'in a sentence'}: {text}; log loss {loss:.3f}")
    return "; ".join(lines)


def frame_accuracy(corpus, w, shape_of):
    """Share of speech frames of held-out speakers that agree with their own alignment."""
    good = seen = 0
    kept = [i for i, l in enumerate(corpus.sentences) if l["speaker"] in corpus.held_out]
    for i, evidence in heard_sentences(corpus, stacked([w]), shape_of, kept):
        line = corpus.sentences[i]
        label = corpus.labels[line["from"] // HOP : line["to"] // HOP : 2][: len(evidence)]
        speech = label > 0
        good += (evidence.argmax(-1)[: len(label)] == label)[speech].sum()
        seen += speech.sum()
    return f"{good / max(1, seen):.4f} of {seen} frames"


def write_margins(corpus, w, shape_of, log_prior, path):
    """The margin of every held-out word over its neighbours, for looking at what is missed."""
    with open(path, "w") as f:
        for apart in (True, False):
            todo = held_words(corpus, apart)
            for (word, pick), found in zip(todo, margins(corpus, w, shape_of, log_prior, todo)):
                line = corpus.sentences[word.item]
                row = dict(utterance=line["utterance"], child=word.child, apart=apart, sounds=word.sounds, start=word.start - corpus.real_base,
                           end=word.end - corpus.real_base, others=pick, margins={k: round(v, 3) for k, v in found.items()})
                f.write(json.dumps(row, default=int) + "\n")
