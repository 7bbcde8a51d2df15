#!/bin/sh
# What ships goes on over read_dev too, once the table is made: sh onward.sh SPEECH OUT, once listen.sh is done.
#
# OUT/marks/ear_onward.safetensors holds the first network that went on and the listener that heard both; OUT/marks/twin_*.npz are twins of
# part 0 that went on without and with read_dev, to see what it brings. EAR: the network before, where it is not the one in ../weights.
# OUT/packs/neural*: words by the neural synthesiser (voices/README.md); without them the model voice is heard worse. About 7 minutes on
# one H200 card.
set -eu
cd "$(dirname "$0")"
speech=$1 out=$2 plan=full
. ./stages.sh
marks="$out/marks" ear=${EAR:-../weights/ear.safetensors}
ln -sf "$(cd "$speech" && pwd)/read_dev.ogg" "$marks/read_dev.ogg"
python3 onward.py --ear $ear --synth "$out/packs/synth" --real "$speech/read_train" --alignment "$marks/placed_train.jsonl" \
    --more "$marks/read_dev" --more-alignment "$marks/placed_dev.jsonl" --neural "$(more_words)" --lexicon "$out/lexicon.txt" --out "$marks" \
    --run "twin_train=$marks/twin_0.safetensors,0,train" --run "twin_both=$marks/twin_0.safetensors,0,both" --run "onward=$ear,-1,both"
JAX_PLATFORMS=cpu python3 export.py "$marks/onward.npz" "$marks/onward.safetensors" "$marks/vectors_first.json"
JAX_PLATFORMS=cpu python3 listener_file.py "$marks/onward.safetensors" "$marks/listener_all.npz" "$marks/ear_onward.safetensors" \
    "$marks/vectors_first.json" "$marks/vectors_onward.json"
