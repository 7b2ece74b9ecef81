#!/usr/bin/env python3
"""saturday.py PROGRAM CLOCK GUIDE: a Saturday at the invented Larkspur Yard Smokehouse, typed at a terminal.

PROGRAM runs once for each line, in a pseudo-terminal of its own, under the clock of the step (CLOCK is the library that
pins it). Every key counts, Enter with it; what a step may cost stands in the table of GUIDE (docs/kitchen-day.md). What the
program must show is checked against the clause of the code beside it.
"""

import datetime
import os
import pathlib
import re
import shlex
import shutil
import sys
import tempfile

from terminal import Stuck, Terminal

KITCHEN = [  # set up once, long before: not counted
    'init --name "Larkspur Yard Smokehouse" --zone America/Denver --altitude 5280ft --scale F',
    "unit add smoker-1 --kind smoker --oven convection",
    "unit add cabinet-1 --kind cabinet",
    "unit add walk-in --kind walk-in",
    "probe add hand-1 --accuracy 1F --step 0.1F",
    "template save brisket --food whole-cut --stage cooking --unit smoker-1 --setting 250F --point core --target 140F..150F",
    "template save pork --food whole-cut --stage cooking --unit smoker-1 --setting 250F",
    "template save chicken --food poultry --stage cooking --unit smoker-1",
    "template save beans --stage cooking --container 4-inch-pan",
]


class Step:
    """`kind` names a row of the guide's table; `answers` are questions with the keys typed at them."""

    def __init__(self, clock, kind, line, *shows, answers=(), status=0, never=()):
        self.clock, self.kind, self.line, self.shows = clock, kind, line, shows
        self.answers, self.status, self.never = answers, status, never


SATURDAY = [
    # The morning: a check of the thermometer, then four lots from four templates with one line.
    Step("10-31 04:25", "a check", "probe check hand-1 ice-point 32.5", "within"),
    Step("10-31 04:30", "opening four lots", "tonight brisket pork chicken beans",
         "brisket-1", "pork-1", "chicken-1", "beans-1", "best at 140 °F to 150 °F"),
    Step("10-31 07:00", "an air log", "air wa 39", "walk-in", "39 °F"),
    # 3-202.11(A): food that is cold holds 41 °F or less when it is received.
    Step("10-31 07:10", "a delivery", 'receive "pork butts" 38 --supplier Quill --amount 4cases', "met", "38 °F"),
    Step("10-31 07:15", "a delivery refused",
         'receive slaw 47 --supplier Quill --refused --reason "too warm"', "not met", "47 °F"),
    # 3-401.11(A)(3): poultry 165 °F.
    Step("10-31 09:00", "a reading", "log ch 172", "chicken-1, core: 172 °F", "So far met"),
    Step("10-31 09:05", "a stage", "stage ch hot 150 --unit ca", "chicken-1: hot-holding in cabinet-1", "150 °F"),
    # The hold's next reading within the largest interval, 2 h (common practice, no source).
    Step("10-31 09:10", "what waits", "due", "chicken-1", "read the food", "11:05"),
    # Mistypes: a point too early, a digit too few; each is asked about, and the right value typed.
    Step("10-31 11:00", "a mistype mended", "log ch 14.0", "chicken-1, core: 140 °F", never=("14 °F",),
         answers=[("type the right value: ", "140")]),
    Step("10-31 12:50", "a mistype mended", "log ch 410", "chicken-1, core: 141 °F", never=("410 °F",),
         answers=[("type the right value: ", "141")]),
    Step("10-31 13:05", "an ending", "stage ch served", "served"),
    # 3-401.11(A)(2): whole cuts, 145 °F for 15 s; the pit goes on to 203 °F.
    Step("10-31 15:00", "a reading", "log br 203", "203 °F", "So far met"),
    Step("10-31 15:05", "a stage", "stage br hot 165 --unit ca", "hot-holding", "165 °F"),
    Step("10-31 15:10", "a reading", "log be 198", "198 °F", "So far met"),
    Step("10-31 15:15", "a stage", "stage be hot 170 --unit ca", "hot-holding", "170 °F"),
    Step("10-31 15:20", "a reading", "log po 201", "201 °F"),
    Step("10-31 15:25", "a stage", "stage po hot 160 --unit ca", "hot-holding", "160 °F"),
    # Nothing is named: the lot that waits soonest is one key, then only the number is typed.
    Step("10-31 16:50", "a reading asked for", "log", "brisket-1, core: 146 °F", "next reading by 18:50",
         answers=[("Which lot [1]: ", ""), ("read: ", "146")]),
    Step("10-31 16:51", "a reading", "log be 151", "151 °F", "So far met"),
    # 3-501.16(A)(1): 135 °F or above. 131 °F misses it, and is answered.
    Step("10-31 17:00", "a reading", "log po 131", "131 °F", "So far not met"),
    Step("10-31 17:05", "acting on a flag", "act po", "Action 1",
         answers=[("unit? (empty: later)\n> ", "off the line"), ("(empty: later)\n> ", "8 lb"),
                  ("(empty: later)\n> ", "discarded"), ("(empty: later)\n> ", "door open"),
                  ("(empty: later)\n> ", "cabinet at 150"), ("(empty: later)\n> ", "a new spring")]),
    Step("10-31 17:06", "the bin", 'bin po 8lb --reason "below 135"', "8 lb"),
    Step("10-31 17:07", "an ending", "stage po discarded", "discarded"),
    # The brisket is sliced: some is served, some cooled.
    Step("10-31 18:29", "a reading", "log br 141", "141 °F"),
    Step("10-31 18:30", "a split", "split br slices=6lb:served pan=5lb:cooling --of 12lb --loss trim",
         "brisket-1-slices (6lb", "brisket-1-pan", "trim"),
    # 3-501.14(A): from 135 °F to 70 °F within 2 h, to 41 °F within a total of 6 h.
    Step("10-31 18:31", "a reading", "log br 139", "brisket-1-pan, core: 139 °F", "70 °F (21 °C) or below within 2 h"),
    Step("10-31 18:40", "a reading", "log be 150", "150 °F"),
    Step("10-31 19:00", "opening a lot", "tonight beans", "beans-2"),
    Step("10-31 19:10", "a reading", "log beans-2 199", "199 °F"),
    Step("10-31 19:15", "a stage", "stage beans-2 hot 168 --unit ca", "hot-holding"),
    Step("10-31 19:19", "a reading", "log beans-1 149", "149 °F"),
    Step("10-31 19:19", "a reading", "log beans-2 167", "167 °F"),
    Step("10-31 19:20", "a merge", "merge beans-1 beans-2 --into beans", "worst clock"),
    Step("10-31 19:21", "a reading", "log beans 158", "beans, core: 158 °F"),
    Step("10-31 20:15", "a reading", "log br 69", "69 °F", "41 °F (5 °C) or below within 6 h"),
    Step("10-31 21:00", "a reading", "log beans 144", "144 °F"),
    Step("10-31 22:30", "a reading", "log br 40", "40 °F"),
    Step("10-31 22:31", "a stage", "stage br cold 40 --unit wa", "cold-holding in walk-in", "40 °F"),
    # 3-501.17: day 1 is the day of making; day 7 is Friday, 2026-11-06.
    Step("10-31 22:33", "a label", "label br", "brisket-1-pan", "Fri 2026-11-06"),
    Step("10-31 22:50", "a reading", "log beans 142", "142 °F", "So far met"),
    Step("10-31 22:55", "an air log", "air wa 38", "38 °F"),
    Step("10-31 23:00", "closing", "close-night", "beans: served", "Nothing remains",
         answers=[("k keep as it is [k]: ", "s"), ("When [now]: ", "")]),
    Step("10-31 23:05", "handing over", 'handover --note "walk-in door sticks"', "brisket-1-pan: cold-holding in walk-in",
         "walk-in door sticks"),
]

# What the whole day comes to: the verdict of each lot and why.
VERDICTS = [
    ("chicken-1", "cooking", "met"),  # 3-401.11(A)(3): 172 °F
    ("chicken-1", "hot-holding", "met"),  # 3-501.16(A)(1): 150, 140, 141 °F, no 2 h without a reading
    ("pork-1", "hot-holding", "not met"),  # 131 °F at 17:00
    ("brisket-1-slices", "hot-holding", "met"),
    ("brisket-1-pan", "cooling-first-window", "met"),  # 3-501.14(A)(1): 139 at 18:31, 69 at 20:15, 1 h 44 at the worst
    ("brisket-1-pan", "cooling-total", "met"),  # 3-501.14(A)(2): 40 at 22:30, 3 h 59 at the worst
    ("beans", "hot-holding", "met"),  # each of the two, and what they became
]


def budgets(guide):
    """The table of steps and keys: | a reading | 20 |"""
    rows = re.findall(r"^\| ([a-z][a-z ]*?) \| (\d+) \|", guide.read_text(encoding="utf-8"), re.M)
    return {kind: int(keys) for kind, keys in rows}


def instant(clock):
    """Local time of the yard, on daylight saving time until 2026-11-01 02:00: UTC-6."""
    local = datetime.datetime.strptime(f"2026-{clock}", "%Y-%m-%d %H:%M")
    return int((local + datetime.timedelta(hours=6)).replace(tzinfo=datetime.timezone.utc).timestamp() * 1000)


class Yard:
    def __init__(self, program, clock):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="holdwarden-saturday-"))
        self.program = os.path.abspath(program)
        self.environment = {
            "PATH": os.environ["PATH"], "HOME": str(self.folder), "TERM": "xterm", "LC_ALL": "C.UTF-8", "TZ": "UTC",
            "LD_PRELOAD": os.path.abspath(clock), "HOLDWARDEN_BY": "RK", "HOLDWARDEN_PROBE": "hand-1",
            "HOLDWARDEN_STORE": str(self.folder / "larkspur.db"),
            # The clock's library comes before a sanitizer's.
            "ASAN_OPTIONS": "verify_asan_link_order=0",
        }
        if "HOLDWARDEN_DATA" in os.environ:
            self.environment["HOLDWARDEN_DATA"] = os.environ["HOLDWARDEN_DATA"]

    def types(self, clock, line, answers=()):
        """One line at the prompt, and the answers to what is asked; the terminal after its end."""
        self.environment["KITCHEN_CLOCK"] = str(instant(clock))
        terminal = Terminal([self.program, *shlex.split(line)], self.environment, self.folder)
        terminal.keys = len("hw ") + len(line) + 1  # alias hw=holdwarden, as the guide says
        for question, keys in answers:
            terminal.answer(question, keys)
        terminal.end()
        return terminal


def main():
    program, clock, guide = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3])
    told = len(sys.argv) > 4
    allowed = budgets(guide)
    yard = Yard(program, clock)
    faults, keys, spent = [], 0, {}
    try:
        for line in KITCHEN:
            terminal = yard.types("10-30 12:00", line)
            if terminal.status != 0:
                raise AssertionError(f"{line}: {terminal.shown}")
        for step in SATURDAY:
            terminal = yard.types(step.clock, step.line, step.answers)
            if told:
                print(f"[{step.clock[6:]}] $ hw {step.line}   ({terminal.keys} keys)\n{terminal.shown}")
            keys += terminal.keys
            spent[step.kind] = max(spent.get(step.kind, 0), terminal.keys)
            if terminal.status != step.status:
                faults.append(f"{step.clock} {step.line}: status {terminal.status}:\n{terminal.shown}")
            for words in step.shows:
                if words not in terminal.shown:
                    faults.append(f"{step.clock} {step.line}: does not say '{words}':\n{terminal.shown}")
            for words in step.never:
                if words in terminal.shown.strip().splitlines()[-1]:
                    faults.append(f"{step.clock} {step.line}: says '{words}':\n{terminal.shown}")
            if step.kind not in allowed:
                faults.append(f"'{step.kind}' has no row in {guide.name}")
            elif terminal.keys > allowed[step.kind]:
                faults.append(f"{step.clock} {step.line}: {terminal.keys} keys, over the {allowed[step.kind]} of "
                              f"'{step.kind}'")
        for lot, requirement, verdict in VERDICTS:
            shown = yard.types("10-31 23:10", f"check {lot}").shown
            if not re.search(rf"{re.escape(requirement)}\b[^\n]*\b{verdict}\b|\b{verdict}\b[^\n]*{requirement}\b", shown):
                faults.append(f"{lot}: {requirement} is not '{verdict}':\n{shown}")
        if yard.types("10-31 23:11", "verify").status != 0:
            faults.append("the store's history does not hold")
    except Stuck as stuck:
        faults.append(str(stuck))
    finally:
        shutil.rmtree(yard.folder, ignore_errors=True)
    for fault in faults:
        print("FAILED", fault)
    print(f"{len(SATURDAY)} steps, {keys} keys; at most: "
          + ", ".join(f"{kind} {most}" for kind, most in sorted(spent.items())))
    print(f"{len(faults)} failed")
    return 1 if faults else 0


sys.exit(main())
