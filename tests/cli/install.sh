#!/bin/bash
# install.sh CMAKE BUILD_DIR VERSION: installs into a temporary prefix and runs the program from there.
# The installed pack is altered first, so that an answer from any other copy is told apart.
set -euo pipefail
cmake=$1
build=$2
version=$3

[ -w /dev/shm ] && export TMPDIR=/dev/shm # in memory: the program waits for the disk at each entry
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
unset HOLDWARDEN_DATA HOLDWARDEN_STORE

fail() {
    echo "FAILED: $*"
    exit 1
}

"$cmake" --install "$build" --prefix "$work/prefix" >"$work/install.log" || fail "cmake --install: $(cat "$work/install.log")"
program=$work/prefix/bin/holdwarden
pack=$work/prefix/share/holdwarden/schema/codes/us-fda-2022.toml
cd "$work"

[ "$("$program" --version)" = "holdwarden $version" ] || fail "--version says: $("$program" --version)"

[ -f "$pack" ] || fail "no pack was installed: $pack"
sed -i 's/^title *= *".*"/title = "An installed copy"/' "$pack"
"$program" codes show us-fda-2022 >shown.txt || fail "codes show: exit status $?"
grep -q "An installed copy" shown.txt || fail "the pack beside the program was not used: $(head -n 3 shown.txt)"

# Found by the name of the file that runs, so a link from elsewhere works too.
ln -s "$program" "$work/link"
"$work/link" codes >listed.txt # no pipe: grep -q would close it on the program
grep -q "us-fda-2022" listed.txt || fail "codes, run through a symbolic link, does not list us-fda-2022"
"$work/link" codes show us-fda-2022 >shown.txt
grep -q "An installed copy" shown.txt || fail "a symbolic link finds other data"

[ -s "$work/prefix"/lib*/holdwarden/holdwarden-pdf.so ] || [ -s "$work/prefix"/lib/*/holdwarden/holdwarden-pdf.so ] ||
    fail "the part that draws PDF was not installed"
"$program" init --name "Larkspur Yard Smokehouse" --zone America/Denver >/dev/null || fail "init: exit status $?"
"$program" form check --output form.pdf >/dev/null || fail "no PDF is drawn from the installed program"
[ "$(head -c 5 form.pdf)" = "%PDF-" ] || fail "what was drawn is no PDF"

for page in README.md SAFETY.md LICENSE; do
    [ -s "$work/prefix/share/doc/holdwarden/$page" ] || fail "$page was not installed"
done
for page in holdwarden.1 holdwarden-check.1 holdwarden-lot.1; do
    [ -s "$work/prefix/share/man/man1/$page" ] || fail "the manual page $page was not installed"
done
for file in bash-completion/completions/holdwarden zsh/site-functions/_holdwarden \
    fish/vendor_completions.d/holdwarden.fish; do
    [ -s "$work/prefix/share/$file" ] || fail "the completion $file was not installed"
done
echo "passed"
