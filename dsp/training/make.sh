#!/bin/sh
# Everything from nothing to the shipped file: sh make.sh SPEECH OUT [tiny]
#
# SPEECH holds read_train.opus.ogg and read_train.jsonl; see README.md for what must be installed. With two GPUs the network
# whose speakers are kept out (for calibration) is trained beside the one that ships, in about 24 minutes with the making of
# the voices on 16 cores; with one GPU only the one that ships, in about the same time. `tiny` goes through every stage on a
# CPU, with networks of no use and without the pretrained encoder.
set -eu
cd "$(dirname "$0")"
speech=$1 out=$2 plan=${3:-full}
mkdir -p "$out"

minutes=200
[ "$plan" = tiny ] && minutes=1
[ -e "$out/packs/synth.npz" ] || python3 voices/make.py --out "$out/packs" --minutes $minutes
[ -e "$out/lexicon.txt" ] || python3 lexicon.py "$out/lexicon.txt"
prime=
if [ "$plan" = full ]; then
    [ -e "$out/prime.npz" ] || python3 pretrained.py "$out/prime.npz"
    prime="--prime $out/prime.npz"
fi

# train GPU STAGE NAME FOLD SECONDS [MORE]
train() {
    gpu=$1 stage=$2 name=$3 fold=$4 seconds=$5
    shift 5
    CUDA_VISIBLE_DEVICES=$gpu python3 train.py --stage "$stage" --name "_$name" --fold "$fold" --budget "$seconds" --plan "$plan" \
        --synth "$out/packs/synth" --real "$speech/read_train" --lexicon "$out/lexicon.txt" --out "$out" "$@"
}

gpus=$( (nvidia-smi -L 2>/dev/null || true) | wc -l)
if [ "$plan" = tiny ]; then
    train "" teacher kept 0 600
    train "" student all -1 600 --teachers "$out/teacher_kept.npz"
elif [ "$gpus" -ge 2 ]; then
    # shellcheck disable=SC2086
    train 0 teacher kept 0 320 $prime & first=$!
    # shellcheck disable=SC2086
    train 1 teacher all -1 320 $prime
    wait $first
    train 0 student kept 0 765 --teachers "$out/teacher_kept.npz" & first=$!
    train 1 student all -1 765 --teachers "$out/teacher_kept.npz,$out/teacher_all.npz"
    wait $first
else
    # shellcheck disable=SC2086
    train 0 teacher kept 0 240 $prime
    # shellcheck disable=SC2086
    train 0 teacher all -1 240 $prime
    train 0 student all -1 620 --teachers "$out/teacher_kept.npz,$out/teacher_all.npz"
fi
for name in kept all; do
    [ ! -e "$out/student_$name.npz" ] || python3 export.py "$out/student_$name.npz" "$out/ear_$name.safetensors" "$out/vectors_$name.json"
done
