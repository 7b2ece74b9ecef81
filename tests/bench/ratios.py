#!/usr/bin/env python3
"""ratios.py PROGRAM PART [SIZE]: what holdwarden takes beside what one would use instead, both in one run.

Parts: import (rows), check (rows), start, log, year (days; needs make_year beside the program's tests/bench),
rows (the largest number), lots (the largest number). Best of three where it is short. docs/performance.md.
"""

import os
import random
import shutil
import subprocess
import sys
import tempfile
import time


def run(words, cwd, **more):
    """Seconds and the most memory in MiB of one process."""
    begin = time.monotonic()
    process = subprocess.Popen(words, cwd=cwd, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, **more)
    err = process.stderr.read()
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    took = time.monotonic() - begin
    if process.returncode not in (0, 10, 11, 12):
        sys.exit(f"{words}: {process.returncode}: {err.decode()[:500]}")
    return took, usage.ru_maxrss / 1024


def best(times, words, cwd, **more):
    return min(run(words, cwd, **more) for _ in range(times))


def csv(path, rows, probes=20, step=10):
    """A reading each `step` seconds of each probe, in tenths, from 1 January 2024."""
    random.seed(7)
    shakes = [random.randrange(9) for _ in range(4093)]
    names = [f"p{p + 1}" for p in range(probes)]
    with open(path, "w") as out:
        out.write("time,probe,temp_f\n")
        second, n = 0, 0
        while n < rows:
            when = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(1704067200 + second))
            lines = []
            for name in names[: min(probes, rows - n)]:
                lines.append(f"{when},{name},145.{shakes[n % 4093]}\n")
                n += 1
            out.writelines(lines)
            second += step


def kitchen(program, cwd, probes=20):
    said = lambda *words: subprocess.run([program, *words], cwd=cwd, check=True, stdout=subprocess.DEVNULL)
    said("init", "--name", "Larkspur Yard Smokehouse", "--zone", "America/Denver", "--altitude", "5280ft", "--scale",
         "F", "--code", "us-fda-2022", "--by", "RK")
    for p in range(probes):
        said("probe", "add", f"p{p + 1}", "--by", "RK")


def importing(program, cwd, rows):
    csv(f"{cwd}/rows.csv", rows)
    kitchen(program, cwd)
    sql = ("create table reading (probe text not null, time text not null, temp real not null, "
           "primary key (probe, time)) without rowid;\n.import --csv --skip 1 rows.csv reading\n")
    open(f"{cwd}/shell.sql", "w").write(sql)
    shell, shell_mb = run(["sqlite3", "shell.db"], cwd, stdin=open(f"{cwd}/shell.sql"))
    ours, mb = run([program, "import", "rows.csv", "--by", "RK"], cwd)
    print(f"import of {rows:,} rows: {ours:.1f} s, {mb:.0f} MiB, {os.path.getsize(cwd + '/holdwarden.db') / rows:.1f} "
          f"bytes a row; sqlite3 shell {shell:.1f} s, {os.path.getsize(cwd + '/shell.db') / rows:.1f}; "
          f"ratio {ours / shell:.2f}")


def checking(program, cwd, rows):
    csv(f"{cwd}/rows.csv", rows, probes=1)
    words = [program, "check", "--csv", "rows.csv", "--stage", "hot-holding", "--format", "json"]
    ours, mb = best(3, words, cwd)
    lines, _ = best(3, ["wc", "-l", "rows.csv"], cwd)
    print(f"check --csv of {rows:,} rows: {ours:.3f} s, {mb:.0f} MiB; wc -l {lines:.3f} s; ratio {ours / lines:.0f}")


def starting(program, cwd, _):
    took, mb = best(50, [program, "--version"], cwd)
    true, _ = best(50, ["true"], cwd)
    print(f"--version: {took * 1000:.1f} ms, {mb:.0f} MiB; true: {true * 1000:.1f} ms")


def logging(program, cwd, _):
    kitchen(program, cwd, 1)
    said = lambda *words: run([program, *words], cwd)
    said("lot", "open", "brisket-1", "--food", "whole-cut", "--at", "2026-11-01 08:00", "--by", "RK")
    said("stage", "brisket-1", "hot-holding", "--at", "2026-11-01 08:00", "--by", "RK", "--why", "a benchmark")
    times = []
    for n in range(40):
        times.append(said("log", "brisket-1", "150F", "--at", f"2026-11-01 08:{n:02}", "--by", "RK", "--why",
                          "a benchmark", "--sure")[0])
    sync = []
    with open(f"{cwd}/synced", "wb") as out:
        for _ in range(40):
            begin = time.monotonic()
            out.write(b"x" * 4096)
            out.flush()
            os.fsync(out.fileno())
            sync.append(time.monotonic() - begin)
    times.sort()
    sync.sort()
    print(f"log of one typed reading: {times[20] * 1000:.1f} ms (best {times[0] * 1000:.1f}); one fsync of 4 KiB "
          f"{sync[20] * 1000:.1f} ms (best {sync[0] * 1000:.1f})")


def year(program, cwd, days):
    make = os.path.join(os.path.dirname(program), "tests/bench/make_year")
    took, mb = run([make, "year.db", str(days)], cwd)
    rows = days * 86400 // 10 * 20
    bare, bare_mb = best(3, ["sqlite3", "-readonly", "year.db", "select sum(value) from reading"], cwd)
    ours, mb = run([program, "check", "--all", "--store", "year.db"], cwd)
    print(f"judging {rows:,} stored readings in {days * 20} lots (check --all): {ours:.2f} s, {mb:.0f} MiB; "
          f"select sum(): {bare:.2f} s; ratio {ours / bare:.2f}; {os.path.getsize(cwd + '/year.db') / rows:.1f} bytes "
          f"a row; made in {took:.0f} s")


def rows_grow(program, cwd, most):
    rows = 100_000
    while rows <= most:
        sub = f"{cwd}/{rows}"
        os.mkdir(sub)
        importing(program, sub, rows)
        checking(program, sub, rows)
        shutil.rmtree(sub)
        rows *= 10


def lots_grow(program, cwd, most):
    make = os.path.join(os.path.dirname(program), "tests/bench/make_year")
    for lots in (20, 100, 500, 2_500, 10_000):
        if lots > most:
            break
        name = f"lots-{lots}.db"
        run([make, name, str(lots // 20), "600"], cwd)  # 20 lots a day, a reading each ten minutes
        for words in (["check", "--all"], ["lot", "list"], ["due"]):
            took, mb = best(3, [program, *words, "--store", name], cwd)
            print(f"{lots} lots: {' '.join(words)}: {took:.3f} s, {mb:.0f} MiB", flush=True)


PARTS = {"import": (importing, 10_000_000), "check": (checking, 1_000_000), "start": (starting, 0),
         "log": (logging, 0), "year": (year, 365), "rows": (rows_grow, 10_000_000), "lots": (lots_grow, 10_000)}

if __name__ == "__main__":
    if len(sys.argv) < 3 or sys.argv[2] not in PARTS:
        sys.exit(__doc__)
    work, size = PARTS[sys.argv[2]]
    with tempfile.TemporaryDirectory(prefix="holdwarden-bench-") as folder:
        work(os.path.abspath(sys.argv[1]), folder, int(sys.argv[3]) if len(sys.argv) > 3 else size)
