"""One OGG stream and one npz index; what goes in comes out at the same sample."""
import numpy as np
import soundfile as sf

from phones import INDEX
from sound import RATE

GRID, GAP = 160, 320        # items start on multiples of GRID with at least GAP zeros between them
CODEC, LEVEL = "OPUS", 0.958  # soundfile's compression level: about 15 kbit/s of mono speech


def write(items, stem):
    """items: dicts of x (int16), segs, src, voice, child, text. Writes stem.ogg and stem.npz."""
    off, at = [], GAP
    for item in items:
        off.append(at)
        at += -(-(len(item["x"]) + GAP) // GRID) * GRID
    stream = np.zeros(at, np.float32)
    for o, item in zip(off, items):
        stream[o:o + len(item["x"])] = item["x"].astype(np.float32) / 32768
    with sf.SoundFile(stem + ".ogg", "w", RATE, 1, format="OGG", subtype=CODEC, compression_level=LEVEL) as f:
        for i in range(0, len(stream), RATE * 10):
            f.write(stream[i:i + RATE * 10])
    segs = [s for item in items for s in item["segs"]]
    np.savez_compressed(
        stem + ".npz", off=np.array(off, np.int64), n=np.array([len(i["x"]) for i in items], np.int32),
        seg_ptr=np.cumsum([0] + [len(i["segs"]) for i in items]).astype(np.int64),
        seg_start=np.array([s[0] for s in segs], np.int32), seg_end=np.array([s[1] for s in segs], np.int32),
        seg_phone=np.array([INDEX[s[2]] for s in segs], np.int8),
        src=np.array([i["src"] for i in items]), voice=np.array([i["voice"] for i in items]),
        child=np.array([i["child"] for i in items], bool), text=np.array([i["text"] for i in items]))
    return stream


def round_trip(stream, stem, places=200, reach=400):
    """Decodes what was written; gives (length as written?, share of places with no shift, largest shift in samples)."""
    back, rate = sf.read(stem + ".ogg", dtype="float32")
    rng, shifts = np.random.default_rng(0), []
    while len(shifts) < places and len(shifts) < len(stream) // RATE:
        at = int(rng.integers(reach, max(reach + 1, len(stream) - RATE - reach)))
        a = stream[at:at + RATE]
        if np.square(a).mean() < 1e-5 or at + RATE + reach > len(back):
            continue
        b = back[at - reach:at + RATE + reach]
        size = 1 << (len(b) + len(a)).bit_length()
        score = np.fft.irfft(np.fft.rfft(b, size) * np.conj(np.fft.rfft(a, size)), size)[:2 * reach + 1]
        shifts.append(int(np.argmax(score)) - reach)
    same_length = len(back) == len(stream) and rate == RATE
    return same_length, float(np.mean(np.array(shifts) == 0)), int(np.abs(shifts).max())
