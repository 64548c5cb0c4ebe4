/* The program behind tools/schedules, which says what its options are. */
#include "core/pool.h"
#include "core/report.h"
#include "read/read.h"
#include "schedule.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct options {
    double accuracy, against, charge_less; /* start_soc of the second, below that of the first */
    size_t threads;
    bool all;
    char *const *truck, *const *cycle;
    size_t trucks, cycles;
} options;

typedef struct outcome {
    bool sound, same;
    unsigned long events, events_against;
    double battery_kwh, battery_kwh_against;
    char why[360];
} outcome;

typedef struct pairs {
    const options *o;
    outcome *of;
} pairs;

enum { DRIVERS = 2 };
static const char *const driver_names[DRIVERS] = {"exact", "human"};

static void keep_finding(const evn_report *report, outcome *out)
{
    evn_finding f = {.text = "memory ran out"};
    evn_report_at(report, 0, &f);
    snprintf(out->why, sizeof out->why, "%s", f.text);
}

static bool drive(const evn_truck *truck, const evn_cycle_file *cycle, const evn_conditions *ask, evn_rig **rig,
                  schedule *s, evn_report *report)
{
    *s = (schedule){0};
    evn_rig_prepare(truck, &ask->load_case, rig, report);
    evn_course *course = *rig ? evn_drive_course_of(*rig, cycle, &ask->driving, NULL, report) : NULL;
    bool driven = course && schedule_drive(*rig, course, &ask->driving, &evn_cvode, s, report);
    evn_course_free(course);
    return driven;
}

static void compare(const options *o, const evn_truck *truck, const evn_cycle_file *cycle, evn_driver driver,
                    evn_report *report, outcome *out)
{
    evn_conditions ask = evn_conditions_default(), other;
    evn_rig *rig = NULL, *other_rig = NULL;
    schedule s = {0}, against = {0};
    ask.driving.driver = driver;
    ask.driving.accuracy = o->accuracy;
    other = ask;
    other.driving.accuracy = o->against;
    out->sound = drive(truck, cycle, &ask, &rig, &s, report);
    if (out->sound && o->charge_less != 0)
        other.load_case.start_soc = rig->start_soc - o->charge_less;
    out->sound = out->sound && drive(truck, cycle, &other, &other_rig, &against, report);
    if (out->sound) {
        out->same = schedule_same(&s, &against, out->why, sizeof out->why);
        out->events = s.events;
        out->events_against = against.events;
        out->battery_kwh = s.battery_kwh;
        out->battery_kwh_against = against.battery_kwh;
    }
    schedule_free(&s);
    schedule_free(&against);
    evn_rig_free(rig);
    evn_rig_free(other_rig);
}

static const char *truck_of(const options *o, size_t k) { return o->truck[k / DRIVERS / o->cycles]; }
static const char *cycle_of(const options *o, size_t k) { return o->cycle[k / DRIVERS % o->cycles]; }

static void do_pair(void *self, size_t k)
{
    pairs *p = self;
    evn_report *report = evn_report_new();
    evn_arena *arena = evn_arena_new();
    evn_truck *truck = NULL;
    if (report && arena)
        evn_truck_load(truck_of(p->o, k), &truck, report);
    const evn_cycle_file *cycle =
        truck ? evn_read_file(cycle_of(p->o, k), &evn_cycle_object, NULL, arena, report) : NULL;
    if (cycle)
        compare(p->o, truck, cycle, k % DRIVERS == 0 ? EVN_DRIVER_EXACT : EVN_DRIVER_HUMAN, report, &p->of[k]);
    if (!p->of[k].sound)
        keep_finding(report, &p->of[k]);
    evn_truck_free(truck);
    evn_arena_free(arena);
    evn_report_free(report);
}

/* ------------------------------------------------------------------------------------------------ telling */

static void put_name(const char *path)
{
    const char *base = strrchr(path, '/') ? strrchr(path, '/') + 1 : path;
    printf("%.*s, ", (int)strcspn(base, "."), base);
}

static void tell(const options *o, size_t k, const outcome *of)
{
    if (of->sound && of->same && !o->all)
        return;
    put_name(truck_of(o, k));
    put_name(cycle_of(o, k));
    printf("%s: ", driver_names[k % DRIVERS]);
    if (!of->sound)
        printf("no results: %s\n", of->why);
    else
        printf("%s, %lu and %lu events, %.9g and %.9g kWh%s%s\n", of->same ? "the same" : "another schedule",
               of->events, of->events_against, of->battery_kwh, of->battery_kwh_against, of->same ? "" : "\n  ",
               of->why);
}

static bool tell_all(const options *o, const outcome *of, size_t count)
{
    size_t same = 0, sound = 0;
    unsigned long events = 0, against = 0;
    for (size_t k = 0; k < count; k++) {
        tell(o, k, &of[k]);
        same += of[k].sound && of[k].same;
        sound += of[k].sound;
        events += of[k].events;
        against += of[k].events_against;
    }
    printf("%zu runs, %zu without results, %zu with another schedule; %lu and %lu events\n", count, count - sound,
           sound - same, events, against);
    return same == count;
}

/* ------------------------------------------------------------------------------------------------ options */

static bool number(const char *text, double *out)
{
    char *end;
    *out = strtod(text, &end);
    return end != text && !*end;
}

/* Options, trucks, `--`, cycles. */
static bool read_options(int count, char **word, options *o)
{
    double threads = 0;
    int k = 1, cycles;
    *o = (options){.accuracy = 1e-6, .against = 1e-8};
    for (; k < count && word[k][0] == '-' && strcmp(word[k], "--") != 0; k++) {
        bool all = strcmp(word[k], "--all") == 0;
        double *to = strcmp(word[k], "--accuracy") == 0      ? &o->accuracy
                     : strcmp(word[k], "--against") == 0     ? &o->against
                     : strcmp(word[k], "--charge-less") == 0 ? &o->charge_less
                     : strcmp(word[k], "--threads") == 0     ? &threads
                                                             : NULL;
        o->all = o->all || all;
        if (!all && (!to || k + 1 == count || !number(word[++k], to)))
            return false;
    }
    for (cycles = k; cycles < count && strcmp(word[cycles], "--") != 0; cycles++)
        ;
    o->threads = (size_t)fmax(threads, 0);
    o->truck = word + k;
    o->trucks = (size_t)(cycles - k);
    o->cycle = word + cycles + 1;
    o->cycles = cycles + 1 < count ? (size_t)(count - cycles - 1) : 0;
    return o->trucks > 0 && o->cycles > 0;
}

int main(int count, char **word)
{
    options o;
    if (!read_options(count, word, &o)) {
        fprintf(stderr, "schedules: expected options, trucks, -- and cycles\n");
        return 2;
    }
    size_t runs = o.trucks * o.cycles * DRIVERS;
    outcome *of = calloc(runs, sizeof *of);
    pairs p = {&o, of};
    if (!of) {
        fprintf(stderr, "schedules: memory ran out\n");
        return 2;
    }
    evn_pool_run(o.threads, runs, do_pair, &p);
    bool same = tell_all(&o, of, runs);
    free(of);
    return same ? 0 : 1;
}
