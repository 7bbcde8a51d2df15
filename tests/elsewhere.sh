#!/bin/sh
# Checks that the program's code is right for macOS and Windows, from anywhere: sh tests/elsewhere.sh [TARGET ...]
# Types only: nothing is linked and nothing runs, so that the C compilers of those systems are not needed (SQLite's C code is passed
# over by a compiler that does nothing). Needs rustup, which fetches each target's standard library.
set -eu
cd "$(dirname "$0")/.."
[ $# -gt 0 ] || set -- x86_64-pc-windows-gnu aarch64-apple-darwin
for target; do
    rustup target add "$target" >/dev/null 2>&1 || { echo "elsewhere.sh: $target cannot be had here" >&2; exit 2; }
    name=$(echo "$target" | tr - _)
    echo "== $target"
    env "CC_$name=true" "AR_$name=true" "CXX_$name=true" cargo check --locked --workspace --target "$target"
done
