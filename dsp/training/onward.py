"""The ear's first network goes on with more speakers (read_dev beside read_train). See README.md in this folder.

    python3 onward.py --ear ../weights/ear.safetensors --synth OUT/packs/synth --real SPEECH/read_train --alignment OUT/marks/placed_train.jsonl \\
        --more OUT/marks/read_dev --more-alignment OUT/marks/placed_dev.jsonl --neural OUT/packs/neural --lexicon OUT/lexicon.txt \\
        --out OUT/onward --run NAME=FROM,FOLD,WHO ...

Each run goes on from the weights FROM (a file for the program), keeps the speakers of part FOLD (marks.FOLDS; -1: none) from
training, and hears WHO: `train` or `both`. All hear the made words, those of --neural (voices/neural.py) too. The network before is
the teacher of all of them. Sounds that listeners marked wrong are not learned from, and words with such sounds are not told from
other readings.
"""

import argparse
import json
import os

import jax
import jax.numpy as jnp
import numpy as np

import draw
import load
import marks
import recipe
import verdict
from align import align, heard_inside, stacked
from common import FRAME, HOP, log
from corpus import Corpus
from taught import WARPS, Taught

WRONG = 2  # listeners who call a sound wrong, or hear one added, from which it is not learned from
DROPPED = 0.07
REAL_SHARE = 0.7
TINY = 30  # sentences of each list, made words


def read(a):
    """Samples, and lines of both lists with `made`, `more`, the marks and the place of every sound; then those of the neural words."""
    audio, lines = [], []
    for stem, ending, alignment, more in ((a.real, ".opus.ogg", a.alignment, False), (a.more, ".ogg", a.more_alignment, True)):
        base = sum(len(part) for part in audio)
        audio.append(load.start(stem + ending)())
        three = (map(json.loads, open(path)) for path in (f"{stem}.jsonl", f"{stem}_experts.jsonl", alignment))
        own = list(zip(*three))
        folds = marks.folds_of([line for line, _, _ in own])
        for line, marked, placed in own[: TINY if a.plan == "tiny" else None]:
            assert line["utterance"] == marked["utterance"] == placed["utterance"]
            place = dict(start=line["start"] + base, end=line["end"] + base, base=base, fold=-2 if more else folds[line["speaker"]])
            lines.append(line | place | dict(made=False, more=more, marks=marked["words"], cuts=placed["cuts"]))
        audio[-1] = np.pad(audio[-1], (0, -len(audio[-1]) % FRAME))
    for stem in filter(None, a.neural.split(",")):
        base = sum(len(part) for part in audio)
        audio.append(load.start(stem + ".opus.ogg")())
        for line in list(map(json.loads, open(stem + ".jsonl")))[: TINY if a.plan == "tiny" else None]:
            lines.append(line | dict(start=line["start"] + base, end=line["end"] + base, made=True, more=False, fold=-2))
        audio[-1] = np.pad(audio[-1], (0, -len(audio[-1]) % FRAME))
    return np.concatenate(audio), lines


def doubtful(word):
    """Whether a marked word holds what was not said as the dictionary has it, or could not be tied to it."""
    return not word["tied"] or max(word["wrong"]) >= WRONG or any(a["experts"] >= WRONG for a in word["added"])


def leave_out(corpus, frames):
    """Takes what listeners doubt out of labels, of what the teacher thinks (`frames`, changed in place) and of the readings."""
    sounds = words = 0
    for line in filter(lambda line: not line["made"], corpus.sentences):
        for word, cuts in zip(line["marks"], line["cuts"] or []):
            for wrong, (low, high) in zip(word["wrong"], cuts):
                if word["tied"] and wrong >= WRONG:
                    low, high = (corpus.real_base + line["base"] + v for v in (low, high))
                    corpus.labels[low // HOP : high // HOP] = -1
                    frames[low // FRAME : high // FRAME] = 0
                    sounds += 1
    at = {}
    for word in corpus.real_words:
        line, k = corpus.sentences[word.item], at.get(word.item, 0)
        if line["made"]:
            continue
        while tuple(line["phones"][k]) != word.sounds:
            k += 1
        at[word.item] = k + 1
        if doubtful(line["marks"][k]):
            word.pool = -1
            words += 1
    return f"{sounds} sounds and {words} words are not learned from"


def part_of(source, corpus, kept):
    """What is drawn from without the sentences that are not `kept`; of the same size, so that nothing is compiled anew."""
    words = corpus.synth_words + corpus.real_words
    there = np.array([w.item < 0 or kept[w.item] for w in words])
    of = lambda rows: jnp.asarray(np.resize(np.asarray(rows)[there[np.asarray(rows)]], len(rows)))
    sentences = np.resize(np.flatnonzero(kept[corpus.train_sentences]), len(corpus.train_sentences))
    return source._replace(
        sentences=jax.tree.map(lambda v: v[sentences], source.sentences), real=of(source.real), whole=of(source.whole), apart=of(source.apart)
    )


def main():
    """Aligns and asks the network that ships once, then lets each run go on; writes OUT/NAME.npz."""
    ap = argparse.ArgumentParser()
    for name in ("ear", "synth", "real", "alignment", "more", "more-alignment", "lexicon", "out"):
        ap.add_argument("--" + name, required=True)
    ap.add_argument("--neural", default="", help="words by the neural synthesiser, with commas between")
    ap.add_argument("--run", action="append", required=True, help="NAME=FROM,FOLD,WHO")
    ap.add_argument("--peak", type=float, default=5e-4, help="the highest learning rate")
    ap.add_argument("--steps", type=int, default=6000)
    ap.add_argument("--plan", default="full", choices=["full", "tiny"])
    a = ap.parse_args()
    os.makedirs(a.out, exist_ok=True)
    synth = load.start(a.synth + ".ogg")
    audio, lines = read(a)
    pack = dict(np.load(a.synth + ".npz"))
    pack["off"] = pack["off"][: TINY if a.plan == "tiny" else None]
    corpus = Corpus(pack, synth, audio, lines, {tuple(l.split()) for l in open(a.lexicon)}, (0, 0))
    log("read", len(corpus.synth_words), "synthetic words,", len(lines), "sentences; devices", jax.devices())
    shape_of, w, prior = verdict.shipped(a.ear)
    teacher = {k: jnp.asarray(v) for k, v in w.items() if not k.startswith("listener.")}
    networks, prior = stacked([teacher]), jnp.asarray(prior)
    found = list(heard_inside(corpus, networks, shape_of, warps=WARPS))
    log(align(corpus, [(i, logp) for i, logp, _ in found], prior, -10.0))
    taught = Taught(corpus, networks, shape_of, prior, found)
    frames = np.array(taught.frames)
    log(leave_out(corpus, frames))
    taught.frames = jnp.asarray(frames)
    plan, whole = recipe.PLANS[a.plan], draw.source_of(corpus)
    for run in a.run:
        name, start = run.split("=")
        path, fold, who = start.split(",")
        w = {k: jnp.asarray(v) for k, v in verdict.shipped(path)[1].items() if not k.startswith("listener.")}
        kept = np.array([line["fold"] != int(fold) and (who == "both" or not line["more"]) for line in lines])
        log(name, "hears", kept.sum(), "sentences")
        t = recipe.Trainer(shape_of, 31, plan["student_batch"], plan["readings"], corpus, jax.device_put(corpus.audio), w)
        t.run(name, a.steps, a.peak, REAL_SHARE, 0.02, prior, taught, rate=DROPPED, most=1.5, trouble="mild", source=part_of(whole, corpus, kept))
        recipe.save(f"{a.out}/{name}.npz", t.smooth, shape_of, prior)
        log(name, "written")


if __name__ == "__main__":
    main()
