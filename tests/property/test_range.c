/* Distances to the reserve and the battery that a day takes, against closed forms, and against the days they are of. */
#define _XOPEN_SOURCE 700
#include "../unit/folder.h"
#include "../unit/trip_probe.h"
#include "api/objects.h"
#include "duty/pack_size.h"
#include "evener/range.h"

#define IDEAL "tests/trucks/ideal.yaml"
#define IN_USE "vehicles/trucks/tractor-4x2-central.yaml"
#define BATTERY_IN_USE "battery.use=vehicles/parts/days/pack-400-day.yaml"

/* Of the ideal truck without air drag: its masses, what turns with its tyres as a mass (six of 10 kg m2 at 0.5 m, and a
 * rotor of 0.5 behind a ratio of 10), and its battery of 20 Ah at 700 V, as set below. */
static const double G = 9.80665, J_PER_KWH = 3.6e6;
static const double ROLLING = 0.006, EMPTY_KG = 5000 + 700 + 1100, BATTERY_KG = 2200, PAYLOAD_KG = 9000;
static const double TURNING_KG = 6 * 10 / 0.25 + 0.5 * 10 * 10 / 0.25, SPEED_M_S = 10, BATTERY_KWH = 20 * 700 / 1e3;

#define LEG_KM 30
#define FLAT "name: flat\ninvented: true\nlength_m: 30000\nspeed: {place_m: [0], limit_km_h: [36]}\n"

typedef struct wanted {
    const char *truck, *duty;
    const char *set[8]; /* ends with NULL */
    evn_range_how how;
    evn_conditions ask;
} wanted;

typedef struct found {
    evn_report *report;
    evn_truck *truck;
    evn_duty *duty;
    evn_range *range;
    evn_status status;
} found;

static found find(const wanted *w)
{
    char path[PATH_BYTES];
    found f = {.report = evn_report_new()};
    write_file("flat.yaml", FLAT);
    write_file("duty.yaml", w->duty);
    evn_truck_load_with(w->truck, &(evn_load){.set = w->set}, &f.truck, f.report);
    evn_duty_load(in_folder(path, "duty.yaml"), &f.duty, f.report);
    ck_assert_msg(f.truck && f.duty, "%s", first_finding(f.report));
    f.status = evn_range_find(f.truck, f.duty, &w->ask, &w->how, &f.range, f.report);
    ck_assert_msg(f.range, "%s", first_finding(f.report));
    return f;
}

static void end(found *f)
{
    evn_range_free(f->range);
    evn_duty_free(f->duty);
    evn_truck_free(f->truck);
    evn_report_free(f->report);
}

static evn_range_cell cell(const found *f, size_t index)
{
    evn_range_cell c;
    ck_assert_msg(evn_range_cell_at(f->range, index, &c), "there is no cell %zu", index);
    return c;
}

static evn_range_pack pack(const found *f)
{
    evn_range_pack p;
    ck_assert(evn_range_pack_of(f->range, &p) && p.sought);
    return p;
}

static const double as_written_kg[] = {9000};

/* The ideal truck over 30 km of level road at 36 km/h, with half its charge, 7 kWh. */
static wanted ideal(const char *duty)
{
    wanted w = {IDEAL, duty, {"body.drag_area_m2=0", "battery.capacity_ah=20"}, {0}, evn_conditions_default()};
    w.ask.driving.accuracy = 1e-8;
    w.how.payload_kg = as_written_kg;
    w.how.payloads = 1;
    return w;
}

#define DAY(more) "name: day\ninvented: true\nday:\n  - leg: {name: a, cycle: {use: flat.yaml}}\n" more

static double mass_kg(double battery_kg) { return EMPTY_KG + battery_kg + PAYLOAD_KG; }

/* What has gone into rolling, and into speed, by a place where it drives at that speed. */
static double taken_kwh(double kg, double m)
{
    return (kg * G * ROLLING * m + 0.5 * (kg + TURNING_KG) * SPEED_M_S * SPEED_M_S) / J_PER_KWH;
}

static double place_of_m(double kg, double kwh)
{
    return (kwh * J_PER_KWH - 0.5 * (kg + TURNING_KG) * SPEED_M_S * SPEED_M_S) / (kg * G * ROLLING);
}

/* ------------------------------------------------------------------------------------------------ distances */

START_TEST(the_reserve_is_met_where_rolling_and_speed_have_taken_what_is_above_it)
{
    wanted w = ideal(DAY(""));
    w.how.only_distances = true;
    found f = find(&w);
    evn_range_cell c = cell(&f, 0);
    ck_assert_double_eq_tol(c.distance_km, place_of_m(mass_kg(BATTERY_KG), 0.5 * BATTERY_KWH) / 1e3, 1e-3);
    ck_assert(!c.does_it && !c.unlimited && c.day == 1 && f.status == EVN_DONE);
    ck_assert_str_eq(c.status, "battery_empty");
    ck_assert_str_eq(c.ends_in.name, "a");
    ck_assert_double_eq(c.into_km, c.distance_km);
    ck_assert_double_eq_tol(c.more_km, c.distance_km - LEG_KM, 1e-9);
    end(&f);
}
END_TEST

START_TEST(a_reserve_in_charge_or_in_energy_is_taken_off_what_there_is)
{
    wanted w = ideal(DAY("demands: {reserve_soc: 0.1}\n"));
    w.how.only_distances = true;
    found soc = find(&w);
    w.duty = DAY("demands: {reserve_kwh: 1.4, reserve_soc: 0.02}\n"); /* a tenth of 14 kWh; the larger holds */
    found kwh = find(&w);
    double km = place_of_m(mass_kg(BATTERY_KG), 0.4 * BATTERY_KWH) / 1e3;
    ck_assert_double_eq_tol(cell(&soc, 0).distance_km, km, 1e-3);
    ck_assert_double_eq_tol(cell(&kwh, 0).distance_km, km, 1e-3);
    ck_assert_int_eq(soc.status, EVN_ANSWER_NO);
    end(&soc);
    end(&kwh);
}
END_TEST

/* 21 km of the 12 km of a half day: it has gone on from its beginning. Speed that is braked away comes back whole. */
START_TEST(a_day_goes_on_from_its_beginning_until_the_reserve_is_met)
{
    wanted w = ideal("name: day\ninvented: true\nday:\n  - leg: {name: a, cycle: {name: short, invented: true, "
                     "length_m: 12000, speed: {place_m: [0], limit_km_h: [36]}}}\n");
    w.how.only_distances = true;
    found f = find(&w);
    evn_range_cell c = cell(&f, 0);
    ck_assert_double_eq_tol(c.distance_km, place_of_m(mass_kg(BATTERY_KG), 0.5 * BATTERY_KWH) / 1e3, 1e-3);
    ck_assert(c.does_it && c.day == 2 && f.status == EVN_DONE);
    ck_assert_double_eq_tol(c.into_km, c.distance_km - 12, 1e-9);
    double left_kwh = 0.5 * BATTERY_KWH - mass_kg(BATTERY_KG) * G * ROLLING * 12000 / J_PER_KWH;
    ck_assert_double_eq_tol(c.reserve_kwh, left_kwh, 1e-4);
    end(&f);
}
END_TEST

START_TEST(where_charging_gives_back_what_the_day_takes_there_is_no_end)
{
    wanted w = ideal("name: day\ninvented: true\nday:\n  - leg: {name: a, cycle: {name: short, invented: true, "
                     "length_m: 3000, speed: {place_m: [0], limit_km_h: [36]}}}\n"
                     "  - stop: {name: c, charging: {connector_kw: 100, until_soc: 0.5}}\n");
    found f = find(&w);
    evn_range_cell c = cell(&f, 0);
    ck_assert(c.unlimited && c.sustained && c.does_it && c.distance_km >= 3 - 1e-6);
    end(&f);
}
END_TEST

START_TEST(a_cycle_is_a_day_of_one_leg)
{
    wanted w = ideal(DAY(""));
    w.how.only_distances = true;
    found f = find(&w), g = {.report = evn_report_new()};
    char path[PATH_BYTES];
    evn_cycle *cycle = load_cycle(in_folder(path, "flat.yaml"));
    ck_assert_int_eq(evn_duty_of_cycle(cycle, &g.duty, g.report), EVN_DONE);
    ck_assert_str_eq(evn_duty_name(g.duty), "flat");
    ck_assert_int_eq(evn_range_find(f.truck, g.duty, &w.ask, &w.how, &g.range, g.report), EVN_DONE);
    ck_assert(cell(&f, 0).distance_km == cell(&g, 0).distance_km);
    end(&g);
    evn_cycle_free(cycle);
    end(&f);
}
END_TEST

START_TEST(payloads_of_a_day_go_with_its_heaviest_in_proportion)
{
    static const double half_kg[] = {4500};
    wanted w = ideal("name: day\ninvented: true\nday:\n  - leg: {name: a, cycle: {use: flat.yaml}, payload_kg: 9000}\n"
                     "  - leg: {name: b, cycle: {use: flat.yaml}, payload_kg: 4000}\n");
    w.how.payload_kg = half_kg;
    w.how.only_distances = true;
    w.set[1] = "battery.capacity_ah=30";
    found f = find(&w);
    evn_range_cell c = cell(&f, 0);
    double heavy_kg = EMPTY_KG + BATTERY_KG + 4500, light_kg = EMPTY_KG + BATTERY_KG + 2000;
    double left_kwh = 0.75 * BATTERY_KWH - heavy_kg * G * ROLLING * LEG_KM * 1e3 / J_PER_KWH;
    ck_assert_double_eq_tol(c.into_km, place_of_m(light_kg, left_kwh) / 1e3, 2e-3);
    ck_assert_double_eq(c.ends_in.payload_kg, 2000);
    end(&f);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the battery */

/* Two and a half times the cells: charge, powers and heat go with them, resistance against them, all else stays. */
START_TEST(a_battery_of_another_size_is_the_same_cells_in_parallel)
{
    static const char *const set[] = {BATTERY_IN_USE, NULL};
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_sized_truck s;
    ck_assert_int_eq(evn_truck_load_with(IN_USE, &(evn_load){.set = set}, &truck, report), EVN_DONE);
    evn_sized_truck_make(&s, truck->file, 2.5, 6);
    const evn_battery_file *own = truck->file->battery, *b = s.truck.battery;
    ck_assert_double_eq_tol(b->capacity_ah, 2.5 * 590, 1e-9);
    ck_assert_double_eq_tol(b->resistance_ohm, 0.051 / 2.5, 1e-12);
    ck_assert_double_eq_tol(b->discharge_limit_kw, 2.5 * 520, 1e-9);
    ck_assert_double_eq_tol(b->charge_limit_kw, 2.5 * 320, 1e-9);
    ck_assert_double_eq_tol(b->mass_kg, 2700 + 6 * 1.5 * evn_battery_kwh(own), 1e-9);
    ck_assert_double_eq_tol(b->heat->heat_capacity_kj_per_k, 2.5 * 2700, 1e-9);
    ck_assert_double_eq_tol(b->heat->to_air_w_per_k, 2.5 * 37, 1e-9);
    ck_assert_double_eq_tol(b->heat->cooling->heat_kw, 25, 1e-9);
    ck_assert_double_eq_tol(b->heat->heating->heat_kw, 15, 1e-9);
    ck_assert(b->open_circuit == own->open_circuit && b->ageing == own->ageing &&
              b->usable_from_soc == own->usable_from_soc && b->heat->limit_degc == own->heat->limit_degc &&
              b->heat->cooling->coefficient_of_performance == own->heat->cooling->coefficient_of_performance);
    ck_assert_double_eq_tol(evn_battery_kwh(b), 2.5 * evn_battery_kwh(own), 1e-9);
    ck_assert_double_eq_tol(evn_battery_kg_per_kwh(own), 2700 / evn_battery_kwh(own), 1e-12);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

/* s e = m0 g f x + v2/2 (m0 + turning) + k E (s - 1) (g f x + v2/2), e the half of E that is used: linear in s. */
static double size_for(double m, double kg_per_kwh)
{
    double per_kg = taken_kwh(1, m) - taken_kwh(0, m), feeds = kg_per_kwh * BATTERY_KWH * per_kg;
    return (taken_kwh(mass_kg(BATTERY_KG), m) - feeds) / (0.5 * BATTERY_KWH - feeds);
}

START_TEST(a_battery_that_is_too_small_grows_until_it_carries_itself_so_far)
{
    static const double rates[] = {7, 60, 95};
    for (size_t k = 0; k < sizeof rates / sizeof *rates; k++) {
        wanted w = ideal(DAY(""));
        w.how.distance_km = 27;
        w.how.pack_kg_per_kwh = rates[k];
        found f = find(&w);
        evn_range_pack p = pack(&f);
        double size = size_for(27e3, rates[k]);
        ck_assert(p.found && size > 1);
        ck_assert_double_eq_tol(p.size, size, 4e-4 * size);
        ck_assert_double_eq_tol(p.kwh, p.size * BATTERY_KWH, 1e-9);
        ck_assert_double_eq_tol(p.kg, BATTERY_KG + rates[k] * (p.kwh - BATTERY_KWH), 1e-6);
        ck_assert(p.lost_kg == 0 && !p.bound_by && f.status == EVN_ANSWER_NO);
        end(&f);
    }
}
END_TEST

START_TEST(a_battery_that_suffices_shrinks_to_what_is_needed)
{
    wanted w = ideal(DAY(""));
    w.how.distance_km = 12;
    w.how.pack_kg_per_kwh = 60;
    found f = find(&w);
    evn_range_pack p = pack(&f);
    double size = size_for(12e3, 60);
    ck_assert(p.found && size < 1 && f.status == EVN_DONE);
    ck_assert_double_eq_tol(p.size, size, 4e-4 * size);
    end(&f);
}
END_TEST

/* Rolling, and the consumers' power over the whole day, of which the stop is by far the most; what speed took comes
 * back before it. */
START_TEST(the_battery_that_is_found_has_what_stops_behind_the_last_leg_take)
{
    wanted w = ideal(DAY("  - stop: {name: wait, duration_min: 600}\n"));
    w.set[2] = "auxiliaries.power_kw=3";
    w.how.pack_kg_per_kwh = 7;
    found f = find(&w);
    evn_range_pack p = pack(&f);
    ck_assert(p.found && p.lost_kg == 0);
    double kwh = mass_kg(p.kg) * G * ROLLING * 1000 * LEG_KM / J_PER_KWH + 3 * p.day_duration_s / 3600;
    ck_assert_double_eq_tol(0.5 * p.kwh, kwh, 4e-4 * kwh);
    end(&f);
}
END_TEST

START_TEST(what_a_battery_is_heavier_than_the_permitted_mass_leaves_is_lost_as_payload)
{
    wanted w = ideal(DAY(""));
    w.set[2] = "body.permitted_gross_kg=18050"; /* 50 kg more than it weighs */
    w.how.distance_km = 27;
    w.how.pack_kg_per_kwh = 60;
    found f = find(&w);
    evn_range_pack p = pack(&f);
    double size = taken_kwh(18050, 27e3) / (0.5 * BATTERY_KWH); /* its mass is what is permitted */
    ck_assert(p.found);
    ck_assert_double_eq_tol(p.size, size, 4e-4 * size);
    ck_assert_double_eq_tol(p.lost_kg, p.kg - BATTERY_KG - 50, 0.01);
    ck_assert_double_eq_tol(p.payload_kg, PAYLOAD_KG - p.lost_kg, 1e-6);
    ck_assert_str_eq(p.bound_by, "permitted_gross");
    end(&f);
}
END_TEST

/* By the lever about the rear axle, 4.5 m behind the front one, the battery lies 3 m before it and the payload 1.5 m.
 */
START_TEST(what_an_axle_may_not_carry_is_lost_as_payload)
{
    wanted w = ideal(DAY(""));
    double front_kg = 700 + (5000 * (4.5 - 1.2) + 9000 * (4.5 - 3.0) + 2200 * (4.5 - 1.5)) / 4.5;
    char permitted[80];
    snprintf(permitted, sizeof permitted, "axles.front.permitted_kg=%.10g", front_kg);
    w.set[2] = permitted;
    w.how.distance_km = 27;
    w.how.pack_kg_per_kwh = 60;
    found f = find(&w);
    evn_range_pack p = pack(&f);
    ck_assert(p.found && p.lost_kg > 0);
    ck_assert_double_eq_tol(p.lost_kg * (4.5 - 3.0), (p.kg - BATTERY_KG) * (4.5 - 1.5), 0.1);
    ck_assert_str_eq(p.bound_by, "front");
    end(&f);
}
END_TEST

/* Each kilowatt-hour takes more to carry it so far than half of it gives. */
START_TEST(no_battery_is_found_where_its_own_mass_eats_it)
{
    wanted w = ideal(DAY(""));
    double per_kg = taken_kwh(1, 29e3) - taken_kwh(0, 29e3);
    w.how.distance_km = 29;
    w.how.pack_kg_per_kwh = 100;
    w.set[1] = "battery.capacity_ah=20";
    w.set[2] = "battery.start_soc=0.04";
    ck_assert(0.04 < 100 * per_kg);
    found f = find(&w);
    evn_range_pack p = pack(&f);
    ck_assert(!p.found && isnan(p.kwh));
    ck_assert_str_eq(p.why_not, "distance");
    ck_assert_double_lt(p.most_distance_km, 29);
    end(&f);
}
END_TEST

START_TEST(no_battery_is_found_where_no_payload_is_left_for_it)
{
    wanted w = ideal(DAY(""));
    w.set[2] = "body.permitted_gross_kg=9500"; /* with 450 kg of payload it weighs 9450 */
    static const double little_kg[] = {450};
    w.how.payload_kg = little_kg;
    w.how.distance_km = 90;
    w.how.pack_kg_per_kwh = 60;
    found f = find(&w);
    evn_range_pack p = pack(&f);
    ck_assert(!p.found);
    ck_assert_str_eq(p.why_not, "mass");
    ck_assert_double_eq_tol((p.most_kwh - BATTERY_KWH) * 60, 500, 0.1);
    end(&f);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ a whole truck */

#define HILLS                                                                                                          \
    "name: hills\ninvented: true\nday:\n  - stop: {name: s, duration_min: 5}\n  - leg: {name: on, cycle: {name: "      \
    "hump, "                                                                                                           \
    "invented: true, length_m: 6000, speed: {place_m: [0], limit_km_h: [60]}, road: {place_m: [0, 1000, 2000], "       \
    "grade_percent: [3, -3, 0]}}}\n"

/* Its battery nearly empty, so that little has to be driven. */
static wanted tractor(const char *duty)
{
    wanted w = {IN_USE, duty, {BATTERY_IN_USE}, {0}, evn_conditions_default()};
    w.ask.load_case.start_soc = 0.085;
    return w;
}

START_TEST(a_truck_with_the_battery_that_is_found_ends_at_the_reserve)
{
    static const double payload_kg[] = {20000}, age_years[] = {5};
    wanted w = tractor(HILLS "demands: {reserve_soc: 0.01}\n");
    w.how = (evn_range_how){.payload_kg = payload_kg, .payloads = 1, .age_years = age_years, .ages = 1};
    w.ask.load_case.temperature_degc = -10;
    found f = find(&w);
    evn_range_pack p = pack(&f);
    ck_assert(p.found && p.size > 1.05);
    char text[6][80];
    static const char *const keys[] = {"capacity_ah",     "resistance_ohm", "discharge_limit_kw",
                                       "charge_limit_kw", "mass_kg",        "heat.heat_capacity_kj_per_k"};
    const double values[] = {590 * p.size, 0.051 / p.size, 520 * p.size, 320 * p.size, p.kg, 2700 * p.size};
    wanted sized = w;
    for (size_t k = 0; k < 6; k++) {
        snprintf(text[k], sizeof text[k], "battery.%s=%.12g", keys[k], values[k]);
        sized.set[k + 1] = text[k];
    }
    sized.how.only_distances = true;
    sized.how.payload_kg = &p.payload_kg;
    char heat[200];
    snprintf(heat, sizeof heat,
             "battery.heat={heat_capacity_kj_per_k: %.12g, to_air_w_per_k: %.12g, cooling: {heat_kw: "
             "%.12g}, heating: {heat_kw: %.12g}}",
             2700 * p.size, 37 * p.size, 10 * p.size, 6 * p.size);
    sized.set[6] = heat;
    found g = find(&sized);
    evn_range_cell c = cell(&g, 0);
    ck_assert(c.does_it);
    ck_assert_double_ge(c.reserve_soc, 0.01);
    ck_assert_double_le(c.reserve_soc, 0.012);
    end(&g);
    end(&f);
}
END_TEST

START_TEST(cold_years_and_payload_shorten_the_way_and_the_worst_cell_is_the_shortest)
{
    static const double payload_kg[] = {20000, 5000}, age_years[] = {0, 5, 10};
    wanted w = tractor(DAY("seasons:\n  warm: {share: 0.5, load_case: {temperature_degc: 20}}\n"
                           "  cold: {share: 0.5, load_case: {temperature_degc: -10}}\n"));
    w.how = (evn_range_how){
        .payload_kg = payload_kg, .payloads = 2, .age_years = age_years, .ages = 3, .only_distances = true};
    w.ask.load_case.start_soc = 0.08;
    found f = find(&w);
    for (size_t k = 0; k < 12; k++) {
        evn_range_cell c = cell(&f, k), other;
        if (k % 2 == 1)
            ck_assert_double_lt(c.distance_km, cell(&f, k - 1).distance_km);
        if (k / 2 % 3 > 0)
            ck_assert_double_lt(c.distance_km, cell(&f, k - 2).distance_km);
        if (k >= 6)
            ck_assert_double_gt(c.distance_km, cell(&f, k - 6).distance_km);
        ck_assert_str_eq(c.season, k % 2 == 1 ? "cold" : "warm");
        ck_assert_double_eq(c.payload_kg, payload_kg[k / 6]);
        ck_assert_double_eq(c.age_years, age_years[k / 2 % 3]);
        ck_assert(k < 11 || !evn_range_cell_at(f.range, k + 1, &other));
    }
    ck_assert_uint_eq(evn_range_worst(f.range), 5);
    end(&f);
}
END_TEST

START_TEST(one_thread_and_four_find_the_same_digits)
{
    static const double payload_kg[] = {15000, 0};
    wanted w = tractor(HILLS);
    w.how.payload_kg = payload_kg;
    w.how.payloads = 2;
    w.how.threads = 1;
    found one = find(&w);
    w.how.threads = 4;
    found four = find(&w);
    evn_range_cell a, b;
    for (size_t k = 0; evn_range_cell_at(one.range, k, &a); k++) {
        b = cell(&four, k);
        ck_assert(a.distance_km == b.distance_km && a.duration_s == b.duration_s);
    }
    evn_range_pack p = pack(&one), q = pack(&four);
    ck_assert(p.found && q.found && p.size == q.size && p.lost_kg == q.lost_kg);
    end(&one);
    end(&four);
}
END_TEST

static bool stop_at_once(void *self, double done_share)
{
    *(double *)self = done_share;
    return false;
}

START_TEST(what_is_stopped_tells_nothing)
{
    wanted w = ideal(DAY(""));
    double share = 0;
    found f = find(&w);
    evn_range *range = NULL;
    evn_report *report = evn_report_new();
    w.how.self = &share;
    w.how.go_on = stop_at_once;
    ck_assert_int_eq(evn_range_find(f.truck, f.duty, &w.ask, &w.how, &range, report), EVN_NO_RESULT);
    ck_assert_ptr_null(range);
    evn_report_free(report);
    end(&f);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("range");
    TCase *tests = tcase_create("range");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, the_reserve_is_met_where_rolling_and_speed_have_taken_what_is_above_it);
    tcase_add_test(tests, a_reserve_in_charge_or_in_energy_is_taken_off_what_there_is);
    tcase_add_test(tests, a_day_goes_on_from_its_beginning_until_the_reserve_is_met);
    tcase_add_test(tests, where_charging_gives_back_what_the_day_takes_there_is_no_end);
    tcase_add_test(tests, a_cycle_is_a_day_of_one_leg);
    tcase_add_test(tests, payloads_of_a_day_go_with_its_heaviest_in_proportion);
    tcase_add_test(tests, a_battery_of_another_size_is_the_same_cells_in_parallel);
    tcase_add_test(tests, a_battery_that_is_too_small_grows_until_it_carries_itself_so_far);
    tcase_add_test(tests, a_battery_that_suffices_shrinks_to_what_is_needed);
    tcase_add_test(tests, the_battery_that_is_found_has_what_stops_behind_the_last_leg_take);
    tcase_add_test(tests, what_a_battery_is_heavier_than_the_permitted_mass_leaves_is_lost_as_payload);
    tcase_add_test(tests, what_an_axle_may_not_carry_is_lost_as_payload);
    tcase_add_test(tests, no_battery_is_found_where_its_own_mass_eats_it);
    tcase_add_test(tests, no_battery_is_found_where_no_payload_is_left_for_it);
    tcase_add_test(tests, a_truck_with_the_battery_that_is_found_ends_at_the_reserve);
    tcase_add_test(tests, cold_years_and_payload_shorten_the_way_and_the_worst_cell_is_the_shortest);
    tcase_add_test(tests, one_thread_and_four_find_the_same_digits);
    tcase_add_test(tests, what_is_stopped_tells_nothing);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
