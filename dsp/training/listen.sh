#!/bin/sh
# The sixth listener, from the network that ships: sh listen.sh SPEECH OUT [tiny]
#
# SPEECH holds read_train.opus.ogg, read_train.jsonl, read_train_experts.jsonl and, for what ships, read_dev.ogg, read_dev_words.jsonl and
# read_dev_experts.jsonl; OUT holds packs/synth.* (voices/make.py) and prime.npz (pretrained.py), which are made where they are missing. Teachers and
# students of each part of the speakers, then the ones that hear everybody: `kept` has not heard read_dev, `all` has. About 13 minutes
# on two H200 cards. `tiny` goes through every stage on a CPU, with networks of no use.
set -eu
cd "$(dirname "$0")"
speech=$1 out=$2 plan=${3:-full}
. ./stages.sh
folds="0,2,4 1,3" options="" ear=../weights/ear.safetensors few=
[ "$plan" = full ] || { folds="0" options="--hints 0 --trust 0"; few=50; }
marks="$out/marks"
mkdir -p "$marks"
[ -e "$out/packs/synth.npz" ] || python3 voices/make.py --out "$out/packs" --minutes "$([ "$plan" = full ] && echo 45 || echo 1)"
prime=
if [ "$plan" = full ]; then
    [ -e "$out/prime.npz" ] || python3 pretrained.py "$out/prime.npz"
    prime="--prime $out/prime.npz"
fi

# learn GPU STAGE FOLDS FOLDER [MORE]
learn() {
    gpu=$1 stage=$2 of=$3 folder=$4
    shift 4
    CUDA_VISIBLE_DEVICES=$gpu python3 listen.py --stage "$stage" --plan "$plan" $prime --real "$speech/read_train" --alignment "$marks/placed_train.jsonl" \
        --synth "$out/packs/synth" --folds="$of" --out "$folder" "$@"
}

python3 place.py $ear "$speech/read_train" "$marks/placed_train.jsonl" .opus.ogg $few
if [ "$plan" = tiny ]; then
    learn "" teacher 0 "$marks"
    learn "" student 0 "$marks" $options
    cp "$marks/listener_0.npz" "$marks/listener_all.npz"
else
    python3 gather.py "$speech/read_dev" "$marks/read_dev"
    ln -sf "$(cd "$speech" && pwd)/read_dev.ogg" "$marks/read_dev.ogg"
    python3 place.py $ear "$marks/read_dev" "$marks/placed_dev.jsonl" .ogg
    both="--more $marks/read_dev --more-alignment $marks/placed_dev.jsonl"
    mkdir -p "$marks/both"
    learn $first_cards teacher 0,2,4 "$marks" & jobs=$!
    learn $other_cards teacher 1,3,-1 "$marks" && learn $other_cards teacher -1 "$marks/both" $both & jobs="$jobs $!"
    all_of "$jobs"
    cp "$marks"/teacher_?.npz "$marks/both"
    learn $first_cards student 0,2,4,-1 "$marks" --budget 112 & jobs=$!
    learn $other_cards student 1,3 "$marks" --budget 112 && learn $other_cards student -1 "$marks/both" $both --budget 112 & jobs="$jobs $!"
    all_of "$jobs"
    cp "$marks/listener_-1.npz" "$marks/listener_kept.npz"
    cp "$marks/both/listener_-1.npz" "$marks/listener_all.npz"
    python3 marked_words.py "$speech/read_train" "$marks/placed_train.jsonl" "$marks/marked"
fi
for name in 0 1 2 3 4 kept all; do
    [ ! -e "$marks/listener_$name.npz" ] || python3 listener_file.py $ear "$marks/listener_$name.npz" "$marks/ear_$name.safetensors" ../weights/vectors.json "$marks/vectors_$name.json"
done
