"""Measures where sounds really change against the labels of a pack: `python3 check.py STEM` (STEM.ogg and STEM.npz).

Landmarks, each searched within 80 ms of its label, found from energy alone: a hiss beginning or ending at a vowel
(energy over 3 kHz against energy under 1.5 kHz), the burst of P T K (steepest rise over 2 kHz) against the stop's end, and
voicing starting after P T K (energy under 1 kHz), and the mouth opening or closing between M N NG and a vowel (energy from
1.2 to 3.5 kHz halfway, in dB, between the two sounds' medians).
"""
import sys
from collections import defaultdict

import numpy as np
import soundfile as sf

from phones import ARPABET, VOWELS

NASALS = {"M", "N", "NG"}
RATE, HOP, SIZE = 16000, 32, 96  # 2 ms steps, 6 ms windows


def bands(x):
    """(under 1 kHz, under 1.5 kHz, over 2 kHz, over 3 kHz, 1.2 to 3.5 kHz) in dB, each at times (i * HOP + SIZE / 2) samples."""
    frames = np.lib.stride_tricks.sliding_window_view(x, SIZE)[::HOP] * np.hanning(SIZE).astype(np.float32)
    power = np.abs(np.fft.rfft(frames, 160)) ** 2  # 100 Hz a bin
    return [10 * np.log10(power[:, a:b].sum(1) + 1e-7) for a, b in ((1, 10), (1, 15), (20, 78), (30, 78), (12, 35))]


def crossing(d, centre):
    """The sign change of d (already turned so that it rises) nearest to `centre` steps, in samples; None where none is."""
    up = np.flatnonzero((d[:-1] < 0) & (d[1:] >= 0))
    return None if not len(up) else (up[np.argmin(np.abs(up - centre))] + 0.5) * HOP + SIZE / 2


def landmarks(x, segs):
    """Yields (kind, found minus label, ms) for the segments (start, end, name) of one item."""
    low, mid, high, hiss, mouth = bands(x)
    for (a0, a1, a), (b0, b1, b) in zip(segs, segs[1:]):
        lo, hi = max(0, int((a1 - 1280 - SIZE / 2) / HOP)), int((a1 + 1280 - SIZE / 2) / HOP)
        centre = (a1 - SIZE / 2) / HOP - lo
        if a in VOWELS and b in ("S", "SH") or a in ("S", "SH") and b in VOWELS:
            sign = 1 if b in ("S", "SH") else -1
            at = crossing(sign * (hiss - mid)[lo:hi], centre)
            kind = "vowel to hiss" if sign > 0 else "hiss to vowel"
        elif a in ("P", "T", "K") and b in VOWELS and a1 - a0 > 320:
            level = low[max(0, int(b0 / HOP)):max(1, int(b1 / HOP))]
            at = crossing((low - (level.max() - 18 if len(level) else 0))[lo:hi], centre)
            kind = "voicing after stop"
            top = int((a1 - SIZE / 2) / HOP)
            rise = (high[4:] - high[:-4])[max(0, int((a0 - 480) / HOP)):top]
            if len(rise) > 8:
                burst = (max(0, int((a0 - 480) / HOP)) + np.argmax(rise) + 2) * HOP + SIZE / 2
                yield "burst from stop start", (burst - a0) / 16
                yield "burst to stop end", (a1 - burst) / 16
        elif {a, b} & NASALS and {a, b} & VOWELS and min(a1 - a0, b1 - b0) > 480:
            levels = [np.median(mouth[p // HOP:q // HOP]) for p, q in ((a0, a1), (b0, b1))]
            if abs(levels[1] - levels[0]) < 6:
                continue
            sign, kind = (1, "nasal to vowel") if a in NASALS else (-1, "vowel to nasal")
            at = crossing(sign * (mouth - sum(levels) / 2)[lo:hi], centre)
        else:
            continue
        if at is not None:
            yield kind, (at + lo * HOP - a1) / 16


def report(stem):
    """Prints medians and spreads by voice (variants of espeak-ng together)."""
    x, _ = sf.read(stem + ".ogg", dtype="float32")
    z = np.load(stem + ".npz")
    found, names = defaultdict(list), ["SIL", *ARPABET]
    ptr, start, end, phone, voices = z["seg_ptr"], z["seg_start"], z["seg_end"], z["seg_phone"], z["voice"]
    for i, (o, n) in enumerate(zip(z["off"], z["n"])):
        s = slice(ptr[i], ptr[i + 1])
        segs = [(int(a), int(b), names[p]) for a, b, p in zip(start[s], end[s], phone[s])]
        voice = str(voices[i]).split("+")[0]
        for kind, ms in landmarks(x[o:o + n], segs):
            found[(str(z["src"][i]) + " " + voice, kind)].append(ms)
    for (voice, kind), ms in sorted(found.items()):
        q = np.percentile(ms, [10, 25, 50, 75, 90])
        print(f"{voice:38s} {kind:22s} n {len(ms):5d}  median {q[2]:+6.1f} ms  quartiles {q[1]:+6.1f} {q[3]:+6.1f}"
              f"  10-90 % {q[0]:+6.1f} {q[4]:+6.1f}")


if __name__ == "__main__":
    report(sys.argv[1])
