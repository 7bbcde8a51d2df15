"""What the teachers think of everything a student is trained on, found once: of every frame as it was recorded, and of every
reading of every word. A student then hears the same in other rooms and voices, and the teachers cost it no time."""

import functools

import jax
import jax.numpy as jnp
import numpy as np

import pretrained
from align import banks_of
from common import CLASSES, FRAME, PAIR
from corpus import LENGTH, windows_of
from device import KIND, NOWHERE, heard
from layers import means
from network import hear
from sequence import forward

WARPS = (0.92, 1.0, 1.09)  # of the filters; the teachers' views through them are averaged
LEAD = 1600  # samples before a word in the window in which the teachers hear it
AROUND = 1600  # samples of silence around a word that they hear, at most


class Taught:
    """`frames`: a row of class probabilities for each FRAME of the stream (zeros where nothing is known); `hints`: a row of
    the pretrained encoder's numbers for each PAIR of frames, of spread one (None without one); `totals`: views (a teacher
    through a filter) x words x readings, forward scores. Words are numbered as draw.source_of numbers them."""

    def __init__(self, corpus, networks, shape_of, log_prior, sentences):
        """`networks`: the teachers' weights, stacked; `sentences`: what align.heard_inside found with them."""
        frames = np.zeros((len(corpus.audio) // FRAME + 1, len(CLASSES)), np.float16)
        hints = np.zeros((len(corpus.audio) // PAIR + 2, pretrained.WIDTH), np.float16) if shape_of.primed else None
        for i, logp, inside in sentences:
            at = corpus.sentences[i]["from"] // FRAME
            frames[at : at + len(logp)] = np.exp(logp)
            if shape_of.primed:
                hints[at // 2 : at // 2 + len(inside)] = inside
        words = corpus.synth_words + corpus.real_words
        tables, banks, rows = np.stack(corpus.tables), banks_of(WARPS), 192
        totals = np.zeros((len(WARPS) * next(iter(networks.values())).shape[0], len(words), tables.shape[1]), np.float32)
        noise = np.random.default_rng(0).standard_normal((rows, LENGTH))
        for a in range(0, len(words), rows):
            part = words[a : a + rows]
            states, placed = np.zeros((rows, *tables.shape[1:]), np.int8), []
            for row, word in enumerate(part):
                low = (word.start - min(max(word.before, 0), AROUND)) // PAIR * PAIR
                high = min(word.end + min(max(word.after, 0), AROUND), low + LENGTH - 2 * LEAD)
                states[row] = tables[max(0, word.pool)]
                placed.append((low, high))
            x = windows_of([corpus.audio[low:high] for low, high in placed], LEAD, noise)
            logp, inside, total = jax.tree.map(np.asarray, _views(networks, shape_of, log_prior, x, states, banks))
            totals[:, a : a + len(part)] = total[:, : len(part)]
            for row, (word, (low, high)) in enumerate(zip(part, placed)):
                if word.item < 0:  # a made word; those of sentences were heard in them
                    n = (high - low) // FRAME
                    frames[low // FRAME : low // FRAME + n] = np.exp(logp[row, LEAD // FRAME : LEAD // FRAME + n])
                    if shape_of.primed:
                        hints[low // PAIR : low // PAIR + n // 2] = inside[row, LEAD // PAIR : LEAD // PAIR + n // 2]
        self.frames, self.totals = jnp.asarray(frames), jnp.asarray(totals)
        self.hints = None if hints is None else levelled(hints)


def levelled(hints):
    """Each column brought to mean nought and spread one; rows of zeros, where nothing is known, stay so."""
    known = hints.any(-1)
    some = hints[known][::7].astype(np.float32)  # a part is enough
    mean, spread = some.mean(0), some.std(0) + 1e-6

    @jax.jit
    def level(rows, known):
        return (((rows - mean) / spread).clip(-5, 5) * known[:, None]).astype(jnp.float16)

    return jnp.concatenate([level(*part) for part in zip(np.array_split(hints, 8), np.array_split(known, 8))])


@functools.partial(jax.jit, static_argnums=1)
def _views(networks, shape_of, log_prior, x, states, banks):
    """Mean log-probabilities, what goes on inside (network.hear), and the forward scores of each view (a network through a
    filter)."""

    def through(bank):
        features, wide = heard(x, shape_of.primed, bank)

        def one(w):
            logp, inside = hear(w, shape_of, features, wide=wide, kind=KIND)
            return (jnp.exp(logp), inside), forward(w, logp, log_prior, states)

        heard_so, total = jax.lax.map(one, networks)
        return means(heard_so), total

    heard_so, total = jax.lax.map(through, banks)
    p, inside = means(heard_so)
    return jnp.log(p + 1e-9), inside, total.reshape(-1, *total.shape[2:])


def frames_at(taught, place):
    """Class probabilities at each place of the stream: silence outside it."""
    found = taught[(place // FRAME).clip(0, taught.shape[0] - 1)].astype(jnp.float32)
    silence = jnp.zeros(len(CLASSES)).at[0].set(1.0)
    return jnp.where((place == NOWHERE)[..., None], silence, found)


def hints_at(taught, place):
    """The encoder's numbers at each pair of places (B x T/2 x WIDTH), between the two pairs of the stream that are nearest; and
    whether they are known there."""
    a, b = place[:, ::2], place[:, 1::2]
    known = (a != NOWHERE) & (b != NOWHERE) & (jnp.abs(b - a) < PAIR)
    middle = jnp.where(known, a + (b - a) // 2 - FRAME, 0)
    row = (middle // PAIR).clip(0, taught.shape[0] - 2)
    part = ((middle - row * PAIR) / PAIR)[..., None]
    before, after = taught[row], taught[row + 1]
    known &= before.any(-1) & after.any(-1)
    return (1 - part) * before + part * after, known
