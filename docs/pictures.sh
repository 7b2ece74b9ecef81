#!/bin/bash
# pictures.sh PROGRAM: draws the pictures of docs/pictures anew from real sheets of the demo's night. Needs pdftoppm
# (poppler-utils); the phone's picture also chromium.
set -euo pipefail
program=$(realpath "$1")
here=$(dirname "$(realpath "$0")")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

"$here"/demo/night.sh "$program" "$work"/demo >/dev/null
export HOLDWARDEN_STORE=$work/demo/larkspur.db HOLDWARDEN_BY=RK
mkdir -p "$here"/pictures
"$program" sheet brisket-1 --as-of "2026-11-01 12:00" -o "$work"/lot.pdf >/dev/null
"$program" sheet --night 2026-10-31 -o "$work"/night.pdf >/dev/null
for name in lot night; do
    pdftoppm -gray -png -r 66 -f 1 -l 1 -singlefile "$work"/$name.pdf "$here"/pictures/$name
done
if command -v chromium >/dev/null; then
    "$program" sheet brisket-2 --as-of "2026-11-01 12:00" -o "$work"/phone.html >/dev/null
    chromium --headless --no-sandbox --hide-scrollbars --window-size=500,1000 --force-dark-mode \
        --screenshot="$work"/phone.png "file://$work/phone.html" >/dev/null 2>&1
    cp "$work"/phone.png "$here"/pictures/phone.png
fi
ls -l "$here"/pictures
