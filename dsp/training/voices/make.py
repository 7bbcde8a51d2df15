"""Makes the synthetic training words: `python3 make.py --out DIR --minutes 200` (see README.md beside this file)."""
import argparse
import os
import random
import tempfile
import time
from collections import Counter
from multiprocessing import Pool

import numpy as np

import pack
import sound
import voice_espeak
import voice_festival
import voice_flite
from snap import snap
from words import Words

SEED = 20260727
ITEMS_PER_MINUTE = 73       # about 0.82 s an item with its silence
# engine, voice, share of items, own pitch in Hz (None: the voice sets it), resampling range when made child-like
VOICES = [
    ("espeak", "", 0.50, None, (1.0, 1.15)),
    ("flite", "kal16", 0.09, 95, (1.20, 1.45)),
    ("flite", "awb", 0.09, 105, (1.20, 1.45)),
    ("flite", "slt", 0.10, 180, (1.10, 1.35)),
    ("festival", "kal_diphone", 0.13, 105, (1.20, 1.45)),
    ("festival", "cmu_us_slt_arctic_hts", 0.09, 180, (1.10, 1.35)),
]
HELD_OUT = [("flite", "rms", 95, (1.20, 1.45)), ("festival", "ked_diphone", 105, (1.20, 1.45)), ("espeak", "held out", None, (1.0, 1.15))]
CHILD_SHARE = 0.6
KAL_HELD_SHARE, ESPEAK_HELD_SHARE = 0.40, 0.02
CHUNK = 150


def speaking(rng, own, child, span):
    """(stretch, resampling, pitch scale): the stretch already makes good the resampling, so the tempo stays 0.75 to 1.6."""
    tempo, faster = rng.triangular(0.75, 1.6, 1.05), rng.uniform(*span) if child else rng.uniform(0.96, 1.04)
    pitch = rng.uniform(0.9, 1.15)
    if child:
        pitch = rng.uniform(210, 330) / faster / own  # Hz wanted after resampling
    return tempo * faster, faster, min(max(pitch, 0.8), 2.0)


def known(say, *what):
    """What `say` gives, or (None, 0, why) where the synthesiser named a phone that no map holds."""
    try:
        return say(*what)
    except KeyError as name:
        return None, 0, f"unknown phone {name}"


def espeak_chunk(words, count, rng, folder, held_out):
    """Yields (item, x, rate, segs, faster, voice, child)."""
    engine = voice_espeak.Espeak(folder)
    voices = voice_espeak.voice_list(held_out)
    kids, others = [v for v in voices if v[1]], [v for v in voices if not v[1]]
    kids = kids or others
    for _ in range(count):
        item = words.item(rng.random() < ESPEAK_HELD_SHARE)
        voice, child = rng.choice(kids if rng.random() < CHILD_SHARE else others)
        faster = rng.uniform(1.0, 1.15) if child else rng.uniform(0.96, 1.04)
        wpm = int(min(max(150 / rng.triangular(0.75, 1.6, 1.05) / faster, 80), 220))
        pitch, span = rng.randint(35, 65), rng.randint(25, 80)
        x, rate, segs = known(engine.say, item.words, voice, wpm, pitch, span, item.held, rng)
        if x is not None:
            segs = sound.split_vowel_l(x, rate, sound.closures(x, rate, segs))
        yield item, x, rate, segs, faster, voice, child


def flite_chunk(words, count, rng, folder, voice, own, span):
    """Yields as espeak_chunk does."""
    for _ in range(count):
        item, child = words.item(False), rng.random() < CHILD_SHARE
        stretch, faster, pitch = speaking(rng, own, child, span)
        x, rate, segs = known(voice_flite.say, item.words, voice, stretch, pitch, folder)
        yield item, x, rate, segs, faster, voice, child


def festival_chunk(words, count, rng, folder, voice, own, span):
    """Yields as espeak_chunk does; a None for x where festival gave nothing."""
    jobs, plans = [], []
    for _ in range(count):
        item = words.item(voice == "kal_diphone" and rng.random() < KAL_HELD_SHARE)
        child = rng.random() < CHILD_SHARE
        stretch, faster, pitch = speaking(rng, own, child, span)
        held = {p: rng.uniform(2, 5) for p in sorted(item.held)} if voice == "kal_diphone" else {}
        jobs.append((item.words, stretch, own * pitch, held))
        plans.append((item, faster, child))
    said, error = voice_festival.say_all(jobs, voice, folder)
    for (item, faster, child), one in zip(plans, said):
        x, rate, segs = one or (None, 0, "gave no sound")
        yield item, x, rate, segs, faster, voice, child


def chunk(job):
    """One worker's piece: (items, why others were dropped)."""
    engine, voice, own, span, count, seed, folder, plain = job
    rng, words, out, dropped = random.Random(seed), _words(), [], Counter()
    words.rng = random.Random(seed + 1)
    pieces = (espeak_chunk(words, count, rng, folder, voice == "held out") if engine == "espeak" else
              (flite_chunk if engine == "flite" else festival_chunk)(words, count, rng, folder, voice, own, span))
    while True:
        try:
            item, x, rate, segs, faster, name, child = next(pieces)
        except StopIteration:
            return out, dropped
        if x is None:
            dropped[f"{engine} {voice}: {segs}"] += 1
            continue
        y, scale = sound.resample(x, rate, faster)
        done = sound.finish(y, [(a * scale, b * scale, p) for a, b, p in segs], rng)
        if done is None:
            dropped[f"{engine} {voice}: a sound shorter than 8 ms or nothing heard ({item.kind})"] += 1
            continue
        if not plain:
            done = done[0], snap(done[0].astype(np.float32) / 32768, done[1], engine)
        wanted, got = [p.rstrip("012") for w in item.words for p in w], [s[2] for s in done[1] if s[2] != "SIL"]
        out.append({"x": done[0], "segs": done[1], "src": engine, "voice": name, "child": child, "text": item.text,
                    "kind": item.kind, "held": bool(item.held), "as_asked": wanted == got})


_KEPT = {}


def _words():
    """The word lists, loaded once a process."""
    return _KEPT.setdefault("words", Words(SEED))


def build(jobs, stem, pool):
    """Runs the jobs, writes stem.ogg and stem.npz, prints what came of it."""
    items, dropped, began = [], Counter(), time.time()
    for got, lost in pool.imap(chunk, jobs):
        items += got
        dropped += lost
    random.Random(SEED).shuffle(items)
    stream = pack.write(items, stem)
    length, share, worst = pack.round_trip(stream, stem)
    size = os.path.getsize(stem + ".ogg") / 1e6
    print(f"{stem}: {len(items)} items, {len(stream) / 960000:.1f} min, {size:.1f} MB, {time.time() - began:.0f} s; decoded "
          f"length {'the same' if length else 'DIFFERENT'}, {share:.0%} of places unshifted, largest shift {worst}")
    minutes, kinds = Counter(), Counter()
    for i in items:
        minutes[f"{i['src']} {i['voice'].split('+')[0]}{' child-like' if i['child'] else ''}"] += len(i["x"]) / 960000
        kinds[i["kind"] + (" held" if i["held"] else "")] += 1
    print("  minutes:", ", ".join(f"{k} {v:.1f}" for k, v in sorted(minutes.items())))
    print("  kinds:", dict(kinds), f"; phones just as asked: {np.mean([i['as_asked'] for i in items]):.1%}")
    print("  dropped:", dict(dropped) or "none")


def main():
    """Reads the command line and makes both packs."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", required=True, help="folder for synth.ogg, synth.npz, heldout.ogg, heldout.npz")
    parser.add_argument("--minutes", type=float, default=200.0, help="about how much training sound to make")
    parser.add_argument("--plain", action="store_true", help="leave the synthesisers' own boundaries (for measuring them)")
    args = parser.parse_args()
    os.makedirs(args.out, exist_ok=True)
    total, seed = args.minutes * ITEMS_PER_MINUTE, iter(range(SEED, SEED + 10**6, 10))
    with tempfile.TemporaryDirectory() as folder:
        voice_espeak.make_data(folder, SEED)

        def jobs(engine, voice, own, span, count):
            """Chunks of one voice."""
            parts = -(-count // CHUNK)
            return [(engine, voice, own, span, count // parts + (i < count % parts), next(seed), folder,
                     args.plain) for i in range(parts)]

        train = [j for e, v, share, own, span in VOICES for j in jobs(e, v, own, span, max(4, round(total * share)))]
        held = [j for e, v, own, span in HELD_OUT for j in jobs(e, v, own, span, 400 if args.minutes > 20 else 20)]
        with Pool() as pool:
            build(held, os.path.join(args.out, "heldout"), pool)
            build(train, os.path.join(args.out, "synth"), pool)


if __name__ == "__main__":
    main()
