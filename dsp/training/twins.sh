#!/bin/sh
# Twins of the network that ships, for the fit of the decision: sh twins.sh SPEECH OUT, once listen.sh is done.
#
# OUT/marks/both_0.safetensors and both_1.safetensors hold a twin and a sixth listener that have not heard part 0 (1) of the speakers. About
# 10 minutes on two cards.
set -eu
cd "$(dirname "$0")"
speech=$1 out=$2 plan=full
. ./stages.sh
marks="$out/marks"
[ -e "$out/lexicon.txt" ] || python3 lexicon.py "$out/lexicon.txt"
twin() {
    CUDA_VISIBLE_DEVICES=$1 python3 twin.py --ear ../weights/ear.safetensors --synth "$out/packs/synth" --real "$speech/read_train" \
        --prime "$out/prime.npz" --lexicon "$out/lexicon.txt" --fold "$2" --budget 505 --out "$marks"
}
twin $first_cards 0 & jobs=$!
twin $other_cards 1 & jobs="$jobs $!"
all_of "$jobs"
for fold in 0 1; do
    JAX_PLATFORMS=cpu python3 export.py "$marks/twin_$fold.npz" "$marks/twin_$fold.safetensors" "$marks/twin_vectors_$fold.json"
    python3 listener_file.py "$marks/twin_$fold.safetensors" "$marks/listener_$fold.npz" "$marks/both_$fold.safetensors" ../weights/vectors.json "$marks/vectors_both_$fold.json"
done
