"""Lays the dictionary's sounds of a sentence on its audio (Viterbi), sounds that were not said left out."""

import functools

import jax
import jax.numpy as jnp
import numba
import numpy as np

import pretrained
from common import FRAME, HOP, INDEX
from device import KIND, heard
from features import mel_bank
from layers import means
from network import hear


@numba.njit(cache=True)
def best_path(evidence, phone, silence, may_skip, skip_cost):
    """States in order; `silence` states may be passed over free, sounds (two states) at `skip_cost`."""
    t_all, n = evidence.shape[0], len(phone)
    never = -1e30
    d = np.full(n, never)
    back = np.zeros((t_all, n), np.int32)
    d[0] = evidence[0, phone[0]]
    d[1] = evidence[0, phone[1]]
    for t in range(1, t_all):
        new = np.full(n, never)
        for j in range(n):
            second = not silence[j] and j > 0 and phone[j - 1] == phone[j] and may_skip[j]
            best, k = never, j
            if silence[j] or second:
                best = d[j]
            if j > 0 and d[j - 1] > best:
                best, k = d[j - 1], j - 1
            if j > 1 and silence[j - 1] and d[j - 2] > best:
                best, k = d[j - 2], j - 2
            if not second and j > 2 and not silence[j - 1] and d[j - 3] + skip_cost > best:
                best, k = d[j - 3] + skip_cost, j - 3  # the sound before this one was not said
            new[j] = best + evidence[t, phone[j]]
            back[t, j] = k
        d = new
    j = n - 1
    if d[n - 2] > d[n - 1]:
        j = n - 2
    total = d[j]
    path = np.zeros(t_all, np.int32)
    for t in range(t_all - 1, -1, -1):
        path[t] = j
        j = back[t, j]
    return path, total


def sentence_states(words):
    """State arrays for a sentence: class, is silence, is second state of a sound, word and place in it."""
    phone, silence, second, owner = [0], [True], [False], [(-1, -1)]
    for w, sounds in enumerate(words):
        for i, s in enumerate(sounds):
            phone += [INDEX[s]] * 2
            silence += [False, False]
            second += [False, True]
            owner += [(w, i), (w, i)]
        phone.append(0)
        silence.append(True)
        second.append(False)
        owner.append((-1, -1))
    return np.array(phone), np.array(silence), np.array(second), owner


LENGTHS = (200, 500, 900, 3000)  # frames to which sentences are padded, so that few programs are compiled


@functools.partial(jax.jit, static_argnums=(1,))
def _heard(networks, shape_of, x, banks):
    """Means over networks (stacked) and filters (stacked): natural logs of the classes' probabilities, and what goes on
    inside (network.hear)."""

    def through(bank):
        features, wide = heard(x, shape_of.primed, bank)

        def each(w):
            logp, inside = hear(w, shape_of, features, wide=wide, kind=KIND)
            return jnp.exp(logp), inside

        return means(jax.lax.map(each, networks))

    p, inside = means(jax.lax.map(through, banks))
    return jnp.log(p + 1e-9), inside if inside is None else inside.astype(jnp.float16)


def banks_of(warps):
    """The filters of the network and of the pretrained encoder for each warp, stacked."""
    return jnp.stack([mel_bank(a) for a in warps]), jnp.stack([pretrained.mel_bank(a) for a in warps])


def stacked(members):
    """Weights of networks of one shape, along a first axis."""
    return {k: jnp.stack([jnp.asarray(m[k]) for m in members]) for k in members[0]}


def heard_sentences(corpus, networks, shape_of, which=None, warps=(1.0,)):
    """Yields (sentence number, T x classes natural logs) for every sentence, or for those in `which`. `networks`: weights,
    stacked; their probabilities are averaged, over filter warps too."""
    for i, logp, _ in heard_inside(corpus, networks, shape_of, which, warps):
        yield i, logp


def heard_inside(corpus, networks, shape_of, which=None, warps=(1.0,)):
    """As heard_sentences, with what goes on inside the networks for each pair of frames (network.hear), or None."""
    frames = lambda i: (corpus.sentences[i]["to"] - corpus.sentences[i]["from"]) // FRAME
    groups, banks = {}, banks_of(warps)
    for i in sorted(which if which is not None else range(len(corpus.sentences)), key=frames):
        groups.setdefault(next(n for n in LENGTHS if frames(i) <= n), []).append(i)
    for t, members in groups.items():
        rows = max(8, 64 * LENGTHS[0] // t)
        for a in range(0, len(members), rows):
            part = members[a : a + rows]
            x = np.zeros((rows, t * FRAME), np.float32)
            for row, i in enumerate(part):
                line = corpus.sentences[i]
                piece = corpus.audio[line["from"] : line["to"]].astype(np.float32)
                x[row, : len(piece)] = piece / (np.abs(piece).max() + 1e-6)
            out, inside = jax.tree.map(np.asarray, _heard(networks, shape_of, x, banks))
            for row, i in enumerate(part):
                # A copy: else each sentence would keep its whole batch alive.
                yield i, out[row, : frames(i)], None if inside is None else inside[row, : frames(i) // 2].copy()


def align(corpus, sentences, log_prior, skip_cost):
    """Relabels the real stream by `sentences` (as heard_sentences gives them); returns a line of figures. Sentences that
    do not fit are left unlabelled."""
    aligned, total, dropped, sounds = [None] * len(corpus.sentences), [], 0, 0
    per = FRAME // HOP
    for i, logp in sentences:
        evidence = logp - 0.5 * np.asarray(log_prior)
        line = corpus.sentences[i]
        phone, silence, second, owner = sentence_states(line["phones"])
        a = line["from"] // HOP
        corpus.labels[a : line["to"] // HOP] = -1
        if len(phone) > len(evidence):
            continue
        path, score = best_path(evidence.astype(np.float64), phone, silence, second, skip_cost)
        if score < -1e20:
            continue
        label = phone[path]
        corpus.labels[a : a + per * len(label)] = np.repeat(label, per)
        total.append(score / len(label))
        cuts = {}
        for t, j in enumerate(path):
            if owner[j][0] >= 0:
                s, e = cuts.get(owner[j], (t, t))
                cuts[owner[j]] = (min(s, t), t + 1)
        found = []
        for k, said in enumerate(line["phones"]):
            have = [(line["from"] + cuts[k, n][0] * FRAME, line["from"] + cuts[k, n][1] * FRAME) for n in range(len(said)) if (k, n) in cuts]
            dropped += len(said) - len(have)
            sounds += len(said)
            if have:
                found.append((tuple(said), have))
        aligned[i] = found or None
    corpus.set_words(aligned)
    return f"aligned {len(total)} sentences, {np.mean(total):.3f} a frame, {dropped} of {sounds} sounds held unsaid, {len(corpus.real_words)} words, {sum(w.apart for w in corpus.real_words)} apart"
