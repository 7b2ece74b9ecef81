# fish completion for holdwarden. The program itself says what may stand where the cursor is.

function __holdwarden_complete
    set -l words (commandline -opc)
    set -l program $words[1]
    set -e words[1]
    for line in ($program complete -- $words (commandline -ct) 2>/dev/null)
        switch $line
            case ':file'
                __fish_complete_path (commandline -ct)
            case ':folder'
                __fish_complete_directories (commandline -ct) ''
            case '*'
                echo $line
        end
    end
end

complete -c holdwarden -f -a '(__holdwarden_complete)'
