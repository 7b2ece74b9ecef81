#!/bin/bash
# run.sh BUILD: shows that a second language is a file. Makes one by putting every text of the catalogue between
# brackets, builds the program with it in the folder BUILD, plays the demo's night, and looks for words outside the
# brackets on the sheets. Takes minutes: run by hand.
set -euo pipefail
here=$(dirname "$(realpath "$0")")
root=$(realpath "$here/../..")
mkdir -p "$1"
build=$(realpath "$1")

mkdir -p "$build/wording"
python3 "$here/bracketed.py" "$root/reports/wording/messages.en.hpp" >"$build/wording/messages.bracket.hpp"
cmake -S "$root" -B "$build" -G Ninja -DHOLDWARDEN_LANGUAGE=bracket -DBUILD_TESTING=OFF \
    -DCMAKE_CXX_FLAGS="-I$build/wording" >/dev/null
cmake --build "$build" --target holdwarden

rm -rf "$build/night"
"$root/docs/demo/night.sh" "$build/holdwarden" "$build/night" >/dev/null
export HOLDWARDEN_STORE=$build/night/larkspur.db HOLDWARDEN_BY=RK
for kind in cooling-log holding-log checks summary actions; do
    "$build/holdwarden" sheet --$kind --night 2026-10-31 -o "$build/night/$kind.html" >/dev/null
done
"$build/holdwarden" sheet --open-items -o "$build/night/open-items.html" >/dev/null
python3 "$here/unbracketed.py" "$build/night" "$root/schema/codes" "$root/docs/demo/night.sh"
