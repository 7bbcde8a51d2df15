"""What is asked of the sixth listener while it learns: words as they were read, and the same words asked about as something
else, so that it also hears what nobody said. All of it on the accelerator."""

from typing import NamedTuple

import jax
import jax.numpy as jnp
import numpy as np

from common import CLASSES, INDEX, PAIR, SOUNDS
from corpus import LENGTH
from marks import MOST
from sequence import NEIGHBOURS

EDITED = 0.15  # share of words asked about as another word
CERTAIN = 0.8  # a sound that fewer listeners call right is not used to make another word
NEAR_SHARE = 0.5  # of changed sounds, those changed into one that is often taken for them
BLUR = 0.4  # standard deviation of where a boundary is put, in pairs of frames: the program's own differ by so much
# Samples kept outside a word's own start and end where it is cut by a list's times and 25 ms are added: mean and spread. Laid anew by
# the ear's network, words of such a list begin 30 ms before and end 50 ms after its times (medians, ../weights/README.md).
ROUGH_START, ROUGH_END = (-80.0, 480.0), (-400.0, 800.0)
NEAR = np.array([[float(b in NEIGHBOURS.get(a, ())) for b in CLASSES] for a in CLASSES], np.float32)


class Query(NamedTuple):
    """One word asked about: classes, spans in pairs of frames, votes, and shares that heard a sound added before each and
    after the last."""

    sounds: jax.Array
    spans: jax.Array
    votes: jax.Array
    added: jax.Array


def mistaken(key, sounds, votes, share):
    """Sounds (B x N) of which a `share` are asked for as others, and the votes that follow; only sounds that were surely right."""
    ks = jax.random.split(key, 4)
    certain = (votes[..., 0] >= CERTAIN) & (sounds > 0)
    near = jnp.asarray(NEAR)[sounds]
    other = jnp.ones(len(CLASSES)).at[0].set(0.0) - jax.nn.one_hot(sounds, len(CLASSES))
    pick_near = (jax.random.uniform(ks[0], sounds.shape) < NEAR_SHARE) & (near.sum(-1) > 0)
    new = jax.random.categorical(ks[1], jnp.log(jnp.where(pick_near[..., None], near, other).clip(0) + 1e-9))
    which = certain & (jax.random.uniform(ks[2], sounds.shape) < share)
    return jnp.where(which, new, sounds), jnp.where(which[..., None], jnp.array([0.0, 0.0, 1.0]), votes)


def _moved(query, index):
    """Sounds as `index` orders them (MOST and beyond: none)."""
    there = (index >= 0) & (index < MOST)
    at = index.clip(0, MOST - 1)
    pick = lambda a: jnp.where(there.reshape(-1, *[1] * (a.ndim - 1)), a[at], 0)
    return pick(query.sounds), pick(query.spans), pick(query.votes)


def _changed(query, key, place):
    """The sound at `place` is asked for as another."""
    ks = jax.random.split(key)
    near = jnp.asarray(NEAR)[query.sounds[place]]
    other = jnp.ones(len(CLASSES)).at[0].set(0.0).at[query.sounds[place]].set(0.0)
    share = jnp.where((jax.random.uniform(ks[0]) < NEAR_SHARE) & (near.sum() > 0), near, other)
    new = jax.random.categorical(ks[1], jnp.log(share + 1e-9)).astype(query.sounds.dtype)
    return query._replace(sounds=query.sounds.at[place].set(new), votes=query.votes.at[place].set(jnp.array([0.0, 0.0, 1.0])))


def _inserted(query, key, place, n):
    """A sound that was not said is asked for before `place`; it takes 20 to 80 ms from those beside it."""
    ks = jax.random.split(key, 3)
    index = jnp.arange(MOST)
    index = jnp.where(index < place, index, index - 1)
    sounds, spans, votes = _moved(query, index)
    border = jnp.where(place < n, query.spans[place.clip(0, MOST - 1), 0], query.spans[(n - 1).clip(0), 1])
    left, right = jax.random.uniform(ks[0], (2,), minval=0.5, maxval=2.0)
    new = jax.random.randint(ks[1], (), 1, len(CLASSES)).astype(sounds.dtype)
    spans = spans.at[place].set(jnp.stack([border - left, border + right]))
    before, after = (place - 1).clip(0), (place + 1).clip(0, MOST - 1)
    spans = spans.at[before, 1].set(jnp.where(place > 0, jnp.maximum(border - left, spans[before, 0] + 0.5), spans[before, 1]))
    spans = spans.at[after, 0].set(jnp.where(place < n, jnp.minimum(border + right, spans[after, 1] - 0.5), spans[after, 0]))
    added = query.added[jnp.where(jnp.arange(MOST + 1) <= place, jnp.arange(MOST + 1), jnp.arange(MOST + 1) - 1)]
    return Query(sounds.at[place].set(new), spans, votes.at[place].set(jnp.array([0.0, 0.0, 1.0])), added)


def _removed(query, key, place, n):
    """The sound at `place` is not asked for, though it was said; those beside it share its time, or it stays outside."""
    ks = jax.random.split(key)
    index = jnp.arange(MOST)
    sounds, spans, votes = _moved(query, jnp.where(index < place, index, index + 1))
    start, end = query.spans[place]
    split = start + jax.random.uniform(ks[0]) * (end - start)
    inner = (place > 0) & (place < n - 1)
    takes = inner | (jax.random.uniform(ks[1]) < 0.5)
    before, at = (place - 1).clip(0), place.clip(0, MOST - 1)
    spans = spans.at[before, 1].set(jnp.where((place > 0) & takes, split, spans[before, 1]))
    spans = spans.at[at, 0].set(jnp.where((place < n - 1) & takes, split, spans[at, 0]))
    places = jnp.arange(MOST + 1)
    added = query.added[jnp.where(places <= place, places, (places + 1).clip(0, MOST))]
    return Query(sounds, spans, votes, added.at[place].set(1.0))


def edited(query, key):
    """`query`, or now and then the same word asked about with a sound changed, put in or left out. Only sounds that were
    surely right make another word, and their neighbours keep their votes."""
    ks = jax.random.split(key, 5)
    n = (query.sounds > 0).sum()
    place = jax.random.randint(ks[0], (), 0, n)
    gap = jax.random.randint(ks[1], (), 0, n + 1)
    kind = jax.random.choice(ks[2], 4, p=jnp.array([1 - EDITED, 0.5 * EDITED, 0.25 * EDITED, 0.25 * EDITED]))
    certain = query.votes[place, 0] >= CERTAIN
    options = [query, _changed(query, ks[3], place), _inserted(query, ks[3], gap, n), _removed(query, ks[3], place, n)]
    allowed = jnp.array([True, True, True, True]) & jnp.stack([jnp.array(True), certain, n < MOST, certain & (n > 1)])
    kind = jnp.where(allowed[kind], kind, 0)
    return jax.tree.map(lambda *parts: jnp.stack(parts)[kind], *options)


def windows(key, words, low, high):
    """Where each word (columns of marks.Marked) is cut out of the stream and laid in an example: pieces (B x 1 x 3) and rates
    of playing, from `low` to `high`. The cut is as rough as a list's times (its ends often come too early), or takes a little of
    what stands beside the word, or the silence there."""
    n = words.start.shape[0]
    ks = jax.random.split(key, 10)
    uniform = lambda k, a, b: jax.random.uniform(ks[k], (n,), minval=a, maxval=b)
    rate = uniform(0, low, high)
    way = uniform(1, 0, 1)

    def margin(k, quiet, rough):
        close, silent = uniform(k, -160, 900), jnp.minimum(quiet.clip(0), uniform(k + 1, 0, 2400))
        return jnp.where(way < 0.5, rough[0] + rough[1] * jax.random.normal(ks[k + 2], (n,)), jnp.where(way < 0.75, close, silent))

    short = 0.4 * (words.end - words.start)  # no more than so much of a word is ever lost at one end
    lead = jnp.maximum(margin(2, words.before, ROUGH_START), -short)
    tail = jnp.maximum(margin(5, words.after, ROUGH_END), -short)
    src = (words.start - lead).astype(jnp.int32)
    size = jnp.minimum(((words.end + tail - src) / rate).astype(jnp.int32), LENGTH)
    room = LENGTH - size
    least = jnp.minimum(room, 1600)
    dst = least + jnp.floor(uniform(8, 0, 1) * (jnp.minimum(room, 9000) - least).clip(0)).astype(jnp.int32)
    return jnp.stack([src, dst, size], -1)[:, None], rate


def asked(key, words, pieces, rate):
    """The query of each word as it lies in its example, its boundaries blurred."""
    src, dst = pieces[:, 0, 0], pieces[:, 0, 1]
    spans = ((words.cuts - src[:, None, None]) / rate[:, None, None] + dst[:, None, None]) / PAIR
    spans = spans + BLUR * jax.random.normal(key, spans.shape)
    low, high = dst[:, None, None] / PAIR, (dst + pieces[:, 0, 2])[:, None, None] / PAIR
    spans = jnp.clip(spans, low, high)  # what was cut off cannot be laid anywhere else
    spans = jnp.stack([spans[..., 0], jnp.maximum(spans[..., 1], spans[..., 0] + 0.5)], -1)
    return Query(words.sounds.astype(jnp.int32), spans, words.votes, words.added)
