"""What is measured of a recording: levels, where sounds may be joined, the Vorbis packets."""
import io
import struct

import numpy as np
import scipy.signal as signal
import soundfile as sf

RATE = 16000
BANDS = 10
STOPS = set("P T K B D G CH JH".split())
VOICELESS = set("P T K CH".split())
BAR, BAR_GAIN = 800, 0.25   # samples (50 ms) of voice left before a voiced stop, and what is left of its level
FRAME, HOP = 256, 32        # samples: 16 ms, every 2 ms
QUIET = 10 ** (-50 / 20)    # against the loudest sample: silence around a word
EDGE = 0.06                 # seconds kept on both sides of a word
QUALITY = 0.9               # soundfile's compression level: about 28 kbit/s of mono speech at 16 kHz


def mel_bands():
    """Weights of ten triangles of equal width on the mel scale, 100 Hz to 8 kHz, over the spectrum of a frame."""
    mel = lambda hz: 2595 * np.log10(1 + hz / 700)
    corners = 700 * (10 ** (np.linspace(mel(100), mel(8000), BANDS + 2) / 2595) - 1)
    hz = np.fft.rfftfreq(2 * FRAME, 1 / RATE)
    rise = (hz[None] - corners[:-2, None]) / np.diff(corners)[:-1, None]
    fall = (corners[2:, None] - hz[None]) / np.diff(corners)[1:, None]
    return np.clip(np.minimum(rise, fall), 0, None)


MEL = mel_bands()


def levels(x, at):
    """dB of the ten bands over 32 ms about a sample, 0 for an amplitude of one."""
    wide = 2 * FRAME
    piece = np.zeros(wide)
    low, high = max(0, at - FRAME), min(len(x), at + FRAME)
    piece[low - (at - FRAME):high - (at - FRAME)] = x[low:high]
    power = np.abs(np.fft.rfft(piece * np.hanning(wide))) ** 2
    return np.clip(np.round(10 * np.log10(MEL @ power / wide + 1e-9)), -128, 127).astype(int)


def edges(x):
    """First and last sample of the word with EDGE around it."""
    smooth = np.sqrt(np.convolve(x ** 2, np.ones(80) / 80, "same"))
    loud = np.flatnonzero(smooth > QUIET * np.abs(x).max())
    edge = int(EDGE * RATE)
    return max(0, loud[0] - edge), min(len(x), loud[-1] + edge)


def leveled(x):
    """The word with its loudest 100 ms at -17 dB, no sample over 0.85."""
    power = np.sqrt(np.convolve(x ** 2, np.ones(1600) / 1600, "same").max())
    return x * min(10 ** (-17 / 20) / power, 0.85 / np.abs(x).max())


def join_place(x, sound, start, end):
    """The sample at which a sound may be joined: the quietest of a stop's closure, the steadiest of any other."""
    if sound in STOPS:
        low, high = max(0, start - 400), start + max(1, int(0.6 * (end - start)))
        power = np.convolve(x[low:high + 1] ** 2, np.ones(128) / 128, "same")
        quiet = np.flatnonzero(power <= 2 * power.min() + 1e-9)
        return low + int(quiet[len(quiet) // 2])
    span = end - start
    places = np.arange(start + int(0.35 * span), start + int(0.65 * span) + 1, HOP)
    if len(places) < 3:
        return (start + end) // 2
    change = [np.abs(levels(x, p - 128) - levels(x, p + 128)).mean() for p in places]
    return int(places[int(np.argmin(change + 0.3 * np.abs(places - (start + end) / 2) / 160))])


def treble(x):
    """Level over 2 kHz about each sample, over 2 ms."""
    high = signal.sosfiltfilt(signal.butter(4, 2000, "high", fs=RATE, output="sos"), x)
    return np.sqrt(np.convolve(high ** 2, np.ones(32) / 32, "same") + 1e-12)


def bass(x):
    """Level under 900 Hz about each sample, over 2 ms."""
    low = signal.sosfiltfilt(signal.butter(4, 900, "low", fs=RATE, output="sos"), x)
    return np.sqrt(np.convolve(low ** 2, np.ones(32) / 32, "same") + 1e-12)


def burst(x, start, end, voiceless):
    """The sample of a stop's burst: where the treble first comes within 12 dB of its loudest in the stop.

    The synthesiser hums before many voiceless stops: there the treble must also stand out from the bass.
    """
    low = max(0, start - 400)
    level, hum = treble(x)[low:end], bass(x)[low:end]
    is_burst = level > 0.25 * level.max()
    if voiceless:
        over_8_ms = lambda y: np.convolve(y, np.ones(128) / 128, "same")
        is_burst &= over_8_ms(level) > 0.35 * over_8_ms(hum)
    return low + int(np.argmax(is_burst))


def repeats(x, place):
    """How much 20 ms of sound repeat at a period of the voice, 0 to 1."""
    piece = x[place:place + 320]
    like = np.correlate(piece, piece, "full")[len(piece) - 1:]
    lags = np.arange(55, 120)       # 290 down to 133 Hz
    return float((like[lags] / (1 - lags / 320)).max() / (like[0] + 1e-9))


def voice_after(x, at):
    """The sample at which the voice begins after a burst: from the loudest place of the vowel back while it repeats."""
    level = np.sqrt(np.convolve(x ** 2, np.ones(160) / 160, "same") + 1e-12)
    place = at + int(np.argmax(level[at:at + RATE // 2]))
    loud = level[place]
    # A burst may be louder than the vowel: look on until there is a voice.
    while repeats(x, place) < 0.7 and place < at + RATE // 3:
        place += 32
    while place > at and repeats(x, place) > 0.6 and level[place] > 0.1 * loud:
        place -= 16
    return place + 160


def voiced_part(x):
    """(start, end) of the longest loud part that repeats."""
    level = np.sqrt(np.convolve(x ** 2, np.ones(320) / 320, "same") + 1e-12)
    places = np.arange(0, len(x) - 400, 32)
    good = [level[p + 160] > 0.2 * level.max() and repeats(x, p) > 0.5 for p in places]
    best, run = (0, 0), 0
    for i, yes in enumerate([*good, False]):
        if yes:
            run += 1
            continue
        if run > best[1] - best[0]:
            best = (i - run, i)
        run = 0
    return int(places[best[0]]) + 160, int(places[min(best[1], len(places) - 1)]) + 160


def sharpest(x, start, end):
    """The sample at which the treble rises most in a voiced stop: its burst."""
    low = max(0, start - 400)
    level = treble(x)[low:end]
    before = np.convolve(level, np.ones(160) / 160, "full")[:len(level)]    # the mean of 10 ms up to each sample
    rise = level[200:] / (before[160:-40] + 0.02 * level.max())
    return low + 200 + int(np.argmax(rise)) if len(rise) else start


def hiss_start(x, start, end):
    """The first sample at which the treble of a voiceless sound stands out from the bass, or its start."""
    low = max(0, start - 400)
    over_8_ms = lambda y: np.convolve(y[low:end], np.ones(128) / 128, "same")
    level, hum = over_8_ms(treble(x)), over_8_ms(bass(x))
    found = (level > 0.5 * hum) & (level > 0.15 * level.max())
    return low + int(np.argmax(found)) if found.any() else start


def clean_start(x, sound, start, end):
    """Without the hum that the synthesiser puts before the first sound of a word.

    It is as loud as a vowel, and a recogniser takes it for one ("again" for "dip"). Before a voiceless sound it goes;
    before a voiced stop a little of it, soft, is the voice that such a stop may begin with.
    """
    x = x.copy()
    if sound in VOICELESS:
        at, rise = max(0, burst(x, start, end, True) - 64), 32
    elif sound in ("S", "SH", "F", "TH", "HH"):
        at, rise = max(0, hiss_start(x, start, end) - 64), 160
    elif sound in STOPS:
        at, rise = max(0, sharpest(x, start, end) - 48), 32
        soft = x[:at] * BAR_GAIN
        soft[:max(0, at - BAR)] = 0
        fade = min(BAR, at) // 2
        soft[at - 2 * fade:at - fade] *= np.linspace(0, 1, fade)
        x[:at] = soft
        return x
    else:
        return x
    x[:at] = 0
    x[at:at + rise] *= np.linspace(0, 1, rise)
    return x


def packets(x):
    """(identification and setup header, packets) of the samples coded as Vorbis by themselves."""
    file = io.BytesIO()
    with sf.SoundFile(file, "w", RATE, 1, format="OGG", subtype="VORBIS", compression_level=QUALITY) as out:
        out.write(x)
    data, found, current, at, granule = file.getvalue(), [], b"", 0, 0
    while at < len(data):
        granule = struct.unpack("<q", data[at + 6:at + 14])[0]
        count = data[at + 26]
        sizes, at = data[at + 27:at + 27 + count], at + 27 + count
        for size in sizes:
            current, at = current + data[at:at + size], at + size
            if size < 255:
                found.append(current)
                current = b""
    if granule != len(x):
        raise SystemExit("the coder lost samples")
    return found[0] + found[2], found[3:]
