#!/bin/bash
# hardened.sh FILE...: what a release build made is position-independent, its stack protected, its imports bound and read-only,
# its libc calls checked. Read from the file by readelf (GNU binutils).
set -uo pipefail
command -v readelf >/dev/null || { echo "readelf is not installed: skipped"; exit 77; }
failed=0
expect() { # what, pattern, readelf's options...
    local what=$1 pattern=$2
    shift 2
    local told
    told=$(readelf --wide "$@" "$program") # whole: a pipe closed early would count as a failure
    grep -qE -- "$pattern" <<< "$told" || { echo "FAILED: $what: $program"; failed=1; }
}
for program in "$@"; do
    expect "not position-independent" 'Type: +DYN' --file-header
    expect "no read-only relocations" 'GNU_RELRO' --program-headers
    expect "imports are not bound at the start" 'BIND_NOW|FLAGS.* NOW' --dynamic
    expect "an executable stack" 'GNU_STACK.* RW ' --program-headers
    expect "no stack protector" '__stack_chk_fail' --dyn-syms
done
program=$1 # the part that draws makes no call that could be checked
expect "no checked calls of libc" '_chk(@|$)' --dyn-syms
[ $failed -eq 0 ] && echo passed
exit $failed
