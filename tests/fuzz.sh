#!/bin/sh
# The checks with changed bytes (app/tests/cli/hostile_bytes.rs) for much longer and by dice of today: sh tests/fuzz.sh [TIMES] [SEED]
# TIMES is how many times longer than in the tests (usually 50, about half an hour). What fails names the round, and the bytes
# lie in a file of their own; the same TIMES and SEED fail again.
set -eu
cd "$(dirname "$0")/.."
SOUNDBEAD_FUZZ_TIMES=${1:-50} SOUNDBEAD_FUZZ_SEED=${2:-$(date +%s)}
export SOUNDBEAD_FUZZ_TIMES SOUNDBEAD_FUZZ_SEED
echo "fuzz.sh: $SOUNDBEAD_FUZZ_TIMES times, seed $SOUNDBEAD_FUZZ_SEED"
exec cargo test --locked --workspace --test cli hostile_bytes
