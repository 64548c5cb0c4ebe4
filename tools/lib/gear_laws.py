"""Losses of gears, bearings, seals and oil: the laws by which tools/parts works out what gearboxes, axles and hubs lose.

One set of laws for every wheel, whatever housing it turns in; only sizes, oil and sliding differ. Lengths in m, angles in
rad, speeds in rad/s unless a name says otherwise. A formula names its source; coefficients are data with a range (LAWS).
"""

import math
from collections import namedtuple

from datum import MEMORY, PRACTICE, Datum

GRAVITY_M_S2 = 9.81
RPM = math.pi / 30  # rad/s

TR_2 = ("ISO/TR 14179-2 form (Niemann and Winter, Ohlendorf, Schlenk), as the open gear calculations of C. Fernandes state it "
        "(Gear-Calculation, GEARpie); the standard's own text was not read")

LAWS = {
    "lubricant_factor": Datum(0.8, 0.65, 1.0, "synthetic oil 0.8, from memory; 0.65 measured on one rig (GEARpie)",
                              "X_L of the mean coefficient of friction"),
    "roughness_um": Datum(0.4, 0.3, 0.6, PRACTICE, "mean roughness of ground flanks, both"),
    "mesh_factor": Datum(1.2, 0.55, 1.2, "spread between two forms of the standard for one example (GEARpie); high in it, so that an "
                         "electric axle as a whole comes to the 96.5 to 98 % that the trade reckons with near rating (" + MEMORY + ")",
                         "factor on the load loss of a mesh, the same for all"),
    "least_line_load_n_mm": Datum(0.0, 0.0, 150.0, "150 in an older form of the rule, " + MEMORY, "least F/b in the coefficient "
                                  "of friction"),
    "hypoid_friction": Datum(0.042, 0.04, 0.07, MEMORY + "; low in its range. A single axle's gears then lose 2.5 % of the load, within "
                             "the 97 to 98.5 % that loaded truck axles show (" + MEMORY + "), and half a point more than (EU) "
                             "2017/2400 takes by default, beside a third of its drag", "mean coefficient of friction along hypoid teeth"),
    "bearing_factor_tapered": Datum(4e-4, 2e-4, 5e-4, "Palmgren, " + MEMORY, "f1 of tapered roller bearings"),
    "bearing_factor_needle": Datum(5e-4, 3e-4, 1e-3, "Palmgren, " + MEMORY, "f1 of needle and cylindrical roller bearings under "
                                   "planets"),
    "bearing_load_factor": Datum(1.25, 1.0, 1.6, PRACTICE, "load of a shaft's bearings over the force of the mesh: thrust, overhang"),
    "idle_factor_tapered": Datum(3.0, 2.0, 4.0, "Palmgren, oil bath 4 and oil mist 2, " + MEMORY, "f0 of tapered roller bearings"),
    "idle_factor_greased": Datum(6.0, 4.0, 8.0, "Palmgren, " + MEMORY, "f0 of tapered roller bearings with grease"),
    "idle_factor_needle": Datum(6.0, 3.0, 12.0, "Palmgren, " + MEMORY, "f0 of the needle bearings under loose gears"),
    "idle_factor_ball": Datum(2.0, 1.5, 4.0, "Palmgren, " + MEMORY, "f0 of ball bearings"),
    "grease_viscosity_mm2_s": Datum(60.0, 40.0, 120.0, "base oil of hub grease when warm, " + PRACTICE, "viscosity of the base oil"),
    "pinion_preload_share": Datum(0.12, 0.05, 0.25, PRACTICE, "axial preload of a hypoid pinion's bearings over their load at "
                                  "peak torque"),
    "carrier_preload_share": Datum(0.05, 0.0, 0.15, PRACTICE, "the like of the bearings of any differential's carrier"),
    "hub_preload_share": Datum(0.1, 0.0, 0.3, PRACTICE, "axial preload of hub bearings over the wheel's load"),
    "direct_loss_share": Datum(0.004, 0.001, 0.008, "0.004 to 0.010 in all with drag, " + PRACTICE, "lost in direct gear: dog "
                               "clutch, pilot bearing, misalignment"),
    "differential_loss_share": Datum(0.001, 0.0, 0.003, PRACTICE, "lost in a differential that turns as one: its splines"),
    "churning_factor": Datum(1.0, 0.4, 2.5, "the formula as it is: a hypoid axle with its hubs then drags about half of what (EU) "
                             "2017/2400 takes by default, where measured ones are at 0.3 to 0.6 (" + MEMORY + "); range: spread of the "
                             "formula on truck wheels", "factor on the churning torque, the same for all wheels that dip"),
    "dip_share": Datum(0.25, 0.15, 0.4, PRACTICE, "depth of the lowest wheel in the oil bath at speed over its diameter"),
    "pumped_dip_share": Datum(0.08, 0.0, 0.15, PRACTICE, "the like where a pump keeps the level below and jets do the rest"),
    "oil_over_swept": Datum(1.0, 0.5, 2.0, PRACTICE, "volume of the oil over that of the cylinder about the wheel that dips"),
    "spray_l_min_per_cm": Datum(1.0, 0.5, 2.0, PRACTICE, "oil sprayed on a mesh over its width"),
    "pump_bar": Datum(3.0, 2.0, 6.0, PRACTICE, "pressure of the oil pump"),
    "pump_efficiency": Datum(0.4, 0.25, 0.6, PRACTICE, "of the oil pump with its drive"),
}

Oil = namedtuple("Oil", "m n density_15_kg_m3 source")

# Walther's constants for viscosities in mm2/s and temperatures in K.
OILS = {
    "VG 32 mineral": Oil(9.5259, 3.7449, 870, "GEARpie"),
    "VG 150 mineral": Oil(9.0379, 3.4861, 890, "GEARpie"),
    "75W-90": Oil(7.5794, 2.9160, 870, "fitted to viscosities usual in the class, " + MEMORY),
    "75W-80": Oil(8.0588, 3.1313, 865, "fitted to viscosities usual in the class, " + MEMORY),
    "e-drive": Oil(8.8068, 3.4869, 850, "thin fluid for electric drives, fitted to usual viscosities, " + MEMORY),
}


def value(key):
    return LAWS[key].value


# ---------------------------------------------------------------------------------------------------------------- oil


def viscosity_mm2_s(oil, degc):
    """Kinematic viscosity: lg lg(v + 0.7) = m - n lg T (Walther; ASTM D341, short form)."""
    constants = OILS[oil]
    return 10 ** 10 ** (constants.m - constants.n * math.log10(degc + 273.15)) - 0.7


def density_kg_m3(oil, degc):
    """Falls by about 7e-4 per K (GEARpie: 5.5e-4 to 8.1e-4)."""
    return OILS[oil].density_15_kg_m3 * (1 - 7e-4 * (degc - 15))


def dynamic_viscosity_mpas(oil, degc):
    return viscosity_mm2_s(oil, degc) * density_kg_m3(oil, degc) * 1e-3


# --------------------------------------------------------------------------------------------------------------- mesh

# A pair of cylindrical gears as its load loss needs it; 1 is the smaller. Working pressure angle and tip circles are of the
# transverse section.
Pair = namedtuple("Pair", "z1 z2 module_m helix width_m working_angle tip1_m tip2_m base1_m base2_m base_helix working1_m")


def involute(angle):
    return math.tan(angle) - angle


def angle_of_involute(wanted):
    """Between 0 and 60 degrees, by halving."""
    low, high = 0.0, math.radians(60)
    for _ in range(80):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if involute(middle) < wanted else (low, middle)
    return 0.5 * (low + high)


def pair_of(z1, z2, module_m, helix, width_m, x1=0.0, x2=0.0, shortened=True, normal_angle=math.radians(20)):
    """Sizes of a pair with addenda of one module, tips shortened to keep the clearance (DIN 3960, from memory)."""
    transverse = math.atan(math.tan(normal_angle) / math.cos(helix))
    working = angle_of_involute(involute(transverse) + 2 * (x1 + x2) / (z1 + z2) * math.tan(normal_angle))
    d1, d2 = z1 * module_m / math.cos(helix), z2 * module_m / math.cos(helix)
    centre_m = 0.5 * (d1 + d2) * math.cos(transverse) / math.cos(working)
    short_m = 0.5 * (d1 + d2) + (x1 + x2) * module_m - centre_m if shortened else 0.0
    tips = [d + 2 * module_m * (1 + x) - 2 * short_m for d, x in ((d1, x1), (d2, x2))]
    return Pair(z1, z2, module_m, helix, width_m, working, *tips, d1 * math.cos(transverse), d2 * math.cos(transverse),
                math.asin(math.sin(helix) * math.cos(normal_angle)), 2 * centre_m * z1 / (z1 + z2))


def tip_contact_ratio(teeth, tip_m, base_m, working_angle):
    return teeth * (math.tan(math.acos(base_m / tip_m)) - math.tan(working_angle)) / (2 * math.pi)


def tooth_loss_factor(pair):
    """H_V = pi (u + 1)/(z1 u cos b_b) (1 - e_a + e_1^2 + e_2^2), for transverse contact ratios e_a of 1 to 2 (TR_2)."""
    e1 = tip_contact_ratio(pair.z1, pair.tip1_m, pair.base1_m, pair.working_angle)
    e2 = tip_contact_ratio(pair.z2, pair.tip2_m, pair.base2_m, pair.working_angle)
    u = pair.z2 / pair.z1
    return math.pi * (u + 1) / (pair.z1 * u * math.cos(pair.base_helix)) * (1 - e1 - e2 + e1 * e1 + e2 * e2)


def mean_friction(pair, torque1_nm, speed1_rad_s, viscosity_mpas, roughness_um, lubricant_factor, least_n_mm=0.0):
    """mu_m = 0.048 (F_bt/b / (v_S rho_C))^0.2 eta^-0.05 Ra^0.25 X_L, F/b in N/mm, rho_C in mm at the pitch point (TR_2)."""
    angle = pair.working_angle
    line_load = max(torque1_nm / (0.5 * pair.base1_m) / (pair.width_m * 1e3), least_n_mm)
    sum_speed = 2 * speed1_rad_s * 0.5 * pair.working1_m * math.sin(angle)
    u = pair.z2 / pair.z1
    curvature_mm = 0.5 * pair.working1_m * 1e3 * math.sin(angle) * u / (u + 1)
    return (0.048 * (line_load / (sum_speed * curvature_mm)) ** 0.2 * viscosity_mpas ** -0.05 * roughness_um ** 0.25
            * lubricant_factor)


def mesh_loss_share(pair, torque1_nm, speed1_rad_s, oil, degc):
    """Of the power that passes, for ground flanks."""
    friction = mean_friction(pair, torque1_nm, speed1_rad_s, dynamic_viscosity_mpas(oil, degc), value("roughness_um"),
                             value("lubricant_factor"), value("least_line_load_n_mm"))
    return value("mesh_factor") * friction * tooth_loss_factor(pair)


def hypoid_sliding_efficiency(friction, pinion_spiral, wheel_spiral, normal_angle=math.radians(22)):
    """Along the teeth: (1 + mu tan g/cos a)/(1 + mu tan p/cos a), p and g the spiral angles (classical, from memory)."""
    at = [1 + friction * math.tan(spiral) / math.cos(normal_angle) for spiral in (wheel_spiral, pinion_spiral)]
    return at[0] / at[1]


def planet_set_efficiency(ring_over_sun, basic_efficiency):
    """Ring held, sun in, carrier out: only i0/(1 + i0) of the power rolls (Willis; VDI 2157, from memory)."""
    return (1 + ring_over_sun * basic_efficiency) / (1 + ring_over_sun)


# ----------------------------------------------------------------------------------------------------------- bearings


def idle_bearing_nm(factor, viscosity, speed_rad_s, mean_m):
    """Palmgren, from memory: M0 = 1e-7 f0 (v n)^(2/3) dm^3 N mm, v n at least 2000 (mm2/s, 1/min, mm)."""
    turned = max(viscosity * speed_rad_s / RPM, 2000.0)
    return 1e-10 * factor * turned ** (2 / 3) * (mean_m * 1e3) ** 3


def loaded_bearing_nm(factor, load_n, mean_m):
    """Palmgren, from memory: M1 = f1 P dm."""
    return factor * load_n * mean_m


def skf_cylindrical_nmm(mean_mm, outer_mm, bore_mm, r1, s2, kz, load_n, speed_rpm, viscosity, mixed_friction=0.15,
                        full_friction=0.02):
    """Rolling and sliding moment of a cylindrical roller bearing under radial load (SKF's friction model, catalogue p. 105;
    inlet heating and starvation as in GEARpie)."""
    turned = speed_rpm * viscosity
    rolling = r1 * mean_mm ** 2.41 * load_n ** 0.31 * turned ** 0.6
    heating = 1 / (1 + 1.84e-9 * (speed_rpm * mean_mm) ** 1.28 * viscosity ** 0.64)
    starved = math.exp(-3e-8 * turned * (bore_mm + outer_mm) * math.sqrt(kz / (2 * (outer_mm - bore_mm))))
    mixed = math.exp(-2.6e-8 * turned ** 1.4 * mean_mm)
    sliding = s2 * mean_mm * load_n * (mixed * mixed_friction + (1 - mixed) * full_friction)
    return rolling * heating * starved, sliding


def seal_nm(diameter_m):
    """Radial shaft seal: P = 7.69e-6 d^2 n W, mm and 1/min (ISO/TR 14179-2, from memory): a torque that speed leaves alone."""
    return 7.69e-6 * (diameter_m * 1e3) ** 2 / RPM


# ---------------------------------------------------------------------------------------------------------------- oil bath


def churning_nm(radius_m, width_m, depth_m, oil_m3, density, viscosity, speed_rad_s):
    """One wheel that dips: T = rho w^2 R^3 S C/2, C by its Reynolds number w R b/v (Changenet and Velex, 2007, from memory).
    Between 6000 and 9000 straight. Wheels as large as a truck's lie outside of its tests."""
    if speed_rad_s <= 0 or depth_m <= 0:
        return 0.0
    diameter_m = 2 * radius_m
    half = math.acos(max(-1.0, 1 - depth_m / radius_m))
    wetted_m2 = radius_m ** 2 * (2 * half - math.sin(2 * half)) + 2 * half * radius_m * width_m
    reynolds = speed_rad_s * radius_m * width_m / (viscosity * 1e-6)
    froude = speed_rad_s ** 2 * radius_m / GRAVITY_M_S2
    deep, filled = depth_m / diameter_m, oil_m3 / diameter_m ** 3
    slow = 1.366 * deep ** 0.45 * filled ** 0.1 * froude ** -0.6 * min(reynolds, 6000.0) ** -0.21
    fast = 3.644 * deep ** 0.1 * filled ** -0.35 * froude ** -0.88 * (width_m / diameter_m) ** 0.85
    between = min(1.0, max(0.0, (reynolds - 6000) / 3000))
    moment = (1 - between) * slow + between * fast
    return 0.5 * density * speed_rad_s ** 2 * radius_m ** 3 * wetted_m2 * moment


def spray_w(flow_m3_s, density, rim_m_s):
    """Oil that is brought to the speed of the rim and thrown off: half of the power becomes its motion, half is lost on the
    way there (momentum)."""
    return density * flow_m3_s * rim_m_s ** 2


def pump_w(flow_m3_s):
    return flow_m3_s * value("pump_bar") * 1e5 / value("pump_efficiency")


# ------------------------------------------------------------------------------------------------------------- joints


def joint_loss_share(angle, friction, radius_ratio):
    """Cardan joint: (4/pi) mu (r/R) angle; each bearing swings through four times the angle a turn."""
    return 4 / math.pi * friction * radius_ratio * angle
