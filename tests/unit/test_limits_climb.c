/*
 * Climbing, time to derating and sprints: by hand on a truck without losses, and asked of runs.
 */
#define _POSIX_C_SOURCE 200809L
#include "limits_probe.h"

#define GRAVITY 9.80665
enum { MASS_KG = 40000 };

/* 4000 Nm over 15 and 0.5 m: 120 kN up to 12 km/h, then 400 kW; 90 km/h at 7162 rpm. */
#define WEAK "peak_torque_nm: 4000, peak_power_kw: 400, reference_voltage_v: 700, top_speed_rpm: 7161.972439135291"
#define MESH "mesh: {ratio: 15, efficiency: 1}"
static const double FORCE_N = 120e3, POWER_W = 400e3, ROLLING = 0.006;

static plain_truck weak_truck(void)
{
    plain_truck t = plain_truck_of(MASS_KG);
    t.motor = WEAK;
    t.path = MESH;
    t.rolling = ROLLING;
    return t;
}

/* m g (sin + f cos) = F, solved for the tangent: textbooks of vehicle dynamics. */
static double grade_percent(double force_n)
{
    double ratio = force_n / (MASS_KG * GRAVITY), f = ROLLING;
    double sine = (ratio - f * sqrt(1 + f * f - ratio * ratio)) / (1 + f * f);
    return 100 * sine / sqrt(1 - sine * sine);
}

static double resistance_n(double percent)
{
    double angle = atan(percent / 100);
    return MASS_KG * GRAVITY * (sin(angle) + ROLLING * cos(angle));
}

/* ------------------------------------------------------------------------------------------------ by hand */

START_TEST(grades_by_speed_are_those_of_torque_up_to_base_speed_and_of_power_beyond)
{
    plain_truck t = weak_truck();
    ready r = ready_plain(&t, true);
    static const int km_h[] = {3, 5, 10, 20, 30, 40, 50, 60, 70, 80};
    for (size_t k = 0; k < sizeof km_h / sizeof *km_h; k++) {
        evn_limits_figure f = at_speed(&r, km_h[k], "peak_percent");
        double force_n = fmin(FORCE_N, POWER_W / (km_h[k] / 3.6));
        ck_assert_double_eq_tol(f.value, grade_percent(force_n), 1e-6);
        ck_assert_str_eq(f.limit, km_h[k] <= 12 ? "motor_torque" : "motor_power");
        ck_assert(isnan(at_speed(&r, km_h[k], "continuous_percent").value));
        ck_assert_str_eq(at_speed(&r, km_h[k], "continuous_percent").limit, "no_heat_data");
    }
    ready_end(&r);
}
END_TEST

START_TEST(speeds_by_grade_are_those_at_which_power_meets_resistance_up_to_the_top_speed)
{
    static const int percent[] = {1, 2, 3, 4, 5, 6, 8, 12, 18};
    plain_truck t = weak_truck();
    ready r = ready_plain(&t, true);
    for (size_t k = 0; k < sizeof percent / sizeof *percent; k++) {
        evn_limits_figure f = on_grade(&r, percent[k], "peak_km_h");
        double km_h = 3.6 * POWER_W / resistance_n(percent[k]);
        ck_assert_double_eq_tol(f.value, fmin(km_h, 90), 1e-6);
        ck_assert_str_eq(f.limit, km_h > 90 ? "motor_speed" : "motor_power");
        ck_assert(isnan(on_grade(&r, percent[k], "continuous_km_h").value));
    }
    evn_limits_figure level = figure(&r, "climb.level.peak_km_h");
    ck_assert_double_eq_tol(level.value, 90, 1e-9);
    ck_assert_str_eq(level.limit, "motor_speed");
    ck_assert_ptr_null(level.next);
    ready_end(&r);
}
END_TEST

/* Moments about the supports: the driven axle carries a quarter of the weight, and what climbing shifts onto it:
 * mu (0.25 cos + h/L sin) = sin + f cos. */
START_TEST(adhesion_holds_at_the_grade_that_moments_give_with_and_without_load_transfer)
{
    static const double heights_m[] = {0, 1.4};
    plain_truck t = weak_truck();
    t.driving = 0.5;
    t.centre_height_m = heights_m[_i];
    ready r = ready_plain(&t, true);
    evn_limits_figure f = at_speed(&r, 3, "peak_percent");
    double expected = 100 * (0.5 * 0.25 - ROLLING) / (1 - 0.5 * heights_m[_i] / t.wheelbase_m);
    ck_assert_double_eq_tol(f.value, expected, 1e-6);
    ck_assert_str_eq(f.limit, "adhesion");
    ck_assert_str_eq(f.next, "motor_torque");
    ck_assert_double_eq_tol(f.next_value, grade_percent(FORCE_N), 1e-6);
    ready_end(&r);
}
END_TEST

START_TEST(gears_have_the_grade_of_their_torque_and_the_speeds_of_their_ratios)
{
    plain_truck t = weak_truck();
    t.gearbox = "ratios: [3, 1], efficiencies: [1, 1]";
    t.path = "mesh: {ratio: 5, efficiency: 1}";
    ready r = ready_plain(&t, true);
    ck_assert_double_eq_tol(figure(&r, "climb.unit_gear_1.peak_percent").value, grade_percent(FORCE_N), 1e-6);
    ck_assert_double_eq_tol(figure(&r, "climb.unit_gear_2.peak_percent").value, grade_percent(FORCE_N / 3), 1e-6);
    ck_assert_double_eq_tol(figure(&r, "climb.unit_gear_1.base_km_h").value, 12, 1e-9);
    ck_assert_double_eq_tol(figure(&r, "climb.unit_gear_2.base_km_h").value, 36, 1e-9);
    ck_assert_double_eq_tol(figure(&r, "climb.unit_gear_1.top_km_h").value, 90, 1e-9);
    ck_assert_double_eq_tol(figure(&r, "climb.unit_gear_2.top_km_h").value, 270, 1e-9);
    ready_end(&r);
}
END_TEST

/* Its motor pulls more in the first gear, but 200 kW of the battery pull more in the second, which loses nothing. */
START_TEST(where_the_battery_holds_the_gear_counts_that_loses_least)
{
    plain_truck t = weak_truck();
    t.gearbox = "ratios: [2, 1], efficiencies: [0.9, 1]";
    t.path = "mesh: {ratio: 7.5, efficiency: 1}";
    t.pack = "capacity_ah: 1e5, resistance_ohm: 0, open_circuit: {soc: [0.5], voltage_v: [700]}, discharge_limit_kw: "
             "200, charge_limit_kw: 1e5, start_soc: 0.5";
    ready r = ready_plain(&t, true);
    evn_limits_figure f = at_speed(&r, 20, "peak_percent");
    ck_assert_double_eq_tol(f.value, grade_percent(200e3 / (20 / 3.6)), 1e-6);
    ck_assert_str_eq(f.limit, "battery_power");
    ck_assert_double_eq_tol(f.next_value, grade_percent(0.9 * POWER_W / (20 / 3.6)), 1e-6);
    ck_assert_double_eq_tol(on_grade(&r, 8, "peak_km_h").value, 3.6 * 200e3 / resistance_n(8), 1e-6);
    ready_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ heat by hand */

/* 2 mW/Nm2 of copper loss at 80 degC; coolant 60, derating from 140 degC. */
#define COPPER_W_NM2 2e-3
#define WARM                                                                                                           \
    WEAK ", loss: {torque_squared_w_per_nm2: 2e-3, winding_degc: 80}, winding: {coolant_degc: 60, "                    \
         "resistance_k_per_kw: 6, time_constant_s: 200, derate_from_degc: 140, derate_to_degc: 160}"
static const double K_W = 6e-3, TIME_S = 200, COOLANT_DEGC = 60, FROM_DEGC = 140;

static double copper_factor(double degc) { return (235 + degc) / (235 + 80.0); } /* IEC 60034-1, from memory */

static plain_truck warm_truck(void)
{
    plain_truck t = weak_truck();
    t.motor = WARM;
    return t;
}

/* Steady: K P = 80 K. */
static double continuous_nm(void)
{
    return sqrt((FROM_DEGC - COOLANT_DEGC) / (K_W * COPPER_W_NM2 * copper_factor(FROM_DEGC)));
}

START_TEST(for_ever_the_winding_holds_the_torque_at_which_it_stands_where_derating_begins)
{
    plain_truck t = warm_truck();
    ready r = ready_plain(&t, true);
    double force_n = continuous_nm() * 30, km_h = 3.6 * POWER_W / resistance_n(8);
    evn_limits_figure slow = at_speed(&r, 5, "continuous_percent"), fast = at_speed(&r, 80, "continuous_percent");
    ck_assert_double_lt(continuous_nm(), 4000);
    ck_assert_double_eq_tol(slow.value, grade_percent(force_n), 1e-6);
    ck_assert_str_eq(slow.limit, "winding_temperature");
    ck_assert_double_eq_tol(slow.next_value, grade_percent(FORCE_N), 1e-6);
    ck_assert_str_eq(slow.next, "motor_torque");
    ck_assert_double_eq_tol(fast.value, grade_percent(POWER_W / (80 / 3.6)), 1e-6); /* less torque than for ever */
    ck_assert_str_eq(fast.limit, "motor_power");
    ck_assert_double_eq_tol(on_grade(&r, 8, "continuous_km_h").value, km_h, 1e-6);
    ck_assert(isnan(on_grade(&r, 18, "peak_km_h").value) == false);
    ck_assert(isnan(on_grade(&r, 18, "continuous_km_h").value) == (grade_percent(force_n) < 18));
    ready_end(&r);
}
END_TEST

/* tau dT/dt = K P_0 (235 + T)/(235 + T_0) - (T - T_c): linear, so that T nears its end with one time constant. */
static double minutes_to(double degc, double motor_nm)
{
    double rise = K_W * COPPER_W_NM2 * motor_nm * motor_nm / (235 + 80.0);
    double end_degc = (COOLANT_DEGC + 235 * rise) / (1 - rise), tau_s = TIME_S / (1 - rise);
    return tau_s * log((end_degc - COOLANT_DEGC) / (end_degc - degc)) / 60;
}

static double minutes_to_derating(double motor_nm) { return minutes_to(FROM_DEGC, motor_nm); }

/* A winding that hardly warms up changes nothing of what the battery holds; where it binds, the gear of the battery
 * bears no more than it can in that gear. */
START_TEST(for_ever_the_battery_holds_in_the_gear_that_loses_least_too)
{
    plain_truck t = weak_truck();
    t.motor = WEAK ", loss: {torque_squared_w_per_nm2: 2e-6, winding_degc: 80}, winding: {coolant_degc: 60, "
                   "resistance_k_per_kw: 6, time_constant_s: 200, derate_from_degc: 140, derate_to_degc: 160}";
    t.gearbox = "ratios: [2, 1], efficiencies: [0.9, 1]";
    t.path = "mesh: {ratio: 7.5, efficiency: 1}";
    t.pack = "capacity_ah: 1e5, resistance_ohm: 0, open_circuit: {soc: [0.5], voltage_v: [700]}, discharge_limit_kw: "
             "200, charge_limit_kw: 1e5, start_soc: 0.5";
    ready r = ready_plain(&t, true);
    evn_limits_figure f = at_speed(&r, 20, "continuous_percent");
    ck_assert_double_eq_tol(f.value, at_speed(&r, 20, "peak_percent").value, 1e-6);
    ck_assert_double_eq_tol(f.value, grade_percent(200e3 / (20 / 3.6)), 1e-2); /* 32 W are lost */
    ck_assert_str_eq(f.limit, "battery_power");
    ck_assert_double_eq_tol(on_grade(&r, 8, "continuous_km_h").value, on_grade(&r, 8, "peak_km_h").value, 1e-6);
    ready_end(&r);
    /* 220 kW: 35.1 kN in the first gear, 37.2 kN in the second, in which the winding bears 35.5 kN */
    t.motor = WARM;
    t.pack = "capacity_ah: 1e5, resistance_ohm: 0, open_circuit: {soc: [0.5], voltage_v: [700]}, discharge_limit_kw: "
             "220, charge_limit_kw: 1e5, start_soc: 0.5";
    r = ready_plain(&t, true);
    ck_assert_double_eq_tol(at_speed(&r, 20, "continuous_percent").value, grade_percent(continuous_nm() * 15), 1e-6);
    ready_end(&r);
}
END_TEST

START_TEST(derating_begins_when_the_winding_has_warmed_up_at_the_torque_that_the_grade_asks)
{
    plain_truck t = warm_truck();
    ready r = ready_plain(&t, false);
    double steep_nm = resistance_n(18) * 0.5 / 15, flat_nm = resistance_n(8) * 0.5 / 15;
    ck_assert_double_gt(steep_nm, continuous_nm());
    ck_assert_double_lt(flat_nm, continuous_nm());
    evn_limits_figure steep = figure(&r, "derating.on_18_percent.until_derating_min");
    evn_limits_figure flat = figure(&r, "derating.on_8_percent.until_derating_min");
    ck_assert_double_eq_tol(steep.value, minutes_to_derating(steep_nm), 1e-3 * steep.value);
    ck_assert_str_eq(steep.limit, "winding_temperature");
    ck_assert(!steep.beyond);
    ck_assert_double_eq_tol(flat.value, 60, 1e-6);
    ck_assert(flat.beyond);
    ck_assert_ptr_null(flat.limit);
    ready_end(&r);
}
END_TEST

/*
 * The condition `surface` is the ground of what is driven too: gravel rolls with 2.5 times the resistance, of which the
 * motors of a run have to know.
 */
START_TEST(derating_on_a_ground_is_driven_on_that_ground)
{
    plain_truck t = warm_truck();
    double gravel_n = 2.5 * ROLLING * MASS_KG * GRAVITY;
    t.driven_load_kg = 0.8 * MASS_KG; /* so that tyres carry it */
    ready r = ready_plain_on(EVN_SURFACE_GRAVEL, &t, false);
    double tangent = 0.18, cosine = 1 / sqrt(1 + tangent * tangent);
    double nm = (MASS_KG * GRAVITY * tangent * cosine + gravel_n * cosine) * 0.5 / 15;
    evn_limits_figure steep = figure(&r, "derating.on_18_percent.until_derating_min");
    ck_assert_double_eq_tol(steep.value, minutes_to_derating(nm), 1e-3 * steep.value);
    evn_limits_figure creep = figure(&r, "going.creep.ten_minutes_percent");
    double sine = creep.value / 100 / sqrt(1 + creep.value * creep.value / 1e4);
    nm = (MASS_KG * GRAVITY * sine + gravel_n * sqrt(1 - sine * sine)) * 0.5 / 15;
    double needed_to_degc = 160 - (160 - FROM_DEGC) * nm / 4000; /* where derating leaves just that */
    ck_assert_double_eq_tol(minutes_to(needed_to_degc, nm), 10, 0.02);
    ready_end(&r);
}
END_TEST

/* The speed is held for ever where it is held for some hours, thirty time constants: a little below, not above. */
START_TEST(driven_for_hours_the_winding_bears_the_continuous_grade_and_no_more)
{
    plain_truck t = warm_truck();
    ready r = ready_plain(&t, true);
    double percent = at_speed(&r, 10, "continuous_percent").value;
    ramp up = {.percent = percent - 0.2, .speed_km_h = 10, .length_m = 20e3, .driver = EVN_DRIVER_EXACT};
    climbed below = climb_up(&r, &up);
    up.percent = percent + 0.2;
    climbed above = climb_up(&r, &up);
    double below_degc, above_degc;
    evn_results_get(below.results, "peak_winding_temperature_degc", &below_degc);
    evn_results_get(above.results, "peak_winding_temperature_degc", &above_degc);
    ck_assert_double_lt(below_degc, FROM_DEGC);
    ck_assert_double_gt(above_degc, FROM_DEGC);
    evn_results_free(below.results);
    evn_results_free(above.results);
    ready_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ sprints */

/*
 * From rest at constant force, then at constant power (textbooks): m v1/F, and m (v2^2 - v1^2)/2 P. Without rolling
 * resistance, in one gear, so that nothing else takes time.
 */
START_TEST(times_from_rest_are_those_of_constant_force_and_constant_power)
{
    plain_truck t = weak_truck();
    t.rolling = 0;
    ready r = ready_plain(&t, false);
    double v1 = POWER_W / FORCE_N, m = MASS_KG;
    for (int km_h = 50; km_h <= 80; km_h += 30) {
        double v2 = km_h / 3.6, expected_s = m * v1 / FORCE_N + m * (v2 * v2 - v1 * v1) / (2 * POWER_W);
        evn_limits_figure f = figure(&r, km_h == 50 ? "sprint.to_50_km_h.time_s" : "sprint.to_80_km_h.time_s");
        ck_assert_double_eq_tol(f.value, expected_s, 2e-3 * expected_s);
        ck_assert_str_eq(f.limit, "motor_power");
        ck_assert_str_eq(f.next, "motor_torque");
    }
    ready_end(&r);
}
END_TEST

/* Snow carries 0.2 of the quarter of the weight that is driven (cycle/surface.c): a constant force. */
START_TEST(times_from_rest_are_those_of_the_ground_that_is_asked_for)
{
    plain_truck t = weak_truck();
    t.rolling = 0;
    ready r = ready_plain_on(EVN_SURFACE_SNOW, &t, false);
    double accel = 0.2 * 0.25 * GRAVITY, expected_s = 50 / 3.6 / accel;
    ck_assert_double_lt(MASS_KG * accel * 50 / 3.6, POWER_W);
    evn_limits_figure f = figure(&r, "sprint.to_50_km_h.time_s");
    ck_assert_double_eq_tol(f.value, expected_s, 2e-3 * expected_s);
    ck_assert_str_eq(f.limit, "adhesion");
    ready_end(&r);
}
END_TEST

START_TEST(a_truck_that_is_too_slow_has_no_time_and_is_told_why)
{
    plain_truck t = weak_truck();
    t.path = "mesh: {ratio: 20, efficiency: 1}"; /* 67.5 km/h */
    ready r = ready_plain(&t, false);
    evn_limits_figure f = figure(&r, "sprint.to_80_km_h.time_s");
    ck_assert(isnan(f.value));
    ck_assert_str_eq(f.limit, "motor_speed");
    ck_assert(figure(&r, "sprint.to_50_km_h.time_s").value > 0);
    ready_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ none */

static void check_limit(const ready *r, const char *key, const char *limit)
{
    evn_limits_figure f = figure(r, key);
    ck_assert_msg(isnan(f.value), "%s: %g", key, f.value);
    ck_assert_msg(f.limit && strcmp(f.limit, limit) == 0, "%s: %s", key, f.limit ? f.limit : "no limit");
}

/* What is lost in a gap has no limit of its own: that of the grade beside it. */
static void check_that_each_none_says_why(const ready *r)
{
    evn_limits_figure f;
    for (size_t k = 0; evn_limits_at(r->limits, k, &f); k++) {
        ck_assert_msg(!isnan(f.value) || f.limit || strcmp(f.column, "speed_lost_km_h") == 0, "%s", f.what.key);
        ck_assert_msg(!f.next || strcmp(f.next, f.limit) != 0, "%s: %s twice", f.what.key, f.limit);
    }
}

START_TEST(a_battery_at_its_low_end_drives_nowhere_and_says_so)
{
    evn_load_case load_case = evn_conditions_default().load_case;
    char path[512];
    snprintf(path, sizeof path, "%s/tests/vehicles/trucks/tractor-4x2-central.yaml", getenv("EVENER_SOURCE"));
    load_case.start_soc = 0.06; /* usable_from_soc of its pack */
    ready r = ready_of(path, &load_case, false);
    check_limit(&r, "sprint.to_50_km_h.time_s", "battery_charge");
    check_limit(&r, "sprint.over_100_m.time_s", "battery_charge");
    check_limit(&r, "long_descent.type_2.friction_kwh", "battery_charge");
    check_limit(&r, "long_descent.type_2a.peak_brake_degc", "battery_charge");
    ck_assert(figure(&r, "long_descent.type_2.potential_kwh").value > 0);
    check_that_each_none_says_why(&r);
    ready_end(&r);
}
END_TEST

START_TEST(a_truck_that_does_not_move_off_has_no_times_and_says_why)
{
    plain_truck t = weak_truck();
    t.motor = "peak_torque_nm: 1, peak_power_kw: 1, top_speed_rpm: 7e3, reference_voltage_v: 700";
    ready r = ready_plain(&t, false);
    check_limit(&r, "sprint.to_50_km_h.time_s", "motor_torque");
    check_limit(&r, "sprint.over_100_m.time_s", "motor_torque");
    check_that_each_none_says_why(&r);
    ready_end(&r);
}
END_TEST

START_TEST(where_no_file_states_heat_no_figure_of_heat_is_told_and_all_say_why)
{
    plain_truck t = weak_truck();
    ready r = ready_plain(&t, false);
    check_limit(&r, "climb.at_30_km_h.continuous_percent", "no_heat_data");
    check_limit(&r, "climb.on_3_percent.continuous_km_h", "no_heat_data");
    check_limit(&r, "descent.30_km_h.continuous_percent", "no_heat_data");
    check_limit(&r, "long_descent.type_2.peak_brake_degc", "no_heat_data");
    check_that_each_none_says_why(&r);
    ready_end(&r);
}
END_TEST

/* The same wind blows from behind in reverse: rho/2 c A w |w| at rest, of a truck that is the same both ways. */
START_TEST(wind_that_holds_back_a_start_forwards_helps_one_in_reverse)
{
    char path[PATH_BYTES];
    plain_truck t = weak_truck();
    evn_load_case load_case = evn_conditions_default().load_case;
    t.drag_area_m2 = 6;
    load_case.air_density_kg_m3 = 1.2;
    load_case.headwind_m_s = 20;
    write_plain_truck(&t, "windy.yaml");
    ready r = ready_of(in_folder(path, "windy.yaml"), &load_case, true);
    double air_n = 0.5 * 1.2 * 6 * 20 * 20, moves_n = 1e-3 * MASS_KG;
    ck_assert_double_eq_tol(figure(&r, "start.as_stated.once_percent").value, grade_percent(FORCE_N - moves_n - air_n),
                            1e-5);
    ck_assert_double_eq_tol(figure(&r, "start.as_stated.reversing_percent").value,
                            grade_percent(FORCE_N - moves_n + air_n), 1e-5);
    ready_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ driven */

static const char *const shipped[] = {
    "tests/trucks/plain/tractor-4x2-central.yaml",      "tests/trucks/plain/tractor-4x2-two-eaxles.yaml",
    "tests/trucks/plain/tractor-6x4-eaxle.yaml",        "tests/trucks/plain/tipper-8x4-two-eaxles.yaml",
    "tests/vehicles/trucks/rigid-6x2-eaxle.yaml",       "tests/vehicles/trucks/tipper-8x4-central.yaml",
    "tests/vehicles/trucks/tractor-6x4-two-eaxles.yaml"};
enum { SHIPPED = sizeof shipped / sizeof *shipped };

START_TEST(a_run_keeps_its_speed_on_a_grade_of_a_fifth_of_a_point_less_and_not_on_one_of_as_much_more)
{
    static const int km_h[] = {3, 10, 30, 50, 80};
    ready r = ready_shipped(shipped[_i], true);
    for (size_t k = 0; k < sizeof km_h / sizeof *km_h; k++) {
        double percent = at_speed(&r, km_h[k], "peak_percent").value;
        ramp up = {.percent = percent - 0.2, .speed_km_h = km_h[k], .length_m = 20, .driver = EVN_DRIVER_EXACT};
        ck_assert_msg(keeps_speed(&r, &up), "%s at %d km/h on %.2f %%", shipped[_i], km_h[k], up.percent);
        up.percent = percent + 0.2;
        ck_assert_msg(!keeps_speed(&r, &up), "%s at %d km/h on %.2f %%", shipped[_i], km_h[k], up.percent);
    }
    ready_end(&r);
}
END_TEST

/*
 * At once, before the battery's voltage falls or a winding derates. A run chooses gears by what they cost: for a few
 * newtons more it does not take one that loses more, and it leaves one at 98 % of its motors' top speed; so near are
 * its speed and the figure. (A truck with one gear settles within a tenth: the next test.)
 */
static const double NEAR_KM_H = 0.3;

START_TEST(a_run_keeps_a_little_less_than_the_speed_of_a_grade_and_not_a_little_more)
{
    static const int percent[] = {1, 2, 3, 4, 5, 6, 8, 12, 18};
    ready r = ready_shipped(shipped[_i], true);
    for (size_t k = 0; k < sizeof percent / sizeof *percent; k++) {
        evn_limits_figure f = on_grade(&r, percent[k], "peak_km_h");
        ramp up = {
            .percent = percent[k], .speed_km_h = f.value - NEAR_KM_H, .length_m = 20, .driver = EVN_DRIVER_EXACT};
        if (isnan(f.value) || f.value > 0.98 * figure(&r, "climb.level.peak_km_h").value)
            continue;
        ck_assert_msg(keeps_speed(&r, &up), "%s on %d %%: %.3f km/h", shipped[_i], percent[k], f.value);
        up.speed_km_h = f.value + NEAR_KM_H;
        ck_assert_msg(!keeps_speed(&r, &up), "%s on %d %%: %.3f km/h", shipped[_i], percent[k], f.value);
    }
    ready_end(&r);
}
END_TEST

START_TEST(a_run_settles_at_the_speed_of_a_grade)
{
    static const int percent[] = {5, 8, 12, 18};
    plain_truck t = weak_truck();
    ready r = ready_plain(&t, true);
    for (size_t k = 0; k < sizeof percent / sizeof *percent; k++) {
        double km_h = on_grade(&r, percent[k], "peak_km_h").value;
        ramp up = {.percent = percent[k], .speed_km_h = km_h + 5, .length_m = 10e3, .driver = EVN_DRIVER_EXACT};
        climbed c = climb_up(&r, &up);
        ck_assert_double_eq_tol(c.last_km_h, km_h, 0.1);
        evn_results_free(c.results);
    }
    ready_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ properties */

START_TEST(steeper_is_never_faster_faster_never_steeper_and_for_ever_never_more_than_at_once)
{
    static const int percent[] = {1, 2, 3, 4, 5, 6, 8, 12, 18}, km_h[] = {3, 5, 10, 20, 30, 40, 50, 60, 70, 80};
    double last = (double)INFINITY;
    ready r = ready_shipped(shipped[_i], true);
    for (size_t k = 0; k < sizeof percent / sizeof *percent; k++) {
        double peak = on_grade(&r, percent[k], "peak_km_h").value;
        double for_ever = on_grade(&r, percent[k], "continuous_km_h").value;
        ck_assert(isnan(peak) || peak <= last);
        ck_assert(isnan(for_ever) || for_ever <= peak);
        last = isnan(peak) ? 0 : peak;
    }
    last = (double)INFINITY;
    for (size_t k = 0; k < sizeof km_h / sizeof *km_h; k++) {
        evn_limits_figure f = at_speed(&r, km_h[k], "peak_percent");
        double for_ever = at_speed(&r, km_h[k], "continuous_percent").value;
        ck_assert_double_le(f.value, last);
        ck_assert(isnan(for_ever) || for_ever <= f.value + 1e-9);
        ck_assert(isnan(f.next_value) || f.next_value >= f.value);
        last = f.value;
    }
    ready_end(&r);
}
END_TEST

/* Where the battery or the motors hold it gains nothing. */
START_TEST(more_adhesion_is_never_worse)
{
    double last = 0;
    for (double driving = 0.1; driving < 1.3; driving += 0.2) {
        plain_truck t = weak_truck();
        t.driving = driving;
        t.centre_height_m = 1.4;
        ready r = ready_plain(&t, true);
        double percent = at_speed(&r, 5, "peak_percent").value;
        ck_assert(percent >= last - 1e-6); /* no NAN either */
        last = percent;
        ready_end(&r);
    }
    ck_assert_double_eq_tol(last, grade_percent(FORCE_N), 1e-6);
}
END_TEST

static double with_payload(double payload_kg, const char *key)
{
    char path[512];
    evn_load_case load_case = evn_conditions_default().load_case;
    load_case.payload_kg = payload_kg;
    snprintf(path, sizeof path, "%s/tests/vehicles/trucks/tipper-8x4-two-eaxles.yaml", getenv("EVENER_SOURCE"));
    ready r = ready_of(path, &load_case, true);
    double value = figure(&r, key).value;
    ready_end(&r);
    return value;
}

START_TEST(more_payload_never_helps_where_the_motors_hold)
{
    static const char *const keys[] = {"climb.at_50_km_h.peak_percent", "climb.at_5_km_h.continuous_percent",
                                       "climb.on_6_percent.peak_km_h", "climb.on_6_percent.continuous_km_h"};
    for (size_t k = 0; k < sizeof keys / sizeof *keys; k++) {
        double last = (double)INFINITY;
        for (double payload_kg = 8000; payload_kg <= 16800; payload_kg += 2200) {
            double value = with_payload(payload_kg, keys[k]);
            ck_assert_double_lt(value, last);
            last = value;
        }
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("limits_climb");
    TCase *all = tcase_create("climb");
    tcase_set_timeout(all, 60);
    tcase_add_checked_fixture(all, folder_begin, folder_end);
    tcase_add_test(all, grades_by_speed_are_those_of_torque_up_to_base_speed_and_of_power_beyond);
    tcase_add_test(all, speeds_by_grade_are_those_at_which_power_meets_resistance_up_to_the_top_speed);
    tcase_add_loop_test(all, adhesion_holds_at_the_grade_that_moments_give_with_and_without_load_transfer, 0, 2);
    tcase_add_test(all, gears_have_the_grade_of_their_torque_and_the_speeds_of_their_ratios);
    tcase_add_test(all, where_the_battery_holds_the_gear_counts_that_loses_least);
    tcase_add_test(all, for_ever_the_winding_holds_the_torque_at_which_it_stands_where_derating_begins);
    tcase_add_test(all, for_ever_the_battery_holds_in_the_gear_that_loses_least_too);
    tcase_add_test(all, derating_begins_when_the_winding_has_warmed_up_at_the_torque_that_the_grade_asks);
    tcase_add_test(all, derating_on_a_ground_is_driven_on_that_ground);
    tcase_add_test(all, driven_for_hours_the_winding_bears_the_continuous_grade_and_no_more);
    tcase_add_test(all, times_from_rest_are_those_of_constant_force_and_constant_power);
    tcase_add_test(all, times_from_rest_are_those_of_the_ground_that_is_asked_for);
    tcase_add_test(all, a_truck_that_is_too_slow_has_no_time_and_is_told_why);
    tcase_add_test(all, a_battery_at_its_low_end_drives_nowhere_and_says_so);
    tcase_add_test(all, a_truck_that_does_not_move_off_has_no_times_and_says_why);
    tcase_add_test(all, where_no_file_states_heat_no_figure_of_heat_is_told_and_all_say_why);
    tcase_add_test(all, wind_that_holds_back_a_start_forwards_helps_one_in_reverse);
    tcase_add_loop_test(all, a_run_keeps_its_speed_on_a_grade_of_a_fifth_of_a_point_less_and_not_on_one_of_as_much_more,
                        0, SHIPPED);
    tcase_add_loop_test(all, a_run_keeps_a_little_less_than_the_speed_of_a_grade_and_not_a_little_more, 0, SHIPPED);
    tcase_add_test(all, a_run_settles_at_the_speed_of_a_grade);
    tcase_add_loop_test(all, steeper_is_never_faster_faster_never_steeper_and_for_ever_never_more_than_at_once, 0,
                        SHIPPED);
    tcase_add_test(all, more_adhesion_is_never_worse);
    tcase_add_test(all, more_payload_never_helps_where_the_motors_hold);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
