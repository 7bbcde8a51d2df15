# What make.sh and again.sh share; read by them (". ./stages.sh") once $speech, $out and $plan are set.

gpus=$( (nvidia-smi -L 2>/dev/null || true) | wc -l)
# The cards of the two students, where there is more than one.
first_cards=0 other_cards=1
[ "$gpus" -lt 4 ] || { first_cards=0,1 other_cards=2,3; }
if [ "$plan" = tiny ]; then
    # Compiling takes longer here than all that is computed: no pains over it.
    export XLA_FLAGS="--xla_backend_optimization_level=0 --xla_llvm_disable_expensive_passes=true"
fi

# train GPU STAGE NAME FOLD SECONDS [MORE]
train() {
    gpu=$1 stage=$2 name=$3 fold=$4 seconds=$5
    shift 5
    CUDA_VISIBLE_DEVICES=$gpu python3 train.py --stage "$stage" --name "_$name" --fold "$fold" --budget "$seconds" --plan "$plan" \
        --synth "$out/packs/synth" --real "$speech/read_train" --lexicon "$out/lexicon.txt" --out "$out" "$@"
}

# Waits for what was started (process numbers in one word), and fails if one of it did.
all_of() {
    for job in $1; do wait "$job"; done
}

# What more there is to say words from, OUT/packs/neural*, with commas between.
more_words() {
    for made in "$out/packs/neural"*.jsonl; do
        [ ! -e "$made" ] || printf '%s,' "${made%.jsonl}"
    done
}

# The shipped form of each student.
write_out() {
    for name in kept all; do
        # On the CPU: an accelerator multiplies too roughly for the vectors that the program is held to.
        [ ! -e "$out/student_$name.npz" ] || JAX_PLATFORMS=cpu python3 export.py "$out/student_$name.npz" "$out/ear_$name.safetensors" "$out/vectors_$name.json"
    done
}
