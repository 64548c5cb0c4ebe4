/* The report on distances: whether the truck does the day and with what left, which battery the day takes, the table.
 */
#define _POSIX_C_SOURCE 200809L
#include "show/ask.h"
#include "show/day_story.h"
#include "show/range_story.h"
#include "show/report/table.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 64, WORDS = 400 };
static const char indent[] = "  ";

typedef struct range_report {
    const evn_range_story *story;
    FILE *to;
    const evn_look *look;
    evn_range_goal goal;
    evn_range_pack pack;
    evn_range_cell worst;
    size_t seasons, ages; /* of which there are more than one, or 1 */
} range_report;

static void put_heading(const range_report *r, const char *text)
{
    fputc('\n', r->to);
    evn_put_styled(r->to, r->look, EVN_STYLE_STRONG, text);
    fputs("\n\n", r->to);
}

static void decimals(const range_report *r, char out[CELL], int digits, double value)
{
    evn_format_decimals(out, CELL, evn_look_digits(r->look, digits), value);
}

/* ------------------------------------------------------------------------------------------------ the case */

/* "Tornmere day (220.9 km)", "250.0 km of Tornmere day". */
static void goal_words(const range_report *r, char out[WORDS])
{
    char km[CELL];
    bool is_day = fabs(r->goal.distance_km - r->goal.day_km) < 1e-9;
    decimals(r, km, 1, r->goal.distance_km);
    if (is_day)
        snprintf(out, WORDS, "%.200s (%s km)", r->story->duty, km);
    else
        snprintf(out, WORDS, "%s km of %.200s", km, r->story->duty);
}

static void battery_words(char out[CELL], double years)
{
    if (years == 0)
        snprintf(out, CELL, "a new battery");
    else
        snprintf(out, CELL, "a battery of %g year%s", years, years == 1 ? "" : "s");
}

/* " in season winter, with a battery of 5 years and 23.5 t of payload" */
static void case_words(const range_report *r, const evn_range_cell *c, char out[WORDS])
{
    char battery[CELL], payload[CELL];
    battery_words(battery, c->age_years);
    decimals(r, payload, 1, c->payload_kg / 1000);
    snprintf(out, WORDS, "%s%.100s%swith %s and %s t of payload", c->season ? " in season " : "",
             c->season ? c->season : "", c->season ? ", " : " ", battery, payload);
}

static void reserve_words(const range_report *r, char out[CELL])
{
    char value[CELL / 2];
    bool soc = !isnan(r->goal.reserve_soc), kwh = !isnan(r->goal.reserve_kwh);
    snprintf(out, CELL, soc || kwh ? "the reserve" : "the end of the usable window");
    if (soc && !kwh) {
        evn_format_decimals(value, sizeof value, 1, 100 * r->goal.reserve_soc);
        snprintf(out, CELL, "the reserve of %s %%", value);
    } else if (kwh && !soc) {
        evn_format_decimals(value, sizeof value, 1, r->goal.reserve_kwh);
        snprintf(out, CELL, "the reserve of %s kWh", value);
    }
}

/* ------------------------------------------------------------------------------------------------ the answer */

/* "the charge is down to the reserve of 10.0 % above the usable window, 16.0 %," */
static void end_words(const range_report *r, const evn_range_cell *c, char out[WORDS])
{
    char reserve[CELL], floor[CELL];
    reserve_words(r, reserve);
    decimals(r, floor, 1, 100 * c->floor_soc);
    bool demanded = !isnan(r->goal.reserve_soc) || !isnan(r->goal.reserve_kwh);
    if (strcmp(c->status, "battery_empty") == 0)
        snprintf(out, WORDS, "the charge is down to %s%s at %s %%", reserve,
                 demanded ? " above the usable window," : "", floor);
    else
        snprintf(out, WORDS, "%s", evn_day_end_words(c->status));
}

static bool put_failure(const range_report *r)
{
    const evn_range_cell *c = &r->worst;
    char goal[WORDS], of[WORDS], end[WORDS], name[EVN_PHASE_NAME_BYTES], km[CELL], into[CELL], missing[CELL];
    goal_words(r, goal);
    case_words(r, c, of);
    end_words(r, c, end);
    decimals(r, km, 1, c->distance_km);
    decimals(r, into, 1, c->into_km);
    decimals(r, missing, 1, -c->more_km);
    if (!c->ends_in.name)
        return evn_put_sentence(r->to, evn_look_prose(r->look), "",
                                "%s does not do %s%s: %s before it begins, at a charge of %.1f %%.", r->story->truck,
                                goal, of, end, 100 * c->begin_soc);
    return evn_put_sentence(r->to, evn_look_prose(r->look), "",
                            "%s does not do %s%s: %s after %s km, in %s '%s', %s km into it; %s km are missing.",
                            r->story->truck, goal, of, end, km, c->ends_in.stop ? "stop" : "leg",
                            evn_phase_name(name, &c->ends_in), into, missing);
}

static bool put_what_is_left(const range_report *r)
{
    const evn_range_cell *c = &r->worst;
    char left[CELL], kwh[CELL], more[CELL], end[WORDS];
    decimals(r, left, 1, 100 * c->reserve_soc);
    decimals(r, kwh, 1, c->reserve_kwh);
    decimals(r, more, 1, c->more_km);
    end_words(r, c, end);
    if (!isnan(c->reserve_soc) &&
        !evn_put_sentence(r->to, evn_look_prose(r->look), "",
                          "The day leaves %s %% of charge, %s kWh, above the end of the usable window.", left, kwh))
        return false;
    if (c->sustained)
        return evn_put_sentence(r->to, evn_look_prose(r->look), "",
                                "It goes on day after day: charging gives back what the day takes.");
    if (c->unlimited)
        return evn_put_sentence(r->to, evn_look_prose(r->look), "", "It goes more than %s km further.", more);
    return evn_put_sentence(r->to, evn_look_prose(r->look), "", "It goes %s km further before %s.", more, end);
}

static bool put_success(const range_report *r)
{
    char goal[WORDS], of[WORDS];
    goal_words(r, goal);
    case_words(r, &r->worst, of);
    return evn_put_sentence(r->to, evn_look_prose(r->look), "", "%s does %s%s%s.", r->story->truck, goal, of,
                            r->seasons > 1 || r->ages > 1 ? ", the worst case" : "") &&
           put_what_is_left(r);
}

/* ------------------------------------------------------------------------------------------------ the battery */

/* Where the truck passes it already it may go on carrying what it does. */
static const char *bound_words(const range_report *r, char out[WORDS])
{
    const char *bound_by = r->pack.bound_by ? r->pack.bound_by : "permitted_gross";
    bool gross = strcmp(bound_by, "permitted_gross") == 0;
    char over[CELL];
    decimals(r, over, 0, r->pack.bound_over_kg);
    if (r->pack.bound_over_kg >= 0.5)
        snprintf(out, WORDS, "what %s%.100s %s now, %s kg over its permitted %s", gross ? "the truck" : "axle ",
                 gross ? "" : bound_by, gross ? "weighs" : "carries", over, gross ? "gross mass" : "load");
    else if (strcmp(bound_by, "permitted_gross") == 0)
        snprintf(out, WORDS, "the permitted gross mass");
    else
        snprintf(out, WORDS, "the permitted load of axle %.100s", bound_by);
    return out;
}

static void payload_words(const range_report *r, char out[WORDS])
{
    char lost[CELL], left[CELL], bound[WORDS];
    decimals(r, lost, 0, r->pack.lost_kg);
    decimals(r, left, 0, r->pack.payload_kg);
    if (!r->pack.bound_by) {
        snprintf(out, WORDS, "it takes nothing from the payload");
        return;
    }
    snprintf(out, WORDS, "it takes %s kg from the payload, %s kg are left, by %.200s", lost, left,
             bound_words(r, bound));
}

/* "The day takes 5 h 10 min with it, 12 min more than with its own": a smaller battery gives less power too. */
static bool put_time(const range_report *r)
{
    const evn_range_pack *p = &r->pack;
    char with[CELL], more[CELL], than[WORDS] = "";
    double delay_s = p->day_duration_s - p->own_day_duration_s;
    if (!isfinite(p->day_duration_s))
        return true;
    evn_format_duration(with, sizeof with, p->day_duration_s);
    evn_format_duration(more, sizeof more, fabs(delay_s));
    if (isfinite(delay_s))
        snprintf(than, sizeof than, ", %s %s than with its own", more, delay_s < 0 ? "less" : "more");
    return evn_put_sentence(r->to, evn_look_prose(r->look), "", "The day takes %s with it%s.", with, than);
}

static bool put_larger(const range_report *r)
{
    const evn_range_pack *p = &r->pack;
    evn_range_cell c;
    char kwh[CELL], own[CELL], more[CELL], kg[CELL], payload[WORDS], of[WORDS] = "", battery[CELL];
    decimals(r, kwh, 0, r->look->all_digits ? p->kwh : ceil(p->kwh));
    decimals(r, own, 0, p->own_kwh);
    decimals(r, kg, 0, p->kg);
    decimals(r, more, 0, p->kg - p->own_kg);
    payload_words(r, payload);
    bool there = evn_range_cell_at(r->story->range, p->asked_by, &c);
    battery_words(battery, there ? c.age_years : 0);
    if (there && (r->seasons > 1 || r->ages > 1))
        snprintf(of, sizeof of, " The case that asks for so much: %s%.100s%s%s.", c.season ? "season " : "",
                 c.season ? c.season : "", c.season ? ", " : "", battery);
    return evn_put_sentence(
        r->to, evn_look_prose(r->look), "",
        "A battery of %s kWh in place of its %s kWh does it: it weighs %s kg, %s kg more, and %s.%s", kwh, own, kg,
        more, payload, of);
}

static bool put_smaller(const range_report *r)
{
    const evn_range_pack *p = &r->pack;
    char kwh[CELL], own[CELL], less[CELL];
    decimals(r, kwh, 0, r->look->all_digits ? p->kwh : ceil(p->kwh));
    decimals(r, own, 0, p->own_kwh);
    decimals(r, less, 0, p->own_kg - p->kg);
    return evn_put_sentence(r->to, evn_look_prose(r->look), "",
                            "A battery of %s kWh in place of its %s kWh would do; it weighs %s kg less.", kwh, own,
                            less);
}

static bool put_none(const range_report *r)
{
    const evn_range_pack *p = &r->pack;
    char most[CELL], km[CELL], why[WORDS], bound[WORDS];
    decimals(r, most, 0, p->most_kwh);
    decimals(r, km, 1, p->most_distance_km);
    if (strcmp(p->why_not, "charge") == 0)
        snprintf(why, sizeof why, "it begins with no more charge than the reserve");
    else if (strcmp(p->why_not, "mass") == 0)
        snprintf(why, sizeof why, "beyond %s kWh its mass leaves no payload by %.200s, and with that it gets %s km",
                 most, bound_words(r, bound), km);
    else if (strcmp(p->why_not, "distance") == 0)
        snprintf(why, sizeof why, "even one of %s kWh gets no further than %s km", most, km);
    else
        snprintf(why, sizeof why, "with one of %s kWh %s after %s km", most, evn_day_end_words(p->status), km);
    return evn_put_sentence(r->to, evn_look_prose(r->look), "", "No size of battery does it: %s.", why);
}

/* "gross mass 43100 of 44000 kg permitted", "axle front 7400 of 7500". */
static void load_words(const range_report *r, const evn_range_load *l, FILE *to)
{
    char kg[CELL], permitted[CELL], over[CELL];
    decimals(r, kg, 0, l->kg);
    decimals(r, permitted, 0, l->permitted_kg);
    decimals(r, over, 0, l->kg - l->permitted_kg);
    fputs(!l->axle ? "gross mass " : strcmp(l->axle, "trailer") == 0 ? "axles of the " : "axle ", to);
    if (l->axle)
        evn_put_safe(to, l->axle);
    fprintf(to, "%s%s kg, ", l->axle ? " " : "", kg);
    if (l->missing)
        fputs("permitted not known (", to);
    else if (l->kg - l->permitted_kg >= 0.5)
        fprintf(to, "%s over the %s permitted", over, permitted);
    else
        fprintf(to, "of %s permitted", permitted);
    if (l->missing && l->axle && strcmp(l->axle, "trailer") != 0) {
        fputs("axles.", to);
        evn_put_safe(to, l->axle);
        fputc('.', to);
    }
    if (l->missing)
        fprintf(to, "%s)", l->missing);
}

static bool is_over(const range_report *r)
{
    evn_range_load l;
    for (size_t k = 0; evn_range_load_at(r->story->range, k, &l); k++)
        if (l.kg - l.permitted_kg >= 0.5)
            return true;
    return false;
}

/* What the truck weighs with a larger battery, and where that is more than its file permits. */
static bool put_loads(const range_report *r)
{
    char *text = NULL;
    size_t size = 0;
    evn_range_load l;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    fputs(is_over(r) ? "Too heavy with it: " : "With it: ", memory);
    for (size_t k = 0; evn_range_load_at(r->story->range, k, &l); k++) {
        fputs(k > 0 ? "; " : "", memory);
        load_words(r, &l, memory);
    }
    fputs(". Room for it is not looked for here: 'evener site TRUCK' tells the largest battery that the frame takes.",
          memory);
    bool made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made)
        evn_put_paragraph_within(r->to, evn_look_prose(r->look), 0, "", text);
    free(text);
    return made;
}

static bool put_pack(const range_report *r)
{
    if (!r->pack.sought)
        return true;
    if (!r->pack.found)
        return put_none(r);
    return (r->pack.size > 1 ? put_larger(r) && put_loads(r) : put_smaller(r)) && put_time(r);
}

/* ------------------------------------------------------------------------------------------------ the table */

static bool cell_row(evn_table *table, const range_report *r, const evn_range_cell *c)
{
    char payload[CELL], years[CELL], km[CELL], figure[CELL], more[CELL], left[CELL], end[EVN_PHASE_NAME_BYTES + CELL],
        name[EVN_PHASE_NAME_BYTES];
    decimals(r, payload, 1, c->payload_kg / 1000);
    snprintf(years, sizeof years, "%g", c->age_years);
    decimals(r, figure, 1, c->distance_km);
    snprintf(km, sizeof km, "%s%.60s", c->unlimited ? ">" : "", figure);
    decimals(r, more, 1, c->more_km);
    if (c->sustained) /* it goes on for ever */
        snprintf(more, sizeof more, "any");
    decimals(r, left, 1, 100 * c->reserve_soc);
    snprintf(end, sizeof end, "%s", c->unlimited ? "" : "the start");
    if (c->ends_in.name && !c->unlimited)
        snprintf(end, sizeof end, "%.190s%s", evn_phase_name(name, &c->ends_in), c->day > 1 ? ", again" : "");
    char *season = c->season ? evn_safe_text(c->season) : NULL, *ends = evn_safe_text(end);
    bool made = ends && (season || !c->season) &&
                evn_table_row(table, (const char *const[]){payload, years, season, c->does_it ? "yes" : "no", km, more,
                                                           left, ends});
    free(season);
    free(ends);
    return made;
}

static bool put_table(const range_report *r)
{
    static const evn_table_column columns[] = {{"payload, t", true, false},
                                               {"battery, years", true, false},
                                               {"season", false, true},
                                               {"does it", false, false},
                                               {"km to the reserve", true, false},
                                               {"km more", true, false},
                                               {"reserve of the day, %", true, false},
                                               {"ends in", false, true}};
    evn_table *table = evn_table_new(columns, sizeof columns / sizeof *columns, true);
    evn_range_cell c;
    bool made = table;
    for (size_t k = 0; made && evn_range_cell_at(r->story->range, k, &c); k++)
        made = cell_row(table, r, &c);
    if (made) {
        put_heading(r, "Distance to the reserve");
        made = evn_table_print(table, r->to, indent, evn_look_width(r->look));
    }
    evn_table_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool put_words_of(const range_report *r, void (*words)(const evn_range_story *, FILE *))
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    words(r->story, memory);
    bool made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made && text[0] != '\0')
        evn_put_paragraph_within(r->to, evn_look_prose(r->look), 0, "", text);
    free(text);
    return made;
}

static void put_conditions(const evn_range_story *s, FILE *to) { evn_ask_words(&s->ask, to); }
static void put_before_seasons(const evn_range_story *s, FILE *to) { evn_ask_before_seasons_words(&s->ask, to); }
static void put_payload(const evn_range_story *s, FILE *to) { evn_ask_payload_words(&s->ask, s->day, to); }

static bool put_asked(const range_report *r)
{
    return put_words_of(r, put_conditions) && put_words_of(r, put_payload) &&
           (!r->worst.season || put_words_of(r, put_before_seasons));
}

static void put_trust(const range_report *r)
{
    bool duty = r->story->duty_source && strcmp(r->story->duty_source, "invented") == 0;
    const char *what = r->story->is_cycle ? "cycle" : "duty";
    size_t prose = evn_look_prose(r->look);
    char sentence[WORDS], weather[EVN_ASK_WEATHER_BYTES];
    const evn_conditions in = {.load_case = r->worst.load_case, .driving = r->story->ask.driving};
    put_heading(r, "Accuracy and validity");
    if (r->story->truck_invented || duty) {
        snprintf(sentence, sizeof sentence, "The data of %s%s%s%s are invented.",
                 r->story->truck_invented ? "the truck" : "", r->story->truck_invented && duty ? " and " : "",
                 duty ? "the " : "", duty ? what : "");
        evn_put_paragraph_within(r->to, prose, 0, indent, sentence);
    }
    if (r->ages == 1 && !r->story->ages_given && r->worst.age_years == 0)
        evn_put_paragraph_within(r->to, prose, 0, indent,
                                 "The battery's file states no ageing: it is told as new. An old one holds less.");
    if (r->pack.found || r->pack.why_not) {
        snprintf(sentence, sizeof sentence,
                 "A battery of another size has cells of the same kind in parallel, at %.2f kg per kWh.",
                 r->pack.kg_per_kwh);
        evn_put_paragraph_within(r->to, prose, 0, indent, sentence);
    }
    evn_put_paragraph_within(r->to, prose, 0, indent,
                             "This is an engineering estimate; permitted masses, braking and electrical safety are for "
                             "local regulation and licensed practice to decide.");
    evn_put_paragraph_within(r->to, prose, 0, indent, evn_ask_weather(&in, weather));
}

static void count_cases(range_report *r)
{
    evn_range_cell first, c;
    r->seasons = r->ages = 1;
    if (!evn_range_cell_at(r->story->range, 0, &first))
        return;
    for (size_t k = 1; evn_range_cell_at(r->story->range, k, &c); k++) {
        r->ages += c.age_years != first.age_years;
        r->seasons += c.season && first.season && strcmp(c.season, first.season) != 0;
    }
}

bool evn_range_text(const evn_range_story *story, FILE *to, const evn_look *look)
{
    range_report r = {.story = story, .to = to, .look = look};
    evn_range_goal_of(story->range, &r.goal);
    evn_range_pack_of(story->range, &r.pack);
    evn_range_cell_at(story->range, evn_range_worst(story->range), &r.worst);
    count_cases(&r);
    evn_style style = r.worst.does_it ? EVN_STYLE_STRONG : EVN_STYLE_WARNING;
    evn_style_begin(to, look, style);
    bool made = r.worst.does_it ? put_success(&r) : put_failure(&r);
    evn_style_end(to, look, style);
    if (!made || !put_pack(&r) || !put_asked(&r) || !put_table(&r))
        return false;
    put_trust(&r);
    return true;
}
