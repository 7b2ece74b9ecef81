#!/usr/bin/env python3
"""memory.py PROGRAM [ROWS]: a long CSV takes no more memory than a short one, imported or judged as one hold.

The short one has 150,000 rows, which is more than waits at a time; the long one ROWS (600,000; 167,000,000 are 5 GB and
take some twenty minutes). Peak resident memory as the kernel counts it.
"""

import json
import os
import subprocess
import sys
import tempfile
import time

SHORT = 150_000
ALLOWED_MIB = 12  # for the allocator and the database's cache; 450,000 readings kept would be 14 in one copy, 7 more each


def write(path, rows):
    with open(path, "w") as out:
        out.write("time,probe,temp_f\n")
        for n in range(0, rows, 60):
            minute = time.strftime("%Y-%m-%dT%H:%M", time.gmtime(1451606400 + n))
            out.writelines(f"{minute}:{s:02}Z,p1,145.{(n + s) * 3 % 10}\n" for s in range(min(60, rows - n)))


def peak(words, folder):
    """MiB, and what it printed."""
    out_path = os.path.join(folder, "said")
    with open(out_path, "w") as out:
        process = subprocess.Popen(words, cwd=folder, stdout=out, stderr=subprocess.STDOUT)
        _, status, usage = os.wait4(process.pid, 0)
    text = open(out_path).read()
    if os.waitstatus_to_exitcode(status) not in (0, 10, 11, 12):
        sys.exit(f"{words}: {status}: {text[:800]}")
    return usage.ru_maxrss / 1024, text


def main():
    program = os.path.abspath(sys.argv[1])
    rows = int(sys.argv[2]) if len(sys.argv) > 2 else 600_000
    good = True
    with tempfile.TemporaryDirectory(prefix="holdwarden-memory-") as folder:
        write(f"{folder}/short.csv", SHORT)
        write(f"{folder}/long.csv", rows)
        for store in ("short", "long"):
            subprocess.run([program, "init", "--store", f"{store}.db", "--name", "Larkspur Yard Smokehouse", "--zone",
                            "America/Denver", "--altitude", "5280ft", "--by", "RK"], cwd=folder, check=True,
                           stdout=subprocess.DEVNULL)
            subprocess.run([program, "probe", "add", "p1", "--store", f"{store}.db", "--by", "RK"], cwd=folder,
                           check=True, stdout=subprocess.DEVNULL)
        for words in (["check", "--csv", "{}.csv", "--stage", "hot-holding", "--format", "json"],
                      ["import", "{}.csv", "--store", "{}.db", "--by", "RK"]):
            peaks = {}
            for name, count in (("short", SHORT), ("long", rows)):
                peaks[name], text = peak([program, *(word.format(name) for word in words)], folder)
                if words[0] == "check" and json.loads(text)["intake"]["rows"] != count:
                    sys.exit(f"not all of {count} rows were read: {text}")
            print(f"{words[0]}: {peaks['short']:.1f} MiB for {SHORT:,} rows, {peaks['long']:.1f} for {rows:,}")
            good = good and peaks["long"] - peaks["short"] <= ALLOWED_MIB
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
