#!/bin/sh
# Runs every check: layout of the code, the compiler's lints, and all tests. sh tests/run.sh
# The last line is "N passed, N failed"; exit status 0 when nothing failed.
# Needs a Rust toolchain (rustup's); rustfmt, clippy and system packages that are missing are installed.
set -u
cd "$(dirname "$0")/.." || exit 2

wanted=
. app/setup.sh
if ! cargo fmt --version >/dev/null 2>&1 || ! cargo clippy --version >/dev/null 2>&1; then
    rustup component add rustfmt clippy || { echo "run.sh: rustfmt and clippy are needed: rustup component add rustfmt clippy" >&2; exit 2; }
fi

# The recorded speech is not part of the project. Tests that need it run where it is found.
if [ -z "${SOUNDBEAD_SPEECH:-}" ] && [ -d ../shared/speech ]; then
    SOUNDBEAD_SPEECH=$(cd ../shared/speech && pwd)
    export SOUNDBEAD_SPEECH
fi
if [ -n "${SOUNDBEAD_SPEECH:-}" ]; then
    echo "run.sh: recorded speech is taken from SOUNDBEAD_SPEECH"
else
    echo "run.sh: the shared speech folder was not found: the tests that need recorded speech are left out"
fi

# What the compiler keeps for the next change is of no use to a run of every check, and takes gigabytes.
CARGO_INCREMENTAL=0
export CARGO_INCREMENTAL

log=$(mktemp)
trap 'rm -f "$log"' EXIT
# A failed check counts as one failure, so that the closing line never says that all is well when it is not.
broken=0

echo "== cargo fmt"
cargo fmt --all --check || { broken=$((broken + 1)); echo "run.sh: the code is not laid out as cargo fmt has it"; }

# Clippy stands in for the compiler where our own crates are built, so that lints and tests share one build
# (`cargo clippy` would check all of it once more). Its warnings are counted from what cargo says at the end of a crate.
RUSTC_WORKSPACE_WRAPPER=clippy-driver
export RUSTC_WORKSPACE_WRAPPER

# The test profile is optimised (see Cargo.toml); --no-fail-fast so that one failure does not hide another.
# The status goes through a file, for a POSIX shell gives a pipe the status of its last command.
echo "== cargo test, with clippy as the compiler"
{ cargo test --locked --workspace --no-fail-fast 2>&1; echo "status $?" >"$log.status"; } | tee "$log"
echo "== benchmarks: lints only"
{ cargo test --locked --workspace --benches --no-run 2>&1 || echo "error: benchmarks"; } | tee "$log.benches"
complaints=$(cat "$log" "$log.benches" | grep -cE '^warning: .* generated [0-9]+ warning|^error: benchmarks') || true
rm -f "$log.benches"
[ "$complaints" = 0 ] || { broken=$((broken + 1)); echo "run.sh: clippy has complaints, or a benchmark does not build"; }
status=$(sed 's/status //' "$log.status")
rm -f "$log.status"

# What crates may be under, and where they may come from (.deny.toml). Tests hold the licenses without this program too.
if command -v cargo-deny >/dev/null; then
    echo "== cargo deny"
    cargo deny --offline check licenses bans sources ||
        { broken=$((broken + 1)); echo "run.sh: cargo deny has complaints"; }
else
    echo "== cargo deny: left out, it is not installed (cargo install cargo-deny --locked)"
fi

passed=$(awk '/^test result:/ { n += $4 } END { print n + 0 }' "$log")
failed=$(awk '/^test result:/ { n += $6 } END { print n + 0 }' "$log")
ignored=$(awk '/^test result:/ { n += $8 } END { print n + 0 }' "$log")
# Tests that could not even be built give no result line.
[ "$status" = 0 ] || [ "$failed" -gt 0 ] || broken=$((broken + 1))
failed=$((failed + broken))

[ "$ignored" = 0 ] || echo "$ignored ignored, for what they need is not here; each says so above"
echo "$passed passed, $failed failed"
[ "$failed" = 0 ]
