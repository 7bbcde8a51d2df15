"""How much of what the shipped network misses is the reader's: the same misses put to a much larger network.

    python3 verdict.py SPEECH ../weights/ear.safetensors OUT/teacher_all.npz [OUT/teacher_kept.npz ...] [--beyond MS]

SPEECH holds read_dev.ogg and read_dev_words.jsonl, on which nothing was trained. Each word with silence on both sides is
told from its dictionary neighbours by both; printed is how many of the small network's misses the teachers (their margins
averaged) miss too, and of how many they are three to one sure. Where a network of nine times the weights, which heard far
more speech before, is sure that the neighbour was said, the reader or the list's times are the likelier cause. The teachers
learned the same dictionary labels, so this is a hint, not a proof. (`measure` is the measurement: it cuts as the program
does.)
"""

import argparse
import json

import jax.numpy as jnp
import numpy as np
import soundfile as sf
from safetensors.numpy import load_file

import network
import recipe
from corpus import LENGTH, windows_of
from held import KINDS, told
from sequence import states_of

SURE = np.log(3.0)


def shipped(path):
    """(shape, weights, priors) of a file that export.py wrote."""
    pack = load_file(path)
    names = [k for k in pack if k.removesuffix(".scale") == k or k.removesuffix(".scale") not in pack]
    w = {k: pack[k].astype(np.float32) * pack.get(k + ".scale", np.float32(1)) for k in names}
    dilations, before = [int(d) for d in w.pop("shape.dilations")], int(w.pop("shape.before")[0])
    slow = tuple(int(d) for d in w.pop("shape.slow", []))
    width, hidden = w["block0.up"].shape
    slow_width, slow_hidden = w["slow0.up"].shape if slow else (0, 0)
    gru = w["gru.state"].shape[1]
    shape_of = network.Shape(width, hidden, tuple(dilations[:before]), tuple(dilations[before:]), gru, slow, slow_width, slow_hidden)
    return shape_of, w, w.pop("path.prior")


def margins(net, words, audio, beyond):
    """By how much (nats) each word is preferred to each neighbour; cut `beyond` ms outside its times, at most into the
    middle of the silence there."""
    shape_of, w, prior = net
    w, prior, out = {k: jnp.asarray(v) for k, v in w.items()}, jnp.asarray(prior), []
    rng = np.random.default_rng(0)
    for a in range(0, len(words), 32):
        part = words[a : a + 32]
        pieces, readings = [], []
        for word in part:
            low = word["start"] - 16 * min(beyond, word["gap_before_ms"] // 2)
            high = word["end"] + 16 * min(beyond, word["gap_after_ms"] // 2)
            pieces.append(audio[max(0, low) : high][: LENGTH - 1600])
            own = word["phones"]
            readings.append(states_of([tuple(r) for r in [own] + [word["neighbours"].get(k, {"sounds": own})["sounds"] for k in KINDS]]))
        readings += readings[:1] * (32 - len(part))
        x = windows_of(pieces, 1600, rng.standard_normal((32, LENGTH)))
        total = np.asarray(told(w, shape_of, prior, x, np.stack(readings)))
        out += [{k: float(t[0] - t[1 + i]) for i, k in enumerate(KINDS) if k in word["neighbours"]} for t, word in zip(total, part)]
    return out


def main():
    """Prints a line for each kind of neighbour, children and adults."""
    ap = argparse.ArgumentParser()
    ap.add_argument("speech")
    ap.add_argument("weights")
    ap.add_argument("teachers", nargs="+")
    ap.add_argument("--beyond", type=int, default=120, help="ms heard outside the list's times")
    a = ap.parse_args()
    rows = [json.loads(line) for line in open(f"{a.speech}/read_dev_words.jsonl")]
    words = [w for w in rows if min(w["gap_before_ms"], w["gap_after_ms"]) >= 40 and len(w["phones"]) >= 2]
    audio, _ = sf.read(f"{a.speech}/read_dev.ogg", dtype="float32")
    small = margins(shipped(a.weights), words, audio, a.beyond)
    large = [margins(recipe.load(t), words, audio, a.beyond) for t in a.teachers]
    for who, child in (("children", True), ("adults", False)):
        for kind in KINDS:
            of = [i for i, w in enumerate(words) if kind in w["neighbours"] and (w["age"] < 13) == child]
            view = {i: np.mean([net[i][kind] for net in large]) for i in of}
            missed = [i for i in of if small[i][kind] <= 0]
            also, sure = sum(view[i] <= 0 for i in missed), sum(view[i] <= -SURE for i in missed)
            teachers = sum(v > 0 for v in view.values())
            print(f"{who}, one {kind}: of {len(of)} words the network misses {len(missed)}; the teachers miss {also} of these, {sure} surely; "
                  f"right {100 * (1 - len(missed) / len(of)):.1f} %, teachers {100 * teachers / len(of):.1f} %", flush=True)


if __name__ == "__main__":
    main()
