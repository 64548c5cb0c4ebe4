/*
 * A second driven axle that can be disconnected: what an open branch takes, what the closed one gives, what opening and
 * closing cost, and runs in which that happens.
 */
#define _POSIX_C_SOURCE 200809L
#include "../schedules/schedule.h"
#include "../unit/course_probe.h"
#include "../unit/scene.h"
#include "api/objects.h"
#include "pull/instant.h"
#include "pull/prices.h"

#define SHIPPED "tests/vehicles/trucks/tractor-6x4-central.yaml"
#define REAR_TWO "tests/trucks/tandem-disconnect.yaml"

static const double PI = 3.14159265358979323846, J_PER_KWH = 3.6e6;
static const evn_driver drivers[] = {EVN_DRIVER_HUMAN, EVN_DRIVER_EXACT};
static const evn_setting CLOSED = {3, 1, 0}, OPEN = {3, 1, 2}; /* the highest gear */

/* ------------------------------------------------------------------------------------------------ trucks */

/* The parts of the second branch of the shipped truck, with figures of their own where a test works by hand. */
#define MESH                                                                                                           \
    "mesh: {ratio: 1, efficiency: 0.985, drag: {at: motor_side, speed_rpm: [0, 2500], torque_nm: [1, 3]}, "            \
    "inertia_kg_m2: 0.05}"
#define SHAFT "propeller_shaft: {inertia_kg_m2: 0.03}"
#define FINAL                                                                                                          \
    "final_drive: {ratio: 3.9, efficiency: 0.965, drag: {at: wheel_side, speed_rpm: [0, 600], torque_nm: [21, 40]}, "  \
    "inertia_kg_m2: 1.2}"
#define HUB "wheel_end: {drag: {at: wheel_side, speed_rpm: [0, 600], torque_nm: [12, 20]}, inertia_kg_m2: 0.8}"
#define CUT "disconnect: {price_kj: 10}"
#define LEADING "leading: {path: [" FINAL ", " HUB "]}"

static const char *truck_over(char path[PATH_BYTES], const char *base, const char *changes)
{
    char text[6000], here[300];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, base, changes);
    write_file("truck.yaml", text);
    return in_folder(path, "truck.yaml");
}

static evn_rig *rig_of(const char *base, const char *changes)
{
    char path[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    evn_report *report = evn_report_new();
    evn_rig *rig = NULL;
    evn_truck *truck = load_truck(truck_over(path, base, changes));
    evn_rig_prepare(truck, &ask.load_case, &rig, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}

/* The shipped truck with this second branch. */
static evn_rig *rig_with(const char *trailing)
{
    char changes[3000];
    snprintf(changes, sizeof changes, "drive_units: {rear: {branches: {" LEADING ", trailing: {path: [%s]}}}}",
             trailing);
    return rig_of(SHIPPED, changes);
}

static void without_slip(evn_rig *rig)
{
    for (size_t k = 0; k < rig->axle_count; k++)
        rig->axle[k].slip_stiffness = (double)INFINITY;
}

/* ------------------------------------------------------------------------------------------------ instants */

static void set_given(evn_given *at, const evn_rig *rig, const double degc[], evn_setting s, double v, double a)
{
    *at = (evn_given){
        .rig = rig, .speed_m_s = v, .asked_m_s2 = a, .rolling_factor = 1, .soc = 0.6, .fade = EVN_FADE_BY_SPEED};
    at->unit[0] = (evn_unit_given){.setting = s, .degc = degc};
}

typedef struct state { /* any */
    double v, a, tangent, degc[EVN_NODES_MAX];
    uint8_t gear;
    evn_limit pull;
} state;

static state roll_state(dice *with)
{
    state s = {.v = roll(with, 0.5, 22), .a = roll(with, -1.5, 1), .tangent = roll(with, -0.06, 0.06), .gear = 3};
    for (size_t k = 0; k < EVN_NODES_MAX; k++)
        s.degc[k] = roll(with, 60, 160);
    if (s.v < 5)
        s.gear = (uint8_t)roll_count(with, 0, 3);
    s.pull = roll(with, 0, 1) < 0.2 ? EVN_BY_MOTOR : EVN_FREE;
    return s;
}

static void make(evn_instant *n, const evn_rig *rig, const state *s, uint8_t open)
{
    set_given(&n->pull.at, rig, s->degc, (evn_setting){s->gear, 1, open}, s->v, s->a);
    n->pull.at.tangent = s->tangent;
    n->pull.at.pull = s->pull;
    evn_instant_make(n);
}

static void must_be_near(double is, double expected, double size, const char *what)
{
    ck_assert_msg(fabs(is - expected) <= size, "%s: %.17g, expected %.17g", what, is, expected);
}

static void must_agree(const evn_instant *a, const evn_instant *b, double share)
{
    double power_w = 1e4 + fabs(b->bus_w) + fabs(b->force_n[0] * b->pull.at.speed_m_s), force_n = 1e4;
    force_n += fabs(b->force_n[0]);
    must_be_near(a->force_n[0], b->force_n[0], share * force_n, "force");
    must_be_near(a->accel_m_s2, b->accel_m_s2, share, "acceleration");
    must_be_near(a->brake_n, b->brake_n, share * force_n, "braking force");
    must_be_near(a->bus_w, b->bus_w, share * power_w, "power from the bus");
    must_be_near(a->motor_nm, b->motor_nm, share * (1e3 + fabs(b->motor_nm)), "motor torque");
    for (int k = 0; k < EVN_LINE_COUNT; k++)
        must_be_near(a->flow.w[k], b->flow.w[k], share * power_w, evn_line_rows[k].key);
}

/* ------------------------------------------------------------------------------------------------ what is the same */

START_TEST(closed_it_is_the_truck_without_disconnects_to_the_last_digit)
{
    dice with = {91};
    evn_rig *without = rig_with(MESH ", " SHAFT ", " FINAL ", " HUB);
    evn_rig *rig = rig_with(MESH ", " CUT ", " SHAFT ", " FINAL ", " CUT ", " HUB);
    ck_assert_uint_eq(without->unit[0].setting_count, 4);
    ck_assert_uint_eq(rig->unit[0].setting_count, 8);
    for (int k = 0; k < 2000; k++) {
        state s = roll_state(&with);
        evn_instant a, b;
        make(&a, rig, &s, 0);
        make(&b, without, &s, 0);
        must_agree(&a, &b, 0);
    }
    evn_rig_free(without);
    evn_rig_free(rig);
}
END_TEST

#define UNIT                                                                                                           \
    "motors: {a: {use: %s/tests/vehicles/parts/motor-chassis-480.yaml}}, gearbox: {use: "                              \
    "%s/tests/vehicles/parts/gearbox-4-speed-heavy.yaml}, machine_behind_front_axle_m: 1.6"
#define SHAFTS "universal_joint: {angle_deg: 5}, centre_bearing: {drag_nm: 1.5}"

static evn_rig *rig_of_unit(const char *unit)
{
    char text[3000], here[300];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "name: any\nshort_name: any\ndrive_units: {rear: {" UNIT ", %s}}", here, here, unit);
    evn_rig *rig = rig_of("tests/vehicles/bases/tractor-6x4.yaml", text);
    rig->adhesion_driving = rig->adhesion_regenerating = 50; /* not what this is about */
    return rig;
}

/* With the disconnect at the inter-axle differential and nothing below it that drags or weighs. */
START_TEST(an_open_branch_that_drags_nothing_leaves_a_unit_on_one_axle)
{
    dice with = {92};
    evn_rig *one = rig_of_unit("axles: [2], path: [" SHAFTS ", " FINAL ", " HUB "]");
    evn_rig *two = rig_of_unit("axles: [2, 3], path: [" SHAFTS "], branches: {leading: {axle: 2, path: [" FINAL ", " HUB
                               "]}, trailing: {axle: 3, torque_share: 0.8, path: [" CUT
                               ", mesh: {ratio: 3.9, efficiency: 0.9}, wheel_end: {}]}}");
    for (int k = 0; k < 2000; k++) {
        state s = roll_state(&with);
        evn_instant a, b;
        make(&a, two, &s, 2);
        make(&b, one, &s, 0);
        must_agree(&a, &b, 1e-12);
    }
    evn_rig_free(one);
    evn_rig_free(two);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ by hand */

/* Torques at the wheels of one axle, and what the mesh of the through-drive takes at the dividing point. */
typedef struct hand {
    double w, hub_nm, final_nm; /* speed; drag with what speeds up the parts */
    double mesh_spin_nm, mesh_drag_nm;
} hand;

static hand hand_of(double v, double a, double radius)
{
    double w = v / radius, rpm = w * 30 / PI, accel = a / radius;
    return (hand){w, 12 + 8 * rpm / 600 + 0.8 * accel, 21 + 19 * rpm / 600 + 1.2 * accel, 0.05 * 3.9 * accel,
                  1 + 2 * 3.9 * rpm / 2500};
}

/* A mesh takes more of what pulls, and gives less of what pushes. */
static double through(double load_nm, double efficiency)
{
    return load_nm > 0 ? load_nm / efficiency : load_nm * efficiency;
}

enum { BOTH, NEAR, FAR, LAYOUTS };
static const char *const trailing_paths[LAYOUTS] = {
    [BOTH] = MESH ", " CUT ", " FINAL ", " CUT ", " HUB,
    [NEAR] = MESH ", " CUT ", " FINAL ", " HUB,
    [FAR] = MESH ", " FINAL ", " CUT ", " HUB,
};

/* What the wheels of the open branch drag along, and what the dividing point turns. */
static double below_nm(int layout, const hand *h) { return -h->hub_nm - (layout == NEAR ? h->final_nm : 0); }
static double above_nm(int layout, const hand *h)
{
    double from_final_nm = layout == FAR ? through(h->final_nm, 0.965) / 3.9 : 0;
    return through(from_final_nm + h->mesh_spin_nm, 0.985) + h->mesh_drag_nm;
}

static void check_by_hand(evn_rig *rig, int layout, double v, double a)
{
    static const double degc[EVN_NODES_MAX] = {100};
    evn_instant n;
    double radius = rig->axle[1].radius_m, rad_m = 3.9 / radius, motor_nm;
    set_given(&n.pull.at, rig, degc, OPEN, v, a);
    evn_instant_make(&n);
    hand h = hand_of(v, a, radius);
    double leading_n = n.force_n[0] - below_nm(layout, &h) / radius;
    double final_load_nm = leading_n * radius + h.hub_nm + h.final_nm;
    double split_nm = through(final_load_nm, 0.965) / 3.9 + above_nm(layout, &h);
    evn_flow flow = {{0}};
    evn_unit_draw_w(&rig->unit[0], CLOSED, (evn_shaft){split_nm, v * rad_m, a * rad_m}, n.pull.feed.open_circuit_v,
                    degc, &flow, &motor_nm);
    must_be_near(n.unit_motor_nm[0], motor_nm, 1e-9 * (100 + fabs(motor_nm)), "motor torque");
    double hub_drag_nm = 12 + 8 * h.w * 30 / PI / 600, final_drag_nm = 21 + 19 * h.w * 30 / PI / 600;
    double final_loss_nm = through(final_load_nm, 0.965) - final_load_nm + final_drag_nm;
    if (layout == FAR)
        final_loss_nm += through(h.final_nm, 0.965) - h.final_nm + final_drag_nm;
    if (layout == NEAR)
        final_loss_nm += final_drag_nm;
    must_be_near(n.unit_flow[0].w[EVN_WHEEL_END], 2 * hub_drag_nm * h.w, 1e-9 * 1e4, "hub losses");
    must_be_near(n.unit_flow[0].w[EVN_FINAL_DRIVE], final_loss_nm * h.w, 1e-8 * 1e4, "final drive losses");
    must_be_near(n.unit_flow[0].w[EVN_TYRE_SLIP], 0, 0, "slip");
}

START_TEST(an_open_branch_drags_what_turns_with_the_wheels_and_what_turns_with_the_dividing_point)
{
    evn_rig *rig = rig_with(trailing_paths[_i]);
    without_slip(rig);
    for (double v = 1; v < 22; v += 4)
        for (double a = -0.8; a < 0.9; a += 0.4)
            check_by_hand(rig, _i, v, a);
    evn_rig_free(rig);
}
END_TEST

/* The stretch between two disconnects is all that any of them frees; one alone frees no drag. */
START_TEST(one_disconnect_alone_saves_no_drag)
{
    static const double degc[EVN_NODES_MAX] = {100};
    double drawn_w[LAYOUTS], closed_w = 0;
    for (int k = 0; k < LAYOUTS; k++) {
        evn_instant n;
        evn_rig *rig = rig_with(trailing_paths[k]);
        without_slip(rig);
        set_given(&n.pull.at, rig, degc, OPEN, 20, 0);
        evn_instant_make(&n);
        drawn_w[k] = n.bus_w;
        n.pull.at.unit[0].setting = CLOSED;
        evn_instant_make(&n);
        closed_w = n.bus_w;
        evn_rig_free(rig);
    }
    double w = 20 / 0.5, drag_w = (21 + 19 * w * 30 / PI / 600) * w; /* about: of the final drive, radius near 0.5 m */
    ck_assert_double_gt(drawn_w[NEAR] - drawn_w[BOTH], 0.8 * drag_w);
    ck_assert_double_gt(drawn_w[FAR] - drawn_w[BOTH], 0.8 * drag_w);
    ck_assert_double_lt(fabs(drawn_w[FAR] - drawn_w[NEAR]), 0.1 * drag_w);
    ck_assert_double_gt(closed_w - drawn_w[NEAR], 0); /* the mesh's load loss alone */
    ck_assert_double_lt(closed_w - drawn_w[NEAR], 0.5 * drag_w);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ adhesion */

START_TEST(adhesion_holds_the_closed_axle_alone)
{
    static const double degc[EVN_NODES_MAX] = {100};
    evn_rig *rig = rig_with(trailing_paths[BOTH]);
    double radius = rig->axle[1].radius_m, force_n[2];
    evn_instant n;
    without_slip(rig);
    rig->adhesion_driving = 0.15;
    for (int open = 0; open < 2; open++) {
        set_given(&n.pull.at, rig, degc, (evn_setting){0, 1, (uint8_t)(open ? 2 : 0)}, 1, 1);
        n.pull.at.pull = EVN_BY_MOTOR;
        evn_instant_make(&n);
        force_n[open] = n.force_n[0];
    }
    hand h = hand_of(1, n.accel_m_s2, radius);
    double load_n = evn_axle_load_n(&rig->axle[1].load, rig->gravity_m_s2, 1, 0, n.accel_m_s2, 0);
    must_be_near(force_n[1], 0.15 * load_n + below_nm(BOTH, &h) / radius, 1e-6 * load_n, "force of the closed axle");
    ck_assert_double_gt(force_n[0], 1.8 * force_n[1]);
    evn_rig_free(rig);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ runs */

typedef struct played { /* a run and its schedule */
    evn_truck *truck;
    evn_cycle *cycle;
    evn_rig *rig;
    evn_report *report;
    schedule what;
    evn_results *results;
} played;

static schedule scheduled(const played *p, const evn_rig *rig, evn_driving driving, double accuracy)
{
    schedule s;
    driving.accuracy = accuracy;
    evn_course *course = evn_drive_course_of(rig, p->cycle->file, &driving, NULL, p->report);
    ck_assert_msg(course && schedule_drive(rig, course, &driving, &evn_cvode, &s, p->report), "%s",
                  first_finding(p->report));
    evn_course_free(course);
    return s;
}

static played play_it(const char *truck, const char *cycle, const evn_conditions *ask)
{
    played p = {load_truck(truck), load_cycle(cycle), NULL, evn_report_new(), {0}, NULL};
    evn_rig_prepare(p.truck, &ask->load_case, &p.rig, p.report);
    ck_assert_msg(p.rig, "%s", first_finding(p.report));
    p.what = scheduled(&p, p.rig, ask->driving, ask->driving.accuracy);
    evn_drive(p.rig, p.cycle, &ask->driving, NULL, &p.results, p.report);
    ck_assert_msg(p.results, "%s", first_finding(p.report));
    return p;
}

static double of_run(const played *p, const char *key)
{
    double value = (double)NAN;
    ck_assert_msg(evn_results_get(p->results, key, &value), "there is no result %s", key);
    return value;
}

static void played_end(played *p)
{
    evn_results_free(p->results);
    schedule_free(&p->what);
    evn_rig_free(p->rig);
    evn_truck_free(p->truck);
    evn_cycle_free(p->cycle);
    evn_report_free(p->report);
}

static bool is_open(schedule_span s) { return s.value >= 65536; }

/* Openings and closings of the branch on a whole run; the time that it was open. */
typedef struct changes {
    size_t opened, closed;
    double open_s, least_m; /* least_m: the first change beyond the start */
} changes;

static changes changes_of(const played *p)
{
    const schedule_lane *lane = &p->what.lane[SCHEDULE_UNIT];
    changes c = {.least_m = (double)INFINITY};
    for (size_t k = 0; k < lane->count; k++) {
        bool was = k > 0 && is_open(lane->span[k - 1]), is = is_open(lane->span[k]);
        double end_s = k + 1 < lane->count ? lane->span[k + 1].time_s : p->what.end_s;
        c.opened += is && !was;
        c.closed += was && !is;
        c.open_s += is ? end_s - lane->span[k].time_s : 0;
        if (is != was)
            c.least_m = fmin(c.least_m, lane->span[k].place_m);
    }
    return c;
}

static const char *scene_cycle(char path[PATH_BYTES], const char *rest)
{
    char text[1500];
    snprintf(text, sizeof text, "name: a scene\ninvented: true\n%s\n", rest);
    write_file("cycle.yaml", text);
    return in_folder(path, "cycle.yaml");
}

#define ONE_GEAR "gearbox: {ratios: [1], efficiencies: [0.99], shift: {synchronising_loss_share: 0.15}}"
#define HILLS                                                                                                          \
    "length_m: 9000\nspeed: {place_m: [0], limit_km_h: [60]}\n"                                                        \
    "road: {place_m: [4000, 4100, 4400, 4500, 6500, 6600, 6900, 7000], grade_percent: [0, 4, 4, 0, 0, 4, 4, 0]}"

/* Of what stands still: shaft and final drive, at the shaft's 3.9 times the wheels' speed. */
static double still_j(double speed_m_s, double radius)
{
    double w = speed_m_s / radius;
    return 0.5 * (1.2 + 0.03 * 3.9 * 3.9) * w * w;
}

/*
 * At constant speed: opened, the energy of what comes to rest is lost; closed, it is paid twice, once for the motion
 * and once for the friction that brings it. That the bus gives just that, the balance tells. Open, the final drive's
 * 31 Nm at 33.9 rad/s are saved, 1.06 kW, and some losses of gears: in the 2.1 km, 125 s, between the hills 130 kJ and
 * a little more. Opening and closing cost 70 kJ each, which the exact driver pays; or 130 kJ each, which he does not.
 */
static const int disconnect_kj[] = {60, 120};
START_TEST(what_stood_still_is_sped_up_by_friction_and_lost_when_it_comes_to_rest)
{
    char truck[PATH_BYTES], cycle[PATH_BYTES], text[3000];
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = EVN_DRIVER_EXACT;
    ask.driving.accuracy = 1e-9;
    snprintf(text, sizeof text,
             "adhesion: {driving: 0.2}\ndrive_units: {rear: {" ONE_GEAR ", branches: {" LEADING
             ", trailing: {path: [" MESH ", disconnect: {price_kj: %d}, " SHAFT ", " FINAL ", " CUT ", " HUB "]}}}}",
             disconnect_kj[_i]);
    truck_over(truck, SHIPPED, text);
    played p = play_it(truck, scene_cycle(cycle, HILLS), &ask);
    changes c = changes_of(&p);
    ck_assert_uint_eq(c.closed, (_i == 0 ? 3u : 1u)); /* before each hill and the stop; before the first hill alone */
    ck_assert_double_gt(c.least_m, 60 / 3.6 * 60 / 3.6 / (2 * 0.6)); /* at the speed that is held, after v^2/2a */
    ck_assert_str_eq(evn_results_status(p.results), "finished");
    double lost_j = (double)(c.opened + c.closed) * still_j(60 / 3.6, p.rig->axle[2].radius_m);
    ck_assert_double_eq_tol(of_run(&p, "drive_units.rear.gear_change_losses_kwh") * J_PER_KWH, lost_j, 1e-9 * lost_j);
    ck_assert_double_lt(of_run(&p, "balance_error"), 1e-7);
    played_end(&p);
}
END_TEST

START_TEST(results_count_openings_and_the_time_open_and_the_balance_closes)
{
    static const char *const cycles[] = {HILL, "cycles/scenarios/tipper-back.yaml", "cycles/reference/ece-15.yaml"};
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = drivers[_i % 2];
    played p = play_it(REAR_TWO, cycles[_i / 2], &ask);
    changes c = changes_of(&p);
    bool short_hops = cycles[_i / 2] == cycles[2]; /* who knows of the next stop leaves it closed between them */
    if (!short_hops || ask.driving.driver == EVN_DRIVER_HUMAN)
        ck_assert_uint_ge(c.opened, 1);
    ck_assert_double_eq(of_run(&p, "drive_units.rear.branch_disconnections"), (double)c.opened);
    /* the schedule counts a change as done when it begins: closing takes up to 0.4 s */
    double closing_s = ask.driving.driver == EVN_DRIVER_HUMAN ? 0.4 * (double)c.closed : 0;
    double open_s = of_run(&p, "drive_units.rear.branch_disconnected_s");
    ck_assert_double_ge(open_s, c.open_s - 1e-6);
    ck_assert_double_le(open_s, c.open_s + closing_s + 1e-6);
    ck_assert_double_lt(of_run(&p, "balance_error"), 2e-5);
    played_end(&p);
}
END_TEST

START_TEST(what_it_opens_for_it_saves_but_for_its_prices)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = drivers[_i];
    played p = play_it(REAR_TWO, HILL, &ask);
    char never[PATH_BYTES];
    truck_over(never, REAR_TWO,
               "drive_units: {rear: {branches: {trailing: {path: [mesh: {ratio: 1, efficiency: 0.985, drag: {at: "
               "motor_side, speed_rpm: [0, 2500], torque_nm: [1, 3]}, inertia_kg_m2: 0.05, mass_kg: 60}, "
               "universal_joint: {angle_deg: 4}, propeller_shaft: {inertia_kg_m2: 0.03, mass_kg: 25}, "
               "universal_joint: {angle_deg: 4}, final_drive: {ratio: 3.7, efficiency: 0.965, drag: {at: wheel_side, "
               "speed_rpm: [0, 600], torque_nm: [21, 40]}, inertia_kg_m2: 1.2, mass_kg: 200}, wheel_end: {drag: {at: "
               "wheel_side, speed_rpm: [0, 600], torque_nm: [12, 20]}, inertia_kg_m2: 0.8}]}}}}");
    played q = play_it(never, HILL, &ask);
    double openings = of_run(&p, "drive_units.rear.branch_disconnections");
    ck_assert_double_lt(of_run(&p, "battery_kwh"), of_run(&q, "battery_kwh") + 2 * 15e3 * openings / J_PER_KWH);
    ck_assert_double_lt(of_run(&p, "battery_kwh"), of_run(&q, "battery_kwh"));
    played_end(&p);
    played_end(&q);
}
END_TEST

/* Behind a disconnect of the whole unit, beside another unit: both open and close, each by itself. */
START_TEST(a_unit_that_disconnects_may_have_a_branch_that_does)
{
    char truck[PATH_BYTES], text[2000], here[300];
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = drivers[_i];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(
        text, sizeof text,
        "drive_units:\n  rear: {path: [universal_joint: {angle_deg: 3}, disconnect: {price_kj: 5}, centre_bearing: "
        "{drag_nm: 1.5}]}\n  front: {axles: [1], motors: {a: {use: %s/tests/vehicles/parts/motor-chassis-480.yaml}}, "
        "gearbox: {ratios: [1.5], efficiencies: [0.99]}, path: [final_drive: {ratio: 3.7, efficiency: 0.97}, "
        "wheel_end: {}]}",
        here);
    played p = play_it(truck_over(truck, REAR_TWO, text), HILL, &ask);
    ck_assert_double_ge(of_run(&p, "drive_units.rear.branch_disconnections"), 1);
    ck_assert_double_ge(of_run(&p, "drive_units.rear.disconnections"), 1);
    ck_assert_double_lt(of_run(&p, "balance_error"), 2e-5);
    const evn_unit *rear = &p.rig->unit[0];
    ck_assert_uint_eq(rear->setting_count, 2 * (rear->gear_count + 1));
    played_end(&p);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ closing */

/* Up a climb that is too much for the tyres of one axle: for how long adhesion holds the truck. */
static double held_s(const char *time_s, evn_driver driver)
{
    char text[1000];
    snprintf(text, sizeof text,
             "adhesion: {driving: 0.15}\ndrive_units: {rear: {" ONE_GEAR ", branches: {" LEADING
             ", trailing: {path: [" MESH ", disconnect: {time_s: %s, price_kj: 10}, " FINAL
             ", disconnect: {time_s: 0.1, price_kj: 10}, " HUB "]}}}}",
             time_s);
    scene it = scene_of(SHIPPED, text,
                        "length_m: 5000\nspeed: {place_m: [0], limit_km_h: [50]}\n"
                        "road: {place_m: [3000, 3001, 4500, 4501], grade_percent: [0, 3, 3, 0]}");
    it.ask.driving.driver = driver;
    drive run = play(&it);
    must_finish(&run);
    evn_limitation held;
    double sum_s = 0;
    for (size_t k = 0; evn_results_limitation_at(run.results, k, &held); k++)
        sum_s += strcmp(held.limit, "adhesion") == 0 ? held.duration_s : 0;
    ck_assert_double_ge(result(&run, "drive_units.rear.branch_disconnections"), 1);
    scene_end(&it, &run);
    return sum_s;
}

START_TEST(who_is_asked_for_more_than_the_closed_axle_carries_closes_in_the_time_of_the_slowest_and_pulls_on)
{
    double at_once_s = held_s("0.5", EVN_DRIVER_EXACT), half_s = held_s("0.5", EVN_DRIVER_HUMAN),
           two_s = held_s("2", EVN_DRIVER_HUMAN);
    ck_assert_double_eq_tol(at_once_s, held_s("2", EVN_DRIVER_EXACT), 1e-6); /* his changes take no time */
    ck_assert_double_eq_tol(two_s - half_s, 1.5, 0.05);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ switching */

START_TEST(on_a_rolling_road_a_branch_does_not_chatter)
{
    char cycle[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = drivers[_i];
    played p =
        play_it(REAR_TWO,
                scene_cycle(cycle, "length_m: 8000\nspeed: {place_m: [0], limit_km_h: [70]}\n"
                                   "road: {place_m: [0, 200, 400], grade_percent: [1.8, -1.8, 1.8], repeat: true}"),
                &ask);
    changes c = changes_of(&p);
    ck_assert_uint_ge(c.opened, 1);
    ck_assert_uint_le(c.opened, 41); /* once for each half of the twenty dips, and once more */
    played_end(&p);
}
END_TEST

/* Accuracy and last digits decide nothing. */
START_TEST(its_schedule_is_that_of_a_hundred_times_the_accuracy)
{
    static const char *const cycles[] = {HILL, "cycles/scenarios/tipper-back.yaml", "cycles/reference/ece-15.yaml",
                                         "cycles/reference/j1376-cbd.yaml"};
    char why[400] = "";
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = drivers[_i % 2];
    played p = play_it(REAR_TWO, cycles[_i / 2], &ask);
    evn_rig less_charged = *p.rig;
    less_charged.start_soc -= 1e-9;
    schedule close = scheduled(&p, p.rig, ask.driving, 1e-8), less = scheduled(&p, &less_charged, ask.driving, 1e-6);
    ck_assert_msg(schedule_same(&p.what, &close, why, sizeof why), "%s, accuracy: %s", cycles[_i / 2], why);
    ck_assert_msg(schedule_same(&p.what, &less, why, sizeof why), "%s, charge: %s", cycles[_i / 2], why);
    schedule_free(&close);
    schedule_free(&less);
    played_end(&p);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("branches");
    TCase *instants = tcase_create("instants");
    tcase_add_checked_fixture(instants, folder_begin, folder_end);
    tcase_add_test(instants, closed_it_is_the_truck_without_disconnects_to_the_last_digit);
    tcase_add_test(instants, an_open_branch_that_drags_nothing_leaves_a_unit_on_one_axle);
    tcase_add_loop_test(
        instants, an_open_branch_drags_what_turns_with_the_wheels_and_what_turns_with_the_dividing_point, 0, LAYOUTS);
    tcase_add_test(instants, one_disconnect_alone_saves_no_drag);
    tcase_add_test(instants, adhesion_holds_the_closed_axle_alone);
    suite_add_tcase(suite, instants);
    TCase *runs = tcase_create("runs");
    tcase_add_checked_fixture(runs, folder_begin, folder_end);
    tcase_add_loop_test(runs, what_stood_still_is_sped_up_by_friction_and_lost_when_it_comes_to_rest, 0, 2);
    tcase_add_loop_test(runs, results_count_openings_and_the_time_open_and_the_balance_closes, 0, 6);
    tcase_add_loop_test(runs, what_it_opens_for_it_saves_but_for_its_prices, 0, 2);
    tcase_add_test(runs,
                   who_is_asked_for_more_than_the_closed_axle_carries_closes_in_the_time_of_the_slowest_and_pulls_on);
    tcase_add_loop_test(runs, a_unit_that_disconnects_may_have_a_branch_that_does, 0, 2);
    tcase_add_loop_test(runs, on_a_rolling_road_a_branch_does_not_chatter, 0, 2);
    tcase_add_loop_test(runs, its_schedule_is_that_of_a_hundred_times_the_accuracy, 0, 8);
    suite_add_tcase(suite, runs);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
