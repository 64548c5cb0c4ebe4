"""Design choices of the shipped parts, all invented: what an engineer settles, and nothing that follows from it.

tools/parts makes the files of vehicles/parts from this table by one rule of losses (gear_laws.py, motor_laws.py) and one of
sizes and masses (part_sizes.py), the same for both layouts. To add a part: one entry here, then tools/parts.

What all gears and hubs are judged at: the duty point, DUTY_POWER_SHARE of the peak power of the motors behind them at
DUTY_KM_H in top gear. There the constant load efficiencies of their files are right; they hold for the duty's power and
input speed in lower gears too. Drags are straight lines through the laws' values at half and at all of that speed.
"""

from dataclasses import dataclass

DUTY_POWER_SHARE = 0.4
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
    peak_current_density_a_mm2: float = 21  # in the copper, at peak torque
    length_over_bore: float = 1.0
    characteristic_current_share: float = 0.8
    cooling: str = "jacket"  # "jacket": water round the stator; "spray": oil on the winding heads as well
    inverter: str = "silicon carbide"  # or "silicon"
    form: str = "coefficients"  # or "loss map", "efficiency map"


@dataclass(frozen=True)
class Gearbox:
    """Gears that change. `layout` "countershaft": input and output in line, two meshes a gear, the ratio 1 direct;
    "two shafts": one mesh a gear."""

    about: str
    layout: str
    ratios: tuple
    peak_input_nm: float  # of all motors on it
    peak_power_kw: float  # of all motors on it
    top_input_rpm: float
    behind: float  # ratio of all stages between this part and the wheels, for its speed at the duty point
    motors: int = 1  # each with a pinion of its own on the wheels of a "two shafts" gearbox
    constant_ratio: float = 1.6  # first mesh of a "countershaft" gearbox
    oil: str = "75W-80"
    oil_degc: float = 80
    lubrication: str = "bath"  # "bath": the lowest wheel dips; "spray": pump and jets, wheels dip less or not
    shift_time_s: float = 0.6
    extra_mass_kg: float = 0  # actuators, cooler, brackets


@dataclass(frozen=True)
class Mesh:
    """One helical mesh with the bearings of its two shafts; the first shaft's where it is not another stage's."""

    about: str
    ratio: float
    peak_input_nm: float
    peak_power_kw: float
    top_input_rpm: float
    behind: float
    lowest: bool = False  # its wheel is the one of its housing that dips
    carries_differential: bool = False  # its wheel turns with the carrier of a differential
    seals: int = 0  # shaft seals at its input
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
    offset_share: float = 0.2  # of the mean radius of the crown wheel
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


CHASSIS_TOP_RPM = 3500
CHASSIS_EXTRA_KG = 40  # actuators, flanges and brackets of a gearbox in the frame
AXLE_TOP_RPM = 10500
AXLE_SHEET_MM = 0.25  # thinner, for frequencies twice as high
# First and last reduction of the electric axles.
AXLE_PINION, AXLE_WHEEL = 2.4, 2.46

MOTORS = {
    "motor-chassis-280": Motor("Chassis-mounted permanent-magnet motor", 1800, 280, 4000, 5),
    "motor-chassis-320": Motor("Chassis-mounted permanent-magnet motor", 2000, 320, 3800, 5),
    "motor-chassis-380": Motor("Chassis-mounted permanent-magnet motor", 2500, 380, CHASSIS_TOP_RPM, 5),
    "motor-chassis-480": Motor("Chassis-mounted permanent-magnet motor", 3000, 480, CHASSIS_TOP_RPM, 5),
    "motor-chassis-600": Motor("Chassis-mounted permanent-magnet motor", 3750, 600, CHASSIS_TOP_RPM, 5),
    "motor-axle-160": Motor("High-speed permanent-magnet motor for an electric axle", 380, 160, AXLE_TOP_RPM, 4,
                            AXLE_SHEET_MM, form="loss map"),
    "motor-axle-240": Motor("High-speed permanent-magnet motor for an electric axle", 560, 240, AXLE_TOP_RPM, 4,
                            AXLE_SHEET_MM, form="efficiency map"),
    "motor-axle-300": Motor("High-speed permanent-magnet motor for an electric axle", 700, 300, AXLE_TOP_RPM, 4,
                            AXLE_SHEET_MM),
}

GEARBOXES = {
    "gearbox-3-speed": Gearbox("Three-speed gearbox for a chassis motor", "countershaft", (4.6, 2.15, 1.0), 2000, 320, 4000,
                               4.6, extra_mass_kg=CHASSIS_EXTRA_KG),
    "gearbox-4-speed": Gearbox("Four-speed gearbox for a chassis motor", "countershaft", (5.6, 3.1, 1.75, 1.0), 2500, 380,
                               CHASSIS_TOP_RPM, 3.7, extra_mass_kg=CHASSIS_EXTRA_KG),
    "gearbox-4-speed-heavy": Gearbox("Four-speed gearbox for a chassis motor", "countershaft", (5.6, 3.1, 1.75, 1.0), 3750,
                                     600, CHASSIS_TOP_RPM, 3.9, extra_mass_kg=CHASSIS_EXTRA_KG),
    "gearbox-axle-2-speed": Gearbox("Two-speed gearbox of an electric axle for two motors", "two shafts", (5.25, 2.1), 1120,
                                    480, AXLE_TOP_RPM, AXLE_PINION * AXLE_WHEEL, motors=2, oil="e-drive", oil_degc=70,
                                    lubrication="spray", shift_time_s=0.3, extra_mass_kg=35),
    "gearbox-axle-2-speed-light": Gearbox("Two-speed gearbox of an electric axle for two motors", "two shafts", (5.25, 2.1),
                                          760, 320, AXLE_TOP_RPM, AXLE_PINION * AXLE_WHEEL, motors=2, oil="e-drive",
                                          oil_degc=70, lubrication="spray", shift_time_s=0.3, extra_mass_kg=35),
    "gearbox-axle-2-speed-single": Gearbox("Two-speed gearbox of an electric axle for one motor", "two shafts", (5.25, 2.1),
                                           560, 240, AXLE_TOP_RPM, AXLE_PINION * AXLE_WHEEL, oil="e-drive", oil_degc=70,
                                           lubrication="spray", shift_time_s=0.3, extra_mass_kg=25),
    "gearbox-axle-3-speed": Gearbox("Three-speed gearbox of an electric axle for two motors", "two shafts", (7.2, 3.9, 2.1),
                                    1400, 600, AXLE_TOP_RPM, AXLE_PINION * AXLE_WHEEL, motors=2, oil="e-drive", oil_degc=70,
                                    lubrication="spray", shift_time_s=0.3, extra_mass_kg=45),
}

MESHES = {
    "mesh-axle-pinion": Mesh("First reduction of an electric axle, behind its gearbox", AXLE_PINION, 5900, 480, 5000, AXLE_WHEEL),
    "mesh-axle-wheel": Mesh("Last reduction of an electric axle, to the differential", AXLE_WHEEL, 14000, 480, 2100, 1.0,
                            lowest=True, carries_differential=True),
    "mesh-through-drive": Mesh("Transfer gear of a through-drive with the inter-axle differential: carries the rear axle's "
                               "share of the torque past the front axle's pinion", 1.0, 8500, 300, 3500, 3.9, lowest=True, seals=1,
                               oil="75W-90", oil_degc=75, lubrication="bath", extra_mass_kg=35),
}

FINAL_DRIVES = {
    "final-drive-hypoid-3-7": FinalDrive("Hypoid final drive with differential", 3.7, 42000, 480),
    "final-drive-hypoid-3-9": FinalDrive("Hypoid final drive with differential", 3.9, 42000, 300),
    "final-drive-hypoid-4-6": FinalDrive("Hypoid final drive with differential", 4.6, 42000, 320),
}

DIFFERENTIALS = {
    "differential-axle": Differential("Differential of an electric axle", 42000, 480),
}

HUBS = {
    "hub-steer": Hubs("Wheel hubs of a steered axle", 1, 7500, 100, 120),
    "hub-drive": Hubs("Wheel hubs of a driven axle", 1, 11000, 125, 145),
    "hub-dead": Hubs("Wheel hubs of a rear axle that is not driven", 1, 7500, 110, 130),
    "hub-trailer": Hubs("Wheel hubs of a three-axle semitrailer, all axles together", 3, 8000, 110, 130),
}
