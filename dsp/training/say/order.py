"""Which words are spoken, the most useful first: common ones, and a greedy cover of sounds in their surroundings."""
import collections
import heapq

from lexicon import words

FIRST = 150         # words by cover alone, so that every early stop leaves a bank that can say anything
OF_FIVE = 3         # of five words after them so many are by cover, the others by frequency
RARE = 0.6          # power on how many common words hold a triple: rare ones count too
PAIR = 3.0          # a pair of sounds that is missing hurts more than a triple
FIXED = 3.0         # what a word costs besides its sounds


def keys(way):
    """The pairs and triples of sounds in a word, silence at both ends, vowels told apart by stress."""
    named = ["#"] + [name + ("1" if stress else "") for name, stress in way] + ["#"]
    return set(zip(named, named[1:])), set(zip(named, named[1:], named[2:]))


def ordered(tables, blocked):
    """Yields (word, way)."""
    ways = {w: (said[0], zipf) for w, said, zipf, common in words(tables) if common and not blocked(w)}
    parts = {w: [*map(list, keys(way))] for w, (way, _) in ways.items()}
    counts = collections.Counter(part for both in parts.values() for kind in both for part in kind)
    have, done = set(), set()

    def gain(word):
        pairs, triples = parts[word]
        worth = lambda some: sum(counts[part] ** RARE for part in some if part not in have)
        return (PAIR * worth(pairs) + worth(triples)) / (len(ways[word][0]) + FIXED)

    heap = [(-gain(word), word) for word in ways]
    heapq.heapify(heap)

    def by_cover():
        while heap:
            _, word = heapq.heappop(heap)
            if word in done:
                continue
            now = -gain(word)
            if not heap or now <= heap[0][0]:
                return word
            heapq.heappush(heap, (now, word))
        return None

    common = iter(sorted((w for w in ways if "'" not in w), key=lambda w: (-ways[w][1], w)))
    for number in range(len(ways)):
        cover = number < FIRST or number % 5 < OF_FIVE
        word = by_cover() if cover else next((w for w in common if w not in done), None)
        if word is None:
            return
        done.add(word)
        have.update(*parts[word])
        yield word, ways[word][0]
