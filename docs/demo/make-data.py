#!/usr/bin/env python3
"""Makes the CSV files of the demo in the folder it lies in. Not needed to run the demo.

Everything is invented: the curves are exponentials towards a surrounding temperature, with a little
noise from a fixed seed, written in steps of 0.1 degree Fahrenheit as probes show them. The shapes are
common practice in smokehouses and have no published source: pits run 225 to 275 F, a wrapped piece
stalls on the way to about 203 F, takes somewhat over two hours on a counter to come down to 140 F, and
an insulated chest does not hold it safely for eight to nine hours.
"""
import math
import random
from datetime import datetime, timedelta, timezone
from pathlib import Path
from zoneinfo import ZoneInfo

DENVER = ZoneInfo("America/Denver")
FOLDER = Path(__file__).parent
rng = random.Random(20261031)


def mdt(day, hour, minute=0):
    """An instant of Denver's daylight time (UTC-6): up to 02:00 on 1 November."""
    return datetime(2026, day // 100, day % 100, hour, minute, tzinfo=timezone(timedelta(hours=-6)))


def mst(day, hour, minute=0):
    """An instant of Denver's standard time (UTC-7): from 01:00 on 1 November."""
    return datetime(2026, day // 100, day % 100, hour, minute, tzinfo=timezone(timedelta(hours=-7)))


def hours(span):
    return span.total_seconds() / 3600


def every(start, end, minutes):
    """Instants from start to end, both included when the steps meet it."""
    at = start
    while at <= end:
        yield at
        at += timedelta(minutes=minutes)


def towards(start, begin_f, surround_f, tau_h):
    """Exponential approach from begin_f at start to surround_f."""
    return lambda at: surround_f + (begin_f - surround_f) * math.exp(-hours(at - start) / tau_h)


def cook(start, done, end_f):
    """A large piece in the pit: rises, stalls near 165 F, is wrapped, rises to end_f at done."""
    whole = hours(done - start)
    points = [(0.0, 41.0), (0.15, 92.0), (0.30, 136.0), (0.42, 158.0), (0.55, 166.0), (0.68, 171.0),
              (0.80, 184.0), (0.92, 197.0), (1.0, end_f)]

    def curve(at):
        x = hours(at - start) / whole
        for (x0, f0), (x1, f1) in zip(points, points[1:]):
            if x <= x1:
                return f0 + (f1 - f0) * (x - x0) / (x1 - x0)
        return end_f
    return curve


def about(level_f, swing_f, period_h):
    """A unit's air, or food kept in it, that its thermostat lets swing."""
    return lambda at: level_f + swing_f * math.sin(2 * math.pi * at.timestamp() / 3600 / period_h)


def read(curve, at, noise_f=0.25):
    return f"{curve(at) + rng.uniform(-noise_f, noise_f):.1f}"


def write(name, header, rows, local=False):
    with open(FOLDER / name, "w", encoding="utf-8", newline="") as out:
        out.write(header + "\n")
        for at, *cells in rows:
            shown = at.astimezone(DENVER)
            when = shown.strftime("%Y-%m-%d %H:%M") if local else shown.isoformat()
            out.write(",".join([when, *cells]) + "\n")


# The pit, 31 October: two briskets. Long form.
rows = []
first, second = cook(mdt(1031, 4, 30), mdt(1031, 15, 30), 203.2), cook(mdt(1031, 4, 30), mdt(1031, 16, 55), 202.0)
pit = about(251, 9, 0.7)
for at in every(mdt(1031, 4, 30), mdt(1031, 16, 55), 5):
    if at <= mdt(1031, 15, 30):
        rows.append((at, "p1", read(first, at)))
    rows.append((at, "p2", read(second, at)))
    rows.append((at, "air-pit", read(pit, at, 2.0)))
write("pit.csv", "time,probe,temp_f", rows)

# The counter and the cabinets: brisket-1 rests on the counter and is held; pork-2 comes from its chest;
# chicken-1's probe falls silent for 50 minutes. Long form.
rows = []
rest = towards(mdt(1031, 15, 30), 203.2, 72, 3.66)
hold = about(140.3, 0.7, 3.1)
pulled = towards(mdt(1031, 23, 10), 167.0, 141.5, 3.0)
chicken = towards(mdt(1031, 20, 0), 170.0, 148.0, 1.8)
cabinet = about(142, 2, 0.5)
for at in every(mdt(1031, 15, 35), mst(1101, 6, 0), 5):
    rows.append((at, "p1", read(rest if at < mdt(1031, 18, 0) else hold, at)))
    if mdt(1031, 23, 10) <= at <= mst(1101, 5, 30):
        rows.append((at, "p4", read(pulled, at)))
    silent = mst(1101, 2, 10) < at < mst(1101, 3, 0)
    if mdt(1031, 20, 0) <= at <= mst(1101, 5, 0) and not silent:
        rows.append((at, "p7", read(chicken, at)))
    if at >= mdt(1031, 18, 0):
        rows.append((at, "air-cabinet", read(cabinet, at, 0.8)))
write("hold.csv", "time,probe,temp_f", rows)

# The warm oven: pork-1. Wide form.
pork = towards(mdt(1031, 18, 45), 203.0, 165.5, 1.3)
oven = about(168, 4, 0.4)
write("oven.csv", "time,p3_f,air-oven_f",
      [(at, read(pork, at), read(oven, at, 1.0)) for at in every(mdt(1031, 18, 45), mst(1101, 6, 0), 5)])

# Chest A, closed at 17:00 and left alone: brisket-2. Its logger writes local wall time and puts its clock
# back with everyone else's, so 01:00 to 01:55 stands in the file twice, in order. Wide form.
sinking = towards(mdt(1031, 17, 0), 198.0, 50, 14.95)
chest_air = towards(mdt(1031, 17, 0), 176.0, 46, 13.0)
write("chest-a.csv", "time,p2_f,air-chest-a_f",
      [(at, read(sinking, at), read(chest_air, at, 0.5)) for at in every(mdt(1031, 17, 0), mst(1101, 6, 5), 5)],
      local=True)

# Chest B, opened in time: pork-2. Wide form.
chest_b = towards(mdt(1031, 19, 40), 198.0, 50, 15.2)
chest_b_air = towards(mdt(1031, 19, 40), 174.0, 48, 13.0)
write("chest-b.csv", "time,p4_f,air-chest-b_f",
      [(at, read(chest_b, at), read(chest_b_air, at, 0.5)) for at in every(mdt(1031, 19, 40), mdt(1031, 23, 5), 5)])

# The walk-in and the stove: beans-1 in a deep pan, reheated, then in shallow ones; beans-2 in a shallow
# pan. Long form.
rows = []
deep = towards(mdt(1031, 21, 30), 190.0, 38, 5.2)
reheated_from = mst(1101, 0, 58)  # 01:58 daylight time
again = towards(mst(1101, 2, 0), 171.0, 37.5, 1.0)
shallow = towards(mdt(1031, 22, 0), 183.6, 37.0, 1.05)
walk_in = about(37.5, 1.0, 0.8)


def beans(at):
    if at < reheated_from:
        return deep(at)
    if at < mst(1101, 2, 0):
        warm = deep(reheated_from)
        return min(warm + (172.0 - warm) * hours(at - reheated_from) / hours(timedelta(minutes=48)), 172.0)
    return again(at)


for at in every(mdt(1031, 21, 30), mst(1101, 7, 0), 2):
    minutes = round(hours(at - mdt(1031, 21, 30)) * 60)
    busy = reheated_from <= at < mst(1101, 3, 30)
    if minutes % 4 == 0 or busy:
        rows.append((at, "p5", read(beans, at, 0.2)))
    if minutes % 4 == 2 and at >= mdt(1031, 22, 0):
        rows.append((at, "p6", read(shallow, at, 0.2)))
    if minutes % 10 == 0:
        rows.append((at, "air-walk-in", read(walk_in, at, 0.4)))
write("cooling.csv", "time,probe,temp_f", rows)
