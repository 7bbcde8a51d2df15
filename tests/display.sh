# What tests/walk.sh and tests/window.sh share; read by them (". tests/display.sh"), not run by itself: the tools, the built
# program, a display of its own, and the end of what was started. $work is a folder that goes at the end.

name=$(basename "$0")
for tool in Xvfb xdotool import; do
    if ! command -v "$tool" >/dev/null; then
        echo "$name: left out: there is no $tool (Debian: xvfb, xdotool, imagemagick)"
        exit 0
    fi
done
program=${SOUNDBEAD:-target/release/soundbead}
[ -x "$program" ] || program=target/debug/soundbead
[ -x "$program" ] || { echo "$name: build the program first (cargo build --release)"; exit 2; }

work=$(mktemp -d)
xvfb= window=
# Ends only what was started here.
finish() {
    [ -z "$window" ] || kill "$window" 2>/dev/null || true
    [ -z "$xvfb" ] || kill "$xvfb" 2>/dev/null || true
    rm -rf "$work"
}
trap finish EXIT

# display WIDTH HEIGHT: starts one, and sets DISPLAY.
display() {
    : > "$work/display"
    Xvfb -displayfd 3 -screen 0 "$1x$2x24" 3> "$work/display" >/dev/null 2>&1 &
    xvfb=$!
    while [ ! -s "$work/display" ]; do sleep 0.1; done
    DISPLAY=:$(cat "$work/display")
    export DISPLAY
}
