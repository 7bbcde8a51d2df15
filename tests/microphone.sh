#!/bin/sh
# The microphone and the loudspeaker through what desktops run, without a screen and without a sound card: PulseAudio, and
# PipeWire with its ALSA plugin, each with virtual devices. A recording is played into the virtual microphone; what the
# program hears of it must be what was played, and be judged as the file is.
#
#     sh tests/microphone.sh
#
# Nothing is installed: what is missing is named, and its part is left out (an error where CI=true). Debian: pulseaudio
# pulseaudio-utils libasound2-plugins for the one, pipewire wireplumber pipewire-alsa pipewire-pulse pulseaudio-utils dbus
# for the other. The two cannot be installed side by side; run it once with each.
set -u
cd "$(dirname "$0")/.."
program=${SOUNDBEAD:-target/debug/soundbead} ear=target/debug/examples/microphone
if [ ! -x "$program" ] || [ ! -x "$ear" ]; then
    echo "microphone.sh: build first: cargo build -p soundbead --bin soundbead --example microphone"
    exit 2
fi
work=$(mktemp -d)
XDG_RUNTIME_DIR=$work/run HOME=$work/home SOUNDBEAD_HOME=$work/data
export XDG_RUNTIME_DIR HOME SOUNDBEAD_HOME
mkdir -m 700 "$XDG_RUNTIME_DIR" "$HOME"
unset DISPLAY WAYLAND_DISPLAY PULSE_SERVER 2>/dev/null
started= failed=0 passed=0 left=0
# Ends only what was started here.
finish() {
    for one in $started; do kill "$one" 2>/dev/null; done
    wait 2>/dev/null
    rm -rf "$work"
}
trap finish EXIT

# check WHAT CONDITION...: one line for each thing that is looked at.
check() {
    what=$1
    shift
    if "$@"; then
        passed=$((passed + 1))
        echo "  good    $what"
    else
        failed=$((failed + 1))
        echo "  BAD     $what"
    fi
}
left_out() {
    left=$((left + 1))
    echo "  left out: $1"
}
# Waits up to ten seconds for a command to succeed.
wait_for() {
    for _ in $(seq 100); do
        "$@" >/dev/null 2>&1 && return 0
        sleep 0.1
    done
    return 1
}
has() { grep -q -- "$2" "$1"; }
not_counted() { case $1 in *'"heard":'[0-9]*) return 1 ;; esac; }
one_line() { [ "$(wc -l < "$1")" -eq 1 ]; }
# Whether there is a list, and every name in it is something else than the device's id and its parts.
named() { [ -s "$1" ] && awk -F '\t' '$2 == "" || index($1, $2) || $2 ~ /[Pp]lugin|PCM|:/ { bad = 1 } END { exit bad }' "$1"; }

# silence SINK: plays silence into it until the end. A real microphone always sends something; the monitor of a virtual sink
# sends nothing, not even silence, while nothing plays.
silence() {
    # With its usual two seconds in hand the server takes back what it has mixed when the recording comes, and what was heard
    # of it already does not fit together: a real microphone sends a few milliseconds at a time.
    pacat --latency-msec=50 --device="$1" --raw --format=s16le --rate=48000 --channels=1 </dev/zero &
    started="$started $!"
    # It takes a moment to connect; how long is not told.
    sleep 1
}

# Whether two sounds are one. -40 dB: a hundredth. Resampling by the sound server and by us leaves less than that.
whole() { awk '{ exit !($7 + 0 < -40) }' "$1"; }

# listen SINK: plays the recording into a sink while the program listens. PulseAudio itself now and then leaves a gap in what it
# mixes. Its own recorder listens beside the program: where it too misses a part, that part was never played, and the recording
# is played again.
listen() {
    for attempt in 1 2 3 4; do
        parec --latency-msec=50 --device="$1.monitor" --file-format=wav --rate=48000 --channels=1 "$work/beside.wav" &
        beside=$!
        (sleep 1.5; exec paplay --latency-msec=500 --device="$1" "$work/said.wav") &
        playing=$!
        "$ear" hear 5 "$work/heard.wav" >"$work/told" 2>&1
        kill "$playing" "$beside" 2>/dev/null
        wait "$playing" "$beside" 2>/dev/null
        "$ear" compare "$work/said.wav" "$work/beside.wav" >"$work/control" 2>&1
        whole "$work/control" && return
        echo "          try $attempt: the server's own recorder hears something else too: $(cat "$work/control")"
    done
}

# hear RATE CHANNELS: a virtual microphone of this shape, into which a recording is played while the program listens.
hear() {
    rate=$1 channels=$2 name=mic_$1_$2
    pactl load-module module-null-sink sink_name="$name" rate="$rate" channels="$channels" format=s16le \
        sink_properties=device.description="Test_microphone_$rate" >/dev/null || return
    pactl set-default-source "$name.monitor"
    wait_for pactl get-source-volume "$name.monitor"
    silence "$name"
    listen "$name"
    echo "  $rate Hz, $channels channels: $(cat "$work/told")"
    check "it opens and nothing is missed" has "$work/told" ', 0 missed'
    "$ear" compare "$work/said.wav" "$work/heard.wav" >"$work/told" 2>&1
    echo "          $(cat "$work/told")"
    check "what arrives is what was played" whole "$work/told"
    verdict=$("$program" count "$work/heard.wav" --word goat --json 2>&1 | sed 's/.*"verdict":"\([a-z]*\)".*/\1/')
    count=$("$program" count "$work/heard.wav" --word goat --json 2>&1 | sed 's/.*"heard":\([0-9]*\).*/\1/')
    check "it is judged as the file is ($verdict, $count; the file $of_file)" [ "$verdict, $count" = "$of_file" ]
}

# What holds for either server, once it runs.
through() {
    cp recordings-demo/01-goat.wav "$work/said.wav"
    of_file=$("$program" count "$work/said.wav" --word goat --json |
        sed 's/.*"heard":\([0-9]*\).*"verdict":"\([a-z]*\)".*/\2, \1/')
    for shape in "44100 1" "48000 1" "44100 2" "48000 2"; do
        # shellcheck disable=SC2086
        hear $shape
    done
    "$ear" list >"$work/list" 2>&1
    sed 's/^/          /' "$work/list"
    check "devices are listed, and by names, not by the words of ALSA's configuration" named "$work/list"
    # Each of them opens by its id, or says in one line that its server is not the one that runs.
    while IFS="$(printf '\t')" read -r id called; do
        "$ear" hear 2 "$work/heard.wav" "$id" >"$work/told" 2>&1 </dev/null
        check "$called is heard by its id, or has no server ($(cat "$work/told"))" \
            grep -q '[1-9][0-9]* frames, 0 missed\|its sound server is not running' "$work/told"
    done <"$work/list"
    # The default changes while the program looks elsewhere: the next listening hears the other.
    pactl load-module module-null-sink sink_name=other >/dev/null
    pactl set-default-source other.monitor
    silence other
    listen other
    "$ear" compare "$work/said.wav" "$work/heard.wav" >"$work/told" 2>&1
    check "the system's default is followed: $(cat "$work/told")" whole "$work/told"
    # Playback, into a recorded sink.
    pactl load-module module-null-sink sink_name=speaker rate=48000 >/dev/null
    pactl set-default-sink speaker
    silence speaker
    # Without this it writes what it hears seconds later, and its end never.
    parec --latency-msec=50 --device=speaker.monitor --file-format=wav --rate=48000 --channels=1 "$work/played.wav" &
    recording=$!
    sleep 1
    "$ear" play "$work/said.wav" >"$work/told" 2>&1
    # The last buffers are on their way.
    sleep 2
    kill "$recording"
    wait "$recording" 2>/dev/null
    check "a sound is played to its end ($(cat "$work/told"))" [ ! -s "$work/told" ]
    "$ear" compare "$work/said.wav" "$work/played.wav" >"$work/told" 2>&1
    check "what is played is what comes out: $(cat "$work/told")" awk '{ exit !($7 + 0 < -25) }' "$work/told"
    # Unplugged in the middle: one clear line.
    module=$(pactl load-module module-null-sink sink_name=gone)
    pactl set-default-source gone.monitor
    silence gone
    (sleep 1.5; exec pactl unload-module "$module") &
    timeout 20 "$ear" hear 8 "$work/heard.wav" >"$work/told" 2>&1
    echo "          unplugged: $(cat "$work/told")"
    check "what goes away is said, or another takes its place, in one line" one_line "$work/told"
}

# A device that ALSA cannot open, each for the reason that the system gives: one clear line that says which it is. There is
# no sound card here to be busy, so a plugin of four lines stands in its place.
refused() {
    if ! cc -shared -fPIC -DPIC -o "$work/refuses.so" -x c - <<'PLUGIN' 2>"$work/told"
#include <alsa/asoundlib.h>
#include <alsa/pcm_external.h>
SND_PCM_PLUGIN_DEFINE_FUNC(refuses) {
    long error = 0;
    snd_config_t *entry;
    if (snd_config_search(conf, "error", &entry) >= 0) snd_config_get_integer(entry, &error);
    return -error;
}
SND_PCM_PLUGIN_SYMBOL(refuses);
PLUGIN
    then
        left_out "a plugin for ALSA cannot be built ($(head -1 "$work/told")); Debian: gcc libasound2-dev"
        return
    fi
    # Numbers of errors on Linux (asm-generic/errno-base.h): EBUSY, EACCES, ENODEV.
    for case in "16:another program is using" "13:does not let" "19:no microphone"; do
        printf 'pcm_type.refuses { lib "%s" }\npcm.!default { type refuses error %s }\n' \
            "$work/refuses.so" "${case%%:*}" >"$HOME/.asoundrc"
        timeout 20 "$ear" hear 1 "$work/heard.wav" >"$work/told" 2>&1
        echo "          error ${case%%:*}: $(cat "$work/told")"
        check "it is said in one line" one_line "$work/told"
        check "and says: ${case#*:}" grep -qi "${case#*:}" "$work/told"
    done
    rm -f "$HOME/.asoundrc"
}

# fixed BYTES TIMES: PipeWire's plugin with one size of a period, of which a buffer must be a multiple: other sizes are refused.
fixed() {
    printf 'pcm.!default { type pipewire period_bytes %s buffer_bytes %s }\nctl.!default { type pipewire }\n' \
        "$1" "$(($1 * $2))" >"$HOME/.asoundrc"
    timeout 20 "$ear" hear 1 "$work/heard.wav" >"$work/told" 2>&1
    check "periods of $1 bytes, $2 to a buffer: it opens ($(cat "$work/told"))" has "$work/told" ', 0 missed'
}

echo "ALSA"
refused

echo "PulseAudio"
if ! command -v pulseaudio >/dev/null || ! command -v pactl >/dev/null; then
    left_out "there is no pulseaudio (Debian: pulseaudio pulseaudio-utils libasound2-plugins)"
elif [ ! -e /usr/share/alsa/alsa.conf.d/pulse.conf ] && [ ! -e /etc/alsa/conf.d/99-pulse.conf ]; then
    left_out "ALSA does not know PulseAudio (Debian: libasound2-plugins)"
else
    pulseaudio --daemonize=no --exit-idle-time=-1 --disable-shm=yes -n \
        -L "module-native-protocol-unix" -L "module-always-sink" >"$work/server" 2>&1 &
    server=$!
    started="$started $server"
    # ALSA's own default goes to the server, as on a desktop.
    printf 'pcm.!default { type pulse }\nctl.!default { type pulse }\n' >"$HOME/.asoundrc"
    if wait_for pactl info; then
        through
        kill "$server" && wait "$server" 2>/dev/null
        timeout 20 "$ear" hear 1 "$work/heard.wav" >"$work/told" 2>&1
        echo "          no server: $(cat "$work/told")"
        check "none at all is said in one line" one_line "$work/told"
    else
        failed=$((failed + 1))
        echo "  BAD     the server did not start: $(tail -1 "$work/server")"
    fi
    rm -f "$HOME/.asoundrc"
fi

echo "PipeWire"
plugin=$(find /usr/lib -name libasound_module_pcm_pipewire.so 2>/dev/null | head -1)
if ! command -v pipewire >/dev/null || ! command -v wireplumber >/dev/null || ! command -v pipewire-pulse >/dev/null; then
    left_out "there is no pipewire (Debian: pipewire wireplumber pipewire-alsa pipewire-pulse pulseaudio-utils dbus)"
elif [ -z "$plugin" ]; then
    left_out "ALSA does not know PipeWire (Debian: pipewire-alsa)"
else
    dbus-daemon --session --fork --print-address=3 --print-pid=4 3>"$work/bus" 4>"$work/bus.pid"
    DBUS_SESSION_BUS_ADDRESS=$(cat "$work/bus")
    export DBUS_SESSION_BUS_ADDRESS
    started="$started $(cat "$work/bus.pid")"
    for one in pipewire wireplumber pipewire-pulse; do
        "$one" >>"$work/server" 2>&1 &
        started="$started $!"
        sleep 0.5
    done
    printf 'pcm.!default { type pipewire }\nctl.!default { type pipewire }\n' >"$HOME/.asoundrc"
    if wait_for pactl info; then
        through
        pactl load-module module-null-sink sink_name=steady rate=48000 >/dev/null
        pactl set-default-source steady.monitor
        silence steady
        for size in "4096 4" "6000 3" "1920 2"; do
            # shellcheck disable=SC2086
            fixed $size
        done
        printf 'pcm.!default { type pipewire }\nctl.!default { type pipewire }\n' >"$HOME/.asoundrc"
        pactl unload-module module-null-sink
        timeout 20 "$ear" hear 1 "$work/heard.wav" >"$work/told" 2>&1
        echo "          no source: $(cat "$work/told")"
        check "a server without a microphone is said in one line, or is silence" one_line "$work/told"
        verdict=$("$program" count "$work/heard.wav" --word goat --json 2>&1)
        check "of which nothing is counted (${verdict%%,*})" not_counted "$verdict"
    else
        failed=$((failed + 1))
        echo "  BAD     the server did not start: $(tail -1 "$work/server")"
    fi
fi

echo "$passed good, $failed bad, $left left out"
[ "$failed" = 0 ] || exit 1
[ "$left" = 0 ] || [ "${CI:-}" != true ]
