"""Speaks the recordings of the bank with Kokoro-82M (see README.md beside this file).

    python3 speak.py words   --model kokoro.onnx --voices FOLDER --vocabulary FILE --out BANK [--minutes N]
    python3 speak.py singles --model kokoro.onnx --voices FOLDER --vocabulary FILE --out HELD

`words` goes on where it stopped. `singles` says each sound in three surroundings in which it is held.
"""
import argparse
import json
import os
import sys
import time

import numpy as np
import onnx
import scipy.signal as signal
import soundfile as sf
from onnx import TensorProto, helper

from lexicon import NAMES, VOWELS, blocker
from order import ordered
from sound import RATE, STOPS

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "voices"))
from neural import END, MODEL_RATE, STRESS, SYMBOLS, checked, numbers_of  # noqa: E402

VOICE = "af_heart"          # an American woman's voice; the ear found every word of 60 in it
SPEED = 0.85                # a little slower than talk: words said for a child to hear
TUNE = (0.6, 78.0)          # pitch of words, as a share of the model's own and Hz: less far from the voice's 195 Hz
HELD_TUNE = (0.4, 117.0)    # of sounds that are held
VOICED = 40.0               # Hz: the model writes a few Hz where there is no voice
HOLD = 12                   # frames of 25 ms by which a sound is held


def opened(path):
    """The model with the durations and the pitch of its own made inputs: used = own * times + more."""
    model = onnx.load(path)
    graph = model.graph
    lengths, pitch = "/encoder/Clip_output_0", "/encoder/F0_proj/Conv_output_0"

    def instead(old, new):
        for node in graph.node:
            node.input[:] = [new if name == old else name for name in node.input]

    instead(lengths, "length_used")
    instead(pitch, "pitch_used")
    graph.initializer.append(helper.make_tensor("voiced_from", TensorProto.FLOAT, [1], [VOICED]))
    graph.node.extend([
        helper.make_node("Mul", [lengths, "length_times"], ["length_part"]),
        helper.make_node("Add", ["length_part", "length_more"], ["length_used"]),
        helper.make_node("Greater", [pitch, "voiced_from"], ["is_voiced"]),
        helper.make_node("Mul", [pitch, "pitch_times"], ["pitch_part"]),
        helper.make_node("Add", ["pitch_part", "pitch_more"], ["pitch_moved"]),
        helper.make_node("Where", ["is_voiced", "pitch_moved", pitch], ["pitch_used"]),
    ])
    for name, shape in (("length_times", [1, "n"]), ("length_more", [1, "n"]), ("pitch_times", [1]), ("pitch_more", [1])):
        graph.input.append(helper.make_tensor_value_info(name, TensorProto.FLOAT, shape))
    known = {i.name for i in graph.input} | {i.name for i in graph.initializer} | {""}
    waiting, sorted_nodes = list(graph.node), []
    while waiting:
        ready = [node for node in waiting if set(node.input) <= known]
        known.update(name for node in ready for name in node.output)
        sorted_nodes += ready
        waiting = [node for node in waiting if node not in ready]
    del graph.node[:]
    graph.node.extend(sorted_nodes)
    return model.SerializeToString()


class Speaker:
    """One voice."""

    def __init__(self, model, voices, vocabulary):
        import onnxruntime

        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = options.inter_op_num_threads = 1
        self.session = onnxruntime.InferenceSession(opened(checked(model)), options, providers=["CPUExecutionProvider"])
        self.numbers = numbers_of(vocabulary)
        self.styles = np.fromfile(os.path.join(voices, VOICE + ".bin"), "<f4").reshape(-1, 256)

    def say(self, way, tune, held=(), more=0):
        """Samples at 16 kHz; the sounds whose places are in `held` share `more` frames of 25 ms."""
        signs = []
        for place, (name, stress) in enumerate(way):
            weak = name + "0" if stress == 0 and name + "0" in SYMBOLS else name
            signs += [(STRESS[str(stress)], None)] if name in VOWELS and stress else []
            signs += [(sign, place) for sign in SYMBOLS[weak]]
        signs.append((END, None))
        count = len(signs) + 2
        longer = np.zeros((1, count), np.float32)
        own = [i + 1 for i, (_, place) in enumerate(signs) if place in held]
        longer[0, own] = more / max(len(own), 1)
        numbers = np.array([[0] + [self.numbers[sign] for sign, _ in signs] + [0]], np.int64)
        given = {"tokens": numbers, "style": self.styles[count - 2][None], "speed": np.array([SPEED], np.float32),
                 "length_times": np.ones((1, count), np.float32), "length_more": longer,
                 "pitch_times": np.array([tune[0]], np.float32), "pitch_more": np.array([tune[1]], np.float32)}
        spoken = self.session.run(["audio"], given)[0].ravel()
        return np.clip(signal.resample_poly(spoken, RATE, MODEL_RATE), -1, 1)


def surroundings(name):
    """[(way, place of the sound, frames more)] in which a sound is said to be cut out."""
    after = lambda vowel: [(name, 0), (vowel, 1)]
    if "_" in name:
        vowel = [(part, int(part != "R")) for part in name.split("_")]
        frames = [[("HH", 0), *vowel, ("D", 0)], [("S", 0), *vowel, ("T", 0)], [("B", 0), *vowel]]
        return [(way, 1, HOLD // 2) for way in frames]
    if name in ("AH0", "ER0"):
        weak = (name[:2], 0)
        frames = [[("S", 0), ("AY", 1), ("N", 0), weak], [("S", 0), ("OW", 1), ("F", 0), weak],
                  [("B", 0), ("IY", 1), ("T", 0), weak]]
        return [(way, 3, HOLD // 2) for way in frames]
    if name in VOWELS:
        return [([("HH", 0), (name, 1), ("D", 0)], 1, HOLD), ([("S", 0), (name, 1), ("T", 0)], 1, HOLD)]
    if name == "NG":
        return [([(first, 0), (vowel, 1), (name, 0)], 2, 10) for first, vowel in (("S", "IH"), ("S", "AA"), ("R", "AH"))]
    if name in STOPS:
        return [(after("AH"), 0, 0), (after("AA"), 0, 2), ([*after("IH"), ("T", 0)], 0, 1)]
    return [(after(vowel), 0, HOLD) for vowel in ("AH", "AA", "IY")]


def speak_words(speaker, out, tables, seconds):
    """Speaks words in their order until the time is over."""
    index, began = os.path.join(out, "words.jsonl"), time.time()
    os.makedirs(os.path.join(out, "words"), exist_ok=True)
    done = set()
    if os.path.exists(index):
        with open(index, encoding="utf-8") as f:
            done = {json.loads(line)["word"] for line in f}
    with open(index, "a", encoding="utf-8") as f:
        for word, way in ordered(tables, blocker(tables)):
            if time.time() - began > seconds:
                return
            if word not in done:
                sf.write(os.path.join(out, "words", word + ".wav"), speaker.say(way, TUNE), RATE, subtype="PCM_16")
                print(json.dumps({"word": word, "pron": way}), file=f, flush=True)


def speak_singles(speaker, out):
    """Speaks each sound in its surroundings."""
    os.makedirs(os.path.join(out, "single"), exist_ok=True)
    with open(os.path.join(out, "single.jsonl"), "w", encoding="utf-8") as f:
        for name in NAMES + "AH0 ER0 AA_R AO_R EH_R IH_R UH_R".split():
            for number, (way, place, more) in enumerate(surroundings(name)):
                audio = f"single/{name}{number}.wav"
                held = {place, place + name.count("_")}
                sf.write(os.path.join(out, audio), speaker.say(way, HELD_TUNE, held, more), RATE, subtype="PCM_16")
                print(json.dumps({"sound": name, "v": number, "pron": way, "i": place, "audio": audio}), file=f)


def main():
    """Reads the command line and speaks."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("what", choices=["words", "singles"])
    parser.add_argument("--model", required=True)
    parser.add_argument("--voices", required=True)
    parser.add_argument("--vocabulary", required=True)
    parser.add_argument("--out", required=True)
    parser.add_argument("--tables", default=os.path.join(os.path.dirname(__file__), "../../../data/tables"))
    parser.add_argument("--minutes", type=float, default=float("inf"))
    args = parser.parse_args()
    speaker = Speaker(args.model, args.voices, args.vocabulary)
    if args.what == "words":
        speak_words(speaker, args.out, args.tables, args.minutes * 60)
    else:
        speak_singles(speaker, args.out)


if __name__ == "__main__":
    main()
