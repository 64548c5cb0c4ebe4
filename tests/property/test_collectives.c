/*
 * Load collectives: against torques and revolutions worked out by hand, against the energy and the way of the same run,
 * and against what must hold of any collective. Palmgren's and Miner's sum: from memory.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/folder.h"
#include "../unit/trip_probe.h"
#include "evener/collectives.h"
#include "pull/shafts.h"
#include "trip/collective.h"

#define FOUR "tests/trucks/four-speed.yaml"
#define TWO_UNITS "tests/trucks/two-units.yaml"
#define DISCONNECTS "tests/trucks/tandem-disconnect.yaml"
#define TANDEM "tests/vehicles/trucks/tipper-8x4-central.yaml"
#define TWINS "tests/vehicles/trucks/tractor-4x2-two-eaxles.yaml"
#define TIPPER "tests/vehicles/trucks/tipper-8x4-two-eaxles.yaml"

static const double PI = 3.14159265358979323846, J_PER_KWH = 3.6e6, G_M_S2 = 9.80665;
static const evn_damage plain = {EVN_DAMAGE_EXPONENT, 0};

/* ------------------------------------------------------------------------------------------------ runs that count */

typedef struct counted {
    drive run;
    evn_collective *of;
} counted;

/* `classes`: how far a torque may be off a straight line; 0: as it is. */
static counted count_run(const char *truck_path, const char *cycle_path, const evn_conditions *ask, double classes)
{
    counted out = {.run = {.report = evn_report_new()}};
    drive *run = &out.run;
    evn_truck *truck = load_truck(truck_path);
    evn_cycle *cycle = load_cycle(cycle_path);
    evn_rig_prepare(truck, &ask->load_case, &run->rig, run->report);
    ck_assert_msg(run->rig, "%s", first_finding(run->report));
    out.of = evn_collective_new(run->rig);
    ck_assert_ptr_nonnull(out.of);
    if (classes > 0)
        evn_collective_divide_to(out.of, classes);
    evn_watcher watcher = {.collective = out.of};
    run->status = evn_drive(run->rig, cycle, &ask->driving, &watcher, &run->results, run->report);
    ck_assert_msg(run->status == EVN_DONE, "%s", first_finding(run->report));
    evn_truck_free(truck);
    evn_cycle_free(cycle);
    return out;
}

static void counted_end(counted *of)
{
    evn_collective_free(of->of);
    drive_end(&of->run);
}

/* A truck with something written over it, on a cycle of a few lines, air of 1.2 kg/m3. */
static counted count_scene(const char *truck, const char *changes, const char *cycle)
{
    char truck_path[PATH_BYTES], cycle_path[PATH_BYTES], text[2000], here[300];
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = EVN_DRIVER_EXACT;
    ask.load_case.air_density_kg_m3 = 1.2;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, truck, changes);
    write_file("truck.yaml", text);
    snprintf(text, sizeof text, "name: a scene\ninvented: true\n%s\n", cycle);
    write_file("cycle.yaml", text);
    return count_run(in_folder(truck_path, "truck.yaml"), in_folder(cycle_path, "cycle.yaml"), &ask, 0);
}

/* The so many-th shaft of this name: axle after axle. */
static size_t shaft_of(const evn_collective *c, const char *name, size_t number)
{
    evn_collective_shaft is;
    for (size_t k = 0; evn_collective_shaft_at(c, k, &is); k++)
        if (strcmp(is.shaft, name) == 0 && number-- == 0)
            return k;
    ck_abort_msg("no shaft %s", name);
}

static evn_collective_sum sum_by(const evn_collective *c, size_t shaft, size_t gear, double exponent,
                                 double revolutions)
{
    evn_collective_sum sum;
    ck_assert(evn_collective_sum_of(c, shaft, gear, &(evn_damage){exponent, revolutions}, &sum));
    return sum;
}

static evn_collective_sum sum_of(const evn_collective *c, const char *name)
{
    return sum_by(c, shaft_of(c, name, 0), EVN_ALL_GEARS, plain.exponent, 0);
}

static double near(double computed, double expected, double share)
{
    ck_assert_double_eq_tol(computed, expected, share * fabs(expected));
    return computed;
}

/* ------------------------------------------------------------------------------------------------ by hand */

static const double MASS_KG = 18000, RADIUS_M = 0.5, RATIO = 10, ROLLING = 0.006, SPEED_M_S = 20;

/* Force at the tyres of tests/trucks/ideal.yaml at 20 m/s: grade, rolling resistance, air drag. */
static double force_n(double percent)
{
    double cosine = 1 / sqrt(1 + percent * percent / 1e4), sine = percent / 100 * cosine;
    return MASS_KG * G_M_S2 * (sine + ROLLING * cosine) + 0.5 * 1.2 * 6 * SPEED_M_S * SPEED_M_S;
}

#define STEADY "speed: {time_s: [0, 500], speed_km_h: [72, 72]}\n"

static const double grades[] = {3, 0, -6};

/* All time stands in one class of torque; without a loss the torque of a shaft is force times radius over ratio. */
START_TEST(at_constant_speed_on_a_grade_all_stands_in_one_class)
{
    char cycle[300];
    snprintf(cycle, sizeof cycle, STEADY "road: {place_m: [0, 20000], grade_percent: [%g, %g]}\n", grades[_i],
             grades[_i]);
    counted c = count_scene("tests/trucks/ideal.yaml", "body: {mass_kg: 5000}", cycle);
    double hub_nm = force_n(grades[_i]) * RADIUS_M / 2, turns = 500 * SPEED_M_S / (2 * PI * RADIUS_M);
    static const char *const names[] = {"motor_shaft", "wheel_hub"};
    double nm[] = {2 * hub_nm / RATIO, hub_nm}, revolutions[] = {RATIO * turns, turns};
    for (size_t k = 0; k < 2; k++) {
        size_t shaft = shaft_of(c.of, names[k], 0), filled = 0;
        evn_collective_cell cell;
        for (size_t j = 0; evn_collective_cell_at(c.of, shaft, 1, j, EVN_ALL_SPEEDS, &cell); j++) {
            if (!(cell.duration_s > 0))
                continue;
            filled++;
            ck_assert(cell.torque_from_nm <= nm[k] && nm[k] < cell.torque_to_nm);
            near(cell.mean_nm, nm[k], 1e-9);
            near(cell.duration_s, 500, 1e-9);
            near(cell.revolutions, revolutions[k], 1e-9);
        }
        ck_assert_uint_eq(filled, 1);
        for (double exponent = 1; exponent <= 100; exponent *= 10)
            near(sum_by(c.of, shaft, EVN_ALL_GEARS, exponent, 0).both.equivalent_nm, fabs(nm[k]), 1e-9);
        evn_collective_sum sum = sum_of(c.of, names[k]);
        const evn_collective_side *side = nm[k] > 0 ? &sum.pulling : &sum.braking;
        near(side->most_nm, fabs(nm[k]), 1e-9);
        near(side->revolutions, revolutions[k], 1e-9);
        near(side->work_kwh, fabs(nm[k]) * 2 * PI * revolutions[k] / J_PER_KWH, 1e-9);
        ck_assert_double_eq(nm[k] > 0 ? sum.braking.revolutions : sum.pulling.revolutions, 0);
    }
    counted_end(&c);
}
END_TEST

/* Two levels: n1 revolutions at T1 and n2 at T2; the grade changes within 0.1 m of 10 km. */
START_TEST(the_equivalent_torque_of_two_levels_is_that_of_the_formula)
{
    counted c = count_scene("tests/trucks/ideal.yaml", "body: {mass_kg: 5000}",
                            STEADY "road: {place_m: [0, 4000, 4000.1, 20000], grade_percent: [2, 2, -3, -3]}\n");
    size_t hub = shaft_of(c.of, "wheel_hub", 0);
    double up_nm = force_n(2) * RADIUS_M / 2, down_nm = -force_n(-3) * RADIUS_M / 2, share = 0.4;
    ck_assert(up_nm > down_nm && down_nm > 0);
    for (double k = 1; k < 50; k *= 3) {
        double both_nm = pow(share * pow(up_nm, k) + (1 - share) * pow(down_nm, k), 1 / k);
        evn_collective_sum sum = sum_by(c.of, hub, EVN_ALL_GEARS, k, 0);
        near(sum.both.equivalent_nm, both_nm, 1e-4);
        near(sum.pulling.equivalent_nm, up_nm * pow(share, 1 / k), 1e-4);
        near(sum.braking.equivalent_nm, down_nm * pow(1 - share, 1 / k), 1e-4);
        /* as many revolutions again to refer to: less torque by the exponent's root of two */
        double turns = sum.both.revolutions;
        near(sum_by(c.of, hub, EVN_ALL_GEARS, k, 2 * turns).both.equivalent_nm, both_nm * pow(2, -1 / k), 1e-4);
    }
    near(sum_by(c.of, hub, EVN_ALL_GEARS, 100, 0).both.equivalent_nm, up_nm, 0.01); /* 0.4^(1/100): 0.991 */
    counted_end(&c);
}
END_TEST

/* Torque falls from 150 to -50 Nm and speed rises from 100 to 300 rpm in 10 s, in classes of 50 Nm, each 2.5 s. */
START_TEST(a_stretch_is_divided_where_it_crosses_from_class_to_class)
{
    evn_conditions ask = evn_conditions_default();
    counted c = count_run(FOUR, URBAN, &ask, 0);
    size_t shaft = shaft_of(c.of, "motor_shaft", 0);
    evn_collective_shaft is;
    evn_collective_cell cell;
    ck_assert(evn_collective_shaft_at(c.of, shaft, &is));
    near(is.torque_class_nm, 50, 1e-12); /* of 2500 Nm, 63 classes a side: 39.7 and up */
    evn_collective_begin(c.of);
    evn_collective_add(c.of, shaft, 1, &(evn_collective_stretch){150, -50, 100, 300, 10, 10.0 / 60 * 200});
    double work_nm = 0;
    for (size_t k = 0; k < 4; k++) {
        double nm[] = {150 - 50.0 * (double)k, 100 - 50.0 * (double)k}, rpm[] = {100 + 50.0 * (double)k, 0};
        rpm[1] = rpm[0] + 50;
        double mean_rpm = 0.5 * (rpm[0] + rpm[1]);
        /* integral of both over their time: (2 T0 n0 + 2 T1 n1 + T0 n1 + T1 n0)/6 */
        double both = (2 * nm[0] * rpm[0] + 2 * nm[1] * rpm[1] + nm[0] * rpm[1] + nm[1] * rpm[0]) / 6;
        ck_assert(evn_collective_cell_at(c.of, shaft, 1, is.torque_classes / 2 + 2 - k, EVN_ALL_SPEEDS, &cell));
        ck_assert_double_eq(cell.torque_from_nm, nm[1]);
        near(cell.duration_s, 2.5, 1e-12);
        near(cell.revolutions, 2.5 * mean_rpm / 60, 1e-12);
        near(cell.mean_nm, both / mean_rpm, 1e-12);
        work_nm += cell.mean_nm * cell.revolutions;
    }
    /* integral of (150 - 20 t)(100 + 20 t)/60 from 0 to 10 s */
    near(work_nm, (15000 * 10 + 1000 * 50 - 400 * 1000 / 3.0) / 60, 1e-9);
    evn_collective_sum sum = sum_of(c.of, "motor_shaft");
    near(sum.pulling.most_nm, 150, 1e-12);
    near(sum.braking.most_nm, 50, 1e-12);
    counted_end(&c);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ runs */

static const struct {
    const char *truck, *cycle;
} runs[] = {{TRACTOR, HILL}, {FOUR, URBAN},  {TWINS, HILL},
            {TIPPER, HILL},  {TANDEM, HILL}, {DISCONNECTS, "cycles/reference/cruise-55.yaml"}};
enum { RUNS = sizeof runs / sizeof *runs };

static double balance(const drive *of, const char *line)
{
    char key[100];
    snprintf(key, sizeof key, "energy_balance.%s_kwh", line);
    return result(of, key);
}

/* From rest to rest: what passed the hubs is what tyres, air, slope and brakes took. */
START_TEST(work_at_the_hubs_is_that_of_the_road)
{
    evn_conditions ask = evn_conditions_default();
    ask.load_case.payload_kg = 5000;
    counted c = count_run(runs[_i].truck, runs[_i].cycle, &ask, 0);
    static const char *const takers[] = {"potential",       "rolling_resistance", "air_drag",
                                         "friction_brakes", "tyre_slip_losses",   "kinetic"};
    double road_kwh = 0, hubs_kwh = 0, moved_kwh = 0;
    for (size_t k = 0; k < sizeof takers / sizeof *takers; k++)
        road_kwh += balance(&c.run, takers[k]);
    evn_collective_shaft is;
    for (size_t k = 0; evn_collective_shaft_at(c.of, k, &is); k++) {
        if (strcmp(is.shaft, "wheel_hub") != 0)
            continue;
        evn_collective_sum sum = sum_by(c.of, k, EVN_ALL_GEARS, 3, 0);
        hubs_kwh += (double)is.alike * sum.both.work_kwh;
        moved_kwh += (double)is.alike * (sum.pulling.work_kwh + sum.braking.work_kwh);
    }
    ck_assert_double_gt(moved_kwh, 1);
    ck_assert_double_eq_tol(hubs_kwh, road_kwh, 2e-4 * moved_kwh);
    counted_end(&c);
}
END_TEST

/* Every wheel turns once for each 2 pi r of the way, whatever its gear does; a motor by the ratio of each gear. */
START_TEST(revolutions_are_those_of_the_way)
{
    evn_conditions ask = evn_conditions_default();
    ask.load_case.payload_kg = 5000;
    counted c = count_run(runs[_i].truck, runs[_i].cycle, &ask, 0);
    evn_collective_shaft is;
    double moving_s = (double)NAN;
    for (size_t k = 0; evn_collective_shaft_at(c.of, k, &is); k++) {
        if (strcmp(is.shaft, "wheel_hub") != 0)
            continue;
        double radius_m = (double)NAN, by_gear = 0, by_gear_s = 0;
        for (size_t a = 0; a < c.run.rig->axle_count; a++)
            if (strcmp(c.run.rig->axle[a].name, is.axle) == 0)
                radius_m = c.run.rig->axle[a].radius_m;
        evn_collective_sum sum = sum_by(c.of, k, EVN_ALL_GEARS, 3, 0);
        near(sum.both.revolutions, 1000 * result(&c.run, "distance_km") / (2 * PI * radius_m), 1e-7);
        if (isnan(moving_s))
            moving_s = sum.both.duration_s;
        near(sum.both.duration_s, moving_s, 1e-9);
        for (size_t g = 0; g <= is.gears; g++) {
            by_gear += sum_by(c.of, k, g, 3, 0).both.revolutions;
            by_gear_s += sum_by(c.of, k, g, 3, 0).both.duration_s;
        }
        near(by_gear, sum.both.revolutions, 1e-12);
        near(by_gear_s, sum.both.duration_s, 1e-12);
    }
    ck_assert_double_le(moving_s, result(&c.run, "duration_s"));
    ck_assert_double_gt(moving_s, 0.8 * result(&c.run, "duration_s"));
    counted_end(&c);
}
END_TEST

START_TEST(a_motor_turns_by_the_ratio_of_each_gear)
{
    evn_conditions ask = evn_conditions_default();
    counted c = count_run(FOUR, URBAN, &ask, 0);
    static const double ratio[] = {5.6, 3.1, 1.75, 1};
    size_t motor = shaft_of(c.of, "motor_shaft", 0), hub = shaft_of(c.of, "wheel_hub", 0);
    ck_assert_double_eq(sum_by(c.of, motor, 0, 3, 0).both.duration_s, 0);
    ck_assert_double_gt(sum_by(c.of, hub, 0, 3, 0).both.duration_s, 1); /* changes of gear */
    for (size_t g = 1; g <= 4; g++) {
        evn_collective_sum at_motor = sum_by(c.of, motor, g, 3, 0), at_hub = sum_by(c.of, hub, g, 3, 0);
        ck_assert_double_eq_tol(at_motor.both.revolutions, 3.7 * ratio[g - 1] * at_hub.both.revolutions,
                                1e-9 * at_motor.both.revolutions);
        ck_assert_double_eq_tol(at_motor.both.duration_s, at_hub.both.duration_s, 1e-9);
    }
    counted_end(&c);
}
END_TEST

/* What classes hold sums up to what is told of the whole, and each gear's damage to that of all. */
START_TEST(classes_speeds_and_gears_sum_up)
{
    evn_conditions ask = evn_conditions_default();
    counted c = count_run(runs[_i].truck, runs[_i].cycle, &ask, 0);
    evn_collective_shaft is;
    static const double exponents[] = {1, 10.0 / 3, 9};
    for (size_t k = 0; evn_collective_shaft_at(c.of, k, &is); k++) {
        evn_collective_cell cell;
        double seconds = 0, turns = 0;
        evn_collective_sum all = sum_by(c.of, k, EVN_ALL_GEARS, 3, 0);
        for (size_t g = 0; g <= is.gears; g++)
            for (size_t j = 0; j < is.torque_classes; j++)
                for (size_t v = 0; v < is.speed_classes; v++) {
                    ck_assert(evn_collective_cell_at(c.of, k, g, j, v, &cell));
                    seconds += cell.duration_s;
                    turns += cell.revolutions;
                    bool outermost = j == 0 || j + 1 == is.torque_classes;
                    ck_assert(outermost || (cell.mean_nm >= cell.torque_from_nm - 1e-9 * is.torque_class_nm &&
                                            cell.mean_nm <= cell.torque_to_nm + 1e-9 * is.torque_class_nm));
                }
        ck_assert_double_eq_tol(seconds, all.both.duration_s, 1e-9 * seconds);
        ck_assert_double_eq_tol(turns, all.both.revolutions, 1e-9 * turns);
        for (size_t e = 0; e < 3; e++) {
            double damage = 0, exponent = exponents[e];
            evn_collective_sum whole = sum_by(c.of, k, EVN_ALL_GEARS, exponent, 1e6);
            for (size_t g = 0; g <= is.gears; g++)
                damage += pow(sum_by(c.of, k, g, exponent, 1e6).both.equivalent_nm, exponent);
            near(pow(damage, 1 / exponent), whole.both.equivalent_nm, 1e-9);
            double sides = pow(whole.pulling.equivalent_nm, exponent) + pow(whole.braking.equivalent_nm, exponent);
            near(pow(sides, 1 / exponent), whole.both.equivalent_nm, 1e-9);
        }
    }
    counted_end(&c);
}
END_TEST

/* Larger exponents weigh high torques more, up to the largest. */
START_TEST(the_equivalent_torque_rises_with_the_exponent_to_the_largest)
{
    evn_conditions ask = evn_conditions_default();
    counted c = count_run(runs[_i].truck, runs[_i].cycle, &ask, 0);
    evn_collective_shaft is;
    for (size_t k = 0; evn_collective_shaft_at(c.of, k, &is); k++) {
        double before = 0, mean = 0;
        evn_collective_sum sum = sum_by(c.of, k, EVN_ALL_GEARS, 1, 0);
        mean = (sum.pulling.work_kwh + sum.braking.work_kwh) * J_PER_KWH / (2 * PI * sum.both.revolutions);
        near(sum.both.equivalent_nm, mean, 1e-9);
        for (double exponent = 1; exponent <= 100; exponent *= 1.5) {
            double now = sum_by(c.of, k, EVN_ALL_GEARS, exponent, 0).both.equivalent_nm;
            ck_assert(now >= before && now <= sum.both.most_nm * (1 + 1e-12));
            before = now;
        }
        ck_assert_double_gt(before, 0.8 * sum.both.most_nm);
    }
    counted_end(&c);
}
END_TEST

/* Along the chain power falls pulling and rises braking by the losses that the ledger books to the stages between. */
START_TEST(between_two_shafts_lies_what_the_ledger_books_as_lost)
{
    char cycle[300];
    static const double percent[] = {2, -4};
    snprintf(cycle, sizeof cycle,
             "speed: {time_s: [0, 400], speed_km_h: [60, 60]}\n"
             "road: {place_m: [0, 20000], grade_percent: [%g, %g]}\n",
             percent[_i], percent[_i]);
    counted c = count_scene(FOUR, "payload: {mass_kg: 5000}", cycle);
    ck_assert_double_eq(result(&c.run, "gear_changes"), 0);
    static const struct {
        const char *shaft, *lost; /* the line of what lies between it and the next */
    } row[] = {{"motor_shaft", "gearbox_losses"},
               {"gearbox_output", "propeller_shaft_losses"},
               {"final_drive_input", "final_drive_losses"},
               {"half_shaft", "hub_losses"},
               {"wheel_hub", NULL}};
    double before = (double)NAN;
    for (size_t k = 0; k < 5; k++) {
        evn_collective_shaft is;
        size_t shaft = shaft_of(c.of, row[k].shaft, 0);
        ck_assert(evn_collective_shaft_at(c.of, shaft, &is));
        double work = (double)is.alike * sum_by(c.of, shaft, EVN_ALL_GEARS, 3, 0).both.work_kwh;
        if (k > 0) {
            ck_assert(before > work && (before > 0) == (percent[_i] > 0));
            near(before - work, balance(&c.run, row[k - 1].lost), 1e-5);
        }
        before = work;
    }
    counted_end(&c);
}
END_TEST

static double through_nm(double load_nm, double efficiency, double ratio)
{
    return (load_nm > 0 ? load_nm / efficiency : load_nm * efficiency) / ratio;
}

/* Of a joint of 0.05 friction and 0.35 radius: Seherr-Thoss, Schmelz and Aucktor, from memory. */
static double joint_efficiency(double angle_deg) { return 1 - 4 / PI * 0.05 * 0.35 * tan(angle_deg * PI / 180); }

/* From the hub's torque on, with the numbers of tests/trucks/four-speed.yaml typed in: drags at the wheel side of a
 * mesh load it, and pushed, torque and loss change sides. */
START_TEST(torques_between_stages_are_those_of_the_formulas)
{
    char cycle[300];
    double percent = _i == 0 ? 2 : -4, side = _i == 0 ? 1 : -1, rad_s = 60 / 3.6 / 0.492, per_600_rpm = 600 * PI / 30;
    snprintf(cycle, sizeof cycle,
             "speed: {time_s: [0, 400], speed_km_h: [60, 60]}\n"
             "road: {place_m: [0, 20000], grade_percent: [%g, %g]}\n",
             percent, percent);
    counted c = count_scene(FOUR, "payload: {mass_kg: 5000}", cycle);
    static const char *const names[] = {"wheel_hub", "half_shaft", "final_drive_input", "gearbox_output"};
    double nm[4], half_nm;
    for (size_t k = 0; k < 4; k++) {
        evn_collective_sum sum = sum_of(c.of, names[k]);
        nm[k] = side * near((_i == 0 ? sum.pulling : sum.braking).most_nm, sum.both.equivalent_nm, 1e-6); /* steady */
    }
    half_nm = 2 * nm[0] + 12 + 8 * rad_s / per_600_rpm;
    near(2 * nm[1], half_nm, 1e-6);
    near(nm[2], through_nm(half_nm + 21 + 19 * rad_s / per_600_rpm, 0.965, 3.7), 1e-6);
    double shaft_nm = through_nm(nm[2], joint_efficiency(5), 1) + 1.5;
    near(nm[3], through_nm(shaft_nm, joint_efficiency(3), 1), 1e-6);
    counted_end(&c);
}
END_TEST

/* Of all time the share that stands in other classes. */
static double apart(const evn_collective *a, const evn_collective *b, size_t shaft)
{
    evn_collective_cell one, other;
    double off = 0, sum = 0;
    for (size_t k = 0; evn_collective_cell_at(a, shaft, EVN_ALL_GEARS, k, EVN_ALL_SPEEDS, &one); k++) {
        ck_assert(evn_collective_cell_at(b, shaft, EVN_ALL_GEARS, k, EVN_ALL_SPEEDS, &other));
        off += fabs(one.duration_s - other.duration_s);
        sum += one.duration_s;
    }
    return off / sum;
}

/* Steps as long as an integrator may take: the more they are divided the less changes, and as it is next to nothing. */
START_TEST(finer_divisions_of_steps_change_next_to_nothing)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.accuracy = 0.001;
    counted c = count_run(runs[_i].truck, runs[_i].cycle, &ask, 0);
    counted fine = count_run(runs[_i].truck, runs[_i].cycle, &ask, 0.002);
    counted coarse = count_run(runs[_i].truck, runs[_i].cycle, &ask, 1e9);
    evn_collective_shaft is;
    double off = 0, coarse_off = 0;
    for (size_t k = 0; evn_collective_shaft_at(c.of, k, &is); k++) {
        off = fmax(off, apart(c.of, fine.of, k));
        coarse_off = fmax(coarse_off, apart(coarse.of, fine.of, k));
        near(sum_by(c.of, k, EVN_ALL_GEARS, 5, 0).both.equivalent_nm,
             sum_by(fine.of, k, EVN_ALL_GEARS, 5, 0).both.equivalent_nm, 2e-4);
    }
    ck_assert_double_lt(off, 0.01); /* measured: 0.0064 where a steady torque lies near a border, else 0.0012 */
    if (_i == 0)
        ck_assert_double_lt(off, 0.6 * coarse_off); /* 0.00045 of 0.0012 */
    counted_end(&c);
    counted_end(&fine);
    counted_end(&coarse);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ instants */

/* The run's own motor torque, found by maps of whole chains, is that of the walk through the stages and rotors. */
/* Nothing hangs at the free end of an open branch; what lies between two openings stands still, and the part above
 * turns with the dividing point. */
static void opened_as_it_should(const evn_rig *rig, size_t unit, evn_setting s, const evn_unit_places *places,
                                size_t *seen)
{
    for (size_t k = 0; k < rig->unit[unit].branch_count; k++) {
        const evn_branch *b = &rig->unit[unit].branch[k];
        const evn_opening *o = &b->opening;
        const evn_place *at = places->branch[k];
        if (!evn_is_branch_open(s, k))
            continue;
        ++*seen;
        ck_assert(at[o->below].nm == 0 && at[0].nm < 0 && at[0].rad_m > 0);
        for (size_t i = o->below + 1; i < o->above_from; i++)
            ck_assert_double_eq(at[i].rad_m, 0);
        near(at[b->count].rad_m, places->path[0].rad_m, 1e-9);
    }
}

START_TEST(a_motors_shaft_bears_its_torque_less_what_turns_its_rotor)
{
    static const char *const trucks[] = {TRACTOR, TWINS, TIPPER, TANDEM, DISCONNECTS, TWO_UNITS};
    size_t opened = 0;
    for (size_t t = 0; t < sizeof trucks / sizeof *trucks; t++) {
        evn_conditions ask = evn_conditions_default();
        evn_report *report = evn_report_new();
        evn_rig *rig = NULL;
        evn_truck *truck = load_truck(trucks[t]);
        ck_assert_int_eq(evn_rig_prepare(truck, &ask.load_case, &rig, report), EVN_DONE);
        double degc[EVN_UNITS_MAX][EVN_NODES_MAX];
        for (int k = 0; k < 400; k++) {
            evn_instant is = {.pull.at = {.rig = rig,
                                          .rolling_factor = 1,
                                          .tangent = 0.02 * (k % 7 - 3),
                                          .speed_m_s = 1 + k % 11,
                                          .asked_m_s2 = 0.1 * (k % 13 - 6),
                                          .soc = 0.5,
                                          .fade = EVN_FADE_BY_SPEED}};
            for (size_t u = 0; u < rig->unit_count; u++) {
                const evn_unit *unit = &rig->unit[u];
                evn_unit_start_degc(unit, degc[u]);
                size_t at = (size_t)k % unit->setting_count;
                evn_setting s = evn_is_open(unit->setting[at]) ? unit->setting[0] : unit->setting[at];
                is.pull.at.unit[u] = (evn_unit_given){.setting = s, .degc = degc[u]};
            }
            evn_instant_make(&is);
            for (size_t u = 0; u < rig->unit_count; u++) {
                evn_unit_places places;
                evn_setting s = is.pull.at.unit[u].setting;
                evn_instant_places(&is, u, &places);
                opened_as_it_should(rig, u, s, &places, &opened);
                double spin_nm = rig->unit[u].motor[0].inertia_kg_m2 * is.accel_m_s2 * places.motor.rad_m;
                double own_nm = is.unit_motor_nm[u] / (double)evn_engaged_count(s);
                ck_assert_double_eq_tol(places.motor.nm + spin_nm, own_nm, 1e-7 * (100 + fabs(own_nm)));
                ck_assert_double_eq_tol(places.motor.rad_m * is.pull.at.speed_m_s, is.pull.team.unit[u].motor_rad_s,
                                        1e-9 * is.pull.team.unit[u].motor_rad_s);
            }
        }
        evn_rig_free(rig);
        evn_truck_free(truck);
        evn_report_free(report);
    }
    ck_assert_uint_gt(opened, 100);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ names */

static void names_of(const char *path, char out[2000])
{
    evn_conditions ask = evn_conditions_default();
    evn_report *report = evn_report_new();
    evn_rig *rig = NULL;
    evn_truck *truck = load_truck(path);
    ck_assert_int_eq(evn_rig_prepare(truck, &ask.load_case, &rig, report), EVN_DONE);
    evn_collective *c = evn_collective_new(rig);
    evn_collective_shaft is;
    size_t used = 0;
    for (size_t k = 0; evn_collective_shaft_at(c, k, &is); k++)
        used += (size_t)snprintf(out + used, 2000 - used, "%s%s %s x%zu; ", is.axle ? is.axle : "", is.axle ? ":" : "-",
                                 is.shaft, is.alike);
    evn_collective_free(c);
    evn_rig_free(rig);
    evn_truck_free(truck);
    evn_report_free(report);
}

START_TEST(shafts_are_named_by_the_parts_at_their_ends)
{
    static const struct {
        const char *truck, *names;
    } row[] = {
        {TRACTOR, "- motor_shaft x1; drive: gearbox_output x1; drive: final_drive_input x1; drive: half_shaft x2; "
                  "drive: wheel_hub x2; "},
        {TANDEM, "- motor_shaft x1; - gearbox_output x1; - inter_axle_differential_input x1; "
                 "leading: final_drive_input x1; leading: half_shaft x2; leading: wheel_hub x2; "
                 "trailing: inter_axle_differential_output x1; trailing: mesh_output x1; "
                 "trailing: final_drive_input x1; trailing: half_shaft x2; trailing: wheel_hub x2; "},
        {"tests/vehicles/trucks/tractor-4x2-eaxle.yaml",
         "- motor_shaft x2; - gearbox_input x1; drive: gearbox_output x1; drive: mesh_1_output x1; "
         "drive: differential_input x1; drive: half_shaft x2; drive: wheel_hub x2; "},
        {"tests/trucks/ideal.yaml", "- motor_shaft x1; rear: wheel_hub x2; "},
    };
    for (size_t k = 0; k < sizeof row / sizeof *row; k++) {
        char names[2000] = "";
        names_of(row[k].truck, names);
        ck_assert_str_eq(names, row[k].names);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ not in the way */

START_TEST(results_are_the_same_bytes_and_the_rows_interval_does_not_count)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.trace_interval_s = 0.3;
    counted c = count_run(runs[_i].truck, runs[_i].cycle, &ask, 0);
    ask.driving.trace_interval_s = 10;
    counted other = count_run(runs[_i].truck, runs[_i].cycle, &ask, 0);
    drive without = drive_whole(runs[_i].truck, runs[_i].cycle, &ask, NULL);
    evn_quantity what;
    double value, alone;
    for (size_t k = 0; evn_results_at(c.run.results, k, &what, &value); k++) {
        ck_assert(evn_results_at(without.results, k, &what, &alone));
        ck_assert_msg(memcmp(&value, &alone, sizeof value) == 0, "%s", what.key);
    }
    evn_collective_shaft is;
    for (size_t k = 0; evn_collective_shaft_at(c.of, k, &is); k++) {
        evn_collective_sum a = sum_by(c.of, k, EVN_ALL_GEARS, 4, 0), b = sum_by(other.of, k, EVN_ALL_GEARS, 4, 0);
        ck_assert(memcmp(&a, &b, sizeof a) == 0);
    }
    drive_end(&without);
    counted_end(&other);
    counted_end(&c);
}
END_TEST

START_TEST(a_second_run_counts_from_nothing)
{
    evn_conditions ask = evn_conditions_default();
    counted c = count_run(FOUR, URBAN, &ask, 0);
    evn_collective_sum once = sum_of(c.of, "wheel_hub");
    evn_cycle *cycle = load_cycle(URBAN);
    evn_results *results = NULL;
    evn_watcher watcher = {.collective = c.of};
    ck_assert_int_eq(evn_drive(c.run.rig, cycle, &ask.driving, &watcher, &results, c.run.report), EVN_DONE);
    evn_collective_sum again = sum_of(c.of, "wheel_hub");
    ck_assert(memcmp(&once, &again, sizeof once) == 0);
    evn_results_free(results);
    evn_cycle_free(cycle);
    counted_end(&c);
}
END_TEST

START_TEST(a_collective_of_another_rig_is_refused)
{
    evn_conditions ask = evn_conditions_default();
    counted c = count_run(FOUR, URBAN, &ask, 0);
    evn_watcher watcher = {.collective = c.of};
    drive other = drive_any(TRACTOR, URBAN, &ask, &watcher);
    ck_assert_int_eq(other.status, EVN_BAD_INPUT);
    ck_assert_ptr_null(other.results);
    ck_assert(was_said(&other, "usage"));
    drive_end(&other);
    counted_end(&c);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("load collectives");
    TCase *tests = tcase_create("tests");
    tcase_set_timeout(tests, 300);
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_loop_test(tests, at_constant_speed_on_a_grade_all_stands_in_one_class, 0, 3);
    tcase_add_test(tests, the_equivalent_torque_of_two_levels_is_that_of_the_formula);
    tcase_add_test(tests, a_stretch_is_divided_where_it_crosses_from_class_to_class);
    tcase_add_loop_test(tests, work_at_the_hubs_is_that_of_the_road, 0, RUNS);
    tcase_add_loop_test(tests, revolutions_are_those_of_the_way, 0, RUNS);
    tcase_add_test(tests, a_motor_turns_by_the_ratio_of_each_gear);
    tcase_add_loop_test(tests, classes_speeds_and_gears_sum_up, 0, RUNS);
    tcase_add_loop_test(tests, the_equivalent_torque_rises_with_the_exponent_to_the_largest, 0, RUNS);
    tcase_add_loop_test(tests, between_two_shafts_lies_what_the_ledger_books_as_lost, 0, 2);
    tcase_add_loop_test(tests, torques_between_stages_are_those_of_the_formulas, 0, 2);
    tcase_add_loop_test(tests, finer_divisions_of_steps_change_next_to_nothing, 0, RUNS);
    tcase_add_test(tests, a_motors_shaft_bears_its_torque_less_what_turns_its_rotor);
    tcase_add_test(tests, shafts_are_named_by_the_parts_at_their_ends);
    tcase_add_loop_test(tests, results_are_the_same_bytes_and_the_rows_interval_does_not_count, 0, RUNS);
    tcase_add_test(tests, a_second_run_counts_from_nothing);
    tcase_add_test(tests, a_collective_of_another_rig_is_refused);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
