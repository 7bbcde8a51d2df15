"""Trains the acoustic model from synthetic words and real sentences. See README.md in this folder.

    python3 train.py --stage teacher --prime FILE --fold 0 --synth DIR/synth --real DIR/read_train --lexicon FILE --out OUT
    python3 train.py --stage student --teachers OUT/teacher0.npz,OUT/teacher1.npz --fold 0 --synth ... --out OUT
"""

import argparse
import json

import numpy as np

import load

TINY_SENTENCES = 50


def main():
    """Starts reading the audio, then loads the rest."""
    ap = argparse.ArgumentParser()
    ap.add_argument("--synth", required=True, help="path without ending: .ogg and .npz are added")
    ap.add_argument("--real", required=True, help="path without ending: .opus.ogg and .jsonl are added")
    ap.add_argument("--more", default="", help="made words whose times are not known, as --real, with commas between")
    ap.add_argument("--lexicon", required=True, help="one pronunciation a line")
    ap.add_argument("--out", required=True, help="folder for what is learned")
    ap.add_argument("--stage", required=True, choices=["teacher", "student"])
    ap.add_argument("--fold", type=int, default=0, help="which speakers are kept from training: 0, 1, ..., or -1 for none")
    ap.add_argument("--seed", type=int, default=2, help="what the first weights and the draws come from, with the fold")
    ap.add_argument("--prime", help="for a teacher: the pretrained encoder that pretrained.py wrote")
    ap.add_argument("--teachers", help="for a student: the teachers' files, with commas between")
    ap.add_argument("--student", help="for a student: STUDENT, PAIRED or TINY (network.py), in place of the plan's")
    ap.add_argument("--start", help="for a student: weights of its shape to go on from")
    ap.add_argument("--peak", type=float, default=2e-3, help="for a student: the highest learning rate")
    ap.add_argument("--trouble", default="full", choices=["full", "mild"], help="for a student: how far what it hears is taken from what was recorded")
    ap.add_argument("--drop", type=float, default=0.05, help="for a student: the share of units dropped")
    ap.add_argument("--name", default="", help="put after the files' names")
    ap.add_argument("--plan", default="full", help="full, or tiny to see that everything runs")
    ap.add_argument("--budget", type=float, default=600.0, help="seconds by which the last part of a stage ends, steps done or not")
    ap.add_argument("--steps", default="", help="a teacher's three parts (three numbers) or the student's steps, in place of the plan's")
    a = ap.parse_args()
    # The tiny plan reads only its own sentences: decoding all of them would take longer than the rest.
    most = json.loads(open(a.real + ".jsonl").readlines()[TINY_SENTENCES - 1])["end"] if a.plan == "tiny" else None
    synth, real = load.start(a.synth + ".ogg"), load.start(a.real + ".opus.ogg", most)
    pack = dict(np.load(a.synth + ".npz"))
    import recipe  # only now: it takes as long to load as the audio does

    recipe.run(a, pack, synth, real)


if __name__ == "__main__":
    main()
