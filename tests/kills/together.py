#!/usr/bin/env python3
"""together.py PROGRAM SECONDS: ten processes at once on one store: five that log, one that imports, four that read.

Readers never fail and never wait for a writer longer than their bound; a writer that does not get the lock in its time
says so with exit status 1; every acknowledged reading is there once at the end, and nothing else is.
"""

import sys
import threading
import time

from kitchen import Kitchen

READERS = (("check", "brisket-1"), ("verify",), ("lot", "list"), ("sheet", "brisket-1"))


def main():
    kitchen = Kitchen(sys.argv[1])
    kitchen.open()
    kitchen.good("log", "brisket-1", "150F", "--at", "2026-10-31 18:00", "--sure")
    end = time.monotonic() + float(sys.argv[2])  # of the ten together, however long the opening took
    acknowledged, faults, slowest, busy = set(), [], [0.0], [0]

    def log(writer):
        n = 0
        while time.monotonic() < end:
            n += 1
            degrees = 151 + writer * 20 + n % 10
            minute, second = n // 60 % 60, n % 60
            at = f"2026-10-31 {19 + writer % 4:02}:{minute:02}:{second:02}.{writer}{n // 3600:02}"
            status, _, err = kitchen.says("log", "brisket-1", f"{degrees}F", "--at", at, "--sure")
            if status == 0:
                acknowledged.add((writer, n))
            elif status == 1 and "locked by another process" in err:
                busy[0] += 1
            else:
                faults.append(f"log: {status} {err}")

    imported = [0]

    def load():
        while time.monotonic() < end:
            file = kitchen.csv(imported[0] + 200, "live.csv")
            status, _, err = kitchen.says("import", file)
            if status == 0:
                imported[0] += 200
            elif not (status == 1 and "locked by another process" in err):
                faults.append(f"import: {status} {err}")

    def read(command):
        while time.monotonic() < end:
            begin = time.monotonic()
            status, _, err = kitchen.says(*command)
            slowest[0] = max(slowest[0], time.monotonic() - begin)
            if status not in (0, 10, 11, 12):
                faults.append(f"{command}: {status} {err}")

    threads = [threading.Thread(target=log, args=(n,)) for n in range(5)]
    threads += [threading.Thread(target=load)]
    threads += [threading.Thread(target=read, args=(command,)) for command in READERS]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    kitchen.good("verify")
    typed = kitchen.rows("select count(*), count(distinct at) from typed_reading")[0]
    if typed[0] != len(acknowledged) + 1:
        faults.append(f"{len(acknowledged)} readings were acknowledged, {typed[0] - 1} are there")
    logged = kitchen.rows("select count(*) from reading")[0][0]
    if logged < imported[0]:
        faults.append(f"{imported[0]} logged readings were acknowledged, {logged} are there")
    kitchen.remove()
    for fault in faults[:10]:
        print("FAILED", fault)
    print(f"{len(acknowledged)} readings logged, {logged} imported, {busy[0]} told of the lock, "
          f"slowest reader {slowest[0]:.1f} s, {len(faults)} failed")
    return 1 if faults or len(acknowledged) < 5 else 0


sys.exit(main())
