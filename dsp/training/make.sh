#!/bin/sh
# Everything from nothing to the shipped file: sh make.sh SPEECH OUT [tiny]
#
# SPEECH holds read_train.opus.ogg and read_train.jsonl; OUT/kokoro, where there is one, holds what voices/README.md says of
# the neural voices (kokoro.onnx, voices, vocab.json); README.md says what must be installed. With two GPUs the network whose
# speakers are kept out (for calibration) is trained beside the one that ships, in about 24 minutes by its budgets with the making
# of the voices on 32 cores; with one GPU only the one that ships, in about the same time. `tiny` goes through every stage on a CPU,
# with networks of no use and without the pretrained encoder and the neural voices.
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

# The neural voices speak while the teachers learn, for as long as these do. Half the cores: what is compiled for the
# accelerator needs the others.
neural="$out/packs/neural" voices=
if [ "$plan" = full ] && [ -d "$out/kokoro" ] && [ ! -e "$neural.jsonl" ]; then
    nice python3 voices/neural.py --model "$out/kokoro/kokoro.onnx" --voices "$out/kokoro/voices" \
        --vocabulary "$out/kokoro/vocab.json" --out "$out/packs" --words 7000 --minutes 5 --jobs $(($(nproc) / 2)) & voices=$!
fi

# train GPU STAGE NAME FOLD SECONDS [MORE]
train() {
    gpu=$1 stage=$2 name=$3 fold=$4 seconds=$5
    shift 5
    CUDA_VISIBLE_DEVICES=$gpu python3 train.py --stage "$stage" --name "_$name" --fold "$fold" --budget "$seconds" --plan "$plan" \
        --synth "$out/packs/synth" --real "$speech/read_train" --lexicon "$out/lexicon.txt" --out "$out" "$@"
}

# Once the teachers are done: what more there is to say words from.
spoken() {
    [ -z "$voices" ] || wait "$voices"
    [ ! -e "$neural.jsonl" ] || more="--more $neural"
}

gpus=$( (nvidia-smi -L 2>/dev/null || true) | wc -l)
more=
if [ "$plan" = tiny ]; then
    # Compiling takes longer here than all that is computed: no pains over it.
    export XLA_FLAGS="--xla_backend_optimization_level=0 --xla_llvm_disable_expensive_passes=true"
    train "" teacher kept 0 600
    train "" student all -1 600 --teachers "$out/teacher_kept.npz"
elif [ "$gpus" -ge 2 ]; then
    # shellcheck disable=SC2086
    train 0 teacher kept 0 320 $prime & first=$!
    # shellcheck disable=SC2086
    train 1 teacher all -1 320 $prime
    wait $first
    spoken
    # shellcheck disable=SC2086
    train 0 student kept 0 960 $more --teachers "$out/teacher_kept.npz" & first=$!
    # shellcheck disable=SC2086
    train 1 student all -1 960 $more --teachers "$out/teacher_kept.npz,$out/teacher_all.npz"
    wait $first
else
    # shellcheck disable=SC2086
    train 0 teacher kept 0 240 $prime
    # shellcheck disable=SC2086
    train 0 teacher all -1 240 $prime
    spoken
    # shellcheck disable=SC2086
    train 0 student all -1 760 $more --teachers "$out/teacher_kept.npz,$out/teacher_all.npz"
fi
for name in kept all; do
    # On the CPU: an accelerator multiplies too roughly for the vectors that the program is held to.
    [ ! -e "$out/student_$name.npz" ] || JAX_PLATFORMS=cpu python3 export.py "$out/student_$name.npz" "$out/ear_$name.safetensors" "$out/vectors_$name.json"
done
