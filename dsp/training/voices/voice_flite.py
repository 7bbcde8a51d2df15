"""flite by its command line: phones in (-p), a wave file and phone end times (-psdur) out."""
import os
import subprocess

import soundfile as sf

from phones import FROM_RADIO, segments, to_radio


def say(words, voice, stretch, pitch, folder):
    """Samples, rate, [(start_s, end_s, sound)]; `stretch` lengthens, `pitch` scales the voice's own pitch."""
    phones = "pau " + " ".join(to_radio(p) for word in words for p in word) + " pau"
    path = os.path.join(folder, f"flite{os.getpid()}.wav")
    mean = f"int_f0_target_mean={95 * pitch:.1f}" if voice == "kal16" else f"f0_shift={pitch:.3f}"
    run = subprocess.run(["flite", "-voice", voice, "--setf", f"duration_stretch={stretch:.3f}", "--setf", mean, "-psdur",
                          "-p", phones, "-o", path], capture_output=True, text=True, check=True)
    x, rate = sf.read(path, dtype="float32")
    os.unlink(path)
    ends = [(name, float(end)) for name, end in (token.rsplit(":", 1) for token in run.stdout.split())]
    starts = [0.0] + [end for _, end in ends[:-1]]
    return x, rate, segments([(t, name) for t, (name, _) in zip(starts, ends)], ends[-1][1], FROM_RADIO)
