"""Checks of parts that the tiny run of the recipe does not reach, for it has no pretrained encoder and no neural voices.

    python3 selftest.py
"""

import os
import random
import sys

import jax
import jax.numpy as jnp
import numpy as np

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "voices"))

from common import FRAME, PAIR
from corpus import windows_of
from device import NOWHERE
from features import bent
import listener
import marks
import queries
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


def a_word_asked_about_as_another_keeps_the_votes_of_the_rest():
    """A sound changed or put in is wrong, one left out was added; every kind is met."""
    blank = lambda values, *shape: jnp.zeros(shape).at[: len(values)].set(jnp.asarray(values, jnp.float32))
    said = queries.Query(
        blank([3, 4, 5], marks.MOST).astype(jnp.int32), blank([[10, 14], [14, 20], [20, 24]], marks.MOST, 2),
        blank([[1, 0, 0], [1, 0, 0], [0.2, 0, 0.8]], marks.MOST, 3), jnp.zeros(marks.MOST + 1),
    )
    out = jax.vmap(queries.edited, (None, 0))(said, jax.random.split(jax.random.PRNGKey(0), 400))
    found = set()
    for sounds, spans, votes, added in zip(*map(np.asarray, out)):
        n = int((sounds > 0).sum())
        wrong = [i for i in range(n) if votes[i, 2] == 1.0]
        assert (spans[:n, 1] > spans[:n, 0]).all() and not sounds[n:].any(), (sounds, spans)
        if n == 3 and list(sounds[:3]) == [3, 4, 5]:
            found.add("none")
        elif n == 3:
            assert len(wrong) == 1 and sounds[wrong[0]] != [3, 4, 5][wrong[0]] and wrong[0] < 2, (sounds, votes)
            found.add("changed")
        elif n == 4:
            assert len(wrong) == 1 and [s for i, s in enumerate(sounds[:4]) if i != wrong[0]] == [3, 4, 5], (sounds, votes)
            found.add("put in")
        else:
            assert n == 2 and added.max() == 1.0 and 5 in sounds, (sounds, added)
            found.add("left out")
    assert found == {"none", "changed", "put in", "left out"}, found


def the_listener_takes_each_sound_at_its_place():
    """What lies outside a sound's surroundings in time and word does not move its mark; what lies in it does."""
    w, of = listener.initial(listener.TINY, 1), listener.TINY
    x = np.random.default_rng(0).standard_normal((1, 120, 192)).astype(np.float32)
    sounds, spans = jnp.array([[3, 9]]), jnp.array([[[20.0, 24.0], [24.0, 30.0]]])
    drop = listener.dropper(None, 0.0)
    of_audio = lambda x: listener.marks(w, of, listener.hearing(w, of, jnp.asarray(x), drop), sounds, spans, drop)
    plain, far, near = of_audio(x), x.copy(), x.copy()
    far[:, 80:], near[:, 21:23] = 0, 0
    assert np.allclose(plain, of_audio(far), atol=1e-5) and not np.allclose(plain, of_audio(near), atol=1e-3)


def main():
    """Runs them all."""
    checks = [hints_are_those_of_the_same_place, columns_are_brought_to_one_spread, a_piece_stands_at_its_lead_with_its_peak_at_one,
              bending_moves_low_and_high_apart_and_keeps_their_order, blends_are_the_same_every_time_and_whole,
              a_word_asked_about_as_another_keeps_the_votes_of_the_rest, the_listener_takes_each_sound_at_its_place]
    for check in checks:
        check()
        print("ok:", check.__name__)


if __name__ == "__main__":
    main()
