# bash completion for holdwarden. The program itself says what may stand where the cursor is.
# shellcheck shell=bash

_holdwarden() {
    local program=${1/#\~\//$HOME/} current=${2-} line word quoted='' words=()
    for word in "${COMP_WORDS[@]:1:COMP_CWORD}"; do
        case $word in [\"\']*) quoted=yes ;; *) quoted='' ;; esac
        words+=("${word//[\\\"\']/}")
    done
    COMPREPLY=()
    while IFS= read -r line; do
        case $line in
        :file | :folder)
            compopt -o filenames 2>/dev/null
            while IFS= read -r word; do
                COMPREPLY+=("$word")
            done < <(if [ "$line" = :file ]; then compgen -f -- "$current"; else compgen -d -- "$current"; fi)
            ;;
        *)
            word=${line%%$'\t'*}
            # Inside an open quote the shell adds what the name needs; outside, blanks are escaped here.
            [ -n "$quoted" ] || printf -v word %q "$word"
            COMPREPLY+=("$word")
            ;;
        esac
    done < <("$program" complete -- "${words[@]}" 2>/dev/null)
}

complete -F _holdwarden holdwarden
