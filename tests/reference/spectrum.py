"""numpy and scipy figures for the program's analysis: python3 spectrum.py > spectrum.json

Harmonic levels of a vowel whose spectrum is known by formula: the response of four Klatt resonators at the harmonics
of 250 Hz, from scipy.signal.freqz. The formant tracker's own synthesis test drives the same resonators, so this checks
the test's filters against scipy as well.
"""
import json

import numpy as np
from scipy import signal

RATE = 16000
FORMANTS = [(700.0, 90.0), (1500.0, 110.0), (2900.0, 170.0), (4200.0, 250.0)]


def resonator(hz, bandwidth):
    r = np.exp(-np.pi * bandwidth / RATE)
    b, c = 2 * r * np.cos(2 * np.pi * hz / RATE), -r * r
    return [1 - b - c], [1, -b, -c]


f = 250.0 * np.arange(1, 21)
response = np.ones(len(f), complex)
impulse = np.zeros(64)
impulse[0] = 1.0
for hz, bw in FORMANTS:
    num, den = resonator(hz, bw)
    response *= signal.freqz(num, den, worN=2 * np.pi * f / RATE)[1]
    impulse = signal.lfilter(num, den, impulse)
print(json.dumps({"made_by": f"scipy {__import__('scipy').__version__}", "hz": f.tolist(),
                  "db": np.round(20 * np.log10(abs(response)), 4).tolist(),
                  "impulse": np.round(impulse, 9).tolist()}))
