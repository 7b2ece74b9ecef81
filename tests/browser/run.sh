#!/bin/bash
# run.sh FOLDER BUILD: checks the HTML sheets of FOLDER in headless Chromium, with packages installed into BUILD.
# Exits with 77 (skipped) and says why where Node, npm or Chromium is not there, or the packages cannot be had.
set -euo pipefail
here=$(dirname "$(realpath "$0")")
folder=$(realpath "$1")
build=$2

skip() {
    echo "skipped: $*"
    exit 77
}

command -v node >/dev/null || skip "there is no node"
command -v npm >/dev/null || skip "there is no npm"
chromium=$(command -v chromium || command -v chromium-browser || true)
[ -n "$chromium" ] || skip "there is no chromium"

mkdir -p "$build"
cp "$here"/package.json "$here"/package-lock.json "$here"/check.mjs "$build"
cd "$build"
if ! cmp -s package-lock.json node_modules/.installed-lock; then
    npm ci --ignore-scripts --no-audit --no-fund >npm.log 2>&1 || skip "npm ci failed: $(tail -n 1 npm.log)"
    cp package-lock.json node_modules/.installed-lock
fi
exec node check.mjs "$chromium" "$folder"/*.html
