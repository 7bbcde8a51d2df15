"""Teaches the sixth listener (listener.py) what five trained listeners marked. See README.md in this folder.

    python3 listen.py --stage teacher --prime FILE --real DIR/read_train --alignment FILE --folds 0,1 --out OUT
    python3 listen.py --stage student --synth DIR/synth ... --folds 0,1 --out OUT

A fold is a part of the speakers that is kept from training (-1: none is). Teachers hear whole sentences through the pretrained
encoder; students hear words cut out, and learn the marks, the teachers' view of them and what the teachers' encoder hears.
"""

import argparse
import functools
import json
import math
import os

import jax
import jax.numpy as jnp
import numpy as np

import device
import listener
import load
import marks as marked
import pretrained
import queries
from common import CLASSES, FRAME, HOP, PAIR, elapsed, log
from corpus import LENGTH, grid, windows_of
from device import KIND, TROUBLES
from features import log_mel, pair
from layers import times
from taught import hints_at, levelled

PRIME_RATE = 0.1  # a pretrained encoder learns this much more slowly
MISTAKEN = 0.08  # share of sounds that a teacher is asked about as others
DROPPED = 0.35, 0.3  # share of units dropped in a teacher, in a student
TRUST = 0.6  # of a teacher's view of a sound, against the five listeners' marks
ADDED = 0.5  # weight of sounds added, beside the votes
HINTS, FRAMES = 1.0, 0.3  # weights of guessing the encoder's numbers, and which sound is where
STUDENT_SECONDS = LENGTH / 16000
TEACHER_LENGTH = 320 * PAIR  # samples of a sentence that a teacher hears at once while it learns (6.4 s)
MOST_IN_SENTENCE = 96  # sounds
PLANS = {
    "full": dict(teacher=listener.TEACHER, student=listener.SHIPPED, teacher_batch=48, student_batch=(288, 96), teacher_steps=1500, student_steps=200000),
    "short": dict(teacher=listener.TEACHER, student=listener.SHIPPED, teacher_batch=2, student_batch=(6, 4), teacher_steps=3, student_steps=3),
    "tiny": dict(teacher=listener.TINY, student=listener.TINY, teacher_batch=2, student_batch=(6, 4), teacher_steps=4, student_steps=6),
}


def adam(w, state, grad, lr, count, slow=lambda name: 1.0):
    """One update with decoupled decay (Loshchilov, Hutter 2019, arXiv 1711.05101): weights and (mean, square, average)."""
    mean, square, smooth = state
    size = jnp.sqrt(sum((g * g).sum() for g in jax.tree.leaves(grad)))
    grad = jax.tree.map(lambda g: jnp.nan_to_num(g) * jnp.minimum(1.0, 3.0 / (size + 1e-9)), grad)
    mean = jax.tree.map(lambda m, g: 0.9 * m + 0.1 * g, mean, grad)
    square = jax.tree.map(lambda s, g: 0.98 * s + 0.02 * g * g, square, grad)
    fix1, fix2 = 1 - 0.9**count, 1 - 0.98**count

    def move(name, v):
        decay = 0.02 if v.ndim >= 2 and "bias" not in name else 0.0
        return v - lr * slow(name) * ((mean[name] / fix1) / (jnp.sqrt(square[name] / fix2) + 1e-8) + decay * v)

    w = {name: move(name, v) for name, v in w.items()}
    keep = jnp.minimum(0.999, (1 + count) / (10 + count))
    return w, (mean, square, jax.tree.map(lambda a, b: keep * a + (1 - keep) * b, smooth, w))


def mark_loss(logits, query):
    """Cross entropy of the votes and of added sounds, a sound."""
    votes, before, after = listener.logs(logits)
    there = (query.sounds > 0).astype(jnp.float32)
    n = there.sum(1).astype(jnp.int32)
    vote = -(query.votes * votes).sum(-1)
    binary = lambda logit, share: jax.nn.softplus(logit) - share * logit
    early = binary(before, query.added[:, :-1])
    last = jnp.arange(there.shape[1]) == (n - 1)[:, None]
    late = binary(after, jnp.take_along_axis(query.added, n[:, None], 1)) * last
    return ((vote + ADDED * (early + late)) * there).sum() / there.sum()


class Stream:
    """The audio of the sentences, then of the made words, and the marked words in it."""

    def __init__(self, a):
        real, lines = load.start(a.real + ".opus.ogg", a.most)(), []
        base = 0
        self.words, self.lines = marked.read(a.real, a.alignment)
        audio = [real, np.zeros(grid(len(real)) - len(real), np.int16)]
        if a.more:
            base = sum(map(len, audio))
            more = load.start(a.more + ".ogg")()
            words, lines = marked.read(a.more, a.more_alignment, base)
            words = words._replace(fold=np.full_like(words.fold, -2), sentence=words.sentence + len(self.lines))
            self.words = marked.joined([self.words, words])
            self.lines = self.lines + [l | dict(start=l["start"] + base, end=l["end"] + base) for l in lines]
            audio += [more, np.zeros(grid(base + len(more)) - base - len(more), np.int16)]
        self.real = len(self.words.start)
        if a.synth:
            base = sum(map(len, audio))
            synth = load.start(a.synth + ".ogg")()
            self.words = marked.joined([self.words, marked.made(dict(np.load(a.synth + ".npz")), base)])
            audio.append(synth)
        self.audio = np.concatenate([*audio, np.zeros(8 * LENGTH, np.int16)])
        if a.most:
            near = self.words.end < a.most
            keep = near | (self.words.sentence < 0)
            self.words = marked.Marked(*(c[keep] for c in self.words))
            self.real = int(near.sum())
        log(self.real, "marked words,", len(self.words.start) - self.real, "made ones,", round(len(self.audio) / 960000), "min")

    def rows(self, fold, held):
        """Real words of the speakers kept from training in `fold` (`held`), or of all others, that fit into an example."""
        of = self.words.fold[: self.real] == fold
        short = self.words.end - self.words.start <= 28000
        return np.flatnonzero((of if held else ~of) & short[: self.real])


class Sentence:
    """Sentences as tables: their sounds in order, with a row's number in Stream.words for each."""

    def __init__(self, stream):
        w = stream.words
        self.which = np.unique(w.sentence[: stream.real])
        s = len(self.which)
        self.start, self.end, self.fold = (np.zeros(s, np.int32) for _ in range(3))
        self.sounds = np.zeros((s, MOST_IN_SENTENCE), np.int8)
        self.cuts = np.full((s, MOST_IN_SENTENCE, 2), -(10**8), np.int32)
        self.votes = np.zeros((s, MOST_IN_SENTENCE, 3), np.float32)
        self.before, self.after = (np.zeros((s, MOST_IN_SENTENCE), np.float32) for _ in range(2))
        self.owner = np.full((s, MOST_IN_SENTENCE, 2), -1, np.int32)
        place = {v: i for i, v in enumerate(self.which)}
        used = np.zeros(s, np.int32)
        for k in range(stream.real):
            i = place[w.sentence[k]]
            line = stream.lines[w.sentence[k]]
            self.start[i], self.end[i], self.fold[i] = line["start"], line["end"], w.fold[k]
            n = int((w.sounds[k] > 0).sum())
            a, b = used[i], used[i] + n
            if b > MOST_IN_SENTENCE:
                continue
            used[i] = b
            self.sounds[i, a:b], self.cuts[i, a:b], self.votes[i, a:b] = w.sounds[k, :n], w.cuts[k, :n], w.votes[k, :n]
            self.before[i, a:b] = w.added[k, :n]
            self.after[i, b - 1] = w.added[k, n]
            self.owner[i, a:b, 0], self.owner[i, a:b, 1] = k, np.arange(n)


def sentence_loss(logits, sounds, votes, before, after):
    """As mark_loss, of many words in a row."""
    vote, early, late = listener.logs(logits)
    there = (sounds > 0).astype(jnp.float32)
    binary = lambda logit, share: jax.nn.softplus(logit) - share * logit
    each = -(votes * vote).sum(-1) + ADDED * (binary(early, before) + binary(late, after))
    return (each * there).sum() / there.sum()


def frame_loss(w, heard, certain, sounds, spans):
    """How ill the sound of each pair of frames is told from what is heard: of those that are `certain` (their classes, else 0),
    and of silence, where none of the word's `sounds` lies."""
    share = listener.covered(spans, heard.shape[1]) * (sounds > 0)[..., None]
    share = share / jnp.maximum(share.sum(1, keepdims=True), 1.0)
    goal = jnp.einsum("bnt,bnk->btk", share * (certain > 0)[..., None], jax.nn.one_hot(certain, len(CLASSES)))
    goal = goal.at[..., 0].add(1.0 - share.sum(1).clip(0, 1))
    return -(goal * jax.nn.log_softmax(times(heard, w["frame.weight"], KIND) + w["frame.bias"])).sum(-1).mean()


def encoded(w, of, x, bank, drop):
    """What a teacher's encoder makes of audio through its filters, and what the teacher hears in that; a teacher without one
    hears as students do, and guesses nothing for them."""
    if of.primed:
        inside = pretrained.encode(w, pretrained.spectra(x, bank), drop, KIND)
        return inside, listener.hearing(w, of, inside, drop, KIND)
    heard = listener.hearing(w, of, listener.in_twos(pair(device.level(log_mel(x, bank)))), drop, KIND)
    return jnp.zeros((*heard.shape[:2], pretrained.WIDTH)), heard


def make_teacher_step(of, batch):
    """One update of a teacher."""

    def losses(w, table, rows, audio, key):
        ks = jax.random.split(key, 7)
        at = rows[jax.random.randint(ks[0], (batch,), 0, rows.shape[0])]
        t = jax.tree.map(lambda v: v[at], table)
        rate = jax.random.uniform(ks[1], (batch,), minval=0.92, maxval=1.1)
        span = ((t["end"] - t["start"]) / rate).astype(jnp.int32)
        size = jnp.minimum(span, TEACHER_LENGTH)
        src = t["start"] + (jax.random.uniform(ks[2], (batch,)) * (span - size) * rate).astype(jnp.int32)
        pieces = jnp.stack([src, jnp.zeros_like(src), size], -1)[:, None]
        x = device.lay(audio, pieces, rate, TEACHER_LENGTH)
        trouble = TROUBLES["mild"]
        x = device.disturb(x, audio, ks[3], trouble.faint)
        warp = device.warps(ks[4], batch, trouble.spread)
        spans = (t["cuts"] - src[:, None, None]) / rate[:, None, None] / PAIR
        inside = (spans[..., 0] >= 0) & (spans[..., 1] <= size[:, None] / PAIR)
        sounds = jnp.where(inside, t["sounds"], 0).astype(jnp.int32)
        votes = t["votes"]
        sounds, votes = queries.mistaken(ks[6], sounds, votes, MISTAKEN)
        drop = listener.dropper(ks[5], DROPPED[0])
        _, heard = encoded(w, of, x, jnp.asarray(device.BANKS if not of.primed else device.WIDE_BANKS)[warp], drop)
        logits = listener.marks(w, of, heard, sounds, jnp.where(inside[..., None], spans, 0.0), drop, KIND)
        told = sentence_loss(logits, sounds, votes, t["before"], t["after"])
        said = jnp.where(inside & (t["votes"][..., 0] >= queries.CERTAIN), t["sounds"], 0)
        return told + FRAMES * frame_loss(w, heard, said, t["sounds"] * inside, spans)

    @functools.partial(jax.jit, donate_argnums=(0, 1))
    def step(w, state, count, lr, table, rows, audio, key):
        loss, grad = jax.value_and_grad(losses)(w, table, rows, audio, jax.random.fold_in(key, count))
        slow = lambda name: PRIME_RATE if name.startswith("prime.") else 1.0
        w, state = adam(w, state, grad, lr, count, slow)
        return w, state, loss

    return step


@functools.partial(jax.jit, static_argnums=1)
def teacher_hears(w, of, x, sounds, spans):
    """Shares of the votes (and of added sounds) and the encoding of sentences as they are."""
    drop = listener.dropper(None, 0.0)
    inside, heard = encoded(w, of, x, jnp.asarray(device.WIDE_PLAIN if of.primed else device.PLAIN), drop)
    votes, before, after = listener.logs(listener.marks(w, of, heard, sounds, spans, drop, KIND))
    return jnp.exp(votes), jax.nn.sigmoid(before), jax.nn.sigmoid(after), inside.astype(jnp.float16)


def schedule(along, s):
    """The learning rate's share of its peak."""
    return min(1.0, (s + 1) / 100) * (0.01 + 0.99 * 0.5 * (1 + math.cos(math.pi * min(1.0, along))))


def learned(step, w, peak, steps, seconds, key, *fixed):
    """Averaged weights after `steps`, or after `seconds` from the third step on. Rows of what is learned from are in `fixed`."""
    zeros = jax.tree.map(jnp.zeros_like, w)
    state, start = (zeros, jax.tree.map(jnp.copy, zeros), jax.tree.map(jnp.copy, w)), elapsed()
    for s in range(steps):
        if s == 2:
            jax.block_until_ready(w)
            start = elapsed()
        if s % 50 == 0:
            jax.block_until_ready(w)
        along = max(s / steps, (elapsed() - start) / seconds if s > 2 else 0.0)
        if along >= 1.0:
            break
        w, state, loss = step(w, state, float(s + 1), peak * schedule(along, s), *fixed, key)
        if s % max(1, steps // 10) == 0 and s < 5 or s % 1000 == 0 or s == steps - 1:
            log(f"  step {s}: {jax.tree.map(lambda v: round(float(v), 4), loss)}, {(elapsed() - start) / max(1, s - 1) * 1000:.1f} ms a step")
    log(f"  {s + 1} steps in {elapsed() - start:.0f} s")
    return state[2]


def correlation(p, votes):
    """Of the mean mark (2 right, 1 accented, 0 wrong) with what is guessed of it."""
    mean = lambda v: 2 * v[:, 0] + v[:, 1]
    return np.corrcoef(mean(p), mean(votes))[0, 1]


def area(low, high):
    """Area under the curve: how often one of `high` is above one of `low`."""
    ranks = np.argsort(np.argsort(np.concatenate([low, high]), kind="stable"), kind="stable") + 1
    return (ranks[len(low) :].sum() - len(high) * (len(high) + 1) / 2) / (len(low) * len(high))


def teach(a, plan, stream):
    """Teachers of each fold and seed; writes their encodings, and their marks of the speakers they have not heard."""
    of, table = plan["teacher"], Sentence(stream)
    arrays = {k: jnp.asarray(getattr(table, k)) for k in ("start", "end", "sounds", "cuts", "votes", "before", "after")}
    audio, step = jnp.asarray(stream.audio), make_teacher_step(plan["teacher"], plan["teacher_batch"])
    for fold in a.folds:
        rows = np.flatnonzero(table.fold != fold)
        rows = jnp.asarray(np.resize(rows, len(table.fold)).astype(np.int32))
        found = []
        for seed in a.seeds:
            w = listener.initial(of, seed)
            if of.primed:
                w = {k: v for k, v in w.items()} | pretrained.load(a.prime)
            log(f"teacher, fold {fold}, seed {seed}")
            w = learned(step, w, 1e-3, plan["teacher_steps"], a.budget, jax.random.PRNGKey(seed + 100 * (fold + 2)), arrays, rows, audio)
            found.append(heard_by(a, of, w, stream, table, keep=seed == a.seeds[0]))
        votes, before, after = (np.mean([f[k] for f in found], 0) for k in range(3))
        hints = found[0][3]
        np.save(f"{a.out}/hints_{fold}.npy", hints)
        np.savez(f"{a.out}/teacher_{fold}.npz", votes=votes, before=before, after=after)
        report(stream, stream.rows(fold, True), votes[: stream.real], f"teacher, fold {fold}")


def report(stream, rows, votes, name):
    """How well the votes of these words are guessed, printed."""
    if not len(rows):
        return
    there = stream.words.sounds[rows] > 0
    p, q = votes[rows][there], stream.words.votes[rows][there]
    child = np.repeat(stream.words.child[rows], there.sum(1))
    for who, of in (("children", child), ("adults", ~child), ("all", child | True)):
        mean = 2 * q[:, 0] + q[:, 1]
        a = area(2 * p[of & (mean < 0.5), 0] + p[of & (mean < 0.5), 1], 2 * p[of & (mean >= 1.5), 0] + p[of & (mean >= 1.5), 1])
        log(f"{name}, {who}: correlation {correlation(p[of], q[of]):.3f}, wrong told from right {a:.3f}, {of.sum()} sounds")
    worst = np.where(there, votes[rows][..., 0], 1.0)
    product, least = np.log(worst.clip(1e-4)).sum(1), worst.min(1)
    w = stream.words
    right = ((w.votes[rows][..., 0] > 0.99) | ~there).all(1) & (w.added[rows] < 0.1).all(1)
    slipped = ((w.votes[rows][..., 2] > 0.5) & there).any(1) | (w.added[rows] > 0.5).any(1)
    for what, v in (("product", product), ("least", least)):
        caught = [np.mean(v[slipped] < np.quantile(v[right], f)) for f in (0.04, 0.01)]
        log(f"{name}, right words told from slipped by the {what}: {area(v[slipped], v[right]):.3f}, caught at 4 % {caught[0]:.2f}, at 1 % {caught[1]:.2f}")


def heard_by(a, of, w, stream, table, keep):
    """What a teacher thinks of every word and, where `keep`, what its encoder hears everywhere."""
    n = len(stream.words.start)
    votes, before, after = np.zeros((n, marked.MOST, 3), np.float32), np.zeros((n, marked.MOST), np.float32), np.zeros((n, marked.MOST), np.float32)
    hints = np.zeros((len(stream.audio) // PAIR + 2, pretrained.WIDTH), np.float16)
    order = np.argsort(table.end - table.start)
    for t, members in ((320, [i for i in order if table.end[i] - table.start[i] <= 319 * PAIR]), (1056, [i for i in order if table.end[i] - table.start[i] > 319 * PAIR])):
        size = 64 if t == 320 else 16
        for at in range(0, len(members), size):
            part = (members[at : at + size] * size)[:size]
            x, spans = np.zeros((size, t * PAIR), np.float32), np.zeros((size, MOST_IN_SENTENCE, 2), np.float32)
            for row, i in enumerate(part):
                begin = table.start[i] // PAIR * PAIR
                piece = stream.audio[begin : table.end[i]][: t * PAIR].astype(np.float32)
                x[row, : len(piece)] = piece / (np.abs(piece).max() + 1e-6)
                spans[row] = np.where(table.sounds[i][:, None] > 0, (table.cuts[i] - begin) / PAIR, 0)
            got = teacher_hears(w, of, jnp.asarray(x), jnp.asarray(table.sounds[part].astype(np.int32)), jnp.asarray(spans))
            v, b, c, inside = (np.asarray(g) for g in got)
            for row, i in enumerate(part[: len(members) - at]):
                own = table.owner[i]
                k = own[:, 0] >= 0
                for target, source in ((votes, v), (before, b), (after, c)):
                    target[own[k, 0], own[k, 1]] = source[row][k]
                if keep:
                    length = (table.end[i] - table.start[i]) // PAIR
                    hints[table.start[i] // PAIR :][:length] = inside[row, :length]
    if keep:
        made_hints(of, w, stream, hints)
    return votes, before, after, hints


def made_hints(of, w, stream, hints):
    """What the encoder hears in made words, each by itself."""
    rows, lead = 256, 10 * PAIR
    made = np.arange(stream.real, len(stream.words.start))
    blank = jnp.zeros((rows, 1), jnp.int32), jnp.zeros((rows, 1, 2))
    for at in range(0, len(made), rows):
        part = made[at : at + rows]
        low = [int(stream.words.start[k] - min(max(0, stream.words.before[k]), 1600)) // PAIR * PAIR for k in part]
        high = [int(stream.words.end[k] + min(max(0, stream.words.after[k]), 1600)) for k in part]
        x = windows_of([stream.audio[l:h][: LENGTH - 2 * lead] for l, h in zip(low, high)], lead, np.random.default_rng(0).standard_normal((rows, LENGTH)))
        inside = np.asarray(teacher_hears(w, of, jnp.asarray(x), *blank)[3])
        for row, (l, h) in enumerate(zip(low, high)):
            length = min(h - l, LENGTH - 2 * lead) // PAIR
            hints[l // PAIR :][:length] = inside[row, lead // PAIR :][:length]


def make_student_step(of, batch, lessons):
    """One update of a student. `lessons`: weights of (hints, frames)."""
    real, made = batch

    def losses(w, words, rows, made_rows, audio, hints, key):
        ks = jax.random.split(key, 10)
        at = jnp.concatenate([rows[jax.random.randint(ks[0], (real,), 0, rows.shape[0])], made_rows[jax.random.randint(ks[1], (made,), 0, made_rows.shape[0])]])
        part = marked.Marked(*(c[at] for c in words))
        pieces, rate = queries.windows(ks[2], part, 0.88, 1.2)
        trouble = TROUBLES["mild"]
        x = device.disturb(device.lay(audio, pieces, rate), audio, ks[3], trouble.faint)
        mel = log_mel(x, jnp.asarray(device.BANKS)[device.warps(ks[4], real + made, trouble.spread)])
        mel = device.level(mel)
        for k in (ks[5], ks[6]):
            mel = device.hide_bands(mel, k, 8, trouble.hidden)
        drop = listener.dropper(ks[7], DROPPED[1])
        heard = listener.hearing(w, of, listener.in_twos(pair(mel)), drop, KIND)
        plain = queries.asked(ks[8], part, pieces, rate)
        query = jax.vmap(queries.edited)(plain, jax.random.split(ks[9], real + made))
        loss = told = mark_loss(listener.marks(w, of, heard, query.sounds, query.spans, drop, KIND), query)
        frame = hint = 0.0
        if lessons[1]:
            certain = jnp.where(plain.votes[..., 0] >= queries.CERTAIN, plain.sounds, 0)
            frame = frame_loss(w, heard, certain, plain.sounds, plain.spans)
            loss = loss + lessons[1] * frame
        if lessons[0]:
            place = device.places(pieces, rate, HOP, HOP)[:, :: FRAME // HOP]
            goal, known = hints_at(hints, place)
            guess = times(heard, w["hint.weight"], KIND) + w["hint.bias"]
            hint = (jnp.square(guess - goal).mean(-1) * known).sum() / jnp.maximum(known.sum(), 1)
            loss = loss + lessons[0] * hint
        return loss, (told, frame, hint)

    @functools.partial(jax.jit, donate_argnums=(0, 1))
    def step(w, state, count, lr, words, rows, made_rows, audio, hints, key):
        (_, figures), grad = jax.value_and_grad(losses, has_aux=True)(w, words, rows, made_rows, audio, hints, jax.random.fold_in(key, count))
        w, state = adam(w, state, grad, lr, count)
        return w, state, figures

    return step


@functools.partial(jax.jit, static_argnums=1)
def student_hears(w, of, x, sounds, spans):
    """Shares of the votes and of added sounds, for words laid in examples as they are."""
    drop = listener.dropper(None, 0.0)
    heard = listener.hearing(w, of, listener.in_twos(device.heard(x, False)[0]), drop)
    votes, before, after = listener.logs(listener.marks(w, of, heard, sounds, spans, drop))
    return jnp.exp(votes), jax.nn.sigmoid(before), jax.nn.sigmoid(after)


def judged(of, w, stream, rows):
    """What a student thinks of these words, cut out as by a list's times and laid on near silence."""
    words, size, lead = stream.words, 256, 5200
    n = len(words.start)
    votes, before, after = np.zeros((n, marked.MOST, 3), np.float32), np.zeros((n, marked.MOST), np.float32), np.zeros((n, marked.MOST), np.float32)
    rng = np.random.default_rng(0)
    noise = rng.standard_normal((size, LENGTH))
    for at in range(0, len(rows), size):
        part = rows[at : at + size]
        filled = np.resize(part, size)
        start, end = words.start[filled], words.end[filled]
        rough = lambda of: np.maximum(of[0] + of[1] * rng.standard_normal(size), -0.4 * (end - start)).astype(int)
        low, high = start - rough(queries.ROUGH_START), end + rough(queries.ROUGH_END)
        x = windows_of([stream.audio[max(0, l) : h][: LENGTH - lead] for l, h in zip(low, high)], lead, noise)
        cuts = np.clip(words.cuts[filled], low[:, None, None], high[:, None, None])
        spans = (cuts - low[:, None, None] + lead) / PAIR
        spans[..., 1] = np.maximum(spans[..., 1], spans[..., 0] + 0.5)
        got = student_hears(w, of, jnp.asarray(x), jnp.asarray(words.sounds[filled].astype(np.int32)), jnp.asarray(spans.astype(np.float32)))
        for target, source in zip((votes, before, after), got):
            target[part] = np.asarray(source)[: len(part)]
    return votes, before, after


def study(a, plan, stream):
    """Students of each fold: weights, and what they think of the speakers they have not heard."""
    of = plan["student"]
    words = stream.words
    if a.trust:
        votes = words.votes.copy()
        for fold in range(marked.FOLDS):
            mine = np.flatnonzero(words.fold == fold)
            taught = np.load(f"{a.out}/teacher_{fold}.npz")["votes"]
            votes[mine] = (1 - a.trust) * votes[mine] + a.trust * taught[mine]
        words = words._replace(votes=votes * (words.sounds > 0)[..., None])
    on_card = marked.Marked(*(jnp.asarray(c) for c in words))
    audio = jnp.asarray(stream.audio)
    short = np.flatnonzero(words.end[stream.real :] - words.start[stream.real :] <= 28000) + stream.real
    step = make_student_step(of, plan["student_batch"], (a.hints, FRAMES))
    for fold in a.folds:
        hints = levelled(np.load(f"{a.out}/hints_{fold}.npy")) if a.hints else jnp.zeros((2, 1))
        rows = jnp.asarray(np.resize(stream.rows(fold, False), stream.real).astype(np.int32))
        made = jnp.asarray(short.astype(np.int32)) if len(short) else rows
        log(f"student {a.name}, fold {fold}")
        w = learned(step, listener.initial(of, 5), a.peak, plan["student_steps"], a.budget, jax.random.PRNGKey(fold + 7), on_card, rows, made, audio, hints)
        save(f"{a.out}/listener{a.name}_{fold}.npz", w, of)
        held = stream.rows(fold, True)
        if len(held):
            votes, before, after = judged(of, w, stream, held)
            report(stream, held, votes[: stream.real], f"student {a.name}, fold {fold}")
            np.savez(f"{a.out}/judged{a.name}_{fold}.npz", rows=held, votes=votes[held], before=before[held], after=after[held])


def save(path, w, of):
    """Weights and shape as npz (16-bit floats; what is only for learning is left out); listener_file.py makes the shipped file of it."""
    kept = {k: np.asarray(v, np.float16) for k, v in w.items() if not k.startswith(("hint.", "frame."))}
    np.savez(path, __shape=json.dumps(of), **kept)


def main():
    """Reads the audio once, then trains what was asked for."""
    ap = argparse.ArgumentParser()
    ap.add_argument("--stage", required=True, choices=["teacher", "student"])
    ap.add_argument("--real", required=True, help="path without ending: .opus.ogg, .jsonl and _experts.jsonl are added")
    ap.add_argument("--alignment", required=True, help="times of every sound of the sentences")
    ap.add_argument("--more", default="", help="more marked sentences, all of them learned from; .ogg, .jsonl, _experts.jsonl")
    ap.add_argument("--more-alignment", default="")
    ap.add_argument("--synth", default="", help="made words, path without ending: .ogg and .npz are added")
    ap.add_argument("--prime", default="", help="for a teacher: the pretrained encoder that pretrained.py wrote")
    ap.add_argument("--out", required=True)
    ap.add_argument("--folds", default="0", help="which parts of the speakers are kept from training, with commas between; -1: none")
    ap.add_argument("--seeds", default="1", help="for teachers: first weights, with commas between; their views are averaged")
    ap.add_argument("--name", default="", help="for students: put after the files' names")
    ap.add_argument("--hints", type=float, default=HINTS, help="for students: the weight of guessing what the encoder hears")
    ap.add_argument("--trust", type=float, default=TRUST, help="for students: the share of the teachers' view in a sound's votes")
    ap.add_argument("--peak", type=float, default=2e-3, help="for students: the highest learning rate")
    ap.add_argument("--plan", default="full", choices=list(PLANS))
    ap.add_argument("--shape", default="", help="for students: width,hidden,sound in place of the plan's")
    ap.add_argument("--budget", type=float, default=100.0, help="seconds for each network, compiling not counted")
    a = ap.parse_args()
    a.folds, a.seeds = ([int(v) for v in s.split(",")] for s in (a.folds, a.seeds))
    a.most = json.loads(open(a.real + ".jsonl").readlines()[49])["end"] if a.plan != "full" else None
    plan = dict(PLANS[a.plan])
    if a.shape:
        width, hidden, sound = (int(v) for v in a.shape.split(","))
        plan["student"] = plan["student"]._replace(width=width, hidden=hidden, sound=sound)
    os.makedirs(a.out, exist_ok=True)
    (teach if a.stage == "teacher" else study)(a, plan, Stream(a))
    log("done", jax.devices())


if __name__ == "__main__":
    main()
