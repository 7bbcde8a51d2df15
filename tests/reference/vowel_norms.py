"""Group means and covariances of log F1, F2, F3 of twelve vowels for men, women and children, and a check of them.

Source: Hillenbrand, Getty, Clark, Wheeler (1995), "Acoustic characteristics of American English vowels", J. Acoust.
Soc. Am. 97, 3099-3111; 45 men, 48 women, 46 children (27 boys, 19 girls). The talkers' own figures are not part of
this project; give their table as the argument:

    python3 vowel_norms.py reference/vowels_1995_139_talkers.csv ../../data/src/norm/table.rs > vowel_norms.json

Writes the tables for the program (means and spreads at the steadiest moment; for the two vowels that move, where they
are at a fifth and at four fifths of their length), and prints how often a talker's vowel is named rightly from the other talkers'
figures (each talker left out in turn).
"""
import csv
import json
import sys

import numpy as np

# The source's codes, with ARPAbet.
CODES = {"iy": "IY", "ih": "IH", "ei": "EY", "eh": "EH", "ae": "AE", "ah": "AA", "aw": "AO", "oa": "OW", "oo": "UH",
         "uw": "UW", "uh": "AH", "er": "ER"}
GROUPS = {"m": "Man", "w": "Woman", "b": "Child", "g": "Child"}


def read(path):
    rows = []
    for row in csv.DictReader(open(path)):
        f = [float(row[k] or 0) for k in ("F1", "F2", "F3", "F4")]
        if min(f[:3]) <= 0:  # the source writes 0 where a formant could not be measured
            continue
        rows.append((GROUPS[row["ID"][0]], row["ID"][:3], CODES[row["ID"][3:]], np.log(f[:3]), f[3], float(row["F0"])))
    return rows


def fit(rows):
    x = np.array([r[3] for r in rows])
    return x.mean(0), np.cov(x.T)


def score(x, norm):
    mean, cov = norm
    d = x - mean
    return -0.5 * d @ np.linalg.solve(cov, d) - 0.5 * np.linalg.slogdet(cov)[1]


def leave_one_out(rows):
    out = {}
    for group in ("Man", "Woman", "Child"):
        mine = [r for r in rows if r[0] == group]
        right = second = 0
        for talker in sorted({r[1] for r in mine}):
            norms = {v: fit([r for r in mine if r[2] == v and r[1] != talker]) for v in CODES.values()}
            for r in (r for r in mine if r[1] == talker):
                best = sorted(norms, key=lambda v: -score(r[3], norms[v]))
                right += best[0] == r[2]
                second += r[2] in best[:2]
        out[group] = {"vowels": len(mine), "first": round(right / len(mine), 3), "first_two": round(second / len(mine), 3)}
    return out


def table(rows):
    lines = []
    for group in ("Man", "Woman", "Child"):
        for v in CODES.values():
            mine = [r for r in rows if r[0] == group and r[2] == v]
            mean, cov = fit(mine)
            f4 = [np.log(r[4]) for r in mine if r[4] > 0]
            f4 = np.mean(f4) if len(f4) >= 5 else mean[2] + 0.26
            c = [cov[0, 0], cov[0, 1], cov[0, 2], cov[1, 1], cov[1, 2], cov[2, 2]]
            hz = ", ".join(f"{h:.1f}" for h in [*np.exp(mean), np.exp(f4)])
            cs = ", ".join(f"{1e4 * k:.2f}" for k in c)
            lines.append(f'    norm(VoiceKind::{group}, Sound::{v}, [{hz}], [{cs}]),')
    return "\n".join(lines)


def moves(path):
    """Geometric means of F1 to F3 at 20 % and 80 % of the vowel, for the vowels of day and boat."""
    rows = list(csv.DictReader(open(path)))
    lines = []
    for group in ("Man", "Woman", "Child"):
        for code, v in (("ei", "EY"), ("oa", "OW")):
            mine = [r for r in rows if GROUPS[r["ID"][0]] == group and r["ID"][3:] == code]
            ends = []
            for at in ("20", "80"):
                f = np.array([[float(r[f"F{k}_{at}"] or 0) for k in (1, 2, 3)] for r in mine])
                f = f[(f > 0).all(axis=1)]
                ends.append("[" + ", ".join(f"{h:.1f}" for h in np.exp(np.log(f).mean(0))) + "]")
            lines.append(f"    glide(VoiceKind::{group}, Sound::{v}, {ends[0]}, {ends[1]}),")
    return "\n".join(lines)


HEAD = '''//! Published formants of American English vowels, as group figures.
//!
//! Computed by `tests/reference/vowel_norms.py` from Hillenbrand, Getty, Clark, Wheeler (1995), J. Acoust. Soc. Am. 97,
//! 3099-3111: 45 men, 48 women, 46 children of ten to twelve, each saying the twelve vowels between h and d.

use soundbead_data::sound::Sound;

use super::{Glide, Norm, VoiceKind};

/// Geometric means of F1 to F4 in Hz, and 10,000 times the covariance of ln F1, ln F2, ln F3 (11, 12, 13, 22, 23, 33).
const fn norm(voice: VoiceKind, vowel: Sound, means_hz: [f32; 4], covariance: [f32; 6]) -> Norm {
    Norm { voice, vowel, means_hz, covariance }
}

/// Where a vowel starts and ends, at a fifth and at four fifths of its length.
const fn glide(voice: VoiceKind, vowel: Sound, from_hz: [f32; 3], to_hz: [f32; 3]) -> Glide {
    Glide { voice, vowel, from_hz, to_hz }
}

/// Twelve vowels for each of three groups of talkers, as measured in 1995. `pooled.rs` makes of them what the program uses.
pub static MEASURED_1995: [Norm; 36] = [
'''

rows = read(sys.argv[1])
GLIDES = """
/// The two vowels of the table that move, for each of three groups of talkers.
pub static GLIDES: [Glide; 6] = [
"""
open(sys.argv[2], "w").write(HEAD + table(rows) + "\n];\n" + GLIDES + moves(sys.argv[1]) + "\n];\n")
print(json.dumps({"source": "Hillenbrand et al. (1995), 139 talkers", "leave_one_talker_out": leave_one_out(rows)}, indent=1))
