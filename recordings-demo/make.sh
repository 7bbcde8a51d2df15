#!/bin/sh
# Makes every recording in this folder. No person's voice is in any of them: espeak-ng and flite, two
# free speech synthesisers, speak; sox cuts, joins and spoils. Run it from anywhere: sh make.sh [FOLDER]
# (FOLDER is where the recordings go; this folder if left out.) espeak-ng's recordings and sox's noise
# (fixed seed, -R) come out the same each time; flite's voice draws its breath noise anew at every run, so
# the six recordings made with it differ in detail from one run to the next.
set -eu

here=$(cd "$(dirname "$0")" && pwd)
out=${1:-$here}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# ---- tools -------------------------------------------------------------------------------------

missing=
for tool in espeak-ng flite sox; do
    command -v "$tool" >/dev/null 2>&1 || missing="$missing $tool"
done
if [ -n "$missing" ]; then
    if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then
        apt-get update -qq
        apt-get install -y -qq espeak-ng flite sox libsox-fmt-base >/dev/null
    else
        echo "make.sh: these are missing:$missing. As root, run: apt-get install espeak-ng flite sox libsox-fmt-base" >&2
        exit 2
    fi
fi
mkdir -p "$out"

# ---- two child-like voices ---------------------------------------------------------------------

# espeak-ng is a formant synthesiser, so a child's shorter vocal tract can be asked for directly: every
# formant 15 to 20 % above the adult voice's, about the ratio of ten-year-olds' vowel formants to men's
# and women's between them (Hillenbrand, Getty, Clark, Wheeler 1995), and a child's pitch.
data=
for folder in /usr/lib/*/espeak-ng-data /usr/lib/espeak-ng-data /usr/share/espeak-ng-data; do
    [ -d "$folder" ] && data=$folder && break
done
[ -n "$data" ] || { echo "make.sh: espeak-ng's data folder was not found under /usr/lib or /usr/share" >&2; exit 2; }
cp -r "$data" "$work/espeak-ng-data"
child_voice() { # name, lower pitch, upper pitch, formant per cent
    {
        printf 'language variant\nname %s\ngender female\npitch %s %s\n' "$1" "$2" "$3"
        for formant in 0 1 2 3 4 5 6 7 8; do
            printf 'formant %s %s 100 145\n' "$formant" "$4"
        done
    } >"$work/espeak-ng-data/voices/!v/$1"
}
child_voice juno 225 320 118 # nine years old
child_voice alby 245 350 122 # seven years old

# espeak VOICE TEXT FILE [WORDS-A-MINUTE]: TEXT is a spelling, or phonemes in [[ ]].
espeak() {
    espeak-ng --path="$work" -v "en-us+$1" -s "${4:-125}" -w "$work/raw.wav" "$2"
    tidy "$work/raw.wav" "$3"
}

# flite VOICE TEXT FILE [STRETCH]: speech played faster raises pitch and formants together (here by 1.2),
# so it is made that much slower first. TEXT is a spelling, or phones after "phones:".
speak_flite() {
    slower=$(awk "BEGIN { print 1.2 * ${4:-1.0} }")
    case $2 in
    phones:*) flite -voice "$1" --setf int_f0_target_mean=230 --setf duration_stretch="$slower" -p "${2#phones:}" -o "$work/raw.wav" ;;
    *) flite -voice "$1" --setf int_f0_target_mean=230 --setf duration_stretch="$slower" -t "$2" -o "$work/raw.wav" ;;
    esac
    sox "$work/raw.wav" "$work/up.wav" speed 1.2
    tidy "$work/up.wav" "$3"
}

# Cuts the silence at both ends, and brings the file to 16 kHz mono with its peak at -6 dBFS.
tidy() {
    sox -R -D "$1" -r 16000 -c 1 -b 16 "$2" silence 1 0.005 0.1% fade t 0.004 \
        reverse silence 1 0.005 0.1% fade t 0.004 reverse norm -6
}

# ---- pieces and rooms --------------------------------------------------------------------------

# One sound by itself, at its own peak level: a vowel is some 10 to 15 dB louder than a stop or an s.
piece() { # voice, phonemes, file, peak in dB
    espeak "$1" "[[$2]]" "$work/one.wav" 110
    sox -D "$work/one.wav" "$3" norm "$4"
}

gap() { # seconds, file
    sox -D -n -r 16000 -c 1 -b 16 "$2" trim 0 "$1"
}

# apart NAME GAP VOICE phoneme:peak ...: sounds one after the other with GAP seconds between them.
apart() {
    name=$1 between=$2 voice=$3
    shift 3
    gap "$between" "$work/gap.wav"
    set -- "$@"
    files= n=0
    for part in "$@"; do
        n=$((n + 1))
        piece "$voice" "${part%:*}" "$work/part$n.wav" "${part##*:}"
        [ -z "$files" ] || files="$files $work/gap.wav"
        files="$files $work/part$n.wav"
    done
    # shellcheck disable=SC2086 # a list of our own names without spaces
    sox -D $files "$work/$name.wav"
}

# room NAME [NOISE]: 0.35 s of room before and after, and pink noise under it all. NOISE is the noise's
# gain in dB; sox's pink noise at 0 dB lies near -16 dBFS, so the usual -42 is a quiet room at -58 dBFS.
room() {
    sox -D "$work/$1.wav" "$work/padded.wav" pad 0.35 0.35
    length=$(soxi -D "$work/padded.wav")
    sox -R -D -n -r 16000 -c 1 -b 16 "$work/noise.wav" synth "$length" pinknoise gain "${2:--42}"
    sox -R -D -m -v 1 "$work/padded.wav" -v 1 "$work/noise.wav" "$work/$1.room.wav"
}

# keep NAME [SUFFIX [sox output options]]: the finished recording goes to the folder.
keep() {
    name=$1 suffix=${2:-wav}
    if [ $# -gt 2 ]; then shift 2; else shift $#; fi
    sox -R -D "$work/$name.room.wav" "$@" "$out/$name.$suffix"
}

# said NAME VOICE TEXT [WORDS-A-MINUTE]: a word by espeak-ng in a quiet room, kept as WAV.
said() {
    espeak "$2" "$3" "$work/$1.wav" "${4:-125}"
    room "$1"
    keep "$1"
}

# ---- the afternoon -----------------------------------------------------------------------------

# Whole words, said right.
said 01-goat juno goat
speak_flite slt shed "$work/02-shed.wav"; room 02-shed; keep 02-shed
said 03-milk alby milk
said 04-splash juno splash
said 05-muffin alby muffin
said 06-tea juno tea
said 07-hopped alby hopped

# Stretched, each sound held three times as long as usual.
speak_flite slt shell "$work/08-shell.wav" 3.2; room 08-shell; keep 08-shell
speak_flite slt fizz "$work/09-fizz.wav" 3.0; room 09-fizz; keep 09-fizz
speak_flite slt lamb "$work/10-lamb.wav" 3.4; room 10-lamb; keep 10-lamb

# Sound by sound, with gaps.
apart 11-soap 0.40 juno s:-16 oU:-6 p:-16; room 11-soap; keep 11-soap
apart 12-hat 0.30 alby h:-18 a:-6 t:-15; room 12-hat; keep 12-hat
apart 13-fist 0.45 juno f:-20 I:-6 s:-16 t:-15; room 13-fist; keep 13-fist

# A sound is lost.
said 14-leaf alby '[[l'"'"'i:]]'
said 15-gate juno '[[g'"'"'eI]]'
said 16-spoon alby '[[p'"'"'u:n]]'
said 17-crust juno '[[kr'"'"'Vs]]'
# espeak-ng's m by itself lasts 40 ms, too short to be heard as one: three in a row make one of a quarter of a second.
apart 18-mash 0.40 alby mmm:-10 a:-6; room 18-mash; keep 18-mash

# A sound is added.
said 19-mud alby '[[m'"'"'Vd@]]'
said 20-soup juno '[[s'"'"'u:p@]]'

# A sound is changed.
said 21-bell alby '[[b'"'"'Il]]'
said 22-thumb alby '[[f'"'"'Vm]]'
said 23-ring juno '[[w'"'"'IN]]'
speak_flite slt 'phones:f ih1 n' "$work/24-fan.wav" 3.0; room 24-fan; keep 24-fan

# Vowels with r, x over two sounds, qu, /j u/, and ng with k.
said 25-barn juno barn
speak_flite slt fern "$work/26-fern.wav"; room 26-fern; keep 26-fern
said 27-mix alby mix
said 28-quilt juno quilt
said 29-few juno few
said 30-sink alby sink

# Poor recordings: a noisy kitchen (10 dB below the word), a microphone turned up far too high, a start
# cut off by a late press of the button, nothing said at all.
espeak juno path "$work/31-path.wav"; room 31-path -14; keep 31-path
espeak alby cheese "$work/32-cheese.wav"
room 32-cheese; sox -D "$work/32-cheese.room.wav" "$work/loud.wav" gain 24 2>/dev/null
mv "$work/loud.wav" "$work/32-cheese.room.wav"; keep 32-cheese
espeak juno stamp "$work/33-stamp.wav"; room 33-stamp
sox -D "$work/33-stamp.room.wav" "$work/late.wav" trim 0.47; mv "$work/late.wav" "$work/33-stamp.room.wav"; keep 33-stamp
gap 0.9 "$work/34-nothing.wav"; room 34-nothing; keep 34-nothing

# Other containers, rates and channels.
espeak juno hedge "$work/35-hedge.wav"; room 35-hedge; keep 35-hedge flac
espeak alby cloud "$work/36-cloud.wav"; room 36-cloud; keep 36-cloud ogg -C 6
espeak juno bean "$work/37-bean.wav"; room 37-bean; keep 37-bean wav -r 44100 -c 2

# Asked with no word at all.
said 38-nut alby nut

echo "make.sh: $(find "$out" -name '[0-9]*' -type f | wc -l) recordings, $(du -ck "$out"/[0-9]* | tail -n 1 | cut -f 1) KiB, in $out"
