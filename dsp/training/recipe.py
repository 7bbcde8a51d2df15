"""The stages of training: teacher and student, frames and readings. Started by train.py."""

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
from align import align, evidence_of
from common import CLASSES, HOP, elapsed, log
from corpus import Batches, Corpus
from device import PLAIN, batch_features
from features import level, log_mel, pair
from sequence import forward, one_off, states_of

# Steps of each stage, the batch as (plain examples, whole words), and how many wrong readings a word is told from.
PLANS = {
    "full": dict(
        teacher=network.TEACHER, student=network.STUDENT, teacher_steps=[1000, 2000, 7000], student_steps=24000, batch=(64, 64), readings=24, held_out=(8, 6)
    ),
    "tiny": dict(teacher=network.TINY, student=network.TINY, teacher_steps=[20, 10, 10], student_steps=20, batch=(6, 6), readings=6, held_out=(2, 2)),
}


def frame_loss(logp, label):
    """Cross entropy over the labelled frames, labels smoothed by 0.05."""
    known = (label >= 0).astype(logp.dtype)
    hit = jnp.take_along_axis(logp, jnp.maximum(label, 0)[..., None], -1)[..., 0]
    loss = -(0.95 * hit + 0.05 * logp.mean(-1))
    return (loss * known).sum() / known.sum()


def reading_loss(w, logp, log_prior, states, kinds):
    """How ill the right reading (the first) is told from the wrong ones. A label may itself be wrong (3 in 100), so
    that a hopeless example stops pulling. Each kind of slip has the same prior, however many readings stand for it:
    else the many ways to add a sound would teach the network to hear too few."""
    of = jax.nn.one_hot(kinds, 4)
    share = jnp.log(jnp.maximum((of.sum(1, keepdims=True) * of).sum(-1), 1.0))
    total = forward(w, logp, log_prior, states) - share
    p = jax.nn.softmax(total, -1)[:, 0]
    return -jnp.log(0.97 * p + 0.03 / states.shape[1]).mean()


@functools.lru_cache
def make_step(shape_of, whole, use_readings, teacher_shape, by_half):
    """One update: batch in, weights and figures out. `teacher_shape` asks for agreement with a teacher's frames,
    `by_half` says that this teacher was trained on features.level_by_half."""

    def losses(w, teacher, stream, stream_labels, log_prior, pull, pieces, rate, factor, states, kinds, key):
        k1, k2 = jax.random.split(key)
        x, x_half, label = batch_features(stream, stream_labels, pieces, rate, factor, k1)
        logp = network.scores(w, shape_of, x, k2)
        loss = frame = frame_loss(logp, label)
        if teacher_shape is not None:
            aim = jax.lax.stop_gradient(jnp.exp(network.scores(teacher, teacher_shape, x_half if by_half else x)))
            loss = 0.4 * frame + 1.0 * -(aim * logp).sum(-1).mean()
        reading = 0.0
        if use_readings:
            reading = reading_loss(w, logp[-whole:], log_prior, states, kinds)
            loss = loss + pull * reading
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

    def run(self, name, steps, peak, real_share, ramp, log_prior, teacher=None, deadline=1e9, floor=0.01):
        """One stage: the rate falls from `peak` as a cosine of the share of `steps`, or of the time to `deadline`,
        whichever is further on. The readings' pull grows over the share `ramp` (None: no readings)."""
        plain, whole = self.plan["batch"]
        tables, kinds = np.stack(self.corpus.tables), np.array(self.corpus.kinds, np.int8)
        labels = jnp.asarray(self.corpus.labels)
        step = make_step(self.shape_of, whole, ramp is not None, teacher and teacher[0], bool(teacher and teacher[2]))
        rng = np.random.default_rng(self.seed + 17)
        makers = [Batches(self.corpus, 1000 * self.seed + self.count + n) for n in range(3)]
        source = prefetch(lambda n: makers[n].draw(plain, whole, real_share))
        key = jax.random.PRNGKey(self.seed * 7 + self.count)
        start = elapsed()
        for s in range(steps):
            pieces, rate, factor, pools = next(source)
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
                self.w, self.mean, self.square, self.smooth, float(self.count), lr, teacher and teacher[1], self.stream, labels, log_prior, pull,
                pieces.astype(np.int32), rate, factor, states, slips, jax.random.fold_in(key, s),
            )
            if s % max(1, steps // 8) == 0 or s == steps - 1:
                f, r, a = (float(v) for v in figures)
                log(f"{name} step {s}: frames {f:.3f}, readings {r:.3f}, right {a:.3f}, {(elapsed() - start) / max(1, s - 1) * 1000:.0f} ms a step")


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


@functools.partial(jax.jit, static_argnums=1)
def _told(w, shape_of, log_prior, x, states):
    return forward(w, network.scores(w, shape_of, pair(level(log_mel(x, jnp.asarray(PLAIN))))), log_prior, states)


def measure(corpus, w, shape_of, log_prior):
    """Share of held-out words preferred to a real word with one sound fewer, more, changed; children and adults."""
    n, res = 32000, {}
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
        total = np.asarray(_told(w, shape_of, log_prior, x, states))
        for row, (word, pick) in enumerate(part):
            for c, k in enumerate(("fewer", "more", "changed")):
                if k in pick:
                    res.setdefault((k, "child" if word.child else "adult"), []).append(total[row, 0] - total[row, c + 1])
    text = ", ".join(f"{who} {k} {100 * np.mean(np.array(v) > 0):.1f} of {len(v)}" for (k, who), v in sorted(res.items()))
    loss = np.mean([np.logaddexp(0, -np.array(v)).mean() for v in res.values()]) if res else 0.0
    return f"{text}; log loss {loss:.3f}"


def frame_accuracy(corpus, w, shape_of, log_prior):
    """Share of speech frames of held-out speakers that agree with their own alignment."""
    good = seen = 0
    kept = [i for i, l in enumerate(corpus.sentences) if l["speaker"] in corpus.held_out]
    for i, evidence in evidence_of(corpus, w, shape_of, 0 * log_prior, kept):
        line = corpus.sentences[i]
        label = corpus.labels[line["from"] // HOP : line["to"] // HOP : 2][: len(evidence)]
        speech = label > 0
        good += (evidence.argmax(-1)[: len(label)] == label)[speech].sum()
        seen += speech.sum()
    return f"{good / max(1, seen):.4f} of {seen} frames"


def save(path, w, shape_of, log_prior, kind=np.float32):
    """Weights, priors and shape as npz; export.py makes the shipped file from it."""
    np.savez(path, __shape=json.dumps(shape_of), __log_prior=np.asarray(log_prior), **{k: np.asarray(v, kind) for k, v in w.items()})


def load_teacher(path):
    """A teacher saved before, its weights as floats or as 8-bit numbers with a scale for each column (`NAME__scale`)."""
    pack = np.load(path)
    shape_of = network.Shape(*(tuple(v) if isinstance(v, list) else v for v in json.loads(str(pack["__shape"]))))
    scaled = lambda k: pack[k].astype(np.float32) * (pack[k + "__scale"] if k + "__scale" in pack.files else 1.0)
    weights = {k: jnp.asarray(scaled(k)) for k in pack.files if not k.startswith("__") and not k.endswith("__scale")}
    return shape_of, weights, "__by_half" in pack.files


def train_teacher(corpus, plan, stream, out, limit):
    """Frames from synthetic speech, then real sentences realigned twice, then readings."""
    first, second, third = plan["teacher_steps"]
    t = Trainer(plan["teacher"], 1, plan, corpus, stream)
    log("teacher", sum(v.size for v in t.w.values()), "weights")
    p = priors(corpus)
    t.run("teacher, synthetic", first, 1.5e-3, 0.0, None, p, floor=0.3)
    log(align(corpus, t.smooth, t.shape_of, p, -1e9))
    p = priors(corpus)
    t.run("teacher, real", second, 1.5e-3, 0.65, None, p, floor=0.3)
    log(align(corpus, t.smooth, t.shape_of, p, -12.0))
    log("held out:", measure(corpus, t.smooth, t.shape_of, p), frame_accuracy(corpus, t.smooth, t.shape_of, p))
    p = priors(corpus)
    t.run("teacher, readings", third, 1.2e-3, 0.65, 0.1, p, deadline=limit)
    log("held out:", measure(corpus, t.smooth, t.shape_of, p), frame_accuracy(corpus, t.smooth, t.shape_of, p))
    log(align(corpus, t.smooth, t.shape_of, p, -10.0))
    save(f"{out}/teacher.npz", t.smooth, t.shape_of, p, np.float16)
    return t.shape_of, t.smooth, False


def train_student(corpus, plan, stream, out, limit, teacher, seed=2):
    """The small network: the teacher's frames, then the question itself."""
    s = Trainer(plan["student"], seed, plan, corpus, stream)
    log("student", sum(v.size for v in s.w.values()), "weights")
    p = priors(corpus)
    s.run("student", plan["student_steps"], 2e-3, 0.6, 0.3, p, teacher, deadline=limit)
    save(f"{out}/student.npz", s.smooth, s.shape_of, p)
    log("held out:", measure(corpus, s.smooth, s.shape_of, p), frame_accuracy(corpus, s.smooth, s.shape_of, p))


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
    """The whole plan: `pack` describes the synthetic words, `synth` and `real` give their samples when called."""
    plan = dict(PLANS[a.plan])
    if a.steps:
        n = [int(v) for v in a.steps.split(",")]
        plan.update(teacher_steps=n[:3], student_steps=n[3])
    lexicon = {tuple(line.split()) for line in open(a.lexicon)}
    lines = [json.loads(line) for line in open(a.real + ".jsonl")]
    corpus = Corpus(pack, synth, real, lines, lexicon, plan["held_out"], 0.02 if a.plan == "tiny" else 1.0)
    log("read", len(corpus.synth_words), "synthetic words,", len(corpus.sentences), "sentences,", round(len(corpus.audio) / 960000), "min")
    stream = jax.device_put(corpus.audio)
    log("devices", jax.devices())
    if a.teacher:
        teacher = load_teacher(a.teacher)
        corpus.restore([json.loads(line) for line in open(a.alignment)])
        log("restored", len(corpus.real_words), "words,", len(corpus.apart), "apart")
    else:
        teacher = train_teacher(corpus, plan, stream, a.out, a.budget * 0.45)
        write_alignment(corpus, f"{a.out}/alignment.jsonl")
    train_student(corpus, plan, stream, a.out, a.budget, teacher)
    log("done")
