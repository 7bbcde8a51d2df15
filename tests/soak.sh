#!/bin/sh
# Leads lessons at speed for minutes: no sample lost between the audio callback and the window, every word kept, memory flat, and
# how long a picture takes at the beginning and at the end. sh tests/soak.sh [SECONDS A PART]
# In the tests each part runs for two seconds (app/tests/soak.rs).
set -eu
cd "$(dirname "$0")/.."
SOUNDBEAD_SOAK=${1:-120}
export SOUNDBEAD_SOAK
# One after the other, so that none takes another's time.
exec cargo test --locked --workspace --test soak -- --nocapture --include-ignored --test-threads 1
