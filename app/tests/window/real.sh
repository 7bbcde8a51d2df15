#!/bin/sh
# The lesson once in a real window, with files spoken into the microphone: sh app/tests/window/real.sh FOLDER
# [SCALE [light|dark]]. Puts pictures of each step into FOLDER, to be looked at. Needs xvfb, xdotool and imagemagick,
# and a built program (SOUNDBEAD, or target/debug/soundbead). Not part of the tests: a picture is judged by eye.
set -eu
cd "$(dirname "$0")/../../.."
out=$1 scale=${2:-1} look=${3:-light}
mkdir -p "$out"
work=$(mktemp -d)
mkdir "$work/home" "$work/say"
printf 'look = "%s"\n' "$look" >"$work/home/settings.toml"
cp recordings-demo/01-goat.wav "$work/say/1.wav"
cp recordings-demo/14-leaf.wav "$work/say/2.wav"
at() { awk "BEGIN { print int($1 * $scale) }"; }
display=:$((90 + $$ % 800))
Xvfb $display -screen 0 "$(at 1280)x$(at 800)x24" >/dev/null 2>&1 &
server=$!
trap 'kill $server ${program:-} 2>/dev/null; rm -r "$work"' EXIT
sleep 1
export DISPLAY=$display
SOUNDBEAD_HOME=$work/home SOUNDBEAD_MIC=$work/say WINIT_X11_SCALE_FACTOR=$scale LIBGL_ALWAYS_SOFTWARE=1 \
    env -u WAYLAND_DISPLAY "${SOUNDBEAD:-target/debug/soundbead}" &
program=$!
sleep 4
xdotool search --name Soundbead windowfocus >/dev/null
click() { xdotool mousemove "$(at "$1")" "$(at "$2")" click 1; sleep 0.5; }
key() { xdotool key "$@"; sleep 0.5; }
shot() { import -window root "$out/$1.png"; }
key ctrl+4
click 400 242
xdotool type --delay 40 "goat leaf loaf"
shot 1-start
click 765 242
sleep 2
key 3
shot 2-beads
key space
sleep 1.5
shot 3-recording
sleep 6
shot 4-counts
key v
shot 5-child
key v
key Return
xdotool type g
key Tab
xdotool type oa
key Tab
xdotool type t
key Return
shot 6-letters
key Return
key 2
key space
sleep 7
shot 7-unlike
key Return
click 400 700
key Return
key 3
click 1100 765
shot 8-which
key 2
shot 9-answered
