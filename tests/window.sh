#!/bin/sh
# Opens the real window on a display of its own (Xvfb), goes through every view by the keyboard, speaks a made vowel into
# it from a file, and writes pictures. Says how long the first picture took and how much memory was used.
#
#     sh tests/window.sh [FOLDER FOR THE PICTURES]
#
# Left out, saying so, where Xvfb, xdotool or ImageMagick's import is missing. A test ("tests/run.sh") never needs it.
set -eu
cd "$(dirname "$0")/.."
. tests/display.sh
out=${1:-$(mktemp -d)}
mkdir -p "$out"
home=$work/home
mkdir "$home"

# run SCALE LOOK: one window, every view, a picture of each.
run() {
    scale=$1 look=$2
    wide=$(awk "BEGIN { print int(1280 * $scale) }") high=$(awk "BEGIN { print int(800 * $scale) }")
    printf 'look = "%s"\n' "$look" > "$home/settings.toml"
    display "$wide" "$high"
    start=$(date +%s%N)
    env -u WAYLAND_DISPLAY SOUNDBEAD_HOME="$home" WINIT_X11_SCALE_FACTOR="$scale" \
        SOUNDBEAD_MIC=recordings-demo/10-lamb.wav "$program" 2> "$home/said" &
    window=$!
    # The first picture: the window is there and something other than one colour is on it.
    for _ in $(seq 200); do
        xdotool search --onlyvisible --name '^Soundbead$' >/dev/null 2>&1 && break
        sleep 0.02
    done
    for _ in $(seq 200); do
        colours=$(import -window root -resize 64x40 -format '%k' info: 2>/dev/null || echo 1)
        [ "$colours" -gt 8 ] && break
        sleep 0.02
    done
    echo "scale $scale, $look: first picture within $(( ($(date +%s%N) - start) / 1000000 )) ms (looking included)"
    xdotool search --name '^Soundbead$' windowfocus
    sleep 0.5
    for view in 1-today 2-sounds 3-plan 4-drill 5-writing 6-notebook 7-settings; do
        xdotool key "ctrl+${view%%-*}"
        sleep 1
        import -window root "$out/${view#*-}-$scale-$look.png"
    done
    xdotool key ctrl+1 key F1
    sleep 0.5
    import -window root "$out/help-$scale-$look.png"
    xdotool key Escape
    kill -0 "$window" || { echo "window.sh: the window closed by itself:"; cat "$home/said"; exit 1; }
    if [ -s "$home/said" ]; then
        echo "window.sh: it complained:"
        cat "$home/said"
        exit 1
    fi
    awk '/VmHWM/ { printf "memory at most %d MB\n", $2 / 1024; if ($2 > 200 * 1024) exit 1 }' "/proc/$window/status" \
        || { echo "window.sh: more than 200 MB"; exit 1; }
    kill "$window" "$xvfb" && wait "$window" "$xvfb" 2>/dev/null || true
    xvfb= window=
}
for scale in 1 1.5; do
    for look in light dark; do
        run "$scale" "$look"
    done
done
echo "pictures in $out"
