#!/bin/bash
# bad_input.sh PROGRAM ROWS: runs each wrong command line of ROWS on a fresh copy of a small kitchen and checks
# its exit status, the essential words of its message, and that no file changed.
#
# ROWS is a list of blocks:
#   # what is wrong                      shown with the result
#   STATUS word and phrase|another one   every one must stand in standard error
#   holdwarden arguments, quoted as in a shell
# A line `do COMMAND` before the status prepares the kitchen's copy for this block.
set -uo pipefail
program=$(realpath "$1")
rows=$(realpath "$2")
here=$(dirname "$(realpath "$0")")

[ -w /dev/shm ] && export TMPDIR=/dev/shm # in memory: the program waits for the disk at each entry
work=$(mktemp -d)
trap 'chmod -R u+rwx "$work"; rm -rf "$work"' EXIT
unset HOLDWARDEN_STORE HOLDWARDEN_DATA HOLDWARDEN_PROBE NO_COLOR
export TZ=UTC LC_ALL=C.UTF-8 XDG_STATE_HOME=/dev/null

# One kitchen, made once: the files and stores that the rows go wrong with.
mkdir "$work/kitchen"
(cd "$work/kitchen" && . "$here/kitchen.sh") >"$work/kitchen.log" 2>&1 || {
    echo "the kitchen could not be set up:"
    tail -n 20 "$work/kitchen.log"
    exit 1
}

# What the folder holds: the kitchen's store as SQL, everything else by its bytes. The files of SQLite's write-ahead
# log come and go without a change of content.
state() {
    find . -mindepth 1 ! -name 'holdwarden.db*' ! -name '*.db-wal' ! -name '*.db-shm' -printf '%p %y %l\n' | sort
    find . -type f ! -name 'holdwarden.db*' ! -name '*.db-wal' ! -name '*.db-shm' -exec sha256sum {} + | sort
    sqlite3 'file:holdwarden.db?mode=ro' .dump 'pragma user_version' 'pragma application_id' | sha256sum
}

# The digits of the key that signed yard.lot, for the rows.
digits=$("$program" key show --key "$work/kitchen/yard.pem" | sed -n 's/^Its fingerprint: //p')
untouched=$(cd "$work/kitchen" && state)
passed=0
failed=0

# try TITLE STATUS WORDS COMMAND-LINE PREPARATION
try() {
    local title=$1 status=$2 words=$3 line=$4 preparation=$5 problem='' word got before
    rm -rf "$work/case"
    cp -a "$work/kitchen" "$work/case"
    cd "$work/case" || exit 1
    if [ -z "$preparation" ]; then
        before=$untouched
    else
        eval "$preparation" || problem+="; the preparation failed"
        before=$(state)
    fi
    local arguments=()
    eval "arguments=($line)"
    timeout 60 "$program" "${arguments[@]}" </dev/null >"$work/out" 2>"$work/err"
    got=$?
    [ "$got" -eq "$status" ] || problem+="; exit status $got instead of $status"
    IFS='|' read -ra expected <<<"$words"
    for word in "${expected[@]}"; do
        grep -qiF -- "$word" "$work/err" || problem+="; the message does not say '$word'"
    done
    [ ! -s "$work/out" ] || problem+="; something was printed as a result"
    grep -q 'unexpected:' "$work/err" && problem+="; the message is the one for defects"
    [ "$before" = "$(state)" ] || problem+="; files changed: $(diff <(echo "$before") <(state) | head -n 4 | tr '\n' ' ')"
    if [ -z "$problem" ]; then
        passed=$((passed + 1))
        echo "ok      $title"
    else
        failed=$((failed + 1))
        echo "FAILED  $title${problem}"
        echo "        holdwarden$line"
        sed 's/^/        | /' "$work/err" "$work/out" | head -n 8
    fi
    cd "$work" || exit 1
}

title='' status='' preparation=''
while IFS= read -r line; do
    case $line in
    '') ;;
    '# '*) title=${line#\# } ;;
    'do '*) preparation=${line#do } ;;
    holdwarden | 'holdwarden '*)
        try "$title" "${status%% *}" "${status#* }" "${line#holdwarden}" "$preparation"
        preparation=''
        ;;
    *) status=$line ;;
    esac
done <"$rows"

echo "$passed passed, $failed failed"
[ $failed -eq 0 ] && [ $passed -ge 300 ]
