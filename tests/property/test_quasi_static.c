/*
 * The physics worked out a second time, by nothing but the public headers and plain steps in time: power needed at the
 * tyres, up the driveline, through motor and inverter into the battery. The trucks stand in plain_truck.h.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/folder.h"
#include "../unit/trip_probe.h"
#include "plain_truck.h"

#define SINGLE "tests/trucks/single-speed.yaml"
#define FOUR "tests/trucks/four-speed.yaml"

/* ------------------------------------------------------------------------------------------------ stepping */

typedef struct sums { /* J */
    battery pack;
    double winding_degc, hottest_degc;
    double stood_s; /* in a stop that is not booked yet */
    double rolling_j, air_j, brakes_j, slip_j, driveline_j, motor_j, inverter_j, shifting_j, time_s;
} sums;

static sums sums_begin(const truck *it)
{
    return (sums){.pack = {it->start_soc, 0, 0}, .winding_degc = it->coolant_degc, .hottest_degc = it->coolant_degc};
}

static void warm(const truck *it, sums *to, double motor_w, double time_s)
{
    if (it->heats) {
        double rate = (it->resistance_k_w * motor_w - (to->winding_degc - it->coolant_degc)) / it->time_constant_s;
        to->winding_degc += rate * time_s;
        to->hottest_degc = fmax(to->hottest_degc, to->winding_degc);
    }
}

/* Motors that turn nothing, at rest or between two gears, are ready and cost what that costs. */
static void step_ready(const truck *it, sums *to, double time_s)
{
    draw(it, &to->pack, it->constant_w + it->inverter_constant_w + it->auxiliaries_w, time_s);
    warm(it, to, it->constant_w, time_s);
    to->motor_j += it->constant_w * time_s;
    to->inverter_j += it->inverter_constant_w * time_s;
    to->time_s += time_s;
}

/* Without pulses they cost nothing. */
static void step_resting(const truck *it, sums *to, double time_s)
{
    draw(it, &to->pack, it->auxiliaries_w, time_s);
    warm(it, to, 0, time_s);
    to->time_s += time_s;
}

static void step_moving(const truck *it, sums *to, const instant *now, double time_s)
{
    powers p = share(it, now, to->pack.soc, to->winding_degc);
    draw(it, &to->pack, p.bus_w + it->auxiliaries_w, time_s);
    warm(it, to, p.motor_w, time_s);
    to->rolling_j += rolling_n(it, now, p.brake_n) * now->speed_m_s * time_s;
    to->air_j += air_n(it, now) * now->speed_m_s * time_s;
    to->brakes_j += p.brake_n * now->speed_m_s * time_s;
    to->slip_j += p.slip_w * time_s;
    to->driveline_j += p.driveline_w * time_s;
    to->motor_j += p.motor_w * time_s;
    to->inverter_j += p.inverter_w * time_s;
    to->time_s += time_s;
}

/* Tyre force of the path alone, which the truck drags along while no gear is engaged; it does not slip. */
static double coasting_n(const truck *it, const instant *now, double *loss_w)
{
    double low_n = -1e5, high_n = 1e5;
    for (int k = 0; k < 60; k++) {
        double middle_n = 0.5 * (low_n + high_n);
        shaft at = {middle_n * it->radius_m, now->speed_m_s / it->radius_m, now->accel_m_s2 / it->radius_m};
        *loss_w = 0;
        for (size_t of = 0; of < it->path_count; of++)
            at = through(&it->path[of], at, loss_w);
        *(at.torque_nm > 0 ? &high_n : &low_n) = middle_n;
    }
    return low_n;
}

/* Between two gears the truck rolls on, and its friction brakes do what the driver still wants done. */
static void step_between_gears(const truck *it, sums *to, const instant *now, double time_s)
{
    double loss_w, brake_n = brakes_n(it, now, coasting_n(it, now, &loss_w));
    to->rolling_j += rolling_n(it, now, brake_n) * now->speed_m_s * time_s;
    to->air_j += air_n(it, now) * now->speed_m_s * time_s;
    to->brakes_j += brake_n * now->speed_m_s * time_s;
    to->driveline_j += loss_w * time_s;
    step_ready(it, to, time_s);
}

/* The motor brings its rotor and the gearbox's input to another speed, past the pack's resistance. */
static void synchronise(const truck *it, sums *to, double from_rad_s, double to_rad_s)
{
    double gain_j = 0.5 * (it->rotor_kg_m2 + it->input_inertia_kg_m2) * (to_rad_s * to_rad_s - from_rad_s * from_rad_s);
    double loss_j = it->synchronising_loss_share * fabs(gain_j);
    to->shifting_j += loss_j;
    to->pack.energy_j += gain_j + loss_j;
    to->pack.soc -= (gain_j + loss_j) / open_circuit_v(it, to->pack.soc) / it->capacity_as;
}

static void must_agree(const drive *run, const char *key, double joule, double tolerance_j)
{
    double result_j = result(run, key) * J_PER_KWH;
    ck_assert_msg(fabs(result_j - joule) <= tolerance_j, "%s: %.8g kWh; here %.8g kWh", key, result_j / J_PER_KWH,
                  joule / J_PER_KWH);
}

/* Battery energy within two parts in a hundred thousand, and no line off by more than that of the whole. */
static void compare(const drive *run, const sums *own)
{
    double tolerance_j = 2e-5 * own->pack.energy_j;
    must_agree(run, "battery_kwh", own->pack.energy_j, tolerance_j);
    must_agree(run, "energy_balance.rolling_resistance_kwh", own->rolling_j, tolerance_j);
    must_agree(run, "energy_balance.air_drag_kwh", own->air_j, tolerance_j);
    must_agree(run, "energy_balance.friction_brakes_kwh", own->brakes_j, tolerance_j);
    must_agree(run, "energy_balance.tyre_slip_losses_kwh", own->slip_j, tolerance_j);
    must_agree(run, "energy_balance.battery_losses_kwh", own->pack.pack_j, tolerance_j);
    must_agree(run, "energy_balance.motor_losses_kwh", own->motor_j, tolerance_j);
    must_agree(run, "energy_balance.inverter_losses_kwh", own->inverter_j, tolerance_j);
    must_agree(run, "energy_balance.gear_change_losses_kwh", own->shifting_j, tolerance_j);
    double driveline_kwh =
        result(run, "energy_balance.hub_losses_kwh") + result(run, "energy_balance.final_drive_losses_kwh") +
        result(run, "energy_balance.propeller_shaft_losses_kwh") + result(run, "energy_balance.gearbox_losses_kwh");
    ck_assert_double_eq_tol(driveline_kwh * J_PER_KWH, own->driveline_j, tolerance_j);
    ck_assert_double_eq_tol(result(run, "duration_s"), own->time_s, 1e-3);
    ck_assert_double_eq_tol(result(run, "final_soc"), own->pack.soc, 1e-5);
}

/* ------------------------------------------------------------------------------------------------ from the cycle */

/* An exact driver knows how long it lasts: motors rest in one of more than three seconds. */
static void book_stop(const truck *it, sums *to)
{
    if (to->stood_s > 3)
        step_resting(it, to, to->stood_s);
    else if (to->stood_s > 0)
        step_ready(it, to, to->stood_s);
    to->stood_s = 0;
}

/* Between two points of a trace the speed is a straight line; thin slices, each by its middle. */
static void drive_line(const truck *it, sums *to, double time_s, double from_m_s, double to_m_s, double *place_m,
                       const instant *road, double (*tangent_at)(double place_m))
{
    enum { SLICES = 200 };
    double slice_s = time_s / (double)SLICES, accel = (to_m_s - from_m_s) / time_s;
    if (from_m_s == 0 && to_m_s == 0) {
        to->stood_s += time_s;
        return;
    }
    book_stop(it, to);
    for (int k = 0; k < SLICES; k++) {
        double after_s = (k + 0.5) * slice_s;
        instant now = *road;
        now.speed_m_s = from_m_s + accel * after_s;
        now.accel_m_s2 = accel;
        now.tangent = tangent_at(*place_m + (from_m_s + 0.5 * accel * after_s) * after_s);
        step_moving(it, to, &now, slice_s);
    }
    *place_m += 0.5 * (from_m_s + to_m_s) * time_s;
}

static double level(double place_m)
{
    (void)place_m;
    return 0;
}

START_TEST(the_urban_schedule_takes_from_the_battery_what_plain_steps_in_time_say)
{
    truck it = single_speed();
    sums own = sums_begin(&it);
    instant road = {.surface = 1, .air_density_kg_m3 = 1.2};
    FILE *file = fopen("cycles/reference/urban-schedule.csv", "r");
    ck_assert_ptr_nonnull(file);
    char line[200];
    double time_s, mph, last_s = 0, last_m_s = 0, place_m = 0;
    size_t points = 0;
    while (fgets(line, sizeof line, file)) {
        if (sscanf(line, "%lf,%lf", &time_s, &mph) == 2) {
            if (points++ > 0)
                drive_line(&it, &own, time_s - last_s, last_m_s, mph * 0.44704, &place_m, &road, level);
            last_s = time_s;
            last_m_s = mph * 0.44704;
        }
    }
    fclose(file);
    book_stop(&it, &own);
    ck_assert_uint_eq(points, 1370);
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = EVN_DRIVER_EXACT;
    ask.driving.accuracy = 1e-8;
    ask.load_case.air_density_kg_m3 = 1.2;
    drive run = drive_whole(SINGLE, URBAN, &ask, NULL);
    ck_assert_uint_eq(evn_results_limitation_count(run.results), 0);
    ck_assert_double_eq_tol(result(&run, "distance_km"), place_m / 1000, 1e-9);
    compare(&run, &own);
    drive_end(&run);
}
END_TEST

/* A trace over hills: straight lines of grade, and one of each kind of change of speed. */
static const double hill_m[] = {300, 700, 1500, 1900, 2400, 2800, 3600, 4000};
static const double hill_percent[] = {0, 5, 5, -1, -1, -6, -6, 0};
static const double trace_s[] = {0, 5, 35, 100, 130, 180, 240, 260, 300, 330, 345, 360};
static const double trace_km_h[] = {0, 0, 50, 80, 80, 30, 70, 70, 40, 0, 0, 0};
enum { HILL_POINTS = sizeof hill_m / sizeof *hill_m, TRACE_POINTS = sizeof trace_s / sizeof *trace_s };

static double line_through(const double *x, const double *y, size_t count, double at)
{
    if (at <= x[0] || at >= x[count - 1])
        return at <= x[0] ? y[0] : y[count - 1];
    size_t k = 1;
    while (at > x[k])
        k++;
    return y[k - 1] + (y[k] - y[k - 1]) * (at - x[k - 1]) / (x[k] - x[k - 1]);
}

static double hills(double place_m) { return line_through(hill_m, hill_percent, HILL_POINTS, place_m) / 100; }

static size_t print_list(char *to, size_t room, const char *key, const double *at, size_t count)
{
    size_t used = (size_t)snprintf(to, room, "  %s: [", key);
    for (size_t k = 0; k < count; k++)
        used += (size_t)snprintf(to + used, room - used, "%s%.10g", k > 0 ? ", " : "", at[k]);
    return used + (size_t)snprintf(to + used, room - used, "]\n");
}

START_TEST(hills_wind_and_rough_asphalt_take_what_plain_steps_in_time_say)
{
    char text[1000], path[PATH_BYTES];
    size_t used = (size_t)snprintf(text, sizeof text, "name: hills\ninvented: true\nspeed:\n");
    used += print_list(text + used, sizeof text - used, "time_s", trace_s, TRACE_POINTS);
    used += print_list(text + used, sizeof text - used, "speed_km_h", trace_km_h, TRACE_POINTS);
    used += (size_t)snprintf(text + used, sizeof text - used, "road:\n");
    used += print_list(text + used, sizeof text - used, "place_m", hill_m, HILL_POINTS);
    used += print_list(text + used, sizeof text - used, "grade_percent", hill_percent, HILL_POINTS);
    snprintf(text + used, sizeof text - used, "surface: {place_m: [0], rolling_factor: [1.3]}\n");
    write_file("hills.yaml", text);
    truck it = single_speed();
    sums own = sums_begin(&it);
    instant road = {.surface = 1.3, .headwind_m_s = 4, .air_density_kg_m3 = 1.15};
    double place_m = 0;
    for (size_t k = 1; k < TRACE_POINTS; k++) {
        double time_s = trace_s[k] - trace_s[k - 1], from = trace_km_h[k - 1] / 3.6, to = trace_km_h[k] / 3.6;
        for (int part = 0; part < 20; part++) {
            drive_line(&it, &own, time_s / 20, from + (to - from) * part / 20, from + (to - from) * (part + 1) / 20,
                       &place_m, &road, hills);
        }
    }
    book_stop(&it, &own);
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = EVN_DRIVER_EXACT;
    ask.driving.accuracy = 1e-8;
    ask.load_case.air_density_kg_m3 = 1.15;
    ask.load_case.headwind_m_s = 4;
    drive run = drive_whole(SINGLE, in_folder(path, "hills.yaml"), &ask, NULL);
    ck_assert_uint_eq(evn_results_limitation_count(run.results), 0);
    compare(&run, &own);
    drive_end(&run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ from a driven run */

/* The hill road that the program comes with. */
static const double road_m[] = {600,  800,  1400, 1600, 2000, 2200, 2800, 3000,  3700,  4000,  4600,  4900,  6400,
                                6700, 6900, 7200, 8700, 9000, 9600, 9900, 10200, 10400, 10600, 10700, 10900, 11100};
static const double road_percent[] = {0, 4, 4,  0,  0,  -4, -4, 0, 0, 5, 5, 8,  8,
                                      0, 0, -8, -8, -5, -5, 0,  0, 3, 0, 0, -3, 0};

static double hill_road(double place_m)
{
    return line_through(road_m, road_percent, sizeof road_m / sizeof *road_m, place_m) / 100;
}

typedef struct replay { /* of a trace */
    const drive *run;
    const trace *rows;
    size_t time, place, speed, gear, engaged; /* columns */
    double (*tangent_at)(double place_m);
    bool rough; /* 1.1 times the rolling resistance from 3700 to 9900 m */
} replay;

static double motor_speed(const truck *it, double gear, double speed_m_s)
{
    double ratio = it->ratio[(size_t)gear - 1];
    for (size_t k = 0; k < it->path_count; k++)
        ratio *= it->path[k].ratio;
    return speed_m_s / it->radius_m * ratio;
}

static void replay_step(const truck *it, const replay *of, size_t row, sums *to)
{
    double time_s = at_row(of->rows, row + 1, of->time) - at_row(of->rows, row, of->time);
    double gear = at_row(of->rows, row, of->gear); /* a row at an event shows what holds from there on */
    double from = at_row(of->rows, row, of->speed) / 3.6, after = at_row(of->rows, row + 1, of->speed) / 3.6;
    double place_m = 0.5 * (at_row(of->rows, row, of->place) + at_row(of->rows, row + 1, of->place));
    if (time_s <= 1e-9)
        return;
    if (from == 0 && after == 0) {
        (at_row(of->rows, row, of->engaged) > 0 ? step_ready : step_resting)(it, to, time_s);
        return;
    }
    instant now = {.speed_m_s = 0.5 * (from + after),
                   .accel_m_s2 = (after - from) / time_s,
                   .tangent = of->tangent_at(place_m),
                   .surface = of->rough && place_m > 3700 && place_m < 9900 ? 1.1 : 1,
                   .air_density_kg_m3 = 1.2,
                   .gear = gear > 0 ? (size_t)gear - 1 : 0};
    if (gear > 0)
        step_moving(it, to, &now, time_s);
    else
        step_between_gears(it, to, &now, time_s);
}

/* Steps from row to row; a change of gear brings the rotor from the speed it had to the speed of the new gear. */
static sums replay_all(const truck *it, const replay *of)
{
    sums own = sums_begin(it);
    double gear = 0, rotor_rad_s = 0;
    for (size_t row = 0; row + 1 < of->rows->rows; row++) {
        double now = at_row(of->rows, row, of->gear), speed_m_s = at_row(of->rows, row, of->speed) / 3.6;
        if (now > 0 && gear > 0 && now != gear)
            synchronise(it, &own, rotor_rad_s, motor_speed(it, now, speed_m_s));
        if (now > 0) {
            gear = now;
            rotor_rad_s = motor_speed(it, now, speed_m_s);
        }
        replay_step(it, of, row, &own);
    }
    return own;
}

static const struct {
    const char *cycle;
    evn_driver driver;
    double (*tangent_at)(double place_m);
} driven[] = {{URBAN, EVN_DRIVER_HUMAN, level},
              {URBAN, EVN_DRIVER_EXACT, level},
              {HILL, EVN_DRIVER_HUMAN, hill_road},
              {HILL, EVN_DRIVER_EXACT, hill_road}};

START_TEST(a_driven_run_takes_what_plain_steps_through_its_speeds_and_gears_say)
{
    char text[600], path[PATH_BYTES], here[300];
    trace rows = {NULL, 0, 0, 0};
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text,
             "extends: %s/" FOUR "\nbattery: {open_circuit: {soc: [0, 1], voltage_v: [590, 741]}, start_soc: 0.8}\n",
             here);
    write_file("tractor.yaml", text);
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = driven[_i].driver;
    ask.driving.accuracy = 1e-8;
    ask.driving.trace_interval_s = 0.02;
    ask.load_case.air_density_kg_m3 = 1.2;
    drive run = drive_whole(in_folder(path, "tractor.yaml"), driven[_i].cycle, &ask, &rows);
    truck it = four_speed();
    replay of = {&run,
                 &rows,
                 column(&run, "time_s"),
                 column(&run, "place_m"),
                 column(&run, "speed_km_h"),
                 column(&run, "gear"),
                 column(&run, "motors_engaged"),
                 driven[_i].tangent_at,
                 driven[_i].tangent_at == hill_road};
    sums own = replay_all(&it, &of);
    compare(&run, &own);
    ck_assert_double_eq_tol(result(&run, "peak_winding_temperature_degc"), own.hottest_degc, 0.05);
    ck_assert_double_gt(result(&run, "gear_changes"), 5);
    trace_end(&rows);
    drive_end(&run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("quasi-static");
    TCase *runs = tcase_create("runs");
    tcase_add_checked_fixture(runs, folder_begin, folder_end);
    tcase_add_test(runs, the_urban_schedule_takes_from_the_battery_what_plain_steps_in_time_say);
    tcase_add_test(runs, hills_wind_and_rough_asphalt_take_what_plain_steps_in_time_say);
    tcase_add_loop_test(runs, a_driven_run_takes_what_plain_steps_through_its_speeds_and_gears_say, 0, 4);
    suite_add_tcase(suite, runs);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
