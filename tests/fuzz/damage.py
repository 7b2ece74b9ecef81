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


# What a crafted store may have instead of, or beside, the schema of the migrations.
CRAFTED = {
    "a view for a table": "alter table lot rename to lot_there; create view lot as select * from lot_there",
    "a trigger": "create trigger t after insert on entry begin select 1; end",
    "a further index": "create index i on lot (food)",
    "an expression index": "create index i on lot (abs(id))",
    "a partial index": "create index i on lot (food) where id > 1",
    "a generated column": "alter table lot add column g integer as (id + 1)",
    "a further table": "create table more (x)",
    "a further view": "create view more as select * from lot",
    "a guard taken off": "drop trigger lot_no_delete",
    "a virtual table": "create virtual table more using fts5(x)",
    "another text of a table": "pragma writable_schema = on; update sqlite_schema set sql = replace(sql, "
                               "'food               text    not null', 'food text') where name = 'lot'",
    "a loop of views": "create view a as select * from b; create view b as select * from a",
}


def out_of_order(file):
    """Exchanges two readings in their page: SQLite then finds neither by its key, and says nothing."""
    database = sqlite3.connect(file)
    root, = database.execute("select rootpage from sqlite_schema where name = 'reading'").fetchone()
    size, = database.execute("pragma page_size").fetchone()
    database.close()
    data = bytearray(file.read_bytes())
    page = (root - 1) * size
    while data[page] == 5:  # an interior page: https://www.sqlite.org/fileformat.html, section 1.6
        cell = page + int.from_bytes(data[page + 12:page + 14], "big")
        page = (int.from_bytes(data[cell:cell + 4], "big") - 1) * size
    first, second = page + 8, page + 12
    data[first:first + 2], data[second:second + 2] = data[second:second + 2], data[first:first + 2]
    file.write_bytes(data)


def crafted(kitchen, whole, faults):
    """Stores that no program of ours wrote are refused by whatever judges them."""
    file = kitchen.folder / "crafted.db"

    def refused(what, words):
        for command in (("check", "brisket-1"), ("sheet", "brisket-1"), ("verify",)):
            status, out, err = kitchen.says(*command, "--store", file)
            if status != 1 or words not in err + out or "unexpected:" in err:
                faults.append(f"{what}: {command} ended with {status}: {err}{out[:200]}")
        for beside in kitchen.folder.glob("crafted.db*"):
            beside.unlink()

    for what, sql in CRAFTED.items():
        shutil.copy(whole, file)
        database = sqlite3.connect(file)
        database.executescript(sql)
        database.close()
        refused(what, "behind the program's back")
    shutil.copy(whole, file)
    out_of_order(file)
    refused("readings out of order", "damaged")

    # A text of 64 MB where a name is expected: refused or shown in part, and no crash.
    shutil.copy(whole, file)
    database = sqlite3.connect(file)
    guard, = database.execute("select sql from sqlite_schema where name = 'lot_no_update'").fetchone()
    database.execute("drop trigger lot_no_update")
    database.execute("update lot set name = ?", ("brisket-1" * 7_000_000,))
    database.execute(guard)
    database.commit()
    database.close()
    for command in (("check", "brisket-1"), ("sheet", "brisket-1"), ("verify",)):
        status, out, err = kitchen.says(*command, "--store", file)
        if status not in (0, 1, 2, 10, 11, 12) or "unexpected:" in err or len(out) + len(err) > 1 << 20:
            faults.append(f"a huge name: {command} ended with {status}, {len(out)} and {len(err)} bytes")
        if command == ("verify",) and status != 1:
            faults.append("a huge name: verify says that it fits")
    return len(CRAFTED) + 2


def main():
    program, rounds = sys.argv[1], int(sys.argv[2])
    draw = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 20261031)
    kitchen = Kitchen(program)
    kitchen.environment["XDG_STATE_HOME"] = "/dev/null"  # no list of known stores: each is foreign
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
    made = crafted(kitchen, whole, faults)
    kitchen.remove()
    for fault in faults[:20]:
        print("FAILED", fault)
    print(f"{rounds} rounds, {found} damaged stores found out, {made} crafted ones tried, {len(faults)} failed")
    return 1 if faults else 0


sys.exit(main())
