"""Forward scores of whole hypotheses, and what a child may have said instead.

A hypothesis is silence, then each sound for at least two frames, then silence; its score sums over every way to lay
the frames on it. The recipe trains the network to prefer the sounds that were said over the same with one sound
fewer, more or changed: the very question that dsp/src/count.rs asks.
"""

import random

import jax
import jax.numpy as jnp
import numpy as np

from common import INDEX, SOUNDS, VOWELS

LONGEST = 12  # sounds in a word that is trained on as a whole
STATES = 2 * LONGEST + 2 + 2  # silence, two for each sound (one more sound than LONGEST may be added), silence
NEVER = -1e9

# Sounds that children and untrained ears take for one another (common practice, no source). Used to choose
# which wrong readings to practise on, never to decide a count.
NEAR = [
    "P B", "T D", "K G", "F V", "TH DH", "S Z", "SH ZH", "CH JH", "F TH", "V DH", "TH S", "DH Z", "TH T", "DH D", "S SH", "Z ZH",
    "T CH", "D JH", "SH CH", "ZH JH", "M N", "N NG", "L R", "W R", "L W", "Y JH", "HH F", "B V", "W V", "G NG", "T K", "D G", "B M", "D N",
    "IY IH", "IH EH", "EH AE", "AE AH", "AH AA", "AA AO", "AO OW", "OW UH", "UH UW", "AH UH", "EY EH", "EY IY", "AY AE", "AY AA", "AW AA",
    "AW AO", "OY AO", "ER AH", "ER AO", "AH EH", "AH IH", "IH EY", "AY EY", "OW UW", "AH OW", "AE AA",
]
NEIGHBOURS = {s: [] for s in SOUNDS}  # in order: a set of names has another order in each process
for _pair in NEAR:
    _a, _b = _pair.split()
    NEIGHBOURS[_a].append(_b)
    NEIGHBOURS[_b].append(_a)


def one_off(sounds):
    """Every reading with one sound fewer, more or changed, as (kind, sounds). An added twin of a neighbour is left
    out: two of the same sound in a row are one long sound."""
    out = []
    n = len(sounds)
    for i in range(n):
        if n > 1:
            out.append(("fewer", sounds[:i] + sounds[i + 1 :]))
    for i in range(n + 1):
        beside = set(sounds[max(0, i - 1) : i + 1])
        out += [("more", sounds[:i] + (s,) + sounds[i:]) for s in SOUNDS if s not in beside]
    for i in range(n):
        beside = {sounds[i]} | set(sounds[max(0, i - 1) : i] + sounds[i + 1 : i + 2])
        out += [("changed", sounds[:i] + (s,) + sounds[i + 1 :]) for s in SOUNDS if s not in beside]
    return list(dict.fromkeys(out))


def wrong_readings(sounds, lexicon, how_many, rng: random.Random):
    """A list of `how_many` wrong readings to tell `sounds` from: real words first, then likely slips, then any."""
    every = [(k, s) for k, s in one_off(sounds) if s != sounds]
    real = [s for _, s in every if s in lexicon]
    rng.shuffle(real)
    fewer = [s for k, s in every if k == "fewer"]
    n = len(sounds)
    likely = []
    for i in range(n):
        likely += [sounds[:i] + (s,) + sounds[i + 1 :] for s in NEIGHBOURS[sounds[i]] if s not in sounds[max(0, i - 1) : i + 2]]
        if sounds[i] not in VOWELS and (i + 1 == n or sounds[i + 1] not in VOWELS):
            likely.append(sounds[: i + 1] + ("AH",) + sounds[i + 1 :])
    rng.shuffle(likely)
    rest = [s for _, s in rng.sample(every, min(len(every), how_many))]
    chosen = list(dict.fromkeys(real[: how_many // 3] + fewer + likely[: how_many // 3] + rest))
    while len(chosen) < how_many:
        chosen.append(rng.choice(every)[1])
    return chosen[:how_many]


def states_of(readings):
    """Readings (tuples of sound names) to states: class index for each state, -1 past the end; shape K x STATES."""
    out = np.full((len(readings), STATES), -1, np.int8)
    for k, sounds in enumerate(readings):
        row = [0]
        for s in sounds:
            row += [INDEX[s]] * 2
        row.append(0)
        out[k, : len(row)] = row
    return out


def forward(w, scores, log_prior, states):
    """Forward score of each reading. scores: B x T x classes; states: B x K x STATES. Returns B x K natural logs."""
    classes = scores.shape[-1]
    scale = jax.nn.softplus(w["path.scale"][0])
    evidence = (scores - 0.5 * log_prior) * scale
    real = states >= 0
    phone = jnp.where(real, states, 0).astype(jnp.int32)
    onehot = jax.nn.one_hot(phone, classes, dtype=evidence.dtype)
    emit = jnp.einsum("btc,bksc->tbks", evidence, onehot, precision=jax.lax.Precision.HIGHEST)
    place = jnp.arange(states.shape[-1])
    held = (phone == 0) | (place % 2 == 0)  # silence, and the second state of a sound, may last
    stay = jax.nn.log_sigmoid(w["path.stay"])[phone]
    leave = jax.nn.log_sigmoid(-w["path.stay"])[phone]
    enter = w["path.enter"][phone] * ((place % 2 == 1) & (phone > 0))
    last = real.sum(-1) - 1  # the closing silence
    stay = jnp.where(held & real, stay, NEVER)
    # Into state s from s - 1; the first state of a sound is always left after one frame, at no cost.
    gone = jnp.where(held, leave, 0.0)
    move = jnp.concatenate([jnp.full_like(gone[..., :1], NEVER), gone[..., :-1]], -1) + enter
    move = jnp.where(real, move, NEVER)
    start = jnp.where(place == 0, 0.0, jnp.where(place == 1, enter, NEVER))
    first = jnp.where(real, start, NEVER) + emit[0]

    def step(alpha, e):
        shifted = jnp.concatenate([jnp.full_like(alpha[..., :1], NEVER), alpha[..., :-1]], -1)
        alpha = jnp.logaddexp(alpha + stay, shifted + move) + e
        return jnp.maximum(alpha, NEVER), None

    alpha, _ = jax.lax.scan(step, first, emit[1:], unroll=4)
    at = lambda s: jnp.take_along_axis(alpha, s[..., None], -1)[..., 0]
    left = jnp.take_along_axis(gone, (last - 1)[..., None], -1)[..., 0]
    return jnp.logaddexp(at(last), at(last - 1) + left)
