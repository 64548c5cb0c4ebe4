/* The report on a working day: whether it is done and with what reserve, the seasons, leg by leg, the year. */
#define _POSIX_C_SOURCE 200809L
#include "show/ask.h"
#include "show/day_story.h"
#include "show/report/table.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 64 };
#define TAKEOFF "energy_balance.power_take_off_kwh"
static const char indent[] = "  ";

typedef struct day_report {
    const evn_day_story *story;
    FILE *to;
    const evn_look *look;
    size_t worst; /* season that is told leg by leg */
    evn_day_season season;
} day_report;

static void put_heading(const day_report *r, const char *text)
{
    fputc('\n', r->to);
    evn_put_styled(r->to, r->look, EVN_STYLE_STRONG, text);
    fputs("\n\n", r->to);
}

/* Columns of a paragraph; as lines for other media it is not parted. */
static size_t prose(const day_report *r) { return r->look ? evn_look_prose(r->look) : SIZE_MAX; }

static double result(const evn_results *of, const char *key)
{
    double value;
    return evn_results_get(of, key, &value) ? value : (double)NAN;
}

static size_t season_count(const evn_day *day)
{
    evn_day_season s;
    size_t count = 0;
    while (evn_day_season_at(day, count, &s))
        count++;
    return count;
}

static void decimals(const day_report *r, char out[CELL], int digits, double value)
{
    evn_format_decimals(out, CELL, evn_look_digits(r->look, digits), value);
}

/* ------------------------------------------------------------------------------------------------ the answer */

static double standing_s(const evn_day *day, size_t season)
{
    evn_day_phase p;
    double sum = 0;
    for (size_t k = 0; evn_day_phase_at(day, season, k, &p); k++)
        if (p.stop && p.results)
            sum += result(p.results, "duration_s");
    return sum;
}

/* The leg or stop in which the day ended early. */
static bool find_end(const day_report *r, evn_day_phase *out)
{
    evn_day_phase p;
    bool there = false;
    for (size_t k = 0; evn_day_phase_at(r->story->day, r->worst, k, &p) && p.status; k++) {
        *out = p;
        there = true;
    }
    return there;
}

static bool was_stopped(const evn_day_season *s) { return strcmp(s->status, "interrupted") == 0; }

static bool put_failure(const day_report *r)
{
    evn_day_phase p;
    char name[EVN_PHASE_NAME_BYTES], at_km[CELL], clock[CELL];
    const evn_day_season *s = &r->season;
    if (!find_end(r, &p))
        return true;
    decimals(r, at_km, 1, p.begin_km + fmax(result(p.results, "distance_km"), 0));
    evn_format_duration(clock, sizeof clock, p.begin_s + result(p.results, "duration_s"));
    if (was_stopped(s)) /* by who asked, which tells nothing of the truck */
        return evn_put_sentence(r->to, prose(r), "",
                                "Interrupted%s%s in %s '%s' after %s km and %s of the day: whether %s does %s was not "
                                "found.",
                                s->name ? " in season " : "", s->name ? s->name : "", p.stop ? "stop" : "leg",
                                evn_phase_name(name, &p), at_km, clock, r->story->truck, r->story->duty);
    return evn_put_sentence(r->to, prose(r), "", "%s does not do %s%s%s: %s in %s '%s' after %s km and %s of the day.",
                            r->story->truck, r->story->duty, s->name ? " in season " : "", s->name ? s->name : "",
                            evn_day_end_words(s->status), p.stop ? "stop" : "leg", evn_phase_name(name, &p), at_km,
                            clock);
}

/* Work for the body, where there is any. */
static bool put_work(const day_report *r)
{
    double kwh = result(r->season.results, TAKEOFF);
    char work[CELL];
    decimals(r, work, 2, kwh);
    return !(kwh > 0) ||
           evn_put_sentence(r->to, prose(r), "", "The power take-off does %s kWh of work for the body.", work);
}

/* Whether the charger's efficiency is stated of all stops that charge, so that the sum is that of the day. */
static bool grid_is_of_all(const day_report *r)
{
    evn_day_phase p;
    for (size_t k = 0; evn_day_phase_at(r->story->day, r->worst, k, &p) && p.results; k++)
        if (result(p.results, "charged_kwh") > 0 && !isfinite(result(p.results, "charged_from_grid_kwh")))
            return false;
    return true;
}

/* What stops charge, and what that takes from the grid where the charger's losses are stated; where nothing is charged
 * nothing. */
static bool put_charged(const day_report *r, const evn_results *of, int digits, const char *margin)
{
    double at_stops = result(of, "charged_kwh"), from_grid = result(of, "charged_from_grid_kwh");
    char charged[CELL], grid[CELL];
    decimals(r, charged, digits, at_stops);
    decimals(r, grid, digits, from_grid);
    if (!(at_stops > 0))
        return true;
    if (!isfinite(from_grid))
        return evn_put_sentence(r->to, prose(r), margin, "Charged at stops: %s kWh.", charged);
    return evn_put_sentence(
        r->to, prose(r), margin,
        "Charged at stops: %s kWh, which take %s kWh from the grid with the losses of the charger%s.", charged, grid,
        grid_is_of_all(r) ? "" : ", counting only stops that state its efficiency");
}

/* What is least of all seasons in a demand that is not met somewhere; which begins where it stands in the duty's list.
 * False: none such from there on. */
static bool next_unmet(const evn_day *day, size_t *which, evn_day_demand *least, evn_day_season *of)
{
    evn_day_season s;
    evn_day_demand d;
    bool unmet = false;
    for (; !unmet && evn_day_demand_at(day, 0, *which, &d); ++*which)
        for (size_t k = 0; evn_day_season_at(day, k, &s) && evn_day_demand_at(day, k, *which, &d); k++)
            if (!d.met && (!unmet || d.value < least->value)) {
                unmet = true;
                *least = d;
                *of = s;
            }
    return unmet;
}

static bool meets_all(const evn_day *day)
{
    size_t which = 0;
    evn_day_demand d;
    evn_day_season s;
    return !next_unmet(day, &which, &d, &s);
}

/* "reserve of charge 1.8 % of the 10.0 % demanded in season winter; distance of the day 36.0 km of ..." */
static void put_unmet(const day_report *r, FILE *to)
{
    size_t which = 0;
    evn_day_demand d;
    evn_day_season s;
    bool several = season_count(r->story->day) > 1;
    for (bool first = true; next_unmet(r->story->day, &which, &d, &s); first = false) {
        char is[CELL], wanted[CELL];
        const char *unit = evn_shown_unit(&d.what);
        evn_format_value(is, sizeof is, r->look, &d.what, d.value);
        evn_format_value(wanted, sizeof wanted, r->look, &d.what, d.demanded);
        fprintf(to, "%s%s %s %s of the %s %s demanded", first ? "" : "; ", d.what.label, is, unit, wanted, unit);
        if (several)
            fprintf(to, " in season %s", s.name);
    }
}

/* The day came to its end, and not to what the duty demands. False when memory is out. */
static bool put_not_enough(const day_report *r)
{
    char *unmet = NULL;
    size_t bytes = 0;
    FILE *to = open_memstream(&unmet, &bytes);
    if (!to)
        return false;
    put_unmet(r, to);
    bool made = ferror(to) == 0;
    made = fclose(to) == 0 && made;
    made =
        made && evn_put_sentence(r->to, prose(r), "", "%s does not do %s: %s.", r->story->truck, r->story->duty, unmet);
    free(unmet);
    return made;
}

/* What the day came to that was driven to its end. */
static bool put_driven(const day_report *r)
{
    char km[CELL], time[CELL], stands[CELL], use[CELL], lowest[CELL], reserve[CELL], kwh[CELL];
    const evn_day_season *s = &r->season;
    size_t seasons = season_count(r->story->day);
    decimals(r, km, 1, result(s->results, "distance_km"));
    evn_format_duration(time, sizeof time, result(s->results, "duration_s"));
    evn_format_duration(stands, sizeof stands, standing_s(r->story->day, r->worst));
    decimals(r, use, 1, result(s->results, "battery_kwh"));
    decimals(r, lowest, 1, 100 * s->lowest_soc);
    decimals(r, reserve, 1, 100 * s->reserve_soc);
    decimals(r, kwh, 1, s->reserve_kwh);
    bool made =
        meets_all(r->story->day)
            ? evn_put_sentence(r->to, prose(r), "", "%s does %s%s: %s km in %s, %s of it at stops.", r->story->truck,
                               r->story->duty, seasons > 1 ? " in every season" : "", km, time, stands)
            : put_not_enough(r) && evn_put_sentence(r->to, prose(r), "",
                                                    "It comes to the end of the day%s: %s km in %s, %s of it "
                                                    "at stops.",
                                                    seasons > 1 ? " in every season" : "", km, time, stands);
    return made &&
           evn_put_sentence(
               r->to, prose(r), "",
               "%s%s%s%s kWh leave the battery; its charge is lowest at %s %%: a reserve of %s %%, %s kWh, "
               "above the end of its usable window.",
               seasons > 1 ? "In season " : "", seasons > 1 ? s->name : "", seasons > 1 ? ", the worst, " : "", use,
               lowest, reserve, kwh) &&
           put_charged(r, s->results, 1, "") && put_work(r);
}

static bool put_reasons(const day_report *r, const evn_findings *findings)
{
    const char *reason = evn_findings_first_error(findings);
    return !reason || was_stopped(&r->season) || evn_put_sentence(r->to, prose(r), indent, "%s", reason);
}

static bool put_answer(const day_report *r, const evn_findings *findings)
{
    bool finished = strcmp(r->season.status, "finished") == 0;
    evn_style style = finished && meets_all(r->story->day) ? EVN_STYLE_STRONG : EVN_STYLE_WARNING;
    evn_style_begin(r->to, r->look, style);
    bool made = finished ? put_driven(r) : put_failure(r);
    evn_style_end(r->to, r->look, style);
    return made && (finished || put_reasons(r, findings));
}

static void put_payload(const day_report *r, const evn_conditions *in, FILE *to)
{
    evn_ask_payload_words(in, r->story->driven, to);
}

static void put_conditions(const day_report *r, const evn_conditions *in, FILE *to)
{
    (void)r;
    evn_ask_words(in, to);
}

static void put_before_seasons(const day_report *r, const evn_conditions *in, FILE *to)
{
    if (r->season.name)
        evn_ask_before_seasons_words(in, to);
}

static bool put_words_of(const day_report *r, const evn_conditions *in,
                         void (*words)(const day_report *, const evn_conditions *, FILE *))
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    words(r, in, memory);
    bool made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made && text[0] != '\0')
        evn_put_paragraph_within(r->to, prose(r), 0, "", text);
    free(text);
    return made;
}

/* How the season was driven that is told leg by leg; payloads stand with the legs. */
static bool put_asked(const day_report *r)
{
    evn_conditions in = {.load_case = r->season.load_case, .driving = r->story->ask.driving};
    in.load_case.payload_kg = r->story->ask.load_case.payload_kg;
    return put_words_of(r, &in, put_conditions) && put_words_of(r, &in, put_payload) &&
           put_words_of(r, &r->story->ask, put_before_seasons);
}

/* ------------------------------------------------------------------------------------------------ seasons */

static bool season_row(evn_table *table, const day_report *r, const evn_day_season *s)
{
    char share[CELL], use[CELL], per_km[CELL], lowest[CELL], kwh[CELL];
    decimals(r, share, 0, 100 * s->share);
    decimals(r, use, 1, result(s->results, "battery_kwh"));
    decimals(r, per_km, 2, result(s->results, "kwh_per_km"));
    decimals(r, lowest, 1, 100 * s->lowest_soc);
    decimals(r, kwh, 1, s->reserve_kwh);
    if (was_stopped(s)) /* so much of it says nothing of the day */
        return evn_table_row(table, (const char *const[]){s->name, share, "-", "-", "-", "-", "interrupted"});
    return evn_table_row(table, (const char *const[]){s->name, share, use, per_km, lowest, kwh,
                                                      strcmp(s->status, "finished") == 0 ? "yes" : "no"});
}

static bool put_seasons(const day_report *r)
{
    static const evn_table_column columns[] = {
        {"season", false, true}, {"share, %", true, false},         {"kWh a day", true, false},
        {"kWh/km", true, false}, {"lowest charge, %", true, false}, {"reserve, kWh", true, false},
        {"done", false, false}};
    evn_day_season s;
    if (season_count(r->story->day) < 2)
        return true;
    evn_table *table = evn_table_new(columns, sizeof columns / sizeof *columns, true);
    bool made = table;
    for (size_t k = 0; made && evn_day_season_at(r->story->day, k, &s); k++)
        made = season_row(table, r, &s);
    if (made) {
        put_heading(r, "Seasons");
        made = evn_table_print(table, r->to, indent, evn_look_width(r->look));
    }
    evn_table_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ leg by leg */

enum { PHASE_COLUMNS = 9 };
typedef struct phase_table {
    evn_table *table;
    bool shown[PHASE_COLUMNS];
} phase_table;

/* A column that is told only where some leg or stop of the day has it. */
static bool any_has(const day_report *r, const char *key)
{
    evn_day_phase p;
    bool any = false;
    for (size_t k = 0; !any && evn_day_phase_at(r->story->day, r->worst, k, &p) && p.results; k++)
        any = fabs(result(p.results, key)) > 0;
    return any;
}

static bool phase_table_make(phase_table *t, const day_report *r)
{
    static const evn_table_column columns[PHASE_COLUMNS] = {
        {"leg or stop", false, true},         {"at, h:mm", true, false},    {"for, h:mm", true, false},
        {"payload at first, t", true, false}, {"km", true, false},          {"kWh", true, false},
        {"take-off kWh", true, false},        {"charged kWh", true, false}, {"charge at end, %", true, false}};
    static const char *const only_with[PHASE_COLUMNS] = {[6] = TAKEOFF, [7] = "charged_kwh"};
    evn_table_column shown[PHASE_COLUMNS];
    size_t count = 0;
    for (size_t k = 0; k < PHASE_COLUMNS; k++) {
        t->shown[k] = !only_with[k] || any_has(r, only_with[k]);
        if (t->shown[k])
            shown[count++] = columns[k];
    }
    t->table = evn_table_new(shown, count, true);
    return t->table;
}

static bool phase_row(phase_table *t, const day_report *r, const evn_day_phase *p)
{
    char cell[PHASE_COLUMNS][CELL] = {{0}}, name[EVN_PHASE_NAME_BYTES];
    const char *shown[PHASE_COLUMNS];
    size_t count = 0;
    evn_format_clock(cell[1], CELL, p->begin_s);
    evn_format_clock(cell[2], CELL, result(p->results, "duration_s"));
    decimals(r, cell[3], 1, p->payload_kg / 1000);
    if (!p->stop)
        decimals(r, cell[4], 1, result(p->results, "distance_km"));
    decimals(r, cell[5], 1, result(p->results, "battery_kwh"));
    if (result(p->results, TAKEOFF) > 0)
        decimals(r, cell[6], 2, result(p->results, TAKEOFF));
    if (isfinite(result(p->results, "charged_kwh")))
        decimals(r, cell[7], 1, result(p->results, "charged_kwh"));
    decimals(r, cell[8], 1, 100 * result(p->results, "final_soc"));
    char *safe = evn_safe_text(evn_phase_name(name, p));
    for (size_t k = 0; k < PHASE_COLUMNS; k++)
        if (t->shown[k])
            shown[count++] = k == 0 ? safe : cell[k];
    bool made = safe && evn_table_row(t->table, shown);
    free(safe);
    return made;
}

static bool put_phases(const day_report *r)
{
    phase_table t;
    evn_day_phase p;
    bool made = phase_table_make(&t, r);
    for (size_t k = 0; made && evn_day_phase_at(r->story->day, r->worst, k, &p) && p.results; k++)
        made = phase_row(&t, r, &p);
    if (made) {
        char *safe = r->season.name ? evn_safe_text(r->season.name) : NULL;
        char heading[2 * CELL] = "Leg by leg";
        if (safe)
            snprintf(heading, sizeof heading, "Leg by leg, season %.80s", safe);
        free(safe);
        put_heading(r, heading);
        made = evn_table_print(t.table, r->to, indent, evn_look_width(r->look));
    }
    evn_table_free(t.table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ demands, year */

static bool demand_row(evn_table *table, const day_report *r, const char *season, const evn_day_demand *d)
{
    char is[CELL], wanted[CELL];
    evn_format_value(is, sizeof is, r->look, &d->what, d->value);
    evn_format_value(wanted, sizeof wanted, r->look, &d->what, d->demanded);
    char *safe = season ? evn_safe_text(season) : NULL;
    bool made = (!season || safe) &&
                evn_table_row(table, (const char *const[]){d->what.label, safe, wanted, is, evn_shown_unit(&d->what),
                                                           !d->judged ? "interrupted"
                                                           : d->met   ? "met"
                                                                      : "not met"});
    free(safe);
    return made;
}

static bool put_demands(const day_report *r)
{
    static const evn_table_column columns[] = {{"demanded", false, true}, {"season", false, true},
                                               {"at least", true, false}, {"found", true, false},
                                               {"", false, false},        {"", false, false}};
    evn_table *table = evn_table_new(columns, sizeof columns / sizeof *columns, true);
    evn_day_season s;
    evn_day_demand d;
    bool made = table, any = false;
    for (size_t k = 0; made && evn_day_season_at(r->story->day, k, &s); k++)
        for (size_t i = 0; made && !was_stopped(&s) && evn_day_demand_at(r->story->day, k, i, &d); i++) {
            made = demand_row(table, r, s.name, &d);
            any = true;
        }
    if (made && any) {
        put_heading(r, "What the duty demands");
        made = evn_table_print(table, r->to, indent, evn_look_width(r->look));
    }
    evn_table_free(table);
    return made;
}

static bool put_year(const day_report *r)
{
    const evn_results *year = evn_day_year(r->story->day);
    char days[CELL], km[CELL], use[CELL], per_km[CELL], work[CELL];
    if (!year)
        return true;
    decimals(r, days, 0, r->story->working_days_per_year);
    decimals(r, km, 0, result(year, "distance_km"));
    decimals(r, use, 0, result(year, "battery_kwh"));
    decimals(r, per_km, 2, result(year, "kwh_per_km"));
    put_heading(r, "The year");
    bool made = evn_put_sentence(r->to, prose(r), indent, "%s working days: %s km, %s kWh from the battery, %s kWh/km.",
                                 days, km, use, per_km);
    made = made && put_charged(r, year, 0, indent);
    if (made && result(year, TAKEOFF) > 0) {
        decimals(r, work, 0, result(year, TAKEOFF));
        made = evn_put_sentence(r->to, prose(r), indent, "Work of the power take-off: %s kWh.", work);
    }
    return made;
}

static const char *invented_words(const day_report *r)
{
    bool duty = r->story->duty_source && strcmp(r->story->duty_source, "invented") == 0;
    if (r->story->truck_invented && duty)
        return "The data of the truck and the duty are invented.";
    return duty ? "The duty is invented."
                : "The data of the truck are invented: they stand for no vehicle that exists.";
}

static bool put_trust(const day_report *r, const char *margin)
{
    bool duty = r->story->duty_source && strcmp(r->story->duty_source, "invented") == 0;
    evn_conditions in = {.load_case = r->season.load_case, .driving = r->story->ask.driving};
    char weather[EVN_ASK_WEATHER_BYTES];
    bool made = true;
    if (r->story->truck_invented || duty)
        made = evn_put_sentence(r->to, prose(r), margin, "%s", invented_words(r));
    return made &&
           evn_put_sentence(r->to, prose(r), margin,
                            "Balance error of the day: %.1e of the energy that went through the battery.",
                            result(r->season.results, "balance_error")) &&
           evn_put_sentence(r->to, prose(r), margin,
                            "This is an engineering estimate; braking, loads and electrical safety are for local "
                            "regulation and licensed practice to decide.") &&
           evn_put_sentence(r->to, prose(r), margin, "%s", evn_ask_weather(&in, weather));
}

static day_report report_of(const evn_day_story *story, FILE *to, const evn_look *look)
{
    day_report r = {.story = story, .to = to, .look = look, .worst = evn_day_worst_season(story->day)};
    evn_day_season_at(story->day, r.worst, &r.season);
    return r;
}

bool evn_day_answer_lines(const evn_day_story *story, const evn_findings *findings, FILE *to)
{
    day_report r = report_of(story, to, NULL);
    bool finished = strcmp(r.season.status, "finished") == 0;
    bool made = finished ? put_driven(&r) : put_failure(&r);
    return made && (finished || put_reasons(&r, findings)) && put_asked(&r);
}

bool evn_day_trust_lines(const evn_day_story *story, FILE *to)
{
    day_report r = report_of(story, to, NULL);
    return put_trust(&r, "");
}

bool evn_day_text(const evn_day_story *story, const evn_findings *findings, FILE *to, const evn_look *look)
{
    day_report r = report_of(story, to, look);
    if (!put_answer(&r, findings) || !put_asked(&r) || !put_demands(&r) || !put_seasons(&r) || !put_phases(&r) ||
        !put_year(&r))
        return false;
    put_heading(&r, "Accuracy and validity");
    return put_trust(&r, indent);
}
