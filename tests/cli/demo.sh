#!/bin/bash
# demo.sh PROGRAM NIGHT: plays the demo and checks that each story comes out as docs/demo/README.md tells it.
# The verdicts follow from the stories by the FDA Food Code 2022 (3-401.11, 3-403.11, 3-501.14, 3-501.16, 3-501.19)
# and the house's interval of 30 minutes; they are not copied from the program's answers.
set -uo pipefail
program=$1
night=$2

[ -w /dev/shm ] && export TMPDIR=/dev/shm # in memory: the program waits for the disk at each entry
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
unset HOLDWARDEN_STORE HOLDWARDEN_DATA HOLDWARDEN_BY
cd "$work" || exit 1

"$night" "$program" out >log 2>&1 || { tail -n 30 log; echo "FAILED: exit status $?"; exit 1; }

failed=0
# expect FILE FIRST-LINE-BEGINS [PHRASE]: the answer's verdict, and something its reasons must say.
expect() {
    local first
    first=$(head -n 1 "out/$1" | sed 's/^[^A-Z]*//')
    if [[ $first != "$2"* ]]; then
        echo "FAILED $1: '$first' instead of '$2'"
        failed=1
    fi
    if [ -n "${3:-}" ] && ! tr '\n' ' ' <"out/$1" | tr -s ' ' | grep -qF -- "$3"; then
        echo "FAILED $1 does not say '$3'"
        failed=1
    fi
}
expect check-brisket-1.txt "MET  brisket-1" "from 18:00 to 05:55"
expect check-brisket-2.txt "NOT MET  brisket-2: hot-holding" "2026-11-01 01:20 -06:00 134.6 °F"
expect check-pork-1.txt "MET  pork-1"
expect check-pork-2.txt "MET  pork-2"
expect check-beans-1.txt "NOT MET  beans-1: cooling-first-window" "met reheating-time"
expect check-beans-2.txt "MET  beans-2"
expect check-tray-1.txt "MET  tray-1"
expect check-chicken-1.txt "NOT SHOWN  chicken-1: hot-holding" "02:10 to 03:00 (50 min)"
expect check-beans-1-midnight.txt "OPEN  beans-1: cooling-first-window"
grep -q "showed '2026-11-01 01:58' twice" log || { echo "FAILED: the repeated time was not refused"; failed=1; }
# 18:00 to 06:00 on the night the clocks go back: America/Denver, IANA time zone database 2025b.
grep -qE "3 hot .* 13 h " out/lot-brisket-1.txt || { echo "FAILED: the hold did not last its true 13 hours"; failed=1; }
grep -q "imported before" log || { echo "FAILED: the second import was not recognised"; failed=1; }
for name in lot-brisket-1 lot-brisket-2 lot-pork-1 lot-pork-2 lot-beans-1 lot-beans-2 lot-tray-1 lot-chicken-1 \
    night-2026-10-31; do
    for file in $name.txt $name.html; do
        [ -s "out/$file" ] || { echo "FAILED: $file is missing"; failed=1; }
    done
done
for lot in brisket-1 brisket-2 pork-1 pork-2 beans-1 beans-2 tray-1 chicken-1; do
    grep -q "$lot" out/night-2026-10-31.txt || { echo "FAILED: the night's sheet lacks $lot"; failed=1; }
done
if command -v pdftotext >/dev/null; then
    export HOLDWARDEN_STORE=$work/out/larkspur.db HOLDWARDEN_BY=RK
    for lot in brisket-1 brisket-2 pork-1 pork-2 beans-1 beans-2 tray-1 chicken-1; do
        for paper in letter a4; do
            "$program" sheet "$lot" --as-of "2026-11-01 12:00" --paper $paper -o page.pdf --force >/dev/null
            page=$(pdftotext -layout -l 1 page.pdf - | tr -s '\n ' ' ')
            for words in "Person in charge Name in print Signature" "Verified by a second person Name in print" \
                " 3-[45]0[0-9][.]1" "[0-9] (°F|h)" "2026-1[01]-[0-9]+ [0-9]+:[0-9]+"; do
                grep -qE -- "$words" <<<"$page" || { echo "FAILED: page one of $lot on $paper lacks '$words'"; failed=1; }
            done
        done
    done
fi
[ $failed -eq 0 ] && echo passed
exit $failed
