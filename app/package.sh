#!/bin/sh
# Makes a Debian package of the program: sh app/package.sh [FOLDER for the package]
# In it: the program, its man pages and shell completions, a desktop entry with an icon, the made recordings for
# `soundbead demo`, our licenses, and those of every crate that is part of the program (tests/src/bin/notices.rs).
# Needs what app/run.sh needs, and dpkg-deb (Debian has it). tests/package.sh installs what this makes in a bare Debian.
set -eu
cd "$(dirname "$0")/.."
out=${1:-target}
command -v dpkg-deb >/dev/null || { echo "package.sh: dpkg-deb was not found (Debian: apt-get install dpkg)" >&2; exit 2; }
wanted=
. app/setup.sh

cargo build --release --locked -p soundbead
built="${CARGO_TARGET_DIR:-target}/release/soundbead"
version=$(sed -n 's/^version = "\(.*\)"/\1/p' Cargo.toml | head -n 1)
machine=$(dpkg --print-architecture)

tree=$(mktemp -d)
trap 'rm -rf "$tree"' EXIT
chmod 755 "$tree"
put() { install -D -m "$1" "$2" "$tree/$3"; }

put 755 "$built" usr/bin/soundbead
put 644 app/package/soundbead.desktop usr/share/applications/soundbead.desktop
put 644 app/package/soundbead.svg usr/share/icons/hicolor/scalable/apps/soundbead.svg
for file in recordings-demo/*; do put 644 "$file" "usr/share/soundbead/$file"; done

mkdir -p "$tree/usr/share/man/man1"
"$built" manual --out "$tree/usr/share/man/man1" >/dev/null
gzip -9 -n "$tree"/usr/share/man/man1/*.1
for shell in bash:bash-completion/completions/soundbead fish:fish/vendor_completions.d/soundbead.fish zsh:zsh/vendor-completions/_soundbead; do
    "$built" completions "${shell%%:*}" >"$tree/completion"
    put 644 "$tree/completion" "usr/share/${shell#*:}"
    rm "$tree/completion"
done

doc=usr/share/doc/soundbead
put 644 README.md "$doc/README.md"
cargo run --quiet --locked -p soundbead-tests --bin notices >"$tree/notices"
put 644 "$tree/notices" "$doc/notices.txt"
rm "$tree/notices"
{
    echo "Soundbead is licensed under MIT or Apache-2.0, at your choice. What it is made of is in notices.txt beside this file."
    for license in LICENSE-*; do printf '\n== %s\n\n' "$license"; cat "$license"; done
} >"$tree/copyright"
put 644 "$tree/copyright" "$doc/copyright"
rm "$tree/copyright"

mkdir "$tree/DEBIAN"
cat >"$tree/DEBIAN/control" <<CONTROL
Package: soundbead
Version: $version
Architecture: $machine
Section: education
Priority: optional
Installed-Size: $(du -sk --exclude=DEBIAN "$tree" | cut -f1)
Depends: libc6, libasound2 | libasound2t64
Recommends: libegl1, libgl1, libxkbcommon-x11-0, libgl1-mesa-dri, xdg-desktop-portal
Maintainer: The Soundbead project <soundbead@localhost>
Description: sounds in words, for a parent and a child
 Leads a parent and a child of about 8 to 12 through the sounds in words: counting them, changing one, writing
 them, and reading what a misspelling shows. A teaching aid, not a test of speech or hearing. Everything stays on
 the machine.
CONTROL
dpkg-deb --build --root-owner-group "$tree" "$out/soundbead_${version}_$machine.deb"
