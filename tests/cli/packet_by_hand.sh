#!/bin/bash
# packet_by_hand.sh PROGRAM PAGE: the commands of docs/checking-a-packet.md, run as they stand there, accept a packet
# that the program made and refuse altered ones. What they rest on: sha256sum and openssl, not this program.
set -uo pipefail
program=$(realpath "$1")
page=$(realpath "$2")
command -v openssl >/dev/null || { echo "openssl is not installed: skipped"; exit 77; }
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
export HOLDWARDEN_STORE=kitchen.db HOLDWARDEN_KEY=key.pem TZ=UTC LC_ALL=C.UTF-8
{
    "$program" init --name "Larkspur Yard Smokehouse" --zone America/Denver &&
        "$program" lot open brisket-1 --at "2026-10-31 17:00" &&
        "$program" log brisket-1 150F --at "2026-10-31 18:00" && "$program" key new
} >log 2>&1 || { cat log; exit 1; }
fingerprint=$("$program" key show | sed -n 's/^Its fingerprint: //p' | tr -d ' ')
"$program" packet -o sealed >/dev/null || exit 1

# Block N of the page, as a person would type it.
block() {
    awk -v n="$1" '/^```/ { inside = !inside; if (inside) block++; next } inside && block == n' "$page"
}
# Whether a command prints that line. (grep -q in a pipe would end it before it is done.)
says() {
    local lines
    lines=$(bash -c "$1" 2>/dev/null)
    grep -qx -- "$2" <<<"$lines"
}
# Runs all five in the folder $1; true: nothing was wrong.
by_hand() (
    cd "$1" || exit 1
    [ "$(bash -c "$(block 1)" | cut -d' ' -f1)" = "$fingerprint" ] || exit 1
    says "$(block 2)" 'Signature Verified Successfully' || exit 1
    lines=$(bash -c "$(block 3)" 2>&1) && [ -z "$(grep -v ': OK$' <<<"$lines")" ] || exit 1
    [ -z "$(bash -c "$(block 4)")" ] || exit 1
    says "$(block 5)" 'Signature Verified Successfully' || exit 1
    grep -qx "key $fingerprint" checkpoint.txt || exit 1
)
failed=0
by_hand sealed || { echo "FAILED: a packet as it was sealed was refused"; failed=1; }
refuse() {
    rm -rf altered
    cp -a sealed altered
    (cd altered && eval "$2")
    by_hand altered >/dev/null 2>&1 && { echo "FAILED: accepted although $1"; failed=1; }
}
refuse "a reading was altered" "sed -i s/150/151/ records/history.jsonl"
refuse "a sheet was removed" "rm sheets/lot-brisket-1.txt"
refuse "a sheet was added" "cp README.txt sheets/more.txt"
refuse "a link was added" "ln -s README.txt sheets/more"
refuse "the list was altered" "sed -i 's/README/README/; s/^# made .*/# made 2020-01-01T00:00:00Z/' manifest.txt; echo >>manifest.txt"
refuse "the checkpoint was altered" "sed -i 's/^size .*/size 1/' checkpoint.txt"
refuse "another key sealed it" "openssl genpkey -algorithm ed25519 -out k 2>/dev/null; openssl pkey -in k -pubout -out public-key.pem; openssl pkeyutl -sign -inkey k -rawin -in manifest.txt -out manifest.sig; rm k"
[ $failed -eq 0 ] && echo passed
exit $failed
