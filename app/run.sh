#!/bin/sh
# Builds Soundbead, shows it at work on the made recordings, and opens the window when there is a display:
# sh app/run.sh [options of `soundbead demo`]
# Needs a Rust toolchain (rustup's); system packages that are missing are installed if this may (setup.sh names them).
set -eu
cd "$(dirname "$0")/.."

wanted=
if [ -n "${DISPLAY:-}${WAYLAND_DISPLAY:-}" ]; then
    wanted="libEGL.so.1:libegl1 libGL.so.1:libgl1 libxkbcommon-x11.so.0:libxkbcommon-x11-0 /usr/share/doc/libgl1-mesa-dri:libgl1-mesa-dri"
fi
. app/setup.sh

soundbead="${CARGO_TARGET_DIR:-target}/release/soundbead"
# The ear first: it is built of a fifth of the crates, and says something while there is nothing else to look at yet. Both packages are
# named so that the second step finds every crate of the first as it wants it.
if [ ! -x "$soundbead" ]; then
    echo "Building the ear, the first of two steps; on two cores this takes some minutes."
    cargo build --release --locked -p soundbead -p soundbead-dsp --bin soundbead-ear
    "${soundbead}-ear" recordings-demo
    echo
    echo "Building the rest of the program, the second step; this takes longer."
fi
cargo build --release --locked -p soundbead
"$soundbead" demo "$@"
if [ -n "${DISPLAY:-}${WAYLAND_DISPLAY:-}" ]; then
    echo "Opening the window; close it to end."
    exec "$soundbead"
else
    echo "There is no display, so the window is not opened. On a desktop, run $soundbead"
fi
