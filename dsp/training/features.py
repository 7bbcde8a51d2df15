"""Log mel spectra, the same numbers as dsp/src/frame.rs makes.

A spectrum is taken every 5 ms over 20 ms; two neighbours make one 10 ms frame, so that the burst of a
stop, which lasts about 10 ms, is seen with finer time than the frames that are labelled.
"""

import jax.numpy as jnp
import numpy as np

from common import FFT, FRAME, HIGH_HZ, HOP, LOW_HZ, MELS, RATE, WINDOW

FLOOR_NEPERS = 11.0  # quieter than this under the loudest band is held to be nothing (about 48 dB)
SCALE = 2.5  # brings the spread of a band near one


def bent(hz, bend):
    """`hz` moved by the share `bend` at 0 Hz, not at all at 2 kHz, and as much the other way from 4 kHz on."""
    return hz * (1.0 + bend * np.clip(1.0 - hz / 2000.0, -1.0, 1.0))


def mel_bank(warp=1.0, bend=0.0):
    """Triangles, MELS x (FFT/2+1), of unit sum. `warp` stretches the frequency axis (vocal tract length), `bend` as in bent."""
    to_mel = lambda hz: 1127.0 * np.log(1.0 + hz / 700.0)  # O'Shaughnessy (1987), Speech Communication
    to_hz = lambda mel: 700.0 * (np.exp(mel / 1127.0) - 1.0)
    edges = to_hz(np.linspace(to_mel(LOW_HZ), to_mel(HIGH_HZ), MELS + 2)) * warp
    edges = bent(edges, bend)
    bins = np.arange(FFT // 2 + 1) * RATE / FFT
    bank = np.zeros((MELS, FFT // 2 + 1))
    for i in range(MELS):
        low, mid, high = edges[i : i + 3]
        bank[i] = np.maximum(0, np.minimum((bins - low) / (mid - low), (high - bins) / (high - mid)))
        if bank[i].sum() <= 0:  # a triangle between two bins, or past the last one, takes the nearest
            bank[i, min(int(round(mid * FFT / RATE)), FFT // 2)] = 1
        bank[i] /= bank[i].sum()
    return bank.astype(np.float32)


HANN = np.hanning(WINDOW + 1)[:WINDOW].astype(np.float32)


def log_mel(audio, bank):
    """audio: B x N, N a multiple of FRAME; bank: MELS x bins or B x MELS x bins. Returns B x N/HOP x MELS.

    Spectrum t is centred on sample (t + 0.5) * HOP; outside the audio there is silence.
    """
    batch, n = audio.shape
    frames = n // HOP
    pad = (WINDOW - HOP) // 2
    x = jnp.pad(audio, ((0, 0), (pad, WINDOW - HOP - pad)))
    pieces = [x[:, i * HOP : i * HOP + n].reshape(batch, frames, HOP) for i in range(WINDOW // HOP)]
    x = jnp.concatenate(pieces, -1)
    x = x - x.mean(-1, keepdims=True)
    x = jnp.concatenate([x[..., :1] * 0.03, x[..., 1:] - 0.97 * x[..., :-1]], -1)
    power = jnp.abs(jnp.fft.rfft(x * HANN, FFT)) ** 2
    mel = jnp.einsum("btf,mf->btm" if bank.ndim == 2 else "btf,bmf->btm", power, bank)
    return jnp.log(mel + 1e-7)


def level(mel):
    """Takes the room, the microphone and the loudness out: floor under the peak, then the mean of the louder spectra,
    those above the middle between the softest and the loudest, so that silence around a word changes nothing."""
    mel = jnp.maximum(mel, mel.max((1, 2), keepdims=True) - FLOOR_NEPERS)
    energy = mel.mean(-1)
    middle = 0.5 * (energy.min(1, keepdims=True) + energy.max(1, keepdims=True))
    weight = (energy >= middle).astype(mel.dtype)[..., None]
    mean = (mel * weight).sum(1, keepdims=True) / weight.sum(1, keepdims=True)
    return (mel - mean) / SCALE


def pair(mel):
    """B x 2T x MELS to B x T x 2 MELS: one row for each 10 ms frame."""
    batch, t, m = mel.shape
    per = FRAME // HOP
    return mel.reshape(batch, t // per, per * m)
