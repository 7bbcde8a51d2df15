"""Reads long recordings on all cores. Nothing heavy is imported here, so that reading starts first."""

import os
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import soundfile as sf

RATE = 16_000


def start(path, most=None):
    """Begins to decode 16 kHz mono audio (its first `most` samples); call what is returned for the int16 samples."""
    with sf.SoundFile(path) as f:
        rate, channels, total = f.samplerate, f.channels, len(f)
    assert rate == RATE and channels == 1, f"{path}: 16 kHz mono is wanted, found {rate} Hz, {channels} channels"
    total = min(total, most or total)
    out = np.zeros(total, np.int16)
    workers = max(2, os.cpu_count() or 2)
    step = -(-total // (2 * workers))

    def part(begin):
        with sf.SoundFile(path) as f:
            f.seek(begin)
            found = f.read(min(step, total - begin), dtype="int16")
            out[begin : begin + len(found)] = found

    pool = ThreadPoolExecutor(workers)
    jobs = [pool.submit(part, begin) for begin in range(0, total, step)]

    def done():
        for job in jobs:
            job.result()
        pool.shutdown()
        return out

    return done
