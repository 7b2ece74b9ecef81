#!/usr/bin/env python3
"""kills.py PROGRAM ROUNDS [SEED]: SIGKILL at random moments while the program imports, logs, migrates, signs a
checkpoint, copies a store, packs and purges nothing.

After each: the store opens, SQLite's integrity check and the history verify, no record that was acknowledged (exit
status 0) is lost, none is there twice, and the work can be done again. SIGKILL is as close to a power cut as a program
can be tested without one: what the kernel took over is kept, so the disk's own promises are not part of this.
"""

import os
import random
import signal
import subprocess
import sys
import time

from kitchen import Kitchen

ROWS = 4000


def killed(kitchen, moment, command):
    """Starts a shell command in a group of its own, kills the group; returns what it printed."""
    process = subprocess.Popen(
        ["bash", "-c", command], env={**kitchen.environment, "HW": kitchen.program},
        cwd=kitchen.folder, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL, text=True, start_new_session=True)
    time.sleep(moment)
    try:
        os.killpg(process.pid, signal.SIGKILL)
    except ProcessLookupError:
        pass
    return process.communicate()[0]


def sound(kitchen):
    kitchen.good("verify")
    assert kitchen.rows("pragma integrity_check") == [("ok",)]


def kill_import(kitchen, draw, span):
    kitchen.open()
    file = kitchen.csv(ROWS)
    killed(kitchen, draw.uniform(0, span), f'"$HW" import {file}')
    sound(kitchen)
    assert kitchen.rows("select count(*) from reading")[0][0] <= ROWS
    kitchen.good("import", file)
    sound(kitchen)
    assert kitchen.rows("select count(*), count(distinct key) from reading") == [(ROWS, ROWS)]
    assert kitchen.rows("select count(*) from conflict") == [(0,)]


def kill_log(kitchen, draw, span):
    kitchen.open()
    out = killed(kitchen, draw.uniform(0, span),
                 'for i in 1 2 3 4 5 6 7 8; do "$HW" log brisket-1 $((140 + i))F '
                 '--at "2026-10-31 18:0$i" >/dev/null && echo $i; done')
    acknowledged = {140000 + 1000 * int(line) for line in out.split()}
    sound(kitchen)
    there = [value for (value,) in kitchen.rows("select value from typed_reading")]
    assert len(there) == len(set(there)), f"doubled: {there}"
    assert acknowledged <= set(there), f"lost: {acknowledged - set(there)}"
    assert len(there) <= len(acknowledged) + 1, f"more than was asked: {there}"


def kill_migrate(kitchen, draw, span):
    kitchen.old_store()
    killed(kitchen, draw.uniform(0, span), '"$HW" lot list')
    kitchen.good("lot", "list")
    sound(kitchen)
    assert kitchen.rows("select name from site") == [("Larkspur Yard Smokehouse",)]


def kill_checkpoint(kitchen, draw, span):
    kitchen.open()
    out = killed(kitchen, draw.uniform(0, span),
                 'for i in 1 2 3 4; do "$HW" checkpoint >/dev/null && echo $i; done')
    sound(kitchen)
    there = kitchen.rows("select count(*) from checkpoint")[0][0]
    assert len(out.split()) <= there <= len(out.split()) + 1


def kill_backup(kitchen, draw, span):
    kitchen.open()
    kitchen.good("import", kitchen.csv(ROWS))
    killed(kitchen, draw.uniform(0, span), '"$HW" backup copy.db')
    sound(kitchen)
    if (kitchen.folder / "copy.db").exists():  # then it is whole
        kitchen.good("verify", "--store", "copy.db")
    kitchen.good("backup", "copy-2.db")
    kitchen.good("verify", "--store", "copy-2.db")


def kill_packet(kitchen, draw, span):
    kitchen.open()
    killed(kitchen, draw.uniform(0, span), '"$HW" packet -o packet')
    sound(kitchen)
    if (kitchen.folder / "packet").exists():
        kitchen.good("verify", "packet")
    kitchen.good("packet", "-o", "packet-2")
    kitchen.good("verify", "packet-2")


# What is killed, its share of the rounds, and how long it takes when left alone (measured first).
KINDS = {
    "import": (kill_import, 30), "log": (kill_log, 30), "migrate": (kill_migrate, 15),
    "checkpoint": (kill_checkpoint, 10), "backup": (kill_backup, 10), "packet": (kill_packet, 5),
}


def alone(program, kind):
    """Seconds that the work takes undisturbed: moments are drawn from a little more than that."""
    kitchen = Kitchen(program)
    try:
        if kind == "migrate":
            kitchen.old_store()
        else:
            kitchen.open()
        if kind in ("import", "backup"):
            file = kitchen.csv(ROWS)
        if kind == "backup":
            kitchen.good("import", file)
        begin = time.monotonic()
        {"import": lambda: kitchen.good("import", file),
         "log": lambda: [kitchen.good("log", "brisket-1", "150F", "--at", f"2026-10-31 18:0{i}")
                         for i in range(1, 9)],
         "migrate": lambda: kitchen.good("lot", "list"),
         "checkpoint": lambda: [kitchen.good("checkpoint") for _ in range(4)],
         "backup": lambda: kitchen.good("backup", "copy.db"),
         "packet": lambda: kitchen.good("packet", "-o", "packet")}[kind]()
        return time.monotonic() - begin
    finally:
        kitchen.remove()


def main():
    program, rounds = sys.argv[1], int(sys.argv[2])
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 20261031
    draw = random.Random(seed)
    spans = {kind: 1.1 * alone(program, kind) for kind in KINDS}
    # Every kind at least once, whatever the seed.
    plan = list(KINDS) + draw.choices(list(KINDS), [share for _, share in KINDS.values()], k=rounds)
    failed = 0
    for number, kind in enumerate(plan[:max(rounds, 1)]):
        kitchen = Kitchen(program)
        try:
            KINDS[kind][0](kitchen, draw, spans[kind])
        except AssertionError as fault:
            failed += 1
            print(f"FAILED round {number} ({kind}), seed {seed}: {fault}; kept in {kitchen.folder}",
                  flush=True)
            continue
        kitchen.remove()
    print(f"{rounds - failed} rounds sound, {failed} failed (seed {seed})")
    return 1 if failed else 0


sys.exit(main())
