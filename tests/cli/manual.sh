#!/bin/bash
# manual.sh PROGRAM: the manual pages are correct for the readers that are installed (man-db's groff, mandoc).
# Exit status 77 where there is neither.
set -uo pipefail
program=$(realpath "$1")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
"$program" manual --folder "$work" || exit 1
pages=("$work"/*.1)
[ ${#pages[@]} -ge 15 ] || { echo "FAILED: only ${#pages[@]} pages"; exit 1; }

readers=0
if command -v mandoc >/dev/null; then
    readers=$((readers + 1))
    mandoc -T lint -W warning "${pages[@]}" || { echo "FAILED: mandoc finds fault"; exit 1; }
fi
if command -v man >/dev/null && command -v groff >/dev/null; then
    readers=$((readers + 1))
    for page in "${pages[@]}"; do
        LC_ALL=C.UTF-8 MANWIDTH=80 man --warnings -l "$page" >"$work/text" 2>"$work/err" || { echo "FAILED: man cannot read $page"; exit 1; }
        [ ! -s "$work/err" ] || { echo "FAILED: $(cat "$work/err")"; exit 1; }
        grep -q '^NAME' "$work/text" || { echo "FAILED: $page has no NAME"; exit 1; }
    done
fi
[ $readers -gt 0 ] || { echo "neither mandoc nor man is installed"; exit 77; }
echo "passed"
