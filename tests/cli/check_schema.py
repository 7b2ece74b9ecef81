#!/usr/bin/env python3
"""Validates real answers of `check --format json` with an independent JSON Schema library (draft 2020-12).

Usage: check_schema.py PROGRAM SCHEMA GOLDEN_FOLDER. Exits 77 (skipped) when the library is not there.
"""
import json
import pathlib
import shlex
import subprocess
import sys

try:
    import jsonschema
except ImportError:
    print("skipped: install python3-jsonschema")
    sys.exit(77)

program, schema_file, folder = sys.argv[1:]
schema = json.loads(pathlib.Path(schema_file).read_text(encoding="utf-8"))
jsonschema.Draft202012Validator.check_schema(schema)
validator = jsonschema.Draft202012Validator(schema)
faults = 0
checked = 0
for line in (pathlib.Path(folder) / "cases.txt").read_text(encoding="utf-8").splitlines():
    if not line or line.startswith("#"):
        continue
    name, *options = shlex.split(line)
    csv = pathlib.Path(folder) / (name + ".csv")
    command = [program, "check", "--csv", str(csv), "--zone", "America/Denver", "--format", "json"]
    out = subprocess.run(command + options, capture_output=True, check=False).stdout
    checked += 1
    for error in validator.iter_errors(json.loads(out)):
        faults += 1
        print(f"{name}: {list(error.absolute_path)}: {error.message}")
print(f"{checked} answers, {faults} faults")
sys.exit(1 if faults or checked == 0 else 0)
