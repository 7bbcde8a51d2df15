# What both app/run.sh and tests/run.sh need of the system; read by them (". app/setup.sh"), not run by itself.
# The caller's name is in $0, the packages that it wants beyond these in $wanted: pairs of "file-or-command:package".

name=$(basename "$0")

if ! command -v cargo >/dev/null 2>&1; then
    [ -r "$HOME/.cargo/env" ] && . "$HOME/.cargo/env"
    command -v cargo >/dev/null 2>&1 || { echo "$name: cargo was not found; install Rust with rustup (https://rustup.rs)" >&2; exit 2; }
fi

# True when the command, the file, or the library (as pkg-config or ld know it) is there.
have() {
    case "$1" in
        /*) [ -e "$1" ] ;;
        *.pc) command -v pkg-config >/dev/null 2>&1 && pkg-config --exists "${1%.pc}" ;;
        *.so.*) [ -n "$(find /lib /usr/lib /usr/local/lib -name "$1" 2>/dev/null | head -n 1)" ] ;;
        *) command -v "$1" >/dev/null 2>&1 ;;
    esac
}

# The C compiler links the program, pkg-config and ALSA's headers are the microphone's; the rest draws the window.
missing=
for pair in cc:gcc cc:libc6-dev pkg-config:pkg-config alsa.pc:libasound2-dev ${wanted:-}; do
    have "${pair%%:*}" || missing="$missing ${pair#*:}"
done
if [ -n "$missing" ]; then
    as_root=
    [ "$(id -u)" = 0 ] || as_root="sudo -n"
    echo "$name: installing$missing"
    # Nothing asks anybody anything, and nothing complains that it has no way to ask.
    apt="$as_root env DEBIAN_FRONTEND=noninteractive apt-get"
    # shellcheck disable=SC2086 # one word a package
    if ! { command -v apt-get >/dev/null 2>&1 && $apt update -qq && $apt install -y -qq $missing >/dev/null; }; then
        echo "$name: these system packages are needed and could not be installed:$missing (Debian: apt-get install$missing)" >&2
        exit 2
    fi
fi
