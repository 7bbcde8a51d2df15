"""Puts the sixth listener (listener.py) beside the ear's network in one file of weights, and adds to the vectors what the Rust side
must compute with it. `measure calibrate --ships FILE --write ../weights/ear.safetensors` makes the file that ships of it.

    python3 listener_file.py EAR.safetensors OUT/listener_-1.npz OUT/ear_marked.safetensors VECTORS.json OUT/vectors.json
"""

import json
import sys

import jax.numpy as jnp
import numpy as np
from safetensors.numpy import load_file, save_file

import listener
from common import INDEX
from device import PLAIN
from export import weights_hash
from features import level, log_mel, pair

LARGE = 4000  # numbers from which a tensor is kept in 8 bits
ASKED, CUTS = ("S", "AH", "N", "T"), ((6, 15), (15, 31), (31, 40), (41, 52))  # frames, for the vectors


def packed(weights):
    """Tensors as they are stored, and the numbers that they stand for."""
    kept, stands = {}, {}
    for name, v in weights.items():
        v = v.astype(np.float32)
        if v.size > LARGE:
            scale = np.maximum(np.abs(v).max(tuple(range(v.ndim - 1))), 1e-12).astype(np.float32) / 127
            kept[name], kept[name + ".scale"] = np.round(v / scale).astype(np.int8), scale
            stands[name] = jnp.asarray(kept[name].astype(np.float32) * scale)
        else:
            kept[name], stands[name] = v, jnp.asarray(v)
    return kept, stands


def main(ear, source, out, vectors, vectors_out):
    """Writes both files."""
    pack = np.load(source)
    of = listener.Shape(*(tuple(v) if isinstance(v, list) else v for v in json.loads(str(pack["__shape"]))))
    kept, w = packed({k: pack[k] for k in pack.files if not k.startswith("__")})
    kept["hearing"], kept["knowing"] = (np.array(d, np.float32) for d in (of.hearing, of.knowing))
    tensors = {k: v for k, v in load_file(ear).items() if not k.startswith("listener.")}
    tensors |= {f"listener.{k}": np.ascontiguousarray(v) for k, v in kept.items()}
    save_file(tensors, out)

    told = json.load(open(vectors))
    audio = np.array(told["audio"], np.int16).astype(np.float32) / 32768
    audio = audio / (np.abs(audio).max() + 1e-6)
    x = listener.in_twos(pair(level(log_mel(jnp.asarray(audio)[None], jnp.asarray(PLAIN)))))
    drop = listener.dropper(None, 0.0)
    sounds, spans = jnp.asarray([[INDEX[s] for s in ASKED]]), jnp.asarray([CUTS], jnp.float32) / 2
    votes, before, after = listener.logs(listener.marks(w, of, listener.hearing(w, of, x, drop), sounds, spans, drop))
    share = lambda v: 1 / (1 + np.exp(-np.asarray(v)))
    told["weights"] = weights_hash(tensors)
    told["marks"] = dict(
        sounds=" ".join(ASKED), cuts=CUTS, votes=[[round(float(p), 5) for p in row] for row in np.exp(np.asarray(votes[0]))],
        before=[round(float(p), 5) for p in share(before[0])], after=[round(float(p), 5) for p in share(after[0])],
    )
    with open(vectors_out, "w") as f:
        json.dump(told, f)
        f.write("\n")
    print(told["weights"], sum(v.nbytes for k, v in tensors.items() if k.startswith("listener.")), "bytes of the listener's weights")


if __name__ == "__main__":
    main(*sys.argv[1:6])
