"""Marked words that lie one by one (read_dev_words.jsonl, read_dev_experts.jsonl), as sentences: the form of read_train.

    python3 gather.py SPEECH/read_dev OUT/read_dev
"""

import itertools
import json
import sys

AROUND_MS = 300  # of the silence before the first and after the last word, at most this much is taken along


def main(stem, out):
    """Writes OUT.jsonl and OUT_experts.jsonl."""
    words = [json.loads(l) for l in open(f"{stem}_words.jsonl")]
    experts = [json.loads(l) for l in open(f"{stem}_experts.jsonl")]
    with open(f"{out}.jsonl", "w") as lines, open(f"{out}_experts.jsonl", "w") as marks:
        for (speaker, utterance), both in itertools.groupby(zip(words, experts), lambda b: (b[1]["speaker"], b[1]["utterance"])):
            own, marked = zip(*both)
            start = own[0]["start"] - 16 * min(AROUND_MS, max(0, own[0]["gap_before_ms"]))
            end = own[-1]["end"] + 16 * min(AROUND_MS, max(0, own[-1]["gap_after_ms"]))
            line = dict(utterance=utterance, speaker=speaker, age=own[0]["age"], phones=[w["phones"] for w in own], start=max(0, start), end=end)
            lines.write(json.dumps(line) + "\n")
            marks.write(json.dumps(dict(utterance=utterance, speaker=speaker, words=marked)) + "\n")


if __name__ == "__main__":
    main(*sys.argv[1:3])
