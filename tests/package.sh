#!/bin/sh
# Makes the Debian package and installs it in a bare Debian (a folder made by debootstrap), then asks the program a few
# things there: sh tests/package.sh [PACKAGE.deb]
# Left out, saying so, without root or debootstrap. A test ("tests/run.sh") never needs it.
set -eu
cd "$(dirname "$0")/.."
if [ "$(id -u)" != 0 ] || ! command -v debootstrap >/dev/null; then
    echo "package.sh: left out: it needs root and debootstrap (Debian: apt-get install debootstrap)"
    exit 0
fi
package=${1:-}
if [ -z "$package" ]; then
    sh app/package.sh target
    package=$(ls -t target/soundbead_*.deb | head -n 1)
fi
root=$(mktemp -d)
trap 'umount "$root/proc" 2>/dev/null || true; rm -rf "$root"' EXIT
echo "package.sh: a bare Debian"
debootstrap --variant=minbase "$(. /etc/os-release; echo "${VERSION_CODENAME:-stable}")" "$root" >"$root.log" 2>&1 \
    || { tail -n 3 "$root.log"; echo "package.sh: left out: debootstrap could not make a bare Debian"; rm -f "$root.log"; exit 0; }
rm -f "$root.log"
cp "$package" "$root/soundbead.deb"
for list in /etc/apt/sources.list /etc/apt/sources.list.d /etc/apt/apt.conf.d /etc/resolv.conf /etc/ssl/certs; do
    [ ! -e "$list" ] || cp -rL "$list" "$root/$(dirname "$list")/" 2>/dev/null || true
done
# The program finds its recordings by where it lies itself, which the system tells in /proc.
mount -t proc proc "$root/proc"
inside() { chroot "$root" env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LC_ALL=C.UTF-8 DEBIAN_FRONTEND=noninteractive "$@"; }
inside apt-get update -qq || true
inside apt-get install -y -qq --no-install-recommends /soundbead.deb >/dev/null
inside soundbead word chess
inside soundbead demo >"$root/demo" || { echo "package.sh: the demo fails"; exit 1; }
tail -n 3 "$root/demo"
for file in man/man1/soundbead.1.gz applications/soundbead.desktop doc/soundbead/notices.txt bash-completion/completions/soundbead; do
    [ -e "$root/usr/share/$file" ] || { echo "package.sh: /usr/share/$file is missing"; exit 1; }
done
inside apt-get remove -y -qq soundbead >/dev/null
[ ! -e "$root/usr/bin/soundbead" ] || { echo "package.sh: the program is still there after it was removed"; exit 1; }
echo "package.sh: installed, asked, removed"
