"""festival in batches: every word becomes a lexicon entry of its own, so that what is said is the phones we chose."""
import os
import subprocess

import soundfile as sf

from phones import FROM_RADIO, segments, to_radio
from words import syllables

SCRIPT = """
(define (marks u f) (format t "@@ %s" f)
  (mapcar (lambda (x) (format t " %s:%s" (item.name x) (item.feat x "end"))) (utt.relation.items u 'Segment)) (format t "\\n"))
(define (pitch mean) (set! int_lr_params
  (list (list 'target_f0_mean mean) (list 'target_f0_std (* 0.13 mean)) '(model_f0_mean 170) '(model_f0_std 34))))
(define (hold u factors) (let ((add 0) (last 0) (end 0)) (mapcar (lambda (s)
  (set! end (item.feat s "end"))
  (let ((own (assoc_string (item.name s) factors)))
    (if own (set! add (+ add (* (- (cadr own) 1) (- end last))))))
  (set! last end) (item.set_feat s "end" (+ add end))) (utt.relation.items u 'Segment))))
(define (go text f stretch factors) (Parameter.set 'Duration_Stretch stretch)
  (let ((u (eval (list 'Utterance 'Text text))))
    (if factors
      (begin (Initialize u) (Text u) (Token_POS u) (Token u) (POS u) (Phrasify u) (Word u) (Pauses u) (Intonation u)
             (PostLex u) (Duration u) (hold u factors) (Int_Targets u) (Wave_Synth u))
      (utt.synth u))
    (utt.save.wave u f 'riff) (marks u f)))
"""


def _name(number):
    """A made-up word of letters only, one a number."""
    letters = ""
    for _ in range(4):
        number, digit = divmod(number, 20)
        letters += "bcdfghjklmnpqrstvwxz"[digit]
    return "zq" + letters


def _entry(name, phones):
    parts = []
    for part in syllables(phones):
        stress = max([int(p[-1]) for p in part if p[-1].isdigit()] + [0])
        parts.append(f"(({' '.join(to_radio(p) for p in part)}) {1 if stress == 1 else 0})")
    return f'(lex.add.entry \'("{name}" nil ({" ".join(parts)})))'


def say_all(jobs, voice, folder):
    """jobs: [(words, stretch, pitch_hz, factors)] -> the same number of (samples, rate, segments) or None.

    `factors` maps a sound to how many times as long it is to be (kal_diphone only: HTS sets its own times).
    """
    lines, number = [f"(voice_{voice})", SCRIPT], 0
    for i, (words, stretch, pitch, factors) in enumerate(jobs):
        names = []
        for phones in words:
            names.append(_name(number))
            lines.append(_entry(names[-1], phones))
            number += 1
        if voice.endswith("diphone"):
            lines.append(f"(pitch {pitch:.1f})")
        held = "nil" if not factors else "'(" + " ".join(f'("{to_radio(p)}" {k:.2f})' for p, k in factors.items()) + ")"
        lines.append(f'(go "{" ".join(names)}" "{folder}/{voice}{os.getpid()}_{i}.wav" {stretch:.3f} {held})')
    path = os.path.join(folder, f"{voice}{os.getpid()}.scm")
    with open(path, "w", encoding="ascii") as f:
        f.write("\n".join(lines) + "\n")
    run = subprocess.run(["festival", "-b", path], capture_output=True, text=True)
    out = [None] * len(jobs)
    for line in run.stdout.splitlines():
        if line.startswith("@@"):
            wave, *marks = line.split()[1:]
            out[int(wave[:-4].rsplit("_", 1)[1])] = _read(wave, marks, voice)
    return out, run.stderr.strip()[:300]


def _read(path, marks, voice):
    x, rate = sf.read(path, dtype="float32")
    os.unlink(path)
    ends = [(name, float(end)) for name, end in (m.rsplit(":", 1) for m in marks)]
    # ked_diphone says every ER as er + r: one sound of ours
    def joins(pair):
        return voice == "ked_diphone" and [n for n, _ in pair] == ["er", "r"]

    ends = [("er" if i and joins(ends[i - 1:i + 1]) else n, e) for i, (n, e) in enumerate(ends) if not joins(ends[i:i + 2])]
    starts = [0.0] + [end for _, end in ends[:-1]]
    try:
        return x, rate, segments([(t, n) for t, (n, _) in zip(starts, ends)], ends[-1][1], FROM_RADIO)
    except KeyError as name:
        return None, 0, f"unknown phone {name}"
