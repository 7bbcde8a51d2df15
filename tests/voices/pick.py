"""Picks the words of tests/voices from packs made by dsp/training/voices/make.py.

    python3 pick.py PACKS words.ogg words.jsonl           60 words: 20 of each synthesiser, a small file for the tests
    python3 pick.py PACKS heldout.ogg heldout.jsonl all   every word of the voices kept from training, for `measure`

Festival's ked_diphone, flite's rms and eight of espeak-ng's variants were kept from training; the espeak-ng voices of
words.ogg were not (other words of the same voices were trained on). Terms: see README.md in dsp/training/voices.
"""

import json
import random
import sys

import numpy as np
import soundfile as sf

NAMES = "SIL AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH".split()


def rows(pack):
    """The words of a pack as dicts."""
    z = np.load(pack)
    for i in range(len(z["off"])):
        part = slice(z["seg_ptr"][i], z["seg_ptr"][i + 1])
        segments = [(int(a), int(b), NAMES[p]) for a, b, p in zip(z["seg_start"][part], z["seg_end"][part], z["seg_phone"][part])]
        said = [s for s in segments if s[2] != "SIL"]
        if 2 <= len(said) <= 7 and said[-1][1] - said[0][0] < 16000:
            yield dict(voice=f"{z['src'][i]} {z['voice'][i]}", text=str(z["text"][i]), off=int(z["off"][i]), n=int(z["n"][i]), segments=segments)


def main(folder, audio_out, lines_out, everything=None):
    """Writes the audio and a line for each word."""
    rng = random.Random(11)
    held = list(rows(f"{folder}/heldout.npz"))
    if everything:
        chosen = [("heldout", r) for r in held]
    else:
        espeak = [r for r in rows(f"{folder}/synth.npz") if r["voice"].startswith("espeak") and " " not in r["text"].strip()]
        chosen = [("synth", r) for r in rng.sample(espeak, 20)]
        for engine in ("flite", "festival"):
            chosen += [("heldout", r) for r in rng.sample([r for r in held if r["voice"].startswith(engine)], 20)]
    at, audio = 0, []
    with open(lines_out, "w") as lines:
        for pack, row in chosen:
            x, _ = sf.read(f"{folder}/{pack}.ogg", start=row["off"], frames=row["n"], dtype="float32")
            row["off"] = at
            x = np.concatenate([x, np.zeros(3200 + (-len(x)) % 160, np.float32)])
            at += len(x)
            audio.append(x)
            lines.write(json.dumps(row, separators=(",", ":")) + "\n")
    with sf.SoundFile(audio_out, "w", 16000, 1, format="OGG", subtype="VORBIS") as f:
        whole = np.concatenate(audio)
        for a in range(0, len(whole), 160000):
            f.write(whole[a : a + 160000])


if __name__ == "__main__":
    main(*sys.argv[1:])
