"""Samples and labels: resampling with labels rescaled, edges set to where the sound is, silence before and after."""
from fractions import Fraction

import numpy as np
from scipy.signal import resample_poly

from phones import STOPS, VOWELS

RATE = 16000
QUIET_DB = -45.0    # below the item's loudest 5 ms: not sound any more
STOP_LEAD = 0.015   # a first stop is labelled from this long before its burst: its closure cannot be heard
REACH = 0.06        # a last sound's label grows at most this far to where the sound really ends
STOPPED = STOPS | {"CH", "JH"}


def resample(x, rate, faster):
    """To 16 kHz while played `faster` times as fast (pitch and formants rise together); gives samples and the label scale."""
    ratio = Fraction(RATE / (rate * faster)).limit_denominator(300)
    return resample_poly(x, ratio.numerator, ratio.denominator), float(ratio) * rate


def closures(x, rate, segs, floor=1e-3):
    """Gives the digital silence just before a stop to that stop (espeak-ng's events mark the burst and leave it outside)."""
    out = list(segs)
    for i in range(1, len(out)):
        start, end, sound = out[i]
        before, _, left = out[i - 1]
        if sound not in STOPPED or left == "SIL":
            continue
        lo = max(0.0, start - 0.25)
        loud = np.flatnonzero(np.abs(x[int(lo * rate):max(int(start * rate) - 1, 0)]) > floor)
        if not len(loud):
            continue
        new = lo + int((loud[-1] + 1)) / rate
        if start - new > 0.004:
            out[i - 1], out[i] = (min(before, new), new, left), (new, end, sound)
            if new < before and i > 1:  # nothing was heard in the sound before: it was said earlier (L after a vowel)
                out[i - 2] = (out[i - 2][0], max(out[i - 2][0], new), out[i - 2][2])
    return out


def sounding(x):
    """First and last 2.5 ms step (in samples) where the sound is within QUIET_DB of its loudest."""
    step = RATE // 400
    power = np.square(x[:len(x) // step * step]).reshape(-1, step).mean(1)
    power = np.convolve(power, [0.5, 0.5], "same")
    loud = np.flatnonzero(power > power.max() * 10 ** (QUIET_DB / 10))
    return loud[0] * step, (loud[-1] + 1) * step


def finish(x, segs, rng):
    """Sets the outer edges to the sound itself, gives silence on both sides, int16 samples and segments [(start, end, sound)].

    `x`: 16 kHz; `segs` in samples of it (floats). Returns None where nothing is left.
    """
    speech = [s for s in segs if s[2] != "SIL"]
    if not speech or not np.abs(x).max() > 1e-3:
        return None
    first, last = sounding(x)
    inner = [list(s) for s in segs[segs.index(speech[0]):len(segs) - segs[::-1].index(speech[-1])]]
    lead = STOP_LEAD * RATE if inner[0][2] in STOPPED else 0
    inner[0][0] = max(inner[0][0], first - lead)
    inner[-1][1] = min(max(inner[-1][1], last), inner[-1][1] + REACH * RATE)
    inner[-1][1] = min(inner[-1][1], last + 0.01 * RATE)
    if any(b - a < 0.008 * RATE for a, b, _ in inner):
        return None
    a, b = int(inner[0][0]), int(np.ceil(inner[-1][1]))
    before, after = int(rng.uniform(0.04, 0.12) * RATE), int(rng.uniform(0.06, 0.16) * RATE)
    y = np.zeros(before + b - a + after, np.float32)
    lo, hi = max(0, a - before), min(len(x), b + after)
    y[lo - (a - before):hi - (a - before)] = x[lo:hi]
    fade = np.linspace(0, 1, 160, dtype=np.float32)
    y[:160] *= fade
    y[-160:] *= fade[::-1]
    y *= rng.uniform(0.35, 0.9) / np.abs(y).max()
    shift = before - a
    cuts = [0] + [round(s[0] + shift) for s in inner] + [round(inner[-1][1] + shift)]
    names = ["SIL"] + [s[2] for s in inner] + ["SIL"]
    return np.round(y * 32767).astype(np.int16), [(p, q, n) for p, q, n in zip(cuts, cuts[1:] + [len(y)], names)]


def split_vowel_l(x, rate, segs):
    """Gives espeak-ng's L its time: it is said inside the vowel before it, and its event comes last.

    Such a pair is cut at its spectral break. What is left without any length was not said (R before L, say) and goes.
    """
    out = list(segs)
    for i in range(1, len(out)):
        (start, _, vowel), (la, end, name) = out[i - 1], out[i]
        if vowel in VOWELS and name == "L" and end - la < 0.06:
            cut = spectral_break(x[int(start * rate):int(end * rate)], rate, 0.35 * (end - start), 0.75 * (end - start))
            if cut is not None:
                out[i - 1], out[i] = (start, start + cut, vowel), (start + cut, end, name)
    return [s for s in out if s[1] > s[0]]


def spectral_break(x, rate, low, high):
    """The time (s) between `low` and `high` (s) that best cuts a stretch in two parts of even log spectrum; or None."""
    hop, size = int(0.005 * rate), int(0.020 * rate)
    if len(x) < 3 * size:
        return None
    frames = np.lib.stride_tricks.sliding_window_view(x, size)[::hop] * np.hanning(size)
    power = np.abs(np.fft.rfft(frames, 1024))[:, :int(3500 * 1024 / rate)] ** 2
    spec = np.log(np.add.reduceat(power, np.arange(0, power.shape[1], 6), axis=1) + 1e-6)
    spec -= spec.mean(1, keepdims=True)
    first, last = [round((t * rate - size / 2) / hop) for t in (low, high)]
    cuts = range(max(1, first), min(len(spec) - 1, last) + 1)
    total = [np.square(spec[:k] - spec[:k].mean(0)).sum() + np.square(spec[k:] - spec[k:].mean(0)).sum() for k in cuts]
    return None if not total else ((cuts[int(np.argmin(total))] - 0.5) * hop + size / 2) / rate
