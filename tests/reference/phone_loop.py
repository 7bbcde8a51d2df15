"""Counts sounds without a target by two means on the same files: Soundbead, and the phone loop of the pocketsphinx
package (PyPI `pocketsphinx` 5, a general-purpose recogniser, with the en-us model that comes with it).

    python3 phone_loop.py --speech FOLDER --soundbead target/release/soundbead [--keep FOLDER]

FOLDER holds read_dev.ogg and read_dev_words.jsonl. Needs numpy, soundfile, pocketsphinx. Each word with at least 40 ms
of silence on both sides and two or more sounds is written as a WAV of its own (up to 100 ms around the given times, half
the silence at most), and both hear that file, one core each. The loop's settings are the best of those in SETTINGS on
these very files, which flatters it; Soundbead has one setting. Nothing here is part of the product.
"""

import argparse
import json
import subprocess
import tempfile
import time
from pathlib import Path

import soundfile as sf
from pocketsphinx import Decoder, get_model_path

RATE = 16_000
# Language weight and phone insertion penalty: the package's own values for phone loops first, then around them.
SETTINGS = [(2.0, 1.0), (1.0, 1.0), (4.0, 1.0), (2.0, 0.1), (2.0, 1e-3)]
NOT_SOUNDS = {"SIL", "+NSN+", "+SPN+", "<s>", "</s>", "(NULL)"}


def cuts(speech, folder):
    """Writes the words; returns [(path, word)]."""
    audio, rate = sf.read(speech / "read_dev.ogg", dtype="int16")
    assert rate == RATE, f"16 kHz is wanted, found {rate}"
    out = []
    for i, line in enumerate(open(speech / "read_dev_words.jsonl")):
        word = json.loads(line)
        before, after = word["gap_before_ms"], word["gap_after_ms"]
        if min(before, after) < 40 or len(word["phones"]) < 2:
            continue
        start = max(0, word["start"] - min(100, before // 2) * 16)
        path = folder / f"{i:05}.wav"
        sf.write(path, audio[start : word["end"] + min(100, after // 2) * 16], RATE, subtype="PCM_16")
        out.append((path, word))
    return out


def loop_counts(words, weight, penalty):
    """Counts of the phone loop, and the seconds it took."""
    model = Path(get_model_path()) / "en-us"
    decoder = Decoder(
        hmm=str(model / "en-us"), allphone=str(model / "en-us-phone.lm.bin"), lm=None, dict=None,
        allphone_ci=True, lw=weight, pip=penalty, beam=1e-20, pbeam=1e-20, loglevel="FATAL",
    )  # fmt: skip
    counts, start = [], time.perf_counter()
    for path, _ in words:
        audio, _ = sf.read(path, dtype="int16")
        decoder.start_utt()
        decoder.process_raw(audio.tobytes(), full_utt=True)
        decoder.end_utt()
        counts.append(sum(s.word not in NOT_SOUNDS for s in decoder.seg() or []))
    return counts, time.perf_counter() - start


def own_counts(words, program, folder):
    """Counts of `soundbead batch` on one thread, and the seconds it took. A file it can't use counts as 0 sounds."""
    manifest = folder / "manifest.jsonl"
    manifest.write_text("".join(json.dumps({"id": i, "audio": path.name}) + "\n" for i, (path, _) in enumerate(words)))
    start = time.perf_counter()
    done = subprocess.run([program, "batch", manifest, "--jobs", "1", "--json"], capture_output=True, text=True, check=True)
    taken = time.perf_counter() - start
    return [json.loads(line).get("heard", 0) for line in done.stdout.splitlines()], taken


def row(name, words, counts, taken, seconds):
    """Prints one line for children and one for adults."""
    for who, child in (("children", True), ("adults", False)):
        off = [abs(c - len(w["phones"])) for c, (_, w) in zip(counts, words) if (w["age"] < 13) == child]
        exact, near = (100 * sum(o <= k for o in off) / len(off) for k in (0, 1))
        print(f"{name:<44} {who:<9} exact {exact:5.1f} %  within one {near:5.1f} %  of {len(off)}")
    print(f"{'':<44} {taken:.1f} s for {seconds:.0f} s of sound: {seconds / taken:.0f} times real time on one core")


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--speech", type=Path, required=True)
    parser.add_argument("--soundbead", required=True)
    parser.add_argument("--keep", type=Path, help="keep the cuts here")
    a = parser.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        folder = a.keep or Path(scratch)
        folder.mkdir(parents=True, exist_ok=True)
        words = cuts(a.speech, folder)
        seconds = sum(sf.info(path).duration for path, _ in words)
        row("Soundbead, blind", words, *own_counts(words, a.soundbead, folder), seconds)
        tried = []
        for weight, penalty in SETTINGS:
            counts, taken = loop_counts(words, weight, penalty)
            exact = sum(c == len(w["phones"]) for c, (_, w) in zip(counts, words))
            tried.append((exact, weight, penalty, counts, taken))
        for exact, weight, penalty, _, _ in tried:
            print(f"phone loop tried: lw {weight}, pip {penalty}: {exact} of {len(words)} exact")
        _, weight, penalty, counts, taken = max(tried)
        row(f"pocketsphinx phone loop, lw {weight}, pip {penalty}", words, counts, taken, seconds)


if __name__ == "__main__":
    main()
