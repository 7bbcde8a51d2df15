"""Words that trained listeners marked, for `measure calibrate --rows marked`: a file for each part of the speakers (marks.FOLDS), cut as
roughly as by a list's times.

    python3 marked_words.py SPEECH/read_train OUT/placed_train.jsonl OUT/marked
"""

import json
import sys

import numpy as np

import marks
import queries
from common import CLASSES

APART = 640  # samples of silence on both sides of a word that counts as said alone (40 ms)


def main(stem, alignment, out):
    """Writes OUT_0.jsonl, OUT_1.jsonl, ..."""
    words, lines = marks.read(stem, alignment)
    rng = np.random.default_rng(1)
    files = [open(f"{out}_{k}.jsonl", "w") for k in range(marks.FOLDS)]
    rough = lambda of, short: int(max(of[0] + of[1] * rng.standard_normal(), -0.4 * short))
    for k in range(len(words.start)):
        start, end, n = int(words.start[k]), int(words.end[k]), int((words.sounds[k] > 0).sum())
        counts = lambda column: [round(float(v) * marks.LISTENERS) for v in column]
        row = dict(
            speaker=lines[words.sentence[k]]["speaker"], sounds=[CLASSES[c] for c in words.sounds[k, :n]],
            start=max(0, start - rough(queries.ROUGH_START, end - start)), end=end + rough(queries.ROUGH_END, end - start),
            alone=bool(min(words.before[k], words.after[k]) >= APART), right=counts(words.votes[k, :n, 0]), wrong=counts(words.votes[k, :n, 2]),
            added=max(counts(words.added[k, : n + 1])),
        )
        files[words.fold[k]].write(json.dumps(row) + "\n")


if __name__ == "__main__":
    main(*sys.argv[1:4])
