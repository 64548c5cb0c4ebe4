"""The plain truck (plain-truck.yaml) over the urban schedule by SciPy's solve_ivp, beside evener on the same truck.

usage: plain_truck.py MEASURING_PROGRAM TRUCK CYCLE TABLE

Prints one JSON line a figure on standard output, and at the end words on standard error. For orders of magnitude only; the closing words say what is the
same on both sides and what is not.
"""
import json
import math
import subprocess
import sys
import time

import numpy
from scipy.integrate import solve_ivp

# As in plain-truck.yaml.
RADIUS_M, RATIO, EFFICIENCY, ROTOR_KG_M2, PEAK_NM = 0.5, 10.0, 0.96, 0.8, 3000.0
MASS_KG = 9000 + 600 + 800 + 4000 + 260 + 40 + 300 + 3000
EFFECTIVE_KG = MASS_KG + 6 * 14 / RADIUS_M**2
ROLLING_N = 0.0055 * MASS_KG * 9.80665
AIR_KG_M = 0.5 * 101325 / (8.31432 / 0.0289644 * 288.15) * 5.4
CAPACITY_AS, RESISTANCE_OHM, START_SOC, AUXILIARIES_W = 600 * 3600.0, 0.03, 0.6, 5000.0
MOTOR_W, INVERTER_W = 120.0, 380.0

DRAWN, CHARGE, PLACE, ROLLING, AIR, PACK, FINAL_DRIVE, MOTOR, INVERTER, AUXILIARIES = range(10)
# Tolerance times these is the error allowed per step, as in evener.
SCALE = numpy.array([1e6, 0.05 * CAPACITY_AS, 100] + 7 * [1e6])
METHODS = "RK45", "DOP853", "LSODA"
REPEATS = 3


def stretches(table):
    """Straight pieces of the schedule: begin, end (s), speed at the begin (m/s), acceleration. Collinear points merge."""
    with open(table, encoding="utf-8") as file:
        lines = [line for line in file if not line.startswith("#")]
    if lines[0].strip() != "time_s,speed_mph":
        raise SystemExit(f"plain_truck.py: {table} has the columns {lines[0].strip()}; expected time_s,speed_mph")
    points = [(float(t), float(mph) * 0.44704) for t, mph in (line.split(",") for line in lines[1:])]
    pieces = []
    for (t0, v0), (t1, v1) in zip(points, points[1:]):
        a = (v1 - v0) / (t1 - t0)
        if pieces and abs(pieces[-1][3] - a) < 1e-12:
            pieces[-1][1] = t1
        else:
            pieces.append([t0, t1, v0, a])
    return pieces


def rate(t, y, begin, end, v0, a):
    """Rates of all ten states on one stretch. The guess of a first step may look beyond its end."""
    moves = v0 > 0 or a > 0
    v = max(v0 + a * (min(t, end) - begin), 0.0)
    rolling = ROLLING_N if moves else 0.0
    air = AIR_KG_M * v * v
    load = (EFFECTIVE_KG * a + rolling + air) * RADIUS_M if moves else 0.0
    mesh = (1 / EFFICIENCY - 1) * load if load > 0 else (EFFICIENCY - 1) * load
    w_wheel = v / RADIUS_M
    w = w_wheel * RATIO
    torque = (load + mesh) / RATIO + ROTOR_KG_M2 * a / RADIUS_M * RATIO
    share = abs(torque) / PEAK_NM
    motor = MOTOR_W + (5 + 0.04 * w) * w + 0.004 * torque * torque
    inverter = INVERTER_W + (3000 + 2300 * share) * share
    power = torque * w + motor + inverter + AUXILIARIES_W
    open_v = 620 + 100 * (START_SOC - y[CHARGE] / CAPACITY_AS)
    current = 2 * power / (open_v + math.sqrt(open_v * open_v - 4 * RESISTANCE_OHM * power))
    return [current * open_v, current, v, rolling * v, air * v, current * current * RESISTANCE_OHM, mesh * w_wheel, motor,
            inverter, AUXILIARIES_W]


def drive(pieces, method, tolerance):
    """Net energy out of the pack (kWh), distance (m), calls of rate; a restart at every knot, no step across one."""
    y, calls = numpy.zeros(10), 0
    for begin, end, v0, a in pieces:
        run = solve_ivp(rate, (begin, end), y, method, t_eval=[end], args=(begin, end, v0, a), rtol=1e-13,
                        atol=tolerance * SCALE)
        if not run.success:
            raise SystemExit(f"plain_truck.py: {method}: {run.message}")
        y, calls = run.y[:, -1], calls + run.nfev
    return y[DRAWN] / 3.6e6, y[PLACE], calls


def timed(pieces, method, tolerance):
    """The same with the least time of a few repeats (s)."""
    least = math.inf
    for _ in range(REPEATS):
        begin = time.perf_counter()
        energy, _, calls = drive(pieces, method, tolerance)
        least = min(least, time.perf_counter() - begin)
    return energy, calls, least


def put(figure, value, unit, solver, **more):
    """One figure, for machines and for people."""
    print(json.dumps({"figure": figure, "value": value, "unit": unit, "cycle": "urban-schedule", "driver": "exact",
                      "solver": solver, "truck": "plain"} | more))


def evener(program, truck, cycle):
    """Figures of evener on the plain truck, from the measuring program."""
    run = subprocess.run([program, "compare", "15", "-", truck, cycle], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
                         check=True, text=True)
    lines = [json.loads(line) for line in run.stdout.splitlines()]
    exact = [x for x in lines if x["driver"] == "exact" and "accuracy" not in x]

    def of(figure, solver):
        return next(x["value"] for x in exact if x["figure"] == figure and x.get("solver") == solver)

    return of("battery_energy", "reference"), of("energy_error", "cvode"), of("run_time", "cvode") / 1e3


def main():
    program, truck, cycle, table = sys.argv[1:]
    energy, error, seconds = evener(program, truck, cycle)
    pieces = stretches(table)
    tight = drive(pieces, "DOP853", 1e-12)[0]
    put("energy_difference_of_the_two_models", abs(tight / energy - 1), "1", "DOP853")
    put("energy_error", error, "1", "evener")
    put("run_time", 1e3 * seconds, "ms", "evener")
    for method in METHODS:
        for power in range(3, 11):  # the loosest tolerance that is at least as good as evener's default
            found = drive(pieces, method, 10.0**-power)[0]
            if abs(found / tight - 1) <= error:
                break
        found, calls, least = timed(pieces, method, 10.0**-power)
        put("energy_error", abs(found / tight - 1), "1", method, accuracy=10.0**-power)
        put("run_time", 1e3 * least, "ms", method, accuracy=10.0**-power)
        put("rates_per_simulated_second", calls / pieces[-1][1], "1/s", method, accuracy=10.0**-power)
        put("time_over_evener_time", least / seconds, "1", method, accuracy=10.0**-power)
    print("Same on both sides: schedule, road load, final drive, motor, inverter and pack; restarts at every knot; error\n"
          "allowed per step (scales), and an energy error no larger than evener's.\n"
          "Not the same: SciPy integrates 10 states that do nothing but this, in interpreted Python, over a clock. evener\n"
          "integrates 20, by place, looks for events (stretch ends, limits, gears) after each step, and judges the run as it goes.\n"
          "SciPy's times say what a script of an hour would cost, not what its methods are worth in compiled code.",
          file=sys.stderr)


if __name__ == "__main__":
    main()
