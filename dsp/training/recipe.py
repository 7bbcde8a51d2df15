"""The stages of training: teachers and student, frames and readings. Started by train.py."""

import json
import math

import jax
import jax.numpy as jnp
import numpy as np

import draw
import load as load_audio
import network
import pretrained
from align import align, heard_inside, heard_sentences, stacked
from common import CLASSES, FRAME, elapsed, log
from corpus import Corpus
from device import TROUBLES
from held import frame_accuracy, measure, write_margins
from step import ON_EACH, Stream, make_step
from taught import WARPS, Taught

# Steps of each stage, batches as (plain examples, whole words), how many wrong readings a word is told from, and how many
# children and adults are kept from training.
PLANS = {
    "full": dict(
        teacher=network.TEACHER, student=network.PAIRED, teacher_steps=[800, 1500, 12000], student_steps=90000, teacher_batch=(64, 64),
        student_batch=(128, 128), readings=24, held_out=(16, 14),
    ),
    "tiny": dict(
        teacher=network.TINY, student=network.TINY, teacher_steps=[20, 10, 10], student_steps=20, teacher_batch=(6, 6), student_batch=(6, 6),
        readings=6, held_out=(1, 0),
    ),
}
NONE_KEPT = -1  # the fold in which no speaker is kept from training


class Trainer:
    """Holds one network, its averages and the stream on the device."""

    def __init__(self, shape_of, seed, batch, readings, corpus, audio, start=None):
        """`batch`: plain examples and whole words; `readings`: how many a word is told from; `audio`: the stream."""
        self.shape_of, self.batch, self.readings, self.corpus, self.audio = shape_of, batch, readings, corpus, audio
        self.w = start or network.initial(shape_of, seed)
        zeros = lambda: jax.tree.map(jnp.zeros_like, self.w)
        self.mean, self.square, self.smooth, self.count = zeros(), zeros(), jax.tree.map(jnp.copy, self.w), 0
        self.seed = seed

    def run(self, name, steps, peak, real_share, ramp, log_prior, taught=None, deadline=1e9, floor=0.01, rate=0.15, most=1.0, keep=None, trouble="full", source=None):
        """One stage: the rate falls from `peak` as a cosine of the share of `steps`, or of the time to `deadline`,
        whichever is further on. The readings' pull grows to `most` over the share `ramp` (None: no readings). `keep`:
        called with the averaged weights now and then, so that a run cut short leaves something. `trouble`: one of TROUBLES.
        `source`: what is drawn from, where that is not the whole corpus."""
        of = draw.mix(*self.batch, real_share)
        step = make_step(self.shape_of, of, self.readings if ramp else 0, rate, TROUBLES[trouble])
        corpus = self.corpus
        stream = Stream(
            self.audio, jnp.asarray(corpus.labels), source or draw.source_of(corpus), jnp.asarray(np.stack(corpus.tables)),
            jnp.asarray(np.array(corpus.kinds, np.int8)), log_prior, taught and taught.frames, taught and taught.totals, taught and taught.hints,
        )
        stream, self.w, self.mean, self.square, self.smooth = jax.device_put((stream, self.w, self.mean, self.square, self.smooth), ON_EACH)
        key, start = jax.random.PRNGKey(self.seed), elapsed()
        for s in range(steps):
            if s == 2:
                jax.block_until_ready(self.w)
                start = elapsed()  # what was compiled is not counted
            if s % 50 == 0:
                jax.block_until_ready(self.w)  # steps are sent ahead of the accelerator: never far, or the clock means nothing
            along = max(s / steps, (elapsed() - start) / max(1.0, deadline - start) if s > 2 else 0.0)
            if along >= 1.0:
                log(f"{name}: out of time at step {s}")
                break
            lr = peak * min(1.0, (s + 1) / 150) * (floor + (1 - floor) * 0.5 * (1 + math.cos(math.pi * along)))
            pull = most * min(1.0, along / ramp) if ramp else 0.0
            self.count += 1
            self.w, self.mean, self.square, self.smooth, figures = step(
                self.w, self.mean, self.square, self.smooth, float(self.count), lr, stream, pull, key
            )
            if s % max(1, steps // 10) == 0 or s == steps - 1:
                f, r, a = (float(v) for v in figures)
                log(f"{name} step {s}: frames {f:.3f}, readings {r:.3f}, right {a:.3f}, {(elapsed() - start) / max(1, s - 1) * 1000:.1f} ms a step")
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
        log("held out:", measure(corpus, w, shape_of, p), "; frames", frame_accuracy(corpus, w, shape_of))
        if margins:
            write_margins(corpus, w, shape_of, p, margins)


def train_teacher(corpus, plan, audio, a):
    """Frames from synthetic speech, then real sentences realigned twice, then readings."""
    first, second, third = plan["teacher_steps"]
    shape_of = plan["teacher"]
    start = network.initial(shape_of, a.seed + a.fold)
    if shape_of.primed:
        start |= pretrained.load(a.prime)
    t = Trainer(shape_of, a.seed + a.fold, plan["teacher_batch"], plan["readings"], corpus, audio, start)
    log("teacher", sum(v.size for v in t.w.values()), "weights")
    p = priors(corpus)
    heard = lambda: heard_sentences(corpus, stacked([t.smooth]), shape_of)
    t.run("teacher, synthetic", first, 1.5e-3, 0.0, None, p, floor=0.3)
    log(align(corpus, heard(), p, -1e9))
    p = priors(corpus)
    t.run("teacher, real", second, 1.5e-3, 0.65, None, p, floor=0.3)
    log(align(corpus, heard(), p, -12.0))
    p = priors(corpus)
    t.run("teacher, readings", third, 1.2e-3, 0.65, 0.1, p, deadline=a.budget)
    save(f"{a.out}/teacher{a.name}.npz", t.smooth, t.shape_of, p, np.float16)
    report(corpus, t.smooth, t.shape_of, p, f"{a.out}/teacher{a.name}_margins.jsonl")


def train_student(corpus, plan, audio, a):
    """The small network: the teachers' frames, the teachers' and the dictionary's readings."""
    loaded = [load(path) for path in a.teachers.split(",")]
    shape_of, networks = loaded[0][0], stacked([w for _, w, _ in loaded])
    p = jnp.asarray(loaded[0][2])
    heard = list(heard_inside(corpus, networks, shape_of, warps=WARPS))
    log(align(corpus, [(i, logp) for i, logp, _ in heard], p, -10.0))
    write_alignment(corpus, f"{a.out}/alignment{a.name}.jsonl")
    taught = Taught(corpus, networks, shape_of, p, heard)
    log("the teachers were asked")
    p = priors(corpus)
    start = {k: jnp.asarray(v) for k, v in load(a.start)[1].items()} if a.start else None
    s = Trainer(plan["student"], a.seed + max(a.fold, 0), plan["student_batch"], plan["readings"], corpus, audio, start)
    log("student", sum(v.size for v in s.w.values()), "weights")
    path = f"{a.out}/student{a.name}.npz"
    keep = lambda w: save(path, w, s.shape_of, p)
    ramp = 0.02 if start else 0.3  # weights that were told readings before need no time to learn the sounds first
    s.run("student", plan["student_steps"], a.peak, 0.65, ramp, p, taught, deadline=a.budget, rate=a.drop, most=1.5, keep=keep, trouble=a.trouble)
    keep(s.smooth)
    report(corpus, s.smooth, s.shape_of, p, f"{a.out}/student{a.name}_margins.jsonl")


def write_alignment(corpus, path):
    """Word and sound times of every sentence, for calibration and for looking at."""
    with open(path, "w") as f:
        for w in corpus.real_words + corpus.held_words:
            line = corpus.sentences[w.item]
            if line["made"]:
                continue
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
    audio, lines = read(a, real)
    held_out = (0, 0) if a.fold == NONE_KEPT else plan["held_out"]
    corpus = Corpus(pack, synth, audio, lines, lexicon, held_out, max(a.fold, 0))
    log("read", len(corpus.synth_words), "synthetic words,", len(corpus.sentences), "sentences,", round(len(corpus.audio) / 960000), "min")
    log("devices", jax.devices())
    (train_teacher if a.stage == "teacher" else train_student)(corpus, plan, jax.device_put(corpus.audio), a)
    log("done")


def read(a, real):
    """Samples and lines of the read sentences, then of each recording of made words in `a.more`; `start` and `end` in all
    of them, and `made`."""
    audio, lines = [], []
    for k, path in enumerate([a.real, *filter(None, a.more.split(","))]):
        base = sum(len(part) for part in audio)
        audio.append(real() if k == 0 else load_audio.start(path + ".opus.ogg")())
        for line in map(json.loads, open(path + ".jsonl")):
            if line["end"] <= len(audio[-1]):
                lines.append(line | dict(start=line["start"] + base, end=line["end"] + base, made=k > 0))
        audio[-1] = np.pad(audio[-1], (0, -len(audio[-1]) % FRAME))
    return np.concatenate(audio), lines
