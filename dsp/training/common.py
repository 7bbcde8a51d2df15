"""What every part of the recipe shares: the sounds, the frame grid, and how audio is named."""

import time

SOUNDS = (
    "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH"
).split()
CLASSES = ["SIL"] + SOUNDS  # the network's outputs, in order
INDEX = {name: i for i, name in enumerate(CLASSES)}
VOWELS = {s for s in SOUNDS if s[0] in "AEIOU"}
# Sounds that can be held: only these are lengthened when a word is stretched.
HELD = VOWELS | set("F V S Z SH ZH TH DH HH M N NG L R W Y".split())

RATE = 16_000
HOP = 80  # samples between spectra (5 ms)
WINDOW = 320  # samples in a spectrum (20 ms)
FFT = 512
MELS = 48
FRAME = 160  # samples in one output frame of the network (10 ms, two spectra)
PAIR = 2 * FRAME  # samples in two of them: what a pretrained encoder, and half of the network, hears at once
LOW_HZ, HIGH_HZ = 60.0, 7600.0

_START = time.time()


def log(*parts):
    """Prints with the seconds since the start, at once."""
    print(f"[{time.time() - _START:7.1f}]", *parts, flush=True)


def elapsed():
    """Seconds since the start of the program."""
    return time.time() - _START
