"""One update of a network: the losses, the gradient, the averages."""

import functools
from typing import NamedTuple

import jax
import jax.numpy as jnp

import network
from device import batch_features
from sequence import forward

SURE = 0.95  # of a frame's label; the rest is spread over all classes
WRONG_LABEL = 0.03  # how often a word's dictionary sounds may not be what was said
TRUST = 0.5  # of the teachers' view of which reading was said, against the dictionary's
PRIME_RATE = 0.06  # a pretrained encoder learns this much more slowly


class Teachers(NamedTuple):
    """Networks of one shape, their weights stacked along a first axis."""

    shape_of: network.Shape
    weights: dict


def stacked(shape_of, members):
    """Teachers from a list of weights."""
    return Teachers(shape_of, {k: jnp.stack([jnp.asarray(m[k]) for m in members]) for k in members[0]})


def frame_loss(logp, label):
    """Cross entropy over the labelled frames."""
    known = (label >= 0).astype(logp.dtype)
    hit = jnp.take_along_axis(logp, jnp.maximum(label, 0)[..., None], -1)[..., 0]
    loss = -(SURE * hit + (1 - SURE) * logp.mean(-1))
    return (loss * known).sum() / known.sum()


def readings_told(w, logp, log_prior, states, kinds):
    """Probability of each reading, the right one first. Each kind of slip has the same prior, however many readings stand
    for it: else the many ways to add a sound would teach the network to hear too few."""
    of = jax.nn.one_hot(kinds, 4)
    share = jnp.log(jnp.maximum((of.sum(1, keepdims=True) * of).sum(-1), 1.0))
    return jax.nn.softmax(forward(w, logp, log_prior, states) - share, -1)


def reading_loss(told, aim):
    """How ill the readings are told, against what the teachers think was said (`aim`, or None: the dictionary's). A label
    may be wrong, so that a hopeless example stops pulling."""
    sure = jnp.log((1 - WRONG_LABEL) * told + WRONG_LABEL / told.shape[1])
    if aim is None:
        return -sure[:, 0].mean()
    return -((1 - TRUST) * sure[:, 0] + TRUST * (aim * sure).sum(-1)).mean()


@functools.lru_cache
def make_step(shape_of, whole, use_readings, teacher_shape, rate):
    """One update: batch in, weights and figures out. `teacher_shape`: learn from teachers of that shape as well; `rate`:
    the share of units dropped."""
    wants_wide = shape_of.primed or bool(teacher_shape and teacher_shape.primed)

    def taught(teachers, x, wide, log_prior, states, kinds):
        """What the teachers think of frames and of readings, averaged."""
        logp = jax.vmap(lambda w: network.scores(w, teacher_shape, x, wide=wide))(teachers)
        told = None
        if use_readings:
            told = jax.vmap(lambda w, p: readings_told(w, p[-whole:], log_prior, states, kinds))(teachers, logp).mean(0)
        return jax.lax.stop_gradient((jnp.exp(logp).mean(0), told))

    def losses(w, teachers, stream, stream_labels, log_prior, pull, pieces, speed, factor, states, kinds, key):
        k1, k2 = jax.random.split(key)
        x, wide, label = batch_features(stream, stream_labels, pieces, speed, factor, k1, wants_wide)
        logp = network.scores(w, shape_of, x, k2, rate, wide if shape_of.primed else None)
        loss = frame = frame_loss(logp, label)
        told_aim = None
        if teacher_shape is not None:
            aim, told_aim = taught(teachers, x, wide, log_prior, states, kinds)
            loss = 0.4 * frame - (aim * logp).sum(-1).mean()
        reading = 0.0
        if use_readings:
            told = readings_told(w, logp[-whole:], log_prior, states, kinds)
            reading = reading_loss(told, told_aim)
            loss = loss + pull * reading
        good = (logp.argmax(-1) == label) & (label > 0)
        return loss, (frame, reading, good.sum() / jnp.maximum((label > 0).sum(), 1))

    @functools.partial(jax.jit, donate_argnums=(0, 1, 2, 3))
    def step(w, mean, square, smooth, count, lr, teachers, *batch):
        (_, figures), grad = jax.value_and_grad(losses, has_aux=True)(w, teachers, *batch)
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
