#!/usr/bin/env python3
"""completion.py PROGRAM SCRIPTS: types at real shells, on a terminal of their own, and looks at what Tab completes.

Shells that are not installed are passed over and named; exit status 77 where there is none at all.
"""
import os, pty, re, select, shutil, subprocess, sys, tempfile, time

program, scripts = (os.path.realpath(p) for p in sys.argv[1:3])
work = tempfile.mkdtemp(dir="/dev/shm" if os.access("/dev/shm", os.W_OK) else None)
bin_dir = os.path.join(work, "bin")
os.mkdir(bin_dir)
os.symlink(program, os.path.join(bin_dir, "holdwarden"))
environment = {
    "PATH": bin_dir + ":" + os.environ["PATH"], "HOME": work, "TERM": "dumb", "LC_ALL": "C.UTF-8", "TZ": "UTC",
    "HOLDWARDEN_STORE": os.path.join(work, "kitchen.db"), "ASAN_OPTIONS": os.environ.get("ASAN_OPTIONS", ""),
}


def hw(*arguments):
    subprocess.run(["holdwarden", *arguments], env=environment, cwd=work, check=True, stdout=subprocess.DEVNULL)


class Terminal:
    """A shell at a terminal; what it echoes is what a person would see on the line."""

    def __init__(self, command, setup):
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.chdir(work)
            os.execvpe(command[0], command, environment)
        self.type(setup + "\n")
        self.until("READY>")

    def type(self, text):
        os.write(self.fd, text.encode())

    def until(self, wanted, seconds=20.0):
        seen, end = "", time.monotonic() + seconds
        while wanted not in seen and time.monotonic() < end:
            if select.select([self.fd], [], [], 0.1)[0]:
                seen += os.read(self.fd, 4096).decode(errors="replace")
                # Colours, cursor moves and bells are not what is on the line.
                seen = re.sub(r"\x1b\[[0-9;?]*[A-Za-z]|\x1b[=>]|\x07|\r", "", seen)
        return seen

    def completes(self, typed, wanted):
        """What `typed`, then Tab, turns the line into: an `echo` of the line's words shows it."""
        self.type("\x15")  # an empty line (kill to the start)
        self.type(typed + "\t")
        time.sleep(0.4)
        self.type("\x01show \x05\n")  # to the start of the line, `show`; to its end; run
        seen = self.until("<END>")
        words = re.findall(r"<([^>]*)>", seen.split("SHOW", 1)[-1])
        if words[:-1] != wanted:
            print(f"FAILED: {typed!r} became {words[:-1]}, wanted {wanted}\n{seen}")
            return 1
        return 0

    def close(self):
        self.type("\x15exit\n")
        os.close(self.fd)
        os.waitpid(self.pid, 0)


LINES = [
    # typed, then Tab                        the line's words afterwards
    ("holdwarden impo", ["holdwarden", "import"]),
    ("holdwarden lot op", ["holdwarden", "lot", "open"]),
    ("holdwarden log bris", ["holdwarden", "log", "brisket-1"]),
    ("holdwarden log beans-1 150F --wat", ["holdwarden", "log", "beans-1", "150F", "--watched"]),
    ("holdwarden log beans-1 150F --probe ha", ["holdwarden", "log", "beans-1", "150F", "--probe", "hand-1"]),
    ("holdwarden stage brisket-1 hot", ["holdwarden", "stage", "brisket-1", "hot-holding"]),
    ("holdwarden stage brisket-1 hot-holding --unit ca", ["holdwarden", "stage", "brisket-1", "hot-holding", "--unit", "cabinet"]),
    ("holdwarden sheet por", ["holdwarden", "sheet", "pork shoulder"]),  # a name with a blank
    ("holdwarden import nig", ["holdwarden", "import", "night.csv"]),
    ("holdwarden check --csv nig", ["holdwarden", "check", "--csv", "night.csv"]),
    ("holdwarden codes show us-fda-202", ["holdwarden", "codes", "show", "us-fda-2022"]),
    ("holdwarden check --forma", ["holdwarden", "check", "--format"]),
    ("holdwarden check --format js", ["holdwarden", "check", "--format", "json"]),
    ("holdwarden log rib-", ["holdwarden", "log", "rib-"]),  # nothing begins so
]


def try_bash():
    shell = Terminal(["bash", "--norc", "--noprofile", "-i"],
                     "bind 'set bell-style none'; bind 'set enable-bracketed-paste off'; "
                     "show() { echo SHOW; printf '<%s>' \"$@\" END; echo; }; "
                     f". {scripts}/holdwarden.bash; PS1='READ''Y>'")
    failed = sum(shell.completes(*line) for line in LINES)
    failed += shell.completes("holdwarden log beans-1 150F --probe=ha",
                              ["holdwarden", "log", "beans-1", "150F", "--probe=hand-1"])
    failed += shell.completes("holdwarden sheet 'por", ["holdwarden", "sheet", "pork shoulder"])
    shell.close()
    return failed


def try_zsh():
    shell = Terminal(["zsh", "-f", "-i"],
                     f"fpath=({scripts} $fpath); autoload -Uz compinit; compinit -u -D; unsetopt zle_bracketed_paste; "
                     "bindkey -e; show() { print SHOW; printf '<%s>' \"$@\" END; print; }; PS1='READ''Y>'")
    failed = sum(shell.completes(*line) for line in LINES)
    failed += shell.completes("holdwarden log beans-1 150F --probe=ha",
                              ["holdwarden", "log", "beans-1", "150F", "--probe=hand-1"])
    shell.close()
    return failed


def try_fish():
    failed = 0
    for typed, wanted in LINES:
        answer = subprocess.run(["fish", "--no-config", "-c", f"source {scripts}/holdwarden.fish; complete -C '{typed}'"],
                                env=environment, cwd=work, capture_output=True, text=True)
        # fish lists what could follow, one a line, with what it is behind a tab.
        offered = [line.split("\t")[0].replace("\\ ", " ") for line in answer.stdout.splitlines()]
        last = typed.split(" ")[-1]
        wanted_list = [] if wanted[-1] == last else [wanted[-1]]
        if offered != wanted_list or answer.stderr:
            print(f"FAILED: fish offers {offered} after {typed!r}, wanted {wanted_list} {answer.stderr}")
            failed += 1
    return failed


def quiet_and_harmless():
    """Nothing is said and nothing is changed where the store is missing, older, or no store at all."""
    failed = 0
    older, text = os.path.join(work, "older.db"), os.path.join(work, "text.db")
    shutil.copy(environment["HOLDWARDEN_STORE"], older)
    with open(older, "r+b") as file:  # SQLite's Database File Format, 1.3: user version, big endian, at offset 60
        file.seek(60)
        file.write((3).to_bytes(4, "big"))
    open(text, "w").write("this is a shopping list\n")
    for store in (os.path.join(work, "none.db"), older, text, work):
        before = sorted(os.listdir(work)), os.path.isfile(store) and open(store, "rb").read()
        answer = subprocess.run(["holdwarden", "complete", "--", "log", "bris"], cwd=work,
                                env={**environment, "HOLDWARDEN_STORE": store}, capture_output=True, text=True)
        after = sorted(os.listdir(work)), os.path.isfile(store) and open(store, "rb").read()
        if answer.returncode != 0 or answer.stdout or answer.stderr or before != after:
            print(f"FAILED: completion with {os.path.basename(store)}: {answer}")
            failed += 1
    return failed


try:
    hw("init", "--name", "Larkspur Yard Smokehouse", "--zone", "America/Denver", "--scale", "F")
    hw("probe", "add", "hand-1")
    hw("unit", "add", "cabinet", "--kind", "cabinet")
    for lot in ("brisket-1", "beans-1", "pork shoulder"):
        hw("lot", "open", lot)
    open(os.path.join(work, "night.csv"), "w").close()
    subprocess.run(["sqlite3", environment["HOLDWARDEN_STORE"], "pragma wal_checkpoint(truncate)"],
                   check=True, stdout=subprocess.DEVNULL)
    failed, tried = quiet_and_harmless(), []
    for name, attempt in (("bash", try_bash), ("zsh", try_zsh), ("fish", try_fish)):
        if shutil.which(name):
            tried.append(name)
            failed += attempt()
        else:
            print(f"{name} is not installed: not tried")
    print(f"tried: {', '.join(tried)}")
    if not tried:
        sys.exit(77)
    print("passed" if failed == 0 else f"{failed} failed")
    sys.exit(1 if failed else 0)
finally:
    shutil.rmtree(work, ignore_errors=True)
