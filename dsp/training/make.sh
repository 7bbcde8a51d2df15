#!/bin/sh
# Everything from nothing to a file of the shipped form: sh make.sh SPEECH OUT [tiny] (what ships had a second pass: again.sh)
#
# SPEECH holds read_train.opus.ogg and read_train.jsonl; OUT/kokoro, where there is one, holds what voices/README.md says of
# the neural voices (kokoro.onnx, voices, vocab.json), and OUT/packs may hold what was made before (synth.*, neural*.opus.ogg and
# .jsonl); README.md says what must be installed. With two GPUs the network whose speakers are kept out (for calibration) is trained
# beside the one that ships; with four there are two teachers of each kind, and two cards for each student; with one only what ships
# is trained. Each way takes about 24 minutes by its budgets with the making of the voices on 32 cores. TEACHING and STUDYING are
# the budgets in seconds. `tiny` goes through every stage on a CPU, with networks of no use and without the pretrained encoder and
# the neural voices.
set -eu
cd "$(dirname "$0")"
speech=$1 out=$2 plan=${3:-full}
teaching=${TEACHING:-320} studying=${STUDYING:-960}
mkdir -p "$out"
. ./stages.sh

minutes=200
[ "$plan" = tiny ] && minutes=1
[ -e "$out/packs/synth.npz" ] || python3 voices/make.py --out "$out/packs" --minutes $minutes
[ -e "$out/lexicon.txt" ] || python3 lexicon.py "$out/lexicon.txt"
prime=
if [ "$plan" = full ]; then
    [ -e "$out/prime.npz" ] || python3 pretrained.py "$out/prime.npz"
    prime=$out/prime.npz
fi

# The neural voices speak while the teachers learn, for as long as these do. Half the cores: what is compiled for the
# accelerator needs the others.
neural="$out/packs/neural" voices=
if [ "$plan" = full ] && [ -d "$out/kokoro" ] && [ ! -e "$neural.jsonl" ]; then
    nice python3 voices/neural.py --model "$out/kokoro/kokoro.onnx" --voices "$out/kokoro/voices" \
        --vocabulary "$out/kokoro/vocab.json" --out "$out/packs" --words 7000 --minutes 5 --jobs $(($(nproc) / 2)) & voices=$!
fi

# Once the teachers are done.
spoken() {
    [ -z "$voices" ] || wait "$voices"
    more=$(more_words)
}

more=
if [ "$plan" = tiny ]; then
    train "" teacher kept 0 600
    train "" student all -1 600 --teachers "$out/teacher_kept.npz"
elif [ "$gpus" -ge 2 ]; then
    teachers="$out/teacher_kept.npz" more_teachers="$out/teacher_all.npz" jobs=
    if [ "$gpus" -ge 4 ]; then
        # Two of a kind differ in where they begin and in what they hear when.
        train 2 teacher kept_too 0 "$teaching" --prime "$prime" --seed 12 & jobs="$jobs $!"
        train 3 teacher all_too -1 "$teaching" --prime "$prime" --seed 12 & jobs="$jobs $!"
        teachers="$teachers,$out/teacher_kept_too.npz" more_teachers="$more_teachers,$out/teacher_all_too.npz"
    fi
    train 0 teacher kept 0 "$teaching" --prime "$prime" & jobs="$jobs $!"
    train 1 teacher all -1 "$teaching" --prime "$prime" & jobs="$jobs $!"
    all_of "$jobs"
    spoken
    train $first_cards student kept 0 "$studying" --more "$more" --teachers "$teachers" & jobs=$!
    train $other_cards student all -1 "$studying" --more "$more" --teachers "$teachers,$more_teachers" & jobs="$jobs $!"
    all_of "$jobs"
else
    train 0 teacher kept 0 $((teaching * 3 / 4)) --prime "$prime"
    train 0 teacher all -1 $((teaching * 3 / 4)) --prime "$prime"
    spoken
    train 0 student all -1 $((studying * 4 / 5)) --more "$more" --teachers "$out/teacher_kept.npz,$out/teacher_all.npz"
fi
write_out
