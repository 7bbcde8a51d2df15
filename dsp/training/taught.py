"""What the teachers think of everything a student is trained on, found once: of every frame as it was recorded, and of every
reading of every word. A student then hears the same in other rooms and voices, and the teachers cost it no time."""

import functools

import jax
import jax.numpy as jnp
import numpy as np

from align import banks_of, heard_sentences
from common import CLASSES, FRAME
from corpus import LENGTH
from device import KIND, NOWHERE, heard
from network import scores
from sequence import forward

WARPS = (0.92, 1.0, 1.09)  # of the filters; the teachers' views through them are averaged
LEAD = 1600  # samples before a word in the window in which the teachers hear it
AROUND = 1600  # samples of silence around a word that they hear, at most


class Taught:
    """`frames`: a row of class probabilities for each FRAME of the stream (zeros where nothing is known); `totals`: views
    (a teacher through a filter) x words x readings, forward scores. Words are numbered as draw.source_of numbers them."""

    def __init__(self, corpus, networks, shape_of, log_prior, sentences):
        """`networks`: the teachers' weights, stacked; `sentences`: what align.heard_sentences found with them."""
        frames = np.zeros((len(corpus.audio) // FRAME + 1, len(CLASSES)), np.float16)
        for i, logp in sentences:
            at = corpus.sentences[i]["from"] // FRAME
            frames[at : at + len(logp)] = np.exp(logp)
        words = corpus.synth_words + corpus.real_words
        tables, banks, rows = np.stack(corpus.tables), banks_of(WARPS), 192
        totals = np.zeros((len(WARPS) * next(iter(networks.values())).shape[0], len(words), tables.shape[1]), np.float32)
        hiss = np.random.default_rng(0).standard_normal((rows, LENGTH)).astype(np.float32) * 1e-3
        for a in range(0, len(words), rows):
            part = words[a : a + rows]
            x, states, placed = hiss.copy(), np.zeros((rows, *tables.shape[1:]), np.int8), []
            for row, word in enumerate(part):
                low = (word.start - min(max(word.before, 0), AROUND)) // FRAME * FRAME
                high = min(word.end + min(max(word.after, 0), AROUND), low + LENGTH - 2 * LEAD)
                piece = corpus.audio[low:high].astype(np.float32)
                x[row, LEAD : LEAD + len(piece)] += piece / (np.abs(piece).max() + 1e-6)
                states[row] = tables[max(0, word.pool)]
                placed.append((low, high))
            logp, total = _views(networks, shape_of, log_prior, x, states, banks)
            totals[:, a : a + len(part)] = np.asarray(total)[:, : len(part)]
            logp = np.asarray(logp)
            for row, (word, (low, high)) in enumerate(zip(part, placed)):
                if word.item < 0:  # a made word; those of sentences were heard in them
                    n = (high - low) // FRAME
                    frames[low // FRAME : low // FRAME + n] = np.exp(logp[row, LEAD // FRAME : LEAD // FRAME + n])
        self.frames, self.totals = jnp.asarray(frames), jnp.asarray(totals)


@functools.partial(jax.jit, static_argnums=1)
def _views(networks, shape_of, log_prior, x, states, banks):
    """Mean log-probabilities, and the forward scores of each view (a network through a filter)."""

    def through(bank):
        features, wide = heard(x, shape_of.primed, bank)

        def one(w):
            logp = scores(w, shape_of, features, wide=wide, kind=KIND)
            return jnp.exp(logp), forward(w, logp, log_prior, states)

        p, total = jax.lax.map(one, networks)
        return p.mean(0), total

    p, total = jax.lax.map(through, banks)
    return jnp.log(p.mean(0) + 1e-9), total.reshape(-1, *total.shape[2:])


def frames_at(taught, place):
    """Class probabilities at each place of the stream: silence outside it."""
    found = taught[(place // FRAME).clip(0, taught.shape[0] - 1)].astype(jnp.float32)
    silence = jnp.zeros(len(CLASSES)).at[0].set(1.0)
    return jnp.where((place == NOWHERE)[..., None], silence, found)
