"""The same parts with the losses of public law: the default values of Regulation (EU) 2017/2400 and its amendment (EU) 2022/1379.

They stand in for parts that nobody measured, so they are on the high side. They know no temperature: motors are written without
winding, housing and inverter heat. Beside what is usual for their keys nothing is said of how far they may be off: a value of
the law is a bound, and what is measured instead of it lies on one side. Sizes, ratios, masses and inertias are no losses; they are those of part_design.py.
"""

import math
import os
import re

import gear_parts
import motor_laws
import part_design as design
from gear_laws import RPM
from part_files import WRITTEN_BY, comment, number, sequence, source as source_key

ENDING = "-defaults"
MARK = f"Invented design; default {WRITTEN_BY}"
PARTS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "vehicles", "parts")

# ------------------------------------------------------------------------------------------------------------ the law

# Annex Xb, Appendix 8: loss over peak torque x rated speed of a permanent-magnet machine with its inverter, the sum of
# k |t|^m w^n, t the torque over its peak, w the speed over the highest with peak torque. {(m, n): k}
MACHINE = {(2, 0): 0.018, (2, 1): 0.001, (2, 2): 0.03, (1, 0): 0.0067, (0, 1): 0.005, (0, 2): 0.0025, (0, 3): 0.003}
# Annex VII, Appendix 3: efficiency, and the torque loss T0 + T1 i at the wheels without load.
AXLE = (0.98, 70.0, 20.0)
THROUGH_AXLE = (0.96, 80.0, 20.0)
# Annex VI, Appendix 8: share of the input torque, and share of the greatest input torque at rest and again at 1000 rpm.
DIRECT_SHARE, INDIRECT_SHARE = 0.01, 0.04
GEARBOX_DRAG_SHARE = 0.005  # from memory
# Annex VI, 3.1.1.2 and 3.1.1.3: a mesh of external gears, of internal ones, and the bearings of a gearbox; of planet sets the
# power that rolls counts (3.1.1.10 to 12).
MESH, INTERNAL_MESH, BEARINGS = 0.986, 0.993, 0.995
# Annex Xb, Appendix 9: of integrated electric axles, without friction clutches; the differential's T0 + T1 i at the wheels,
# behind spur gears or a planet set.
EAXLE_DRAG_SHARE = 0.0025
EAXLE_DIFFERENTIAL = (25.0, 5.0)
# Annex Xb, Appendix 10: of cells of the energy type, resistance times capacity, and open-circuit voltage over the nominal.
CELL_OHM_AH = 0.140
OPEN_CIRCUIT = ((0, 0.88), (0.1, 0.94), (0.5, 1.0), (0.9, 1.06), (1, 1.12))
NOMINAL_V, CELL_V = 680, 3.7  # of our packs; of a cell: from memory


def machine_share(torque_share, speed_share):
    """Loss of motor and inverter over peak torque times rated speed."""
    return sum(k * abs(torque_share) ** m * speed_share ** n for (m, n), k in MACHINE.items())


def axle_drag_nm(axle, ratio):
    """At the wheels."""
    return axle[1] + axle[2] * ratio


def differential_drag_nm(ratio):
    """Of an integrated electric axle, at the wheels."""
    return EAXLE_DIFFERENTIAL[0] + EAXLE_DIFFERENTIAL[1] * ratio


def pack_ohm(capacity_ah):
    return round(NOMINAL_V / CELL_V) * CELL_OHM_AH / capacity_ah


# ---------------------------------------------------------------------------------------------------------------- files

# Drags stand on the side of a stage where they make the law's sum: it loses a share of the torque that enters, or of the
# wheel torque over the efficiency, and the drag beside it.
AXLE_SOURCE = ("Regulation (EU) 2017/2400, Annex VII, Appendix 3, {}: efficiency {:g} and {:g} + {:g} x ratio Nm at the wheels "
               "without load, over all speeds; how both add up is from memory. Pushed, the law takes the loss of the same torque "
               "pulling, 0.04 % of it more than here.")
EAXLE_SOURCE = ("Regulation (EU) 2022/1379, Annex Xb, Appendix 9, integrated electric axle: {}; meshes {:g} and bearings {:g} by "
                "Regulation (EU) 2017/2400, Annex VI, 3.1.1.")
NOT_KNOWN = " How far it may be off is what is usual for its keys; the law's values are bounds, no estimates."
OURS = "Ratio, mass and inertia are those of {}.yaml." + NOT_KNOWN
BY = "losses: {}; all else as {}.yaml"
TRANSMISSIONS, EAXLES = "Regulation (EU) 2017/2400, Annex VI, Appendix 8", "Regulation (EU) 2022/1379, Annex Xb, Appendix 9"
AXLES, STAGES = "Regulation (EU) 2017/2400, Annex VII, Appendix 3", "Regulation (EU) 2017/2400, Annex VI, 3.1.1"
MOTORS, PACKS = "Regulation (EU) 2022/1379, Annex Xb, Appendix 8", "Regulation (EU) 2022/1379, Annex Xb, Appendix 10"
LOSES_NOTHING = 'uncertain: {nothing: {of: [efficiency], half_width: 0, source: "its losses are in those of the axle"}}\n'


def drag_line(rest_nm, top_nm, top_rpm):
    if rest_nm == top_nm:
        return f"drag: {{at: motor_side, speed_rpm: [0], torque_nm: [{number(rest_nm, 5)}]}}\n"
    return f"drag: {{at: motor_side, speed_rpm: [0, {top_rpm:g}], torque_nm: {sequence((rest_nm, top_nm), 5)}}}\n"


def gearbox_text(name, of):
    found = gear_parts.gearbox(of)
    if of.layout == "countershaft":
        shares = [DIRECT_SHARE if ratio == 1 else INDIRECT_SHARE for ratio in of.ratios]
        drag_share = GEARBOX_DRAG_SHARE
        source = (f"Regulation (EU) 2017/2400, Annex VI, Appendix 8: of the input torque {DIRECT_SHARE:g} in a direct gear, "
                  f"{INDIRECT_SHARE:g} in others; without load {drag_share:g} (from memory) of the greatest input torque, and as "
                  "much again at 1000 rpm.")
    else:
        shares = [1 - MESH ** 2 * BEARINGS] * len(of.ratios)
        drag_share = EAXLE_DRAG_SHARE
        source = EAXLE_SOURCE.format(f"without load {drag_share:g} of the greatest input torque, and as much again at 1000 rpm",
                                     MESH, BEARINGS)
    rest = drag_share * of.peak_input_nm / (1 - shares[-1])
    return comment(f"{of.about}, for {of.peak_input_nm:g} Nm. {MARK}.", source + " The drag is right in the top gear.",
                   OURS.format(name).replace("Ratio, mass", "Ratios, mass")) + (
        source_key(BY.format(TRANSMISSIONS if of.layout == "countershaft" else EAXLES, name)) +
        f"ratios: {sequence(of.ratios, 4)}\nefficiencies: [{', '.join(number(1 - share, 5) for share in shares)}]\n"
        + drag_line(rest, rest * (1 + of.top_input_rpm / 1000), of.top_input_rpm) +
        f"input_inertia_kg_m2: {number(found.inertia_kg_m2)}\nmass_kg: {found.mass_kg:.0f}\n"
        f"shift: {{time_s: {of.shift_time_s:g}}}\n")


def stage_text(about, source, clause, name, ratio, efficiency, drag_nm, found):
    return comment(f"{about}. {MARK}.", source, OURS.format(name)) + (
        source_key(BY.format(clause, name)) +
        f"ratio: {ratio:g}\nefficiency: {number(efficiency, 5)}\n" + (drag_line(drag_nm, drag_nm, 0) if drag_nm else "") +
        f"inertia_kg_m2: {number(found.inertia_kg_m2)}\nmass_kg: {found.mass_kg:.0f}\n")


def mesh_text(name, of):
    found = gear_parts.mesh(of)
    return stage_text(of.about, "Its losses are in those of the through-drive axle.", AXLES, name, of.ratio, 1, 0, found) + LOSES_NOTHING


def planet_set_text(name, of):
    """Its drag stands before its mesh losses, as that of a mesh."""
    found, ratio = gear_parts.planet_set(of), gear_parts.planet_ratio(of)
    t0, t1 = EAXLE_DIFFERENTIAL
    source = (f"Regulation (EU) 2022/1379, Annex Xb, Appendix 9, integrated electric axle: the differential with its planet set, {t0:g} + "
              f"{t1:g} x ratio Nm at the wheels without load; meshes {MESH:g} and {INTERNAL_MESH:g} by Regulation (EU) 2017/2400, "
              "Annex VI, 3.1.1, of the power that rolls.")
    drag_nm = differential_drag_nm(ratio) / ratio
    return comment(f"{of.about}. {MARK}.", source, OURS.format(name).replace("Ratio, mass", "Teeth, mass")) + (
        source_key(BY.format(EAXLES, name)) +
        f"sun_teeth: {of.sun_teeth}\nring_teeth: {of.ring_teeth}\nbasic_efficiency: {number(MESH * INTERNAL_MESH, 5)}\n"
        + drag_line(drag_nm, drag_nm, 0) +
        f"inertia_kg_m2: {number(found.inertia_kg_m2)}\nmass_kg: {found.mass_kg:.0f}\n")


def final_drive_text(name, of, axle, kind):
    return stage_text(of.about + f", {kind}", AXLE_SOURCE.format(kind, *axle), AXLES, name, of.ratio, axle[0],
                      axle_drag_nm(axle, of.ratio) / of.ratio, gear_parts.final_drive(of))


def differential_text(name, of):
    found = gear_parts.differential(of)
    return comment(f"{of.about}. {MARK}.",
                   f"Bearings of it and of the planet set {BEARINGS:g} by Regulation (EU) 2017/2400, Annex VI, 3.1.1; its drag is in "
                   "that of the planet set.", OURS.format(name).replace("Ratio, mass", "Mass")) + (
        source_key(BY.format(STAGES, name)) +
        f"efficiency: {BEARINGS:g}\ninertia_kg_m2: {number(found.inertia_kg_m2)}\nmass_kg: {found.mass_kg:.0f}\n")


def motor_text(name, of):
    m = motor_laws.machine(of)
    return comment(f"{of.about}, {of.peak_torque_nm:g} Nm and {of.peak_power_kw:g} kW peak, with its inverter. {MARK}.",
                   "Losses of motor and inverter by the standard map of Regulation (EU) 2022/1379, Annex Xb, Appendix 8, "
                   "permanent magnets: the same at every temperature, so that none is modelled and nothing is continuous. It has "
                   "a term of torque and speed both squared, which the law of losses that maps are held against has not: points "
                   f"up to {OFF_LAW_SHARE:.0%} off that one are no slips.",
                   f"Torque, power, speed, mass and inertia are those of {name}.yaml." + NOT_KNOWN) + (
        source_key(BY.format(MOTORS, name)) +
        f"peak_torque_nm: {of.peak_torque_nm:g}\npeak_power_kw: {of.peak_power_kw:g}\ntop_speed_rpm: {of.top_speed_rpm:g}\n"
        f"reference_voltage_v: {motor_laws.VOLTAGE_V}\nrotor_inertia_kg_m2: {number(m.inertia_kg_m2)}\nmass_kg: {m.mass_kg:.0f}\n"
        f"map: {{table: {name}{ENDING}-map.csv, includes_inverter: true, off_law_share: {OFF_LAW_SHARE}}}\n"
        f"inverter: {{mass_kg: {motor_laws.INVERTER['mass_kg_per_kw'].value * of.peak_power_kw:.0f}}}\n")


OFF_LAW_SHARE = 0.4  # the standard map's points lie up to 0.37 of their loss off the program's law of losses
TORQUE_STEPS, SPEED_STEPS = 20, 10  # of peak torque, of base speed
BEYOND_PEAK = 1.15  # of peak power, up to which the map has losses: cells around it are whole


def motor_map(of):
    base_rpm = of.peak_power_kw * 1e3 / of.peak_torque_nm / RPM
    rows = [f"# Losses of a {of.peak_torque_nm:g} Nm, {of.peak_power_kw:g} kW permanent-magnet motor with its inverter. {MARK}.",
            "# Regulation (EU) 2022/1379, Annex Xb, Appendix 8. To 0.1 W; generating as motoring; every 5 % of peak torque, 10 % of",
            "# base speed. Empty: beyond what the motor reaches.", "speed_rpm,torque_nm,loss_w"]
    for speed in range(math.ceil(SPEED_STEPS * of.top_speed_rpm / base_rpm) + 1):
        for torque in range(TORQUE_STEPS + 1):
            w, t = speed / SPEED_STEPS, torque / TORQUE_STEPS
            loss = f"{of.peak_power_kw * 1e3 * machine_share(t, w):.1f}" if t * w <= BEYOND_PEAK else ""
            rows.append(f"{base_rpm * w:.4f},{of.peak_torque_nm * t:g},{loss}")
    return "\n".join(rows) + "\n"


def pack_text(name, text):
    """Ours with the cells of the law."""
    capacity_ah = float(re.search(r"^capacity_ah: (\S+)$", text, re.M).group(1))
    title, body = text.split("\n", 1)
    body = re.sub(r"use: (?=[a-z])", "use: ../", body)  # these files stand one folder below the parts
    body = re.sub(r"^resistance_ohm: .*$", f"resistance_ohm: {number(pack_ohm(capacity_ah), 4)}", body, flags=re.M)
    body = re.sub(r"^open_circuit:\n  soc: .*\n  voltage_v: .*$",
                  f"open_circuit:\n  soc: {sequence([soc for soc, _ in OPEN_CIRCUIT])}\n  voltage_v: "
                  f"{sequence([NOMINAL_V * share for _, share in OPEN_CIRCUIT], 5)}", body, flags=re.M)
    body = re.sub(r"^source: .*$", source_key("resistance and open-circuit voltage: " + PACKS + f"; all else as {name}.yaml").rstrip("\n"),
                  body, flags=re.M)
    about = title.removeprefix("# ").removesuffix(" Invented.").removesuffix(".")
    return comment(f"{about}. {MARK}.",
                   "Resistance and open-circuit voltage by the defaults of Regulation (EU) 2022/1379, Annex Xb, Appendix 10, energy "
                   f"type: {CELL_OHM_AH * 1e3:g} mOhm Ah over the capacity, taken as of one cell, {round(NOMINAL_V / CELL_V)} of them "
                   f"in series ({CELL_V:g} V each, from memory). All else is that of {name}.yaml." + NOT_KNOWN) + body


def packs():
    """{name: text} of our packs."""
    out = {}
    for file in sorted(os.listdir(PARTS)):
        if file.startswith("pack-"):
            with open(os.path.join(PARTS, file), encoding="utf-8") as text:
                out[file.removesuffix(".yaml")] = text.read()
    return out


def all_files():
    """{file name: text}."""
    out = {}
    for name, of in design.MOTORS.items():
        out[f"{name}{ENDING}.yaml"] = motor_text(name, of)
        out[f"{name}{ENDING}-map.csv"] = motor_map(of)
    for table, text in ((design.GEARBOXES, gearbox_text), (design.MESHES, mesh_text), (design.PLANET_SETS, planet_set_text),
                        (design.DIFFERENTIALS, differential_text)):
        out |= {f"{name}{ENDING}.yaml": text(name, of) for name, of in table.items()}
    for name, of in design.FINAL_DRIVES.items():
        out[f"{name}{ENDING}.yaml"] = final_drive_text(name, of, AXLE, "single reduction")
        if name.endswith("-tandem"):
            out[f"{name}-through{ENDING}.yaml"] = final_drive_text(name, of, THROUGH_AXLE, "single reduction with through-drive")
    out |= {f"{name}{ENDING}.yaml": pack_text(name, text) for name, text in packs().items()}
    return out
