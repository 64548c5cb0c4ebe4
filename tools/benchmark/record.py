#!/usr/bin/python3
"""The record of ratios: measures it, writes it, and holds what is measured against it.

usage: record.py measure MEASURING_PROGRAM OUT [--repeats N]
       record.py against RECORD MEASURED [MEASURING_PROGRAM]

A record is a CSV file, a row for each truck, cycle, driver and integrator. With a measuring program, what seems slower is
measured once more before it is told. Exits with 1 when something is slower.
"""
import argparse
import concurrent.futures
import csv
import json
import os
import shutil
import subprocess
import sys
import tempfile

ROOT = os.path.normpath(os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", ".."))
BASE = "tractor-4x2-central"  # all costs of a cycle and driver are over this truck's by CVODE
WITH_FIXED = [BASE, "tractor-6x4-central", "tractor-6x4-two-eaxles"]
URBAN = ["urban-schedule", "urban-schedule-heavy"]  # on these the three are held against a fixed step as well
CYCLES = [f"reference/{name}" for name in URBAN] + ["scenarios/haulage-round", "scenarios/night-motorway"]
COUNTED = "urban-schedule"  # instructions are counted on this, by the exact driver

KEY = ("truck", "cycle", "driver", "integrator")
COSTS = {"cost_over_base": 0.15, "cost_over_rk4": 0.15, "instructions": 0.01}  # share that is not told
COUNTS = ("rates", "watches", "steps", "events")  # told when they are others
ERROR_APART = 1e-6  # of the energy: told beyond it
COLUMNS = KEY + ("end", "km", "cost_over_base", "cost_over_rk4", "energy_error") + COUNTS + ("instructions",)


def say(text):
    print(text, file=sys.stderr, flush=True)


def path_of(truck):
    return os.path.join(ROOT, "vehicles", "trucks", f"{truck}.yaml")


def trucks():
    """All that are shipped, the base first."""
    names = sorted(name[:-5] for name in os.listdir(os.path.join(ROOT, "vehicles", "trucks")) if name.endswith(".yaml"))
    return [BASE] + [name for name in names if name != BASE]


def rows_of_cycle(program, cycle, repeats):
    command = [program, "record", str(repeats), os.path.join(ROOT, "cycles", f"{cycle}.yaml"), *map(path_of, trucks())]
    if os.path.basename(cycle) in URBAN:
        command += ["--", *map(path_of, WITH_FIXED)]
    run = subprocess.run(command, stdout=subprocess.PIPE, text=True, check=False)
    if run.returncode != 0:
        sys.exit(f"record: measuring {cycle} did not end well")
    return [json.loads(line, parse_float=str, parse_int=str) for line in run.stdout.splitlines()]


def instructions(program, row):
    """Of the run alone, without reading and preparing."""
    with tempfile.TemporaryDirectory() as folder:
        out = os.path.join(folder, "calls")
        run = subprocess.run(
            ["valgrind", "--tool=callgrind", f"--callgrind-out-file={out}", "--toggle-collect=evn_drive_course", program,
             "once", row["integrator"], os.path.join(ROOT, "cycles", "reference", f"{COUNTED}.yaml"),
             path_of(row["truck"])], capture_output=True, text=True, check=False)
        if run.returncode != 0:
            sys.exit(f"record: callgrind on {row['truck']} did not end well:\n{run.stderr}")
        with open(out, encoding="utf-8") as file:
            return next(line.split()[1] for line in file if line.startswith(("summary:", "totals:")))


def is_counted(row):
    return row["cycle"] == COUNTED and row["driver"] == "exact" and row["truck"] in WITH_FIXED


def measure(program, repeats):
    """Rows by their keys. Each cycle by itself, so that nothing runs beside what is timed."""
    rows = []
    for cycle in CYCLES:
        say(f"---- {cycle}: {len(trucks())} trucks, both drivers")
        rows += rows_of_cycle(program, cycle, repeats)
    if shutil.which("valgrind"):
        say("---- instructions by callgrind")
        counted = [row for row in rows if is_counted(row)]
        with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
            for row, count in zip(counted, pool.map(lambda row: instructions(program, row), counted)):
                row["instructions"] = count
    else:
        say("---- instructions left out: there is no valgrind here")
    return {tuple(row[k] for k in KEY): row for row in rows}


def write(rows, path):
    with open(f"{path}.part", "w", encoding="utf-8", newline="") as file:
        table = csv.DictWriter(file, COLUMNS, restval="", lineterminator="\n")
        table.writeheader()
        table.writerows(rows[key] for key in sorted(rows))
    os.replace(f"{path}.part", path)


def read(path):
    try:
        with open(path, encoding="utf-8", newline="") as file:
            table = csv.DictReader(file)
            if tuple(table.fieldnames or ()) != COLUMNS:
                sys.exit(f"record: {path} is no record: its columns are {table.fieldnames}; expected {','.join(COLUMNS)}")
            return {tuple(row[k] for k in KEY): row for row in table}
    except OSError as trouble:
        sys.exit(f"record: {path} cannot be read: {trouble.strerror}")


def moves(before, now):
    """What moved in one row: column, old, new, and whether that is slower."""
    for column, share in COSTS.items():
        old, new = before[column], now.get(column) or ""
        if old and new and abs(float(new) / float(old) - 1) > share:
            yield column, old, new, float(new) > float(old)
    for column in COUNTS + ("end",):
        if before[column] != now[column]:
            yield column, before[column], now[column], False
    if abs(float(now["energy_error"]) - float(before["energy_error"])) > ERROR_APART:
        yield "energy_error", before["energy_error"], now["energy_error"], False


def timed_slower(recorded, rows):
    """Cycles with rows whose time says so: another look is worth it."""
    return {key[1] for key in recorded.keys() & rows.keys()
            for column, _, _, slower in moves(recorded[key], rows[key]) if slower and column != "instructions"}


def look_again(program, recorded, rows, repeats):
    for cycle in CYCLES:
        if os.path.basename(cycle) in timed_slower(recorded, rows):
            say(f"---- {cycle} once more: something seems slower")
            for again in rows_of_cycle(program, cycle, repeats):
                row = rows[tuple(again[k] for k in KEY)]
                for column in ("cost_over_base", "cost_over_rk4"):
                    if row.get(column):
                        row[column] = min(row[column], again[column], key=float)


def tell(recorded, rows):
    """Prints what moved; whether something is slower, or stands on one side only."""
    moved = slower_ones = alone = 0
    for key in sorted(recorded.keys() | rows.keys()):
        if key not in rows or key not in recorded:
            print(f"{' '.join(key)}: {'in the record only' if key in recorded else 'not in the record'}")
            moved += 1
            alone += 1
            continue
        told = list(moves(recorded[key], rows[key]))
        moved += bool(told)
        for column, old, new, slower in told:
            change = f" ({float(new) / float(old) - 1:+.1%})" if column in COSTS else ""
            print(f"{' '.join(key)}: {column} {old} -> {new}{change}{', slower' if slower else ''}")
            slower_ones += slower
    print(f"{len(rows)} rows: {moved} moved, {slower_ones} times slower; told are costs beyond 15 %, instructions beyond "
          f"1 %, energy errors beyond {ERROR_APART:g} of the energy, and counts that are others.")
    return slower_ones > 0 or alone > 0


def main():
    parser = argparse.ArgumentParser(usage=__doc__)
    parser.add_argument("--repeats", type=int, default=12)
    parser.add_argument("job", choices=("measure", "against"))
    parser.add_argument("files", nargs="+")
    args = parser.parse_args()
    if args.job == "measure":
        program, out = args.files
        write(measure(program, args.repeats), out)
        return 0
    recorded, rows = read(args.files[0]), read(args.files[1])
    if len(args.files) > 2:
        look_again(args.files[2], recorded, rows, args.repeats)
    return 1 if tell(recorded, rows) else 0


if __name__ == "__main__":
    sys.exit(main())
