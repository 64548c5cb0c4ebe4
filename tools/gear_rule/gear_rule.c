/*
 * What the gear rule leaves lying: trucks driven on a cycle by the exact driver, each held against a dynamic programme
 * over its settings on the very run that it had; and what the human driver would take with other prices of a gear
 * change. Lines of CSV; tools/gear-rule says what stands in them.
 */
#include "core/units.h"
#include "cycle/ceiling.h"
#include "cycle/cycle.h"
#include "noting.h"
#include "read/read.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double INTERVAL_S = 0.25;
enum { TRUCKS_MOST = 12, ROUNDS = 2 };

typedef struct lane { /* one truck */
    const char *name;
    evn_truck *truck;
    evn_rig *rig;
    evn_ceiling reached;
    size_t place, speed; /* columns of its rows */
    bool in;             /* part of the common speed */
    bool out_of_memory;
} lane;

typedef struct job {
    const char *cycle_name;
    const evn_cycle_file *cycle;
    evn_conditions ask;
    evn_arena *arena;
    evn_report *report;
    lane lane[TRUCKS_MOST];
    size_t count;
} job;

static bool say_why(const job *j, const char *what, const char *name)
{
    evn_finding f;
    fprintf(stderr, "gear-rule: %s %s\n", what, name);
    for (size_t k = 0; evn_report_at(j->report, k, &f); k++)
        fprintf(stderr, "  %s: %s\n", f.file ? f.file : "-", f.text);
    return false;
}

/* The file's, without folder and ending. */
static const char *name_of(const char *path, evn_arena *arena)
{
    const char *base = strrchr(path, '/') ? strrchr(path, '/') + 1 : path;
    size_t length = strcspn(base, ".");
    char *name = evn_arena_take(arena, length + 1);
    return name ? memcpy(name, base, length) : NULL;
}

/* ------------------------------------------------------------------------------------------------ speeds reached */

static size_t column_of(const evn_rig *rig, const char *key)
{
    evn_trace_column column;
    size_t k = 0;
    while (evn_trace_column_at(rig, k, &column) && strcmp(column.what.key, key) != 0)
        k++;
    return k;
}

static void begin_rows(void *self) { evn_ceiling_clear(&((lane *)self)->reached); }

static void take_row(void *self, const double *row, size_t columns)
{
    lane *l = self;
    double v = row[l->speed] * EVN_M_S_PER_KM_H;
    (void)columns;
    l->out_of_memory = !evn_ceiling_add(&l->reached, row[l->place], v * v) || l->out_of_memory;
}

/* Drives on what a ceiling leaves of the cycle. NULL: why is said. */
static evn_results *drive(job *j, lane *l, const evn_ceiling *ceiling, const evn_watch *watch,
                          const evn_solver_kind *kind)
{
    evn_driving driving = j->ask.driving;
    evn_results *results = NULL;
    if (ceiling)
        driving.endurance = EVN_ENDURANCE_OFF; /* in the ceiling already */
    evn_course *course = evn_drive_course_of(l->rig, j->cycle, &driving, ceiling, j->report);
    if (course)
        evn_drive_course(l->rig, course, &driving, watch, kind, &results, j->report);
    evn_course_free(course);
    if (!results || l->out_of_memory) {
        say_why(j, "no results of", l->name);
        evn_results_free(results);
        return NULL;
    }
    return results;
}

/* The common speed as comparisons find it (lineup/COMMON-SPEED.md): what all that finish reach, driven again and
 * lowered. */
static bool find_common(job *j, evn_ceiling *common)
{
    static const double SAMPLE_S = 0.5, THIN_SHARE = 5e-5; /* as of lineup/compare.c */
    for (int round = 0; round < ROUNDS; round++) {
        for (size_t i = 0; i < j->count; i++) {
            evn_sampler rows = {&j->lane[i], SAMPLE_S, begin_rows, take_row};
            evn_watch watch = {.sampler = &rows, .samplers = 1};
            if (!j->lane[i].in)
                continue;
            evn_results *results = drive(j, &j->lane[i], round > 0 ? common : NULL, &watch, &evn_cvode);
            if (!results)
                return false;
            j->lane[i].in = strcmp(evn_results_status(results), "finished") == 0;
            evn_results_free(results);
        }
        for (size_t i = 0; i < j->count; i++)
            if (j->lane[i].in && !evn_ceiling_lower(common, &j->lane[i].reached))
                return say_why(j, "no memory for", j->lane[i].name);
        evn_ceiling_thin(common, THIN_SHARE);
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ one truck held */

typedef struct held {
    evn_account driven, least, within;
    double bound_j, battery_j, apart_j, km;
    size_t joint;
    const char *status;
} held;

static bool solve(const evn_programme *p, held *h)
{
    h->joint = p->joint;
    h->driven = evn_programme_driven(p);
    return evn_programme_least(p, 0, &h->least) &&
           evn_programme_within(p, evn_changes_of(&h->driven), &h->within, &h->bound_j);
}

static double per_100_km(const held *h, unsigned long changes) { return 100 * (double)changes / h->km; }

static void print(const job *j, const lane *l, const char *basis, const held *h)
{
    double whole = fabs(h->driven.energy_j) / 100; /* downhill a battery may end fuller */
    printf("%s,%s,%s,%s,%zu,%.3f,%.4f,%.3f,%.3f,%.3f,%.3f,%.1f,%.1f,%.1f,%.1f,%.1f,%.1f,%.4f,%.4f\n", l->name,
           j->cycle_name, basis, h->status, h->joint, h->km, h->battery_j / EVN_J_PER_KWH,
           (h->driven.cost_j - h->within.cost_j) / whole, (h->driven.cost_j - h->bound_j) / whole,
           (h->driven.standing_j - h->within.standing_j) / whole, (h->driven.cost_j - h->least.cost_j) / whole,
           per_100_km(h, h->driven.gears), per_100_km(h, h->within.gears), per_100_km(h, h->least.gears),
           per_100_km(h, h->driven.others), per_100_km(h, h->within.others), per_100_km(h, h->least.others),
           100 * (h->driven.energy_j / h->battery_j - 1), h->apart_j / whole);
}

static bool hold(job *j, lane *l, const char *basis, const evn_ceiling *ceiling)
{
    evn_programme p;
    held h = {0};
    double battery_kwh = 0;
    evn_notes *notes = evn_notes_new(l->rig, INTERVAL_S);
    if (!notes)
        return say_why(j, "no memory, or too many settings at once, for", l->name);
    evn_watch watch = {.self = notes};
    evn_results *results = drive(j, l, ceiling, &watch, &evn_noting_cvode);
    bool ok = results && evn_results_get(results, "battery_kwh", &battery_kwh) &&
              evn_results_get(results, "distance_km", &h.km) && evn_notes_programme(notes, &p) && solve(&p, &h);
    if (ok) {
        h.battery_j = battery_kwh * EVN_J_PER_KWH;
        h.apart_j = evn_notes_apart_j(notes);
        h.status = evn_results_status(results);
        print(j, l, basis, &h);
    } else {
        say_why(j, "nothing to hold of", l->name);
    }
    evn_results_free(results);
    evn_notes_free(notes);
    return ok;
}

/* ------------------------------------------------------------------------------------------------ what is asked */

static bool open_lane(job *j, const char *path, const char *const *set)
{
    evn_load load = {.set = set};
    lane *l = &j->lane[j->count++];
    *l = (lane){.name = name_of(path, j->arena), .in = true};
    if (!l->name || evn_truck_load_with(path, &load, &l->truck, j->report) || !l->truck ||
        evn_rig_prepare(l->truck, &j->ask.load_case, &l->rig, j->report) || !l->rig)
        return say_why(j, "no truck", path);
    l->place = column_of(l->rig, "place_m");
    l->speed = column_of(l->rig, "speed_km_h");
    return true;
}

static void close_all(job *j)
{
    for (size_t i = 0; i < j->count; i++) {
        evn_ceiling_clear(&j->lane[i].reached);
        evn_rig_free(j->lane[i].rig);
        evn_truck_free(j->lane[i].truck);
    }
    evn_arena_free(j->arena);
    evn_report_free(j->report);
}

/* ------------------------------------------------------------------------------------------------ prices scanned */

typedef struct priced { /* a run of the human driver */
    double battery_kwh, discharged_kwh, changes, duration_s;
} priced;

/* All gear changes at one stated price (NAN: what each truly costs). */
static bool drive_at_price(job *j, lane *l, double price_kj, priced *out)
{
    for (size_t u = 0; u < l->rig->unit_count; u++)
        l->rig->unit[u].shift_price_j = price_kj * 1e3;
    evn_results *results = drive(j, l, NULL, NULL, &evn_cvode);
    bool ok = results && evn_results_get(results, "battery_kwh", &out->battery_kwh) &&
              evn_results_get(results, "discharged_kwh", &out->discharged_kwh) &&
              evn_results_get(results, "gear_changes_per_100_km", &out->changes) &&
              evn_results_get(results, "duration_s", &out->duration_s);
    evn_results_free(results);
    return ok;
}

static bool scan(job *j, lane *l)
{
    static const double price_kj[] = {(double)NAN, 0.3, 1, 3, 10, 20, 30, 60, 100};
    enum { PRICES = sizeof price_kj / sizeof *price_kj };
    priced run[PRICES];
    double least_kwh = (double)INFINITY;
    for (size_t k = 0; k < PRICES; k++) {
        if (!drive_at_price(j, l, price_kj[k], &run[k]))
            return false;
        least_kwh = fmin(least_kwh, run[k].battery_kwh);
    }
    for (size_t k = 0; k < PRICES; k++) {
        printf("%s,%s,", l->name, j->cycle_name);
        if (isnan(price_kj[k]))
            printf("own");
        else
            printf("%g", price_kj[k]);
        double above = (run[k].battery_kwh - least_kwh) / run[k].discharged_kwh;
        printf(",%.4f,%.3f,%.1f,%.1f\n", run[k].battery_kwh, 100 * above, run[k].changes, run[k].duration_s);
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ the command */

static bool hold_all(job *j, bool own, bool common)
{
    evn_ceiling ceiling = {0};
    bool ok = true;
    for (size_t i = 0; ok && own && i < j->count; i++)
        ok = hold(j, &j->lane[i], "own", NULL);
    ok = ok && (!common || find_common(j, &ceiling));
    for (size_t i = 0; ok && common && i < j->count; i++)
        ok = !j->lane[i].in || hold(j, &j->lane[i], "common", &ceiling);
    evn_ceiling_clear(&ceiling);
    return ok;
}

static bool scan_all(job *j)
{
    j->ask.driving.driver = EVN_DRIVER_HUMAN;
    for (size_t i = 0; i < j->count; i++)
        if (!scan(j, &j->lane[i]))
            return false;
    return true;
}

/* Paths of trucks up to "--", then values set beside them; argv ends with NULL. */
static bool open_all(job *j, const char *cycle, char **argv)
{
    size_t trucks = 0;
    while (argv[trucks] && strcmp(argv[trucks], "--") != 0)
        trucks++;
    const char *const *set = argv[trucks] ? (const char *const *)argv + trucks + 1 : NULL;
    j->cycle_name = name_of(cycle, j->arena);
    j->cycle = evn_read_file(cycle, &evn_cycle_object, NULL, j->arena, j->report);
    if (!j->cycle_name || !j->cycle || trucks < 1 || trucks > TRUCKS_MOST)
        return say_why(j, "no cycle, or not 1 to 12 trucks, with", cycle);
    for (size_t i = 0; i < trucks; i++)
        if (!open_lane(j, argv[i], set))
            return false;
    return true;
}

int main(int argc, char **argv)
{
    const char *what = argc > 3 ? argv[1] : "";
    bool own = strcmp(what, "own") == 0 || strcmp(what, "both") == 0;
    bool common = strcmp(what, "common") == 0 || strcmp(what, "both") == 0;
    if (!own && !common && strcmp(what, "prices") != 0) {
        fputs("usage: evener-gear-rule own|common|both|prices CYCLE TRUCK... [-- KEY=VALUE...]\n", stderr);
        return 2;
    }
    job j = {.ask = evn_conditions_default(), .arena = evn_arena_new(), .report = evn_report_new()};
    j.ask.driving.driver = EVN_DRIVER_EXACT;
    bool ok = j.arena && j.report && open_all(&j, argv[2], argv + 3) &&
              (own || common ? hold_all(&j, own, common) : scan_all(&j));
    close_all(&j);
    return ok ? 0 : 1;
}
