#!/bin/sh
# Walks through a lesson in the real window (Xvfb) as a family that opens it for the first time: a name, the start, the first
# word said into the microphone from a file. Prints how many actions that took and how long, and puts a picture of each
# step into FOLDER, to be looked at.
#
#     sh tests/walk.sh [FOLDER] [SCALE [light|dark [WIDTH HEIGHT]]]
#
# Needs xvfb, xdotool and imagemagick, and a built program (SOUNDBEAD, or target/release, or target/debug). Not part of the
# tests: nothing passes or fails by the clock here.
set -eu
cd "$(dirname "$0")/.."
. tests/display.sh
out=${1:-$(mktemp -d)} scale=${2:-1} look=${3:-light} wide=${4:-1280} high=${5:-800}
mkdir -p "$out"
mkdir "$work/home" "$work/say"
printf 'look = "%s"\n' "$look" > "$work/home/settings.toml"
cp recordings-demo/19-mud.wav "$work/say/1.wav"
display "$wide" "$high"
SOUNDBEAD_HOME=$work/home
export SOUNDBEAD_HOME
now() { date +%s%N; }
since() { awk "BEGIN { printf \"%.1f\", ($(now) - $1) / 1e9 }"; }
shot() { import -window root "$out/$1-$scale-$look-$wide.png"; }
# What the notebook has of Juno; nothing while there is no such learner.
rows() { "$program" attempts Juno --json 2>/dev/null | wc -l; }
key() { xdotool key "$@"; sleep 0.4; }

opened=$(now)
env -u WAYLAND_DISPLAY SOUNDBEAD_MIC="$work/say" WINIT_X11_SCALE_FACTOR="$scale" LIBGL_ALWAYS_SOFTWARE=1 \
    "$program" 2> "$work/said" &
window=$!
until xdotool search --onlyvisible --name '^Soundbead$' >/dev/null 2>&1; do sleep 0.05; done
xdotool search --name '^Soundbead$' windowsize "$wide" "$high" windowmove 0 0 windowfocus
sleep 1.5
shot 1-opening
# One: a name and Enter.
xdotool type --delay 30 Juno
xdotool key Return
sleep 1
shot 2-named
# Two: Enter starts today's lesson, and its words are chosen.
started=$(now)
xdotool key Return
sleep 0.3
shot 3-choosing
# The lesson is there once its button stands at the lower right, where the opening has nothing.
at() { awk "BEGIN { print int($1 * $scale) }"; }
corner="$(at 120)x$(at 36)+$((wide - $(at 150)))+$((high - $(at 56)))"
until [ "$(import -window root -crop "$corner" -format '%k' info: 2>/dev/null || echo 1)" -gt 4 ]; do
    kill -0 "$window" || { cat "$work/said"; exit 1; }
    [ "$(since "$started" | cut -d. -f1)" -lt 60 ] || { echo "walk.sh: no lesson started"; exit 1; }
    sleep 0.1
done
chosen=$(since "$started")
shot 4-lesson
# Three: the space bar, and the word is said.
said=$(now)
xdotool key space
while [ "$(rows)" -eq 0 ]; do
    kill -0 "$window" || { cat "$work/said"; exit 1; }
    [ "$(since "$said" | cut -d. -f1)" -lt 60 ] || { echo "walk.sh: no word was recorded"; exit 1; }
    sleep 0.2
done
echo "3 actions, $(since "$opened") s from opening to the first recorded word (choosing the words $chosen s, saying and judging it $(since "$said") s, looking included)"
sleep 1
shot 5-recorded
[ ! -s "$work/said" ] || { echo "walk.sh: it complained:"; cat "$work/said"; exit 1; }
echo "pictures in $out"
