"""Makes words said alone by a neural synthesiser, Kokoro-82M (see README.md beside this file for its files).

    python3 voices/neural.py --model FILE --voices FOLDER --vocabulary FILE --out FOLDER --words N [--jobs 2]

Writes neural.opus.ogg, one stream, and neural.jsonl, a line a word, in the shape of the read sentences. Words, voices and
speeds are the same every time; after --minutes it stops where it is and what it has written is whole.
"""
import argparse
import glob
import hashlib
import itertools
import json
import os
import random
import time
from collections import Counter, namedtuple
from multiprocessing import Pool

import numpy as np
import soundfile as sf

import sound
from neural_words import Chooser
from pack import GRID

SEED = 20260801
SHA256 = "6e742170d309016e5891a994e1ce1559c702a2ccd0075e67ef7157974f6406cb"
MODEL_RATE = 24000
LEVEL = 0.94                # soundfile's compression level: about 21 kbit/s of mono speech
BLENDS = 0.75               # share of words said by a blend of two voices
TIMBRE = 128                # numbers of a style that set the sound of a voice; the others set how it speaks
SHORTEST, LONGEST = 0.15, 1.7   # seconds of sound
NOISE = 1e-4                # standard deviation: the model's silence is exactly none
SYMBOLS = {
    "AA": "ɑ", "AE": "æ", "AH": "ʌ", "AH0": "ə", "AO": "ɔ", "AW": "W", "AY": "I", "EH": "ɛ", "ER": "ɜɹ", "ER0": "əɹ",
    "EY": "A", "IH": "ɪ", "IY": "i", "OW": "O", "OY": "Y", "UH": "ʊ", "UW": "u", "B": "b", "CH": "ʧ", "D": "d",
    "DH": "ð", "F": "f", "G": "ɡ", "HH": "h", "JH": "ʤ", "K": "k", "L": "l", "M": "m", "N": "n", "NG": "ŋ", "P": "p",
    "R": "ɹ", "S": "s", "SH": "ʃ", "T": "t", "TH": "θ", "V": "v", "W": "w", "Y": "j", "Z": "z", "ZH": "ʒ",
}
STRESS = {"1": "ˈ", "2": "ˌ"}
END = "."               # with a full stop, fewer words are cut off at their end
# The first two stop before the end of many words; of the others' words the ear of the time told a fifth or more wrong.
LEFT_OUT = set("am_onyx im_nicola zf_xiaobei zf_xiaoni zm_yunxia".split())

# voices, manner: [(name, share)], whose sound and whose way to speak; seed: for the sound's own chances
Wish = namedtuple("Wish", "entry voices manner speed seed")


def symbols(stressed):
    """The model's own US symbols for dictionary phones; a stress mark stands before its vowel."""
    return "".join(STRESS.get(p[-1], "") + SYMBOLS.get(p, SYMBOLS.get(p.rstrip("012"))) for p in stressed) + END


def speaker(voices):
    """The name under which a voice or a blend stands in the index."""
    return "neural-" + "+".join(sorted(name for name, _ in voices))


def blend(names, rng):
    """One voice, or two in any shares: up to a quarter past one of them, away from the other."""
    first, second = rng.sample(names, 2)
    share = rng.uniform(-0.25, 1.25)
    return [(first, share), (second, 1 - share)] if rng.random() < BLENDS else [(first, 1.0)]


def wishes(count, names):
    """What is to be said, in order."""
    chooser, rng = Chooser(SEED), random.Random(SEED + 1)
    for i in range(count):
        yield Wish(chooser.next(), blend(names, rng), blend(names, rng), rng.uniform(0.75, 1.15), SEED + i)


class Voices:
    """The model; `numbers` of its symbols; `styles` of its voices, one for each number of symbols."""

    def __init__(self, model, numbers, styles):
        import onnxruntime  # only now: what is to be said by whom can be asked without it

        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = options.inter_op_num_threads = 1
        self.session = onnxruntime.InferenceSession(model, options, providers=["CPUExecutionProvider"])
        self.numbers, self.styles = numbers, styles

    def say(self, wish):
        """Samples at MODEL_RATE."""
        said = [self.numbers[c] for c in symbols(wish.entry.stressed)]
        mixed = lambda voices: sum(share * self.styles[name][len(said)] for name, share in voices)
        style = np.concatenate([mixed(wish.voices)[:, :TIMBRE], mixed(wish.manner)[:, TIMBRE:]], 1).astype(np.float32)
        tokens, speed = np.array([[0] + said + [0]], np.int64), np.array([wish.speed], np.float32)
        return self.session.run(None, {"tokens": tokens, "style": style, "speed": speed})[0].ravel()


def finish(x, seed):
    """(16 kHz samples with silence on both sides, None), or (None, why not)."""
    if not np.isfinite(x).all() or np.abs(x).max() < 1e-3:
        return None, "no sound"
    x, _ = sound.resample(x, MODEL_RATE, 1.0)
    first, last = sound.sounding(x)
    if last > len(x) - 0.02 * sound.RATE:
        return None, "cut off"
    if not SHORTEST <= (last - first) / sound.RATE <= LONGEST:
        return None, "too short or too long"
    rng = np.random.default_rng(seed)
    before, after = (rng.uniform(0.15, 0.25, 2) * sound.RATE).astype(int)
    y = np.zeros(-(-(before + last - first + after) // GRID) * GRID)
    low, high = max(0, first - before), min(len(x), first - before + len(y))
    y[low - (first - before):high - (first - before)] = x[low:high]
    y *= 0.5 * rng.uniform(0.85, 1.15) / np.abs(y).max()
    return (y + rng.normal(0, NOISE, len(y))).astype(np.float32), None


_KEPT = {}


def begin(*what):
    """Loads the model, once a process."""
    _KEPT["voices"] = Voices(*what)


def make(wish):
    """One word: (wish, samples or None, why not)."""
    return (wish, *finish(_KEPT["voices"].say(wish), wish.seed))


def line(number, wish, start, end):
    """The word's line of the index."""
    return json.dumps({"utterance": f"neural{number:05d}", "speaker": speaker(wish.voices), "age": 30,
                       "words": [wish.entry.word], "phones": [list(wish.entry.sounds)], "start": start, "end": end})


def write(made, stem, seconds):
    """Writes what comes until `seconds` are over; gives (words, samples, why others were dropped)."""
    began, at, number, dropped = time.time(), 0, 0, Counter()
    opus = {"format": "OGG", "subtype": "OPUS", "compression_level": LEVEL}
    with (sf.SoundFile(stem + ".opus.ogg", "w", sound.RATE, 1, **opus) as audio,
          open(stem + ".jsonl", "w", encoding="utf-8") as index):
        for wish, x, why in made:
            if x is None:
                dropped[why] += 1
            else:
                audio.write(x)
                print(line(number, wish, at, at + len(x)), file=index)
                number, at = number + 1, at + len(x)
            if number % 250 == 0 and x is not None:
                print(f"{time.time() - began:6.0f} s: {number} words, {at / sound.RATE / 60:.1f} min", flush=True)
            if time.time() - began > seconds:
                break
    return number, at, dropped


def checked(model):
    """The model's path, if it is the file that this was written for."""
    with open(model, "rb") as f:
        found = hashlib.file_digest(f, "sha256").hexdigest()
    if found != SHA256:
        raise SystemExit(f"{model}: sha256 is {found}, not {SHA256}; join its four parts as voices/README.md says")
    return model


def numbers_of(vocabulary):
    """{symbol: number}."""
    with open(vocabulary, encoding="utf-8") as f:
        numbers = json.load(f)["vocab"]
    missing = {c for s in [*SYMBOLS.values(), *STRESS.values(), END] for c in s} - set(numbers)
    if missing:
        raise SystemExit(f"{vocabulary}: lacks {sorted(missing)}; take the vocabulary named in voices/README.md")
    return numbers


def styles_in(folder):
    """{name: styles} of the voices in the folder: those made for other languages speak English with an accent, as many
    readers do."""
    files = sorted(glob.glob(os.path.join(folder, "*.bin")))
    styles = {os.path.basename(f)[:-4]: np.fromfile(f, "<f4").reshape(-1, 1, 256) for f in files}
    styles = {name: one for name, one in styles.items() if name not in LEFT_OUT}
    if len(styles) < 2:
        raise SystemExit(f"{folder}: two or more voices (*.bin) are wanted")
    return styles


def main():
    """Reads the command line and makes the words."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--model", required=True, help="kokoro-v1.0.int8.onnx, joined")
    parser.add_argument("--voices", required=True, help="folder of *.bin")
    parser.add_argument("--vocabulary", required=True, help="vocab.json")
    parser.add_argument("--out", required=True, help="folder for neural.opus.ogg and neural.jsonl")
    parser.add_argument("--words", type=int, required=True, help="how many are asked for")
    parser.add_argument("--skip", type=int, default=0, help="of them, how many are left out at the start: made before")
    parser.add_argument("--jobs", type=int, default=2, help="processes")
    parser.add_argument("--minutes", type=float, default=float("inf"), help="stop after this long")
    args = parser.parse_args()
    os.makedirs(args.out, exist_ok=True)
    stem, styles = os.path.join(args.out, "neural"), styles_in(args.voices)
    what = checked(args.model), numbers_of(args.vocabulary), styles
    with Pool(args.jobs, begin, what) as pool:
        wanted = itertools.islice(wishes(args.words, list(styles)), args.skip, None)
        number, samples, dropped = write(pool.imap(make, wanted, 4), stem, args.minutes * 60)
        pool.terminate()
    whole, size = sf.info(stem + ".opus.ogg").frames == samples, os.path.getsize(stem + ".opus.ogg") / 1e6
    print(f"{stem}: {number} words, {samples / sound.RATE / 60:.1f} min, {size:.1f} MB; decoded length "
          f"{'the same' if whole else 'DIFFERENT'}; dropped: {dict(dropped) or 'none'}")


if __name__ == "__main__":
    main()
