"""Text of the part files that tools/parts writes, and the table of what came out."""

import textwrap

import gear_parts
import motor_laws
import part_design as design
import part_uncertainty
from gear_laws import RPM
from part_ranges import RANGES, place, sentence

WRITTEN_BY = "losses by tools/parts"
MARK = f"Invented design; {WRITTEN_BY}"
WIDTH = 120
GEAR_SOURCES = ("Meshes by ISO/TR 14179-2 in the form of Gear-Calculation and GEARpie; bearings by Palmgren, seals and churning "
                "(Changenet and Velex) from memory; coefficients in tools/lib/gear_laws.py.")
HYPOID_SOURCES = ("Sliding along the teeth by the classical formula, bearings by Palmgren, seals and churning (Changenet and Velex), all "
                  "from memory; rolling by ISO/TR 14179-2 as of gearboxes; coefficients in tools/lib/gear_laws.py.")
MOTOR_SOURCES = ("Iron by hysteresis and eddies as measured on the motor of a hybrid car of 2004 (Pyleecan's validation), copper by "
                 "current density, the rest from memory; coefficients in tools/lib/motor_laws.py.")
HEAT_SOURCE = "tools/parts: copper, iron and cooled surfaces; coefficients from memory"


def number(found, digits=3):
    """With so many digits at least, all of those before the point."""
    if found == 0:
        return "0"
    text = f"{found:.{digits}g}"
    return f"{found:.0f}" if "e" in text and abs(found) >= 1 else f"{float(text):.10g}" if "e" not in text else f"{found:.6f}"


def comment(*paragraphs):
    lines = []
    for text in paragraphs:
        lines += textwrap.wrap(text, WIDTH - 2, break_long_words=False, break_on_hyphens=False)
    return "".join(f"# {line}\n" for line in lines)


def source(text):
    """The key that says where the figures of a file come from."""
    return f'source: "{text}"\n'


def sequence(values, digits=3):
    return "[" + ", ".join(number(item, digits) for item in values) + "]"


def efficiency(found):
    return f"{found:.4f}".rstrip("0")


def duty(found):
    return (f"Efficiencies at the duty point of {number(found.duty_nm)} Nm and {number(found.duty_rpm, 4)} rpm at its input: "
            f"{design.DUTY_POWER_SHARE * 100:.0f} % of the motors' peak power at {design.DUTY_KM_H:.0f} km/h in top gear.")


def drag_told(found, where):
    if not found.drag_duty_nm:
        return ""
    parts = ", ".join(f"{cause} {number(torque, 2)}" for cause, torque in found.causes.items() if torque > 0)
    return f"Drag there {number(found.drag_duty_nm)} Nm {where} ({parts})."


# The key `source` of what is made here, in short; the header of a file says more.
GEARS_BY = source("invented design; losses by tools/parts: meshes by ISO/TR 14179-2, bearings by Palmgren, the rest from memory")
HYPOID_BY = source("invented design; losses by tools/parts: sliding by the classical formula, bearings by Palmgren, from memory")
DIFFERENTIAL_BY = source("invented design; load loss by tools/parts: common practice, no source")
HUBS_BY = source("invented design; drag by tools/parts: bearings by Palmgren, radial seals, from memory")
MOTOR_BY = source("invented design; losses by tools/parts: iron as measured on a car's motor of 2004, the rest from memory")


# -------------------------------------------------------------------------------------------------------------- gears


def gear_keys(of):
    """Of the table of ranges: which one an efficiency, and a drag, is held beside."""
    if isinstance(of, design.Gearbox):
        return "two meshes", "gearbox drag" if of.layout == "countershaft" else "axle gearbox drag"
    if isinstance(of, design.FinalDrive):
        return "hypoid", "hypoid drag"
    if isinstance(of, design.Mesh):
        return "mesh", "mesh drag"
    if isinstance(of, design.PlanetSet):
        return "planets", "planet drag"
    if isinstance(of, design.Hubs):
        return None, "hub drag"
    return "differential", None


# What finds a kind of part, the key of its efficiencies, and the list of its drag.
KINDS = {
    design.Gearbox: (gear_parts.gearbox, "efficiencies", "drag.torque_nm"),
    design.Mesh: (gear_parts.mesh, "efficiency", "drag.torque_nm"),
    design.PlanetSet: (gear_parts.planet_set, "basic_efficiency", "drag.torque_nm"),
    design.FinalDrive: (gear_parts.final_drive, "efficiency", "drag.torque_nm"),
    design.Differential: (gear_parts.differential, "efficiency", None),
    design.Hubs: (gear_parts.hubs, None, "torque_nm"),
}


def gear_uncertainty(of):
    finds, key, drag_key = KINDS[type(of)]
    return part_uncertainty.gear_text(finds, of, key, drag_key)


def gear_rows(of, found):
    """(quantity, key of its range, value, its standard uncertainty): all that the table tells."""
    load_key, drag_key = gear_keys(of)
    spread = part_uncertainty.gear_spread(KINDS[type(of)][0], of)
    ratios = of.ratios if isinstance(of, design.Gearbox) else [None] * len(found.efficiencies)
    rows = []
    for k, (ratio, of_it) in enumerate(zip(ratios, found.efficiencies)):
        if load_key:
            name = "efficiency" if ratio is None else f"efficiency, ratio {ratio:g}"
            rows.append((name, "direct" if ratio == 1 and of.layout == "countershaft" else load_key, of_it,
                         part_uncertainty.standard(spread, k)))
    if drag_key:
        rows.append((f"drag at {design.DUTY_KM_H:.0f} km/h", drag_key, found.drag_duty_nm, part_uncertainty.standard(spread, -1)))
    return rows


def ranges_told(rows):
    """A sentence for each range, of the first value that is held beside it."""
    told = {}
    for name, key, found, _ in rows:
        told.setdefault(key, f"{name[:1].upper() + name[1:]}: {sentence(key, found)}.")
    return " ".join(told.values())


def gearbox_text(of):
    found = gear_parts.gearbox(of)
    return comment(f"{of.about}, for {of.peak_input_nm:g} Nm and {of.peak_power_kw:g} kW peak. {MARK}.", duty(found),
                   drag_told(found, "at the input") + f" Oil {of.oil} at {of.oil_degc:g} degC. {GEAR_SOURCES}",
                   ranges_told(gear_rows(of, found))) + (
        GEARS_BY +
        f"ratios: {sequence(of.ratios, 4)}\n"
        f"efficiencies: [{', '.join(efficiency(one) for one in found.efficiencies)}]\n"
        f"drag: {{at: motor_side, speed_rpm: [0, {of.top_input_rpm:g}], torque_nm: {sequence((found.drag_rest_nm, found.drag_top_nm))}}}\n"
        f"input_inertia_kg_m2: {number(found.inertia_kg_m2)}\n"
        f"mass_kg: {found.mass_kg:.0f}\n"
        f"shift: {{time_s: {of.shift_time_s:g}}}\n" + gear_uncertainty(of))


def mesh_text(of):
    found = gear_parts.mesh(of)
    return comment(f"{of.about}. {MARK}.", duty(found), drag_told(found, "at its second shaft")
                   + f" Oil {of.oil} at {of.oil_degc:g} degC. {GEAR_SOURCES}", ranges_told(gear_rows(of, found))) + (
        GEARS_BY +
        f"ratio: {of.ratio:g}\n"
        f"efficiency: {efficiency(found.efficiencies[0])}\n"
        f"drag: {{at: wheel_side, speed_rpm: [0, {number(of.top_input_rpm / of.ratio, 3)}], "
        f"torque_nm: {sequence((found.drag_rest_nm, found.drag_top_nm))}}}\n"
        f"inertia_kg_m2: {number(found.inertia_kg_m2)}\n"
        f"mass_kg: {found.mass_kg:.0f}\n" + gear_uncertainty(of))


def planet_set_text(of):
    found = gear_parts.planet_set(of)
    return comment(f"{of.about}, ratio {gear_parts.planet_ratio(of):g}, {of.planets} planets. {MARK}.", duty(found),
                   drag_told(found, "at the wheels, without hubs")
                   + f" Oil {of.oil} at {of.oil_degc:g} degC. {GEAR_SOURCES}", ranges_told(gear_rows(of, found))) + (
        GEARS_BY +
        f"sun_teeth: {of.sun_teeth}\nring_teeth: {of.ring_teeth}\n"
        f"basic_efficiency: {efficiency(found.efficiencies[0])}\n"
        f"drag: {{at: wheel_side, speed_rpm: [0, {number(1.3 * gear_parts.WHEEL_RAD_S / RPM)}], "
        f"torque_nm: {sequence((found.drag_rest_nm, found.drag_top_nm))}}}\n"
        f"inertia_kg_m2: {number(found.inertia_kg_m2)}\n"
        f"mass_kg: {found.mass_kg:.0f}\n" + gear_uncertainty(of))


def final_drive_text(of):
    found = gear_parts.final_drive(of)
    return comment(f"{of.about}, ratio {of.ratio:g}. {MARK}.", duty(found), drag_told(found, "at the wheels, without hubs")
                   + f" Oil {of.oil} at {of.oil_degc:g} degC. {HYPOID_SOURCES}", ranges_told(gear_rows(of, found))) + (
        HYPOID_BY +
        f"ratio: {of.ratio:g}\n"
        f"efficiency: {efficiency(found.efficiencies[0])}\n"
        f"drag: {{at: wheel_side, speed_rpm: [0, {number(1.3 * gear_parts.WHEEL_RAD_S / RPM)}], "
        f"torque_nm: {sequence((found.drag_rest_nm, found.drag_top_nm))}}}\n"
        f"inertia_kg_m2: {number(found.inertia_kg_m2)}\n"
        f"mass_kg: {found.mass_kg:.0f}\n" + gear_uncertainty(of))


def differential_text(of):
    found = gear_parts.differential(of)
    return comment(f"{of.about}. {MARK}.", ranges_told(gear_rows(of, found))) + (
        DIFFERENTIAL_BY +
        f"efficiency: {efficiency(found.efficiencies[0])}\n"
        f"inertia_kg_m2: {number(found.inertia_kg_m2)}\n"
        f"mass_kg: {found.mass_kg:.0f}\n" + gear_uncertainty(of))


def hubs_text(of):
    found = gear_parts.hubs(of)
    return comment(f"{of.about}, {of.axle_load_kg / 1000:g} t an axle. {MARK}.",
                   f"{drag_told(found, 'at 80 km/h')} Tapered roller bearings by Palmgren and radial seals, from memory; coefficients in "
                   "tools/lib/gear_laws.py.", "" if of.axles > 1 else ranges_told(gear_rows(of, found))) + (
        HUBS_BY +
        f"speed_rpm: [0, {number(1.3 * gear_parts.WHEEL_RAD_S / RPM)}]\n"
        f"torque_nm: {sequence((found.drag_rest_nm, found.drag_top_nm))}\n" + gear_uncertainty(of))


# -------------------------------------------------------------------------------------------------------------- motors


def best_efficiency(of, m):
    def at(torque_nm, speed):
        power_w = torque_nm * speed
        return power_w / (power_w + motor_laws.loss_w(of, m, torque_nm, speed)) if power_w <= of.peak_power_kw * 1e3 else 0.0
    return max(at(of.peak_torque_nm * torque / 40, m.top_rad_s * speed / 40)
               for torque in range(1, 41) for speed in range(1, 41))


def continuous_kw(of, m):
    torque_nm, speed = motor_laws.rating(of, m)
    return torque_nm * speed * 1e-3


def motor_rows(of):
    m = motor_laws.machine(of)
    c = motor_laws.coefficients(of, m)
    percent = 100 / (of.peak_power_kw * 1e3)
    at, spread = part_uncertainty.motor_spread(of)
    without_torque, copper = (part_uncertainty.standard(spread, k) / at[k] for k in (0, 1))
    inverter_w, inverter_spread = part_uncertainty.inverter_spread(of)
    speed, squared = c.speed_w_per_rad_s * m.base_rad_s * percent, c.speed_squared * m.base_rad_s ** 2 * percent
    copper_percent = c.torque_squared * of.peak_torque_nm ** 2 * percent
    return [("best efficiency", "best efficiency", best_efficiency(of, m), None),
            ("copper", "copper", copper_percent, copper * copper_percent),
            ("speed part", "hysteresis", speed, without_torque * speed),
            ("squared part", "eddies", squared, without_torque * squared),
            ("torque density", "torque density", of.peak_torque_nm / m.mass_kg, None),
            ("continuous torque at base speed", "continuous torque",
             motor_laws.continuous_nm(of, m, m.base_rad_s) / of.peak_torque_nm, None),
            ("inverter", "inverter", inverter_w[0] * percent, part_uncertainty.standard(inverter_spread) * percent)]


def node_text(name, node, more=()):
    spread = motor_laws.value("time_constant_spread")
    low, high = node.time_constant_s / spread, node.time_constant_s * spread
    coolant = f"  coolant_degc: {motor_laws.COOLANT_DEGC}\n" if name == "winding" else ""
    return (f"{name}:\n{coolant}  resistance_k_per_kw: {number(node.resistance_k_per_kw)}\n"
            f"  time_constant_s: {node.time_constant_s:.0f}\n  time_constant_low_s: {low:.0f}\n  time_constant_high_s: {high:.0f}\n"
            f"  source: \"{HEAT_SOURCE}\"\n" + "".join(f"  {line}\n" for line in more))


def map_steps(top, step):
    return [step * k for k in range(int(top / step) + 1)]


# Maps go on beyond peak power, so that all points within it have neighbours on every side.
MAP_REACH = 1.15


def loss_map(of, m):
    """Every tenth of the peak torque; generating as motoring; to 10 W."""
    rows = [f"# Losses of a {of.peak_torque_nm:g} Nm, {of.peak_power_kw:g} kW permanent-magnet motor, without its inverter, at "
            f"{motor_laws.VOLTAGE_V} V and a winding of {motor_laws.WINDING_DEGC} degC.",
            f"# {MARK}. Rounded to 10 W; generating as motoring. Empty: far beyond peak power.",
            "speed_rpm,torque_nm,loss_w"]
    for rpm in map_steps(of.top_speed_rpm, 750):
        for tenth in range(11):
            torque = of.peak_torque_nm * tenth / 10
            reached = torque * rpm * RPM <= MAP_REACH * of.peak_power_kw * 1e3
            loss = motor_laws.loss_w(of, m, torque, rpm * RPM)
            rows.append(f"{rpm:g},{torque:g}," + (f"{10 * round(loss / 10)}" if reached else ""))
    return "\n".join(rows) + "\n"


def efficiency_map(of, m):
    """Motoring and generating, to 0.1 %."""
    rows = [f"# Efficiency of a {of.peak_torque_nm:g} Nm, {of.peak_power_kw:g} kW permanent-magnet motor, without its inverter, at "
            f"{motor_laws.VOLTAGE_V} V and a winding of {motor_laws.WINDING_DEGC} degC.",
            f"# {MARK}. Rounded to 0.1 %; torque below 0 generating. Empty: no power, or far beyond peak power.",
            "speed_rpm,torque_nm,efficiency_percent"]
    shares = [1 / 56, 1 / 28, 1 / 14, 3 / 28] + [k / 14 for k in range(2, 15)]
    for rpm in [0, 250] + map_steps(of.top_speed_rpm, 500)[1:]:
        for share in [-one for one in reversed(shares)] + [0] + shares:
            torque = of.peak_torque_nm * share
            power_w, loss = abs(torque) * rpm * RPM, motor_laws.loss_w(of, m, torque, rpm * RPM)
            part = 0.0 if power_w == 0 else power_w / (power_w + loss) if torque > 0 else (power_w - loss) / power_w
            if power_w > MAP_REACH * of.peak_power_kw * 1e3 or part <= 0:
                rows.append(f"{rpm:g},{torque:g},")
            else:
                rows.append(f"{rpm:g},{torque:g},{100 * part:.1f}")
    return "\n".join(rows) + "\n"


MAPS = {"loss map": loss_map, "efficiency map": efficiency_map}


def motor_losses_text(name, of, m):
    if of.form in MAPS:
        return f"map: {{table: {name}-map.csv, winding_degc: {motor_laws.WINDING_DEGC}}}\n"
    c = motor_laws.coefficients(of, m)
    return (f"loss:\n  constant_w: {number(c.constant_w)}\n  speed_w_per_rad_s: {number(c.speed_w_per_rad_s)}\n"
            f"  speed_squared_w_per_rad2_s2: {number(c.speed_squared)}\n"
            f"  torque_squared_w_per_nm2: {number(c.torque_squared)}\n  winding_degc: {motor_laws.WINDING_DEGC}\n"
            f"field_weakening: {{characteristic_current_share: {of.characteristic_current_share:g}}}\n")


def motor_text(name, of):
    m = motor_laws.machine(of)
    winding, housing = motor_laws.nodes(of, m)
    inverter = motor_laws.inverter(of)
    derate = motor_laws.INVERTERS[of.inverter]["derate_degc"]
    cooling = {"jacket": "water jacket", "spray": "water jacket, oil on the winding heads"}[of.cooling]
    head = comment(
        f"{of.about}, {of.peak_torque_nm:g} Nm and {of.peak_power_kw:g} kW peak. {MARK}.",
        f"Base speed {m.base_rad_s / RPM:.0f} rpm, {of.pole_pairs} pole pairs, sheet of {of.sheet_mm:g} mm, magnets in "
        f"{of.magnet_segments} parts, {of.peak_current_density_a_mm2:g} A/mm2 at peak torque, {cooling}; bore {m.bore_m * 1e3:.0f} mm. "
        f"Inverter of {of.inverter}. Greatest continuous power about {continuous_kw(of, m):.0f} kW at a coolant of "
        f"{motor_laws.COOLANT_DEGC} degC.", MOTOR_SOURCES, ranges_told(motor_rows(of)))
    return head + MOTOR_BY + (
        f"peak_torque_nm: {of.peak_torque_nm:g}\npeak_power_kw: {of.peak_power_kw:g}\ntop_speed_rpm: {of.top_speed_rpm:g}\n"
        f"reference_voltage_v: {motor_laws.VOLTAGE_V}\nrotor_inertia_kg_m2: {number(m.inertia_kg_m2)}\nmass_kg: {m.mass_kg:.0f}\n"
        + motor_losses_text(name, of, m) +
        f"inverter: {{constant_w: {inverter.constant_w:.0f}, current_w: {inverter.current_w:.0f}, "
        f"current_squared_w: {inverter.current_squared_w:.0f}, "
        f"mass_kg: {motor_laws.INVERTER['mass_kg_per_kw'].value * of.peak_power_kw:.0f},\n"
        f"           heat: {{resistance_k_per_kw: {number(motor_laws.junction_k_per_kw(of))}, "
        f"time_constant_s: {motor_laws.INVERTER['time_constant_s'].value:g}, derate_from_degc: {derate[0]}, derate_to_degc: {derate[1]}}}}}\n"
        + node_text("winding", winding, [f"derate_from_degc: {motor_laws.DERATE_DEGC[0]}",
                                         f"derate_to_degc: {motor_laws.DERATE_DEGC[1]}"])
        + node_text("housing", housing) + part_uncertainty.motor_text(name, of))


# ---------------------------------------------------------------------------------------------------------------- all

TEXTS = [(design.GEARBOXES, gearbox_text), (design.MESHES, mesh_text), (design.PLANET_SETS, planet_set_text),
         (design.FINAL_DRIVES, final_drive_text),
         (design.DIFFERENTIALS, differential_text), (design.HUBS, hubs_text)]
FOUND = [(design.GEARBOXES, gear_parts.gearbox), (design.MESHES, gear_parts.mesh),
         (design.PLANET_SETS, gear_parts.planet_set), (design.FINAL_DRIVES, gear_parts.final_drive),
         (design.DIFFERENTIALS, gear_parts.differential), (design.HUBS, gear_parts.hubs)]


def all_files():
    """{file name: text}, in the order of the design table."""
    out = {}
    for name, of in design.MOTORS.items():
        out[f"{name}.yaml"] = motor_text(name, of)
        if of.form in MAPS:
            out[f"{name}-map.csv"] = MAPS[of.form](of, motor_laws.machine(of))
    for table, text in TEXTS:
        out |= {f"{name}.yaml": text(of) for name, of in table.items()}
    return out


def table_lines():
    """All that is found, its standard uncertainty u, and published ranges."""
    rows = [("part", "quantity", "found", "u", "published", "")]
    for name, of in design.MOTORS.items():
        rows += [(name, *row) for row in told_rows(motor_rows(of))]
    for table, finds in FOUND:
        for name, of in table.items():
            rows += [(name, *row) for row in told_rows(gear_rows(of, finds(of)))]
    widths = [max(len(row[k]) for row in rows) for k in range(5)]
    lines = ["  ".join(row[k].ljust(widths[k]) for k in range(5)) + "  " + row[5] for row in rows]
    return [line.rstrip() for line in lines]


def told_rows(rows):
    for name, key, found, standard in rows:
        of, where = RANGES[key], place(key, found)
        unit = "" if of.unit == "1" else " " + of.unit
        yield (name, f"{found:.4g}", "" if standard is None else f"{standard:.2g}", f"{of.low:g} to {of.high:g}{unit}", "" if where == "within" else f"{where}: {of.why}")
