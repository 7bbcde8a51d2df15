"""Makes the shipped file, and the vectors by which the Rust side proves that it computes the same.

    python3 export.py OUT/student.npz ../weights/ear.safetensors ../weights/vectors.json
"""

import hashlib
import json
import sys

import jax.numpy as jnp
import numpy as np
from safetensors.numpy import save_file

import network
from device import PLAIN
from features import level, log_mel, pair
from sequence import forward, states_of


def main(source, weights_path, vectors_path):
    """Matrices as 16-bit floats, everything else as 32-bit."""
    pack = np.load(source)
    shape_of = network.Shape(*(tuple(v) if isinstance(v, list) else v for v in json.loads(str(pack["__shape"]))))
    kept = {k: pack[k].astype(np.float16 if pack[k].size > 4000 else np.float32) for k in pack.files if not k.startswith("__")}
    kept["path.prior"] = pack["__log_prior"].astype(np.float32)
    kept["shape.dilations"] = np.array(shape_of.before + shape_of.after, np.float32)
    kept["shape.before"] = np.array([len(shape_of.before)], np.float32)
    save_file({k: np.ascontiguousarray(v) for k, v in kept.items()}, weights_path)
    digest = hashlib.sha256(open(weights_path, "rb").read()).hexdigest()

    # What the program must reproduce: from the weights as stored, on made audio.
    w = {k: jnp.asarray(v.astype(np.float32)) for k, v in kept.items()}
    t = np.arange(9600) / 16000
    pulses = sum(np.sin(2 * np.pi * 245 * h * t) / h for h in range(1, 24))
    noise = np.sin(np.arange(9600) ** 2 * 0.0137)
    audio = (0.1 * pulses * np.hanning(9600) + 0.02 * noise * (t > 0.35)).astype(np.float32)
    audio = np.round(audio * 32768).clip(-32768, 32767).astype(np.int16)
    x = audio.astype(np.float32) / 32768
    x = x / (np.abs(x).max() + 1e-6)
    mel = pair(level(log_mel(jnp.asarray(x)[None], jnp.asarray(PLAIN))))
    logp = network.scores(w, shape_of, mel)
    readings = [("S", "AH", "N"), ("S", "AH"), ("S", "AH", "N", "Z"), ("S", "IH", "N")]
    total = forward(w, logp, w["path.prior"], jnp.asarray(states_of(readings))[None])
    rows = lambda a: [[round(float(v), 5) for v in r] for r in np.asarray(a)]
    out = dict(made_by="dsp/training/export.py", weights_sha256=digest, audio=audio.tolist(), features=rows(mel[0][::6]), scores=rows(logp[0][::6]),
               readings=[" ".join(r) for r in readings], totals=[round(float(v), 4) for v in total[0]])
    with open(vectors_path, "w") as f:
        json.dump(out, f)
        f.write("\n")
    print(digest, sum(v.nbytes for v in kept.values()), "bytes of weights")


if __name__ == "__main__":
    main(*sys.argv[1:4])
