#!/bin/sh
# Builds Soundbead and shows it at work on the made recordings: sh app/run.sh [options of `soundbead demo`]
# Needs a Rust toolchain (rustup's) and a C compiler; the compiler is installed if it is missing and this
# may install packages. Nothing else of the system is used.
set -eu
cd "$(dirname "$0")/.."

if ! command -v cargo >/dev/null 2>&1; then
    [ -r "$HOME/.cargo/env" ] && . "$HOME/.cargo/env"
    command -v cargo >/dev/null 2>&1 || { echo "run.sh: cargo was not found; install Rust with rustup (https://rustup.rs)" >&2; exit 2; }
fi

if ! command -v cc >/dev/null 2>&1; then
    as_root=
    [ "$(id -u)" = 0 ] || as_root="sudo -n"
    if ! { command -v apt-get >/dev/null 2>&1 && $as_root apt-get update -qq && $as_root apt-get install -y -qq gcc libc6-dev; }; then
        echo "run.sh: a C compiler is needed to link the program; install one (Debian: apt-get install gcc libc6-dev)" >&2
        exit 2
    fi
fi

cargo build --release --locked -p soundbead
exec "${CARGO_TARGET_DIR:-target}/release/soundbead" demo "$@"
