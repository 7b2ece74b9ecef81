#!/bin/bash
# night.sh PROGRAM OUT: plays the demo's night with PROGRAM in the new folder OUT: makes the store, enters what the
# kitchen did, imports the probes' files, prints the checks and writes the sheets. README.md beside it tells the story.
set -euo pipefail
exec 3>&1 # where the commands are shown, also when their output goes to a file
program=$(realpath "$1")
out=$2
data=$(realpath --relative-to=. "$(dirname "$0")")

if [ -e "$out" ]; then
    echo "$out is there already; remove it first" >&2
    exit 1
fi
mkdir -p "$out"
export HOLDWARDEN_STORE=$out/larkspur.db HOLDWARDEN_BY=RK
export HOLDWARDEN_WHY="the demo is played after the night"

# Shows a command and runs it.
run() {
    local shown='' word
    for word in "$@"; do
        [[ $word =~ ^[A-Za-z0-9_./:@=+-]+$ ]] || word="'$word'"
        shown+=" $word"
    done
    echo "\$ holdwarden$shown" >&3
    "$program" "$@"
}

# Checks lots; the exit status is the verdict: 0 met, 10 not met, 11 not shown, 12 open. Writes the whole answer to
# a file and shows its beginning: the verdict and what to do.
judge() {
    local file=$1 status=0
    shift
    run check "$@" >"$out/$file" || status=$?
    sed -n '1,/^$/p' "$out/$file"
    echo "   (exit status $status; why: $out/$file)"
    case $status in
    0 | 10 | 11 | 12) ;;
    *) exit "$status" ;;
    esac
}

heading() {
    echo
    echo "== $*"
}

heading "The kitchen"
run init --name "Larkspur Yard Smokehouse" --zone America/Denver --altitude 5280ft --scale F --max-gap 30min
run unit add smoker --kind smoker --oven convection
run unit add cabinet-1 --kind cabinet
run unit add cabinet-2 --kind cabinet
run unit add warm-oven --kind oven
run unit add chest-a --kind insulated-chest
run unit add chest-b --kind insulated-chest
run unit add walk-in --kind walk-in
for probe in p1 p2 p3 p4 p5 p6 p7 air-pit air-cabinet air-oven air-chest-a air-chest-b air-walk-in hand-1; do
    "$program" probe add $probe --accuracy 1F --step 0.1F >/dev/null
done
run probe list

heading "The day: two briskets in the pit, a shoulder for the warm oven, one for a chest"
run lot open brisket-1 --food whole-cut --mass 12lb --description "Brisket, unsliced" --at "2026-10-31 04:30"
run stage brisket-1 cooking --unit smoker --setting 250F --at "2026-10-31 04:30"
run place p1 brisket-1 --at "2026-10-31 04:30"
run lot open brisket-2 --food whole-cut --mass 13lb --description "Brisket, unsliced" --at "2026-10-31 04:30"
run stage brisket-2 cooking --unit smoker --setting 250F --at "2026-10-31 04:30"
run place p2 brisket-2 --at "2026-10-31 04:30"
run place air-pit smoker --air --at "2026-10-31 04:30"
run lot open pork-1 --food whole-cut --mass 8lb --description "Pork shoulder" --at "2026-10-31 06:00"
run stage pork-1 cooking --unit smoker --at "2026-10-31 06:00"
run lot open pork-2 --food whole-cut --mass 9lb --description "Pork shoulder" --at "2026-10-31 06:30"
run stage pork-2 cooking --unit smoker --at "2026-10-31 06:30"

heading "The afternoon: brisket-1 rests on the counter, then is held at 140 F; brisket-2 goes into a chest"
run stage brisket-1 resting --at "2026-10-31 15:32"
run stage brisket-2 resting --unit chest-a --at "2026-10-31 16:57"
run place air-chest-a chest-a --air --at "2026-10-31 17:00"
run stage brisket-1 hot-holding --unit cabinet-1 --setting 140F --at "2026-10-31 18:00"
run place air-cabinet cabinet-1 --air --at "2026-10-31 18:00"

heading "The evening: the warm oven, the second chest, chickens, a tray on the counter"
run log pork-1 204F --probe hand-1 --at "2026-10-31 18:38"
run stage pork-1 hot-holding --unit warm-oven --setting 170F --at "2026-10-31 18:45"
run place p3 pork-1 --at "2026-10-31 18:45"
run place air-oven warm-oven --air --at "2026-10-31 18:45"
run log pork-2 203F --probe hand-1 --at "2026-10-31 19:35"
run stage pork-2 resting --unit chest-b --at "2026-10-31 19:40"
run place p4 pork-2 --at "2026-10-31 19:40"
run place air-chest-b chest-b --air --at "2026-10-31 19:40" --until "2026-10-31 23:08"
run stage pork-2 hot-holding --unit cabinet-1 --setting 140F --at "2026-10-31 23:10"
run lot open chicken-1 --food poultry --description "Six chickens, halved" --at "2026-10-31 17:30"
run stage chicken-1 cooking --unit smoker --at "2026-10-31 17:30"
run log chicken-1 172F --probe hand-1 --at "2026-10-31 19:50"
run stage chicken-1 hot-holding --unit cabinet-2 --setting 150F --at "2026-10-31 20:00"
run place p7 chicken-1 --at "2026-10-31 20:00"
run lot open tray-1 --description "Burnt ends, one tray" --at "2026-10-31 17:30"
run stage tray-1 hot-holding 152F --probe hand-1 --unit cabinet-2 --at "2026-10-31 17:30"
run log tray-1 147F --probe hand-1 --at "2026-10-31 17:55"
run log tray-1 143F --probe hand-1 --at "2026-10-31 18:20"
run stage tray-1 time-control 142F --probe hand-1 --form 4h --at "2026-10-31 18:30"
run stage tray-1 discarded --at "2026-10-31 22:10"

heading "Beans, in a deep pan and in a shallow one"
run lot open beans-1 --container "4-inch pan, full" --description "Pit beans with burnt ends" --at "2026-10-31 19:30"
run stage beans-1 cooking --at "2026-10-31 19:30"
run log beans-1 197F --probe hand-1 --at "2026-10-31 21:20"
run stage beans-1 cooling --unit walk-in --at "2026-10-31 21:30"
run place p5 beans-1 --at "2026-10-31 21:30"
run place air-walk-in walk-in --air --at "2026-10-31 21:30"
run lot open beans-2 --container "2-inch pan, half full" --description "Pit beans with burnt ends" --at "2026-10-31 19:30"
run stage beans-2 cooking --at "2026-10-31 19:30"
run log beans-2 196F --probe hand-1 --at "2026-10-31 21:50"
run stage beans-2 cooling --unit walk-in --at "2026-10-31 22:00"
run place p6 beans-2 --at "2026-10-31 22:00"

heading "A time that the clocks showed twice is refused, with both readings"
run stage beans-1 reheating --at "2026-11-01 01:58" || echo "(exit status $?)"
run stage beans-1 reheating --at "2026-11-01T01:58:00-06:00"
run stage beans-1 cooling --unit walk-in --at "2026-11-01 02:00"
run stage beans-1 cold-holding --unit walk-in --at "2026-11-01 06:00"
run stage beans-2 cold-holding --unit walk-in --at "2026-11-01 02:30"

heading "The morning"
run stage chicken-1 served --at "2026-11-01 05:00"
run stage pork-2 served --at "2026-11-01 05:30"
run stage brisket-1 served --at "2026-11-01 06:00"
run stage pork-1 served --at "2026-11-01 06:00"
run stage brisket-2 discarded --at "2026-11-01 06:10"
run stage beans-1 discarded --at "2026-11-01 07:00"
run stage beans-2 served --at "2026-11-01 07:00"

heading "The probes' files; chest-a.csv is in local time and has 01:00 to 01:55 twice"
for file in pit hold oven chest-a chest-b cooling; do
    run import "$data/$file.csv"
done
echo
echo "The same file again adds nothing:"
run import "$data/hold.csv"

heading "What the record shows"
for lot in brisket-1 brisket-2 pork-1 pork-2 beans-1 beans-2 tray-1 chicken-1; do
    judge check-$lot.txt $lot --as-of "2026-11-01 08:00"
done
echo
echo "The beans as they stood at midnight, when they could still be saved:"
judge check-beans-1-midnight.txt beans-1 --as-of "2026-11-01 00:00"
run forecast beans-1 --as-of "2026-11-01 00:00"
echo
echo "One answer in full:"
cat "$out/check-chicken-1.txt"

heading "The sheets"
for format in text html; do
    for lot in brisket-1 brisket-2 pork-1 pork-2 beans-1 beans-2 tray-1 chicken-1; do
        "$program" sheet $lot --format $format --as-of "2026-11-01 08:00" --output "$out" >/dev/null
    done
    run sheet --night 2026-10-31 --format $format --output "$out"
done
run sheet --night 2026-10-31 --output "$out/night-2026-10-31.pdf"
run verify
echo
echo "All of it is in $out:"
ls -- "$out"
