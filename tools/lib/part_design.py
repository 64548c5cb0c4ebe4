"""Design choices of the shipped parts, all invented: what an engineer settles, and nothing that follows from it.

tools/parts makes the files of vehicles/parts from this table by one rule of losses (gear_laws.py, motor_laws.py) and one of
sizes and masses (part_sizes.py), the same for both layouts. To add a part: one entry here, then tools/parts.

What all gears and hubs are judged at: the duty point, DUTY_POWER_SHARE of the peak power of the motors behind them at
DUTY_KM_H in top gear. There the constant load efficiencies of their files are right; they hold for the duty's power and
input speed in lower gears too. Drags are straight lines through the laws' values at half and at all of that speed.
"""

from dataclasses import dataclass

DUTY_POWER_SHARE = 0.36  # what the road asks: 240 kW of 44 t, 130 kW of a 26 t rigid
DUTY_KM_H = 80.0
TYRE_RADIUS_M = 0.492  # of the wheel speed at DUTY_KM_H


@dataclass(frozen=True)
class Motor:
    """A permanent-magnet motor with its inverter. Base speed is peak power over peak torque."""

    about: str
    peak_torque_nm: float
    peak_power_kw: float
    top_speed_rpm: float
    pole_pairs: int
    sheet_mm: float = 0.30  # thickness of the electrical steel
    magnet_segments: int = 8  # parts that each magnet is cut into along its width
    peak_current_density_a_mm2: float = 24  # in the copper, at peak torque
    length_over_bore: float = 1.0
    characteristic_current_share: float = 0.8
    cooling: str = "jacket"  # "jacket": water round the stator; "spray": oil on the winding heads as well
    cooling_factor: float = 1.0  # from housing to coolant, over a plain jacket's: ducts and flow
    inverter: str = "silicon carbide"  # or "silicon"
    form: str = "coefficients"  # or "loss map", "efficiency map"


@dataclass(frozen=True)
class Gearbox:
    """Gears that change, in two meshes. `layout` "countershaft": input and output in line, the ratio 1 direct; "reduction and
    gears": a pinion on each motor and a wheel, behind it two shafts with a mesh for each gear."""

    about: str
    layout: str
    ratios: tuple
    peak_input_nm: float  # of all motors on it
    peak_power_kw: float  # of all motors on it
    top_input_rpm: float
    behind: float  # ratio of all stages between this part and the wheels, for its speed at the duty point
    peak_wheel_nm: float  # by the grip of the driven axles
    motors: int = 1
    constant_ratio: float = 1.6  # of the first mesh
    oil: str = "75W-80"
    oil_degc: float = 80
    lubrication: str = "bath"  # "bath": the lowest wheel dips; "spray": pump and jets, wheels dip less or not
    shift_time_s: float = 0.6
    extra_mass_kg: float = 0  # actuators, cooler, brackets


@dataclass(frozen=True)
class Mesh:
    """One helical mesh whose second wheel dips, with the bearings of its two shafts; without load, those of the first shaft
    count with the stage before it."""

    about: str
    ratio: float
    peak_input_nm: float
    peak_power_kw: float
    top_input_rpm: float
    behind: float
    seals: int = 0  # shaft seals at its input
    oil: str = "75W-90"
    oil_degc: float = 75
    lubrication: str = "bath"  # as of a gearbox
    extra_mass_kg: float = 0


@dataclass(frozen=True)
class PlanetSet:
    """The last reduction of an electric axle: ring held, sun in, carrier with the differential out."""

    about: str
    sun_teeth: int
    ring_teeth: int
    peak_wheel_nm: float  # by the grip of the axle
    peak_power_kw: float
    planets: int = 4
    oil: str = "e-drive"
    oil_degc: float = 70
    lubrication: str = "spray"  # as of a gearbox
    extra_mass_kg: float = 0


@dataclass(frozen=True)
class FinalDrive:
    """A hypoid gear set with its differential."""

    about: str
    ratio: float
    peak_wheel_nm: float  # by the grip of the axle
    peak_power_kw: float
    offset_share: float = 0.15  # of the mean radius of the crown wheel
    pinion_spiral_deg: float = 45
    oil: str = "75W-90"
    oil_degc: float = 75
    lubrication: str = "bath"  # as of a gearbox
    extra_mass_kg: float = 0


@dataclass(frozen=True)
class Differential:
    """Of an electric axle: bevel gears that stand still in it on a straight road."""

    about: str
    peak_wheel_nm: float
    peak_power_kw: float


@dataclass(frozen=True)
class Hubs:
    """Bearings and seals of all wheels of an axle, or of a trailer's axles together."""

    about: str
    axles: int
    axle_load_kg: float  # of each
    bearing_mm: float  # mean diameter of the bearings, two of them a wheel
    seal_mm: float


# Top speeds so that a truck's is 100 to 125 km/h in top gear; both kinds of motor have about the same range above base speed.
CHASSIS_TOP_RPM = 3300
CHASSIS_HAULAGE_TOP_RPM = 3000  # where motors are large for the road: a longer final drive at the same top speed
CHASSIS_EXTRA_KG = 40  # actuators, flanges and brackets of a gearbox in the frame
AXLE_TOP_RPM = 9500
AXLE_HAULAGE_TOP_RPM = 8400
AXLE_SHEET_MM = 0.25  # thinner, for frequencies twice as high
# First mesh of the electric axles' gearboxes, and teeth of the planet sets behind them.
AXLE_REDUCTION, AXLE_SUN, AXLE_RING = 3.4, 24, 72
AXLE_PLANETS = 1 + AXLE_RING / AXLE_SUN
# What the grip of a driven axle lets its wheels turn with: 11.5 t at 0.75 on tyres of 0.492 m.
GRIP_NM = 42000


# One rule for all: motors are driven to a peak that is 1.5 to 1.7 times what they bear for ever, at the wheels and with the losses
# up to there. Peaks stand an eighth above what the same active parts had at 21 A/mm2; cooling is then set so that layouts of a
# family are alike in the greatest continuous power at the wheels within 2 %, by the program's own steady temperatures, and that
# 44 t hold 80 km/h on 3 % for ever. Nothing else is evened out by it.
def chassis_motor(peak_torque_nm, peak_power_kw, cooling_factor, top_speed_rpm=CHASSIS_TOP_RPM):
    return Motor("Chassis-mounted permanent-magnet motor", peak_torque_nm, peak_power_kw, top_speed_rpm, 5,
                 cooling_factor=cooling_factor)


def axle_motor(peak_torque_nm, peak_power_kw, cooling_factor, top_speed_rpm=AXLE_TOP_RPM, cooling="jacket",
               form="coefficients"):
    return Motor("High-speed permanent-magnet motor for an electric axle", peak_torque_nm, peak_power_kw, top_speed_rpm, 4,
                 AXLE_SHEET_MM, cooling=cooling, cooling_factor=cooling_factor, form=form)


# Base speeds: 1529 rpm of chassis motors, 4040 rpm of axle motors. Chassis motors have 2 % more, of which the driveline takes
# as much: peak power at the wheels is alike within 3 %.
MOTORS = {
    "motor-chassis-365": chassis_motor(2280, 365, 0.66),
    "motor-chassis-550": chassis_motor(3435, 550, 0.73),
    "motor-chassis-670": chassis_motor(4185, 670, 1.00, CHASSIS_HAULAGE_TOP_RPM),
    "motor-axle-180": axle_motor(425, 180, 0.78, form="loss map"),
    "motor-axle-270": axle_motor(638, 270, 0.90, form="efficiency map"),
    "motor-axle-330": axle_motor(780, 330, 1.11, AXLE_HAULAGE_TOP_RPM),
    "motor-axle-540": axle_motor(1276, 540, 0.76, cooling="spray"),
}


def chassis_gearbox(about, ratios, motor, final, driven_axles):
    of = MOTORS[motor]
    return Gearbox(about, "countershaft", ratios, of.peak_torque_nm, of.peak_power_kw, of.top_speed_rpm, final,
                   driven_axles * GRIP_NM, extra_mass_kg=CHASSIS_EXTRA_KG)


def axle_gearbox(ratios, motor, motors):
    """Its actuators and cooler grow with its gears and its motors (common practice, no source)."""
    of, gears = MOTORS[motor], {2: "Two", 3: "Three"}[len(ratios)]
    return Gearbox(f"{gears}-speed gearbox of an electric axle for {'two motors' if motors == 2 else 'one motor'}",
                   "reduction and gears", ratios, motors * of.peak_torque_nm, motors * of.peak_power_kw, of.top_speed_rpm,
                   AXLE_PLANETS, GRIP_NM, motors=motors, constant_ratio=AXLE_REDUCTION, oil="e-drive", oil_degc=70,
                   lubrication="spray", shift_time_s=0.3, extra_mass_kg=5 + 10 * len(ratios) + 10 * (motors - 1))


GEARBOXES = {
    "gearbox-3-speed": chassis_gearbox("Three-speed gearbox for the chassis motor of a rigid", (3.9, 1.95, 1.0),
                                       "motor-chassis-365", 5.3, 1),
    "gearbox-4-speed": chassis_gearbox("Four-speed gearbox for a chassis motor", (4.0, 2.52, 1.59, 1.0), "motor-chassis-550",
                                       5.3, 1),
    "gearbox-4-speed-heavy": chassis_gearbox("Four-speed gearbox for a chassis motor", (4.0, 2.52, 1.59, 1.0),
                                             "motor-chassis-670", 4.9, 2),
    "gearbox-4-speed-site": chassis_gearbox("Four-speed gearbox for the chassis motor of a tipper", (4.0, 2.52, 1.59, 1.0),
                                            "motor-chassis-550", 5.6, 2),
    "gearbox-axle-2-speed": axle_gearbox((7.5, 4.15), "motor-axle-270", 2),
    "gearbox-axle-3-speed-single": axle_gearbox((10.8, 6.01, 3.99), "motor-axle-540", 1),
    "gearbox-axle-3-speed": axle_gearbox((9.0, 5.15, 3.35), "motor-axle-330", 2),
    "gearbox-axle-3-speed-tandem": axle_gearbox((9.0, 5.15, 3.35), "motor-axle-330", 1),
    "gearbox-axle-3-speed-light": axle_gearbox((12.4, 6.88, 3.9), "motor-axle-180", 2),
    "gearbox-axle-3-speed-light-tandem": axle_gearbox((12.4, 6.88, 3.9), "motor-axle-180", 1),
    "gearbox-axle-3-speed-site": axle_gearbox((15.5, 8.35, 4.26), "motor-axle-270", 2),
    "gearbox-axle-3-speed-site-tandem": axle_gearbox((15.5, 8.35, 4.26), "motor-axle-270", 1),
}


MESHES = {
    "mesh-through-drive": Mesh("Transfer gear of a through-drive with the inter-axle differential: carries the rear axle's "
                               "share of the torque past the front axle's pinion", 1.0, 9500, 335, CHASSIS_HAULAGE_TOP_RPM, 4.9,
                               seals=1, extra_mass_kg=35),
}


def planet_set(peak_power_kw, kind):
    return PlanetSet(f"Planet set of an electric axle of {kind}, its last reduction", AXLE_SUN, AXLE_RING, GRIP_NM, peak_power_kw)


PLANET_SETS = {
    "planet-set-axle": planet_set(540, "540 to 660 kW"),
    "planet-set-axle-light": planet_set(270, "180 to 360 kW"),
}


def final_drive(ratio, peak_power_kw):
    return FinalDrive("Hypoid final drive with differential", ratio, GRIP_NM, peak_power_kw)


FINAL_DRIVES = {
    "final-drive-hypoid-4-9": final_drive(4.9, 670),
    "final-drive-hypoid-4-9-tandem": final_drive(4.9, 335),
    "final-drive-hypoid-5-3-light": final_drive(5.3, 365),
    "final-drive-hypoid-5-3": final_drive(5.3, 550),
    "final-drive-hypoid-5-6-tandem": final_drive(5.6, 275),
}

DIFFERENTIALS = {
    "differential-axle": Differential("Differential of an electric axle", GRIP_NM, 540),
}

HUBS = {
    "hub-steer": Hubs("Wheel hubs of a steered axle", 1, 7500, 100, 120),
    "hub-drive": Hubs("Wheel hubs of a driven axle", 1, 11000, 125, 145),
    "hub-dead": Hubs("Wheel hubs of a rear axle that is not driven", 1, 7500, 110, 130),
    "hub-trailer": Hubs("Wheel hubs of a three-axle semitrailer, all axles together", 3, 8000, 110, 130),
}
