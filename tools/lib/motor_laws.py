"""Losses, masses and temperatures of permanent-magnet motors and their inverters, by loss separation.

What is chosen (part_design.Motor) gives the rotor's volume by its shear stress; copper, iron and magnets follow from
similarity, losses from them. Lengths in m, speeds in rad/s unless a name says otherwise. The same laws for both layouts.
"""

import math
from collections import namedtuple

from datum import MEMORY, PRACTICE, Datum
from gear_laws import RPM, idle_bearing_nm, value as gear_value

IRON_SOURCE = "motor of a hybrid car of 2004, as Pyleecan's validation of its losses has it"

LAWS = {
    "shear_stress_n_mm2": Datum(0.09, 0.07, 0.12, PRACTICE, "shear stress at the rotor at peak torque"),
    "gap_field_t": Datum(0.9, 0.8, 1.0, PRACTICE, "peak of the fundamental in the air gap"),
    "winding_factor": Datum(0.93, 0.90, 0.96, PRACTICE, "of the fundamental"),
    "saturation_factor": Datum(1.17, 1.0, 1.3, PRACTICE, "current at peak torque over that without saturation"),
    "end_winding_pitches": Datum(1.6, 1.3, 2.0, PRACTICE, "length of a conductor outside of the core over the pole pitch"),
    "slot_fill": Datum(0.5, 0.4, 0.7, PRACTICE, "copper in the slots"),
    "slot_share": Datum(0.5, 0.4, 0.6, PRACTICE, "width of the slots over the bore"),
    "copper_ac_share": Datum(0.15, 0.05, 0.4, MEMORY, "added to the copper loss by eddies at 250 Hz; grows with the square"),
    "yoke_field_t": Datum(1.4, 1.2, 1.6, PRACTICE, "peak field of the yoke"),
    "tooth_field_t": Datum(1.6, 1.4, 1.8, PRACTICE, "peak field of the teeth"),
    "hysteresis_w_per_m3_t2_hz": Datum(143.0, 110.0, 180.0, IRON_SOURCE, "k_h of k_h f B^2"),
    "eddy_w_per_m3_t2_hz2": Datum(0.53, 0.4, 0.65, IRON_SOURCE, "k_e of k_e f^2 B^2, of sheet of 0.35 mm; goes with its square"),
    "built_factor": Datum(2.2, 1.5, 3.0, MEMORY, "iron loss in the machine over that of the sheet: cutting, fit, harmonics of slots and pulses"),
    "magnet_ripple_t": Datum(0.04, 0.015, 0.05, PRACTICE, "amplitude of the slots' field in the magnets"),
    "magnet_ohm_m": Datum(1.5e-6, 1.3e-6, 1.7e-6, MEMORY, "resistivity of sintered magnets"),
    "magnet_share": Datum(0.07, 0.05, 0.10, PRACTICE, "volume of the magnets over the rotor's"),
    "gap_friction": Datum(0.004, 0.002, 0.008, MEMORY, "friction coefficient of the air in the gap"),
    "spray_in_gap_factor": Datum(2.0, 1.0, 5.0, PRACTICE, "drag in the gap with oil sprayed, over that of air"),
    "shaft_stress_n_mm2": Datum(80.0, 50.0, 120.0, PRACTICE, "shear of the motor's shaft at peak torque"),
    "bearing_viscosity_mm2_s": Datum(20.0, 8.0, 60.0, PRACTICE, "of the base oil of the motor's warm bearings"),
    "standing_share": Datum(1e-4, 0.0, 4e-4, PRACTICE, "lost by the engaged motor at rest over peak power"),
    "jacket_kg_m2": Datum(65.0, 45.0, 80.0, PRACTICE, "mass of housing, shields and shaft over the outer surface"),
    "rotor_fill": Datum(0.8, 0.7, 0.9, PRACTICE, "iron and magnets in the cylinder of the rotor"),
    "slot_w_m2k": Datum(180.0, 120.0, 350.0, MEMORY, "from the copper through the slot's insulation"),
    "jacket_w_m2k": Datum(1000.0, 700.0, 2000.0, MEMORY, "from the core through the fit to the water"),
    "spray_factor_winding": Datum(1.5, 1.2, 2.0, PRACTICE, "what oil on the winding heads adds between winding and housing"),
    "spray_factor_housing": Datum(1.3, 1.1, 1.6, PRACTICE, "and between housing and coolant"),
    "winding_extra_heat": Datum(1.3, 1.1, 1.5, PRACTICE, "heat capacity of copper with its insulation over the copper's"),
    "time_constant_spread": Datum(1.6, 1.4, 1.8, MEMORY, "factor either way on time constants"),
}

INVERTERS = {
    # Switches for 400 A peak: energies at rated_v and, of switching and recovery, at 400 A. All from memory.
    "silicon carbide": {"resistance_ohm": 2.5e-3, "switching_j": 14e-3, "idle_j": 0.6e-3, "rated_v": 600, "frequency_hz": 10e3,
                        "junction_k_w": Datum(0.09, 0.05, 0.12, MEMORY, "junction to coolant of a switch"),
                        "derate_degc": (150, 170)},
    "silicon": {"switch_v": 0.9, "switch_ohm": 1.2e-3, "diode_v": 1.0, "diode_ohm": 0.9e-3, "switching_j": 60e-3,
                "recovery_j": 25e-3, "rated_v": 600, "frequency_hz": 8e3,
                "junction_k_w": Datum(0.07, 0.05, 0.12, MEMORY, "junction to coolant of a switch"), "derate_degc": (135, 150)},
}
INVERTER = {
    "modulation": Datum(0.9, 0.8, 1.15, PRACTICE, "modulation at base speed"),
    "power_factor": Datum(0.85, 0.75, 0.95, PRACTICE, "cos phi at peak power"),
    "control_w": Datum(40.0, 20.0, 60.0, MEMORY, "gate drive and control of one inverter of 400 A"),
    "mass_kg_per_kw": Datum(0.05, 0.04, 0.08, PRACTICE, "inverter with its cables over peak power"),
    "time_constant_s": Datum(0.5, 0.1, 1.0, MEMORY, "junction to coolant"),
}

SHEET_REFERENCE_MM = 0.35
COPPER_OHM_M_100 = 2.26e-8
COPPER_KG_M3, IRON_KG_M3, ROTOR_KG_M3 = 8900.0, 7650.0, 7600.0
COPPER_J_KGK, IRON_J_KGK, ALUMINIUM_J_KGK = 390.0, 460.0, 900.0
COPPER_SPEED = 1.25  # of base speed: where a truck cruises
COOLANT_DEGC, DERATE_DEGC, WINDING_DEGC = 65, (150, 175), 100
VOLTAGE_V = 680

Machine = namedtuple("Machine", "base_rad_s top_rad_s bore_m length_m outer_m slot_m yoke_m slots copper_m3 end_m "
                     "teeth_m3 yoke_m3 rotor_m3 magnets_m3 shaft_m copper_kg iron_kg jacket_kg mass_kg inertia_kg_m2")


def value(key):
    return LAWS[key].value


# ---------------------------------------------------------------------------------------------------------------- sizes


def machine(design):
    base_rad_s = design.peak_power_kw * 1e3 / design.peak_torque_nm
    rotor_m3 = design.peak_torque_nm / (2 * value("shear_stress_n_mm2") * 1e6)  # T = 2 s V
    bore_m = (4 * rotor_m3 / (math.pi * design.length_over_bore)) ** (1 / 3)
    length_m, pitch_m = design.length_over_bore * bore_m, math.pi * bore_m / (2 * design.pole_pairs)
    # s = A B k/sqrt 2, A the r.m.s. current along the bore
    current_a_m = (value("shear_stress_n_mm2") * 1e6 * math.sqrt(2) / (value("gap_field_t") * value("winding_factor"))
                   * value("saturation_factor"))
    copper_m = current_a_m / (design.peak_current_density_a_mm2 * 1e6)  # as if spread round the bore
    slot_m = copper_m / (value("slot_fill") * value("slot_share"))
    end_m = value("end_winding_pitches") * pitch_m
    copper_m3 = copper_m * math.pi * bore_m * (length_m + end_m)
    yoke_m = value("gap_field_t") * pitch_m / (math.pi * value("yoke_field_t"))
    teeth_m3 = math.pi * (bore_m + slot_m) * slot_m * (1 - value("slot_share")) * length_m
    yoke_m3 = math.pi * (bore_m + 2 * slot_m + yoke_m) * yoke_m * length_m
    outer_m = bore_m + 2 * (slot_m + yoke_m)
    housing_m = length_m + 2 * 0.5 * end_m
    surface_m2 = math.pi * outer_m * housing_m + 0.5 * math.pi * outer_m ** 2
    copper_kg = copper_m3 * COPPER_KG_M3
    iron_kg = (teeth_m3 + yoke_m3) * IRON_KG_M3
    rotor_kg = rotor_m3 * value("rotor_fill") * ROTOR_KG_M3
    jacket_kg = surface_m2 * value("jacket_kg_m2")
    shaft_m = (16 * design.peak_torque_nm / (math.pi * value("shaft_stress_n_mm2") * 1e6)) ** (1 / 3)
    return Machine(base_rad_s, design.top_speed_rpm * RPM, bore_m, length_m, outer_m, slot_m, yoke_m, 12 * design.pole_pairs,
                   copper_m3, end_m, teeth_m3, yoke_m3, rotor_m3, value("magnet_share") * rotor_m3, shaft_m, copper_kg, iron_kg,
                   jacket_kg, copper_kg + iron_kg + rotor_kg + jacket_kg, 0.5 * rotor_kg * (0.5 * bore_m) ** 2)


# --------------------------------------------------------------------------------------------------------------- losses


def iron_w_m3(frequency_hz, field_t, sheet_mm):
    """k_h f B^2 + k_e (d/d0)^2 f^2 B^2: hysteresis, eddies."""
    eddy = value("eddy_w_per_m3_t2_hz2") * (sheet_mm / SHEET_REFERENCE_MM) ** 2
    return (value("hysteresis_w_per_m3_t2_hz") * frequency_hz + eddy * frequency_hz ** 2) * field_t ** 2


def classical_eddy_w_per_m3_t2_hz2(sheet_m, resistivity_ohm_m):
    """pi^2 d^2/(6 rho): a sheet in a field along it, uniform through its thickness."""
    return math.pi ** 2 * sheet_m ** 2 / (6 * resistivity_ohm_m)


def frequency_hz(design, speed_rad_s):
    return design.pole_pairs * speed_rad_s / (2 * math.pi)


def iron_w(design, m, speed_rad_s):
    f = frequency_hz(design, speed_rad_s)
    teeth = m.teeth_m3 * iron_w_m3(f, value("tooth_field_t"), design.sheet_mm)
    return value("built_factor") * (teeth + m.yoke_m3 * iron_w_m3(f, value("yoke_field_t"), design.sheet_mm))


def magnet_w(design, m, speed_rad_s):
    """Eddies by the slots' field, in parts of a pole's width: as of sheets."""
    width_m = math.pi * m.bore_m / (2 * design.pole_pairs) * 0.8 / design.magnet_segments
    of_it = classical_eddy_w_per_m3_t2_hz2(width_m, value("magnet_ohm_m"))
    return m.magnets_m3 * of_it * (value("magnet_ripple_t") * m.slots * speed_rad_s / (2 * math.pi)) ** 2


def bearings_w(m, speed_rad_s):
    torque = idle_bearing_nm(gear_value("idle_factor_ball"), value("bearing_viscosity_mm2_s"), speed_rad_s, 1.5 * m.shaft_m)
    return 2 * torque * speed_rad_s


def windage_w(design, m, speed_rad_s):
    """Shear 0.5 rho c (w R)^2 round the rotor."""
    radius = 0.5 * m.bore_m
    wet = value("spray_in_gap_factor") if design.cooling == "spray" else 1.0
    return wet * 0.5 * 1.1 * value("gap_friction") * 2 * math.pi * radius ** 4 * m.length_m * speed_rad_s ** 3


def copper_at_peak_w(design, m):
    """rho J^2 V at WINDING_DEGC; eddies in the conductors go with the square of the frequency and are taken as at COPPER_SPEED:
    one factor, as the program's law of losses has it, maps included."""
    eddies = value("copper_ac_share") * (frequency_hz(design, COPPER_SPEED * m.base_rad_s) / 250) ** 2
    return COPPER_OHM_M_100 * (design.peak_current_density_a_mm2 * 1e6) ** 2 * m.copper_m3 * (1 + eddies)


def weakening_share(design, m, torque_nm, speed_rad_s):
    """As `evener keys` says of characteristic_current_share."""
    k, t, x = design.characteristic_current_share, abs(torque_nm) / design.peak_torque_nm, speed_rad_s / m.base_rad_s
    if x <= 1:
        return 0.0
    root = (1 + 1 / k ** 2) / x ** 2 - (t / k) ** 2
    return k if root < 0 else max(0.0, k * (1 - math.sqrt(root)))


def speed_losses_w(design, m, speed_rad_s):
    return (iron_w(design, m, speed_rad_s) + magnet_w(design, m, speed_rad_s) + bearings_w(m, speed_rad_s)
            + windage_w(design, m, speed_rad_s))


def loss_w(design, m, torque_nm, speed_rad_s):
    """Of the motor alone, at WINDING_DEGC."""
    weakening = weakening_share(design, m, torque_nm, speed_rad_s)
    current2 = (torque_nm / design.peak_torque_nm) ** 2 + weakening ** 2
    return (value("standing_share") * design.peak_power_kw * 1e3 + speed_losses_w(design, m, speed_rad_s)
            + copper_at_peak_w(design, m) * current2)


Coefficients = namedtuple("Coefficients", "constant_w speed_w_per_rad_s speed_squared torque_squared")


def coefficients(design, m):
    """c0 + c1 w + c2 w^2 + c3 T^2 with the laws' own parts: hysteresis is c1; eddies and magnets are c2; bearings and windage,
    which are neither, so that they are right at top speed and at half of it."""
    top = m.top_rad_s
    f_per_rad_s = design.pole_pairs / (2 * math.pi)
    b2 = m.teeth_m3 * value("tooth_field_t") ** 2 + m.yoke_m3 * value("yoke_field_t") ** 2
    c1 = value("built_factor") * value("hysteresis_w_per_m3_t2_hz") * f_per_rad_s * b2
    c2 = (iron_w(design, m, top) + magnet_w(design, m, top) - c1 * top) / top ** 2

    def other(speed):
        return bearings_w(m, speed) + windage_w(design, m, speed)

    other2 = (other(top) - 2 * other(0.5 * top)) / (0.5 * top ** 2)
    other1 = (other(top) - other2 * top ** 2) / top
    return Coefficients(value("standing_share") * design.peak_power_kw * 1e3, c1 + other1, c2 + other2,
                        copper_at_peak_w(design, m) / design.peak_torque_nm ** 2)


# ---------------------------------------------------------------------------------------------------------- temperatures

Node = namedtuple("Node", "resistance_k_per_kw time_constant_s")


def nodes(design, m):
    """Winding to housing through the slots, housing to coolant through the jacket."""
    spray = design.cooling == "spray"
    slots_m2 = m.slots * 2 * m.slot_m * m.length_m
    winding_w_k = value("slot_w_m2k") * slots_m2 * (value("spray_factor_winding") if spray else 1)
    housing_w_k = (value("jacket_w_m2k") * math.pi * m.outer_m * m.length_m * (value("spray_factor_housing") if spray else 1)
                   * design.cooling_factor)
    winding_j_k = m.copper_kg * COPPER_J_KGK * value("winding_extra_heat")
    housing_j_k = m.iron_kg * IRON_J_KGK + 0.7 * m.jacket_kg * ALUMINIUM_J_KGK
    return (Node(1e3 / winding_w_k, winding_j_k / winding_w_k), Node(1e3 / housing_w_k, housing_j_k / housing_w_k))


def steady_degc(design, m, torque_nm, speed_rad_s):
    """Winding and housing with copper at the winding's own temperature (235 + degC, IEC 60034-1, from memory)."""
    winding, housing = nodes(design, m)
    all_w = loss_w(design, m, torque_nm, speed_rad_s)
    weakening = weakening_share(design, m, torque_nm, speed_rad_s)
    copper100_w = copper_at_peak_w(design, m) * ((torque_nm / design.peak_torque_nm) ** 2 + weakening ** 2)
    other_w = all_w - copper100_w
    per_k = copper100_w / (235 + WINDING_DEGC)
    both_k_w = (winding.resistance_k_per_kw + housing.resistance_k_per_kw) * 1e-3
    above = COOLANT_DEGC + housing.resistance_k_per_kw * 1e-3 * other_w
    if per_k * both_k_w >= 1:
        return math.inf
    return (above + both_k_w * per_k * 235) / (1 - both_k_w * per_k)


def continuous_nm(design, m, speed_rad_s):
    """Torque at which the winding ends where its derating begins; not beyond what the motor gives there."""
    limit = DERATE_DEGC[0]
    most = min(design.peak_torque_nm, design.peak_power_kw * 1e3 / speed_rad_s)
    if steady_degc(design, m, most, speed_rad_s) <= limit:
        return most
    low, high = 0.0, most
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if steady_degc(design, m, middle, speed_rad_s) <= limit else (low, middle)
    return low


def rating(design, m):
    """Torque and speed of the greatest continuous power, among fortieths of top speed."""
    speeds = [m.top_rad_s * k / 40 for k in range(1, 41)]
    return max(((continuous_nm(design, m, speed), speed) for speed in speeds), key=lambda at: at[0] * at[1])


def copper_rise_share(design, m, torque_nm, speed_rad_s):
    """Of what the winding ends above the coolant, by steady_degc: copper heats through both resistances, all else through the
    housing's alone."""
    winding, housing = nodes(design, m)
    rise_k = steady_degc(design, m, torque_nm, speed_rad_s) - COOLANT_DEGC
    current2 = (torque_nm / design.peak_torque_nm) ** 2 + weakening_share(design, m, torque_nm, speed_rad_s) ** 2
    other_w = loss_w(design, m, torque_nm, speed_rad_s) - copper_at_peak_w(design, m) * current2
    return 1 - housing.resistance_k_per_kw * 1e-3 * other_w / rise_k


# -------------------------------------------------------------------------------------------------------------- inverter

Switches = namedtuple("Switches", "constant_w current_w current_squared_w")


def power_at(peak_a, voltage_v, modulation, power_factor):
    """Three phases of amplitude m U/2."""
    return 1.5 * modulation * 0.5 * voltage_v * peak_a * power_factor


def silicon_w(peak_a, rated_a, voltage_v, modulation, power_factor):
    """Six IGBTs with diodes: conduction by threshold and resistance, switching over current and voltage (from memory), with
    chips as large as `rated_a`."""
    of, larger, mc = INVERTERS["silicon"], rated_a / 400, modulation * power_factor
    linear = (of["switch_v"] * (1 / (2 * math.pi) + mc / 8) + of["diode_v"] * (1 / (2 * math.pi) - mc / 8)) * peak_a
    square = ((of["switch_ohm"] * (1 / 8 + mc / (3 * math.pi)) + of["diode_ohm"] * (1 / 8 - mc / (3 * math.pi))) / larger
              * peak_a ** 2)
    volts, per_s = voltage_v / of["rated_v"], of["frequency_hz"] / math.pi * larger
    switching = per_s * of["switching_j"] * peak_a / rated_a * volts ** 1.3
    recovery = per_s * of["recovery_j"] * (peak_a / rated_a) ** 0.6 * volts ** 0.6
    return Switches(0.0, 6 * (linear + switching + recovery), 6 * square)


def silicon_carbide_w(peak_a, rated_a, voltage_v):
    """Six switches that conduct both ways, 3 R I^2/2 in all; switching over current and voltage, and half bridges that switch
    without current (from memory)."""
    of, larger, volts = INVERTERS["silicon carbide"], rated_a / 400, voltage_v / INVERTERS["silicon carbide"]["rated_v"]
    switching = 6 * of["frequency_hz"] / math.pi * of["switching_j"] * peak_a / 400 * volts ** 1.3
    idle = 3 * of["frequency_hz"] * of["idle_j"] * larger * volts ** 2
    return Switches(idle, switching, 1.5 * of["resistance_ohm"] / larger * peak_a ** 2)


def inverter(design):
    """a + b i + c i^2, i over the current at peak torque and base speed, chips rated for that: switches and control."""
    modulation, power_factor = INVERTER["modulation"].value, INVERTER["power_factor"].value
    peak_a = design.peak_power_kw * 1e3 / power_at(1, VOLTAGE_V, modulation, power_factor)
    control_w = INVERTER["control_w"].value * peak_a / 400
    if design.inverter == "silicon":
        of = silicon_w(peak_a, peak_a, VOLTAGE_V, modulation, power_factor)
    else:
        of = silicon_carbide_w(peak_a, peak_a, VOLTAGE_V)
    return of._replace(constant_w=of.constant_w + control_w)


def junction_k_per_kw(design):
    """Of the whole inverter's loss: a sixth of it heats the switch."""
    peak_a = design.peak_power_kw * 1e3 / power_at(1, VOLTAGE_V, INVERTER["modulation"].value, INVERTER["power_factor"].value)
    return INVERTERS[design.inverter]["junction_k_w"].value * 400 / peak_a / 6 * 1e3
