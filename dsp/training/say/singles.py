"""Cuts each sound alone out of a recording in which it was held (see README.md beside this file)."""
import argparse
import json
import os

import numpy as np
import scipy.signal as signal
import soundfile as sf

from sound import RATE, STOPS, VOICELESS, burst, voice_after, voiced_part

LONGEST = 0.42          # seconds of a held sound
SHORT = {"AH0": 0.22, "ER0": 0.3, "HH": 0.25}
BREATH = 0.11           # seconds of a voiceless stop after its burst
HISS = 0.17             # seconds of an affricate
BAR = 0.05              # seconds of voice before the burst of b, d, g
VOWEL = 0.018           # seconds after it: well under the 30 ms that a stop may have
LEVEL = {"vowel": -17, "voiced": -20, "hiss": -24, "weak": -29, "stop": -24}   # dB of the loudest 50 ms
KIND = {**dict.fromkeys("L R W Y M N NG".split(), "voiced"), **dict.fromkeys("S SH Z ZH V DH".split(), "hiss"),
        **dict.fromkeys("F TH HH".split(), "weak"), **dict.fromkeys(STOPS, "stop")}


def faded(x, rise, fall):
    """With a raised-cosine rise and fall of these seconds."""
    x = x.copy()
    for seconds, part in ((rise, slice(None, None)), (fall, slice(None, None, -1))):
        n = min(len(x), int(seconds * RATE))
        x[part][:n] *= 0.5 - 0.5 * np.cos(np.pi * (np.arange(n) + 0.5) / n)
    return x


def of_stop(x, sound, start, end):
    """A stop or affricate: its burst, and for b, d and g the voice before and a little after."""
    at = burst(x, start, end, sound in VOICELESS)
    voice = voice_after(x, at)
    if sound in VOICELESS:
        to = min(voice - int(0.004 * RATE), at + int((HISS if sound == "CH" else BREATH) * RATE))
        return faded(x[at - int(0.004 * RATE):to], 0.002, 0.02)
    hiss = min(voice, at + int(HISS * RATE)) if sound == "JH" else at
    to = hiss + int((0.0 if sound == "JH" else VOWEL) * RATE)
    return faded(x[at - int(BAR * RATE):to], 0.015, 0.012)


def of_held(x, name, start, end):
    """A sound that was held: its inner part."""
    start, end = start + int(0.02 * RATE), end - int(0.035 * RATE)
    end = min(end, start + int(SHORT.get(name, LONGEST) * RATE))
    return faded(x[start:end], 0.02, 0.07)


def leveled(x, name):
    """At the level of its kind, no sample over 0.7."""
    wide = min(len(x), int(0.05 * RATE))
    power = np.sqrt(np.convolve(x ** 2, np.ones(wide) / wide, "valid").max())
    wanted = 10 ** (LEVEL[KIND.get(name, "vowel")] / 20)
    return x * min(wanted / power, 0.7 / np.abs(x).max())


def cut(entry, heard, folder):
    """(samples, how good) of one candidate, or None."""
    fit = heard.get("fit")
    if not fit or max(fit, key=fit.get) != "same":
        return None
    x, _ = sf.read(os.path.join(folder, entry["audio"]))
    name, own = entry["sound"], entry["i"]
    count = name.count("_") + 1
    part = heard["sounds"][own:own + count]
    start, end = int(part[0]["start_s"] * RATE), int(part[-1]["end_s"] * RATE)
    sure = min(p["evidence"] for p in part)
    if name in STOPS:
        return of_stop(x, name, start, end), sure
    x = signal.sosfiltfilt(signal.butter(2, 60, "high", fs=RATE, output="sos"), x)
    if name not in KIND:    # the ear's times of a vowel that was held are rough
        start, end = voiced_part(x[start:end + RATE // 4]) + np.array(start)
    y = of_held(x, name, start, end)
    return y, sure + 2 * min(len(y) / RATE, SHORT.get(name, 0.3))


def main():
    """Cuts the best candidate of each sound and lists them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--held", required=True, help="folder with single.jsonl and what it names")
    parser.add_argument("--heard", required=True, help="the ear's answers on them")
    parser.add_argument("--out", required=True, help="the bank's folder: singles/ and singles.jsonl")
    args = parser.parse_args()
    with open(args.heard, encoding="utf-8") as f:
        heard = {answer["id"]: answer for answer in map(json.loads, f)}
    best = {}
    with open(os.path.join(args.held, "single.jsonl"), encoding="utf-8") as f:
        for entry in map(json.loads, f):
            found = cut(entry, heard.get(f"{entry['sound']}-{entry['v']}", {}), args.held)
            if found and (entry["sound"] not in best or found[1] > best[entry["sound"]][1]):
                best[entry["sound"]] = found
    os.makedirs(os.path.join(args.out, "singles"), exist_ok=True)
    with open(os.path.join(args.out, "singles.jsonl"), "w", encoding="utf-8") as f:
        for name, (x, _) in sorted(best.items()):
            sf.write(os.path.join(args.out, "singles", name + ".wav"), leveled(x, name), RATE, subtype="PCM_16")
            weak = name.endswith("0")
            print(json.dumps({"sounds": name.rstrip("0").split("_"), "weak": weak, "file": name + ".wav"}), file=f)
            print(f"{name:5} {1000 * len(x) / RATE:4.0f} ms")


if __name__ == "__main__":
    main()
