#!/usr/bin/python3
"""Prints the figures that README.md tells of the plain and the good truck beside its console blocks, in its own words.

usage: tools/lib/trade_figures.py PROGRAM

The trucks of vehicles/lineups/motorway-plain-and-good.yaml, each by itself at its own speed by the exact driver, with the
faster integrator at 1e-5; then the plain one with one change at a time. tools/readme holds the README against it.
"""
import json
import subprocess
import sys

RUN = ["cycles/scenarios/night-motorway.yaml", "--payload-kg", "23500", "--driver", "exact", "--integrator", "arkode",
       "--accuracy", "1e-5", "--json"]
ROLLING = "axles.%s.tyre.rolling_resistance_coefficient"


def tyres(steered, leading, trailing, names):
    return {ROLLING % name: value for name, value in zip(names, (steered, leading, trailing))}


PLAIN_TYRES = ("front", "leading", "trailing")
PLAIN = {"body.drag_area_m2": 6.0, "auxiliaries.power_kw": 6, **tyres(0.0060, 0.0063, 0.0063, PLAIN_TYRES)}
GOOD = {"body.drag_area_m2": 4.8, "auxiliaries.power_kw": 3, **tyres(0.0050, 0.0052, 0.0050, ("front", "drive", "tag"))}


def kwh_per_km(program, truck, values):
    command = [program, "drive", "vehicles/trucks/%s.yaml" % truck] + RUN
    for key, value in values.items():
        command += ["--set", "%s=%s" % (key, value)]
    run = json.loads(subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, check=True).stdout)
    assert run["status"] == "finished", run["status"]
    return run["kwh_per_km"]


def main(program):
    plain = kwh_per_km(program, "tractor-6x4-central", PLAIN)

    def taken_off(change):
        return "%.1f %%" % (100 * (1 - kwh_per_km(program, "tractor-6x4-central", {**PLAIN, **change}) / plain))

    print("%.2f and %.2f kWh/km" % (plain, kwh_per_km(program, "tractor-6x2-eaxle", GOOD)))
    print("area of 4.8 m2 for 6.0 takes off " + taken_off({"body.drag_area_m2": 4.8}))
    print("coefficients of 0.0050 (0.0052 driven) for 0.0060 (0.0063) take off " +
          taken_off(tyres(0.0050, 0.0052, 0.0052, PLAIN_TYRES)))
    print("auxiliaries of 3 kW for 6 take off " + taken_off({"auxiliaries.power_kw": 3}))


if __name__ == "__main__":
    main(sys.argv[1])
