#!/usr/bin/python3
"""Laws of tools/parts against values from outside: published worked examples, closed forms, public law.

Checks as those of checked.h: each says what is computed, where the expected value is from and how well that is known; where
EVENER_CHECKS names a file, a row of each goes there for tools/verify.
"""

import math
import os
import re
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "tools", "lib"))
sys.dont_write_bytecode = True

import default_values as defaults  # noqa: E402
import gear_laws as gears  # noqa: E402
import gear_parts  # noqa: E402
import motor_laws as motors  # noqa: E402
import part_design as design  # noqa: E402
import part_judgement as judgement  # noqa: E402
import part_uncertainty as uncertainty  # noqa: E402
from gear_laws import RPM  # noqa: E402

READ, RECOMPUTED, CLOSED, MEMORY = ("read in the source", "recomputed from the source", "closed form", "from memory")
C14 = "GEARpie, worked example of FZG gears type C14: REPORT/C14.txt"
H501 = "GEARpie, worked example of FZG helical gears type H501"

failures, checks = [], []


def fail(test, what):
    """As Check tells a failed case."""
    failures.append(f"part_laws.py:1:F:part_laws:{test}:0: {what}")


def check(test, quantity, unit, computed, by, expected, tolerance, source, status):
    """`by`: relative, absolute, below or above, as in checked.h."""
    held = {"relative": lambda: abs(computed - expected) <= tolerance * abs(expected),
            "absolute": lambda: abs(computed - expected) <= tolerance,
            "below": lambda: computed < expected, "above": lambda: computed > expected}[by]()
    checks.append((test, quantity))
    row = [test, quantity, unit, by, f"{expected:.17g}", f"{computed:.17g}", f"{tolerance:.17g}", source, status]
    path = os.environ.get("EVENER_CHECKS")
    if path:
        with open(path, "a", encoding="utf-8") as file:
            file.write("\t".join(row) + "\n")
    if not held:
        fail(test, f"{quantity} {computed:.8g}, expected {by} {expected:.8g}, tolerance {tolerance:g} ({source})")


# -------------------------------------------------------------------------------------------------------------- meshes


def c14(shortened):
    return gears.pair_of(16, 24, 4.5e-3, 0.0, 14e-3, 0.1817, 0.1715, shortened=shortened)


def h501():
    return gears.pair_of(20, 30, 3.5e-3, math.radians(15), 23e-3, 0.1809, 0.0891)


def meshes_lose_what_worked_examples_say():
    test = "meshes_lose_what_worked_examples_say"
    pair, speed = c14(False), 1500 * RPM
    friction = gears.mean_friction(pair, 200, speed, 13.28, 0.355, 0.846)
    factor = gears.tooth_loss_factor(pair)
    check(test, "tip diameter of the pinion, C14", "mm", pair.tip1_m * 1e3, "absolute", 82.635, 5e-4, C14, READ)
    check(test, "tip diameter of the wheel, C14", "mm", pair.tip2_m * 1e3, "absolute", 118.544, 6e-4, C14, READ)
    check(test, "working pressure angle, C14", "deg", math.degrees(pair.working_angle), "absolute", 22.4389, 1e-4, C14, READ)
    check(test, "tooth loss factor H_V, C14", "1", factor, "absolute", 0.1986, 5e-5, C14, READ)
    check(test, "tooth loss factor H_V, C14, more digits", "1", factor, "absolute", 0.19862, 1e-5, C14, RECOMPUTED)
    check(test, "tooth loss factor H_V, C14, tips shortened", "1", gears.tooth_loss_factor(c14(True)), "absolute", 0.19497, 1e-5, C14,
          RECOMPUTED)
    check(test, "mean coefficient of friction, C14", "1", friction, "absolute", 0.0449, 5e-5, C14, READ)
    check(test, "power lost in the mesh, C14", "W", 200 * speed * friction * factor, "absolute", 280.0, 0.1, C14, RECOMPUTED)
    check(test, "tooth loss factor H_V, H501", "1", gears.tooth_loss_factor(h501()), "absolute", 0.16391, 1e-5, H501, RECOMPUTED)
    check(test, "mean coefficient of friction, H501", "1", gears.mean_friction(h501(), 100, 1000 * RPM, 32.67, 0.6, 0.846), "absolute",
          0.0420, 5e-5, H501, READ)


def the_share_lost_grows_with_torque_and_falls_with_speed():
    test = "the_share_lost_grows_with_torque_and_falls_with_speed"
    pair = gears.pair_of(21, 72, 3.5e-3, math.radians(25), 60e-3, 0.2, 0.0)
    source = "mu_m goes with (F/b)^0.2 and v^-0.2"
    base = gears.mean_friction(pair, 100, 1500 * RPM, 7.5, 0.4, 1)
    check(test, "friction at four times the torque", "1", gears.mean_friction(pair, 400, 1500 * RPM, 7.5, 0.4, 1) / base, "relative",
          4 ** 0.2, 1e-12, source, CLOSED)
    check(test, "friction at twice the speed", "1", gears.mean_friction(pair, 100, 3000 * RPM, 7.5, 0.4, 1) / base, "relative",
          2 ** -0.2, 1e-12, source, CLOSED)


def hypoid_teeth_slide_along_themselves():
    test = "hypoid_teeth_slide_along_themselves"
    source = "classical efficiency of hypoid gears, (cos a + mu tan g)/(cos a + mu tan p)"
    for pinion, wheel, friction, loss in ((40, 34, 0.04, 0.0069), (40, 34, 0.07, 0.0117), (45, 33, 0.04, 0.0145), (45, 33, 0.07, 0.0246),
                                          (50, 31, 0.04, 0.0242), (50, 31, 0.07, 0.0409)):
        found = 1 - gears.hypoid_sliding_efficiency(friction, math.radians(pinion), math.radians(wheel))
        check(test, f"lost at spiral angles of {pinion} and {wheel} deg, mu {friction:g}", "1", found, "absolute", loss, 6e-5, source, MEMORY)
    same = gears.hypoid_sliding_efficiency(0.07, math.radians(35), math.radians(35))
    check(test, "efficiency without offset", "1", same, "absolute", 1, 0, "no sliding along the teeth where both angles are equal", CLOSED)


def planet_sets_roll_a_part_of_their_power():
    check("planet_sets_roll_a_part_of_their_power", "efficiency, ring/sun 3, basic 0.98", "1", gears.planet_set_efficiency(3, 0.98),
          "absolute", 0.985, 1e-12, "power balance: of the power i0/(1 + i0) rolls through the meshes", CLOSED)


# ------------------------------------------------------------------------------------------------------ without load


def oil_thins_by_walther():
    test, source = "oil_thins_by_walther", "GEARpie, constants of a mineral oil of VG 32"
    for degc, expected, tolerance in ((40, 31.81, 0.01), (60, 15.117, 0.001), (100, 5.385, 0.001)):
        check(test, f"viscosity of VG 32 at {degc} degC", "mm2/s", gears.viscosity_mm2_s("VG 32 mineral", degc), "absolute", expected,
              tolerance, source, RECOMPUTED)
    for oil, at40, at100 in (("75W-90", 100, 15.2), ("75W-80", 56, 9.6), ("e-drive", 18, 4.2)):
        check(test, f"viscosity of {oil} at 40 degC", "mm2/s", gears.viscosity_mm2_s(oil, 40), "relative", at40, 5e-3,
              "usual in its class", MEMORY)
        check(test, f"viscosity of {oil} at 100 degC", "mm2/s", gears.viscosity_mm2_s(oil, 100), "relative", at100, 5e-3,
              "usual in its class", MEMORY)


def bearings_and_seals_drag_by_their_formulas():
    test = "bearings_and_seals_drag_by_their_formulas"
    rolling, sliding = gears.skf_cylindrical_nmm(60, 90, 30, 1e-6, 0.0015, 5.1, 2956, 1500, 15.12)
    skf = "SKF's friction model with inlet heating and starvation as in GEARpie, NJ 406 at 2956 N, 1500 rpm, 15.12 mm2/s"
    check(test, "rolling moment of NJ 406", "N mm", rolling, "relative", 90.67, 1e-3, skf, RECOMPUTED)
    check(test, "sliding moment of NJ 406", "N mm", sliding, "relative", 10.22, 1e-3, skf, RECOMPUTED)
    by_palmgren = 1e3 * (gears.idle_bearing_nm(2, 15.12, 1500 * RPM, 0.06) + gears.loaded_bearing_nm(3e-4, 2956, 0.06))
    check(test, "NJ 406 by Palmgren, f0 2 and f1 3e-4, beside SKF's model", "N mm", by_palmgren, "relative", rolling + sliding, 0.2,
          "two models of one bearing: Palmgren from memory; " + skf, MEMORY)
    palmgren = "Palmgren: tapered, mean diameter 100 mm, 1500 rpm"
    check(test, "idle moment at 46 mm2/s, f0 4", "N mm", 1e3 * gears.idle_bearing_nm(4, 46, 1500 * RPM, 0.1), "absolute", 673, 1, palmgren,
          MEMORY)
    check(test, "idle moment at 1000 mm2/s, f0 4", "N mm", 1e3 * gears.idle_bearing_nm(4, 1000, 1500 * RPM, 0.1), "absolute", 5241, 1,
          palmgren, MEMORY)
    check(test, "idle moment at rest, f0 4", "N mm", 1e3 * gears.idle_bearing_nm(4, 46, 0, 0.1), "relative", 160e-7 * 4 * 1e6, 0.01,
          "Palmgren: 160e-7 f0 dm^3 below v n of 2000", MEMORY)
    check(test, "load moment at 10 kN, f1 4e-4", "N mm", 1e3 * gears.loaded_bearing_nm(4e-4, 1e4, 0.1), "absolute", 400, 1e-9, palmgren, MEMORY)
    check(test, "shaft seal of 90 mm at 500 rpm", "W", gears.seal_nm(0.09) * 500 * RPM, "absolute", 31.1, 0.05,
          "ISO/TR 14179-2: 7.69e-6 d^2 n W", MEMORY)


def churning_follows_its_two_regimes():
    test, source = "churning_follows_its_two_regimes", "Changenet and Velex, ASME Journal of Mechanical Design 130 (2008): wheel of 400 mm"
    cold = gears.churning_nm(0.20, 0.055, 0.08, 0.012, 860, 100, 300 * RPM)
    warm = gears.churning_nm(0.20, 0.055, 0.08, 0.012, 860, 46, 450 * RPM)
    check(test, "300 rpm, 100 mm2/s", "Nm", cold, "absolute", 3.19, 0.005, source, MEMORY)
    check(test, "450 rpm, 46 mm2/s", "Nm", warm, "absolute", 15.5, 0.05, source, MEMORY)
    check(test, "a wheel above the oil", "Nm", gears.churning_nm(0.20, 0.055, 0.0, 0.012, 860, 46, 450 * RPM), "absolute", 0, 0,
          "it does not dip", CLOSED)


def a_cardan_joint_loses_by_its_angle():
    check("a_cardan_joint_loses_by_its_angle", "4 deg, mu 0.05, pins of 16 on 60 mm", "1",
          gears.joint_loss_share(math.radians(4), 0.05, 16 / 60), "absolute", 0.00119, 5e-6, "(4/pi) mu (r/R) angle", CLOSED)


# ------------------------------------------------------------------------------------------------------ parts of gears


def wheels_are_as_wide_as_their_torque_needs():
    test, source = "wheels_are_as_wide_as_their_torque_needs", "F_t/(b d1) (u + 1)/u, the design's K factor"
    pairs = gear_parts.common_wheels([(5.25, 560), (2.1, 560), (0.8, 900)])
    for wheels in pairs:
        u, small_m = max(wheels.ratio, 1 / wheels.ratio), min(wheels.d1_m, wheels.d2_m)
        force_n = wheels.peak1_nm / (0.5 * wheels.d1_m)
        k_factor = force_n / (wheels.width_m * small_m) * (u + 1) / u * 1e-6
        check(test, f"K factor at a ratio of {wheels.ratio:g}", "N/mm2", k_factor, "relative", 10, 1e-12, source, CLOSED)
        check(test, f"centre distance at a ratio of {wheels.ratio:g}", "m", 0.5 * (wheels.d1_m + wheels.d2_m), "relative",
              0.5 * (pairs[0].d1_m + pairs[0].d2_m), 1e-12, "one for all gears between two shafts", CLOSED)
        check(test, f"working circle at a ratio of {wheels.ratio:g} over its wheel", "1", wheels.pair.working1_m / small_m, "relative", 1, 0.02,
              "teeth are whole numbers and their profiles shifted", CLOSED)


def planets_share_the_torque_of_the_grip():
    test = "planets_share_the_torque_of_the_grip"
    of = design.PlanetSet("", 24, 72, 42000, 480)
    wheels, planet_teeth = gear_parts.planet_pairs(of)
    check(test, "ratio of 24 and 72 teeth", "1", gear_parts.planet_ratio(of), "absolute", 4, 0, "Willis: 1 + z_ring/z_sun", CLOSED)
    check(test, "teeth of its planets", "1", planet_teeth, "absolute", 24, 0, "(z_ring - z_sun)/2", CLOSED)
    check(test, "peak torque of the sun at one of four planets", "Nm", wheels.peak1_nm, "relative", 42000 / 4 / 4 * 1.1, 1e-12,
          "a quarter, and a tenth more for the one that carries most", CLOSED)
    basic = gear_parts.planet_set(of).efficiencies[0]
    needles_nm = gear_parts.planet_needles_nm(of, wheels, planet_teeth, 20.0, 40.0)
    check(test, "needles of its planets without load, at a carrier of 40 rad/s in oil of 20 mm2/s", "Nm", needles_nm, "relative",
          4 * 3 * 1e-10 * 6 * (20 * 3 * 40 * 30 / math.pi) ** (2 / 3) * (500 * wheels.d2_m) ** 3, 1e-12,
          "four planets that roll on a ring of three times their teeth; Palmgren, f0 6, needles on half of a planet's diameter", MEMORY)
    carrier_nm = gear_parts.idle_pair_nm(42000, gear_parts.WHEEL_RAD_S, gears.viscosity_mm2_s(of.oil, of.oil_degc))
    check(test, "bearings of its carrier and planets, without the sun's shaft", "Nm",
          gear_parts.planet_set(of).causes["bearings"], "absolute", carrier_nm + gear_parts.carrier_preload_nm(42000, 2 * 42000 / (3 * wheels.d1_m))
          + gear_parts.planet_needles_nm(of, wheels, planet_teeth, gears.viscosity_mm2_s(of.oil, of.oil_degc), gear_parts.WHEEL_RAD_S), 1e-9,
          "the sun's shaft is the gearbox's, whose bearings it counts", CLOSED)
    check(test, "loss with the carrier held over that of the set", "1", (1 - basic) / (1 - gears.planet_set_efficiency(3, basic)), "absolute",
          4 / 3, 1e-9, "only i0/(1 + i0) of the power rolls", CLOSED)


def grip_limits_what_gears_are_made_for():
    test = "grip_limits_what_gears_are_made_for"
    of = design.Gearbox("", "reduction and gears", (12.0, 4.0), 1000, 400, 9500, 4.0, 20000, constant_ratio=3.0)
    check(test, "output in first gear", "Nm", gear_parts.peak_output_nm(of), "relative", 5000, 1e-12, "20 kNm at the wheels, ratio 4", CLOSED)
    check(test, "second shaft, first gear", "Nm", gear_parts.peak_behind_nm(of, 12.0), "relative", 5000 * 3 / 12, 1e-12, "by grip", CLOSED)
    check(test, "second shaft, second gear", "Nm", gear_parts.peak_behind_nm(of, 4.0), "relative", 3000, 1e-12, "by the motor", CLOSED)


def hubs_drag_by_load_grease_and_seals():
    """11 t: per wheel 2 bearings 1e-7 6 (60 431.3)^(2/3) 125^3 N mm, load 4e-4 1.2 53955 N 0.125 m, seal of 145 mm."""
    found = gear_parts.hubs(design.Hubs("", 1, 11000, 125, 145))
    check("hubs_drag_by_load_grease_and_seals", "driven axle of 11 t at 80 km/h", "Nm", found.drag_duty_nm, "absolute",
          2 * (2 * 1.0254 + 3.2373 + 1.5440), 0.005, "Palmgren and ISO/TR 14179-2, worked out by hand", MEMORY)


def drags_are_straight_through_the_law_at_half_and_all_of_the_duty_speed():
    test = "drags_are_straight_through_the_law_at_half_and_all_of_the_duty_speed"
    rest, top, at_duty, _ = gear_parts.straight(lambda speed: {"a": 3.0, "b": 0.5 * speed}, 40.0, 100.0)
    check(test, "a straight law, at rest", "Nm", rest, "absolute", 3, 1e-12, "3 + 0.5 w", CLOSED)
    check(test, "a straight law, at top speed", "Nm", top, "absolute", 53, 1e-12, "3 + 0.5 w", CLOSED)
    rest, top, at_duty, _ = gear_parts.straight(lambda speed: {"a": 100 / speed}, 40.0, 100.0)
    check(test, "a law that falls: level at the duty's value", "Nm", abs(rest - at_duty) + abs(top - at_duty), "absolute", 0, 1e-12,
          "a drag that falls with speed is written as constant", CLOSED)


# ------------------------------------------------------------------------------------------------------------- motors


def sheet_heats_by_hysteresis_and_eddies():
    test, source = "sheet_heats_by_hysteresis_and_eddies", "Pyleecan, validation of losses: coefficients of the motor of a hybrid car of 2004"
    check(test, "1.5 T at 50 Hz, 0.35 mm", "W/kg", motors.iron_w_m3(50, 1.5, 0.35) / 7650, "absolute", 2.49, 0.005, source, RECOMPUTED)
    check(test, "1 T at 400 Hz, 0.35 mm", "W/kg", motors.iron_w_m3(400, 1.0, 0.35) / 7650, "absolute", 18.6, 0.05, source, RECOMPUTED)
    check(test, "frequency at which both parts are equal", "Hz", motors.value("hysteresis_w_per_m3_t2_hz") / motors.value("eddy_w_per_m3_t2_hz2"),
          "absolute", 270, 0.5, source, RECOMPUTED)
    eddies = motors.iron_w_m3(1000, 1, 0.20) - motors.value("hysteresis_w_per_m3_t2_hz") * 1000
    check(test, "eddies of 0.20 mm over those of 0.35 mm", "1", eddies / (motors.value("eddy_w_per_m3_t2_hz2") * 1e6), "absolute", 0.33, 0.005,
          "they go with the square of the thickness", CLOSED)
    check(test, "classical eddies, 0.35 mm and 52 uOhm cm", "W/(m3 T2 Hz2)", motors.classical_eddy_w_per_m3_t2_hz2(0.35e-3, 52e-8), "absolute",
          0.388, 5e-4, "pi^2 d^2/(6 rho)", CLOSED)


def inverters_lose_by_their_switches():
    test = "inverters_lose_by_their_switches"
    source = "conduction and switching of six switches at 650 V, modulation 0.9, cos phi 0.85, worked out by hand"
    check(test, "power at 400 A", "kW", motors.power_at(400, 650, 0.9, 0.85) * 1e-3, "absolute", 149.2, 0.05, source, CLOSED)
    for current, expected in ((400, 2396), (100, 622)):
        found = sum(motors.silicon_w(current, 400, 650, 0.9, 0.85))
        check(test, f"silicon, {current} A", "W", found, "absolute", expected, 1, source, MEMORY)
    for current, expected in ((400, 918), (100, 133)):
        check(test, f"silicon carbide, {current} A", "W", sum(motors.silicon_carbide_w(current, 400, 650)), "absolute", expected, 1, source, MEMORY)


def motors_grow_as_similar_machines_do():
    """250 kW at a base speed of 1500 rpm and of 4000, with as many poles."""
    test = "motors_grow_as_similar_machines_do"
    slow = design.Motor("", 1592, 250, 3500, 5)
    fast = design.Motor("", 597, 250, 10500, 5)
    of_slow, of_fast = motors.machine(slow), motors.machine(fast)
    check(test, "rotor of 1500 over that of 4000 rpm base speed", "1", of_slow.rotor_m3 / of_fast.rotor_m3, "absolute", 2.67, 0.005,
          "torque goes with the rotor's volume at equal shear stress", CLOSED)
    check(test, "its copper over the other's", "1", of_slow.copper_m3 / of_fast.copper_m3, "relative", (1592 / 597) ** (2 / 3), 1e-12,
          "current along the bore, current density and shape are equal: copper goes with the square of the bore", CLOSED)
    check(test, "loss of its magnets at the same speed over the other's", "1",
          motors.magnet_w(slow, of_slow, 100) / motors.magnet_w(fast, of_fast, 100), "relative", (1592 / 597) ** (5 / 3), 1e-12,
          "magnets: volume times the square of their width", CLOSED)


def coefficients_are_the_law_of_their_motor():
    """A hundredth of the loss: windage and bearings are neither straight nor square."""
    test, source = "coefficients_are_the_law_of_their_motor", "the parts of the loss one by one"
    for name, of in design.MOTORS.items():
        m = motors.machine(of)
        c = motors.coefficients(of, m)
        for share, torque in ((0.3, 0.5), (0.8, 0.2), (1.0, 0.0)):
            speed, nm = share * m.top_rad_s, torque * of.peak_torque_nm
            i2 = torque ** 2 + motors.weakening_share(of, m, nm, speed) ** 2
            found = (c.constant_w + c.speed_w_per_rad_s * speed + c.speed_squared * speed ** 2
                     + c.torque_squared * of.peak_torque_nm ** 2 * i2)
            check(test, f"{name}, {share * 100:g} % of top speed, {torque * 100:g} % of peak torque", "W", found, "relative",
                  motors.loss_w(of, m, nm, speed), 0.01, source, CLOSED)


def every_motor_pulls_on_at_top_speed():
    test, source = "every_motor_pulls_on_at_top_speed", "what is lost without torque must not heat the winding into its derating"
    for name, of in design.MOTORS.items():
        m = motors.machine(of)
        check(test, f"continuous torque of {name}", "Nm", motors.continuous_nm(of, m, m.top_rad_s), "above", 0, 0, source, CLOSED)


# ----------------------------------------------------------------------------------------------------- default values


def gearbox_loss_nm(text, gear, in_nm, rpm):
    """By a gearbox's file: what of the torque that enters does not come out, before the ratio."""
    def numbers(key):
        return [float(item) for item in re.search(key + r".*?\[([^]]*)\]", text).group(1).split(", ")]
    top_rpm, (rest_nm, top_nm) = numbers("drag:.*speed_rpm")[-1], numbers("drag:.*torque_nm")
    drag_nm = rest_nm + (top_nm - rest_nm) * rpm / top_rpm
    return in_nm - (in_nm - drag_nm) * numbers("efficiencies")[gear]


def default_gearboxes_lose_what_the_law_says():
    """T_l,in = T_d0 + T_d1000 n/1000 + f_T T_in, of gearboxes with 1000 Nm at most, 800 Nm at 1500 rpm."""
    test = "default_gearboxes_lose_what_the_law_says"
    truck = "(EU) 2017/2400, Annex VI, Appendix 8; T_d 0.005 T_max from memory"
    design_of = {"layout": "countershaft", "ratios": (4.0, 2.0, 1.0), "peak_input_nm": 1000, "peak_wheel_nm": 20000, "peak_power_kw": 300,
                 "top_input_rpm": 3000, "behind": 5.0}
    text = defaults.gearbox_text("a", design.Gearbox("", **design_of))
    check(test, "truck gearbox, direct gear", "Nm", gearbox_loss_nm(text, 2, 800, 1500), "absolute", 5 + 7.5 + 8, 1e-3, truck, MEMORY)
    check(test, "truck gearbox, indirect gear", "Nm", gearbox_loss_nm(text, 1, 800, 1500), "absolute", 5 + 7.5 + 32, 0.5, truck, MEMORY)
    integrated = "(EU) 2022/1379, Annex Xb, Appendix 9; meshes and bearings by (EU) 2017/2400, Annex VI, 3.1.1: 0.995 x 0.986 x 0.986"
    text = defaults.gearbox_text("a", design.Gearbox("", **(design_of | {"layout": "reduction and gears"})))
    check(test, "gearbox of an electric axle", "Nm", gearbox_loss_nm(text, 2, 800, 1500), "absolute", 2.5 + 3.75 + 800 * 0.032665, 1e-2,
          integrated, RECOMPUTED)


def default_machines_have_the_efficiency_of_the_standard_map():
    test, source = "default_machines_have_the_efficiency_of_the_standard_map", "(EU) 2022/1379, Annex Xb, Appendix 8"
    for torque, speed, efficiency in ((1, 1, 0.938), (0.1, 1, 0.896), (0.5, 2, 0.924), (0.25, 4, 0.778)):
        power = torque * speed
        check(test, f"permanent magnets at {torque:g} of the torque, {speed:g} of the rated speed", "1",
              power / (power + defaults.machine_share(torque, speed)), "absolute", efficiency, 5e-4, source, RECOMPUTED)


def default_axles_drag_as_the_law_says():
    test, source = "default_axles_drag_as_the_law_says", "(EU) 2017/2400, Annex VII, Appendix 3; (EU) 2022/1379, Annex Xb, Appendix 9"
    check(test, "single reduction of 3", "Nm", defaults.axle_drag_nm(defaults.AXLE, 3), "absolute", 130, 0, source, READ)
    check(test, "through-drive of 3", "Nm", defaults.axle_drag_nm(defaults.THROUGH_AXLE, 3), "absolute", 140, 0, source, READ)
    check(test, "electric axle's differential of 3", "Nm", defaults.differential_drag_nm(3), "absolute", 40, 0, source, READ)
    check(test, "184 cells of 1060 Ah", "mOhm", 1e3 * defaults.pack_ohm(1060), "absolute", 24.3, 0.01,
          "(EU) 2022/1379, Annex Xb, Appendix 10, energy type, 140 mOhm Ah; that it is of one cell from memory", MEMORY)


# ------------------------------------------------------------------------------------------------------------ layouts


def layouts_differ_by_no_more_than_public_law_says():
    """Defaults know a layout's meshes by their number. With two in either gearbox they favour the electric axle, by more than our
    laws; arranged as our trucks are, direct against two meshes and a planet set, they favour the central drive: by number alone
    public law leaves the sign open, and what is held here is that our laws stay below the most that it gives."""
    test, eu = "layouts_differ_by_no_more_than_public_law_says", "(EU) 2017/2400, Annexes VI and VII; (EU) 2022/1379, Annex Xb"
    check(test, "default drag of a single reduction of 3", "Nm", judgement.eu_axle_drag_nm(3), "absolute", 130, 0, eu, READ)
    check(test, "default drag of an electric axle's differential at 3", "Nm", judgement.eu_electric_axle_drag_nm(3), "absolute", 40, 0, eu, READ)
    default_axle, default_electric = judgement.eu_central_efficiency(), judgement.eu_electric_axle_efficiency()
    check(test, "two meshes and a single reduction", "1", default_axle, "absolute", 0.948, 5e-5, eu, RECOMPUTED)
    check(test, "axle of two meshes", "1", default_electric, "absolute", 0.9625, 5e-5, eu, RECOMPUTED)
    check(test, "direct gear and a single reduction", "1", judgement.eu_direct_central_efficiency(), "absolute", 0.9702, 5e-5, eu, RECOMPUTED)
    check(test, "axle of two meshes and a planet set of 4", "1", judgement.eu_three_mesh_axle_efficiency(4), "absolute", 0.9474, 5e-5, eu,
          RECOMPUTED)
    check(test, "lead of the electric axle by the defaults, arranged as ours", "1", judgement.eu_lead_as_arranged(), "absolute", -0.0228, 1e-4,
          eu, RECOMPUTED)
    central = judgement.central(*judgement.LAYOUTS["central"])
    electric = judgement.electric_axle(*judgement.LAYOUTS["electric axle"])
    lead = "between no difference and that of the defaults with two meshes in either gearbox"
    check(test, "lead of the electric axle under load, without joints", "1", electric[0] - central[0], "below", default_electric - default_axle, 0,
          lead + ", " + eu, RECOMPUTED)
    check(test, "lead of the electric axle under load, without joints, at least", "1", electric[0] - central[0], "above", 0, 0,
          lead + ", " + eu, RECOMPUTED)
    ratio = design.FINAL_DRIVES[judgement.LAYOUTS["central"][1]].ratio
    spread = judgement.eu_axle_drag_nm(ratio) - judgement.eu_electric_axle_drag_nm(4)
    check(test, "drag that the electric axle saves at the wheels, gearboxes apart", "Nm", central[2] - electric[2], "below", spread, 0,
          lead + ", " + eu, RECOMPUTED)
    hubs = gear_parts.hubs(design.HUBS["hub-drive"]).drag_duty_nm
    share = (central[2] + hubs) / judgement.eu_axle_drag_nm(ratio)
    check(test, "drag of the hypoid axle with hubs over the default", "1", share, "absolute", 0.45, 0.15, "0.3 to 0.6 of modern truck axles",
          MEMORY)


def laws_have_ranges_and_sources():
    test = "laws_have_ranges_and_sources"
    for where in (gears.LAWS, motors.LAWS, motors.INVERTER, gear_parts.SIZES):
        for key, datum in where.items():
            if not (datum.low <= datum.value <= datum.high and datum.low < datum.high and datum.source and datum.meaning):
                fail(test, f"{key} without range, source or meaning")
            checks.append((test, key))


def mesh_teeth_share(finds, of, k):
    """What the teeth lose in gear k, by what a smaller factor on it saves."""
    factor = gears.LAWS["mesh_factor"]
    with uncertainty.set_to(gears.LAWS, "mesh_factor", factor.low):
        smoother = finds(of).efficiencies[k]
    return (smoother - finds(of).efficiencies[k]) / (1 - factor.low / factor.value)


def line_load_offset(finds, of):
    """Of the least line load, which moves the teeth by no simple factor."""
    def figures():
        return [1 - finds(of).efficiencies[0]]
    return uncertainty.offset_and_half(gears.LAWS, "least_line_load_n_mm", figures)[0][0]


def line_load_half(finds, of):
    def figures():
        return [1 - finds(of).efficiencies[0]]
    return uncertainty.offset_and_half(gears.LAWS, "least_line_load_n_mm", figures)[1][0]


def half_widths_are_half_of_what_the_ranges_move():
    test = "half_widths_are_half_of_what_the_ranges_move"
    lost = gears.LAWS["hypoid_friction"]
    mean, deviation = uncertainty.mean_and_deviation(lost)
    check(test, "standard uncertainty between two ends", "1", deviation, "relative", (lost.high - lost.low) / math.sqrt(12), 1e-9,
          "u = (a+ - a-)/sqrt(12): JCGM 100:2008, 4.3.8 and 4.3.7, from memory", MEMORY)
    check(test, "mean between two ends", "1", mean, "relative", (lost.high + lost.low) / 2, 1e-9, "JCGM 101:2008, 6.4.2, from memory", MEMORY)
    steps = 200000
    drawn = [0.4 * 6.25 ** ((k + 0.5) / steps) for k in range(steps)]
    mean, deviation = uncertainty.mean_and_deviation(gears.LAWS["churning_factor"])
    check(test, "mean of a factor of 2.5 either way", "1", mean, "relative", sum(drawn) / steps, 1e-6, "summed over its logarithm", CLOSED)
    check(test, "standard uncertainty of a factor of 2.5 either way", "1", deviation, "relative",
          math.sqrt(sum((one - mean) ** 2 for one in drawn) / steps), 1e-6, "summed over its logarithm", CLOSED)
    factor, oil = gears.LAWS["mesh_factor"], gears.LAWS["lubricant_factor"]
    expected = math.hypot((factor.high - factor.low) / 2 / factor.value, (oil.high - oil.low) / 2 / oil.value)
    for name, finds, of in (("gearbox in the chassis", gear_parts.gearbox, design.GEARBOXES["gearbox-4-speed"]),
                            ("gearbox in the axle", gear_parts.gearbox, design.GEARBOXES["gearbox-axle-2-speed"]),
                            ("planet set", gear_parts.planet_set, design.PLANET_SETS["planet-set-axle"]),
                            ("final drive", gear_parts.final_drive, design.FINAL_DRIVES["final-drive-hypoid-5-3"])):
        spread = uncertainty.gear_spread(finds, of)
        half, offset = spread.labels["mesh_friction"][0], spread.label_offsets["mesh_friction"][0]
        teeth = mesh_teeth_share(finds, of, 0)
        check(test, f"mesh friction over the loss of the teeth, {name}", "1", (half ** 2 - line_load_half(finds, of) ** 2) ** 0.5 / teeth,
              "relative", expected, 0.01, "half ranges of two factors in quadrature, the same in both layouts", CLOSED)
        middle = (factor.low + factor.high) / 2 / factor.value - 1 + (oil.low + oil.high) / 2 / oil.value - 1
        check(test, f"middle of its range off the loss of the teeth, {name}", "1", (offset - line_load_offset(finds, of)) / teeth, "absolute",
              middle, 0.01, "middles of two ranges, the same in both layouts", CLOSED)
    box = gear_parts.gearbox(design.GEARBOXES["gearbox-4-speed"])
    churning = gears.LAWS["churning_factor"]
    half = uncertainty.gear_spread(gear_parts.gearbox, design.GEARBOXES["gearbox-4-speed"]).labels["churning"][-1]
    check(test, "churning over the drag of the oil bath", "1", half / box.causes["oil"], "relative",
          math.sqrt(3) * deviation / churning.value, 1e-6, "rectangle with the standard uncertainty of that factor", CLOSED)
    check(test, "churning keeps its bath from pushing", "Nm", half, "below", mean * box.causes["oil"], 0, "a drag is no drive", CLOSED)


def stated(text, name):
    """The half width, or the relative one, of an entry of `uncertain`."""
    found = re.search(rf"^  {name}: .*?(?:half_width|relative): (\S+?),", text, re.M | re.S)
    return float(found.group(1)) if found else math.nan


def more_friction_lowers_efficiencies_and_raises_drags():
    test = "more_friction_lowers_efficiencies_and_raises_drags"
    text = uncertainty.gear_text(gear_parts.final_drive, design.FINAL_DRIVES["final-drive-hypoid-5-3"], "efficiency", "drag.torque_nm")
    why = "one coefficient, f1 of Palmgren, in the load's loss and in the preload's drag"
    check(test, "efficiency with the bearings' friction", "1", stated(text, "bearing_friction"), "below", 0, 0, why, CLOSED)
    check(test, "drag with the bearings' friction", "1", stated(text, "bearing_friction_drag"), "above", 0, 0, why, CLOSED)


def something_is_left_of_every_loss():
    test = "something_is_left_of_every_loss"
    for name, finds, of in ([(name, gear_parts.gearbox, of) for name, of in design.GEARBOXES.items()]
                            + [(name, gear_parts.mesh, of) for name, of in design.MESHES.items()]
                            + [(name, gear_parts.planet_set, of) for name, of in design.PLANET_SETS.items()]
                            + [(name, gear_parts.final_drive, of) for name, of in design.FINAL_DRIVES.items()]):
        found, spread = finds(of), uncertainty.gear_spread(finds, of)
        for k, at in enumerate([1 - one for one in found.efficiencies] + [found.drag_duty_nm]):
            half = spread.own[k] + sum(row[k] for row in spread.labels.values())
            middle = at + spread.own_offset[k] + sum(row[k] for row in spread.label_offsets.values())
            check(test, f"half widths over the middle of figure {k} of {name}", "1", half / middle, "below", 1, 0,
                  "neither loss nor drag below zero", CLOSED)


def parts_err_less_than_their_makers_may_let_them_stray():
    test = "parts_err_less_than_their_makers_may_let_them_stray"
    for kind, points in uncertainty.standard_points().items():
        of = uncertainty.TOLERANCES[kind]
        check(test, f"standard uncertainty of the efficiency, {of.what}", "points", points, "below", of.points / 2, 0,
              "half of the tolerance of conformity of production, " + of.annex, READ)
    axle = uncertainty.gear_spread(gear_parts.final_drive, design.FINAL_DRIVES["final-drive-hypoid-5-3"])
    check(test, "standard uncertainty of the efficiency of a hypoid axle, whose loss leaves room for it", "points",
          100 * uncertainty.standard(axle), "relative", 0.5, 1e-6, "a third of the tolerance of conformity of production, "
          + uncertainty.TOLERANCES["axle"].annex, READ)
    box = gear_parts.gearbox(design.GEARBOXES["gearbox-4-speed"])
    spread = uncertainty.gear_spread(gear_parts.gearbox, design.GEARBOXES["gearbox-4-speed"])
    check(test, "standard uncertainty of a gearbox's loss over the loss", "1", uncertainty.standard(spread) / (1 - box.efficiencies[0]),
          "above", 0.025, 0, "two tests of one gearbox may differ by 5 % of the loss: (EU) 2017/2400, Annex VI, 3.3.8.5", READ)


ENTRY = r"^  \S+: \{of: \[(?P<of>[^\]]*)\],\s+relative: (?P<half>[^\s,]+),(?:\s+offset: (?P<offset>[^\s,]+),)?\s+errs_with: (?P<label>[^\s,]+),"


def motor_moves(text):
    """{label: {"copper", "other", "resistance": (half width, offset)}}, all relative, as a motor's file states them."""
    moves = {}
    for found in re.finditer(ENTRY, text, re.M):
        of = found["of"].split(", ")
        whats = {"map.loss_factor": ("copper", "other"), "loss.torque_squared_w_per_nm2": ("copper",), "loss.constant_w": ("other",),
                 "winding.resistance_k_per_kw": ("resistance",)}.get(of[0], ())
        for what in whats:
            moves.setdefault(found["label"], {})[what] = (float(found["half"]), float(found["offset"] or 0))
    return moves


def heat_at_the_rating(of):
    """Copper's loss at 100 degC and all others, W, at the greatest continuous power, and both resistances, K/W."""
    m = motors.machine(of)
    torque_nm, speed = max(((motors.continuous_nm(of, m, m.top_rad_s * k / 40), m.top_rad_s * k / 40) for k in range(1, 41)),
                           key=lambda at: at[0] * at[1])
    weakening = motors.weakening_share(of, m, torque_nm, speed)
    copper_w = motors.copper_at_peak_w(of, m) * ((torque_nm / of.peak_torque_nm) ** 2 + weakening ** 2)
    winding, housing = motors.nodes(of, m)
    return (copper_w, motors.loss_w(of, m, torque_nm, speed) - copper_w, winding.resistance_k_per_kw * 1e-3,
            housing.resistance_k_per_kw * 1e-3)


def winding_degc(heat, copper=0.0, other=0.0, resistance=0.0):
    """Steady, by turns of temperature and copper's resistance, with what is given moved by a share."""
    copper_w, other_w, winding_k_w, housing_k_w = heat
    degc = 100.0
    for _ in range(500):
        warm_w = copper_w * (1 + copper) * (235 + degc) / (235 + 100)
        degc = 65 + (1 + resistance) * (winding_k_w * warm_w + housing_k_w * (warm_w + other_w * (1 + other)))
    return degc


def moved(heat, one, share, which, but=()):
    """The winding's temperature with so much of all half widths (0) or offsets (1) of a label."""
    return winding_degc(heat, **{what: share * at[which] for what, at in one.items() if what not in but})


def a_motor_that_loses_more_keeps_its_rating():
    """What is left by first order is what two digits of either number in the file round away."""
    test = "a_motor_that_loses_more_keeps_its_rating"
    why = "(1 + r)(1 - r) = 1 - r^2: the continuous power is tested"
    for name, of in design.MOTORS.items():
        heat = heat_at_the_rating(of)
        at = winding_degc(heat)
        check(test, f"winding at the greatest continuous power of {name}", "degC", at, "absolute", motors.DERATE_DEGC[0], 0.01,
              "fixed point of temperature and copper's loss", CLOSED)
        moves = motor_moves(uncertainty.motor_text(name, of))
        losing = [label for label, one in moves.items() if set(one) & {"copper", "other"}]
        check(test, f"labels of the losses of {name}", "1", len(losing), "above", 3, 0, "eddies, iron, magnets and what is its own", CLOSED)
        for label in losing:
            one = moves[label]
            for which, what in enumerate(("half width", "offset")):
                alone = moved(heat, one, 0.01, which, ("resistance",)) - moved(heat, one, -0.01, which, ("resistance",))
                if alone:
                    kept = moved(heat, one, 0.01, which) - moved(heat, one, -0.01, which)
                    check(test, f"winding of {name} by {label}, {what}, over what its losses alone would move", "1", abs(kept / alone), "below",
                          0.1, 0, why, CLOSED)
        more, less = winding_degc(heat, 0.2, 0.2, -0.2), winding_degc(heat, -0.2, -0.2, 0.2)
        check(test, f"winding of {name} with a fifth more losses and a fifth less resistance, less the other way round", "K", more - less,
              "absolute", 0, 1e-6, why, CLOSED)
        check(test, f"what that moves over the rise, {name}", "1", abs(more - at) / (at - 65), "below", 2 * 0.2 ** 2, 0, why, CLOSED)


TESTS = [meshes_lose_what_worked_examples_say, the_share_lost_grows_with_torque_and_falls_with_speed, hypoid_teeth_slide_along_themselves,
         planet_sets_roll_a_part_of_their_power, oil_thins_by_walther, bearings_and_seals_drag_by_their_formulas,
         churning_follows_its_two_regimes, a_cardan_joint_loses_by_its_angle, wheels_are_as_wide_as_their_torque_needs,
         planets_share_the_torque_of_the_grip, grip_limits_what_gears_are_made_for, hubs_drag_by_load_grease_and_seals, drags_are_straight_through_the_law_at_half_and_all_of_the_duty_speed,
         sheet_heats_by_hysteresis_and_eddies,
         inverters_lose_by_their_switches, motors_grow_as_similar_machines_do, coefficients_are_the_law_of_their_motor,
         every_motor_pulls_on_at_top_speed, default_gearboxes_lose_what_the_law_says,
         default_machines_have_the_efficiency_of_the_standard_map, default_axles_drag_as_the_law_says,
         layouts_differ_by_no_more_than_public_law_says, laws_have_ranges_and_sources,
         half_widths_are_half_of_what_the_ranges_move, more_friction_lowers_efficiencies_and_raises_drags,
         something_is_left_of_every_loss, parts_err_less_than_their_makers_may_let_them_stray, a_motor_that_loses_more_keeps_its_rating]


def main():
    broken = 0
    for test in TESTS:
        before, count = len(failures), len(checks)
        test()
        if len(checks) == count:
            fail(test.__name__, "no checks")
        broken += len(failures) > before
    for line in failures:
        print(line)
    print(f"{100 * (len(TESTS) - broken) // len(TESTS)}%: Checks: {len(TESTS)}, Failures: {broken}, Errors: 0")
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main())
