"""A twin of the ear's first network that has not heard one part of the speakers (marks.FOLDS). What is fitted on both networks' words
together is fitted with it, for the network that ships has heard every speaker of read_train.

    python3 twin.py --ear ../weights/ear.safetensors --synth OUT/packs/synth --real SPEECH/read_train --prime OUT/prime.npz \
        --lexicon OUT/lexicon.txt --fold 0 --out OUT/marks

It is a student as any other (recipe.py), but its teacher is the network that ships, asked about the other speakers alone, and its
hints are what the pretrained encoder and the network that ships make of the same audio.
"""

import argparse
import functools

import jax
import jax.numpy as jnp
import numpy as np

import load
import marks
import network
import pretrained
import recipe
import verdict
from align import align, heard_inside, stacked
from common import FRAME, PAIR, log
from corpus import Corpus
from device import KIND, PLAIN, WIDE_PLAIN, heard
from taught import WARPS, Taught, levelled

LEAD = 10  # pairs of frames of near silence before what is heard
LENGTHS = 40, 90, 250, 450, 1500  # pairs of frames to which pieces are padded
DROPPED = 0.1
TINY = 40  # sentences, made words


@functools.partial(jax.jit, static_argnums=2)
def _inside(w, prime, shape_of, x):
    """What both networks make of audio, for each pair of frames."""
    features, wide = heard(x, True, (PLAIN, WIDE_PLAIN))
    inner = network.hear(w, shape_of, features, kind=KIND)[1]
    return jnp.concatenate([pretrained.encode(prime, wide, lambda y: y, KIND), inner], -1).astype(jnp.float16)


def hints_of(corpus, w, shape_of, prime):
    """A row for each pair of frames of the stream; zeros where there is neither a sentence nor a made word."""
    pieces = [(line["from"], line["to"]) for line in corpus.sentences]
    pieces += [((word.start - min(max(0, word.before), 1600)) // PAIR * PAIR, word.end + min(max(0, word.after), 1600)) for word in corpus.synth_words]
    out = np.zeros((len(corpus.audio) // PAIR + 2, pretrained.WIDTH + shape_of.slow_width), np.float16)
    groups = {}
    for low, high in pieces:
        groups.setdefault(next(n for n in LENGTHS if (high - low) // PAIR + 2 * LEAD <= n), []).append((low, high))
    for length, members in groups.items():
        rows = 64 * LENGTHS[2] // length
        for at in range(0, len(members), rows):
            part = members[at : at + rows]
            x = np.zeros((rows, length * PAIR), np.float32)
            for row, (low, high) in enumerate(part):
                piece = corpus.audio[low:high].astype(np.float32)
                x[row, LEAD * PAIR : LEAD * PAIR + len(piece)] = piece / (np.abs(piece).max() + 1e-6)
            found = np.asarray(_inside(w, prime, shape_of, jnp.asarray(x)))
            for row, (low, high) in enumerate(part):
                n = (high - low) // PAIR
                out[low // PAIR : low // PAIR + n] = found[row, LEAD : LEAD + n]
    return levelled(out)


def main():
    """Learns and writes OUT/twin_FOLD.npz (export.py makes the file for the program of it)."""
    ap = argparse.ArgumentParser()
    for name in ("ear", "synth", "real", "lexicon", "prime", "out"):
        ap.add_argument("--" + name, required=True)
    ap.add_argument("--fold", type=int, default=0)
    ap.add_argument("--budget", type=float, default=600.0, help="seconds by which all of it ends")
    ap.add_argument("--plan", default="full", choices=["full", "tiny"])
    a = ap.parse_args()
    a.more = ""
    synth, real = load.start(a.synth + ".ogg"), load.start(a.real + ".opus.ogg")
    audio, lines = recipe.read(a, real)
    pack = dict(np.load(a.synth + ".npz"))
    if a.plan == "tiny":
        lines, pack["off"] = lines[:TINY], pack["off"][:TINY]
    kept = {who for who, fold in marks.folds_of(lines).items() if fold == a.fold}
    corpus = Corpus(pack, synth, audio, lines, {tuple(l.split()) for l in open(a.lexicon)}, (0, 0))
    corpus.held_out = kept
    corpus.train_sentences = [i for i, line in enumerate(lines) if line["speaker"] not in kept]
    log("read", len(corpus.synth_words), "synthetic words,", len(lines), "sentences,", len(kept), "speakers kept out; devices", jax.devices())
    shape_of, w, prior = verdict.shipped(a.ear)
    w = {k: jnp.asarray(v) for k, v in w.items() if not k.startswith("listener.")}
    networks, prior = stacked([w]), jnp.asarray(prior)
    found = list(heard_inside(corpus, networks, shape_of, warps=WARPS))
    log(align(corpus, [(i, logp) for i, logp, _ in found], prior, -10.0))
    taught = Taught(corpus, networks, shape_of, prior, found)
    taught.hints = hints_of(corpus, w, shape_of, pretrained.load(a.prime))
    log("the network that ships was asked")
    plan = recipe.PLANS[a.plan]
    prior, start = recipe.priors(corpus), network.initial(plan["student"], 11 + a.fold)
    width = (start["hint.weight"].shape[0], taught.hints.shape[1])
    start["hint.weight"] = jnp.asarray(np.random.default_rng(a.fold).standard_normal(width) / np.sqrt(width[0]), jnp.float32)
    start["hint.bias"] = jnp.zeros(width[1])
    t = recipe.Trainer(plan["student"], 11 + a.fold, plan["student_batch"], plan["readings"], corpus, jax.device_put(corpus.audio), start)
    path = f"{a.out}/twin_{a.fold}.npz"
    keep = lambda weights: recipe.save(path, weights, t.shape_of, prior)
    t.run("twin", plan["student_steps"], 2e-3, 0.75, 0.3, prior, taught, deadline=a.budget, rate=DROPPED, most=1.5, keep=keep)
    keep(t.smooth)
    recipe.report(corpus, t.smooth, t.shape_of, prior)


if __name__ == "__main__":
    main()
