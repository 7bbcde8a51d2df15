"""What runs on the accelerator for a batch: laying out, disturbing and labelling the audio, then the features."""

from typing import NamedTuple

import jax
import jax.numpy as jnp
import numpy as np

from common import CLASSES, FRAME, HELD, HOP, RATE
from corpus import LENGTH
import pretrained
from features import level, log_mel, mel_bank, pair

WARPS = np.round(np.arange(0.80, 1.26, 0.05), 2)
# Mouth and throat do not grow at the same rate (Fant 1966, STL-QPSR 7(4)): low and high frequencies are also moved apart or
# together. How far is a choice, no figure of his.
BENDS = (-0.06, 0.0, 0.06)
BANKS = np.stack([mel_bank(a, b) for a in WARPS for b in BENDS])
PLAIN = mel_bank(1.0)
WIDE_BANKS = np.stack([pretrained.mel_bank(a, b) for a in WARPS for b in BENDS])
WIDE_PLAIN = pretrained.mel_bank(1.0)
# What is fine in 16 bits is multiplied in them where that is quicker.
KIND = jnp.float32 if jax.default_backend() == "cpu" else jnp.bfloat16
TAIL = 4096  # samples of made reverberation
HELD_CLASSES = np.array([float(name in HELD) for name in CLASSES], np.float32)
NOWHERE = -1  # for a place outside every piece of the stream


class Trouble(NamedTuple):
    """How far examples are taken from what was recorded. `spread`: standard deviation of the filters' warp around none (None:
    every warp as often); `faint`: the share whose noise is FAINT dB or more under the voice, the others' being from 5 dB on;
    `hidden`: the share that loses some bands, twice over."""

    spread: float | None
    faint: float
    hidden: float


FAINT = 20.0
TROUBLES = {"full": Trouble(None, 0.0, 0.4), "mild": Trouble(0.09, 0.5, 0.2)}


def sources(pieces, rate, position):
    """Which sample of the stream stands at each `position` of each example, and how loud (0 outside every piece)."""
    src, dst, n = (pieces[..., i][:, :, None] for i in range(3))
    at = position[None, None, :] - dst
    inside = (at >= 0) & (at < n) & (dst >= 0)
    fade = jnp.clip(jnp.minimum(at + 1, n - at) / 48.0, 0.0, 1.0) * inside  # 3 ms, so that no cut clicks
    where = jnp.where(inside, src + at * rate[:, None, None], 0.0)
    return where.sum(1), fade.sum(1)


def lay(stream, pieces, rate, length=LENGTH):
    """The audio of each example, B x `length`, by cubic interpolation (Catmull-Rom) in the stream."""
    # Positions run past 2^24, where a 32-bit float no longer counts samples: keep the whole part apart.
    base = pieces[:, :, 0].min(1, where=pieces[:, :, 1] >= 0, initial=2**31 - 1)
    local = pieces.at[:, :, 0].add(-base[:, None])
    where, gain = sources(local.astype(jnp.float32), rate, jnp.arange(length, dtype=jnp.float32))
    whole = jnp.floor(where)
    f = where - whole
    i = whole.astype(jnp.int32) + base[:, None].astype(jnp.int32)
    a, b, c, d = (stream[jnp.clip(i + k, 0, stream.shape[0] - 1)].astype(jnp.float32) for k in (-1, 0, 1, 2))
    y = b + 0.5 * f * (c - a + f * (2 * a - 5 * b + 4 * c - d + f * (3 * (b - c) + d - a)))
    return y * gain / 32768.0


def places(pieces, rate, every, first, length=LENGTH):
    """Where in the stream samples first, first + every, ... of each example come from, or NOWHERE."""
    base = pieces[:, :, 0].min(1, where=pieces[:, :, 1] >= 0, initial=2**31 - 1)
    local = pieces.at[:, :, 0].add(-base[:, None]).astype(jnp.float32)
    where, gain = sources(local, rate, first + every * jnp.arange(length // every, dtype=jnp.float32))
    return jnp.where(gain > 0, where.astype(jnp.int32) + base[:, None].astype(jnp.int32), NOWHERE)


def labels(stream_labels, place):
    """The class at each place: silence outside, -1 where it is unknown."""
    found = stream_labels[(place // HOP).clip(0, stream_labels.shape[0] - 1)].astype(jnp.int32)
    return jnp.where(place == NOWHERE, 0, found)


def disturb(x, stream, key, faint):
    """Another room, another microphone, noise, hum, and now and then someone talking far off. `faint`: as in Trouble."""
    batch, n = x.shape
    ks = jax.random.split(key, 21)
    u = lambda k, lo=0.0, hi=1.0: jax.random.uniform(ks[k], (batch, 1), minval=lo, maxval=hi)
    x = x / (jnp.abs(x).max(1, keepdims=True) + 1e-6)
    size = n + TAIL
    spectrum = jnp.fft.rfft(x, size)
    f = jnp.linspace(0, 1, spectrum.shape[1])[None]
    gain = 10 ** (u(0, -12, 12) * (f - 0.3) / 20)
    gain = gain * jax.nn.sigmoid((jnp.where(u(1) < 0.3, u(2, 0.42, 0.92), 1.2) - f) * 60)
    gain = gain * jax.nn.sigmoid((f - jnp.where(u(3) < 0.3, u(4, 0.012, 0.042), -1.0)) * 400)
    time = jnp.arange(TAIL)[None] / RATE
    echo = jax.random.normal(ks[5], (batch, TAIL)) * jnp.exp(-6.9 * time / u(6, 0.05, 0.35)) * u(7, 0, 0.04)
    echo = jnp.where(u(8) < 0.5, echo, 0.0).at[:, 0].set(1.0)
    y = jnp.fft.irfft(spectrum * gain * jnp.fft.rfft(echo, size), size)[:, :n]
    loud = y.std(1, keepdims=True) + 1e-6
    noise = jnp.fft.rfft(jax.random.normal(ks[9], (batch, n)))
    colour = jnp.linspace(1e-3, 1, noise.shape[1])[None] ** (-u(10))
    noise = jnp.fft.irfft(noise * colour, n)
    noise = noise / noise.std(1, keepdims=True) * 10 ** (-u(11, jnp.where(u(20) < faint, FAINT, 5.0), 50.0) / 20)
    start = jax.random.randint(ks[12], (batch, 1), 0, stream.shape[0] - n)
    other = stream[start + jnp.arange(n)[None]].astype(jnp.float32)
    other = other / (other.std(1, keepdims=True) + 1.0) * 10 ** (-u(13, 18, 38) / 20) * (u(14) < 0.12)
    hum = jnp.sin(2 * jnp.pi * jnp.where(u(15) < 0.5, 50, 60) * jnp.arange(n)[None] / RATE) * (u(16) < 0.1) * u(17, 0, 0.2)
    y = y + loud * (noise + other + hum)
    # Clipping, as when a child leans into the microphone.
    top = jnp.abs(y).max(1, keepdims=True) * jnp.where(u(18) < 0.06, u(19, 0.25, 0.8), 1.0)
    return jnp.clip(y, -top, top)


def lengthen(mel, wide, fine, place, factor, key):
    """Holds the sounds that can be held `factor` times as long, in the spectra (5 ms) and the wide ones (10 ms, or None);
    the places of the spectra follow. `fine`: the class of each spectrum."""
    slow = 1.0 + (factor[:, None] - 1.0) * jnp.asarray(HELD_CLASSES)[jnp.maximum(fine, 0)]
    ends = jnp.cumsum(slow, 1)
    want = jnp.arange(fine.shape[1]) + 0.5
    at = jax.vmap(lambda e: jnp.searchsorted(e, want))(ends).clip(0, fine.shape[1] - 1)
    held = (factor > 1.0)[:, None, None]
    out = jnp.take_along_axis(mel, at[..., None], 1)
    out = out + 0.15 * jax.random.normal(key, out.shape) * held
    if wide is not None:
        per = fine.shape[1] // wide.shape[1]
        wide = jnp.take_along_axis(wide, at[:, ::per, None] // per, 1)
        wide = wide + 0.02 * jax.random.normal(key, wide.shape) * held
    return out, wide, jnp.take_along_axis(place, at, 1)


def hide_bands(mel, key, most, share):
    """Takes up to `most` neighbouring bands away, in a `share` of the examples."""
    ks = jax.random.split(key, 3)
    size = jax.random.randint(ks[0], (mel.shape[0], 1, 1), 2, most + 1)
    low = jax.random.randint(ks[1], (mel.shape[0], 1, 1), 0, mel.shape[-1] - most)
    band = jnp.arange(mel.shape[-1])[None, None]
    hide = (band >= low) & (band < low + size) & (jax.random.uniform(ks[2], (mel.shape[0], 1, 1)) < share)
    return jnp.where(hide, mel.mean((1, 2), keepdims=True), mel)


def warps(key, n, spread):
    """Which of BANKS each of `n` examples is heard through; `spread`: as in Trouble."""
    if spread is None:
        return jax.random.randint(key, (n,), 0, len(BANKS))
    share = np.repeat(np.exp(-0.5 * ((WARPS - 1.0) / spread) ** 2), len(BENDS))
    return jax.random.choice(key, len(BANKS), (n,), p=jnp.asarray(share / share.sum()))


def batch_features(stream, stream_labels, groups, factor, key, wants_wide, trouble):
    """`groups`, `factor`: as draw.draw gives them. Returns features B x T x 2 MELS, a pretrained encoder's spectra (or None),
    and for each frame its class (-1 where unknown) and its place in the stream."""
    ks = jax.random.split(key, 6)
    x = disturb(jnp.concatenate([lay(stream, pieces, rate) for pieces, rate in groups]), stream, ks[0], trouble.faint)
    warp = warps(ks[1], x.shape[0], trouble.spread)
    mel = log_mel(x, jnp.asarray(BANKS)[warp])
    wide = pretrained.spectra(x, jnp.asarray(WIDE_BANKS)[warp]) if wants_wide else None
    # A place each 5 ms, at the end of the spectrum, so that every second one lies at the middle of a frame.
    place = jnp.concatenate([places(pieces, rate, HOP, HOP) for pieces, rate in groups])
    mel, wide, place = lengthen(mel, wide, labels(stream_labels, place), place, factor, ks[2])
    wide = hide_bands(wide, ks[3], 10, trouble.hidden) if wants_wide else None
    place = place[:, :: FRAME // HOP]
    mel = level(mel)
    for k in ks[4:6]:
        mel = hide_bands(mel, k, 8, trouble.hidden)
    return pair(mel), wide, labels(stream_labels, place), place


def heard(x, wants_wide, banks=(PLAIN, WIDE_PLAIN)):
    """Features of audio as it is, through these filters: as batch_features, without labels."""
    wide = pretrained.spectra(x, jnp.asarray(banks[1])) if wants_wide else None
    return pair(level(log_mel(x, jnp.asarray(banks[0])))), wide
