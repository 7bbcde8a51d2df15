#!/bin/sh
# Everything from nothing to the shipped file: sh make.sh SPEECH OUT [tiny]
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
    for made in "$neural"*.jsonl; do
        [ ! -e "$made" ] || more="$more${made%.jsonl},"
    done
}

# Waits for what was started (process numbers in one word), and fails if one of it did.
all_of() {
    for job in $1; do wait "$job"; done
}

gpus=$( (nvidia-smi -L 2>/dev/null || true) | wc -l)
more=
if [ "$plan" = tiny ]; then
    # Compiling takes longer here than all that is computed: no pains over it.
    export XLA_FLAGS="--xla_backend_optimization_level=0 --xla_llvm_disable_expensive_passes=true"
    train "" teacher kept 0 600
    train "" student all -1 600 --teachers "$out/teacher_kept.npz"
elif [ "$gpus" -ge 2 ]; then
    teachers="$out/teacher_kept.npz" more_teachers="$out/teacher_all.npz" first_cards=0 other_cards=1 jobs=
    if [ "$gpus" -ge 4 ]; then
        # Two of a kind differ in where they begin and in what they hear when.
        train 2 teacher kept_too 0 "$teaching" --prime "$prime" --seed 12 & jobs="$jobs $!"
        train 3 teacher all_too -1 "$teaching" --prime "$prime" --seed 12 & jobs="$jobs $!"
        teachers="$teachers,$out/teacher_kept_too.npz" more_teachers="$more_teachers,$out/teacher_all_too.npz"
        first_cards=0,1 other_cards=2,3
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
for name in kept all; do
    # On the CPU: an accelerator multiplies too roughly for the vectors that the program is held to.
    [ ! -e "$out/student_$name.npz" ] || JAX_PLATFORMS=cpu python3 export.py "$out/student_$name.npz" "$out/ear_$name.safetensors" "$out/vectors_$name.json"
done
