#!/usr/bin/env python3
"""faults.py PROGRAM: a full disk, a medium that cannot be written, a file removed underneath, a file that changes while
it is read, a zone that is not there.

Each ends with a message and exit status 1 (or works), never by a signal; what was acknowledged is there afterwards.
"""

import os
import resource
import signal
import sys
import time

from kitchen import Kitchen

faults = []


def expect(what, condition, detail=""):
    if not condition:
        faults.append(f"{what}: {detail}")


def limited(size):
    """No file grows beyond `size`: what a full disk does to a writer (setrlimit(2), RLIMIT_FSIZE)."""
    def limit():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))
    return limit


def disk_full(program):
    kitchen = Kitchen(program)
    kitchen.open()
    file = kitchen.csv(20000)
    commands = (("import", file), ("log", "brisket-1", "150F", "--at", "2026-10-31 18:01"),
                ("checkpoint",), ("backup", "copy.db"), ("packet", "-o", "packet"),
                ("sheet", "brisket-1", "-o", "sheet.pdf"))
    failed = 0
    for command in commands:
        for size in (0, 1000, 5000, 40000, 150000):
            before = kitchen.rows("select count(*) from typed_reading")[0][0]
            status, out, err = kitchen.says(*command, preexec_fn=limited(size))
            expect(f"disk full at {size}, {command[0]}", status in (0, 1), f"{status} {err}")
            expect(f"disk full at {size}, {command[0]}: its message",
                   status == 0 or ("holdwarden:" in err and "unexpected" not in err), err)
            failed += status
            kitchen.good("verify")
            after = kitchen.rows("select count(*) from typed_reading")[0][0]
            gained = 1 if command[0] == "log" and status == 0 else 0
            expect(f"disk full at {size}, {command[0]}: readings", after == before + gained,
                   f"{before} and {after}")
            for made in ("copy.db", "sheet.pdf"):
                if status == 0 and (kitchen.folder / made).exists():
                    (kitchen.folder / made).unlink()
            expect(f"disk full at {size}, {command[0]}: no half copy",
                   not (kitchen.folder / "copy.db").exists())
            expect(f"disk full at {size}, {command[0]}: no half packet",
                   status == 0 or not (kitchen.folder / "packet").exists())
    expect("disk full", failed > 5, "it hardly ever was")
    kitchen.good("import", file)
    expect("disk full, then room", kitchen.rows("select count(*) from reading") == [(20000,)])
    kitchen.remove()


def as_nobody():
    if os.geteuid() == 0:  # root may write anywhere
        os.setgid(65534)
        os.setuid(65534)


def read_only(program):
    kitchen = Kitchen(program)
    kitchen.open()
    kitchen.good("log", "brisket-1", "150F", "--at", "2026-10-31 18:01")
    kitchen.rows("pragma wal_checkpoint")
    kitchen.good("backup", "copy.db")
    os.chmod(kitchen.folder / "copy.db", 0o444)
    for beside in kitchen.folder.glob("holdwarden.db*"):
        beside.unlink()
    os.chmod(kitchen.folder, 0o555)
    copy = ("--store", str(kitchen.folder / "copy.db"))
    status, out, err = kitchen.says("check", "brisket-1", *copy, preexec_fn=as_nobody)
    expect("read-only, check", status in (0, 10, 11, 12), f"{status} {err}")
    status, out, err = kitchen.says("verify", *copy, preexec_fn=as_nobody)
    expect("read-only, verify", status == 0, f"{status} {err}{out}")
    for command in (("log", "brisket-1", "150F", "--at", "2026-10-31 18:02", *copy),
                    ("init", "--name", "x", "--zone", "UTC"), ("backup", "b.db", *copy)):
        status, out, err = kitchen.says(*command, preexec_fn=as_nobody)
        expect(f"read-only, {command[0]}", status == 1 and "unexpected" not in err,
               f"{status} {err}")
    os.chmod(kitchen.folder, 0o755)
    kitchen.remove()


def removed_underneath(program):
    kitchen = Kitchen(program)
    kitchen.open()
    file = kitchen.csv(20000)
    for wait in (0.02, 0.1, 0.3):
        kitchen.good("backup", "copy.db")
        process = kitchen.start("import", file)
        time.sleep(wait)
        kitchen.store.unlink(missing_ok=True)
        _, err = process.communicate(timeout=120)
        expect("removed underneath", process.returncode in (0, 1) and "unexpected" not in err,
               f"{process.returncode} {err}")
        kitchen.good("restore", "copy.db")
        (kitchen.folder / "copy.db").unlink()
        kitchen.good("verify")
    process = kitchen.start("import", file)
    file.unlink()
    _, err = process.communicate(timeout=120)
    expect("file removed while read", process.returncode in (0, 1), err)
    kitchen.good("verify")
    kitchen.remove()


def changing(kitchen, file, *command):
    """What a command says of a file whose last reading changes all the while."""
    process = kitchen.start(*command)
    other = 0
    with open(file, "r+b") as writing:
        while process.poll() is None:
            other = (other + 1) % 10
            writing.seek(-2, os.SEEK_END)
            writing.write(b"%d\n" % other)
            writing.flush()
    out, err = process.communicate()
    expect(f"changed while read, {command[0]}", process.returncode in (0, 1, 10, 11, 12)
           and "unexpected" not in err, f"{process.returncode} {err}")
    return process.returncode, err


def changed_while_read(program):
    # The file is read twice; once in ten times both see the same last figure, and nothing changed for the reader.
    for _ in range(8):
        kitchen = Kitchen(program)
        kitchen.open()
        file = kitchen.csv(60000)
        text = file.read_bytes()
        status, err = changing(kitchen, file, "import", file)
        if status != 0:
            break
        kitchen.good("verify")
        kitchen.remove()
    expect("changed while read: its message", status == 1 and "changed while it was read" in err, f"{status} {err}")
    kitchen.good("verify")
    file.write_bytes(text)
    kitchen.good("import", file)
    expect("changed while read, then not", kitchen.rows("select count(*) from reading")[0][0] == 60000)
    changing(kitchen, file, "check", "--csv", file, "--stage", "hot-holding")
    kitchen.remove()


def no_zone(program):
    kitchen = Kitchen(program)
    kitchen.old_store(zone="America/Larkspur")
    status, out, err = kitchen.says("lot", "list")
    expect("no such zone", status == 1 and "America/Larkspur" in err and "unexpected" not in err,
           f"{status} {err}")
    kitchen.remove()


for fault in (disk_full, read_only, removed_underneath, changed_while_read, no_zone):
    fault(sys.argv[1])
for fault in faults[:20]:
    print("FAILED", fault)
print(f"{len(faults)} failed")
sys.exit(1 if faults else 0)
