#!/usr/bin/env python3
"""Reads a store's history by the format pages alone and compares it with what the program says.

Written from docs/formats/leaf.md, history.md and checkpoint.md with Python's own sqlite3 and hashlib,
sharing no code with the program; signatures are checked by openssl.

Usage: second_history_reader.py PROGRAM SOURCE_FOLDER
"""
import hashlib
import json
import os
import sqlite3
import struct
import subprocess
import sys
import tempfile


def sha(data):
    return hashlib.sha256(data).digest()


def field(name, value):
    head = bytes([len(name)]) + name.encode()
    if isinstance(value, int):
        return b"i" + head + struct.pack(">q", value)
    kind, data = (b"t", value.encode()) if isinstance(value, str) else (b"b", value)
    return kind + head + struct.pack(">I", len(data)) + data


def row_fields(table, row):
    fields = field("table", table)
    for name in row.keys():
        if row[name] is not None:
            fields += field(name, row[name])
    return fields


def rows_digest(table, rows):
    data = b""
    for row in rows:
        one = b"\x01" + row_fields(table, row)
        data += struct.pack(">Q", len(one)) + one
    return field(table + "s", len(rows)) + field(table + "s-sha256", sha(data))


def leaf_data(db, tables, leaf, after):
    data = b"\x01" + field("leaf", leaf["id"])
    ref = leaf["ref"]
    if leaf["what"] == "entry":
        data += row_fields("entry", db.execute("select * from entry where id = ?", [ref]).fetchone())
        for table in tables:
            rows = db.execute(f"select * from {table} where entry = ?", [ref]).fetchall()
            for one in sorted(b"\x01" + row_fields(table, row) for row in rows):
                data += field("row", one)
    elif leaf["what"] == "batch":
        data += row_fields("batch", db.execute("select * from batch where id = ?", [ref]).fetchone())
        readings = db.execute(
            "select key, value from reading where batch = ? order by key", [ref]).fetchall()
        data += field("readings", len(readings)) + field(
            "readings-sha256", sha(b"".join(struct.pack(">qq", *row) for row in readings)))
        data += rows_digest("conflict", db.execute(
            "select * from conflict where batch = ? order by probe, at, value, scale",
            [ref]).fetchall())
    else:
        data += rows_digest("reject", db.execute(
            "select * from reject where id > ? and id <= ? order by id", [after, ref]).fetchall())
    return data


def root(leaves):
    if not leaves:
        return sha(b"")
    if len(leaves) == 1:
        return leaves[0]
    split = 1
    while 2 * split < len(leaves):
        split *= 2
    return sha(b"\x01" + root(leaves[:split]) + root(leaves[split:]))


def main():
    program, source = sys.argv[1:]
    with tempfile.TemporaryDirectory() as folder:
        environment = {**os.environ, "HOLDWARDEN_STORE": folder + "/kitchen.db",
                       "HOLDWARDEN_KEY": folder + "/key.pem", "HOLDWARDEN_DATA": source}

        def run(*arguments):
            return subprocess.run([program, *arguments], env=environment, check=True, text=True,
                                  capture_output=True).stdout

        run("init", "--name", "Larkspur Yard Smokehouse", "--zone", "America/Denver")
        run("key", "new")
        for probe in ("p1", "p2"):
            run("probe", "add", probe)
        csv = folder + "/night.csv"
        with open(csv, "w", encoding="utf-8") as out:
            out.write("time,p1_f,p2_f\n")
            for i in range(100):
                out.write(f"2024-11-01T06:{i % 60:02}:00Z,{140 + i % 7}.{i % 10},141.25\n")
            out.write("2024-11-01T08:00:00Z,warm,\n")
        run("import", csv)
        kept = folder + "/kept"
        os.mkdir(kept)
        run("checkpoint", "--by", "RK", "--into", kept)
        run("unit", "add", "cabinet-1", "--kind", "cabinet")
        answer = json.loads(run("verify", "--format", "json"))

        db = sqlite3.connect(folder + "/kitchen.db")
        db.row_factory = sqlite3.Row
        tables = [row[0] for row in db.execute(
            "select m.name from sqlite_schema m join pragma_table_info(m.name) c "
            "where m.type = 'table' and c.name = 'entry' and m.name <> 'batch' order by 1")]
        leaves, seen, last_reject = [], set(), 0
        for leaf in db.execute("select * from history order by id").fetchall():
            leaves.append(sha(b"\x00" + leaf_data(db, tables, leaf, last_reject)))
            assert leaf["id"] == len(leaves) and leaf["leaf"] == leaves[-1], dict(leaf)
            perfect = leaf["id"] & -leaf["id"]
            assert (leaf["node"] or leaf["leaf"]) == root(leaves[-perfect:]), dict(leaf)
            seen.add(leaf["what"])
            if leaf["what"] == "reject":
                last_reject = leaf["ref"]
        assert seen == {"entry", "batch", "reject"}, seen
        assert db.execute("select count(*) from conflict").fetchone()[0] > 0
        assert answer["fits"] and answer["size"] == len(leaves), answer
        assert answer["root"] == root(leaves).hex(), answer

        lines = dict(line.rstrip("\n").split(" ", 1)
                     for line in list(open(kept + "/checkpoint.txt", encoding="utf-8"))[1:])
        assert lines["root"] == root(leaves[:int(lines["size"])]).hex(), lines
        subprocess.run(["openssl", "pkeyutl", "-verify", "-pubin", "-inkey", "public-key.pem",
                        "-rawin", "-in", "checkpoint.txt", "-sigfile", "checkpoint.sig"],
                       cwd=kept, check=True, capture_output=True)
        print(f"{len(leaves)} leaves, root {answer['root']}: both readers agree")


if __name__ == "__main__":
    main()
