"""espeak-ng by its library: words as phone mnemonics in, samples and phoneme events out."""
import ctypes as C
import os
import random
import shutil
import subprocess

import numpy as np

from phones import FROM_ESPEAK, R_COLOURED, TO_ESPEAK, VOWELS, segments

RATE_WPM, PITCH, RANGE = 1, 3, 4  # espeak_PARAMETER numbers of espeak-ng's speak_lib.h
PHONEME_EVENT = 7
UTF8, PHONEMES = 1, 0x100  # espeak_Synth flags: PHONEMES lets [[...]] through


class _Id(C.Union):
    _fields_ = [("number", C.c_int), ("name", C.c_char_p), ("string", C.c_char * 8)]


class _Event(C.Structure):
    _fields_ = [("type", C.c_int), ("uid", C.c_uint), ("text", C.c_int), ("length", C.c_int), ("ms", C.c_int),
                ("sample", C.c_int), ("user", C.c_void_p), ("id", _Id)]


def variant_file(rng, child, klatt):
    """The text of a voice-variant file: for a child, pitch 200-350 Hz and formants 1.10 to 1.40 of the plain voice's."""
    scale = rng.uniform(1.10, 1.40) if child else rng.uniform(0.92, 1.12)
    base = rng.uniform(185, 290) if child else rng.uniform(75, 180)
    lines = ["language variant", "name x", f"pitch {base:.0f} {base * rng.uniform(1.2, 1.5):.0f}"]
    if klatt:
        lines.append(f"klatt {rng.choice([1, 2, 3])}")
    for n in range(9):
        own = scale * rng.uniform(0.96, 1.04) if n in (1, 2, 3) else 1 + (scale - 1) * (0.6 if n else 0.3)
        lines.append(f"formant {n} {100 * own:.0f} {rng.uniform(85, 115):.0f} {rng.uniform(90, 150):.0f}")
    if child and not klatt:
        lines.append("breath 0 2 3 3 3 3 3 2" if rng.random() < 0.5 else "breath 0 1 1 1 1 1 1 1")
    lines.append(f"roughness {rng.randint(0, 4)}")
    lines.append(f"consonants {rng.randint(95, 130)} {rng.randint(95, 130)}")
    return "\n".join(lines) + "\n"


CHILDREN, ADULTS = 36, 14
REPEATABLE = set("S SH F TH Z V M N".split())
OWN_VARIANTS = ["f1", "f2", "f3", "f4", "f5", "m1", "m3", "m5", "m7", "klatt", "klatt2", "klatt3"]
HELD_OUT = ["m2", "m4", "m6", "m8", "Annie", "Andy", "linda", "edward"]  # never trained on


def voice_list(held_out=False):
    """[(voice name, child)] of what make_data makes, and espeak-ng's own variants; or of those kept from training."""
    if held_out:
        return [(f"en-us+{name}", False) for name in HELD_OUT]
    ours = [(f"en-us+{'kid' if i < CHILDREN else 'adult'}{i:02d}", i < CHILDREN) for i in range(CHILDREN + ADULTS)]
    return ours + [(f"en-us+{name}", False) for name in OWN_VARIANTS] + [("en-us", False)]


def make_data(folder, seed):
    """Copies espeak-ng's American English data into `folder` and adds our variant files."""
    said = subprocess.run(["espeak-ng", "--version"], capture_output=True, text=True, check=True).stdout
    source = said.split("Data at:")[1].strip()
    target = os.path.join(folder, "espeak-ng-data")
    if not os.path.isdir(target):
        keep = {"en_dict", "intonations", "phondata", "phondata-manifest", "phonindex", "phontab"}
        os.makedirs(os.path.join(target, "lang", "gmw"))
        for name in sorted(keep) + ["lang/gmw/en-US", "lang/gmw/en"]:
            shutil.copy(os.path.join(source, name), os.path.join(target, name))
        shutil.copytree(os.path.join(source, "voices", "!v"), os.path.join(target, "voices", "!v"))
    rng = random.Random(seed)
    for i, (name, child) in enumerate(voice_list()[:CHILDREN + ADULTS]):
        with open(os.path.join(target, "voices", "!v", name.split("+")[1]), "w", encoding="ascii") as f:
            f.write(variant_file(rng, child, klatt=i % 4 == 3))


def mnemonics(words, held=(), rng=None):
    """Words (lists of ARPAbet with stress digits) as one espeak-ng phoneme input text; hisses and hums of `held` repeated."""
    return " ".join("[[" + _word(w, held, rng) + "]]" for w in words)


def after_vowel(phones, i):
    """Whether phones[i] ends its syllable right after a vowel (other than ER)."""
    before, after = phones[i - 1].rstrip("012"), phones[i + 1].rstrip("012") if i + 1 < len(phones) else ""
    return before in VOWELS and before != "ER" and after not in VOWELS


def _word(phones, held, rng):
    out, i = [], 0
    while i < len(phones):
        p, stress = phones[i].rstrip("012"), phones[i][-1]
        mark = {"1": "'", "2": ","}.get(stress, "")
        after = phones[i + 2].rstrip("012") if i + 2 < len(phones) else ""
        if p in R_COLOURED and i + 1 < len(phones) and phones[i + 1] == "R" and after not in VOWELS:
            out.append(mark + R_COLOURED[p])
            i += 2
            continue
        if p == "R" and i and after_vowel(phones, i):
            out.append("3")  # espeak-ng leaves out a bare r here: say it as the sound ER
            i += 1
            continue
        name = mark + TO_ESPEAK.get(phones[i], TO_ESPEAK.get(p))
        out += [name] * (rng.randint(2, 4) if p in held and p in REPEATABLE else 1)
        i += 1
    return "|".join(out)  # | keeps neighbouring mnemonics apart (t|S is not tS)


class Espeak:
    """One loaded library; `folder` holds espeak-ng-data."""

    def __init__(self, folder):
        self.lib = C.CDLL("libespeak-ng.so.1")
        self.rate = self.lib.espeak_Initialize(2, 0, folder.encode(), 1)
        assert self.rate > 0, "espeak-ng did not start: is its data complete?"
        self.wave, self.events = [], []
        kind = C.CFUNCTYPE(C.c_int, C.POINTER(C.c_short), C.c_int, C.POINTER(_Event))
        self.callback = kind(self._take)  # kept: the library holds only a bare pointer
        self.lib.espeak_SetSynthCallback(self.callback)

    def _take(self, wave, n, events):
        if wave and n > 0:
            self.wave.append(np.ctypeslib.as_array(wave, (n,)).copy())
        i = 0
        while events[i].type != 0:
            if events[i].type == PHONEME_EVENT:
                self.events.append((events[i].sample / self.rate, events[i].id.string.decode()))
            i += 1
        return 0

    def say(self, words, voice, wpm, pitch, span, held=(), rng=None):
        """Samples (float, -1..1), their rate, and [(start_s, end_s, sound)]."""
        assert self.lib.espeak_SetVoiceByName(voice.encode()) == 0, f"no voice {voice}"
        for what, value in ((RATE_WPM, wpm), (PITCH, pitch), (RANGE, span)):
            self.lib.espeak_SetParameter(what, value, 0)
        self.wave.clear()
        self.events.clear()
        text = mnemonics(words, held, rng).encode()
        self.lib.espeak_Synth(text, len(text) + 1, 0, 0, 0, UTF8 | PHONEMES, None, None)
        self.lib.espeak_Synchronize()
        x = np.concatenate(self.wave).astype(np.float32) / 32768
        named = [(0.0, "_")] + [(t, name.strip("'%,;|=")) for t, name in self.events]
        segs = segments(named, len(x) / self.rate, FROM_ESPEAK, keep_empty=True)
        return x, self.rate, _joined(segs) if held else segs


def _joined(segs):
    """Equal neighbours (a sound drawn out by repeating it) as one."""
    out = []
    for a, b, name in segs:
        if out and out[-1][2] == name:
            out[-1] = (out[-1][0], b, name)
        else:
            out.append((a, b, name))
    return out
