"""Sizes, masses and losses of gearboxes, reductions, final drives and hubs, from what the design table says of them.

Sizes follow from peak torques by rules that are the same in both layouts (SIZES); losses from the sizes by gear_laws.py.
"""

import math
from collections import namedtuple

import gear_laws as laws
from datum import PRACTICE, Datum
from gear_laws import RPM
from part_design import DUTY_KM_H, DUTY_POWER_SHARE, TYRE_RADIUS_M

SIZES = {
    "k_factor_n_mm2": Datum(10.0, 7.0, 12.0, PRACTICE, "F_t/(b d1) (u + 1)/u at peak torque, case-hardened and ground"),
    "width_over_pinion": Datum(0.7, 0.5, 0.9, PRACTICE, "face width over pinion diameter"),
    "helix_deg": Datum(22.0, 18.0, 28.0, PRACTICE, "helix angle"),
    "pinion_shift": Datum(0.2, 0.0, 0.4, PRACTICE, "profile shift of the smaller wheel"),
    "shaft_stress_n_mm2": Datum(150.0, 100.0, 220.0, PRACTICE, "shear of shafts at peak torque"),
    "bearing_over_shaft": Datum(1.5, 1.4, 1.7, PRACTICE, "mean diameter of bearings over that of the shaft"),
    "crown_m_per_nm3": Datum(0.0121, 0.0110, 0.0130, PRACTICE, "crown wheel's diameter over the cube root of its peak torque"),
    "crown_width_share": Datum(0.14, 0.12, 0.16, PRACTICE, "its face width over its diameter"),
    "planet_load_share": Datum(1.1, 1.0, 1.3, PRACTICE, "torque of the planet that carries most over the mean of all"),
    "ring_thickness_share": Datum(0.08, 0.06, 0.12, PRACTICE, "radial thickness of a ring over its diameter"),
    "web_share": Datum(0.5, 0.4, 0.8, PRACTICE, "metal left of a wheel beside a full disc"),
    "around_gears": Datum(0.7, 0.5, 1.0, PRACTICE, "mass of shafts, bearings and housing over that of the gears"),
    "differential_kg_per_knm": Datum(1.5, 1.0, 2.0, PRACTICE, "mass of a differential with its carrier per kNm of peak torque at "
                                     "the wheels"),
}
STEEL_KG_M3 = 7850.0
WHEEL_RAD_S = DUTY_KM_H / 3.6 / TYRE_RADIUS_M
OILED = (1.0, 0.5)  # shares of the duty point's speed through which the straight line of a drag goes


def size(key):
    return SIZES[key].value


# What is told of a gear part: one efficiency a gear, drag at rest and at the top speed at its input (or the wheels), inertia
# and mass; the shares of the drag at the duty point by cause.
Gears = namedtuple("Gears", "efficiencies drag_rest_nm drag_top_nm drag_duty_nm causes inertia_kg_m2 mass_kg duty_rpm duty_nm")

Wheels = namedtuple("Wheels", "pair d1_m d2_m width_m peak1_nm ratio")


# -------------------------------------------------------------------------------------------------------------- sizes


def teeth_of(u):
    """Of the smaller wheel: fewer where the larger would become too fine."""
    return 23 if u < 2.5 else 20 if u < 4 else 17


def wheels_at(centre_m, ratio, peak1_nm):
    """A pair of a stated centre distance, wide enough for the torque; a ratio below 1 has its smaller wheel behind."""
    u = max(ratio, 1 / ratio)
    small_nm = peak1_nm if ratio >= 1 else peak1_nm * ratio
    small_m = 2 * centre_m / (1 + u)
    width_m = 2 * small_nm * (u + 1) / (u * size("k_factor_n_mm2") * 1e6 * small_m ** 2)
    helix, z1 = math.radians(size("helix_deg")), teeth_of(u)
    z2 = max(z1 + 1, round(u * z1))
    module_m = small_m * math.cos(helix) / z1
    pair = laws.pair_of(z1, z2, module_m, helix, width_m, size("pinion_shift"), 0.0)
    d1, d2 = (small_m, small_m * u) if ratio >= 1 else (small_m * u, small_m)
    return Wheels(pair, d1, d2, width_m, peak1_nm, ratio)


def centre_for(ratio, peak1_nm):
    """Where the smaller wheel has its usual width."""
    u = max(ratio, 1 / ratio)
    small_nm = peak1_nm if ratio >= 1 else peak1_nm * ratio
    small_m = (2 * small_nm * (u + 1) / (u * size("k_factor_n_mm2") * 1e6 * size("width_over_pinion"))) ** (1 / 3)
    return 0.5 * small_m * (1 + u)


def common_wheels(wanted):
    """Pairs between the same two shafts: [(ratio, peak torque at its first wheel)]."""
    centre_m = max(centre_for(ratio, peak_nm) for ratio, peak_nm in wanted)
    return [wheels_at(centre_m, ratio, peak_nm) for ratio, peak_nm in wanted]


def shaft_m(peak_nm):
    return (16 * peak_nm / (math.pi * size("shaft_stress_n_mm2") * 1e6)) ** (1 / 3)


def bearing_m(peak_nm):
    return size("bearing_over_shaft") * shaft_m(peak_nm)


def disc_kg(diameter_m, width_m):
    return STEEL_KG_M3 * math.pi / 4 * diameter_m ** 2 * width_m * size("web_share")


def disc_kg_m2(diameter_m, width_m):
    """Full discs with their webs taken out near the shaft: most of the rim's inertia stays."""
    return 0.125 * diameter_m ** 2 * disc_kg(diameter_m, width_m) * (2 - size("web_share"))


# ------------------------------------------------------------------------------------------------------------- losses


def mesh_and_bearings_share(wheels, torque_nm, speed_rad_s, oil, degc):
    """Load loss of a mesh with the bearings of both shafts: share of the power. The bearings of a shaft carry the force of the
    mesh between them."""
    forward = wheels.ratio >= 1
    small_nm = torque_nm if forward else torque_nm * wheels.ratio
    small_rad_s = speed_rad_s if forward else speed_rad_s / wheels.ratio
    teeth = laws.mesh_loss_share(wheels.pair, small_nm, small_rad_s, oil, degc)
    force_n = (torque_nm / (0.5 * wheels.d1_m) / (math.cos(wheels.pair.working_angle) * math.cos(wheels.pair.base_helix))
               * laws.value("bearing_load_factor"))
    factor = laws.value("bearing_factor_tapered")
    first = laws.loaded_bearing_nm(factor, force_n, bearing_m(wheels.peak1_nm))
    second = laws.loaded_bearing_nm(factor, force_n, bearing_m(wheels.peak1_nm * wheels.ratio))
    return teeth + (first + second / wheels.ratio) / torque_nm


def idle_pair_nm(peak_nm, speed_rad_s, viscosity, kind="idle_factor_tapered"):
    """Both bearings of a shaft without load."""
    return 2 * laws.idle_bearing_nm(laws.value(kind), viscosity, speed_rad_s, bearing_m(peak_nm))


def loose_wheel_nm(peak_nm, slip_rad_s, viscosity):
    return laws.idle_bearing_nm(laws.value("idle_factor_needle"), viscosity, abs(slip_rad_s), 1.1 * shaft_m(peak_nm))


def bath_nm(diameter_m, width_m, dip_share, oil, degc, speed_rad_s):
    """At the shaft of the wheel that dips."""
    oil_m3 = laws.value("oil_over_swept") * math.pi / 4 * diameter_m ** 2 * width_m
    torque = laws.churning_nm(0.5 * diameter_m, width_m, dip_share * diameter_m, oil_m3,
                              laws.density_kg_m3(oil, degc), laws.viscosity_mm2_s(oil, degc), speed_rad_s)
    return laws.value("churning_factor") * torque


def jets_w(width_m, oil, degc, rim_m_s):
    """Power of the oil sprayed on a mesh and of its share of the pump."""
    flow_m3_s = laws.value("spray_l_min_per_cm") * width_m * 100 / 60000
    return laws.spray_w(flow_m3_s, laws.density_kg_m3(oil, degc), rim_m_s) + laws.pump_w(flow_m3_s)


def straight(causes_at, duty_rad_s, top_rad_s):
    """Drag as a straight line through the laws' values at all and at half of the duty's speed; neither falls below 0."""
    at_duty, at_half = (sum(causes_at(share * duty_rad_s).values()) for share in OILED)
    slope = max(0.0, (at_duty - at_half) / (duty_rad_s * (OILED[0] - OILED[1])))
    rest = max(0.0, at_duty - slope * duty_rad_s)
    slope = (at_duty - rest) / duty_rad_s
    return rest, rest + slope * top_rad_s, at_duty, causes_at(duty_rad_s)


def gears_of(efficiencies, causes_at, duty_rad_s, top_rad_s, duty_nm, inertia_kg_m2, mass_kg):
    rest, top, duty, causes = straight(causes_at, duty_rad_s, top_rad_s)
    return Gears(efficiencies, rest, top, duty, causes, inertia_kg_m2, mass_kg, duty_rad_s / RPM, duty_nm)


# ----------------------------------------------------------------------------------------------------------- gearboxes


def peak_output_nm(design):
    """Of the first gear, as far as the grip of the driven axles lets it through."""
    return min(design.peak_input_nm * design.ratios[0], design.peak_wheel_nm / design.behind)


def peak_behind_nm(design, ratio):
    """Behind the first mesh, in the gear of this ratio."""
    return min(design.peak_input_nm * ratio, design.peak_wheel_nm / design.behind) * design.constant_ratio / ratio


def countershaft(design):
    """Input and output in line: a constant mesh to the countershaft, and a mesh from there for each gear but the direct."""
    first = design.constant_ratio
    geared = [ratio for ratio in design.ratios if ratio != 1]
    constant, *seconds = common_wheels([(first, design.peak_input_nm)]
                                       + [(ratio / first, peak_behind_nm(design, ratio)) for ratio in geared])
    duty_rad_s = WHEEL_RAD_S * design.behind * design.ratios[-1]
    duty_nm = DUTY_POWER_SHARE * design.peak_power_kw * 1e3 / duty_rad_s
    viscosity = laws.viscosity_mm2_s(design.oil, design.oil_degc)
    peak_out_nm = peak_output_nm(design)
    pairs = [constant] + seconds

    def load_share(wheels, torque_nm, speed_rad_s):
        return mesh_and_bearings_share(wheels, torque_nm, speed_rad_s, design.oil, design.oil_degc)

    def efficiency(ratio):
        if ratio == 1:
            return 1 - laws.value("direct_loss_share")
        second = seconds[geared.index(ratio)]
        return (1 - load_share(constant, duty_nm, duty_rad_s)) * (1 - load_share(second, duty_nm * first, duty_rad_s / first))

    def causes_at(speed):
        counter, out = speed / first, speed / design.ratios[-1]
        bearings = (idle_pair_nm(design.peak_input_nm, speed, viscosity)
                    + idle_pair_nm(design.peak_input_nm * first, counter, viscosity) / first
                    + idle_pair_nm(peak_out_nm, out, viscosity) / design.ratios[-1])
        loose = sum(loose_wheel_nm(peak_out_nm, speed / ratio - out, viscosity) * abs(1 / ratio - 1 / design.ratios[-1])
                    for ratio in geared)
        seals = (laws.seal_nm(shaft_m(design.peak_input_nm)) + laws.seal_nm(shaft_m(peak_out_nm)) / design.ratios[-1])
        return {"bearings": bearings + loose, "seals": seals,
                "oil": jets_nm(design, pairs, speed) + dip_nm(design, constant.d2_m, constant.width_m, counter) / first}

    gears_kg = sum(disc_kg(w.d1_m, w.width_m) + disc_kg(w.d2_m, w.width_m) for w in pairs)
    counter_kg_m2 = disc_kg_m2(constant.d2_m, constant.width_m) + sum(disc_kg_m2(w.d1_m, w.width_m) for w in seconds)
    loose_kg_m2 = sum(disc_kg_m2(w.d2_m, w.width_m) / ratio ** 2 for w, ratio in zip(seconds, geared))
    inertia = disc_kg_m2(constant.d1_m, constant.width_m) + counter_kg_m2 / first ** 2 + loose_kg_m2
    mass = gears_kg * (1 + size("around_gears")) + design.extra_mass_kg
    return gears_of([efficiency(ratio) for ratio in design.ratios], causes_at, duty_rad_s, design.top_input_rpm * RPM, duty_nm,
                    inertia, mass)


def jets_nm(design, pairs, speed):
    """At the input, of the jets on all meshes; none with a bath."""
    if design.lubrication == "bath":
        return 0.0
    return sum(jets_w(w.width_m, design.oil, design.oil_degc, 0.5 * w.d1_m * speed) for w in pairs) / speed


def dip_nm(design, diameter_m, width_m, speed):
    """At the shaft of the lowest wheel of a housing."""
    dip = laws.value({"bath": "dip_share", "spray": "pumped_dip_share"}[design.lubrication])
    return bath_nm(diameter_m, width_m, dip, design.oil, design.oil_degc, speed)


def reduction_and_gears(design):
    """A pinion on each motor, on one wheel; behind it two shafts with a mesh a gear. All wheels lie above the oil."""
    first, top = design.constant_ratio, design.ratios[-1]
    each_nm = design.peak_input_nm / design.motors
    reduction = common_wheels([(first, each_nm)])[0]
    seconds = common_wheels([(ratio / first, peak_behind_nm(design, ratio)) for ratio in design.ratios])
    duty_rad_s = WHEEL_RAD_S * design.behind * top
    duty_nm = DUTY_POWER_SHARE * design.peak_power_kw * 1e3 / duty_rad_s
    viscosity = laws.viscosity_mm2_s(design.oil, design.oil_degc)
    peak_out_nm = peak_output_nm(design)

    def load_share(wheels, torque_nm, speed_rad_s):
        return mesh_and_bearings_share(wheels, torque_nm, speed_rad_s, design.oil, design.oil_degc)

    def efficiency(second):
        return ((1 - load_share(reduction, duty_nm / design.motors, duty_rad_s))
                * (1 - load_share(second, duty_nm * first, duty_rad_s / first)))

    def causes_at(speed):
        bearings = (design.motors * idle_pair_nm(each_nm, speed, viscosity)
                    + idle_pair_nm(design.peak_input_nm * first, speed / first, viscosity) / first
                    + idle_pair_nm(peak_out_nm, speed / top, viscosity) / top)
        loose = sum(loose_wheel_nm(peak_out_nm, speed / ratio - speed / top, viscosity) * abs(1 / ratio - 1 / top)
                    for ratio in design.ratios)
        jets = (jets_nm(design, [reduction] * design.motors, speed) + jets_nm(design, seconds, speed / first) / first)
        return {"bearings": bearings + loose, "seals": design.motors * laws.seal_nm(shaft_m(each_nm)), "oil": jets}

    gears_kg = (design.motors * disc_kg(reduction.d1_m, reduction.width_m) + disc_kg(reduction.d2_m, reduction.width_m)
                + sum(disc_kg(w.d1_m, w.width_m) + disc_kg(w.d2_m, w.width_m) for w in seconds))
    inner_kg_m2 = disc_kg_m2(reduction.d2_m, reduction.width_m) + sum(
        disc_kg_m2(w.d1_m, w.width_m) + disc_kg_m2(w.d2_m, w.width_m) / w.ratio ** 2 for w in seconds)
    inertia = design.motors * disc_kg_m2(reduction.d1_m, reduction.width_m) + inner_kg_m2 / first ** 2
    return gears_of([efficiency(w) for w in seconds], causes_at, duty_rad_s, design.top_input_rpm * RPM, duty_nm, inertia,
                    gears_kg * (1 + size("around_gears")) + design.extra_mass_kg)


def gearbox(design):
    return {"countershaft": countershaft, "reduction and gears": reduction_and_gears}[design.layout](design)


# ---------------------------------------------------------------------------------------------- reductions and axles


def mesh(design):
    """Inertia and drag at the wheel side; the bearings of its first shaft turn with the stage before it, but load them both."""
    wheels = common_wheels([(design.ratio, design.peak_input_nm)])[0]
    duty_rad_s = WHEEL_RAD_S * design.behind * design.ratio
    duty_nm = DUTY_POWER_SHARE * design.peak_power_kw * 1e3 / duty_rad_s
    viscosity = laws.viscosity_mm2_s(design.oil, design.oil_degc)
    peak_out_nm = design.peak_input_nm * design.ratio
    efficiency = 1 - mesh_and_bearings_share(wheels, duty_nm, duty_rad_s, design.oil, design.oil_degc)

    def causes_at(speed):
        """At the speed and torque of its second shaft."""
        inner = speed * design.ratio
        seals = design.seals * laws.seal_nm(shaft_m(design.peak_input_nm)) * design.ratio
        oil = jets_nm(design, [wheels], inner) * design.ratio + dip_nm(design, wheels.d2_m, wheels.width_m, speed)
        return {"bearings": idle_pair_nm(peak_out_nm, speed, viscosity), "seals": seals, "oil": oil}

    gears_kg = disc_kg(wheels.d1_m, wheels.width_m) + disc_kg(wheels.d2_m, wheels.width_m)
    inertia = disc_kg_m2(wheels.d1_m, wheels.width_m) * design.ratio ** 2 + disc_kg_m2(wheels.d2_m, wheels.width_m)
    return gears_of([efficiency], causes_at, duty_rad_s / design.ratio, design.top_input_rpm * RPM / design.ratio, duty_nm,
                    inertia, gears_kg * (1 + size("around_gears")) + design.extra_mass_kg)


def planet_ratio(design):
    """Ring held, sun in, carrier out (Willis)."""
    return 1 + design.ring_teeth / design.sun_teeth


def planet_pairs(design):
    """Sun with a planet, and a planet with the ring, each at its share of the torque."""
    planet_teeth = (design.ring_teeth - design.sun_teeth) // 2
    peak_sun_nm = design.peak_wheel_nm / planet_ratio(design) / design.planets * size("planet_load_share")
    u = planet_teeth / design.sun_teeth
    return common_wheels([(u, peak_sun_nm)])[0], planet_teeth


def planet_basic_efficiency(design, sun_planet, planet_teeth):
    """Both meshes with the carrier held, and the needle bearings of the planets, on which the forces of both meshes lie. The
    hollow flanks of the ring slide less: the tooth loss factor goes with 1/z1 - 1/z2 (TR_2)."""
    sun_rad_s = WHEEL_RAD_S * planet_ratio(design)
    duty_nm = DUTY_POWER_SHARE * design.peak_power_kw * 1e3 / sun_rad_s / design.planets
    relative_rad_s = sun_rad_s - WHEEL_RAD_S
    small_nm = duty_nm if sun_planet.ratio >= 1 else duty_nm * sun_planet.ratio
    small_rad_s = relative_rad_s if sun_planet.ratio >= 1 else relative_rad_s / sun_planet.ratio
    outer = laws.mesh_loss_share(sun_planet.pair, small_nm, small_rad_s, design.oil, design.oil_degc)
    hollow = ((1 / planet_teeth - 1 / design.ring_teeth) / (1 / design.sun_teeth + 1 / planet_teeth)) * outer
    force_n = 2 * duty_nm / (0.5 * sun_planet.d1_m) * laws.value("bearing_load_factor")
    pins = (laws.loaded_bearing_nm(laws.value("bearing_factor_needle"), force_n, planet_pin_m(sun_planet))
            / (duty_nm * planet_teeth / design.sun_teeth))
    return (1 - outer) * (1 - hollow) * (1 - pins)


def planet_pin_m(sun_planet):
    """Mean diameter of the needle bearings under a planet (common practice, no source)."""
    return 0.5 * sun_planet.d2_m


def planet_needles_nm(design, sun_planet, planet_teeth, viscosity, carrier_rad_s):
    """Without load, at the carrier: planets roll on the ring, that is held, with z_ring/z_planet turns on their pins a turn."""
    turns = design.ring_teeth / planet_teeth
    each_nm = laws.idle_bearing_nm(laws.value("idle_factor_needle"), viscosity, turns * carrier_rad_s, planet_pin_m(sun_planet))
    return design.planets * turns * each_nm


def planet_set(design):
    """The last reduction of an electric axle; the carrier turns with the differential. Inertia and drag at the wheel side. The
    bearings of the sun's shaft are those of the gearbox before it, which counts them."""
    wheels, planet_teeth = planet_pairs(design)
    ratio = planet_ratio(design)
    ring_m = wheels.d1_m * design.ring_teeth / design.sun_teeth
    viscosity = laws.viscosity_mm2_s(design.oil, design.oil_degc)
    basic = planet_basic_efficiency(design, wheels, planet_teeth)
    duty_nm = DUTY_POWER_SHARE * design.peak_power_kw * 1e3 / (WHEEL_RAD_S * ratio)

    def causes_at(speed):
        bearings = (idle_pair_nm(design.peak_wheel_nm, speed, viscosity)
                    + carrier_preload_nm(design.peak_wheel_nm, 2 * design.peak_wheel_nm / ring_m)
                    + planet_needles_nm(design, wheels, planet_teeth, viscosity, speed))
        jets = jets_nm(design, [wheels] * design.planets, speed * ratio) * ratio
        return {"bearings": bearings, "oil": jets + dip_nm(design, ring_m, wheels.width_m, speed)}

    planets_kg = design.planets * disc_kg(wheels.d2_m, wheels.width_m)
    ring_kg = STEEL_KG_M3 * math.pi * ring_m * wheels.width_m * size("ring_thickness_share") * ring_m
    sun_kg_m2 = disc_kg_m2(wheels.d1_m, wheels.width_m) * ratio ** 2
    carrier_kg_m2 = 2 * planets_kg * (0.5 * (wheels.d1_m + wheels.d2_m)) ** 2  # planets and as much again for the carrier
    gears_kg = disc_kg(wheels.d1_m, wheels.width_m) + 2 * planets_kg + ring_kg
    return gears_of([basic], causes_at, WHEEL_RAD_S, 1.3 * WHEEL_RAD_S, duty_nm, sun_kg_m2 + carrier_kg_m2,
                    gears_kg * (1 + size("around_gears")) + design.extra_mass_kg)


def carrier_preload_nm(peak_nm, force_n):
    """Both bearings of a differential's carrier."""
    return 2 * laws.loaded_bearing_nm(laws.value("bearing_factor_tapered"), laws.value("carrier_preload_share") * force_n,
                                      bearing_m(peak_nm))


def hypoid_mesh_share(design, mean_m, spiral, width_m, duty_wheel_nm):
    """Sliding along the teeth, and rolling as of the pair of cylindrical gears that stands for it at the middle of the teeth
    (complementary cones, from memory)."""
    offset = math.asin(design.offset_share)
    pinion_spiral = math.radians(design.pinion_spiral_deg)
    along = laws.hypoid_sliding_efficiency(laws.value("hypoid_friction"), pinion_spiral, pinion_spiral - offset)
    cone2 = math.atan(design.ratio)
    cone1 = 0.5 * math.pi - cone2
    z1 = round(40 / design.ratio)
    z2 = z1 * design.ratio
    pair = laws.pair_of(z1 / math.cos(cone1), z2 / math.cos(cone2), 2 * mean_m * math.cos(spiral) / z2, spiral, width_m)
    force_n = duty_wheel_nm / mean_m
    small_m = 0.5 * pair.working1_m
    rolling = laws.mesh_loss_share(pair, force_n * small_m, WHEEL_RAD_S * mean_m / small_m, design.oil, design.oil_degc)
    return 1 - along * (1 - rolling)


def final_drive(design):
    crown_m = size("crown_m_per_nm3") * design.peak_wheel_nm ** (1 / 3)
    width_m = size("crown_width_share") * crown_m
    mean_m = 0.5 * (crown_m - width_m)
    spiral = math.radians(design.pinion_spiral_deg) - 0.5 * math.asin(design.offset_share)
    duty_wheel_nm = DUTY_POWER_SHARE * design.peak_power_kw * 1e3 / WHEEL_RAD_S
    teeth = hypoid_mesh_share(design, mean_m, spiral, width_m, duty_wheel_nm)
    peak_pinion_nm = design.peak_wheel_nm / design.ratio
    factor, viscosity = laws.value("bearing_factor_tapered"), laws.viscosity_mm2_s(design.oil, design.oil_degc)
    per_tangential = laws.value("bearing_load_factor") / (math.cos(math.radians(22)) * math.cos(spiral))
    force_n, peak_n = (torque / mean_m * per_tangential for torque in (duty_wheel_nm, design.peak_wheel_nm))
    bearings = (laws.loaded_bearing_nm(factor, force_n, bearing_m(peak_pinion_nm)) * design.ratio
                + laws.loaded_bearing_nm(factor, force_n, bearing_m(design.peak_wheel_nm)))

    def causes_at(speed):
        preload = 2 * laws.loaded_bearing_nm(factor, laws.value("pinion_preload_share") * peak_n, bearing_m(peak_pinion_nm))
        turning = (idle_pair_nm(peak_pinion_nm, speed * design.ratio, viscosity) * design.ratio
                   + idle_pair_nm(design.peak_wheel_nm, speed, viscosity))
        return {"bearings": turning + preload * design.ratio + carrier_preload_nm(design.peak_wheel_nm, peak_n),
                "seals": laws.seal_nm(shaft_m(peak_pinion_nm)) * design.ratio,
                "oil": dip_nm(design, crown_m, width_m, speed)}

    pinion_m = crown_m / design.ratio * 1.2
    gears_kg = disc_kg(crown_m, width_m) + disc_kg(pinion_m, 2 * width_m)
    mass = gears_kg * (1 + size("around_gears")) + size("differential_kg_per_knm") * design.peak_wheel_nm * 1e-3
    inertia = (disc_kg_m2(crown_m, width_m) + disc_kg_m2(pinion_m, 2 * width_m) * design.ratio ** 2
               + differential_kg_m2(design.peak_wheel_nm))
    efficiency = (1 - teeth - bearings / duty_wheel_nm) * (1 - laws.value("differential_loss_share"))
    return gears_of([efficiency], causes_at, WHEEL_RAD_S, 1.3 * WHEEL_RAD_S, duty_wheel_nm / design.ratio, inertia,
                    mass + design.extra_mass_kg)


def differential_kg_m2(peak_wheel_nm):
    """A block whose radius goes with its bearings."""
    return 0.5 * size("differential_kg_per_knm") * peak_wheel_nm * 1e-3 * (0.6 * bearing_m(peak_wheel_nm)) ** 2


def differential(design):
    duty_nm = DUTY_POWER_SHARE * design.peak_power_kw * 1e3 / WHEEL_RAD_S
    return Gears([1 - laws.value("differential_loss_share")], 0, 0, 0, {}, differential_kg_m2(design.peak_wheel_nm),
                 size("differential_kg_per_knm") * design.peak_wheel_nm * 1e-3, WHEEL_RAD_S / RPM, duty_nm)


def hubs(design):
    """Two tapered bearings a wheel, greased, and a seal; the load of an axle on its two wheels."""
    wheel_n = 0.5 * design.axle_load_kg * laws.GRAVITY_M_S2
    mean_m = design.bearing_mm * 1e-3

    def causes_at(speed):
        turning = 2 * laws.idle_bearing_nm(laws.value("idle_factor_greased"), laws.value("grease_viscosity_mm2_s"), speed, mean_m)
        loaded = laws.loaded_bearing_nm(laws.value("bearing_factor_tapered"), wheel_n * (1 + 2 * laws.value("hub_preload_share")),
                                        mean_m)
        wheels = 2 * design.axles
        return {"bearings": wheels * (turning + loaded), "seals": wheels * laws.seal_nm(design.seal_mm * 1e-3)}

    return gears_of([1.0], causes_at, WHEEL_RAD_S, 1.3 * WHEEL_RAD_S, 0, 0, 0)
