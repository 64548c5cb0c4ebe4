/* How trucks stand and what their frames have room for, against geometry by hand. */
#define _XOPEN_SOURCE 700
#include "api/objects.h"
#include "site/room.h"
#include "site/stand.h"
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TIPPER "vehicles/trucks/tipper-8x4-central.yaml"
#define EAXLES "vehicles/trucks/tipper-8x4-two-eaxles.yaml"
#define FOUR_BY_TWO "vehicles/trucks/tractor-4x2-central.yaml"
#define SILENT "tests/trucks/plain/tractor-4x2-central.yaml" /* states nothing of places */

static const char *first_finding(const evn_report *report)
{
    evn_finding finding = {.text = ""};
    evn_report_at(report, 0, &finding);
    return finding.text;
}

static evn_site *site_with(const char *path, const char *const *set, const evn_site_ask *ask, double payload_kg)
{
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_site *site = NULL;
    evn_load_case load_case = evn_conditions_default().load_case;
    load_case.payload_kg = payload_kg;
    evn_truck_load_with(path, &(evn_load){.set = set}, &truck, report);
    ck_assert_msg(truck, "%s", first_finding(report));
    ck_assert_msg(evn_site_find(truck, &load_case, ask, &site, report) == EVN_DONE, "%s", first_finding(report));
    evn_truck_free(truck);
    evn_report_free(report);
    return site;
}

static evn_site *site_of(const char *path, const char *const *set)
{
    evn_site_ask ask = evn_site_ask_default();
    return site_with(path, set, &ask, (double)NAN);
}

static evn_site_figure figure(const evn_site *site, const char *key)
{
    evn_site_figure f;
    ck_assert_msg(evn_site_get(site, key, &f), "%s is not there", key);
    return f;
}

static double value_of(const evn_site *site, const char *key) { return figure(site, key).value; }

/* ------------------------------------------------------------------------------------------------ standing */

START_TEST(a_tangent_has_the_angle_of_the_ramp_that_it_was_made_of)
{
    for (double degrees = 1; degrees < 80; degrees += 6.5)
        for (double beyond_m = 0.01; beyond_m < 4; beyond_m *= 3) {
            double angle = degrees / 57.29577951308232, radius_m = 0.5;
            double ahead_m = radius_m * sin(angle) + beyond_m * cos(angle);
            double height_m = radius_m * (1 - cos(angle)) + beyond_m * sin(angle);
            ck_assert_double_eq_tol(evn_tangent_rad(radius_m, ahead_m, height_m), angle, 1e-9);
        }
    ck_assert_double_eq_tol(evn_tangent_rad(0.5, 0.2, 0.5), acos(-1) / 2, 1e-12); /* within the circle */
    ck_assert_double_eq_tol(evn_tangent_rad(0.5, 1.5, 0), 0, 1e-9);               /* on the ground */
}
END_TEST

START_TEST(the_ground_rises_beside_the_ruts_and_in_a_parabola_between_them)
{
    const evn_ground g = {0.12, 0.06, 0.6, 1.2, NULL};
    ck_assert_double_eq_tol(evn_ground_highest_m(&g, -0.1, 0.1), 0.18, 1e-12);
    ck_assert_double_eq_tol(evn_ground_highest_m(&g, 0.3, 0.5), 0.12 + 0.06 * 0.75, 1e-12);
    ck_assert_double_eq_tol(evn_ground_highest_m(&g, -0.5, -0.3), 0.12 + 0.06 * 0.75, 1e-12);
    ck_assert_double_eq_tol(evn_ground_highest_m(&g, 0.7, 1.1), 0, 1e-12);    /* over a rut */
    ck_assert_double_eq_tol(evn_ground_highest_m(&g, 0.7, 1.3), 0.12, 1e-12); /* and beyond it */
    const evn_ground flat = {0, 0, 0.6, 1.2, NULL};
    ck_assert_double_eq(evn_ground_highest_m(&flat, -2, 2), 0);
}
END_TEST

START_TEST(an_axle_stands_at_its_free_radius_less_its_load_over_the_stiffness_of_its_tyres)
{
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_rig *rig = NULL;
    evn_load_case load_case = evn_conditions_default().load_case;
    evn_truck_load(TIPPER, &truck, report);
    evn_rig_prepare(truck, &load_case, &rig, report);
    evn_site *site = site_of(TIPPER, NULL);
    /* 315/80: 0.538 m free, 1000 kN/m a tyre; the front axle has two, its body 0.18 m below the wheels' centres */
    double front_n = evn_axle_load_n(&rig->axle[0].load, rig->gravity_m_s2, 1, 0, 0, 0);
    ck_assert_double_gt(front_n, 60000);
    ck_assert_double_eq_tol(value_of(site, "clearance.front.laden_mm"), (0.538 - front_n / 2e6 - 0.18) * 1e3, 1e-9);
    double leading_n = evn_axle_load_n(&rig->axle[2].load, rig->gravity_m_s2, 1, 0, 0, 0);
    ck_assert_double_eq_tol(value_of(site, "clearance.leading.laden_mm"), (0.538 - leading_n / 4e6 - 0.235) * 1e3,
                            1e-9);
    evn_site_free(site);
    evn_rig_free(rig);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

START_TEST(ruts_and_crown_take_their_height_from_what_hangs_between_the_wheels)
{
    evn_site_ask ask = evn_site_ask_default();
    evn_site *flat = site_with(TIPPER, NULL, &ask, (double)NAN);
    ask.rut_mm = 120;
    ask.crown_mm = 60;
    evn_site *rutted = site_with(TIPPER, NULL, &ask, (double)NAN);
    ck_assert_double_eq_tol(
        value_of(flat, "clearance.leading.laden_mm") - value_of(rutted, "clearance.leading.laden_mm"), 180, 1e-9);
    evn_site_free(flat);
    evn_site_free(rutted);
}
END_TEST

START_TEST(the_frame_goes_by_the_line_between_front_and_rear_wheels)
{
    /* a box that reaches from 0.55 to 2.95 m of a wheelbase of 3.9 m: its rear end is the lower where the front wheels
     * are larger by 0.1 m */
    static const char *const high_in_front[] = {"axles.front.tyre.vertical_stiffness_kn_m=100000",
                                                "axles.drive.tyre.vertical_stiffness_kn_m=100000",
                                                "axles.front.tyre.free_radius_m=0.606", NULL};
    evn_site *site = site_of(FOUR_BY_TWO, high_in_front);
    ck_assert_double_eq_tol(value_of(site, "clearance.frame.empty_mm"), (0.606 - 0.1 * 2.95 / 3.9 - 0.15) * 1e3, 0.5);
    evn_site_free(site);
}
END_TEST

/* How much lower the frame lies laden than empty at a place, by the loads of two rigs: tyres, and springs where
 * counted. */
static double down_m(const char *const *set, bool springs, double behind_m)
{
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_rig *laden = NULL, *empty = NULL;
    evn_load_case load_case = evn_conditions_default().load_case;
    double down[2] = {0, 0}, place_m[2] = {0.975, 5.725}; /* means of the tipper's front and rear axles */
    evn_truck_load_with(TIPPER, &(evn_load){.set = set}, &truck, report);
    ck_assert_msg(truck, "%s", first_finding(report));
    evn_rig_prepare(truck, &load_case, &laden, report);
    load_case.payload_kg = 0;
    evn_rig_prepare(truck, &load_case, &empty, report);
    for (size_t k = 0; k < 4; k++) {
        const evn_axle_file *axle = (const evn_axle_file *)truck->file->axles.item + k;
        double more_n = (laden->axle[k].load.cosine_kg - empty->axle[k].load.cosine_kg) * 9.80665;
        down[k / 2] += more_n / (axle->tyres * 1e6) / 2;
        if (springs)
            down[k / 2] += more_n / (2e3 * axle->suspension->stiffness_kn_m) / 2;
    }
    evn_rig_free(laden);
    evn_rig_free(empty);
    evn_truck_free(truck);
    evn_report_free(report);
    return down[0] + (behind_m - place_m[0]) / (place_m[1] - place_m[0]) * (down[1] - down[0]);
}

START_TEST(steel_springs_let_the_frame_down_under_payload_and_air_springs_do_not)
{
    static const char *const air[] = {"axles.front.suspension.air=true", "axles.second.suspension.air=true",
                                      "axles.leading.suspension.air=true", "axles.trailing.suspension.air=true", NULL};
    /* the box at the side reaches from 2.55 to 4.45 m and is the lowest on the frame, laden at its rear end */
    for (int is_air = 0; is_air < 2; is_air++) {
        evn_site *site = site_of(TIPPER, is_air ? air : NULL);
        double laden_m = value_of(site, "clearance.frame.laden_mm") / 1e3;
        double empty_m = value_of(site, "clearance.frame.empty_mm") / 1e3;
        double least = fmin(down_m(is_air ? air : NULL, !is_air, 2.55), down_m(is_air ? air : NULL, !is_air, 4.45));
        double most = fmax(down_m(is_air ? air : NULL, !is_air, 2.55), down_m(is_air ? air : NULL, !is_air, 4.45));
        ck_assert_double_ge(empty_m - laden_m, least - 1e-3);
        ck_assert_double_le(empty_m - laden_m, most + 1e-3);
        evn_site_free(site);
    }
    ck_assert_double_gt(down_m(NULL, true, 3.5), down_m(air, false, 3.5) + 0.01);
}
END_TEST

START_TEST(an_overhang_that_hangs_lowest_is_the_lowest_point_of_frame_and_truck)
{
    static const char *const front[] = {"frame.front_bottom_over_axles_m=-0.35", NULL},
                             *const lower[] = {"frame.front_bottom_over_axles_m=-0.36", NULL},
                             *const rear[] = {"frame.rear_bottom_over_axles_m=-0.4", NULL};
    evn_site *at_front = site_of(TIPPER, front), *ten_lower = site_of(TIPPER, lower), *at_rear = site_of(TIPPER, rear);
    ck_assert_str_eq(figure(at_front, "clearance.truck.laden_mm").why, "front overhang");
    ck_assert_str_eq(figure(at_front, "clearance.frame.empty_mm").why, "front overhang");
    ck_assert_str_eq(figure(at_rear, "clearance.truck.laden_mm").why, "rear overhang");
    ck_assert_double_eq_tol(
        value_of(at_front, "clearance.truck.laden_mm") - value_of(ten_lower, "clearance.truck.laden_mm"), 10, 1e-9);
    evn_site_free(at_front);
    evn_site_free(ten_lower);
    evn_site_free(at_rear);
}
END_TEST

#define LIFTS "vehicles/trucks/rigid-6x2-eaxle.yaml" /* its tag axle lifts where a test says so */
static const char *const lifts_itself[] = {"axles.tag.lifts={}", NULL};
static const char *const stays_down[] = {"axles.tag.lifts={request: down}", NULL};

START_TEST(a_laden_truck_stands_as_high_whether_its_axle_lifts_when_empty_or_not)
{
    evn_site *lifts = site_of(LIFTS, lifts_itself), *down = site_of(LIFTS, stays_down);
    static const char *const keys[] = {"clearance.frame.laden_mm", "clearance.truck.laden_mm",
                                       "clearance.drive.laden_mm", "clearance.angles.approach_deg",
                                       "clearance.angles.ramp_deg"};
    for (size_t k = 0; k < sizeof keys / sizeof *keys; k++)
        ck_assert_double_eq_tol(value_of(lifts, keys[k]), value_of(down, keys[k]), 1e-9);
    ck_assert_double_gt(fabs(value_of(lifts, "clearance.frame.empty_mm") - value_of(down, "clearance.frame.empty_mm")),
                        1);
    evn_site_free(lifts);
    evn_site_free(down);
}
END_TEST

START_TEST(nothing_on_an_axle_meets_the_frame_of_a_shipped_truck_before_its_bump_stop)
{
    static const struct {
        const char *path, *keys[2];
    } rows[] = {{EAXLES, {"clearance.leading.bump_gap_mm", "clearance.trailing.bump_gap_mm"}},
                {"vehicles/trucks/tipper-8x2-eaxle.yaml", {"clearance.leading.bump_gap_mm"}},
                {LIFTS, {"clearance.drive.bump_gap_mm"}},
                {"vehicles/trucks/tractor-4x2-eaxle.yaml", {"clearance.drive.bump_gap_mm"}},
                {"vehicles/trucks/tractor-4x2-eaxle-single.yaml", {"clearance.drive.bump_gap_mm"}},
                {"vehicles/trucks/tractor-6x2-eaxle.yaml", {"clearance.drive.bump_gap_mm"}}};
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        evn_site *site = site_of(rows[k].path, NULL);
        for (size_t i = 0; i < 2 && rows[k].keys[i]; i++) {
            evn_site_figure f = figure(site, rows[k].keys[i]);
            ck_assert_msg(isnan(f.value) || f.margin >= 0, "%s of %s: %g mm, %s", rows[k].keys[i], rows[k].path,
                          f.value, f.why);
        }
        evn_site_free(site);
    }
}
END_TEST

/* A motor 0.36 m high from 0.18 m below the wheel centres, moved under a rail whose underside lies 0.17 m over them. */
START_TEST(a_motor_under_a_rail_is_told_with_its_gap_against_the_bump_stop)
{
    static const char *const beside[] = {"drive_units.leading.housings.motor_a.across_m=-0.3",
                                         "axles.leading.suspension.air=true",
                                         "axles.trailing.suspension.air=true",
                                         "axles.front.suspension.air=true",
                                         "axles.second.suspension.air=true",
                                         NULL};
    evn_site *site = site_of("vehicles/trucks/tipper-8x2-eaxle.yaml", beside);
    evn_site_figure f = figure(site, "clearance.leading.bump_gap_mm");
    ck_assert_double_eq_tol(f.value, 170 - 180,
                            12); /* but for axles of a group that stand unlike high on their tyres */
    ck_assert_double_eq(f.limit, 90);
    ck_assert_double_lt(f.margin, -80);
    ck_assert_str_eq(f.why, "motor_a of drive unit leading under a rail of the frame");
    evn_site_free(site);
}
END_TEST

/* Angle of the line through a point that is as far from a circle's centre as its radius is, by halving. */
static double tangent_by_halving(double radius_m, double ahead_m, double height_m)
{
    double low = 0, high = 1.5;
    for (int k = 0; k < 100; k++) {
        double angle = (low + high) / 2;
        double away_m = ahead_m * sin(angle) + (radius_m - height_m) * cos(angle);
        *(away_m < radius_m ? &low : &high) = angle;
    }
    return low;
}

/* Tyres that hardly give, so that heights are those of the file. */
static const char *const stiff[] = {"axles.front.tyre.vertical_stiffness_kn_m=100000",
                                    "axles.drive.tyre.vertical_stiffness_kn_m=100000", NULL};

START_TEST(angles_of_a_tractor_are_those_of_its_overhangs_and_boxes_by_hand)
{
    const double DEG = 57.29577951308232;
    evn_site_ask ask = evn_site_ask_default();
    evn_site *site = site_with(FOUR_BY_TWO, stiff, &ask, 0);
    /* wheels of 0.506 m at 0 and 3.9 m; front end 1.4 m ahead, 0.2 below the wheels' centres, rear end 0.95 behind, 0.2
     * over them; boxes 0.15 below from 0.7 to 3.2 m */
    ck_assert_double_eq_tol(value_of(site, "clearance.angles.approach_deg"),
                            DEG * tangent_by_halving(0.506, 1.4, 0.306), 0.1);
    ck_assert_double_eq_tol(value_of(site, "clearance.angles.departure_deg"),
                            DEG * tangent_by_halving(0.506, 0.95, 0.706), 0.1);
    ck_assert_double_eq_tol(
        value_of(site, "clearance.angles.ramp_deg"),
        DEG * fmin(tangent_by_halving(0.506, 1.3 + 0.975, 0.406) + tangent_by_halving(0.506, 3.9 - 2.275, 0.406),
                   tangent_by_halving(0.506, 1.625, 0.456) + tangent_by_halving(0.506, 3.9 - 1.625, 0.456)),
        0.1);
    evn_site_free(site);
}
END_TEST

START_TEST(the_lowest_is_named_and_a_limit_has_its_margin)
{
    evn_site_ask ask = evn_site_ask_default();
    evn_site *site = site_with(EAXLES, NULL, &ask, (double)NAN);
    evn_site_figure f = figure(site, "clearance.leading.laden_mm");
    ck_assert_str_eq(f.why, "housing of the electric axle at axle leading");
    ck_assert_double_eq(f.limit, 260); /* under a drive on the axle, whoever asks */
    ck_assert_double_eq_tol(f.margin, f.value - 260, 1e-12);
    ck_assert(!f.demanded && evn_site_meets_all(site));
    ck_assert(isnan(figure(site, "clearance.front.laden_mm").limit));
    evn_site_free(site);
    ask.clearance_mm = 300;
    site = site_with(EAXLES, NULL, &ask, (double)NAN);
    f = figure(site, "clearance.leading.laden_mm");
    ck_assert(f.demanded && f.margin < 0 && !evn_site_meets_all(site));
    evn_site_free(site);
}
END_TEST

START_TEST(what_a_file_does_not_state_is_not_known_and_the_rest_still_comes)
{
    evn_site *site = site_of(SILENT, NULL);
    evn_site_figure f = figure(site, "clearance.front.laden_mm");
    ck_assert(isnan(f.value));
    ck_assert_str_eq(f.why, "not known: axles.front.tyre.free_radius_m is not stated");
    ck_assert_str_eq(figure(site, "packaging.full.modules").why, "not known: frame is not stated");
    ck_assert_double_gt(value_of(site, "packaging.now.payload_kg"), 20000);
    evn_site_free(site);
}
END_TEST

START_TEST(nothing_of_places_moves_a_run)
{
    static const char *const other[] = {
        "axles.front.track_m=1.5",       "axles.front.tyre.free_radius_m=0.9",          "frame.rear_overhang_m=3",
        "battery.boxes.left.length_m=1", "drive_units.rear.housings.motor.width_m=0.2", NULL};
    evn_report *report = evn_report_new();
    evn_truck *as_is = NULL, *moved = NULL;
    evn_rig *one = NULL, *two = NULL;
    evn_load_case load_case = evn_conditions_default().load_case;
    evn_truck_load(TIPPER, &as_is, report);
    evn_truck_load_with(TIPPER, &(evn_load){.set = other}, &moved, report);
    ck_assert_msg(as_is && moved, "%s", first_finding(report));
    evn_rig_prepare(as_is, &load_case, &one, report);
    evn_rig_prepare(moved, &load_case, &two, report);
    evn_quantity what;
    double value, again;
    for (size_t k = 0; evn_rig_figure_at(one, k, &what, &value); k++) {
        ck_assert(evn_rig_figure_at(two, k, &what, &again));
        ck_assert_msg(value == again, "%s", what.key);
    }
    ck_assert(one->axle[1].load.cosine_kg == two->axle[1].load.cosine_kg);
    evn_rig_free(one);
    evn_rig_free(two);
    evn_truck_free(as_is);
    evn_truck_free(moved);
    evn_report_free(report);
}
END_TEST

START_TEST(the_header_tells_bounds_and_default_of_what_is_asked_as_its_table_has_them)
{
    static char header[100000];
    FILE *file = fopen("include/evener/site.h", "r");
    ck_assert_ptr_nonnull(file);
    header[fread(header, 1, sizeof header - 1, file)] = '\0';
    fclose(file);
    for (size_t k = 0; k < evn_site_ask_object.field_count; k++) {
        static const char keys[] = "rut_mm crown_mm clearance_mm kwh_per_km";
        const evn_field *f = &evn_site_ask_object.fields[k];
        if (!strstr(keys, f->key))
            continue;
        char member[80], told[80];
        snprintf(member, sizeof member, "double %s;", f->key);
        int length = snprintf(told, sizeof told, "/* %g to %g; ", f->least, f->most);
        if (isnan(f->fallback))
            snprintf(told + length, sizeof told - (size_t)length, "NAN, the default: ");
        else
            snprintf(told + length, sizeof told - (size_t)length, "default %g; ", f->fallback);
        const char *at = strstr(header, member);
        ck_assert_msg(at, "%s", member);
        at += strlen(member);
        at += strspn(at, " ");
        ck_assert_msg(strncmp(at, told, strlen(told)) == 0, "%s: expected '%s'", member, told);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ room */

static const evn_module_file module = {
    .length_m = 0.7, .width_m = 0.4, .height_m = 0.22, .mass_kg = 100, .energy_kwh = 15};

static size_t modules_in(double length_m, double width_m, double height_m, const evn_room *obstacle, size_t obstacles,
                         const evn_module_file *m)
{
    evn_filling filling;
    const evn_room bay = {{0, 0, 0}, {length_m, width_m, height_m}};
    evn_room_fill(&bay, obstacle, obstacles, m, &filling);
    return filling.modules;
}

START_TEST(whole_modules_stand_in_the_best_of_the_ways_allowed)
{
    evn_module_file any_way = module;
    any_way.stands = EVN_MODULE_ANY_WAY;
    ck_assert_uint_eq(modules_in(1.9, 0.74, 0.68, NULL, 0, &module), 12);  /* across: 4 x 1 x 3; along: 2 x 1 x 3 */
    ck_assert_uint_eq(modules_in(2.1, 0.68, 0.67, NULL, 0, &module), 9);   /* along: 3 x 1 x 3 */
    ck_assert_uint_eq(modules_in(0.7, 0.4, 0.22, NULL, 0, &module), 1);    /* as large as one */
    ck_assert_uint_eq(modules_in(0.69, 0.39, 5, NULL, 0, &module), 0);     /* too small upright, */
    ck_assert_uint_eq(modules_in(0.69, 0.45, 0.75, NULL, 0, &any_way), 3); /* but not on end: 3 x 1 x 1 */
}
END_TEST

START_TEST(an_obstacle_leaves_what_is_before_and_behind_beside_and_above_it)
{
    /* a bay of 3 x 0.8 x 0.66 m: along 4 x 2 x 3 = 24, across 7 x 1 x 3 = 21 */
    ck_assert_uint_eq(modules_in(3, 0.8, 0.66, NULL, 0, &module), 24);
    /* from wall to wall, 1 m long: before it 1.2 m, 1 x 2 x 3 along or 3 x 1 x 3 across; behind it 0.8 m, 6 */
    const evn_room wall = {{1.2, 0, 0}, {2.2, 0.8, 0.66}};
    ck_assert_uint_eq(modules_in(3, 0.8, 0.66, &wall, 1, &module), 9 + 6);
    /* a shaft of 0.2 m along all of it, low at one side: a layer of 0.44 m over it takes 4 x 2 x 2, beside it the
     * lowest 0.22 m have 0.6 m of width left: 4 x 1 x 1 */
    const evn_room shaft = {{0, 0, 0}, {3, 0.2, 0.22}};
    ck_assert_uint_eq(modules_in(3, 0.8, 0.66, &shaft, 1, &module), 16 + 4);
}
END_TEST

START_TEST(an_electric_axle_frees_the_bay_between_the_rails)
{
    evn_site *central = site_of(TIPPER, NULL), *eaxles = site_of(EAXLES, NULL);
    ck_assert_double_eq(value_of(central, "packaging.between_rails.modules"), 0);
    ck_assert_double_eq(value_of(central, "packaging.full.lost_modules"), 9);
    ck_assert_double_eq(value_of(eaxles, "packaging.between_rails.modules"), 9);
    ck_assert_double_eq(value_of(eaxles, "packaging.full.installed_kwh"),
                        value_of(central, "packaging.full.installed_kwh") + 9 * 15);
    evn_site_free(central);
    evn_site_free(eaxles);
}
END_TEST

START_TEST(a_propeller_shaft_leaves_the_room_over_it)
{
    /* behind the gearbox, which ends at 2.4 m, the bay goes on to 3.9 m and up to 0.52 m over the wheels' centres; the
     * shaft begins 0.17 m over them, 0.14 m thick, with 0.03 m around it: above 0.27 m one layer of two fits */
    evn_site *site = site_of("vehicles/trucks/rigid-6x2-central.yaml", NULL);
    ck_assert_double_eq(value_of(site, "packaging.between_rails.modules"), 2);
    evn_site_free(site);
}
END_TEST

START_TEST(gross_mass_and_each_axle_bound_the_number_of_modules)
{
    /* ten modules of 100 kg in a row from 0 to 7 m, over axles at 0 and 10 m: of each kg at x one tenth of x is the
     * rear's */
    const evn_stack row = {0, 7, 0.7, 10, 1};
    const evn_stacks stacks = {&row, 1, 10};
    evn_carrying axle[2] = {{5000, 1, -0.1, 9000}, {5000, 0, 0.1, 9000}};
    double least_m[11], greatest_m[11], sum_m;
    size_t binds;
    evn_stacks_sums_m(&stacks, least_m, greatest_m);
    ck_assert_double_eq_tol(least_m[3], 0.35 * 9, 1e-12);
    ck_assert_double_eq_tol(greatest_m[3], 3 * 7 - 0.35 * 9, 1e-12);
    ck_assert_uint_eq(evn_room_most_carried(&stacks, least_m, greatest_m, 100, axle, 2, 1e4, &binds, &sum_m), 10);
    ck_assert_uint_eq(binds, 3);
    ck_assert_uint_eq(evn_room_most_carried(&stacks, least_m, greatest_m, 100, axle, 2, 750, &binds, &sum_m), 7);
    ck_assert_uint_eq(binds, 2);
    /* the rear axle takes 100 kg more: the places of n modules from the front sum up to 0.35 n^2 m, of 10 kg a metre */
    axle[1].permitted_kg = 5100;
    ck_assert_uint_eq(evn_room_most_carried(&stacks, least_m, greatest_m, 100, axle, 2, 1e4, &binds, &sum_m), 5);
    ck_assert_uint_eq(binds, 1);
    ck_assert_double_le(10 * sum_m, 100 + 1e-9);
}
END_TEST

START_TEST(the_largest_battery_keeps_the_payload_as_asked)
{
    static const char *const trucks[] = {TIPPER, EAXLES, FOUR_BY_TWO, "vehicles/trucks/rigid-6x2-eaxle.yaml"};
    for (size_t k = 0; k < 4; k++) {
        evn_site *site = site_of(trucks[k], NULL);
        evn_report *report = evn_report_new();
        evn_truck *truck = NULL;
        evn_truck_load(trucks[k], &truck, report);
        ck_assert_double_ge(value_of(site, "packaging.largest.payload_kg"), truck->file->payload->mass_kg - 1e-6);
        ck_assert_double_le(value_of(site, "packaging.largest.modules"), value_of(site, "packaging.full.modules"));
        evn_truck_free(truck);
        evn_report_free(report);
        evn_site_free(site);
    }
}
END_TEST

START_TEST(the_payload_left_puts_gross_mass_or_an_axle_at_its_limit)
{
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_rig *rig = NULL;
    evn_load_case load_case = evn_conditions_default().load_case;
    evn_site *site = site_of(FOUR_BY_TWO, NULL);
    load_case.payload_kg = value_of(site, "packaging.now.payload_kg");
    evn_truck_load(FOUR_BY_TWO, &truck, report);
    evn_rig_prepare(truck, &load_case, &rig, report);
    double least_kg = truck->file->body->permitted_gross_kg - rig->mass_kg;
    for (size_t k = 0; k < rig->axle_count; k++)
        least_kg =
            fmin(least_kg, rig->axle[k].permitted_kg -
                               evn_axle_load_n(&rig->axle[k].load, rig->gravity_m_s2, 1, 0, 0, 0) / rig->gravity_m_s2);
    ck_assert_double_eq_tol(least_kg, 0, 1e-6);
    evn_site_free(site);
    evn_rig_free(rig);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

START_TEST(the_payload_left_beside_a_battery_is_that_of_all_limits_with_a_lifting_axle_on_the_ground)
{
    evn_site *lifts = site_of(LIFTS, lifts_itself), *down = site_of(LIFTS, stays_down);
    static const char *const keys[] = {"packaging.now.payload_kg", "packaging.full.payload_kg",
                                       "packaging.largest.modules", "packaging.largest.payload_kg"};
    ck_assert_double_eq_tol(value_of(lifts, "packaging.now.payload_kg"),
                            value_of(lifts, "payload.permitted.as_placed_kg"), 0.01);
    for (size_t k = 0; k < sizeof keys / sizeof *keys; k++)
        ck_assert_double_eq_tol(value_of(lifts, keys[k]), value_of(down, keys[k]), 1e-6);
    evn_site_free(lifts);
    evn_site_free(down);
}
END_TEST

START_TEST(range_is_usable_energy_over_the_use_given)
{
    evn_site_ask ask = evn_site_ask_default();
    ask.kwh_per_km = 1.25;
    evn_site *site = site_with(TIPPER, NULL, &ask, (double)NAN);
    ck_assert_double_eq_tol(value_of(site, "packaging.full.range_km"),
                            value_of(site, "packaging.full.usable_kwh") / 1.25, 1e-9);
    /* the usable window of the file: 0.06 to 0.94 */
    ck_assert_double_eq_tol(value_of(site, "packaging.full.usable_kwh"),
                            0.88 * value_of(site, "packaging.full.installed_kwh"), 1e-9);
    evn_site_free(site);
}
END_TEST

START_TEST(many_small_modules_and_many_obstacles_take_no_time_to_speak_of)
{
    const evn_module_file tiny = {0.02, 0.02, 0.02, 1, 1, EVN_MODULE_ANY_WAY, NULL};
    const evn_room bay = {{0, 0, 0}, {5, 2, 1}};
    evn_room obstacle[20];
    evn_filling filling;
    for (int k = 0; k < 20; k++)
        obstacle[k] = (evn_room){{0.2 * k, 0.05 * k, 0.02 * k}, {0.2 * k + 1.5, 0.05 * k + 0.7, 0.02 * k + 0.4}};
    evn_room_fill(&bay, obstacle, 20, &tiny, &filling);
    ck_assert_uint_gt(filling.modules, 1000);
    static const char *const set[] = {"battery.module={length_m: 0.02, width_m: 0.02, height_m: 0.02}", NULL};
    evn_site *site = site_of(TIPPER, set);
    ck_assert_str_eq(figure(site, "packaging.full.modules").why, "none: more than 100000 modules fit");
    evn_site_free(site);
}
END_TEST

START_TEST(bays_that_share_room_are_told_and_not_counted_twice)
{
    static const char *const set[] = {"frame.bays.between_rails.width_m=1.2", NULL};
    evn_site *site = site_of(TIPPER, set);
    evn_site_figure f = figure(site, "packaging.full.modules");
    ck_assert(isnan(f.value));
    ck_assert_str_eq(f.why, "none: bays left and between_rails share room");
    evn_site_free(site);
}
END_TEST

START_TEST(the_fifth_wheel_bears_what_the_axles_of_the_semitrailer_do_not)
{
    evn_site *site = site_of(FOUR_BY_TWO, NULL);
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_unit_masses masses[EVN_UNITS_MAX];
    evn_at_rest at;
    evn_truck_load(FOUR_BY_TWO, &truck, report);
    ck_assert(truck && evn_truck_unit_masses(truck->file, masses));
    evn_truck_at_rest(truck->file, masses, truck->file->payload->mass_kg, &at);
    ck_assert_double_eq_tol(value_of(site, "axle_loads.coupling.laden_kg"), at.trailer.kg - at.load_kg[at.truck_axles],
                            1e-6);
    evn_truck_free(truck);
    evn_report_free(report);
    evn_site_free(site);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ drawing */

START_TEST(a_drawing_has_each_part_where_the_file_has_it)
{
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_drawing *drawing = NULL;
    evn_load_case load_case = evn_conditions_default().load_case;
    evn_site_shape is;
    size_t tyres = 0, motors = 0, shafts = 0, batteries = 0;
    double front_m, rear_m;
    evn_truck_load(TIPPER, &truck, report);
    ck_assert_int_eq(evn_drawing_of(truck, &load_case, &drawing, report), EVN_DONE);
    ck_assert_ptr_null(evn_drawing_missing(drawing));
    ck_assert(evn_drawing_ends(drawing, &front_m, &rear_m));
    ck_assert_double_eq_tol(front_m, -1.45, 1e-12);
    ck_assert_double_eq_tol(rear_m, 7.45, 1e-12);
    for (size_t k = 0; evn_drawing_at(drawing, k, &is); k++) {
        tyres += is.part == EVN_PART_TYRE;
        shafts += is.part == EVN_PART_SHAFT;
        batteries += is.part == EVN_PART_BATTERY;
        if (is.part != EVN_PART_MOTOR)
            continue;
        motors++;
        ck_assert_double_eq_tol((is.from_m + is.to_m) / 2, 2.65, 1e-12);
        ck_assert_double_eq_tol(is.high_m - is.low_m, 0.5, 1e-12);
    }
    ck_assert_uint_eq(tyres, 12);
    ck_assert_uint_eq(motors, 1);
    ck_assert_uint_eq(shafts, 2);
    ck_assert_uint_eq(batteries, 3);
    evn_drawing_free(drawing);
    evn_truck_free(truck);
    evn_truck_load(SILENT, &truck, report);
    ck_assert_int_eq(evn_drawing_of(truck, &load_case, &drawing, report), EVN_DONE);
    ck_assert_str_eq(evn_drawing_missing(drawing), "frame");
    ck_assert(!evn_drawing_at(drawing, 0, &is));
    evn_drawing_free(drawing);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("site");
    TCase *stand = tcase_create("standing"), *room = tcase_create("room"), *drawing = tcase_create("drawing");
    tcase_add_test(stand, an_overhang_that_hangs_lowest_is_the_lowest_point_of_frame_and_truck);
    tcase_add_test(stand, a_tangent_has_the_angle_of_the_ramp_that_it_was_made_of);
    tcase_add_test(stand, the_ground_rises_beside_the_ruts_and_in_a_parabola_between_them);
    tcase_add_test(stand, an_axle_stands_at_its_free_radius_less_its_load_over_the_stiffness_of_its_tyres);
    tcase_add_test(stand, ruts_and_crown_take_their_height_from_what_hangs_between_the_wheels);
    tcase_add_test(stand, the_frame_goes_by_the_line_between_front_and_rear_wheels);
    tcase_add_test(stand, steel_springs_let_the_frame_down_under_payload_and_air_springs_do_not);
    tcase_add_test(stand, angles_of_a_tractor_are_those_of_its_overhangs_and_boxes_by_hand);
    tcase_add_test(stand, the_lowest_is_named_and_a_limit_has_its_margin);
    tcase_add_test(stand, what_a_file_does_not_state_is_not_known_and_the_rest_still_comes);
    tcase_add_test(stand, the_header_tells_bounds_and_default_of_what_is_asked_as_its_table_has_them);
    tcase_add_test(stand, nothing_of_places_moves_a_run);
    tcase_add_test(room, whole_modules_stand_in_the_best_of_the_ways_allowed);
    tcase_add_test(room, an_obstacle_leaves_what_is_before_and_behind_beside_and_above_it);
    tcase_add_test(room, an_electric_axle_frees_the_bay_between_the_rails);
    tcase_add_test(room, a_propeller_shaft_leaves_the_room_over_it);
    tcase_add_test(room, gross_mass_and_each_axle_bound_the_number_of_modules);
    tcase_add_test(room, the_largest_battery_keeps_the_payload_as_asked);
    tcase_add_test(room, the_payload_left_puts_gross_mass_or_an_axle_at_its_limit);
    tcase_add_test(room, range_is_usable_energy_over_the_use_given);
    tcase_add_test(room, the_payload_left_beside_a_battery_is_that_of_all_limits_with_a_lifting_axle_on_the_ground);
    tcase_add_test(room, many_small_modules_and_many_obstacles_take_no_time_to_speak_of);
    tcase_add_test(room, bays_that_share_room_are_told_and_not_counted_twice);
    tcase_add_test(room, a_laden_truck_stands_as_high_whether_its_axle_lifts_when_empty_or_not);
    tcase_add_test(stand, nothing_on_an_axle_meets_the_frame_of_a_shipped_truck_before_its_bump_stop);
    tcase_add_test(stand, a_motor_under_a_rail_is_told_with_its_gap_against_the_bump_stop);
    tcase_add_test(room, the_fifth_wheel_bears_what_the_axles_of_the_semitrailer_do_not);
    tcase_add_test(drawing, a_drawing_has_each_part_where_the_file_has_it);
    suite_add_tcase(suite, stand);
    suite_add_tcase(suite, room);
    suite_add_tcase(suite, drawing);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
