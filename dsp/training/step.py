"""One update of a network: the losses, the gradient, the averages."""

import functools
from typing import NamedTuple

import jax
import jax.numpy as jnp

from jax.sharding import Mesh, NamedSharding, PartitionSpec

import draw
import network
from device import KIND, batch_features
from layers import times
from sequence import forward
from taught import frames_at, hints_at

SURE = 0.95  # of a frame's label; the rest is spread over all classes
WRONG_LABEL = 0.03  # how often a word's dictionary sounds may not be what was said
TRUST = 0.5  # of the teachers' view of which reading was said, against the dictionary's
HINTS = 1.0  # the weight of guessing what a pretrained encoder hears
PRIME_RATE = 0.06  # a pretrained encoder learns this much more slowly
CARDS = Mesh(jax.devices(), ("cards",))  # each draws a batch of its own; a step follows the mean of what they find
ON_EACH = NamedSharding(CARDS, PartitionSpec())  # the same on every card


def frame_loss(logp, label):
    """Cross entropy over the labelled frames."""
    known = (label >= 0).astype(logp.dtype)
    hit = jnp.take_along_axis(logp, jnp.maximum(label, 0)[..., None], -1)[..., 0]
    loss = -(SURE * hit + (1 - SURE) * logp.mean(-1))
    return (loss * known).sum() / known.sum()


def readings_told(totals, kinds):
    """Probability of each reading, the right one first, from forward scores. Each kind of slip has the same prior, however
    many readings stand for it: else the many ways to add a sound would teach the network to hear too few."""
    of = jax.nn.one_hot(kinds, 4)
    share = jnp.log(jnp.maximum((of.sum(-2, keepdims=True) * of).sum(-1), 1.0))
    return jax.nn.softmax(totals - share, -1)


def reading_loss(told, aim):
    """How ill the readings are told, against what the teachers think was said (`aim`, or None: the dictionary's). A label
    may be wrong, so that a hopeless example stops pulling."""
    sure = jnp.log((1 - WRONG_LABEL) * told + WRONG_LABEL / told.shape[1])
    if aim is None:
        return -sure[:, 0].mean()
    return -((1 - TRUST) * sure[:, 0] + TRUST * (aim * sure).sum(-1)).mean()


def hint_loss(w, inside, hints, known):
    """How far what a pretrained encoder hears is from what is guessed of it: mean square where it is known."""
    guess = times(inside, w["hint.weight"], KIND) + w["hint.bias"]
    return (jnp.square(guess - hints).mean(-1) * known).sum() / jnp.maximum(known.sum(), 1)


class Stream(NamedTuple):
    """What a batch is made of, all on the accelerator. `audio`: 16-bit samples; `labels`: a class each 5 ms; `tables`,
    `kinds`: the readings of words as states, and what each is (0 right, 1 fewer, 2 changed, 3 more); `frames`, `totals`, `hints`:
    what teachers thought (taught.py), or None."""

    audio: jax.Array
    labels: jax.Array
    source: draw.Source
    tables: jax.Array
    kinds: jax.Array
    log_prior: jax.Array
    frames: jax.Array | None = None
    totals: jax.Array | None = None
    hints: jax.Array | None = None


def make_step(shape_of, mix, readings, rate, trouble):
    """One update: (weights, running means, the stream, a key) in, the same and figures out. `mix`: what the batch of each
    card holds (draw.Mix); `readings`: how many a word is told from (0: frames alone); `rate`: the share of units dropped;
    `trouble`: how far what is heard is taken from what was recorded (device.Trouble)."""

    def losses(w, stream, pull, key):
        k1, k2, k3, k4 = jax.random.split(key, 4)
        groups, factor, told = draw.draw(k1, stream.source, mix)
        x, wide, label, place = batch_features(stream.audio, stream.labels, groups, factor, k2, shape_of.primed, trouble)
        logp, inside = network.hear(w, shape_of, x, k3, rate, wide, KIND)
        loss = frame = frame_loss(logp, label)
        if stream.frames is not None:
            loss = 0.4 * frame - (frames_at(stream.frames, place) * logp).sum(-1).mean()
        if stream.hints is not None:
            loss = loss + HINTS * hint_loss(w, inside, *hints_at(stream.hints, place))
        reading = 0.0
        if readings:
            table = stream.source.words.table[told]
            some = jnp.append(0, 1 + jax.random.permutation(k4, stream.tables.shape[1] - 1)[: readings - 1])
            states, kinds = stream.tables[table][:, some], stream.kinds[table][:, some]
            aim = None
            if stream.totals is not None:
                aim = readings_told(stream.totals[:, told][:, :, some], kinds).mean(0)
            found = forward(w, logp[-mix.told :], stream.log_prior, states)
            reading = reading_loss(readings_told(found, kinds), aim)
            loss = loss + pull * reading
        good = (logp.argmax(-1) == label) & (label > 0)
        return loss, (frame, reading, good.sum() / jnp.maximum((label > 0).sum(), 1))

    @functools.partial(jax.jit, donate_argnums=(0, 1, 2, 3))
    @functools.partial(jax.shard_map, mesh=CARDS, in_specs=ON_EACH.spec, out_specs=ON_EACH.spec, check_vma=False)
    def step(w, mean, square, smooth, count, lr, stream, pull, key):
        key = jax.random.fold_in(jax.random.fold_in(key, count), jax.lax.axis_index("cards"))
        (_, figures), grad = jax.value_and_grad(losses, has_aux=True)(w, stream, pull, key)
        grad, figures = jax.lax.pmean((grad, figures), "cards")
        size = jnp.sqrt(sum((g * g).sum() for g in jax.tree.leaves(grad)))
        grad = jax.tree.map(lambda g: jnp.nan_to_num(g) * jnp.minimum(1.0, 3.0 / (size + 1e-9)), grad)
        mean = jax.tree.map(lambda m, g: 0.9 * m + 0.1 * g, mean, grad)
        square = jax.tree.map(lambda s, g: 0.98 * s + 0.02 * g * g, square, grad)
        fix1, fix2 = 1 - 0.9**count, 1 - 0.98**count

        def move(name, v):
            decay = 0.02 if v.ndim >= 2 and "bias" not in name else 0.0
            fast = 5.0 if name.startswith("path.") else PRIME_RATE if name.startswith("prime.") else 1.0
            return v - lr * fast * ((mean[name] / fix1) / (jnp.sqrt(square[name] / fix2) + 1e-8) + decay * v)

        w = {name: move(name, v) for name, v in w.items()}
        keep = jnp.minimum(0.999, (1 + count) / (10 + count))
        smooth = jax.tree.map(lambda a, b: keep * a + (1 - keep) * b, smooth, w)
        return w, mean, square, smooth, figures

    return step
