#!/usr/bin/env python3
"""damage.py PROGRAM ROUNDS [SEED]: flips bits in a store, a packet and a handed lot, and sees what the program makes of it.

It never crashes and never speaks of a defect. Where `verify` says that a store fits, its content is what it was; a
packet with any bit changed never fits; a handed lot with any bit changed or its end cut off is never taken in.
"""

import pathlib
import random
import shutil
import sqlite3
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "kills"))
from kitchen import Kitchen  # noqa: E402


def content(file):
    database = sqlite3.connect(file)
    try:
        return "\n".join(database.iterdump())
    finally:
        database.close()


def flip(file, draw):
    data = bytearray(file.read_bytes())
    for _ in range(draw.choice((1, 1, 1, 2, 8))):
        data[draw.randrange(len(data))] ^= 1 << draw.randrange(8)
    file.write_bytes(data)


def main():
    program, rounds = sys.argv[1], int(sys.argv[2])
    draw = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 20261031)
    kitchen = Kitchen(program)
    kitchen.open()
    kitchen.good("import", kitchen.csv(300))
    kitchen.good("log", "brisket-1", "150F", "--at", "2026-10-31 18:00", "--sure")
    kitchen.good("packet", "-o", "packet")
    kitchen.good("backup", "whole.db")
    whole, packet = kitchen.folder / "whole.db", kitchen.folder / "packet"
    was = content(whole)
    before = content(kitchen.store)
    kitchen.good("init", "--name", "Yard", "--zone", "UTC", "--store", "yard.db")
    kitchen.good("lot", "open", "a", "--store", "yard.db")
    kitchen.good("stage", "a", "cooking", "--store", "yard.db")
    kitchen.good("log", "a", "199F", "--sure", "--store", "yard.db")
    kitchen.good("hand-on", "a", "--kitchen", "Larkspur", "-o", "a.lot", "--store", "yard.db")
    handed, torn_lot = kitchen.folder / "a.lot", kitchen.folder / "torn.lot"
    key = kitchen.good("key", "show").split("Its fingerprint: ")[1].split("\n")[0]
    faults, found = [], 0

    def says(what, *arguments, allowed=(0, 1)):
        status, _, err = kitchen.says(*arguments)
        if status not in allowed or "unexpected:" in err:
            faults.append(f"{what}: {arguments} ended with {status}: {err}")
        return status

    damaged, torn = kitchen.folder / "damaged.db", kitchen.folder / "torn"
    for number in range(rounds):
        shutil.copy(whole, damaged)
        flip(damaged, draw)
        if says(f"store, round {number}", "verify", "--store", damaged) == 0:
            if content(damaged) != was:
                faults.append(f"store, round {number}: said to fit, and is another")
        else:
            found += 1
        for command in (("check", "brisket-1"), ("sheet", "brisket-1")):
            says(f"store, round {number}", *command, "--store", damaged,
                 allowed=(0, 1, 10, 11, 12))
        for beside in kitchen.folder.glob("damaged.db*"):
            beside.unlink()

        shutil.copytree(packet, torn)
        file = draw.choice([f for f in sorted(torn.rglob("*")) if f.is_file() and f.stat().st_size])
        flip(file, draw)
        if says(f"packet, round {number}, {file.name}", "verify", torn) != 1:
            faults.append(f"packet, round {number}: {file.name} changed, and said to fit")
        shutil.rmtree(torn)

        shutil.copy(handed, torn_lot)
        if draw.randrange(4):
            flip(torn_lot, draw)
        else:
            torn_lot.write_bytes(handed.read_bytes()[:draw.randrange(handed.stat().st_size)])
        if says(f"handed lot, round {number}", "take-in", torn_lot, "--trust", key) != 1:
            faults.append(f"handed lot, round {number}: changed, and taken in")
    if content(kitchen.store) != before:
        faults.append("a handed lot that was refused left something in the store")
    kitchen.good("take-in", handed, "--trust", key)
    kitchen.remove()
    for fault in faults[:20]:
        print("FAILED", fault)
    print(f"{rounds} rounds, {found} damaged stores found out, {len(faults)} failed")
    return 1 if faults else 0


sys.exit(main())
