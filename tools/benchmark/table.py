#!/usr/bin/python3
"""Shows the figures of a bench to people.

usage: table.py FILE

FILE holds one JSON line a figure. Figures of cycles become columns of one table, the others lines below it.
"""
import json
import sys

# Columns of the tables over cycles and drivers: heading, figure, solver, how it is written.
AGAINST_FIXED = [
    ("CPU/RK4", "cvode_cpu_time_over_rk4_cpu_time", None, "{:.2f}"),
    ("time/RK4", "cvode_time_over_rk4_time", None, "{:.2f}"),
    ("ms", "run_time", "cvode", "{:.1f}"),
    ("RK4 ms", "run_time", "rk4", "{:.1f}"),
    ("energy error", "energy_error", "cvode", "{:.1e}"),
    ("RK4 error", "energy_error", "rk4", "{:.1e}"),
]
EACH_CYCLE = [
    ("x real time", "times_real_time", "cvode", "{:.0f}"),
    ("steps/s", "steps_per_simulated_second", "cvode", "{:.2f}"),
    ("rates/s", "rates_per_simulated_second", "cvode", "{:.2f}"),
    ("watches/s", "watches_per_simulated_second", "cvode", "{:.2f}"),
    ("events", "events", "cvode", "{:.0f}"),
    ("closes to", "balance_error", "cvode", "{:.0e}"),
]
PROGRAM = [
    ("median ms", "start_to_finish_median", "program", "{:.1f}"),
    ("least ms", "start_to_finish_least", "program", "{:.1f}"),
    ("peak MiB", "peak_memory", "program", "{:.1f}"),
]
THREADS = [
    ("busier thread", "busier_of_two_threads_cpu_time_over_one_thread", "cvode", "{:.2f}"),
    ("CPU of both", "two_threads_cpu_time_over_one_thread", "cvode", "{:.2f}"),
    ("on the wall", "two_threads_wall_time_over_one_thread", "cvode", "{:.2f}"),
]
LIMITS = [
    ("forces/run", "limits_by_forces_cpu_time_over_run_cpu_time", "limits", "{:.2f}"),
    ("all/run", "limits_cpu_time_over_run_cpu_time", "limits", "{:.2f}"),
    ("forces ms", "limits_by_forces_time", "limits", "{:.1f}"),
    ("all ms", "limits_time", "limits", "{:.1f}"),
]
DRAWS = [
    ("draws/runs", "draws_cpu_time_over_so_many_runs", "arkode", "{:.2f}"),
    ("one run ms", "run_of_a_draw_cpu_time", "arkode", "{:.1f}"),
]
TABLES = [
    ("CVODE at the default accuracy against the classical Runge-Kutta method at 0.05 s", AGAINST_FIXED),
    ("Each cycle: pace, steps, rates and watches a simulated second, events", EACH_CYCLE),
    ("The program from start to finish", PROGRAM),
    ("What a truck can do: by forces alone, and by driving too, over a run on the cycle", LIMITS),
    ("64 draws of uncertain data for two trucks, first order beside them, over so many runs", DRAWS),
    ("Six equal runs by two threads, over one thread", THREADS),
]


def rows_of(figures, columns):
    """Cycle and driver -> cells, for those that have the first column at the default accuracy."""
    rows = {}
    for f in (f for f in figures if "truck" not in f):
        for place, (_, figure, solver, form) in enumerate(columns):
            if f["figure"] == figure and f.get("solver") == solver and "accuracy" not in f and f.get("cycle"):
                row = rows.setdefault((f["cycle"], f.get("driver", "")), {})
                row[place] = "-" if f["value"] is None else form.format(f["value"])
                if "end" in f:
                    row["end"] = f"{f['end'].replace('_', ' ')} after {f['km']:.0f} km"
    return {key: row for key, row in rows.items() if 0 in row}


def show_table(title, rows, columns):
    names = ["cycle", "driver"] + [heading for heading, *_ in columns]
    lines = [[*key] + [row.get(place, "") for place in range(len(columns))] + [row.get("end", "")]
             for key, row in rows.items()]
    widths = [max(len(line[k]) for line in [names, *lines]) for k in range(len(names))]
    print(f"\n{title}")
    for line in [names + [""], *lines]:
        cells = [line[k].ljust(widths[k]) if k < 2 else line[k].rjust(widths[k]) for k in range(len(names))]
        print(("  " + "  ".join(cells) + ("  " + line[-1] if line[-1] else "")).rstrip())


def place_of(f):
    return " ".join(str(f[key]) for key in ("truck", "cycle", "driver", "solver") if f.get(key))


def show_others(figures, shown):
    others = [f for f in figures if "truck" in f or ("cycle" not in f and f["figure"] not in shown)]
    if others:
        print("\nBeside them")
    for f in others:
        at = place_of(f)
        print(f"  {f['figure'].replace('_', ' ')}{' of ' + at if at else ''}: {f['value']:.6g} {f['unit']}")


def show_accuracies(figures):
    closer = [f for f in figures if "accuracy" in f and f["figure"] == "energy_error"]
    times = {(f["cycle"], f["driver"], f["accuracy"]): f["value"] for f in figures
             if "accuracy" in f and f["figure"] == "run_time"}
    if closer:
        print("\nCVODE asked for other accuracies")
    for f in closer:
        ms = times[f["cycle"], f["driver"], f["accuracy"]]
        print(f"  {f['cycle']} {f['driver']} at accuracy {f['accuracy']:g}: energy error {f['value']:.1e}, {ms:.1f} ms")


def show_targets(figures):
    missed = [f for f in figures if f.get("met") is False]
    met = sum(f.get("met") is True for f in figures)
    print(f"\nTargets: {met} met, {len(missed)} missed")
    for f in missed:
        print(f"  {f['figure'].replace('_', ' ')} of {place_of(f)}: {f['value']:.4g}; at most {f['at_most']:.4g}")


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        figures = [json.loads(line) for line in file]
    shown = {figure for _, columns in TABLES for _, figure, *_ in columns}
    for title, columns in TABLES:
        rows = rows_of(figures, columns)
        if rows:
            show_table(title, rows, columns)
    show_accuracies(figures)
    show_others(figures, shown)
    show_targets(figures)


if __name__ == "__main__":
    main()
