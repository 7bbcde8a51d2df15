#!/bin/sh
# How long it takes from the key M (a word) and from F5 (a sentence), in a real window (Xvfb), to the first sound of the model voice that comes out of a loudspeaker:
# a virtual one of PulseAudio, which is listened to. Prints each time in milliseconds, and the middle one.
#
#     sh tests/heard.sh [TIMES]
#
# Needs what tests/walk.sh needs, and PulseAudio with ALSA's plugin for it (Debian: pulseaudio pulseaudio-utils
# libasound2-plugins) and python3. Nothing passes or fails by the clock here.
set -eu
cd "$(dirname "$0")/.."
. tests/display.sh
for tool in pulseaudio pactl parec python3; do
    command -v "$tool" >/dev/null || { echo "heard.sh: left out: there is no $tool"; exit 0; }
done
if [ ! -e /usr/share/alsa/alsa.conf.d/pulse.conf ] && [ ! -e /etc/alsa/conf.d/99-pulse.conf ]; then
    echo "heard.sh: left out: ALSA does not know PulseAudio (Debian: libasound2-plugins)"
    exit 0
fi
times=${1:-9}
XDG_RUNTIME_DIR=$work/run HOME=$work/house SOUNDBEAD_HOME=$work/home
export XDG_RUNTIME_DIR HOME SOUNDBEAD_HOME
unset WAYLAND_DISPLAY PULSE_SERVER 2>/dev/null || true
mkdir -m 700 "$XDG_RUNTIME_DIR" "$HOME"
mkdir "$work/home"
server=
trap '[ -z "$server" ] || kill "$server" 2>/dev/null || true; finish' EXIT
pulseaudio --daemonize=no --exit-idle-time=-1 --disable-shm=yes -n -L module-native-protocol-unix >"$work/server" 2>&1 &
server=$!
printf 'pcm.!default { type pulse }\nctl.!default { type pulse }\n' >"$HOME/.asoundrc"
for _ in $(seq 100); do
    pactl info >/dev/null 2>&1 && break
    sleep 0.1
done
pactl load-module module-null-sink sink_name=speaker rate=48000 >/dev/null
pactl set-default-sink speaker
# A loudspeaker that is never quite silent, as a sound card: its monitor sends on while nothing is said.
pacat --device=speaker --raw --format=s16le --rate=48000 --channels=1 </dev/zero >/dev/null 2>&1 &
silence=$!
trap 'kill "$silence" 2>/dev/null || true; [ -z "$server" ] || kill "$server" 2>/dev/null || true; finish' EXIT

display 1280 800
"$program" 2>"$work/said" &
window=$!
until xdotool search --onlyvisible --name '^Soundbead$' >/dev/null 2>&1; do sleep 0.05; done
xdotool search --name '^Soundbead$' windowsize 1280 800 windowmove 0 0 windowfocus
sleep 1.5
xdotool type --delay 30 Juno
xdotool key Return
sleep 1
xdotool key Return
# The words are chosen in a second or so.
sleep 6

# listen: prints the time of the first loud sample, in milliseconds since the key was pressed.
cat >"$work/listen.py" <<'END'
import array, subprocess, sys, time

RATE = 48_000
listener = subprocess.Popen(
    ["parec", "--device=speaker.monitor", "--raw", "--format=s16le", "--rate=48000", "--channels=1", "--latency-msec=5"],
    stdout=subprocess.PIPE,
)
took = []
for _ in range(int(sys.argv[1])):
    # What was heard before the key is thrown away, for a second of it.
    until = time.monotonic() + 1.0
    while time.monotonic() < until:
        listener.stdout.read(480)
    pressed = time.monotonic()
    subprocess.Popen(["xdotool", "key", sys.argv[2]])
    while True:
        block = array.array("h", listener.stdout.read(480))
        if max(map(abs, block)) > 200:
            took.append((time.monotonic() - pressed) * 1000)
            break
        if time.monotonic() - pressed > 5:
            print("nothing was heard", file=sys.stderr)
            break
    time.sleep(float(sys.argv[3]))
listener.kill()
print("from the key to the first sound, ms:", " ".join(f"{t:.0f}" for t in took))
if took:
    print(f"the middle one: {sorted(took)[len(took) // 2]:.0f} ms (goal 150)")
END
echo "a word:"
python3 "$work/listen.py" "$times" m 2
# The plan's words are dictated: the view, and its first button.
xdotool key ctrl+5
sleep 1.5
for _ in 1 2 3 4 5 6 7 8 9; do xdotool key Tab; sleep 0.2; done
xdotool key Return
sleep 1.5
echo "a sentence:"
python3 "$work/listen.py" "$times" F5 7
[ ! -s "$work/said" ] || { echo "heard.sh: it complained:"; cat "$work/said"; }
