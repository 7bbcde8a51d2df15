"""Moves boundaries to where the sound changes, for the pairs of sounds where the sound itself can tell; README.md has figures.

flite and festival carry the boundaries of their recordings' own automatic alignment: a hiss after a voiced sound is
marked 7 to 32 ms early, voicing after P T K up to 20 ms off. espeak-ng's events are exact to the sample beside silence and
hisses, but its glide from M N L R W Y into a vowel runs before the vowel's event (about 50 ms late for M and N).
All other boundaries stay the synthesiser's own.
"""
from check import bands, crossing, HOP, SIZE
from phones import VOWELS
from sound import RATE, spectral_break

NASALS, GLIDES = {"M", "N", "NG"}, {"L", "R", "W", "Y"}
VOICED = VOWELS | NASALS | GLIDES
REACH, GLIDE_REACH = 0.060, 0.090  # s: furthest move
LATER = 0.010                      # s: espeak-ng's vowel never starts much after its event
LEAST = 0.015                      # s: what either neighbour keeps
CONTEXT = 0.120                    # s of either neighbour looked at for a spectral break
VOICING_DB = 18                    # under the vowel's loudest low band: voicing is on


def snap(x, segs, engine):
    """Segments [(start, end, sound)] of 16 kHz samples x (float), with the boundaries that can be told put right."""
    curves = bands(x)
    out = [list(s) for s in segs]
    for left, right in zip(out, out[1:]):
        a, b = left[2], right[2]
        if a in NASALS and b in VOWELS or a in VOWELS and b in NASALS and engine != "espeak":
            at = _break(x, left, right, GLIDE_REACH if engine == "espeak" else REACH, LATER if engine == "espeak" else REACH)
        elif engine == "espeak":
            at = _break(x, left, right, GLIDE_REACH, LATER) if a in GLIDES and b in VOWELS else None
        else:
            at = _crossing(curves, left, right)
        if at is not None and left[0] + LEAST * RATE <= at <= right[1] - LEAST * RATE:
            left[1] = right[0] = round(at)
    return [tuple(s) for s in out]


def _break(x, left, right, reach, later):
    at = left[1]
    start, end = max(left[0], int(at - (CONTEXT + reach / 2) * RATE)), min(right[1], int(at + CONTEXT * RATE))
    low = max(LEAST, (at - start) / RATE - reach)
    high = min((end - start) / RATE - LEAST, (at - start) / RATE + later)
    cut = spectral_break(x[start:end], RATE, low, high)
    return None if cut is None else start + cut * RATE


def _crossing(curves, left, right):
    low, mid, _, hiss, _ = curves
    a, b, at = left[2], right[2], left[1]
    if a in VOICED and b in ("S", "SH"):
        curve = hiss - mid
    elif a in ("S", "SH", "CH") and b in VOICED:
        curve = mid - hiss
    elif a in ("P", "T", "K") and b in VOWELS:
        level = low[max(0, at // HOP):max(1, right[1] // HOP)]
        if not len(level):
            return None
        curve = low - (level.max() - VOICING_DB)
    else:
        return None
    lo = max(0, int((at - REACH * RATE - SIZE / 2) / HOP))
    hi = int((at + REACH * RATE - SIZE / 2) / HOP)
    found = crossing(curve[lo:hi], (at - SIZE / 2) / HOP - lo)
    return None if found is None else found + lo * HOP
