/* Temperatures of motors and inverters: nodes, derating, what losses without torque lead to, and what is told of it. */
#define _POSIX_C_SOURCE 200809L
#include "core/units.h"
#include "scene.h"
#include "truck/rig.h"
#include "truck/steady.h"

#define WARM "tests/trucks/warm.yaml"

/* A truck with something written over it. */
static evn_truck *load_changed(const char *base, const char *changes, evn_report *report)
{
    char path[PATH_BYTES], here[300], text[2400];
    evn_truck *truck = NULL;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, base, changes);
    write_file("truck.yaml", text);
    evn_truck_load(in_folder(path, "truck.yaml"), &truck, report);
    return truck;
}

static evn_rig *rig_of(const char *base, const char *changes)
{
    evn_report *report = evn_report_new();
    evn_load_case ask = evn_conditions_default().load_case;
    evn_rig *rig = NULL;
    evn_truck *truck = load_changed(base, changes, report);
    ck_assert_msg(truck, "%s", first_finding(report));
    ck_assert_msg(evn_rig_prepare(truck, &ask, &rig, report) == EVN_DONE, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}
static evn_rig *rig_with(const char *changes) { return rig_of(WARM, changes); }
#define MOTOR(changes) "drive_units: {rear: {motors: {a: {" changes "}}}}"

static const char *finding_of(const drive *run, const char *fault, const char *piece)
{
    evn_finding found;
    for (size_t k = 0; evn_report_at(run->report, k, &found); k++)
        if (strcmp(found.fault, fault) == 0 && strstr(found.text, piece))
            return found.text;
    return NULL;
}

static double held_s(const drive *run, const char *limit)
{
    evn_limitation held;
    double seconds = 0;
    for (size_t k = 0; evn_results_limitation_at(run->results, k, &held); k++)
        seconds += strcmp(held.limit, limit) == 0 ? held.duration_s : 0;
    return seconds;
}

/* ------------------------------------------------------------------------------------------------ nodes */

START_TEST(nodes_are_those_that_the_file_states)
{
    const evn_node_row *rows;
    evn_rig *all = rig_with(""), *quick = rig_with(MOTOR("inverter: {heat: {time_constant_s: 4.9}}"));
    ck_assert_uint_eq(evn_unit_nodes(&all->unit[0], &rows), 7);
    ck_assert_str_eq(rows[1].name, "housing");
    ck_assert_str_eq(rows[2].name, "inverter");
    ck_assert_uint_eq(evn_unit_nodes(&quick->unit[0], &rows), 6);
    ck_assert(!evn_unit_has_quick_inverter(&all->unit[0]) && evn_unit_has_quick_inverter(&quick->unit[0]));
    evn_rig_free(all);
    evn_rig_free(quick);
}
END_TEST

/* Copper into the winding, all else into the housing: what is not stored goes to the coolant. */
START_TEST(the_heat_of_the_nodes_is_what_is_stored_and_what_the_coolant_takes)
{
    evn_rig *rig = rig_with("");
    const evn_unit *u = &rig->unit[0];
    const evn_heat *h = &u->motor[0].heat;
    double degc[EVN_NODES_MAX] = {140, 90, 80, 141, 91, 139, 89}, rate[EVN_NODES_MAX];
    evn_flow own = {.w = {[EVN_MOTOR] = 9000, [EVN_INVERTER] = 4000}, .copper_w = 7000};
    evn_unit_heat_rates(u, degc, 60, &own, rate);
    double stored_w = rate[0] * h->winding_s[0] / h->winding_k_w + rate[1] * h->housing_s[0] / h->housing_k_w +
                      rate[2] * h->inverter_s / h->inverter_k_w;
    ck_assert_double_eq_tol(stored_w + evn_unit_to_coolant_w(u, degc, 60, &own), 13000, 1e-6);
    ck_assert_double_eq_tol(rate[0], (0.004 * 7000 - (140 - 90)) / 90, 1e-12);
    ck_assert_double_eq_tol(rate[3], (0.004 * 7000 - (141 - 91)) / 60, 1e-12);
    ck_assert_double_eq_tol(rate[5], (0.004 * 7000 - (139 - 89)) / 150, 1e-12);
    ck_assert_double_eq_tol(rate[1], (0.003 * (2000 + 50 / 0.004) - (90 - 60)) / 300, 1e-12);
    ck_assert_double_eq_tol(rate[6], (0.003 * (2000 + 50 / 0.004) - (89 - 60)) / 500, 1e-12);
    ck_assert_double_eq_tol(rate[2], (0.004 * 4000 - (80 - 60)) / 12, 1e-12);
    evn_rig_free(rig);
}
END_TEST

/* Without a resistance a part stores nothing, and what it loses passes at once. */
START_TEST(what_no_resistance_holds_back_passes_at_once)
{
    evn_rig *rig = rig_with("");
    const evn_unit *u = &rig->unit[0];
    evn_heat *h = &rig->unit[0].motor[0].heat;
    h->winding_k_w = h->inverter_k_w = 0;
    double degc[EVN_NODES_MAX] = {90, 90, 60, 90, 90, 90, 90}, rate[EVN_NODES_MAX];
    evn_flow own = {.w = {[EVN_MOTOR] = 9000, [EVN_INVERTER] = 4000}, .copper_w = 7000};
    evn_unit_heat_rates(u, degc, 60, &own, rate);
    ck_assert_double_eq(rate[0], 0);
    ck_assert_double_eq(rate[2], 0);
    ck_assert_double_eq_tol(rate[1], (0.003 * 9000 - (90 - 60)) / 300, 1e-12);
    double stored_w = rate[1] * h->housing_s[0] / h->housing_k_w;
    ck_assert_double_eq_tol(stored_w + evn_unit_to_coolant_w(u, degc, 60, &own), 13000, 1e-6);
    evn_rig_free(rig);
}
END_TEST

static evn_flow losses_at(const evn_unit *u, double motor_nm, double motor_rad_s, double winding_degc)
{
    double degc[EVN_NODES_MAX];
    evn_flow own = {{0}};
    for (size_t k = 0; k < EVN_NODES_MAX; k++)
        degc[k] = winding_degc;
    evn_unit_motors_w(u, evn_all_engaged(u, 0), motor_nm, motor_rad_s, 680, degc, &own);
    return own;
}

START_TEST(copper_is_what_grows_with_the_square_of_the_current)
{
    evn_rig *rig = rig_with("");
    const evn_motor *m = &rig->unit[0].motor[0];
    evn_flow own = losses_at(&rig->unit[0], 1000, 100, 135);
    ck_assert_double_eq_tol(own.copper_w, m->copper_w_nm2 * 1e6 * (235 + 135) / (235 + 100), 1e-6);
    ck_assert_double_eq_tol(own.w[EVN_MOTOR] - own.copper_w, m->constant_w + m->speed_w_s * 100 + m->speed2_w_s2 * 1e4,
                            1e-6);
    evn_rig_free(rig);
}
END_TEST

#define MAPPED "tests/trucks/plain/tractor-4x2-two-eaxles.yaml"
#define OF_MAPPED(motor) "drive_units: {leading: {motors: {a: {" motor "}, b: {" motor "}}}}"
#define WITH_INVERTER "inverter: {constant_w: 0, current_w: 0, current_squared_w: 0}, map: {includes_inverter: true"
#define HOUSING "housing: {resistance_k_per_kw: 3, time_constant_s: 300}"

/* One of two motors idle: what its drag costs is lost in it, and not in a winding. */
START_TEST(the_drag_of_idle_motors_is_not_copper)
{
    evn_rig *rig = rig_of(MAPPED, OF_MAPPED(HOUSING));
    const evn_unit *u = &rig->unit[0];
    double degc[EVN_NODES_MAX], motor_rad_s = 300, motor_nm;
    evn_setting one = {0, 1, false};
    evn_flow own = {{0}}, alone = {{0}};
    evn_unit_reference_degc(u, degc);
    double wheel_rad_s = motor_rad_s / u->gear[0].total_ratio;
    double wheel_nm = evn_unit_wheel_nm(u, one, 200, wheel_rad_s, 0, degc);
    evn_unit_draw_w(u, one, (evn_shaft){wheel_nm, wheel_rad_s, 0}, 680, degc, &own, &motor_nm);
    evn_unit_motors_w(u, one, motor_nm, motor_rad_s, 680, degc, &alone);
    double drag_w = evn_unit_idle_drag_nm(u, one, motor_rad_s) * motor_rad_s;
    ck_assert_double_gt(drag_w, 10);
    ck_assert_double_eq_tol(own.w[EVN_MOTOR] - alone.w[EVN_MOTOR], drag_w, 1e-6);
    ck_assert_double_gt(alone.copper_w, 0);
    ck_assert_double_eq_tol(own.copper_w, alone.copper_w, 1e-6);
    evn_rig_free(rig);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ maps */

START_TEST(a_share_of_a_maps_loss_is_the_inverters)
{
    evn_rig *whole = rig_of(MAPPED, OF_MAPPED(WITH_INVERTER "}, " HOUSING));
    evn_rig *parted = rig_of(MAPPED, OF_MAPPED(WITH_INVERTER ", inverter_loss_share: 0.3}, " HOUSING));
    ck_assert(evn_unit_has_map(&parted->unit[0]));
    evn_flow all = losses_at(&whole->unit[0], 600, 200, 120), own = losses_at(&parted->unit[0], 600, 200, 120);
    ck_assert_double_eq(all.w[EVN_INVERTER], 0);
    ck_assert_double_eq_tol(own.w[EVN_INVERTER], 0.3 * all.w[EVN_MOTOR], 1e-9);
    ck_assert_double_eq_tol(own.w[EVN_MOTOR], 0.7 * all.w[EVN_MOTOR], 1e-9);
    ck_assert(own.copper_w > 0.5 * own.w[EVN_MOTOR] && own.copper_w < own.w[EVN_MOTOR]);
    ck_assert_double_eq_tol(own.copper_w, 0.7 * all.copper_w, 1e-9);
    evn_flow rest = {{0}};
    evn_unit_ready_w(&parted->unit[0], evn_all_engaged(&parted->unit[0], 0), &rest);
    double rest_w = 2 * whole->unit[0].motor[0].map->rest_w;
    ck_assert_double_gt(rest_w, 10);
    ck_assert_double_eq_tol(rest.w[EVN_INVERTER], 0.3 * rest_w, 1e-9);
    ck_assert_double_eq_tol(rest.w[EVN_MOTOR], 0.7 * rest_w, 1e-9);
    evn_rig_free(whole);
    evn_rig_free(parted);
}
END_TEST

#define BARE "tests/trucks/single-speed.yaml" /* its winding is not modelled */
#define DERATES "resistance_k_per_kw: 4, time_constant_s: 90, derate_from_degc: 150, derate_to_degc: 175"

static const struct {
    const char *base, *changes, *fault, *piece; /* fault NULL: it is not said */
} sayings[] = {
    {MAPPED, OF_MAPPED(WITH_INVERTER "}"), "unusual_value", "heated with the inverter's losses too"},
    {MAPPED, OF_MAPPED(WITH_INVERTER ", inverter_loss_share: 0.3}"), NULL, "heated with the inverter's losses too"},
    {MAPPED, OF_MAPPED("map: {inverter_loss_share: 0.3}"), "disagrees", "expected includes_inverter: true"},
    {BARE, MOTOR(HOUSING), "disagrees", "a housing without a winding"},
    {BARE, MOTOR("winding: {time_constant_low_s: 60, " DERATES "}"), "disagrees", "time_constant_low_s alone"},
    {BARE, MOTOR("winding: {time_constant_high_s: 160, " DERATES "}"), "disagrees", "time_constant_high_s alone"},
    {WARM, MOTOR("winding: {resistance_k_per_kw: 0}"), "disagrees", "no resistance between winding and housing"},
    {WARM, MOTOR("winding: {time_constant_low_s: 100}"), "disagrees", "in a range from 100 to 150 s"},
    {WARM, MOTOR("housing: {time_constant_high_s: 250}"), "disagrees", "in a range from 200 to 250 s"},
    {WARM, MOTOR("winding: {time_constant_low_s: 1}"), "disagrees", "expected at least a tenth"},
    {WARM, MOTOR("inverter: {heat: {derate_to_degc: 85}}"), "disagrees", "expected above derate_from_degc, 90"},
    {WARM, MOTOR("inverter: {heat: {coolant_degc: 95}}"), "disagrees", "expected below derate_from_degc, 90"},
    {WARM, MOTOR("rated_continuous_torque_nm: 900"), "unusual_value", "rated for 900 Nm; by its losses"},
    {WARM, MOTOR("rated_continuous_power_kw: 200"), "unusual_value", "rated for 200 kW; by its losses"},
    {WARM, "", NULL, "rated for"},
    {WARM, MOTOR("housing: {resistance_k_per_kw: 20}"), "unusual_value", "at top speed bring the winding to"},
    {WARM, MOTOR("inverter: {heat: {resistance_k_per_kw: 40}}"), "unusual_value", "at top speed bring the inverter to"},
};

static bool is_said(const evn_report *report, const char *fault, const char *piece)
{
    evn_finding found;
    for (size_t k = 0; evn_report_at(report, k, &found); k++)
        if (strstr(found.text, piece) && (!fault || strcmp(found.fault, fault) == 0))
            return true;
    return false;
}

START_TEST(what_cannot_go_together_is_said)
{
    evn_report *report = evn_report_new();
    evn_truck_free(load_changed(sayings[_i].base, sayings[_i].changes, report));
    ck_assert_msg(is_said(report, sayings[_i].fault, sayings[_i].piece) == (sayings[_i].fault != NULL), "%s; first: %s",
                  sayings[_i].changes, first_finding(report));
    evn_report_free(report);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ derating */

#define QUICK(from, to)                                                                                                \
    MOTOR("inverter: {heat: {time_constant_s: 1, derate_from_degc: " from ", derate_to_degc: " to "}}")

/* The share at which the temperature of that torque leaves just this share. */
START_TEST(a_quick_inverter_gives_the_torque_that_its_temperature_leaves)
{
    evn_rig *rig = rig_with(QUICK("80", "90"));
    const evn_unit *u = &rig->unit[0];
    const evn_motor *m = &u->motor[0];
    double degc[EVN_NODES_MAX], full_degc;
    evn_unit_coolant_degc(u, degc);
    evn_turning at = {evn_all_engaged(u, 0), 50, 680, 65};
    for (int side = -1; side <= 1; side += 2) {
        double s = evn_unit_quick_share(u, &at, side * m->peak_nm, degc, &full_degc);
        double loss = m->inverter_constant_w + m->inverter_current_w * s + m->inverter_current2_w * s * s;
        ck_assert_double_eq_tol(
            full_degc, 65 + 0.004 * (m->inverter_constant_w + m->inverter_current_w + m->inverter_current2_w), 1e-9);
        ck_assert(s > 0.1 && s < 0.9);
        ck_assert_double_eq_tol(s, (90 - (65 + 0.004 * loss)) / 10, 1e-9);
    }
    at.coolant_degc = 40;
    ck_assert_double_eq(evn_unit_quick_share(u, &at, m->peak_nm, degc, &full_degc), 1);
    at.coolant_degc = 89;
    ck_assert_double_eq(evn_unit_quick_share(u, &at, m->peak_nm, degc, &full_degc), 0);
    evn_rig_free(rig);
}
END_TEST

START_TEST(a_quick_inverter_holds_a_run_at_what_it_can_and_the_run_tells_so)
{
    scene it = scene_of(WARM, QUICK("80", "90"),
                        "length_m: 3000\nspeed: {place_m: [0], limit_km_h: [60]}\n"
                        "road: {place_m: [0, 3000], grade_percent: [5, 5]}");
    drive run = play(&it);
    must_finish(&run);
    double hottest = result(&run, "drive_units.rear.peak_inverter_temperature_degc");
    ck_assert(hottest > 80.5 && hottest < 90);
    ck_assert_double_gt(held_s(&run, "inverter_temperature"), 1);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ without torque */

START_TEST(the_speed_held_is_where_losses_without_torque_reach_the_end_of_derating)
{
    evn_rig *rig = rig_with(MOTOR("housing: {resistance_k_per_kw: 15}")), *cool = rig_with("");
    const evn_unit *u = &rig->unit[0];
    evn_turning at = {evn_all_engaged(u, 0), 0, 680, (double)NAN};
    double held = at.motor_rad_s = evn_unit_speed_held_rad_s(u, &at);
    ck_assert(held > 0 && held < evn_unit_top_rad_s(u));
    evn_steady steady = evn_unit_steady_without_torque(u, &at);
    ck_assert_double_eq_tol(steady.winding_degc, 175, 1e-6);
    evn_flow own = losses_at(u, 0, held, 175);
    ck_assert_double_eq_tol(steady.winding_degc, 65 + 0.015 * own.w[EVN_MOTOR] + 0.004 * own.copper_w, 1e-6);
    at.coolant_degc = 75;
    ck_assert_double_lt(evn_unit_speed_held_rad_s(u, &at), held);
    at.coolant_degc = (double)NAN;
    ck_assert(isinf(evn_unit_speed_held_rad_s(&cool->unit[0], &at)));
    evn_rig_free(rig);
    evn_rig_free(cool);
}
END_TEST

static double figure(const evn_rig *rig, const char *key)
{
    evn_quantity what;
    double value;
    for (size_t k = 0; evn_rig_figure_at(rig, k, &what, &value); k++)
        if (strcmp(what.key, key) == 0)
            return value;
    return (double)NAN;
}

/* At base speed no field is weakened: the copper that is left above the other losses, and the current that the inverter
 * is left, by hand. */
START_TEST(the_continuous_torque_is_that_of_the_part_which_derates_first)
{
    evn_rig *rig = rig_with(""), *cool = rig_with(MOTOR("inverter: {heat: {resistance_k_per_kw: 0.1}}"));
    const evn_motor *m = &rig->unit[0].motor[0];
    double w = m->peak_w / m->peak_nm, other_w = m->constant_w + (m->speed_w_s + m->speed2_w_s2 * w) * w;
    double copper_w = (150 - 65 - 0.003 * other_w) / (0.003 + 0.004);
    double by_winding_nm = sqrt(copper_w / (m->copper_w_nm2 * (235 + 150) / (235 + 100)));
    double a = m->inverter_current2_w, b = m->inverter_current_w, c = m->inverter_constant_w - (90 - 65) / 0.004;
    double by_inverter_nm = m->peak_nm * (sqrt(b * b - 4 * a * c) - b) / (2 * a);
    ck_assert(by_winding_nm < m->peak_nm);
    ck_assert_double_eq_tol(figure(rig, "continuous.rear.torque_nm"), fmin(by_winding_nm, by_inverter_nm), 1e-4);
    ck_assert_double_eq_tol(figure(cool, "continuous.rear.torque_nm"), by_winding_nm, 1e-4);
    ck_assert_double_eq(figure(rig, "continuous.rear.rated_torque_nm"), 1400);
    ck_assert_double_eq(figure(rig, "continuous.rear.rated_power_kw"), 330);
    ck_assert_double_ge(figure(rig, "continuous.rear.power_kw"), figure(rig, "continuous.rear.torque_nm") * w / 1e3);
    evn_rig_free(rig);
    evn_rig_free(cool);
}
END_TEST

/* Downhill, so that a motor without torque is dragged on. */
#define DOWN                                                                                                           \
    "length_m: 9000\nspeed: {place_m: [0], limit_km_h: [60]}\nroad: {place_m: [0, 9000], grade_percent: [-2.5, -2.5]}"
/* Iron that heats housing and winding beyond the end of derating, above some road speed. */
#define IRON(speed_w, housing_k)                                                                                       \
    MOTOR("loss: {speed_w_per_rad_s: " speed_w "}, winding: {start_degc: 170}, housing: {start_degc: 165, "            \
          "resistance_k_per_kw: " housing_k ", time_constant_s: 60, time_constant_low_s: 50, time_constant_high_s: "   \
          "100}")

/* "drive unit NAME DOES from 1.234 km, 56.7 s on: at 1234 rpm ..." */
static void place_of(const char *text, double *km, double *s, double *rpm)
{
    const char *from = text ? strstr(text, " from ") : NULL;
    ck_assert_ptr_nonnull(from);
    ck_assert_int_eq(sscanf(from, " from %lf km, %lf s on: at %lf rpm", km, s, rpm), 3);
}

START_TEST(a_motor_that_heats_without_torque_runs_without_pulses)
{
    double km, s, rpm;
    scene it = scene_of(WARM, IRON("60", "15"), DOWN);
    drive run = play(&it);
    must_finish(&run);
    place_of(finding_of(&run, "too_hot", "drive unit rear runs without pulses"), &km, &s, &rpm);
    ck_assert(km > 0 && s > 1 && s < result(&run, "duration_s") && rpm > 900);
    double off_s = result(&run, "drive_units.rear.pulses_off_s");
    ck_assert(off_s > 100 && off_s <= result(&run, "duration_s") - s + 0.1);
    size_t time = column(&run, "time_s"), torque = column(&run, "motor_torque_nm"), bus = column(&run, "bus_kw");
    for (size_t k = 0; k < it.rows.rows; k++) { /* no current: neither torque nor power */
        if (at_row(&it.rows, k, time) < s + 0.1 || at_row(&it.rows, k, time) > s + 0.9 * off_s)
            continue;
        ck_assert_double_eq_tol(at_row(&it.rows, k, torque), 0, 1e-6);
        ck_assert_double_eq_tol(at_row(&it.rows, k, bus), 0, 1e-6);
        ck_assert(at_row(&it.rows, k, column(&run, "motor_losses_kw")) > 1);
    }
    scene_end(&it, &run);
}
END_TEST

/* Constant losses heat the motor, and stop with the pulses: they come back in the middle of the range. */
START_TEST(pulses_come_back_when_the_motor_has_cooled)
{
    scene it = scene_of(WARM,
                        MOTOR("loss: {constant_w: 8000}, winding: {start_degc: 170}, housing: {start_degc: 165, "
                              "resistance_k_per_kw: 15, time_constant_s: 60, time_constant_low_s: 50, "
                              "time_constant_high_s: 100}"),
                        DOWN);
    drive run = play(&it);
    must_finish(&run);
    ck_assert(finding_of(&run, "too_hot", "runs without pulses"));
    double off_s = result(&run, "drive_units.rear.pulses_off_s"), back_degc = 0;
    ck_assert(off_s > 10 && off_s < 0.8 * result(&run, "duration_s"));
    size_t winding = column(&run, "winding_temperature_degc"), bus = column(&run, "bus_kw");
    for (size_t k = 2; k < it.rows.rows && back_degc == 0; k++)
        if (fabs(at_row(&it.rows, k - 2, bus)) < 1e-6 && fabs(at_row(&it.rows, k - 1, bus)) < 1e-6 &&
            fabs(at_row(&it.rows, k, bus)) > 1)
            back_degc = at_row(&it.rows, k, winding);
    ck_assert_double_eq_tol(back_degc, 162.5, 0.01);
    scene_end(&it, &run);
}
END_TEST

/* Above the speed where the field is weakened pulses stay on. */
START_TEST(above_the_speed_of_field_weakening_the_speed_is_held_down)
{
    double km, s, rpm;
    scene it = scene_of(WARM,
                        "drive_units: {rear: {motors: {a: {loss: {speed_w_per_rad_s: 60}, field_weakening: "
                        "{characteristic_current_share: 1.5}, winding: {start_degc: 170}, housing: {start_degc: 165, "
                        "resistance_k_per_kw: 15, time_constant_s: 60, time_constant_low_s: 50, time_constant_high_s: "
                        "100}}}, gearbox: {ratios: [5, 3, 2.2, 1.6]}}}",
                        DOWN);
    drive run = play(&it);
    ck_assert_str_eq(evn_results_status(run.results), "finished");
    place_of(finding_of(&run, "too_hot", "drive unit rear has its speed held down"), &km, &s, &rpm);
    const evn_motor *m = &run.rig->unit[0].motor[0];
    double no_load_rad_s = m->peak_w / m->peak_nm * sqrt(1 + 1 / 2.25);
    ck_assert_double_eq_tol(evn_unit_no_load_rad_s(&run.rig->unit[0]), no_load_rad_s, 1e-9);
    ck_assert_double_ge(rpm * EVN_RAD_S_PER_RPM, 0.949 * no_load_rad_s);
    double held_rpm, slowing_s = 20;
    const char *expected = strstr(finding_of(&run, "too_hot", "drive unit rear has its speed held down"), "at most");
    ck_assert_int_eq(sscanf(expected, "at most %lf rpm", &held_rpm), 1);
    ck_assert_double_lt(held_rpm, 0.99 * rpm);
    size_t held_rows = 0, time = column(&run, "time_s"), turns = column(&run, "motor_speed_rpm");
    for (size_t k = 0; k < it.rows.rows; k++) { /* until it may be without pulses */
        bool held = at_row(&it.rows, k, time) > s + slowing_s && at_row(&it.rows, k, turns) > 0.96 * held_rpm;
        held_rows += held;
        if (held)
            ck_assert_double_le(at_row(&it.rows, k, turns), held_rpm);
    }
    ck_assert_uint_gt(held_rows, 10);
    ck_assert_double_gt(held_s(&run, "winding_temperature"), slowing_s);
    scene_end(&it, &run);
}
END_TEST

/* A disconnect that never opens for the sake of its losses. */
#define STUBBORN                                                                                                       \
    "path: [mesh: {ratio: 2.4, efficiency: 0.99}, disconnect: {price_kj: 10000}, mesh: {ratio: 2.46, efficiency: "     \
    "0.99, drag: {at: wheel_side, speed_rpm: "                                                                         \
    "[0], torque_nm: [20]}}]"

START_TEST(a_unit_that_heats_without_torque_disconnects_where_another_one_goes_on)
{
    double km, s, rpm;
    scene it = scene_of(MAPPED,
                        "drive_units: {trailing: {" STUBBORN ", motors: {a: {winding: {start_degc: 165, "
                        "resistance_k_per_kw: 5, time_constant_s: 60}, housing: {start_degc: 170, "
                        "resistance_k_per_kw: 160, time_constant_s: 100}}}}}",
                        DOWN);
    drive run = play(&it);
    must_finish(&run);
    place_of(finding_of(&run, "too_hot", "drive unit trailing is disconnected"), &km, &s, &rpm);
    ck_assert_double_ge(result(&run, "drive_units.trailing.disconnections"), 1);
    ck_assert_double_gt(result(&run, "drive_units.trailing.disconnected_s"), 10);
    ck_assert_double_eq(result(&run, "drive_units.trailing.pulses_off_s"), 0);
    ck_assert_double_lt(result(&run, "drive_units.trailing.peak_winding_temperature_degc"), 175.2);
    scene_end(&it, &run);
}
END_TEST

/* An inverter that is quick is cold once its unit is open: it stays so until it would stay cool closed, at less speed.
 */
START_TEST(a_unit_opened_for_its_quick_inverter_closes_at_less_speed)
{
    scene it = scene_of(MAPPED,
                        "drive_units: {trailing: {" STUBBORN ", motors: {a: {inverter: {constant_w: 0, current_w: 0, "
                        "current_squared_w: 0, efficiency: 0.5, heat: {resistance_k_per_kw: 30, time_constant_s: 1, "
                        "derate_from_degc: 82, derate_to_degc: 86}}}}}}",
                        "length_m: 5000\nspeed: {place_m: [0, 2000], limit_km_h: [85, 20]}\n"
                        "road: {place_m: [0, 3000, 3010, 5000], grade_percent: [0, 0, 9, 9]}");
    drive run = play(&it);
    must_finish(&run);
    ck_assert(finding_of(&run, "too_hot", "drive unit trailing is disconnected"));
    ck_assert(finding_of(&run, "too_hot", "would heat its inverter beyond 86 degC, where derating ends"));
    double open_s = result(&run, "drive_units.trailing.disconnected_s");
    ck_assert(open_s > 20 && open_s < 0.7 * result(&run, "duration_s"));
    ck_assert_double_lt(result(&run, "drive_units.trailing.disconnections"), 10);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ not decided */

static const struct {
    const char *winding;
    const char *piece; /* NULL: decided */
} ranges[] = {
    {"derate_from_degc: 150",
     "to 151.6 degC at 19.603 km with the shortest of its time constants (winding 60 to 150 s)"},
    {"derate_from_degc: 142", "with the longest of its time constants"},
    {"derate_from_degc: 155", NULL},
    {"derate_from_degc: 120, derate_to_degc: 170", NULL},
};

START_TEST(a_limit_that_hangs_on_the_range_of_a_time_constant_is_not_decided)
{
    char changes[200], cycle[400], here[300];
    snprintf(changes, sizeof changes, MOTOR("winding: {%s}"), ranges[_i].winding);
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(cycle, sizeof cycle, "extends: %s/cycles/scenarios/pass-road.yaml", here);
    scene it = scene_of(WARM, changes, cycle);
    drive run = play(&it);
    must_finish(&run);
    double stated = result(&run, "drive_units.rear.peak_winding_temperature_degc");
    ck_assert_double_gt(stated, result(&run, "drive_units.rear.peak_winding_temperature_low_degc"));
    ck_assert_double_lt(stated, result(&run, "drive_units.rear.peak_winding_temperature_high_degc"));
    const char *text = finding_of(&run, "not_decided", "drive unit rear");
    ck_assert_msg((text != NULL) == (ranges[_i].piece != NULL), "%s", text ? text : "not told");
    ck_assert_msg(!text || strstr(text, ranges[_i].piece), "%s", text);
    scene_end(&it, &run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("heat");
    TCase *tests = tcase_create("heat");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, nodes_are_those_that_the_file_states);
    tcase_add_test(tests, the_heat_of_the_nodes_is_what_is_stored_and_what_the_coolant_takes);
    tcase_add_test(tests, what_no_resistance_holds_back_passes_at_once);
    tcase_add_test(tests, copper_is_what_grows_with_the_square_of_the_current);
    tcase_add_test(tests, the_drag_of_idle_motors_is_not_copper);
    tcase_add_test(tests, a_share_of_a_maps_loss_is_the_inverters);
    tcase_add_loop_test(tests, what_cannot_go_together_is_said, 0, sizeof sayings / sizeof *sayings);
    tcase_add_test(tests, a_quick_inverter_gives_the_torque_that_its_temperature_leaves);
    tcase_add_test(tests, a_quick_inverter_holds_a_run_at_what_it_can_and_the_run_tells_so);
    tcase_add_test(tests, the_speed_held_is_where_losses_without_torque_reach_the_end_of_derating);
    tcase_add_test(tests, the_continuous_torque_is_that_of_the_part_which_derates_first);
    tcase_add_test(tests, a_motor_that_heats_without_torque_runs_without_pulses);
    tcase_add_test(tests, pulses_come_back_when_the_motor_has_cooled);
    tcase_add_test(tests, above_the_speed_of_field_weakening_the_speed_is_held_down);
    tcase_add_test(tests, a_unit_that_heats_without_torque_disconnects_where_another_one_goes_on);
    tcase_add_test(tests, a_unit_opened_for_its_quick_inverter_closes_at_less_speed);
    tcase_add_loop_test(tests, a_limit_that_hangs_on_the_range_of_a_time_constant_is_not_decided, 0,
                        sizeof ranges / sizeof *ranges);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
