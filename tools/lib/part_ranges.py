"""Published ranges that results of tools/parts are held beside. They are no bounds: a result outside is told as that."""

from collections import namedtuple

from datum import MEMORY, PRACTICE

# `why`: said of a result that lies outside.
Range = namedtuple("Range", "low high unit source why")

EU = "(EU) 2017/2400, default values, deliberately high"
LAW_FINDS_LESS = ("the formula of ISO/TR 14179-2 finds 0.3 to 0.5 % a mesh in synthetic oil, and bearings by Palmgren less than the "
                  "trade reckons with")

RANGES = {
    "mesh": Range(0.985, 0.992, "1", "one ground helical mesh with its bearings, " + PRACTICE, LAW_FINDS_LESS),
    "two meshes": Range(0.970, 0.984, "1", "two ground helical meshes with their bearings, " + PRACTICE, LAW_FINDS_LESS),
    "direct": Range(0.990, 0.996, "1", "direct gear, " + PRACTICE, "of the design"),
    "hypoid": Range(0.950, 0.985, "1", "0.95 to 0.97 in a published review of axles, 0.970 to 0.985 of modern truck axles under load "
                    "from memory", "of the design"),
    "differential": Range(0.998, 1.0, "1", PRACTICE, "of the design"),
    "gearbox drag": Range(3, 10, "Nm", "at the input of a truck gearbox of four gears, from memory", "small or large for four gears of 2500 Nm"),
    "axle gearbox drag": Range(1.1, 3.2, "Nm", "at the fast pinion of an electric axle, derived from " + PRACTICE,
                               "thin oil, jets instead of a bath, and no windage of the wheels"),
    "hypoid drag": Range(10, 65, "Nm", "at the wheels, 20 to 80 with hubs, from memory; 70 + 20 i by " + EU, "of the design"),
    "planets": Range(0.98, 0.99, "1", "sun to ring with the carrier held: 0.98 to 0.985 and better, from memory", LAW_FINDS_LESS),
    "planet drag": Range(7, 35, "Nm", "at the wheels, 20 to 45 with hubs, derived from " + PRACTICE + "; 25 + 5 i by (EU) 2022/1379",
                            "of the design"),
    "mesh drag": Range(0.5, 8, "Nm", PRACTICE, "of the design"),
    "hub drag": Range(10, 30, "Nm", "of an axle's two ends, " + MEMORY, "lighter loaded than a driven axle"),
    "best efficiency": Range(0.940, 0.975, "1", "laboratory teardowns of car motors and trade, from memory", "of the design"),
    "copper": Range(5.0, 8.5, "% of peak power", "at peak torque, derived from 20 to 25 A/mm2 and memory", "a large motor for its current "
                    "density"),
    "hysteresis": Range(0.18, 0.30, "% of peak power", "at base speed, with bearings, from memory", "less iron for its power, or a "
                        "slow motor"),
    "eddies": Range(0.20, 0.40, "% of peak power", "at base speed, with windage, from memory", "low frequency, or thin sheet"),
    "torque density": Range(6.0, 11.0, "Nm/kg", "6 to 8 of fast motors, 8 to 11 of slow ones, from memory", "many poles "
                            "and so a short yoke, driven for half a minute to twice what it bears for ever"),
    "continuous torque": Range(0.40, 0.60, "of peak", "peak of 30 s over continuous torque 1.7 to 2.5, from memory", "cooled for its continuous power, not for torque at base speed"),
    "inverter": Range(0.7, 2.0, "% of peak power", "at peak, losses from memory", "silicon carbide without threshold voltage"),
}


def place(key, found):
    of = RANGES[key]
    return "below" if found < of.low else "above" if found > of.high else "within"


def sentence(key, found, digits=4):
    """What is said in the header of a file."""
    of = RANGES[key]
    where = place(key, found)
    unit = "" if of.unit == "1" else " " + of.unit
    told = f"{found:.{digits}g}{unit} {'lies within' if where == 'within' else 'is ' + where} {of.low:g} to {of.high:g} ({of.source})"
    return told + ("" if where == "within" else ": " + of.why)
