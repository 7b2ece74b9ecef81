"""A kitchen to be cruel to: the invented Larkspur Yard Smokehouse in a folder of its own."""

import os
import pathlib
import shutil
import sqlite3
import subprocess
import tempfile

SOURCE = pathlib.Path(__file__).resolve().parents[2]


class Kitchen:
    def __init__(self, program):
        memory = pathlib.Path("/dev/shm")
        base = memory if os.access(memory, os.W_OK) else None  # many rounds: do not wait for a disk
        self.folder = pathlib.Path(tempfile.mkdtemp(dir=base, prefix="holdwarden-"))
        self.program = os.path.abspath(program)
        self.store = self.folder / "holdwarden.db"
        self.environment = {
            **{k: v for k, v in os.environ.items() if k == "HOLDWARDEN_DATA" or not k.startswith("HOLDWARDEN_")},
            "HOLDWARDEN_STORE": str(self.store),
            "HOLDWARDEN_KEY": str(self.folder / "key.pem"),
            "XDG_STATE_HOME": str(self.folder / "state"),
            "TZ": "UTC",
        }

    def remove(self):
        shutil.rmtree(self.folder, ignore_errors=True)

    def start(self, *arguments, **more):
        return subprocess.Popen(
            [self.program, *map(str, arguments)], env=self.environment, cwd=self.folder,
            stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
            **more)

    def says(self, *arguments, **more):
        process = self.start(*arguments, **more)
        out, err = process.communicate(timeout=300)
        return process.returncode, out, err

    def good(self, *arguments):
        status, out, err = self.says(*arguments)
        if status != 0:
            raise AssertionError(f"{arguments} ended with {status}: {err}{out}")
        return out

    def open(self):
        self.good("init", "--name", "Larkspur Yard Smokehouse", "--zone", "America/Denver")
        self.good("probe", "add", "p1")
        self.good("lot", "open", "brisket-1", "--at", "2026-10-31 17:00")
        self.good("stage", "brisket-1", "hot-holding", "--at", "2026-10-31 18:00")
        self.good("place", "p1", "brisket-1", "--at", "2026-10-31 18:00")
        self.good("key", "new")

    def old_store(self, zone="America/Denver"):
        """A store as the first two migrations made it, with one entry: opening it migrates it."""
        database = sqlite3.connect(self.store)
        for name in ("0001-records.sql", "0002-append-only.sql"):
            database.executescript((SOURCE / "schema" / "sql" / name).read_text())
        database.executescript(
            "pragma application_id = 1213156420; pragma user_version = 2;"
            "insert into entry (id, kind, entered_at) values (1, 'site', 1793512800000);"
            "insert into site (id, entry, name, zone, scale)"
            f" values (1, 1, 'Larkspur Yard Smokehouse', '{zone}', 'F');"
            "insert into entry (id, kind, entered_at) values (2, 'site_setting', 1793512800000);"
            "insert into site_setting (entry, from_at) values (2, 1793512800000);")
        database.commit()
        database.close()
        os.chmod(self.store, 0o600)

    def rows(self, sql):
        database = sqlite3.connect(f"file:{self.store}?mode=ro", uri=True)
        try:
            return database.execute(sql).fetchall()
        finally:
            database.close()

    def csv(self, rows, name="night.csv"):
        """Readings of p1, ten a second from 18:00 on; returns the file."""
        file = self.folder / name
        with open(file, "w", encoding="utf-8") as out:
            out.write("time,p1_f\n")
            for n in range(rows):
                tenth = n % 10
                second = n // 10
                out.write(f"2026-10-31T{18 + second // 3600:02}:{second // 60 % 60:02}:"
                          f"{second % 60:02}.{tenth}-06:00,{140 + n % 50 / 10:.1f}\n")
        return file
