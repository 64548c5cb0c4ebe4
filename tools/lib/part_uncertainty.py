"""What is not known of the shipped parts: half widths of what they lose, from the ranges of the coefficients behind it.

Every coefficient of the laws (gear_laws.py, gear_parts.py, motor_laws.py) has a range. Those of a law or of a material err
alike in all parts of both layouts (LABELS: entries with `errs_with`); those that each design settles for itself err with
each part alone (OWN), together with the scatter from piece to piece. So nothing counts twice: what the makers may let
their products stray (conformity of production) is no third datum; it is what the sum is held beside (tolerance_lines).

Coefficients of LABELS err over their published range, wherever in it the value stands: evenly between its ends (JCGM 101:2008,
6.4.2, from memory), or, where the value is the geometric middle of its range, so that the range says "by a factor, either
way", evenly in the logarithm. What the figure is at the mean of the coefficient, one standard uncertainty up and down, gives
its half width and the offset of the middle of its range from the file's value.

What a design settles for itself is even about the design: half of what the figure changes over the range, the mean of both
arms. Where a range goes to twice the value and further the shorter arm is taken: a shape that is alike on both sides, as wide
as the mean arm, would pass below the low end, for drags below zero. The published ranges of whole parts (part_ranges.py) show
that the long arm is not reached.

All entries are rectangular; what is lumped adds in quadrature, offsets as they are. A label that brings less than LEAST_SHARE
of the variance of a figure goes into the part's own. No load efficiency is stated surer than a third of what its maker may let
it stray (LEAST_POINTS), as far as its loss leaves room for that: laws tell less than makers promise.

Drags and motors' losses err in proportion at all speeds, by what changes at the duty point (motors: at COPPER_SPEED).

The continuous power of a motor is tested: one that loses more than the law says and still gives it passes its heat on more
easily. So thermal resistances err against the losses, by what these add to the winding's rise at the greatest continuous power;
what the test leaves open is COOLING.
"""

import dataclasses
import math
from collections import namedtuple
from contextlib import contextmanager

import gear_laws
import gear_parts
import motor_laws
import part_design as design
from datum import MEMORY, PRACTICE, Datum

GEAR, SIZE, MOTOR, INVERTER = gear_laws.LAWS, gear_parts.SIZES, motor_laws.LAWS, motor_laws.INVERTER

# Piece to piece and test to test, of the loss or drag: a standard uncertainty of 5 % as half of what a gearbox may differ
# between two tests, (EU) 2017/2400, Annex VI, 3.3.8.5 (5 % of the loss), with as much again from piece to piece (common
# practice, no source).
PIECE_TO_PIECE = 0.05
# Switches as bought: energies and resistances over those of INVERTERS, whose values have no ranges of their own.
SWITCHES = 0.10  # standard uncertainty, common practice, no source
# Thermal resistances of a motor with a stated continuous power: what a type test leaves open, half width.
COOLING = 0.1  # common practice, no source
LEAST_SHARE = 0.02
# All half widths of a figure together leave so much of it: a loss that vanishes is none.
LEFT = 0.1

# What errs alike in all parts: {label: [(table, coefficient)]}.
LABELS = {
    "mesh_friction": [(GEAR, key) for key in ("lubricant_factor", "mesh_factor", "least_line_load_n_mm")],
    "hypoid_friction": [(GEAR, "hypoid_friction")],
    "bearing_friction": [(GEAR, key) for key in ("bearing_factor_tapered", "bearing_factor_needle")],
    "bearings_without_load": [(GEAR, key) for key in ("idle_factor_tapered", "idle_factor_needle")],
    "direct_gear_loss": [(GEAR, "direct_loss_share")],
    "differential_loss": [(GEAR, "differential_loss_share")],
    "churning": [(GEAR, "churning_factor")],
    # One oil circuit serves the gearbox and the planet set of an electric axle.
    "oil_jets_and_pump": [(GEAR, key) for key in ("spray_l_min_per_cm", "pump_bar", "pump_efficiency")],
    # All kinds of hubs are built alike.
    "hub_drag": [(GEAR, key) for key in ("idle_factor_greased", "grease_viscosity_mm2_s", "hub_preload_share")],
    "copper_eddies": [(MOTOR, "copper_ac_share")],
    "iron_losses": [(MOTOR, key) for key in ("hysteresis_w_per_m3_t2_hz", "eddy_w_per_m3_t2_hz2", "built_factor")],
    "magnet_losses": [(MOTOR, key) for key in ("magnet_ripple_t", "magnet_ohm_m")],
    "motor_friction": [(MOTOR, key) for key in ("gap_friction", "spray_in_gap_factor")] + [(GEAR, "idle_factor_ball")],
    "inverter_modulation": [(INVERTER, "modulation")],
}
# What each design settles for itself.
OWN = ([(GEAR, key) for key in ("roughness_um", "bearing_load_factor", "pinion_preload_share", "carrier_preload_share", "dip_share",
                                "pumped_dip_share", "oil_over_swept")]
       + [(SIZE, key) for key in ("k_factor_n_mm2", "width_over_pinion", "helix_deg", "pinion_shift", "shaft_stress_n_mm2",
                                  "bearing_over_shaft", "crown_m_per_nm3", "crown_width_share", "planet_load_share")]
       + [(MOTOR, key) for key in ("shear_stress_n_mm2", "gap_field_t", "winding_factor", "saturation_factor", "end_winding_pitches",
                                   "slot_fill", "slot_share", "yoke_field_t", "tooth_field_t", "magnet_share", "shaft_stress_n_mm2",
                                   "bearing_viscosity_mm2_s", "standing_share")]
       + [(INVERTER, "power_factor"), (INVERTER, "control_w")])
# What moves no loss: masses and inertias err by what is usual for their keys, temperatures' time constants move no energy
# that counts, and the junction's temperature none: it follows its losses within a second, and no torque is held back for it, so
# that it needs no resistance that errs against them either. How heat passes from copper to coolant is made up for by the
# design's cooling_factor, which is chosen for a continuous power: that is the rating of a motor, and known (COOLING).
NO_LOSS = ([(SIZE, key) for key in ("ring_thickness_share", "web_share", "around_gears", "differential_kg_per_knm")]
           + [(MOTOR, key) for key in ("jacket_kg_m2", "rotor_fill", "winding_extra_heat", "time_constant_spread", "slot_w_m2k", "jacket_w_m2k",
                                   "spray_factor_winding", "spray_factor_housing")]
           + [(INVERTER, "mass_kg_per_kw"), (INVERTER, "time_constant_s")])


def check_places():
    """Every coefficient has one place: errs with a label, with its part, or moves no loss."""
    placed = [one for coefficients in LABELS.values() for one in coefficients] + OWN + NO_LOSS
    for name, table in (("gear_laws.LAWS", GEAR), ("gear_parts.SIZES", SIZE), ("motor_laws.LAWS", MOTOR),
                        ("motor_laws.INVERTER", INVERTER)):
        for key in table:
            count = sum(of is table and of_key == key for of, of_key in placed)
            if count != 1:
                raise ValueError(f"{name}: {key} stands in {count} of LABELS, OWN and NO_LOSS of part_uncertainty.py; expected one")


check_places()

# ------------------------------------------------------------------------------------------------------- half changes


@contextmanager
def set_to(table, key, value):
    """The laws with another value of one coefficient."""
    usual = table[key]
    table[key] = dataclasses.replace(usual, value=value)
    try:
        yield
    finally:
        table[key] = usual


def is_of_factors(datum):
    return datum.high >= 2 * datum.value


def half_change(table, key, figures):
    """Of each of the figures (a function without arguments, that gives a list): what half the coefficient's range moves."""
    datum = table[key]
    at = figures()
    arms = []
    for end in (datum.low, datum.high):
        with set_to(table, key, end):
            arms.append([abs(there - here) for there, here in zip(figures(), at)])
    if is_of_factors(datum):
        return [min(pair) for pair in zip(*arms)]
    return [0.5 * sum(pair) for pair in zip(*arms)]


def mean_and_deviation(datum):
    """Of a coefficient of LABELS over its range."""
    if datum.low > 0 and math.isclose(datum.value ** 2, datum.low * datum.high, rel_tol=1e-9):
        log = math.log(datum.high / datum.low)
        mean = (datum.high - datum.low) / log
        return mean, math.sqrt((datum.high ** 2 - datum.low ** 2) / (2 * log) - mean ** 2)
    return (datum.low + datum.high) / 2, (datum.high - datum.low) / math.sqrt(12)


def offset_and_half(table, key, figures):
    """Of each of the figures: how far the middle of its range lies above it, and the half width about that."""
    at = figures()
    mean, deviation = mean_and_deviation(table[key])
    sides = []
    for side in (mean - deviation, mean + deviation):
        with set_to(table, key, side):
            sides.append(figures())
    return ([(low + high) / 2 - here for low, high, here in zip(*sides, at)],
            [math.sqrt(3) * abs(high - low) / 2 for low, high in zip(*sides)])


def in_quadrature(rows, count):
    return [math.sqrt(sum(row[k] ** 2 for row in rows)) for k in range(count)]


# Half width a figure, of each label and of the part's own; offsets likewise.
Spread = namedtuple("Spread", "labels own label_offsets own_offset")


def spread_of(figures, piece_to_piece=PIECE_TO_PIECE, least=None):
    """Of figures that are losses, half widths and offsets by label and the part's own, all rectangular; `least`: standard
    uncertainty of each figure, no less in all where there is room."""
    at = figures()
    labels, offsets = {}, {}
    for label, coefficients in LABELS.items():
        rows = [offset_and_half(table, key, figures) for table, key in coefficients]
        offsets[label] = [sum(row[0][k] for row in rows) for k in range(len(at))]
        labels[label] = in_quadrature([row[1] for row in rows], len(at))
    own = [half_change(table, key, figures) for table, key in OWN]
    own.append([math.sqrt(3) * piece_to_piece * abs(one) for one in at])
    return lumped(labels, offsets, in_quadrature(own, len(at)), at, least or [0.0] * len(at))


def lumped(labels, offsets, own, at, least):
    """Small labels into the part's own; that is widened to the least, and cut so that a little of each figure stays."""
    own, own_offset = list(own), [0.0] * len(at)
    for k, figure in enumerate(at):
        variance = own[k] ** 2 + sum(row[k] ** 2 for row in labels.values())
        for label, row in labels.items():
            if row[k] ** 2 < LEAST_SHARE * variance:
                own[k] = math.hypot(own[k], row[k])
                own_offset[k] += offsets[label][k]
                row[k] = offsets[label][k] = 0.0
        own[k] = math.sqrt(own[k] ** 2 + max(0.0, 3 * least[k] ** 2 - variance))
        middle = abs(figure) + own_offset[k] + sum(row[k] for row in offsets.values())
        own[k] = min(own[k], middle - LEFT * abs(figure) - sum(row[k] for row in labels.values()))
        if own[k] ** 2 < LEAST_SHARE * variance:
            own[k] = own_offset[k] = 0.0
        check_within(own[k], own_offset[k], "the part's own")
        for label, row in labels.items():
            check_within(row[k], offsets[label][k], label)
    labels = {label: row for label, row in labels.items() if any(row)}
    return Spread(labels, own, {label: offsets[label] for label in labels}, own_offset)


def check_within(half, offset, what):
    """No value lies outside of its own range."""
    if abs(offset) > half:
        raise ValueError(f"{what}: an offset of {offset:.3g} beyond its half width {half:.3g}")


def standard(spread, k=0):
    """Standard uncertainty of a figure."""
    return math.sqrt((spread.own[k] ** 2 + sum(row[k] ** 2 for row in spread.labels.values())) / 3)


# -------------------------------------------------------------------------------------------------------------- parts

# What production may stray from what was certified, one-sided, in points of efficiency: (EU) 2017/2400, Annex VI, 8.1.3 and
# Annex VII, 6.4; (EU) 2022/1379, Annex Xb, Appendix 12. A standard uncertainty of a third to a half of it is plausible.
Tolerance = namedtuple("Tolerance", "what points annex")
TOLERANCES = {
    "gearbox": Tolerance("gearbox", 1.5, "(EU) 2017/2400, Annex VI"),
    "axle": Tolerance("axle, single reduction", 1.5, "(EU) 2017/2400, Annex VII"),
    "motor": Tolerance("motor with inverter", 3.0, "(EU) 2022/1379, Annex Xb"),
}
# A last reduction is an axle's, of either layout; with a transfer gear to another axle an axle may stray by 2 points.
AXLE_POINTS = TOLERANCES["axle"].points / 3
LEAST_POINTS = {design.Gearbox: TOLERANCES["gearbox"].points / 3, design.FinalDrive: AXLE_POINTS, design.PlanetSet: AXLE_POINTS,
                design.Mesh: math.sqrt((2 / 3) ** 2 - AXLE_POINTS ** 2)}


def gear_spread(finds, of):
    """Of a gear part: its load losses, gear by gear, then its drag at the duty point. What differs from piece to piece evens out
    over the wheels of hubs."""
    def figures():
        found = finds(of)
        return [1 - one for one in found.efficiencies] + [found.drag_duty_nm]
    points = LEAST_POINTS.get(type(of), 0.0)
    count = len(figures())
    return spread_of(figures, 0.0 if isinstance(of, design.Hubs) else PIECE_TO_PIECE, [points / 100] * (count - 1) + [0.0])


def cruise_rad_s(m):
    return motor_laws.COPPER_SPEED * m.base_rad_s


def motor_duty_nm(of, m):
    return design.DUTY_POWER_SHARE * of.peak_power_kw * 1e3 / cruise_rad_s(m)


def motor_spread(of):
    """Of a motor: what it loses without torque at COPPER_SPEED, copper at peak torque, and all losses at the duty's power."""
    def figures():
        m = motor_laws.machine(of)
        c, speed = motor_laws.coefficients(of, m), cruise_rad_s(m)
        return [c.constant_w + c.speed_w_per_rad_s * speed + c.speed_squared * speed ** 2, motor_laws.copper_at_peak_w(of, m),
                motor_laws.loss_w(of, m, motor_duty_nm(of, m), speed)]
    return figures(), spread_of(figures)


def inverter_spread(of):
    """Of all its losses at peak current."""
    def figures():
        return [sum(motor_laws.inverter(of))]
    return figures(), spread_of(figures, SWITCHES)


# -------------------------------------------------------------------------------------------------------------- files

# Where the ranges of a label are from: tools/lib/gear_laws.py and motor_laws.py say it of each coefficient.
LABEL_SOURCES = {
    "mesh_friction": "GEARpie (lubricants, forms of the standard), from memory",
    "direct_gear_loss": PRACTICE,
    "differential_loss": PRACTICE,
    "oil_jets_and_pump": PRACTICE,
    "iron_losses": "Pyleecan's validation of a motor of 2004 and from memory",
    "inverter_modulation": PRACTICE,
}
OWN_LOAD_SOURCE = "tools/parts, what each design settles, in all a third of a maker's tolerance: " + PRACTICE
OWN_SOURCE = "tools/parts, what each design settles and 5 % from piece to piece: " + PRACTICE
RATED_SOURCE = "tools/parts, against the losses, for the continuous power is tested: " + PRACTICE
COOLING_SOURCE = "tools/parts, what a test of the continuous power leaves open: " + PRACTICE
OWN_INVERTER_SOURCE = "tools/parts, switches and power factor: " + PRACTICE
LINE = 120
ALIKE = 0.2  # items of a list whose half widths differ by no more have one entry


def label_source(label):
    return "tools/parts, ranges of the law's coefficients: " + LABEL_SOURCES.get(label, MEMORY)


def figure_text(half):
    return f"{half:.2g}" if half < 1 else f"{half:.3g}"


def entry(name, of, amount, source, label=None):
    """One entry of `uncertain`, on as many lines as it needs."""
    paths = ", ".join(f'"{path}"' if "[" in path else path for path in of)
    pieces = [f"of: [{paths}]", amount] + ([f"errs_with: {label}"] if label else []) + [f'source: "{source}"']
    lines, line = [], f"  {name}: {{"
    for k, piece in enumerate(pieces):
        piece += "}" if k + 1 == len(pieces) else ","
        if len(line) + len(piece) > LINE and not line.endswith("{"):
            lines.append(line.rstrip())
            line = "    "
        line += piece + " "
    return "\n".join(lines + [line.rstrip()]) + "\n"


def items_alike(halves, offsets, narrow):
    """[(indices, half width, offset)]: items that do not err left out. `narrow`: the least of a group, which were cut to leave
    some of each loss; else their mean."""
    groups = []
    for k, half in enumerate(halves):
        for of in groups if half else ():
            first = of[0]
            if max(abs(half - halves[first]), abs(offsets[k] - offsets[first])) <= ALIKE * halves[first]:
                of.append(k)
                break
        else:
            if half:
                groups.append([k])
    return [(of, min(halves[k] for k in of) if narrow else sum(halves[k] for k in of) / len(of), sum(offsets[k] for k in of) / len(of))
            for of in groups]


def amount_text(key, half, offset, sign=1):
    """Offsets of less than a fiftieth of the half width are none; rounded they stay within it."""
    half_text = figure_text(half)
    text = f"{key}: {'-' if sign < 0 else ''}{half_text}"
    if abs(offset) < 0.02 * half:
        return text
    if abs(float(figure_text(offset))) > float(half_text):
        offset = math.copysign(float(half_text), offset)
    return f"{text}, offset: {figure_text(offset)}"


def efficiency_entries(name, key, halves, offsets, source, label=None):
    """Labels are of losses: efficiencies fall where they rise."""
    out = []
    groups = items_alike(halves, offsets, not label)
    for number, (of, half, offset) in enumerate(groups):
        paths = [key] if len(of) == len(halves) else [f"{key}[{k}]" for k in of]
        amount = amount_text("half_width", half, -offset, -1 if label else 1)
        out.append(entry(name + (f"_{number + 1}" if len(groups) > 1 else ""), paths, amount, source, label))
    return out


def gear_text(finds, of, key, drag_key):
    """`key`: its efficiency or efficiencies; None: none that errs."""
    found, spread = finds(of), gear_spread(finds, of)
    drag = found.drag_duty_nm
    lines = []
    for label, row in spread.labels.items():
        offsets = spread.label_offsets[label]
        lines += efficiency_entries(label, key, row[:-1], offsets[:-1], label_source(label), label) if key else []
        if row[-1]:
            lines.append(entry(label if label.endswith("drag") else f"{label}_drag", [drag_key], relative(row[-1], offsets[-1], drag),
                               label_source(label), label))
    source = OWN_LOAD_SOURCE if type(of) in LEAST_POINTS else OWN_SOURCE
    lines += efficiency_entries("load_losses", key, spread.own[:-1], spread.own_offset[:-1], source) if key else []
    if drag and spread.own[-1]:
        lines.append(entry("drag", [drag_key], relative(spread.own[-1], spread.own_offset[-1], drag), OWN_SOURCE))
    return "uncertain:\n" + "".join(lines)


def relative(half, offset, at):
    return amount_text("relative", half / at, offset / at)


Kind = namedtuple("Kind", "ending own k paths rise_share")  # of losses that err by one factor; k: its figure of motor_spread
WITHOUT_TORQUE = ["loss.constant_w", "loss.speed_w_per_rad_s", "loss.speed_squared_w_per_rad2_s2"]
COPPER = ["loss.torque_squared_w_per_nm2"]
COOLING_PATHS = ["winding.resistance_k_per_kw", "housing.resistance_k_per_kw"]
INVERTER_LOSSES = ["inverter.constant_w", "inverter.current_w", "inverter.current_squared_w"]


def motor_kinds(of):
    """Maps are scaled as a whole, by what moves their losses at the duty's power."""
    if of.form != "coefficients":
        return [Kind("", "motor_losses", 2, ["map.loss_factor"], 1.0)]
    m = motor_laws.machine(of)
    copper = motor_laws.copper_rise_share(of, m, *motor_laws.rating(of, m))
    return [Kind("_speed", "losses_without_torque", 0, WITHOUT_TORQUE, 1 - copper), Kind("_copper", "copper_losses", 1, COPPER, copper)]


def losses_entries(name, kinds, halves, offsets, at, source, label):
    """Of losses that err alike: one of each kind, and one of the thermal resistances against them. `name`: of a kind."""
    lines = [entry(name(kind), kind.paths, relative(halves[kind.k], offsets[kind.k], at[kind.k]), source, label) for kind in kinds]
    half, offset = (sum(kind.rise_share * row[kind.k] / at[kind.k] for kind in kinds) for row in (halves, offsets))
    return lines + [entry(f"{name(kinds[0])}_cooling", COOLING_PATHS, amount_text("relative", half, -offset, -1), RATED_SOURCE, label)]


def motor_text(name, of):
    at, spread = motor_spread(of)
    kinds, lines = motor_kinds(of), []
    for label, row in spread.labels.items():
        some = [kind for kind in kinds if row[kind.k]]
        if some:
            lines += losses_entries(lambda kind: label + (kind.ending if len(some) > 1 else ""), some, row, spread.label_offsets[label], at,
                                    label_source(label), label)
    for kind in kinds:
        lines += losses_entries(lambda kind: kind.own, [kind], spread.own, spread.own_offset, at, OWN_SOURCE, f"{kind.own}_of_{name}")
    lines.append(entry("cooling", COOLING_PATHS, f"relative: {COOLING}", COOLING_SOURCE))
    at, spread = inverter_spread(of)
    lines += [entry(label, INVERTER_LOSSES, relative(row[0], spread.label_offsets[label][0], at[0]), label_source(label), label)
              for label, row in spread.labels.items()]
    lines.append(entry("inverter_losses", INVERTER_LOSSES, relative(spread.own[0], spread.own_offset[0], at[0]), OWN_INVERTER_SOURCE))
    return "uncertain:\n" + "".join(lines)


# ------------------------------------------------------------------------------------------- beside what makers may stray

def motor_points(of):
    """Standard uncertainty of the efficiency of a motor with its inverter at the duty's power, in points; the inverter's as at
    that share of its current."""
    m = motor_laws.machine(of)
    at, spread = motor_spread(of)
    torque_nm = motor_duty_nm(of, m)
    power_w = torque_nm * cruise_rad_s(m)
    current = torque_nm / of.peak_torque_nm
    switches = motor_laws.inverter(of)
    inverter_w = switches.constant_w + switches.current_w * current + switches.current_squared_w * current ** 2
    whole, inverter = inverter_spread(of)
    return 100 * math.hypot(standard(spread, 2), inverter_w * standard(inverter) / whole[0]) / power_w


def standard_points():
    """Greatest standard uncertainty of a load efficiency of each kind, in points."""
    return {
        "gearbox": max(standard(gear_spread(gear_parts.gearbox, of), k) for of in design.GEARBOXES.values()
                       for k in range(len(of.ratios))) * 100,
        "axle": max(standard(gear_spread(gear_parts.final_drive, of)) for of in design.FINAL_DRIVES.values()) * 100,
        "motor": max(motor_points(of) for of in design.MOTORS.values()),
    }


def tolerance_lines():
    """Those beside a third to a half of the makers' tolerance."""
    lines = ["", "Standard uncertainty of the load efficiency by all half widths of a part together, and a third to a half of what makers may",
             "let their products stray from what was certified (a tolerance on one side, so no more than a ceiling for it), in points:"]
    for kind, points in standard_points().items():
        of = TOLERANCES[kind]
        where = "below" if points < of.points / 3 else "above" if points > of.points / 2 else "within"
        lines.append(f"{of.what:28}{points:6.2f}  {where} {of.points / 3:.2f} to {of.points / 2:.2f} ({of.annex})")
    return lines
