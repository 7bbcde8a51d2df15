"""Batches, drawn on the accelerator: which stretches of the stream make up each example, and how fast they run. (A host
that draws them keeps a small network waiting.)"""

from typing import NamedTuple

import jax
import jax.numpy as jnp
import numpy as np

from corpus import LENGTH
from sequence import LONGEST

SILENCES = jnp.array([0, 160, 400, 800, 2400])  # samples of silence left around a word, at most


class Words(NamedTuple):
    """Words of the stream, one row each; samples. `cuts`: W x LONGEST x 2, -1 past the last sound; `table`: its row of
    readings, -1 where it has none."""

    start: jax.Array
    end: jax.Array
    before: jax.Array
    after: jax.Array
    child: jax.Array
    cuts: jax.Array
    table: jax.Array


class Sentences(NamedTuple):
    """Sentences of the stream, one row each; samples."""

    start: jax.Array
    end: jax.Array
    child: jax.Array


class Source(NamedTuple):
    """All that is drawn from: `words`, and as rows of them `made` ones with readings, all `real` ones, real ones with
    readings (`whole`) and those of them with silence on both sides (`apart`)."""

    words: Words
    sentences: Sentences
    made: jax.Array
    real: jax.Array
    whole: jax.Array
    apart: jax.Array


class Mix(NamedTuple):
    """How many examples of a batch are what: parts of sentences, real and made words for their frames alone, real and made
    words sound by sound, and words that are told from other readings: real ones with silence around, real ones, made ones."""

    chunks: int
    real: int
    made: int
    real_separate: int
    made_separate: int
    apart: int
    whole: int
    made_whole: int

    @property
    def told(self):
        """Words that are told from other readings; they come last in a batch."""
        return self.apart + self.whole + self.made_whole


def mix(plain, told, real_share):
    """`plain` examples for frame labels alone and `told` words, `real_share` of both real."""
    real, whole = round(plain * real_share), round(told * real_share)
    chunks, real_separate, made_separate = round(0.55 * real), round(0.20 * real), round(0.15 * (plain - real))
    apart = round(0.4 * whole)
    return Mix(chunks, real - chunks - real_separate, plain - real - made_separate, real_separate, made_separate, apart, whole - apart, told - whole)


def rows_of(words):
    """`Words` from a list of corpus.Word."""
    cuts = np.full((len(words), LONGEST, 2), -1, np.int32)
    for row, w in zip(cuts, words):
        row[: len(w.cuts)] = w.cuts[:LONGEST]
    column = lambda name, kind=np.int32: jnp.asarray(np.array([getattr(w, name) for w in words], kind))
    return Words(column("start"), column("end"), column("before"), column("after"), column("child", bool), jnp.asarray(cuts), column("pool"))


def source_of(corpus):
    """What is drawn from, as the corpus stands now."""
    words = corpus.synth_words + corpus.real_words
    lines = [corpus.sentences[i] for i in corpus.train_sentences]
    column = lambda of: jnp.asarray(np.array([of(line) for line in lines]))
    sentences = Sentences(column(lambda s: np.int32(s["from"])), column(lambda s: np.int32(s["to"])), column(lambda s: s["age"] < 13))
    told = np.array([w.pool >= 0 for w in words])
    alone = np.array([w.apart for w in words])
    real = np.array([w.item >= 0 and not corpus.sentences[w.item]["made"] for w in words])
    rows = lambda which: jnp.asarray(np.flatnonzero(which).astype(np.int32))
    whole, apart = rows(told & real), rows(told & real & alone)
    return Source(rows_of(words), sentences, rows(told & ~real), rows(real), whole, apart if len(apart) else whole)


def _uniform(key, n, low, high):
    return jax.random.uniform(key, (n,), minval=low, maxval=high)


def _rate(key, child):
    """Children's speech is moved less far up than adults'."""
    u = jax.random.uniform(key, child.shape)
    return jnp.where(child, 0.82 + 0.30 * u, 0.88 + 0.44 * u)


def _between(key, low, high):
    """A whole number for each row, low <= it <= high."""
    u = jax.random.uniform(key, low.shape)
    return low + jnp.floor(u * (high - low + 1).clip(1)).astype(jnp.int32)


def alone(key, words):
    """Each word by itself with a little of what stood around it: pieces (B x 1 x 3: where in the stream, where in the
    example, how long) and rates."""
    n = words.start.shape[0]
    ks = jax.random.split(key, 8)
    r = _rate(ks[0], words.child)
    lead = jnp.minimum(words.before.clip(0), jax.random.choice(ks[1], SILENCES, (n,)))
    tail = jnp.minimum(words.after.clip(0), jax.random.choice(ks[2], SILENCES, (n,)))
    # Given times are often off: now and then a little of the first or last sound is lost.
    first = words.cuts[:, 0, 1] - words.cuts[:, 0, 0]
    count = (words.cuts[:, :, 0] >= 0).sum(1)
    last = jnp.take_along_axis(words.cuts, (count - 1)[:, None, None].clip(0), 1)[:, 0]
    lost = lambda key, span, most: (jax.random.uniform(key, (n,)) * jnp.minimum(most, 0.3 * span)).astype(jnp.int32)
    lead = jnp.where(_uniform(ks[3], n, 0, 1) < 0.15, -lost(ks[4], first, 320), lead)
    tail = jnp.where(_uniform(ks[5], n, 0, 1) < 0.15, -lost(ks[6], last[:, 1] - last[:, 0], 480), tail)
    src = words.start - lead
    size = jnp.minimum(((words.end + tail - src) / r).astype(jnp.int32), LENGTH)
    room = LENGTH - size
    # The seven hundred samples before and after are what the program itself puts around a word.
    low = jnp.minimum(room, 700)
    dst = _between(ks[7], low, jnp.maximum(low, jnp.minimum(room, 9000)))
    return jnp.stack([src, dst, size], -1)[:, None], r


def chunks(key, sentences):
    """Two seconds of each sentence, as `alone`."""
    ks = jax.random.split(key, 3)
    r = _rate(ks[0], sentences.child)
    span = sentences.end - sentences.start
    size = jnp.minimum((span / r).astype(jnp.int32), LENGTH)
    src = sentences.start + _between(ks[1], jnp.zeros_like(span), (span - (size * r).astype(jnp.int32)).clip(0))
    return jnp.stack([src, _between(ks[2], jnp.zeros_like(size), LENGTH - size), size], -1)[:, None], r


def separate(key, words):
    """Each sound of each word by itself, with gaps: pieces B x LONGEST x 3 and rates."""
    ks = jax.random.split(key, 3)
    n = words.start.shape[0]
    r = _rate(ks[0], words.child)
    size = ((words.cuts[:, :, 1] - words.cuts[:, :, 0]) / r[:, None]).astype(jnp.int32)
    gap = jax.random.randint(ks[1], size.shape, 1600, 8001)
    before = jnp.cumsum(size + gap, 1) - size - gap
    dst = jax.random.randint(ks[2], (n, 1), 500, 3001) + before
    there = (words.cuts[:, :, 0] >= 0) & (dst + size <= LENGTH - 300)
    there = jnp.cumprod(there, 1).astype(bool)
    return jnp.stack([words.cuts[:, :, 0].clip(0), jnp.where(there, dst, -1), jnp.where(there, size, 0)], -1), r


def drawn(key, pieces):
    """How much longer what can be held is held in words by themselves (`pieces`: as `alone` gives them), as far as the
    example has room for it: of a word that is told from others, no sound may be lost."""
    ks = jax.random.split(key)
    room = (LENGTH - 1600 - pieces[:, 0, 1]) / pieces[:, 0, 2].clip(1)
    wanted = _uniform(ks[0], len(pieces), 1.3, 4.0)
    return jnp.where((_uniform(ks[1], len(pieces), 0, 1) < 0.2) & (room > 1.3), jnp.minimum(wanted, room), 1.0)


def draw(key, source, of):
    """A batch as `of` (a Mix) says. Returns a list of (pieces, rates), in the order plain, separate, told; how much longer
    what can be held is held, in each example; and the rows of the told words."""
    ks = jax.random.split(key, 15)
    take = lambda rows: jax.tree.map(lambda a: a[rows], source.words)

    def some(key, rows, n):
        return rows[jax.random.randint(key, (n,), 0, rows.shape[0])] if n else jnp.zeros(0, jnp.int32)

    plain_words = jnp.concatenate([some(ks[0], source.real, of.real), some(ks[1], source.made, of.made)])
    plain = [alone(ks[2], take(plain_words))]
    if of.chunks:
        rows = some(ks[3], jnp.arange(source.sentences.start.shape[0]), of.chunks)
        plain.insert(0, chunks(ks[4], jax.tree.map(lambda a: a[rows], source.sentences)))
    plain = tuple(jnp.concatenate(part) for part in zip(*plain))
    by_sound = jnp.concatenate([some(ks[5], source.real, of.real_separate), some(ks[6], source.made, of.made_separate)])
    told = jnp.concatenate([some(ks[8], source.apart, of.apart), some(ks[9], source.whole, of.whole), some(ks[10], source.made, of.made_whole)])
    groups = [plain, separate(ks[7], take(by_sound)), alone(ks[11], take(told))]
    n = len(plain_words)
    held = jnp.where(_uniform(ks[12], n, 0, 1) < 0.25, _uniform(ks[13], n, 1.3, 5.0), 1.0)
    factor = [jnp.ones(of.chunks), held, jnp.ones(of.real_separate + of.made_separate), drawn(ks[14], groups[2][0])]
    return groups, jnp.concatenate(factor), told
