"""Writes a network's weights, and the vectors by which the Rust side proves that it computes the same. `measure calibrate
--ships FILE --write ../weights/ear.safetensors` puts the weights and their calibration into the file that ships.

    python3 export.py OUT/student_all.npz OUT/ear_all.safetensors OUT/vectors_all.json
"""

import hashlib
import json
import sys

import jax.numpy as jnp
import numpy as np
from safetensors.numpy import save_file

import network
import recipe
from common import FRAME, RATE
from device import PLAIN
from features import level, log_mel, pair
from sequence import forward, states_of


def weights_hash(tensors):
    """The hash by which a calibration names its weights; `../src/ear/package.rs` computes the same."""
    kinds, digest = {"int8": "I8", "float16": "F16", "float32": "F32"}, hashlib.sha256()
    for name in sorted(tensors, key=str.encode):
        v = np.ascontiguousarray(tensors[name])
        digest.update(f"{name}\0{kinds[v.dtype.name]}\0{list(v.shape)}\0".encode())
        digest.update(v.tobytes())
    return digest.hexdigest()


def main(source, weights_path, vectors_path):
    """Matrices as 8-bit numbers with a scale for each column, everything else as 32-bit floats."""
    shape_of, weights, prior = recipe.load(source)
    kept, w = {}, {}
    for name, v in weights.items():
        if name.startswith("hint."):  # only for learning
            continue
        if v.size > 4000:
            scale = np.maximum(np.abs(v).max(tuple(range(v.ndim - 1))), 1e-12).astype(np.float32) / 127
            kept[name], kept[name + ".scale"] = np.round(v / scale).astype(np.int8), scale
            w[name] = jnp.asarray(kept[name].astype(np.float32) * scale)
        else:
            kept[name] = v.astype(np.float32)
            w[name] = jnp.asarray(kept[name])
    kept["path.prior"] = w["path.prior"] = prior.astype(np.float32)
    kept["shape.dilations"] = np.array(shape_of.before + shape_of.after, np.float32)
    if shape_of.slow:
        kept["shape.slow"] = np.array(shape_of.slow, np.float32)
    kept["shape.before"] = np.array([len(shape_of.before)], np.float32)
    save_file({k: np.ascontiguousarray(v) for k, v in kept.items()}, weights_path)
    digest = weights_hash(kept)

    # What the program must reproduce: from the weights as stored, on made audio.
    n = 61 * FRAME  # an odd number of frames, so that the last pair is short of one
    t = np.arange(n) / RATE
    pulses = sum(np.sin(2 * np.pi * 245 * h * t) / h for h in range(1, 24))
    noise = np.sin(np.arange(n) ** 2 * 0.0137)
    audio = (0.1 * pulses * np.hanning(n) + 0.02 * noise * (t > 0.35)).astype(np.float32)
    audio = np.round(audio * 32768).clip(-32768, 32767).astype(np.int16)
    x = audio.astype(np.float32) / 32768
    x = x / (np.abs(x).max() + 1e-6)
    mel = pair(level(log_mel(jnp.asarray(x)[None], jnp.asarray(PLAIN))))
    logp = network.scores(w, shape_of, mel)
    readings = [("S", "AH", "N"), ("S", "AH"), ("S", "AH", "N", "Z"), ("S", "IH", "N")]
    total = forward(w, logp, w["path.prior"], jnp.asarray(states_of(readings))[None])
    rows = lambda a: [[round(float(v), 5) for v in r] for r in np.asarray(a)]
    out = dict(made_by="dsp/training/export.py", weights=digest, audio=audio.tolist(), features=rows(mel[0][::6]), scores=rows(logp[0][::6]),
               readings=[" ".join(r) for r in readings], totals=[round(float(v), 4) for v in total[0]])
    with open(vectors_path, "w") as f:
        json.dump(out, f)
        f.write("\n")
    print(digest, sum(v.nbytes for v in kept.values()), "bytes of weights")


if __name__ == "__main__":
    main(*sys.argv[1:4])
