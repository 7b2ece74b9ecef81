#!/usr/bin/env python3
"""no_memory.py PROGRAM LIBRARY MOMENTS: memory that runs out at MOMENTS moments of each of some commands, once or for
good (LIBRARY is allocator.cpp, loaded in front).

Each time the program does its work or ends with a message and exit status 1, never by a signal; what was acknowledged
is there, and the history verifies.
"""

import os
import sys

from kitchen import Kitchen

COMMANDS = (("log", "brisket-1", "151F", "--at", "2026-10-31 18:{minute:02}:{second:02}", "--sure"), ("import", "night.csv"),
            ("check", "brisket-1"), ("verify",), ("lot", "list"), ("sheet", "brisket-1"),
            ("sheet", "brisket-1", "-o", "sheet-{moment}-{again}.pdf"), ("backup", "copy-{moment}.db"))


def main():
    library, moments = os.path.abspath(sys.argv[2]), int(sys.argv[3])
    kitchen = Kitchen(sys.argv[1])
    kitchen.open()
    kitchen.csv(300)
    kitchen.good("log", "brisket-1", "150F", "--at", "2026-10-31 18:00", "--sure")
    faults, runs, survived = [], 0, 0

    def at_moment(command, moment, again=0):
        """A reading of its own each time: one that is entered already is acknowledged and not entered twice."""
        second = 2 * moment + again
        return [word.format(moment=moment, again=again, minute=second // 60 % 60, second=second % 60) for word in command]

    def with_allocator(command, **more):
        kitchen.environment.update(LD_PRELOAD=library, **more)
        said = kitchen.says(*command)
        for name in ("LD_PRELOAD", *more):
            del kitchen.environment[name]
        return said

    for command in COMMANDS:
        told = kitchen.folder / "requests"
        # On a copy, so that the count is that of the work itself.
        kitchen.good("backup", kitchen.folder / "spare.db")
        counted = at_moment(command, moments)
        status, _, err = with_allocator([*counted, "--store", str(kitchen.folder / "spare.db")], REQUESTS_TO=str(told))
        (kitchen.folder / "spare.db").unlink()
        if status not in (0, 10, 11, 12):
            faults.append(f"{command} does not work at all: {status} {err}")
            continue
        total = int(told.read_text())
        for moment in range(moments):
            for mode in ({}, {"REFUSE_ON": "1"}):
                runs += 1
                words = at_moment(command, moment, len(mode))
                before = kitchen.rows("select count(*) from typed_reading")[0][0]
                at = total * moment // moments
                status, out, err = with_allocator(words, REFUSE_AT=str(at), **mode)
                where = f"{words}, request {at} of {total}{' and on' if mode else ''}"
                survived += status != 1
                if status not in (0, 1, 10, 11, 12):
                    faults.append(f"{where}: {status} {err}")
                elif status == 1 and (not err.startswith("holdwarden:") or "unexpected" in err):
                    faults.append(f"{where}: its message: {err!r}")
                after = kitchen.rows("select count(*) from typed_reading")[0][0]
                if after < before or (command[0] == "log" and status == 0 and after == before):
                    faults.append(f"{where}: {before} typed readings before, {after} after, status {status}")
        kitchen.good("verify")
        if kitchen.rows("pragma integrity_check") != [("ok",)]:
            faults.append(f"{command}: the store is broken")
    kitchen.good("import", "night.csv")
    if kitchen.rows("select count(*) from reading") != [(300,)]:
        faults.append("the import cannot be done again")
    kitchen.remove()
    for fault in faults[:20]:
        print("FAILED", fault)
    print(f"{runs} runs, {survived} of them did their work all the same, {len(faults)} failed")
    return 1 if faults or survived == runs else 0


sys.exit(main())
