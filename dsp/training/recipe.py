"""The stages of training: teachers and student, frames and readings. Started by train.py."""

import json
import math
import queue
import threading

import jax
import jax.numpy as jnp
import numpy as np

import network
import pretrained
from align import align
from common import CLASSES, elapsed, log
from corpus import Batches, Corpus
from held import frame_accuracy, measure, write_margins
from step import make_step, stacked
from train import TINY_SENTENCES

# Steps of each stage, the batch as (plain examples, whole words), how many wrong readings a word is told from, and how many
# children and adults are kept from training.
PLANS = {
    "full": dict(
        teacher=network.TEACHER, student=network.PAIRED, teacher_steps=[800, 1500, 6000], student_steps=36000, batch=(64, 64), readings=24, held_out=(16, 14)
    ),
    "tiny": dict(teacher=network.TINY, student=network.TINY, teacher_steps=[20, 10, 10], student_steps=20, batch=(6, 6), readings=6, held_out=(1, 0)),
}
NONE_KEPT = -1  # the fold in which no speaker is kept from training


def prefetch(draw, workers=4, ahead=12):
    """Draws batches on other threads; yields them for ever."""
    box = queue.Queue(ahead)

    def work(n):
        while True:
            try:
                box.put(draw(n))
            except Exception as e:  # told to the one who waits, who would else wait for ever
                box.put(e)
                return

    for n in range(workers):
        threading.Thread(target=work, args=(n,), daemon=True).start()
    while True:
        got = box.get()
        if isinstance(got, Exception):
            raise got
        yield got


class Trainer:
    """Holds one network, its averages and the stream on the device."""

    def __init__(self, shape_of, seed, plan, corpus, on_device, start=None):
        self.shape_of, self.plan, self.corpus = shape_of, plan, corpus
        self.stream = on_device
        self.w = start or network.initial(shape_of, seed)
        zeros = lambda: jax.tree.map(jnp.zeros_like, self.w)
        self.mean, self.square, self.smooth, self.count = zeros(), zeros(), jax.tree.map(jnp.copy, self.w), 0
        self.seed = seed

    def run(self, name, steps, peak, real_share, ramp, log_prior, teachers=None, deadline=1e9, floor=0.01, rate=0.15, keep=None):
        """One stage: the rate falls from `peak` as a cosine of the share of `steps`, or of the time to `deadline`,
        whichever is further on. The readings' pull grows over the share `ramp` (None: no readings). `keep`: called with
        the averaged weights now and then, so that a run cut short leaves something."""
        plain, whole = self.plan["batch"]
        tables, kinds = np.stack(self.corpus.tables), np.array(self.corpus.kinds, np.int8)
        labels = jnp.asarray(self.corpus.labels)
        step = make_step(self.shape_of, whole, ramp is not None, teachers and teachers.shape_of, rate)
        rng = np.random.default_rng(self.seed + 17)
        makers = [Batches(self.corpus, 1000 * self.seed + self.count + n) for n in range(4)]
        source = prefetch(lambda n: makers[n].draw(plain, whole, real_share), len(makers))
        key = jax.random.PRNGKey(self.seed * 7 + self.count)
        start = elapsed()
        for s in range(steps):
            pieces, speed, factor, pools = next(source)
            chosen = rng.permuted(np.arange(1, tables.shape[1]))[: self.plan["readings"] - 1]
            chosen = np.concatenate([[0], chosen])
            states, slips = tables[pools][:, chosen], kinds[pools][:, chosen]
            if s == 2:
                start = elapsed()  # what was compiled is not counted
            along = max(s / steps, (elapsed() - start) / max(1.0, deadline - start) if s > 2 else 0.0)
            if along >= 1.0:
                log(f"{name}: out of time at step {s}")
                break
            lr = peak * min(1.0, (s + 1) / 150) * (floor + (1 - floor) * 0.5 * (1 + math.cos(math.pi * along)))
            pull = min(1.0, along / ramp) if ramp else 1.0
            self.count += 1
            self.w, self.mean, self.square, self.smooth, figures = step(
                self.w, self.mean, self.square, self.smooth, float(self.count), lr, teachers and teachers.weights, self.stream, labels, log_prior, pull,
                pieces.astype(np.int32), speed, factor, states, slips, jax.random.fold_in(key, s),
            )
            if s % max(1, steps // 10) == 0 or s == steps - 1:
                f, r, a = (float(v) for v in figures)
                log(f"{name} step {s}: frames {f:.3f}, readings {r:.3f}, right {a:.3f}, {(elapsed() - start) / max(1, s - 1) * 1000:.0f} ms a step")
                if keep and s > steps // 3:
                    keep(self.smooth)


def priors(corpus):
    """Natural-log share of each class in the labels."""
    counts = np.bincount(corpus.labels[corpus.labels >= 0].astype(np.int64), minlength=len(CLASSES)) + 10.0
    return jnp.asarray(np.log(counts / counts.sum()), jnp.float32)


def save(path, w, shape_of, log_prior, kind=np.float32):
    """Weights, priors and shape as npz; export.py makes the shipped file from it."""
    np.savez(path, __shape=json.dumps(shape_of), __log_prior=np.asarray(log_prior), **{k: np.asarray(v, kind) for k, v in w.items()})


def load(path):
    """(shape, weights, priors) as saved, or as 8-bit numbers with a scale for each column (`NAME__scale`)."""
    pack = np.load(path)
    shape_of = network.Shape(*(tuple(v) if isinstance(v, list) else v for v in json.loads(str(pack["__shape"]))))
    scaled = lambda k: pack[k].astype(np.float32) * (pack[k + "__scale"] if k + "__scale" in pack.files else 1.0)
    return shape_of, {k: scaled(k) for k in pack.files if not k.startswith("__") and not k.endswith("__scale")}, pack["__log_prior"]


def report(corpus, w, shape_of, p, margins=None):
    """Figures for the speakers kept out, printed; the margin of every word goes into the file `margins`."""
    if corpus.held_out:
        log("held out:", measure(corpus, w, shape_of, p), "; frames", frame_accuracy(corpus, w, shape_of, p))
        if margins:
            write_margins(corpus, w, shape_of, p, margins)


def train_teacher(corpus, plan, stream, a):
    """Frames from synthetic speech, then real sentences realigned twice, then readings."""
    first, second, third = plan["teacher_steps"]
    shape_of = plan["teacher"]
    start = network.initial(shape_of, 2 + a.fold)
    if shape_of.primed:
        start |= pretrained.load(a.prime)
    t = Trainer(shape_of, 2 + a.fold, plan, corpus, stream, start)
    log("teacher", sum(v.size for v in t.w.values()), "weights")
    p = priors(corpus)
    t.run("teacher, synthetic", first, 1.5e-3, 0.0, None, p, floor=0.3)
    log(align(corpus, t.smooth, t.shape_of, p, -1e9))
    p = priors(corpus)
    t.run("teacher, real", second, 1.5e-3, 0.65, None, p, floor=0.3)
    log(align(corpus, t.smooth, t.shape_of, p, -12.0))
    report(corpus, t.smooth, t.shape_of, p)
    p = priors(corpus)
    t.run("teacher, readings", third, 1.2e-3, 0.65, 0.1, p, deadline=a.budget)
    save(f"{a.out}/teacher{a.name}.npz", t.smooth, t.shape_of, p, np.float16)
    report(corpus, t.smooth, t.shape_of, p, f"{a.out}/teacher{a.name}_margins.jsonl")


def train_student(corpus, plan, stream, a):
    """The small network: the teachers' frames, the teachers' and the dictionary's readings."""
    loaded = [load(path) for path in a.teachers.split(",")]
    teachers = stacked(loaded[0][0], [w for _, w, _ in loaded])
    p = jnp.asarray(loaded[0][2])
    log(align(corpus, teachers.weights, teachers.shape_of, p, -10.0, many=True))
    write_alignment(corpus, f"{a.out}/alignment{a.name}.jsonl")
    p = priors(corpus)
    start = {k: jnp.asarray(v) for k, v in load(a.start)[1].items()} if a.start else None
    s = Trainer(plan["student"], 2 + max(a.fold, 0), plan, corpus, stream, start)
    log("student", sum(v.size for v in s.w.values()), "weights")
    path = f"{a.out}/student{a.name}.npz"
    keep = lambda w: save(path, w, s.shape_of, p)
    s.run("student", plan["student_steps"], a.peak, 0.65, 0.3, p, teachers, deadline=a.budget, rate=0.08, keep=keep)
    keep(s.smooth)
    report(corpus, s.smooth, s.shape_of, p, f"{a.out}/student{a.name}_margins.jsonl")


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


def run(a, pack, synth, real):
    """One stage: `pack` describes the synthetic words, `synth` and `real` give their samples when called."""
    plan = dict(PLANS[a.plan])
    if a.student:
        plan["student"] = getattr(network, a.student)
    if a.steps:
        n = [int(v) for v in a.steps.split(",")]
        plan.update(teacher_steps=n[:3], student_steps=n[-1])
    lexicon = {tuple(line.split()) for line in open(a.lexicon)}
    lines = [json.loads(line) for line in open(a.real + ".jsonl")][: TINY_SENTENCES if a.plan == "tiny" else None]
    held_out = (0, 0) if a.fold == NONE_KEPT else plan["held_out"]
    corpus = Corpus(pack, synth, real, lines, lexicon, held_out, max(a.fold, 0))
    log("read", len(corpus.synth_words), "synthetic words,", len(corpus.sentences), "sentences,", round(len(corpus.audio) / 960000), "min")
    stream = jax.device_put(corpus.audio)
    log("devices", jax.devices())
    (train_teacher if a.stage == "teacher" else train_student)(corpus, plan, stream, a)
    log("done")
