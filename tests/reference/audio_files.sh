#!/bin/sh
# Makes the small recordings that the decoding tests read, in ./audio beside this script: one tone pair in every
# container and depth, at odd rates. Needs sox (with libsox-fmt-all) and ffmpeg. Run it here: sh audio_files.sh
#
# The sound: 0.25 s, 440 Hz at 0.4 of full scale in the first half, 1000 Hz at 0.4 in the second; then lossy coding as
# the coder likes.
set -e
cd "$(dirname "$0")"
mkdir -p audio
tone() { # rate, sox output options and file
    rate=$1
    shift
    sox -D -R -r "$rate" -n -b 32 -e float part1.wav synth 0.125 sine 440 vol 0.4
    sox -D -R -r "$rate" -n -b 32 -e float part2.wav synth 0.125 sine 1000 vol 0.4
    sox -D -R part1.wav part2.wav "$@"
    rm part1.wav part2.wav
}
tone 8000 -b 8 -e unsigned audio/u8_8000.wav
tone 16000 -b 16 audio/s16_16000.wav
tone 11025 -b 24 audio/s24_11025.wav
tone 22050 -b 32 -e signed audio/s32_22050.wav
tone 24000 -b 32 -e float audio/f32_24000.wav
tone 48000 -b 64 -e float audio/f64_48000.wav
tone 44100 -c 2 audio/s16_44100_stereo.flac
tone 96000 -b 24 audio/s24_96000.flac
tone 44100 -b 16 whole.wav
ffmpeg -loglevel error -y -i whole.wav -c:a libmp3lame -b:a 64k -map_metadata -1 audio/44100.mp3
ffmpeg -loglevel error -y -i whole.wav -ar 22050 -c:a libvorbis -q:a 3 -map_metadata -1 audio/22050.ogg
ffmpeg -loglevel error -y -i whole.wav -ar 48000 -c:a aac -b:a 64k -map_metadata -1 audio/48000.m4a
ffmpeg -loglevel error -y -i whole.wav -ar 48000 -c:a libopus -b:a 24k -map_metadata -1 audio/48000.opus
ffmpeg -loglevel error -y -i whole.wav -ar 16000 -c:a adpcm_ima_wav -map_metadata -1 audio/adpcm.wav
rm whole.wav
ls -l audio
