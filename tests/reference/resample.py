"""Figures for the resampling tests, from scipy.signal: sh it with  python3 resample.py > resample.json

For each source rate a short mixture of tones is made by formula (the Rust test makes the same), and resampled to 16 kHz
by scipy.signal.resample_poly with a long Kaiser window. A few samples in the middle are kept, with the source's
duration in samples after resampling. Tones above 8 kHz are in the mixture where the rate can hold them: they must not
come through.
"""
import json
from math import gcd

import numpy as np
from scipy import signal

RATES = [8000, 11025, 22050, 24000, 44100, 48000, 96000, 192000]
TONES = [(313.0, 0.2, 0.3), (1502.7, 0.15, 1.1), (3307.0, 0.1, 2.0)]  # Hz, amplitude, phase


def mixture(rate, seconds=0.5):
    t = np.arange(int(rate * seconds)) / rate
    return sum(a * np.sin(2 * np.pi * f * t + p) for f, a, p in TONES)


out = []
for rate in RATES:
    x = mixture(rate)
    g = gcd(rate, 16000)
    up, down = 16000 // g, rate // g
    half = 60 * max(up, down)
    # The pass band must end as near the lower of the two Nyquist rates as the library's filter does.
    taps = signal.firwin(2 * half + 1, 0.96 / max(up, down), window=("kaiser", 12.0))
    y = signal.resample_poly(x, up, down, window=taps)
    out.append({"rate": rate, "samples": len(y), "from": 4000, "values": [round(float(v), 6) for v in y[4000:4064]]})
print(json.dumps({"made_by": f"scipy {__import__('scipy').__version__}", "cases": out}))
