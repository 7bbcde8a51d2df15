"""Trains the acoustic model from synthetic words and real sentences. See README.md in this folder.

    python3 train.py --synth DIR/synth --real DIR/read_train --lexicon FILE --out OUT --plan full|tiny [--budget SECONDS]
"""

import argparse

import numpy as np

import load


def main():
    """Starts reading the audio, then loads the rest."""
    ap = argparse.ArgumentParser()
    ap.add_argument("--synth", required=True, help="path without ending: .ogg and .npz are added")
    ap.add_argument("--real", required=True, help="path without ending: .opus.ogg and .jsonl are added")
    ap.add_argument("--lexicon", required=True, help="one pronunciation a line")
    ap.add_argument("--out", required=True)
    ap.add_argument("--plan", default="full", help="full, or tiny to see that everything runs")
    ap.add_argument("--budget", type=float, default=1300.0, help="seconds by which training ends, steps done or not")
    ap.add_argument("--steps", default="", help="teacher's three stages and the student's, four numbers, in place of the plan's")
    ap.add_argument("--teacher", help="a teacher.npz of an earlier run: train only the student")
    ap.add_argument("--alignment", help="the alignment.jsonl of that run")
    a = ap.parse_args()
    synth, real = load.start(a.synth + ".ogg"), load.start(a.real + ".opus.ogg")
    pack = dict(np.load(a.synth + ".npz"))
    import recipe  # only now: it takes as long to load as the audio does

    recipe.run(a, pack, synth, real)


if __name__ == "__main__":
    main()
