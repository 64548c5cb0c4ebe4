/* A day on the page: demands, seasons and the year, then leg by leg; and the data of its strip. */
#include "show/page/html_day.h"
#include "show/day_story.h"
#include "show/json_number.h"
#include "show/page/html_parts.h"
#include "show/text.h"
#include <math.h>
#include <string.h>

static double result(const evn_results *r, const char *key)
{
    double value;
    return evn_results_get(r, key, &value) ? value : (double)NAN;
}

static void put_cell(FILE *to, int digits, double value)
{
    fputs("<td>", to);
    evn_html_decimals(to, digits, value);
    fputs("</td>", to);
}

static void put_result(FILE *to, int digits, const evn_results *r, const char *key)
{
    put_cell(to, digits, result(r, key));
}

static void put_row_name(FILE *to, const char *name)
{
    fputs("<tr><th scope=\"row\">", to);
    evn_html_text(to, name);
    fputs("</th>", to);
}

void evn_html_day_about(const evn_html_page *page, FILE *to)
{
    const evn_html_day *d = page->day;
    evn_html_text(to, d->duty);
    if (d->season) {
        fputs(", season ", to);
        evn_html_text(to, d->season);
    }
}

/* ------------------------------------------------------------------------------------------------ the answer */

static void put_demand(FILE *to, const char *season, const evn_day_demand *d)
{
    put_row_name(to, d->what.label);
    fputs("<td class=\"words\">", to);
    evn_html_text(to, season ? season : "");
    fputs("</td><td>", to);
    evn_html_value(to, &d->what, d->demanded);
    fputs("</td><td>", to);
    evn_html_value(to, &d->what, d->value);
    fprintf(to, "</td><td class=\"words\">%s</td><td class=\"words\">%s</td></tr>\n",
            d->what.kind == EVN_SHARE ? "%" : evn_html_unit(d->what.unit), d->met ? "met" : "not met");
}

static void put_demands(const evn_day *day, FILE *to)
{
    evn_day_season s;
    evn_day_demand d;
    if (!evn_day_demand_at(day, 0, 0, &d))
        return;
    evn_html_table_begin(to, "demands", "What the duty demands");
    fputs("<thead><tr><th scope=\"col\">demanded</th><th scope=\"col\" class=\"words\">season</th><th scope=\"col\">at "
          "least</th><th scope=\"col\">found</th><th scope=\"col\" class=\"words\">in</th><th scope=\"col\" "
          "class=\"words\"></th></tr></thead>\n<tbody>",
          to);
    for (size_t k = 0; evn_day_season_at(day, k, &s); k++)
        for (size_t i = 0; evn_day_demand_at(day, k, i, &d); i++)
            put_demand(to, s.name, &d);
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

static void put_season(FILE *to, const evn_day_season *s)
{
    put_row_name(to, s->name);
    put_cell(to, 0, 100 * s->share);
    put_result(to, 1, s->results, "battery_kwh");
    put_result(to, 2, s->results, "kwh_per_km");
    put_cell(to, 1, 100 * s->lowest_soc);
    put_cell(to, 1, s->reserve_kwh);
    fprintf(to, "<td class=\"words\">%s</td></tr>\n", strcmp(s->status, "finished") == 0 ? "yes" : "no");
}

static void put_seasons(const evn_day *day, FILE *to)
{
    evn_day_season s;
    if (!evn_day_season_at(day, 1, &s))
        return;
    evn_html_table_begin(to, "seasons", "Seasons");
    fputs("<thead><tr><th scope=\"col\">season</th><th scope=\"col\">share, %</th><th scope=\"col\">kWh a day</th><th "
          "scope=\"col\">kWh/km</th><th scope=\"col\">lowest charge, %</th><th scope=\"col\">reserve, kWh</th><th "
          "scope=\"col\" class=\"words\">done</th></tr></thead>\n<tbody>",
          to);
    for (size_t k = 0; evn_day_season_at(day, k, &s); k++)
        put_season(to, &s);
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

/* Whether the charger's efficiency is stated of all stops that charge. */
static bool grid_is_of_all(const evn_day *day)
{
    evn_day_phase p;
    size_t season = evn_day_worst_season(day);
    for (size_t k = 0; evn_day_phase_at(day, season, k, &p) && p.results; k++)
        if (result(p.results, "charged_kwh") > 0 && !isfinite(result(p.results, "charged_from_grid_kwh")))
            return false;
    return true;
}

/* As the report tells it. */
static void put_charged(const evn_html_day *d, const evn_results *year, FILE *to)
{
    if (!(result(year, "charged_kwh") > 0))
        return;
    fputs("; charged at stops: ", to);
    evn_html_decimals(to, 0, result(year, "charged_kwh"));
    fputs("&#160;kWh", to);
    if (!isfinite(result(year, "charged_from_grid_kwh")))
        return;
    fputs(", which take ", to);
    evn_html_decimals(to, 0, result(year, "charged_from_grid_kwh"));
    fprintf(to, "&#160;kWh from the grid with the losses of the charger%s",
            grid_is_of_all(d->story->day) ? "" : ", counting only stops that state its efficiency");
}

static void put_year(const evn_html_day *d, FILE *to)
{
    const evn_results *year = evn_day_year(d->story->day);
    if (!year)
        return;
    fputs("<p>The year, ", to);
    evn_html_decimals(to, 0, d->story->working_days_per_year);
    fputs(" working days: ", to);
    evn_html_decimals(to, 0, result(year, "distance_km"));
    fputs("&#160;km, ", to);
    evn_html_decimals(to, 0, result(year, "battery_kwh"));
    fputs("&#160;kWh from the battery, ", to);
    evn_html_decimals(to, 2, result(year, "kwh_per_km"));
    fputs("&#160;kWh/km", to);
    put_charged(d, year, to);
    if (result(year, "energy_balance.power_take_off_kwh") > 0) {
        fputs("; work of the power take-off: ", to);
        evn_html_decimals(to, 0, result(year, "energy_balance.power_take_off_kwh"));
        fputs("&#160;kWh", to);
    }
    fputs(".</p>\n", to);
}

void evn_html_day_answer(const evn_html_page *page, FILE *to)
{
    const evn_html_day *d = page->day;
    if (!d->story)
        return;
    put_demands(d->story->day, to);
    put_seasons(d->story->day, to);
    put_year(d, to);
}

/* ------------------------------------------------------------------------------------------------ seasons compared */

static void put_season_of_truck(const evn_html_page *page, FILE *to, size_t truck, size_t season)
{
    const evn_comparison *c = page->comparison->comparison;
    evn_day_season s;
    size_t worst;
    bool one_is_worst = evn_comparison_worst_season(c, truck, &worst);
    fputs("<tr><th scope=\"row\">", to);
    evn_html_truck_name(page, to, truck);
    fputs("</th>", to);
    if (!evn_comparison_season_at(c, truck, season, &s)) {
        fputs("<td></td><td></td><td class=\"words\">not driven</td><td></td></tr>\n", to);
        return;
    }
    put_result(to, 2, s.results, "kwh_per_km");
    put_cell(to, 1, 100 * s.reserve_soc);
    fprintf(to, "<td class=\"words\">%s</td><td class=\"words\">%s</td></tr>\n",
            strcmp(s.status, "finished") == 0 ? "yes" : "no", one_is_worst && worst == season ? "worst" : "");
}

/* Of any truck that could be prepared: names and shares are those of all. */
static bool find_season(const evn_html_page *page, size_t season, evn_day_season *out)
{
    for (size_t i = 0; i < page->truck_count; i++)
        if (evn_comparison_season_at(page->comparison->comparison, i, season, out))
            return true;
    return false;
}

void evn_html_day_seasons(const evn_html_page *page, FILE *to)
{
    evn_day_season any;
    if (!find_season(page, 0, &any))
        return;
    double demanded = evn_comparison_demanded_reserve_soc(page->comparison->comparison);
    evn_html_table_begin(to, "seasons", "The day in each season, at own speeds");
    fputs("<thead><tr><th scope=\"col\">season, truck</th><th scope=\"col\">kWh/km</th><th scope=\"col\">reserve, %",
          to);
    if (isfinite(demanded)) {
        fputs("<small>demanded ", to);
        evn_html_decimals(to, 1, 100 * demanded);
        fputs("</small>", to);
    }
    fputs("</th><th scope=\"col\" class=\"words\">done</th><th scope=\"col\" class=\"words\">of its "
          "seasons</th></tr></thead>\n",
          to);
    for (size_t k = 0; find_season(page, k, &any); k++) {
        fputs("<tbody><tr><th scope=\"rowgroup\" colspan=\"5\">", to);
        evn_html_text(to, any.name);
        fputs(", ", to);
        evn_html_decimals(to, 0, 100 * any.share);
        fputs("&#160;% of the days</th></tr>\n", to);
        for (size_t i = 0; i < page->truck_count; i++)
            put_season_of_truck(page, to, i, k);
        fputs("</tbody>", to);
    }
    evn_html_table_end(to);
}

/* ------------------------------------------------------------------------------------------------ leg by leg */

/* What a day tells of a limit is taken from one of its legs as it stands, so that the leg is found again by it. */
const evn_day_phase *evn_html_day_leg_of(const evn_html_day *d, size_t truck, const evn_limitation *is)
{
    evn_limitation of;
    for (size_t k = 0; truck < d->strips && k < d->strip[truck].phases; k++)
        for (size_t i = 0; evn_results_limitation_at(d->strip[truck].phase[k].results, i, &of); i++)
            if (strcmp(of.limit, is->limit) == 0 && fabs(of.at_m - is->at_m) <= 0 &&
                fabs(of.below_target_km_h - is->below_target_km_h) <= 0)
                return &d->strip[truck].phase[k];
    return NULL;
}

#define TAKEOFF "energy_balance.power_take_off_kwh"

static void put_clock(FILE *to, double time_s)
{
    char text[32];
    evn_format_clock(text, sizeof text, time_s);
    fputs("<td>", to);
    evn_html_figure(to, text);
    fputs("</td>", to);
}

/* A column that is told only where some leg or stop has it, as in the terminal. */
static bool any_has(const evn_day_strip *s, const char *key)
{
    bool any = false;
    for (size_t k = 0; !any && k < s->phases; k++)
        any = fabs(result(s->phase[k].results, key)) > 0;
    return any;
}

static void put_optional(FILE *to, const evn_day_strip *s, const evn_day_phase *p, int digits, const char *key)
{
    double value = result(p->results, key);
    if (any_has(s, key))
        put_cell(to, digits, fabs(value) > 0 ? value : (double)NAN);
}

static void put_leg(FILE *to, const evn_day_strip *s, const evn_day_phase *p)
{
    char name[EVN_PHASE_NAME_BYTES];
    put_row_name(to, evn_phase_name(name, p));
    put_clock(to, p->begin_s);
    put_clock(to, result(p->results, "duration_s"));
    put_cell(to, 1, p->payload_kg / 1000);
    put_cell(to, 1, p->stop ? (double)NAN : result(p->results, "distance_km"));
    put_result(to, 1, p->results, "battery_kwh");
    put_optional(to, s, p, 2, TAKEOFF);
    put_optional(to, s, p, 1, "charged_kwh");
    put_cell(to, 1, 100 * result(p->results, "final_soc"));
    fputs("</tr>\n", to);
}

static void put_legs_head(FILE *to, const evn_day_strip *s)
{
    fputs("<thead><tr><th scope=\"col\">leg or stop</th><th scope=\"col\">begins at, h:mm</th><th scope=\"col\">lasts, "
          "h:mm</th><th scope=\"col\">payload at first, t</th><th scope=\"col\">km</th><th scope=\"col\">kWh</th>",
          to);
    fputs(any_has(s, TAKEOFF) ? "<th scope=\"col\">take-off, kWh</th>" : "", to);
    fputs(any_has(s, "charged_kwh") ? "<th scope=\"col\">charged, kWh</th>" : "", to);
    fputs("<th scope=\"col\">charge at end, %</th></tr></thead>\n<tbody>", to);
}

static void put_legs(const evn_html_page *page, size_t truck, FILE *to)
{
    const evn_day_strip *s = &page->day->strip[truck];
    if (s->phases == 0)
        return;
    bool many = page->truck_count > 1;
    if (many) {
        fputs("<details class=\"paper\"><summary>Leg by leg: ", to);
        evn_html_text(to, page->truck[truck].title);
        fputs("</summary>\n", to);
    }
    evn_html_table_begin(to, "legs", many ? "Leg by leg at its own speeds" : "Leg by leg");
    put_legs_head(to, s);
    for (size_t k = 0; k < s->phases; k++)
        put_leg(to, s, &s->phase[k]);
    fputs("</tbody>", to);
    evn_html_table_end(to);
    fputs(many ? "</details>\n" : "", to);
}

void evn_html_day_legs(const evn_html_page *page, FILE *to)
{
    for (size_t i = 0; i < page->day->strips; i++)
        put_legs(page, i, to);
}

/* ------------------------------------------------------------------------------------------------ the strip */

static bool put_phase(json_t *at, const evn_day_phase *p)
{
    char name[EVN_PHASE_NAME_BYTES];
    return evn_json_put(at, "name", evn_json_text(p->name)) &&
           evn_json_put(at, "full_name", evn_json_text(evn_phase_name(name, p))) &&
           evn_json_put(at, "kind",
                        json_string(evn_day_phase_charges(p) ? "charging"
                                    : p->stop                ? "stop"
                                                             : "leg")) &&
           evn_json_put(at, "begin_s", evn_json_real(p->begin_s)) &&
           evn_json_put(at, "end_s", evn_json_real(evn_day_phase_end_s(p))) &&
           evn_json_put(at, "begin_soc", evn_json_real(p->begin_soc)) &&
           evn_json_put(at, "end_soc", evn_json_real(result(p->results, "final_soc"))) &&
           evn_json_put(at, "payload_kg", evn_json_real(p->payload_kg)) &&
           evn_json_put(at, "distance_km", evn_json_real(result(p->results, "distance_km"))) &&
           evn_json_put(at, "battery_kwh", evn_json_real(result(p->results, "battery_kwh"))) &&
           evn_json_put(at, "charged_kwh", evn_json_real(result(p->results, "charged_kwh")));
}

static bool put_phases(json_t *at, const evn_day_strip *s)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t k = 0; made && k < s->phases; k++) {
        json_t *one = json_object();
        made = one && put_phase(one, &s->phase[k]) && json_array_append(list, one) == 0;
        json_decref(one);
    }
    made = made && json_object_set(at, "phases", list) == 0;
    json_decref(list);
    return made;
}

/* How far a point of charge may lie from the line between those that are kept, as in a trace (html_trace.c). */
static const double SOC_SLACK = 3e-4;

typedef struct charge_line {
    json_t *clock, *soc;
    evn_day_point kept;
    double least, most; /* slopes of lines from the one kept that no point since then is too far from */
    bool made;
} charge_line;

static void keep_point(charge_line *line, const evn_day_point *p)
{
    line->made = line->made && json_array_append_new(line->clock, json_real(round(10 * p->clock_s) / 10)) == 0 &&
                 json_array_append_new(line->soc, json_real(round(1e4 * p->soc) / 1e4)) == 0;
    line->kept = *p;
    line->least = -(double)INFINITY;
    line->most = (double)INFINITY;
}

static bool passes(const charge_line *line, const evn_day_point *p)
{
    double slope = (p->soc - line->kept.soc) / (p->clock_s - line->kept.clock_s);
    return slope >= line->least && slope <= line->most;
}

/* The charge over the clock, less the points that its line does not need. */
static bool put_points(json_t *at, const evn_day_strip *s)
{
    charge_line line = {json_array(), json_array(), .made = true};
    line.made = line.clock && line.soc;
    for (size_t k = 0; line.made && k < s->points; k++) {
        const evn_day_point *p = &s->point[k];
        if (k == 0 || p->clock_s <= line.kept.clock_s) {
            keep_point(&line, p);
            continue;
        }
        if (!passes(&line, p))
            keep_point(&line, p - 1);
        double span_s = p->clock_s - line.kept.clock_s;
        if (span_s <= 0 || k + 1 == s->points) {
            keep_point(&line, p);
            continue;
        }
        line.least = fmax(line.least, (p->soc - SOC_SLACK - line.kept.soc) / span_s);
        line.most = fmin(line.most, (p->soc + SOC_SLACK - line.kept.soc) / span_s);
    }
    line.made =
        line.made && json_object_set(at, "clock_s", line.clock) == 0 && json_object_set(at, "soc", line.soc) == 0;
    json_decref(line.clock);
    json_decref(line.soc);
    return line.made;
}

static json_t *strip_json(const evn_day_strip *s)
{
    json_t *at = json_object();
    bool made = at && evn_json_put(at, "end_s", evn_json_real(s->end_s)) &&
                evn_json_put(at, "usable_soc", evn_json_real(s->usable_soc)) &&
                evn_json_put(at, "demanded_soc", evn_json_real(s->demanded_soc)) && put_phases(at, s) &&
                put_points(at, s);
    if (made)
        return at;
    json_decref(at);
    return NULL;
}

json_t *evn_html_day_json(const evn_html_page *page)
{
    const evn_html_day *d = page->day;
    json_t *at = d ? json_object() : json_null(), *list = json_array();
    bool made = at && list;
    for (size_t i = 0; made && d && i < d->strips; i++)
        made = json_array_append_new(list, strip_json(&d->strip[i])) == 0;
    if (made && d)
        made = evn_json_put(at, "duty", evn_json_text(d->duty)) &&
               evn_json_put(at, "season", evn_json_text(d->season)) && json_object_set(at, "strips", list) == 0;
    json_decref(list);
    if (made)
        return at;
    json_decref(at);
    return NULL;
}
