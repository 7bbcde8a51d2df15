"""numpy and scipy figures for the transform and the log mel frames: python3 mel.py > mel.json

A tenth of a second of sound, stored as 16-bit numbers so that both sides read the same samples: a hiss that grows, a
glide from 200 to 7000 Hz, a click, and silence after them. From it:

- `rfft`: numpy.fft.rfft of the first 512 samples, real and imaginary parts;
- `frames`: the log mel rows that dsp/src/frame.rs describes, in double precision, written here from that description
  and not from the program: scipy's window, scipy's filter for the pre-emphasis, numpy's transform, and triangles drawn
  by numpy.interp between edges even on the mel scale of O'Shaughnessy (1987), 1127 ln(1 + hz / 700). Two warps.
"""
import json

import numpy as np
import scipy
from scipy import signal

RATE, HOP, WINDOW, FFT, MELS = 16000, 80, 320, 512, 48

draw = np.random.default_rng(7)
n = 1680
t = np.arange(n) / RATE
sound = 0.01 * draw.standard_normal(n) * t / t[-1] + 0.5 * signal.chirp(t, 200, t[-1], 7000) * np.hanning(n)
sound[900] += 0.4
sound[1400:] = 0
pcm = np.round(sound * 32000).astype(int)
x = pcm / 32768


def bank(warp):
    mel = np.linspace(1127 * np.log1p(60 / 700), 1127 * np.log1p(7600 / 700), MELS + 2)
    edges = 700 * np.expm1(mel / 1127) * warp
    hz = np.fft.rfftfreq(FFT, 1 / RATE)
    rows = np.array([np.interp(hz, edges[i : i + 3], [0, 1, 0], 0, 0) for i in range(MELS)])
    for row, mid in zip(rows, edges[1:-1]):
        if not row.any():
            row[min(round(mid * FFT / RATE), FFT // 2)] = 1
    return rows / rows.sum(1, keepdims=True)


def frames(warp):
    window = signal.windows.hann(WINDOW, sym=False)
    before = (WINDOW - HOP) // 2  # spectrum t is centred on sample (t + 0.5) HOP
    level = np.abs(x).max() + 1e-6
    padded = np.concatenate([np.zeros(before), x / level, np.zeros(WINDOW)])
    log = []
    for start in range(0, n - n % (2 * HOP), HOP):
        piece = padded[start : start + WINDOW]
        piece = piece - piece.mean()
        piece, _ = signal.lfilter([1, -0.97], [1], piece, zi=[-0.97 * piece[0]])
        power = np.abs(np.fft.rfft(piece * window, FFT)) ** 2
        log.append(np.log(bank(warp) @ power + 1e-7))
    log = np.array(log)
    log = np.maximum(log, log.max() - 11)
    loudness = log.mean(1)
    louder = loudness >= (loudness.min() + loudness.max()) / 2
    return ((log - log[louder].mean(0)) / 2.5).reshape(-1, 2 * MELS)


spectrum = np.fft.rfft(x[:FFT])
numbers = lambda values: np.round(values, 5).ravel().tolist()
print(json.dumps({
    "made_by": f"numpy {np.__version__}, scipy {scipy.__version__}",
    "pcm": pcm.tolist(),
    "rfft": {"re": numbers(spectrum.real), "im": numbers(spectrum.imag)},
    "frames": {str(warp): numbers(frames(warp)) for warp in (1.0, 1.18)},
}))
