"""The audio that is trained on, as one long stream with a label every 5 ms, and where its words and sentences lie."""

import random

import numpy as np

from common import FRAME, HOP, INDEX, PAIR, RATE
from sequence import LONGEST, states_of, wrong_readings

SECONDS = 2.0
LENGTH = int(SECONDS * RATE)
POOL = 63  # wrong readings kept for each word
UNKNOWN = -1


class Word:
    """One word in the stream: samples start..end, its sounds as said (or as the dictionary has them)."""

    __slots__ = ("start", "end", "sounds", "before", "after", "child", "pool", "cuts", "item")

    def __init__(self, start, end, sounds, before, after, child, cuts, item):
        self.start, self.end, self.sounds, self.child = start, end, sounds, child
        self.before, self.after = before, after  # silence on each side, samples
        self.cuts = cuts  # (start, end) of each sound, samples
        self.pool = -1
        self.item = item

    @property
    def apart(self):
        """Whether there is silence (30 ms and more) on both sides."""
        return min(self.before, self.after) >= 480


def grid(start):
    """The next multiple of PAIR."""
    return -(-start // PAIR) * PAIR


def windows_of(pieces, lead, noise):
    """What a network hears (rows x samples, float32): each of `pieces` from sample `lead` of its row, its peak brought to 1,
    over a faint hiss; rows left over hold the hiss alone. `noise`: rows x samples, of spread 1."""
    x = noise.astype(np.float32) * 1e-3
    for row, piece in enumerate(pieces):
        piece = piece.astype(np.float32)
        x[row, lead : lead + len(piece)] += piece / (np.abs(piece).max() + 1e-6)
    return x


class Corpus:
    """Synthetic words (exact labels) followed by real sentences (labels from alignment)."""

    def __init__(self, pack, synth, real, lines, lexicon, held_out, fold=0):
        """`pack`, `synth`: the synthetic words, and what gives their samples; `real`, `lines`: samples of the read sentences, and made words (`made`) whose sounds are known but not their times. `held_out`:
        how many children and adults are kept from training; `fold` (0, 1, ...) says which."""
        rng = random.Random(3)
        self.lexicon = lexicon
        audio = synth()
        self.labels = np.full(len(audio) // HOP + 1, UNKNOWN, np.int8)
        self.synth_words = []
        for i in range(len(pack["off"])):
            off, n = int(pack["off"][i]), int(pack["n"][i])
            a, b = int(pack["seg_ptr"][i]), int(pack["seg_ptr"][i + 1])
            start, end, phone = pack["seg_start"][a:b], pack["seg_end"][a:b], pack["seg_phone"][a:b]
            for s, e, p in zip(start, end, phone):
                self.labels[(off + s + HOP // 2) // HOP : (off + e + HOP // 2) // HOP] = p
            said = [(off + int(s), off + int(e), int(p)) for s, e, p in zip(start, end, phone) if p > 0 and e > s]
            if not said or n > LENGTH - 1600:
                continue
            self.synth_words.append(self._word(said, off, off + n, bool(pack["child"][i]), -1))
        self.real_base = len(audio) + PAIR - len(audio) % PAIR
        self.audio = np.concatenate([audio, np.zeros(self.real_base - len(audio), np.int16), real, np.zeros(LENGTH * 4, np.int16)])
        labels = np.full(len(self.audio) // HOP + 1, UNKNOWN, np.int8)
        labels[: len(self.labels)] = self.labels
        self.labels = labels
        self.sentences = lines
        for line in self.sentences:
            line["from"] = grid(self.real_base + line["start"])
            line["to"] = (self.real_base + line["end"]) // FRAME * FRAME
        kids = sorted({l["speaker"] for l in lines if l["age"] < 13 and not l["made"]})
        grown = sorted({l["speaker"] for l in lines if l["age"] >= 13 and not l["made"]})
        rng.shuffle(kids)
        rng.shuffle(grown)
        part = lambda who, n: who[fold * n : (fold + 1) * n]
        self.held_out = set(part(kids, held_out[0]) + part(grown, held_out[1]))
        self.train_sentences = [i for i, l in enumerate(self.sentences) if not l["made"] and l["speaker"] not in self.held_out]
        self.real_words, self.held_words = [], []
        self.pools = {}
        self._fill(self.synth_words)

    def _word(self, said, low, high, child, item):
        names = list(INDEX)
        start, end = said[0][0], said[-1][1]
        return Word(start, end, tuple(names[p] for _, _, p in said), start - low, high - end, child, [(s, e) for s, e, _ in said], item)

    def _fill(self, words):
        """Gives every word that can be trained on as a whole its table of readings, the right one first."""
        rng = random.Random(5)
        if not hasattr(self, "tables"):
            # Kinds: 0 right, 1 fewer, 2 changed, 3 more sounds.
            self.tables, self.kinds = [], []
        for word in words:
            if not 1 <= len(word.sounds) <= LONGEST:
                continue
            if any(a == b for a, b in zip(word.sounds, word.sounds[1:])):
                continue
            if word.sounds not in self.pools:
                wrong = wrong_readings(word.sounds, self.lexicon, POOL, rng)
                self.pools[word.sounds] = len(self.tables)
                self.tables.append(states_of([word.sounds] + wrong))
                self.kinds.append([0] + [2 + (len(r) > len(word.sounds)) - (len(r) < len(word.sounds)) for r in wrong])
            word.pool = self.pools[word.sounds]

    def set_words(self, aligned):
        """aligned: for each sentence, a list of (sounds, cuts) or None. Fills the words of the real stream."""
        self.real_words, self.held_words = [], []
        for i, found in enumerate(aligned):
            line = self.sentences[i]
            if found is None:
                continue
            ends = [cuts[-1][1] for _, cuts in found]
            starts = [cuts[0][0] for _, cuts in found]
            for k, (sounds, cuts) in enumerate(found):
                low = ends[k - 1] if k else line["from"]
                high = starts[k + 1] if k + 1 < len(found) else line["to"]
                word = Word(cuts[0][0], cuts[-1][1], tuple(sounds), cuts[0][0] - low, high - cuts[-1][1], line["age"] < 13, cuts, i)
                if 1280 <= word.end - word.start <= LENGTH - 3200:
                    (self.held_words if line["speaker"] in self.held_out else self.real_words).append(word)
        self._fill(self.real_words)
        self._fill(self.held_words)
