"""The network: convolutions for what a sound looks like, one recurrent layer that hears the whole word.

Its middle may run on pairs of frames (20 ms): twice the weights for the same work. A teacher may hear through a pretrained
encoder besides (pretrained.py)."""

import functools
from typing import NamedTuple

import jax
import jax.numpy as jnp
import numpy as np

import pretrained
from common import CLASSES, MELS
from layers import normed, times


class Shape(NamedTuple):
    """Sizes of a network: channels, channels inside a block, dilations of the blocks before and after the recurrent
    layer, and its size each way. With `slow`, the recurrent layer and blocks of these dilations before it work on pairs
    of frames, in channels of their own. `primed`: a pretrained encoder is heard too."""

    width: int
    hidden: int
    before: tuple
    after: tuple
    gru: int
    slow: tuple = ()
    slow_width: int = 0
    slow_hidden: int = 0
    primed: bool = False


STUDENT = Shape(width=216, hidden=432, before=(1, 1, 2, 2, 4), after=(1, 2), gru=168)
PAIRED = Shape(width=160, hidden=320, before=(1, 1), after=(1, 2), gru=192, slow=(1, 1, 2, 2, 4, 4), slow_width=304, slow_hidden=640)
TEACHER = Shape(width=320, hidden=960, before=(1, 1, 2, 2, 4, 4), after=(1, 2, 1), gru=256, primed=True)
TINY = Shape(width=32, hidden=48, before=(1, 2), after=(1,), gru=24, slow=(1,), slow_width=40, slow_hidden=48)  # to test the recipe
TAPS = 7


def initial(shape_of, seed):
    """Fresh weights as a flat dict of arrays, named as they are stored."""
    rng = np.random.default_rng(seed)
    dense = lambda *shape: (rng.standard_normal(shape) / np.sqrt(np.prod(shape[:-1]))).astype(np.float32)
    zeros = lambda *shape: np.zeros(shape, np.float32)
    c, h, g = shape_of.width, shape_of.hidden, shape_of.gru
    w = {"stem.weight": dense(3, 2 * MELS, c), "stem.bias": zeros(c)}

    def add_block(name, c, h):
        w[f"{name}.depth"] = dense(TAPS, 1) * rng.standard_normal((TAPS, c)).astype(np.float32)
        w[f"{name}.depth_bias"] = zeros(c)
        w[f"{name}.gain"], w[f"{name}.offset"] = np.ones(c, np.float32), zeros(c)
        w[f"{name}.up"], w[f"{name}.up_bias"] = dense(c, h), zeros(h)
        w[f"{name}.down"], w[f"{name}.down_bias"] = dense(h, c) * 0.5, zeros(c)

    for i in range(len(shape_of.before) + len(shape_of.after)):
        add_block(f"block{i}", c, h)
    for i in range(len(shape_of.slow)):
        add_block(f"slow{i}", shape_of.slow_width, shape_of.slow_hidden)
    if shape_of.primed:
        w["primed.weight"], w["primed.bias"] = dense(pretrained.WIDTH, 2 * c), zeros(2 * c)
    if shape_of.slow:
        c = shape_of.slow_width
        w["slow.in"], w["slow.in_bias"] = dense(2 * shape_of.width, c), zeros(c)
        w["slow.out"], w["slow.out_bias"] = dense(c, 2 * shape_of.width), zeros(2 * shape_of.width)
        # What a pretrained encoder would hear is guessed from the slow middle while learning; not shipped.
        w["hint.weight"], w["hint.bias"] = dense(c, pretrained.WIDTH), zeros(pretrained.WIDTH)
    w["gru.input"] = np.stack([dense(c, 3 * g) for _ in range(2)])
    w["gru.input_bias"] = zeros(2, 3 * g)
    w["gru.state"] = np.stack([dense(g, 3 * g) for _ in range(2)])
    w["gru.state_bias"] = zeros(2, 3 * g)
    w["join.weight"], w["join.bias"] = dense(2 * g, c), zeros(c)
    c = shape_of.width
    w["out.gain"], w["out.offset"] = np.ones(c, np.float32), zeros(c)
    w["out.weight"], w["out.bias"] = dense(c, len(CLASSES)), zeros(len(CLASSES))
    # How a hypothesis is scored (sequence.py): staying in a sound, starting one, and the scale of the evidence.
    w["path.stay"] = np.full(len(CLASSES), 1.5, np.float32)
    w["path.enter"] = zeros(len(CLASSES))
    w["path.scale"] = np.full(1, -0.7, np.float32)
    return {k: jnp.asarray(v) for k, v in w.items()}


def bend(x):
    """Hard swish: smooth enough to learn with, and no exponential to take on a child's old laptop."""
    return x * jnp.clip(x + 3.0, 0.0, 6.0) / 6.0


def block(w, name, x, dilation, drop, kind):
    """One residual block over time."""
    reach = (TAPS // 2) * dilation
    t = x.shape[1]
    padded = jnp.pad(x, ((0, 0), (reach, reach), (0, 0)))
    y = sum(padded[:, k * dilation : k * dilation + t] * w[f"{name}.depth"][k] for k in range(TAPS))
    y = normed(y + w[f"{name}.depth_bias"], w[f"{name}.gain"], w[f"{name}.offset"])
    y = (times(y, w[f"{name}.up"], kind) + w[f"{name}.up_bias"]).astype(kind)
    return x + times(drop(bend(y)), w[f"{name}.down"], kind) + w[f"{name}.down_bias"]


def recurrent(w, x, kind):
    """Gated recurrent units (Cho et al. 2014, arXiv 1406.1078; reset after the product) both ways over time."""
    product = functools.partial(jnp.einsum, preferred_element_type=jnp.float32)
    feed = product("btc,dcg->tdbg", x.astype(kind), w["gru.input"].astype(kind)) + w["gru.input_bias"][:, None]
    feed = jnp.stack([feed[:, 0], feed[::-1, 1]], 1)
    weight = w["gru.state"].astype(kind)

    def step(h, f):
        s = product("dbh,dhg->dbg", h.astype(kind), weight) + w["gru.state_bias"][:, None]
        fr, fz, fn = jnp.split(f, 3, -1)
        sr, sz, sn = jnp.split(s, 3, -1)
        r, z = jax.nn.sigmoid(fr + sr), jax.nn.sigmoid(fz + sz)
        h = (1 - z) * jnp.tanh(fn + r * sn) + z * h
        return h, h

    start = jnp.zeros((2, x.shape[0], w["gru.state"].shape[1]), x.dtype)
    _, out = jax.lax.scan(step, start, feed, unroll=4)
    return jnp.concatenate([out[:, 0], out[::-1, 1]], -1).transpose(1, 0, 2)


def whole_word(w, x, drop, kind):
    """The recurrent layer, added to what it hears."""
    return x + times(drop(recurrent(w, x, kind)), w["join.weight"], kind) + w["join.bias"]


def in_pairs(w, shape_of, x, drop, kind):
    """Blocks and the recurrent layer on pairs of frames: the frames with what they find added, and what they find. A frame too
    few is zeros."""
    b, t, c = x.shape
    pairs = jnp.pad(x, ((0, 0), (0, t % 2), (0, 0))).reshape(b, -1, 2 * c)
    y = times(pairs, w["slow.in"], kind) + w["slow.in_bias"]
    for i, dilation in enumerate(shape_of.slow):
        y = block(w, f"slow{i}", y, dilation, drop, kind)
    y = whole_word(w, y, drop, kind)
    back = times(y, w["slow.out"], kind) + w["slow.out_bias"]
    return x + back.reshape(b, -1, c)[:, :t], y


def scores(*what, **how):
    """Natural-log probabilities, B x T x classes; called as `hear`."""
    return hear(*what, **how)[0]


def hear(w, shape_of, x, key=None, rate=0.15, wide=None, kind=jnp.float32):
    """x: B x T x 2 MELS; wide: B x T x pretrained.BANDS, T even, for a primed network. Returns natural-log probabilities
    (B x T x classes) and what goes on inside in pairs of frames: a primed network's encoding, or what a network with a slow
    middle finds there (B x T/2 x channels, or None). Drops units when `key` is given; multiplies numbers of `kind`."""
    inside = None
    keys = iter(jax.random.split(key, 64)) if key is not None else None

    def drop(y):
        if keys is None:
            return y
        keep = jax.random.bernoulli(next(keys), 1 - rate, (y.shape[0], 1, y.shape[2]))  # one mask for the whole word
        return (y * keep / (1 - rate)).astype(y.dtype)

    t = x.shape[1]
    padded = jnp.pad(x, ((0, 0), (1, 1), (0, 0)))
    x = bend(sum(padded[:, k : k + t] @ w["stem.weight"][k] for k in range(3)) + w["stem.bias"])
    if shape_of.primed:
        inside = pretrained.encode(w, wide, drop, kind)
        x = x + (times(inside, w["primed.weight"], kind) + w["primed.bias"]).reshape(x.shape)
    for i, dilation in enumerate(shape_of.before):
        x = block(w, f"block{i}", x, dilation, drop, kind)
    if shape_of.slow:
        x, inside = in_pairs(w, shape_of, x, drop, kind)
    else:
        x = whole_word(w, x, drop, kind)
    for i, dilation in enumerate(shape_of.after, len(shape_of.before)):
        x = block(w, f"block{i}", x, dilation, drop, kind)
    x = normed(x, w["out.gain"], w["out.offset"])
    return jax.nn.log_softmax(drop(x) @ w["out.weight"] + w["out.bias"]), inside
