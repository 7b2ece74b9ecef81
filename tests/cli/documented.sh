#!/bin/bash
# documented.sh PROGRAM PAGE...: each command that --help lists must be described on each page. The manual pages need
# no such test: the program writes them from what --help shows.
set -uo pipefail
program=$1
shift
"$program" --help >"${TMPDIR:-/tmp}/holdwarden-help.$$" || exit 1
commands=$(sed -n '/^Subcommands:/,$s/^  \([a-z]\{1,\}\) .*/\1/p' "${TMPDIR:-/tmp}/holdwarden-help.$$")
rm -f "${TMPDIR:-/tmp}/holdwarden-help.$$"
[ "$(wc -w <<<"$commands")" -ge 10 ] || { echo "FAILED: --help lists too few commands: $commands"; exit 1; }
failed=0
for page in "$@"; do
    for command in $commands; do
        # In code quotes.
        grep -qE "\`(holdwarden )?$command\b" "$page" || {
            echo "FAILED: $page does not describe '$command'"
            failed=1
        }
    done
done
[ $failed -eq 0 ] && echo passed
exit $failed
