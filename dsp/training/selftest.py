"""Checks of parts that the tiny run of the recipe does not reach, for it has no pretrained encoder and no neural voices.

    python3 selftest.py
"""

import os
import random
import sys

import jax.numpy as jnp
import numpy as np

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "voices"))

from common import FRAME, PAIR
from corpus import windows_of
from device import NOWHERE
from features import bent
from neural import blend
from taught import hints_at, levelled


def hints_are_those_of_the_same_place():
    """Row k of the hints belongs to samples k PAIR to (k + 1) PAIR of the stream."""
    rows = jnp.asarray(np.arange(1, 9, dtype=np.float32)[:, None] * np.ones((1, 3), np.float32))
    rows = rows.at[6].set(0.0)  # nothing is known there
    middles = lambda start: [start + FRAME // 2, start + FRAME + FRAME // 2]  # of the two frames of a pair
    place = jnp.array([middles(2 * PAIR) + middles(2 * PAIR + FRAME) + [NOWHERE, 100] + middles(0)[:1] + [5 * PAIR] + middles(6 * PAIR)])
    found, known = hints_at(rows, place)
    assert known.tolist() == [[True, True, False, False, False]], known
    assert np.allclose(found[0, 0], 3.0) and np.allclose(found[0, 1], 3.5), found


def columns_are_brought_to_one_spread():
    """And rows without anything stay so."""
    rng = np.random.default_rng(0)
    hints = (rng.standard_normal((7000, 3)) * [1, 20, 0.1] + [5, -3, 0]).astype(np.float16)
    hints[100:200] = 0
    level = np.asarray(levelled(hints), np.float32)
    assert not level[100:200].any()
    rest = np.delete(level, np.s_[100:200], 0)
    assert np.abs(rest.mean(0)).max() < 0.1 and np.abs(rest.std(0) - 1).max() < 0.1, (rest.mean(0), rest.std(0))


def a_piece_stands_at_its_lead_with_its_peak_at_one():
    """Whatever its loudness."""
    x = windows_of([np.array([0, 300, -600], np.int16)], 5, np.zeros((2, 20)))
    assert np.allclose(x[0, 5:8], [0, 0.5, -1]) and np.count_nonzero(x) == 2, x


def bending_moves_low_and_high_apart_and_keeps_their_order():
    """2 kHz stays."""
    hz = np.linspace(0, 8000, 81)
    moved = bent(hz, 0.06)
    assert np.isclose(moved[10], 1000 * 1.03) and moved[20] == 2000 and np.isclose(moved[60], 6000 * 0.94)
    assert (np.diff(moved) > 0).all()


def blends_are_the_same_every_time_and_whole():
    """Shares sum to one, and no voice is blended with itself."""
    first, second = ([blend(["a", "b", "c"], rng) for _ in range(200)] for rng in (random.Random(3), random.Random(3)))
    assert first == second
    assert all(np.isclose(sum(share for _, share in voices), 1.0) for voices in first)
    assert {len({name for name, _ in voices}) for voices in first} == {1, 2} and all(len({n for n, _ in v}) == len(v) for v in first)


def main():
    """Runs them all."""
    checks = [hints_are_those_of_the_same_place, columns_are_brought_to_one_spread, a_piece_stands_at_its_lead_with_its_peak_at_one,
              bending_moves_low_and_high_apart_and_keeps_their_order, blends_are_the_same_every_time_and_whole]
    for check in checks:
        check()
        print("ok:", check.__name__)


if __name__ == "__main__":
    main()
