"""Trains the acoustic model from synthetic words and real sentences. See README.md in this folder.

    python3 train.py --synth DIR/synth --real DIR/read_train --out OUT --plan full|tiny [--budget SECONDS]
"""

import argparse
import functools
import json
import math
import queue
import random
import threading

import jax
import jax.numpy as jnp
import numpy as np

import network
from align import align
from common import CLASSES, elapsed, log
from corpus import Batches, Corpus
from device import PLAIN, batch_features
from features import level, log_mel, pair
from sequence import forward, one_off, states_of

# Steps of each stage, the batch as (plain examples, whole words), and how many wrong readings a word is told from.
PLANS = {
    "full": dict(
        teacher=network.TEACHER, student=network.STUDENT, teacher_steps=[1000, 1800, 5000], student_steps=[3000, 5000], batch=(64, 64), readings=24, held_out=(8, 6)
    ),
    "tiny": dict(teacher=network.TINY, student=network.TINY, teacher_steps=[20, 10, 10], student_steps=[10, 10], batch=(6, 6), readings=6, held_out=(2, 2)),
}


def frame_loss(logp, label):
    """Cross entropy over the labelled frames, labels smoothed by 0.05."""
    known = (label >= 0).astype(logp.dtype)
    hit = jnp.take_along_axis(logp, jnp.maximum(label, 0)[..., None], -1)[..., 0]
    loss = -(0.95 * hit + 0.05 * logp.mean(-1))
    return (loss * known).sum() / known.sum()


def reading_loss(w, logp, log_prior, states):
    """How ill the right reading (the first) is told from the wrong ones. A label may itself be wrong (3 in 100), so
    that a hopeless example stops pulling."""
    total = forward(w, logp, log_prior, states)
    p = jax.nn.softmax(total, -1)[:, 0]
    return -jnp.log(0.97 * p + 0.03 / states.shape[1]).mean()


def make_step(shape_of, whole, use_readings, teacher_shape):
    """One update: batch in, weights and figures out. `teacher_shape` asks for agreement with a teacher's frames."""

    def losses(w, teacher, stream, stream_labels, log_prior, pieces, rate, factor, states, key):
        k1, k2 = jax.random.split(key)
        x, label = batch_features(stream, stream_labels, pieces, rate, factor, k1)
        logp = network.scores(w, shape_of, x, k2)
        loss = frame = frame_loss(logp, label)
        if teacher_shape is not None:
            aim = jax.lax.stop_gradient(jnp.exp(network.scores(teacher, teacher_shape, x)))
            loss = 0.4 * frame + 1.0 * -(aim * logp).sum(-1).mean()
        reading = 0.0
        if use_readings:
            reading = reading_loss(w, logp[-whole:], log_prior, states)
            loss = loss + 1.0 * reading
        good = (logp.argmax(-1) == label) & (label > 0)
        return loss, (frame, reading, good.sum() / jnp.maximum((label > 0).sum(), 1))

    @functools.partial(jax.jit, donate_argnums=(0, 1, 2, 3))
    def step(w, mean, square, smooth, count, lr, teacher, *batch):
        (_, figures), grad = jax.value_and_grad(losses, has_aux=True)(w, teacher, *batch)
        size = jnp.sqrt(sum((g * g).sum() for g in jax.tree.leaves(grad)))
        grad = jax.tree.map(lambda g: jnp.nan_to_num(g) * jnp.minimum(1.0, 3.0 / (size + 1e-9)), grad)
        mean = jax.tree.map(lambda m, g: 0.9 * m + 0.1 * g, mean, grad)
        square = jax.tree.map(lambda s, g: 0.98 * s + 0.02 * g * g, square, grad)
        fix1, fix2 = 1 - 0.9**count, 1 - 0.98**count

        def move(name, v):
            decay = 0.02 if v.ndim >= 2 and "bias" not in name else 0.0
            fast = 5.0 if name.startswith("path.") else 1.0
            return v - lr * fast * ((mean[name] / fix1) / (jnp.sqrt(square[name] / fix2) + 1e-8) + decay * v)

        w = {name: move(name, v) for name, v in w.items()}
        keep = jnp.minimum(0.999, (1 + count) / (10 + count))
        smooth = jax.tree.map(lambda a, b: keep * a + (1 - keep) * b, smooth, w)
        return w, mean, square, smooth, figures

    return step


def prefetch(draw, workers=3, ahead=12):
    """Draws batches on other threads; yields them for ever."""
    box = queue.Queue(ahead)

    def work(n):
        while True:
            box.put(draw(n))

    for n in range(workers):
        threading.Thread(target=work, args=(n,), daemon=True).start()
    while True:
        yield box.get()


class Trainer:
    """Holds one network, its averages and the stream on the device."""

    def __init__(self, shape_of, seed, plan, corpus, on_device):
        self.shape_of, self.plan, self.corpus = shape_of, plan, corpus
        self.stream = on_device
        self.w = network.initial(shape_of, seed)
        zeros = lambda: jax.tree.map(jnp.zeros_like, self.w)
        self.mean, self.square, self.smooth, self.count = zeros(), zeros(), jax.tree.map(jnp.copy, self.w), 0
        self.seed = seed

    def run(self, name, steps, peak, real_share, use_readings, log_prior, teacher=None, deadline=1e9, floor=0.02):
        """One stage of `steps` updates with the rate falling from `peak` as a cosine."""
        plain, whole = self.plan["batch"]
        tables = np.stack(self.corpus.tables)
        labels = jnp.asarray(self.corpus.labels)
        step = make_step(self.shape_of, whole, use_readings, teacher and teacher[0])
        rng = np.random.default_rng(self.seed + 17)
        makers = [Batches(self.corpus, 1000 * self.seed + self.count + n) for n in range(3)]
        source = prefetch(lambda n: makers[n].draw(plain, whole, real_share))
        key = jax.random.PRNGKey(self.seed * 7 + self.count)
        start = elapsed()
        for s in range(steps):
            pieces, rate, factor, pools = next(source)
            chosen = rng.permuted(np.arange(1, tables.shape[1]))[: self.plan["readings"] - 1]
            states = tables[pools][:, np.concatenate([[0], chosen])]
            lr = peak * min(1.0, (s + 1) / 150) * (floor + (1 - floor) * 0.5 * (1 + math.cos(math.pi * s / steps)))
            self.count += 1
            self.w, self.mean, self.square, self.smooth, figures = step(
                self.w, self.mean, self.square, self.smooth, float(self.count), lr, teacher and teacher[1], self.stream, labels, log_prior,
                pieces.astype(np.int32), rate, factor, states, jax.random.fold_in(key, s),
            )
            if s % max(1, steps // 8) == 0 or s == steps - 1:
                f, r, a = (float(v) for v in figures)
                log(f"{name} step {s}: frames {f:.3f}, readings {r:.3f}, right {a:.3f}, {(elapsed() - start) / (s + 1) * 1000:.0f} ms a step")
            if elapsed() > deadline:
                log(f"{name}: out of time at step {s}")
                break


def priors(corpus):
    """Natural-log share of each class in the labels."""
    counts = np.bincount(corpus.labels[corpus.labels >= 0].astype(np.int64), minlength=len(CLASSES)) + 10.0
    return jnp.asarray(np.log(counts / counts.sum()), jnp.float32)


def held_words(corpus):
    """Words of the speakers kept out, with a stretch of audio each and one-off real words to tell them from."""
    rng = random.Random(4)
    out = []
    for w in corpus.held_words:
        if w.before < 640 or w.after < 640 or not 2 <= len(w.sounds) <= 12:
            continue
        real = [(k, s) for k, s in one_off(w.sounds) if s in corpus.lexicon]
        pick = {k: rng.choice([s for kk, s in real if kk == k]) for k in ("fewer", "more", "changed") if any(kk == k for kk, _ in real)}
        if pick:
            out.append((w, pick))
    return out


def measure(corpus, w, shape_of, log_prior):
    """Share of held-out words preferred to a real word with one sound fewer, more, changed; children and adults."""
    n, res = 32000, {}
    run = jax.jit(lambda w, x, s: forward(w, network.scores(w, shape_of, pair(level(log_mel(x, jnp.asarray(PLAIN))))), log_prior, s))
    todo = held_words(corpus)
    rng = np.random.default_rng(0)
    for a in range(0, len(todo), 64):
        part = todo[a : a + 64]
        x = np.zeros((64, n), np.float32)
        states = np.full((64, 4, states_of([("P",)]).shape[1]), -1, np.int8)
        states[:, :, :4] = states_of([("P",)])[0][:4]
        for row, (word, pick) in enumerate(part):
            piece = corpus.audio[word.start - 400 : word.end + 400].astype(np.float32)[: n - 3200]
            x[row, 2400 : 2400 + len(piece)] = piece / (np.abs(piece).max() + 1e-6)
            # Cut each example to the length that the program would see, by noise where nothing is.
            kinds = ["fewer", "more", "changed"]
            states[row] = states_of([word.sounds] + [pick.get(k, word.sounds) for k in kinds])
        x += rng.standard_normal(x.shape).astype(np.float32) * 1e-3
        total = np.asarray(run(w, x, states))
        for row, (word, pick) in enumerate(part):
            for c, k in enumerate(("fewer", "more", "changed")):
                if k in pick:
                    res.setdefault((k, "child" if word.child else "adult"), []).append(total[row, 0] - total[row, c + 1])
    text = ", ".join(f"{who} {k} {100 * np.mean(np.array(v) > 0):.1f} of {len(v)}" for (k, who), v in sorted(res.items()))
    loss = np.mean([np.logaddexp(0, -np.array(v)).mean() for v in res.values()]) if res else 0.0
    return f"{text}; log loss {loss:.3f}"


def frame_accuracy(corpus, w, shape_of, log_prior):
    """Share of speech frames of held-out speakers that agree with their own alignment."""
    from align import evidence_of

    good = seen = 0
    for i, evidence in evidence_of(corpus, w, shape_of, 0 * log_prior):
        line = corpus.sentences[i]
        if line["speaker"] in corpus.held_out:
            label = corpus.labels[line["from"] // 80 : line["to"] // 80 : 2][: len(evidence)]
            speech = label > 0
            good += (evidence.argmax(-1)[: len(label)] == label)[speech].sum()
            seen += speech.sum()
    return f"{good / max(1, seen):.4f} of {seen} frames"


def save(path, w, shape_of, log_prior):
    """Weights, priors and shape as float32 npz; export.py makes the shipped file from it."""
    np.savez(path, __shape=json.dumps(shape_of), __log_prior=np.asarray(log_prior), **{k: np.asarray(v) for k, v in w.items()})


def train_teacher(corpus, plan, stream, out, limit):
    """Frames from synthetic speech, then real sentences realigned twice, then readings."""
    first, second, third = plan["teacher_steps"]
    t = Trainer(plan["teacher"], 1, plan, corpus, stream)
    log("teacher", sum(v.size for v in t.w.values()), "weights")
    p = priors(corpus)
    t.run("teacher, synthetic", first, 1.5e-3, 0.0, False, p, floor=0.3)
    log(align(corpus, t.smooth, t.shape_of, p, -1e9))
    p = priors(corpus)
    t.run("teacher, real", second, 1.5e-3, 0.65, False, p, floor=0.3)
    log(align(corpus, t.smooth, t.shape_of, p, -12.0))
    log("held out:", measure(corpus, t.smooth, t.shape_of, p), frame_accuracy(corpus, t.smooth, t.shape_of, p))
    p = priors(corpus)
    t.run("teacher, readings", third, 1.2e-3, 0.65, True, p, deadline=limit)
    log("held out:", measure(corpus, t.smooth, t.shape_of, p), frame_accuracy(corpus, t.smooth, t.shape_of, p))
    log(align(corpus, t.smooth, t.shape_of, p, -10.0))
    save(f"{out}/teacher.npz", t.smooth, t.shape_of, p)
    return t.shape_of, t.smooth


def train_student(corpus, plan, stream, out, limit, teacher, seed=2):
    """The small network: the teacher's frames, then the question itself."""
    first, second = plan["student_steps"]
    s = Trainer(plan["student"], seed, plan, corpus, stream)
    log("student", sum(v.size for v in s.w.values()), "weights")
    p = priors(corpus)
    s.run("student, frames", first, 2e-3, 0.6, False, p, teacher, floor=0.4)
    log("held out:", measure(corpus, s.smooth, s.shape_of, p))
    s.run("student, readings", second, 1.5e-3, 0.6, True, p, teacher, deadline=limit)
    log("held out:", measure(corpus, s.smooth, s.shape_of, p), frame_accuracy(corpus, s.smooth, s.shape_of, p))
    save(f"{out}/student.npz", s.smooth, s.shape_of, p)


def write_alignment(corpus, path):
    """Word and sound times of every sentence, for calibration and for looking at."""
    with open(path, "w") as f:
        for w in corpus.real_words + corpus.held_words:
            line = corpus.sentences[w.item]
            base = corpus.real_base
            row = dict(
                utterance=line["utterance"], speaker=line["speaker"], age=line["age"], held_out=line["speaker"] in corpus.held_out, sounds=w.sounds,
                start=w.start - base, end=w.end - base, before_ms=w.before // 16, after_ms=w.after // 16, cuts=[[a - base, b - base] for a, b in w.cuts],
            )
            f.write(json.dumps(row, default=int) + "\n")


def main():
    """Runs the plan."""
    ap = argparse.ArgumentParser()
    ap.add_argument("--synth", required=True)
    ap.add_argument("--real", required=True, help="path without ending: .opus.ogg and .jsonl are added")
    ap.add_argument("--lexicon", required=True, help="one pronunciation a line")
    ap.add_argument("--out", required=True)
    ap.add_argument("--plan", default="full")
    ap.add_argument("--budget", type=float, default=1400.0, help="seconds after which the last stage is cut short")
    ap.add_argument("--steps", default="", help="teacher and student steps, five numbers, in place of the plan's")
    a = ap.parse_args()
    plan = dict(PLANS[a.plan])
    if a.steps:
        n = [int(v) for v in a.steps.split(",")]
        plan.update(teacher_steps=n[:3], student_steps=n[3:])
    lexicon = {tuple(line.split()) for line in open(a.lexicon)}
    share = 0.02 if a.plan == "tiny" else 1.0
    corpus = Corpus(a.synth, a.real + ".opus.ogg", a.real + ".jsonl", lexicon, plan["held_out"], share)
    stream = jax.device_put(corpus.audio)
    log("devices", jax.devices(), len(corpus.synth_words), "synthetic words,", len(corpus.sentences), "sentences,", len(corpus.audio) / 960000, "min")
    teacher = train_teacher(corpus, plan, stream, a.out, a.budget * 0.6)
    write_alignment(corpus, f"{a.out}/alignment.jsonl")
    train_student(corpus, plan, stream, a.out, a.budget, teacher)
    log("done")


if __name__ == "__main__":
    main()
