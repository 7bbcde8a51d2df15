"""The sixth listener: for each sound of the word that was asked for, how likely a trained listener calls it right.

It hears log mel spectra in pairs of frames (20 ms) and is told which sound is expected where. What it finds is pooled over
each sound, weighed with the sounds beside it, and becomes shares of listeners. ../src/ear/listener.rs is its twin."""

from typing import NamedTuple

import jax
import jax.numpy as jnp
import numpy as np

import pretrained
from common import CLASSES, MELS
from layers import times
from network import TAPS, bend, block

VOTES = 3  # right, accented, wrong or left out
OUTPUTS = VOTES + 2  # and a sound added before it, after it
AROUND = 2.0  # pairs of frames before and after a sound that are looked at for it
GLANCES = 2  # ways of choosing among the frames of a sound


class Shape(NamedTuple):
    """Sizes: channels, channels inside a block, dilations of the blocks that only hear and of those that know what is expected,
    channels of a sound. `primed`: hears through the pretrained encoder in the place of the first blocks."""

    width: int
    hidden: int
    hearing: tuple
    knowing: tuple
    sound: int
    primed: bool = False


SHIPPED = Shape(208, 416, (1, 1, 2, 2, 4), (1, 2), 128)
TEACHER = Shape(256, 512, (), (1, 2), 160, True)
TINY = Shape(24, 32, (1,), (1,), 16)


def initial(of, seed):
    """Fresh weights as a flat dict of arrays, named as they are stored."""
    rng = np.random.default_rng(seed)
    dense = lambda *shape: (rng.standard_normal(shape) / np.sqrt(np.prod(shape[:-1]))).astype(np.float32)
    zeros = lambda *shape: np.zeros(shape, np.float32)
    c, d = of.width, of.sound
    w = {}
    if of.primed:
        w["stem.weight"], w["stem.bias"] = dense(pretrained.WIDTH, c), zeros(c)
    else:
        w["stem.weight"], w["stem.bias"] = dense(3, 4 * MELS, c), zeros(c)
        w["hint.weight"], w["hint.bias"] = dense(c, pretrained.WIDTH), zeros(pretrained.WIDTH)  # only for learning
    w["frame.weight"], w["frame.bias"] = dense(c, len(CLASSES)), zeros(len(CLASSES))  # only for learning
    for i in range(len(of.hearing) + len(of.knowing)):
        name = f"block{i}"
        w[f"{name}.depth"] = dense(TAPS, 1) * rng.standard_normal((TAPS, c)).astype(np.float32)
        w[f"{name}.depth_bias"] = zeros(c)
        w[f"{name}.gain"], w[f"{name}.offset"] = np.ones(c, np.float32), zeros(c)
        w[f"{name}.up"], w[f"{name}.up_bias"] = dense(c, of.hidden), zeros(of.hidden)
        w[f"{name}.down"], w[f"{name}.down_bias"] = dense(of.hidden, c) * 0.5, zeros(c)
    w["asked"] = dense(len(CLASSES), 1) * rng.standard_normal((len(CLASSES), c)).astype(np.float32) * 0.5
    w["glance"] = dense(c, GLANCES)
    w["pool.weight"], w["pool.bias"] = dense((1 + GLANCES) * c, d), zeros(d)
    w["pool.sound"] = 0.3 * rng.standard_normal((len(CLASSES), d)).astype(np.float32)
    w["pool.length"] = zeros(1, d)
    for i in range(2):
        w[f"beside{i}.weight"], w[f"beside{i}.bias"] = dense(3, d, d), zeros(d)
    w["mark.weight"], w["mark.bias"] = dense(d, OUTPUTS) * 0.1, np.array([2.0, -1.0, -1.0, -3.0, -3.0], np.float32)
    return {k: jnp.asarray(v) for k, v in w.items()}


def dropper(key, rate):
    """What drops units of whole words at a `rate`; nothing without a key."""
    keys = iter(jax.random.split(key, 64)) if key is not None else None

    def drop(y):
        if keys is None:
            return y
        keep = jax.random.bernoulli(next(keys), 1 - rate, (y.shape[0], 1, y.shape[2]))
        return (y * keep / (1 - rate)).astype(y.dtype)

    return drop


def in_twos(x):
    """B x T x 2 MELS in frames to B x T/2 x 4 MELS in pairs of them; a frame too few is zeros."""
    b, t, m = x.shape
    return jnp.pad(x, ((0, 0), (0, t % 2), (0, 0))).reshape(b, -1, 2 * m)


def hearing(w, of, x, drop, kind=jnp.float32):
    """What is heard, whatever is expected: x is B x T x 4 MELS (or an encoder's numbers); returns B x T x width."""
    if of.primed:
        return bend(times(x, w["stem.weight"], kind) + w["stem.bias"])
    t = x.shape[1]
    padded = jnp.pad(x, ((0, 0), (1, 1), (0, 0)))
    x = bend(sum(times(padded[:, k : k + t], w["stem.weight"][k], kind) for k in range(3)) + w["stem.bias"])
    for i, dilation in enumerate(of.hearing):
        x = block(w, f"block{i}", x, dilation, drop, kind)
    return x


def covered(spans, t):
    """How much of each of `t` pairs of frames lies in each span (B x N x 2, in pairs): B x N x T, 0 to 1."""
    at = jnp.arange(t, dtype=jnp.float32)
    return (jnp.minimum(at + 1, spans[..., 1:]) - jnp.maximum(at, spans[..., :1])).clip(0.0, 1.0)


def marks(w, of, heard, sounds, spans, drop, kind=jnp.float32):
    """Logits of the votes and of added sounds, B x N x OUTPUTS. `sounds`: B x N classes, 0 past the last; `spans`: where each
    lies, in pairs of frames."""
    there = (sounds > 0)[..., None].astype(jnp.float32)
    t = heard.shape[1]
    share = covered(spans, t) * there
    named = jax.nn.one_hot(sounds, len(CLASSES))
    expected = jnp.einsum("bnt,bnk->btk", share, named)
    expected = expected.at[..., 0].add(1.0 - share.sum(1).clip(0.0, 1.0))
    y = heard + expected @ w["asked"]
    for i, dilation in enumerate(of.knowing, len(of.hearing)):
        y = block(w, f"block{i}", y, dilation, drop, kind)
    mean = jnp.einsum("bnt,btc->bnc", share / (share.sum(-1, keepdims=True) + 1e-3), y)
    near = covered(spans + jnp.array([-AROUND, AROUND]), t) > 0
    pooled = [mean]
    for g in range(GLANCES):
        heat = jnp.where(near, (y @ w["glance"][:, g])[:, None], -1e4)
        pooled.append(jnp.einsum("bnt,btc->bnc", jax.nn.softmax(heat, -1), y))
    length = jnp.log((spans[..., 1:] - spans[..., :1]).clip(0.5))
    z = times(drop(jnp.concatenate(pooled, -1)), w["pool.weight"], kind) + w["pool.bias"]
    z = bend(z + named @ w["pool.sound"] + length * w["pool.length"]) * there
    for i in range(2):
        n = z.shape[1]
        padded = jnp.pad(z, ((0, 0), (1, 1), (0, 0)))
        beside = sum(times(padded[:, k : k + n], w[f"beside{i}.weight"][k], kind) for k in range(3)) + w[f"beside{i}.bias"]
        z = (z + bend(drop(beside))) * there
    return z @ w["mark.weight"] + w["mark.bias"]


def logs(logits):
    """Natural-log shares of the votes (B x N x VOTES), and logits of a sound added before and after."""
    return jax.nn.log_softmax(logits[..., :VOTES]), logits[..., VOTES], logits[..., VOTES + 1]
