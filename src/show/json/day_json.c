/* A working day as a JSON document. */
#include "show/ask.h"
#include "show/day_story.h"
#include "show/document.h"
#include "show/json_number.h"
#include "show/names.h"
#include <string.h>

/* Appends what was made, or gives it up. */
static bool append(json_t *list, json_t *item, bool made)
{
    if (made && item)
        return json_array_append_new(list, item) == 0;
    json_decref(item);
    return false;
}

static bool put_figures(json_t *at, const evn_results *r)
{
    evn_figures figures = evn_figures_of_results(r);
    return evn_document_figures(at, &figures);
}

static bool put_limits(json_t *at, const evn_results *r)
{
    json_t *list = json_array();
    evn_limitation is;
    bool made = list;
    for (size_t i = 0; made && evn_results_limitation_at(r, i, &is); i++)
        made = json_array_append_new(list, evn_limitation_json(&is)) == 0;
    if (made)
        return evn_json_put(at, "limited_by", list);
    json_decref(list);
    return false;
}

static bool put_results(json_t *at, const evn_results *r)
{
    return !r || (put_limits(at, r) && evn_document_brakes(at, r) && put_figures(at, r));
}

/* ------------------------------------------------------------------------------------------------ phases */

static json_t *whole(unsigned number) { return number > 0 ? json_integer(number) : json_null(); }

static bool put_phase(json_t *at, const evn_day_phase *p)
{
    return evn_json_put(at, "name", evn_json_text(p->name)) &&
           evn_json_put(at, "kind", json_string(p->stop ? "stop" : "leg")) &&
           evn_json_put(at, "round", whole(p->round)) && evn_json_put(at, "rounds", whole(p->rounds)) &&
           evn_json_put(at, "part", whole(p->part)) && evn_json_put(at, "parts", whole(p->parts)) &&
           evn_json_put(at, "cycle", evn_json_text(p->cycle)) &&
           evn_json_put(at, "direction", p->stop ? json_null() : json_string(p->back ? "back" : "out")) &&
           evn_json_put(at, "begin_s", evn_json_real(p->begin_s)) &&
           evn_json_put(at, "begin_km", evn_json_real(p->begin_km)) &&
           evn_json_put(at, "begin_soc", evn_json_real(p->begin_soc)) &&
           evn_json_put(at, "status", evn_json_text(p->status)) && put_results(at, p->results);
}

static bool put_phases(json_t *at, const evn_day *day, size_t season)
{
    json_t *list = json_array();
    evn_day_phase p;
    bool made = list;
    for (size_t k = 0; made && evn_day_phase_at(day, season, k, &p); k++) {
        json_t *one = json_object();
        made = append(list, one, one && put_phase(one, &p));
    }
    if (made)
        return evn_json_put(at, "phases", list);
    json_decref(list);
    return false;
}

/* ------------------------------------------------------------------------------------------------ seasons */

static bool put_demand(json_t *at, const evn_day_demand *d)
{
    return evn_json_put(at, "key", json_string(d->what.key)) && evn_json_put(at, "label", json_string(d->what.label)) &&
           evn_json_put(at, "value", evn_json_real(d->value)) &&
           evn_json_put(at, "demanded", evn_json_real(d->demanded)) &&
           evn_json_put(at, "met", d->judged ? json_boolean(d->met) : json_null());
}

static bool put_demands(json_t *at, const evn_day *day, size_t season)
{
    json_t *list = json_array();
    evn_day_demand d;
    bool made = list;
    for (size_t k = 0; made && evn_day_demand_at(day, season, k, &d); k++) {
        json_t *one = json_object();
        made = append(list, one, one && put_demand(one, &d));
    }
    if (made)
        return evn_json_put(at, "demands", list);
    json_decref(list);
    return false;
}

static bool put_season(json_t *at, const evn_day_story *story, size_t index, const evn_day_season *s)
{
    evn_conditions in = {.load_case = s->load_case, .driving = story->ask.driving};
    bool stopped = strcmp(s->status, "interrupted") == 0; /* what is left says nothing of the day */
    json_t *day = json_object();
    bool made = evn_json_put(at, "name", evn_json_text(s->name)) &&
                evn_json_put(at, "share", evn_json_real(s->share)) &&
                evn_json_put(at, "status", evn_json_text(s->status)) && evn_ask_put(at, &in) &&
                evn_json_put(at, "begin_soc", evn_json_real(s->begin_soc)) &&
                evn_json_put(at, "lowest_soc", evn_json_real(s->lowest_soc)) &&
                evn_json_put(at, "reserve_soc", stopped ? json_null() : evn_json_real(s->reserve_soc)) &&
                evn_json_put(at, "reserve_kwh", stopped ? json_null() : evn_json_real(s->reserve_kwh)) &&
                put_demands(at, story->day, index) && put_phases(at, story->day, index);
    made = made && day && put_results(day, s->results);
    if (made)
        return evn_json_put(at, "day", day);
    json_decref(day);
    return false;
}

static bool put_seasons(json_t *document, const evn_day_story *story)
{
    json_t *list = json_array();
    evn_day_season s;
    bool made = list;
    for (size_t k = 0; made && evn_day_season_at(story->day, k, &s); k++) {
        json_t *one = json_object();
        made = append(list, one, one && put_season(one, story, k, &s));
    }
    if (made)
        return evn_json_put(document, "seasons", list);
    json_decref(list);
    return false;
}

static bool put_year(json_t *document, const evn_day *day)
{
    const evn_results *year = evn_day_year(day);
    json_t *at = year ? json_object() : json_null();
    if (at && (!year || put_results(at, year)))
        return evn_json_put(document, "year", at);
    json_decref(at);
    return false;
}

/* ------------------------------------------------------------------------------------------------ the document */

static bool put_names(json_t *document, const evn_day_story *story)
{
    json_t *invented = story->truck ? json_boolean(story->truck_invented) : json_null();
    return evn_json_put(document, "truck", evn_json_text(story->truck)) &&
           evn_json_put(document, "truck_invented", invented) &&
           evn_json_put(document, "duty", evn_json_text(story->duty)) &&
           evn_json_put(document, "duty_source", evn_json_text(story->duty_source)) &&
           evn_json_put(document, "driver", evn_json_text(evn_driver_name(story->ask.driving.driver))) &&
           evn_ask_put(document, &story->ask) && evn_ask_put_before_seasons(document, &story->ask) &&
           evn_json_put(document, "working_days_per_year", evn_json_real(story->working_days_per_year));
}

json_t *evn_day_document(const evn_day_story *story)
{
    json_t *document = evn_document_begin(EVN_DAY_SCHEMA, story->status);
    bool made = document && put_names(document, story);
    if (made && story->day)
        made = evn_json_put(document, "worst_season", json_integer((json_int_t)evn_day_worst_season(story->day))) &&
               put_seasons(document, story) && put_year(document, story->day) && evn_document_headline(document) &&
               evn_document_thresholds(document);
    if (made)
        return document;
    json_decref(document);
    return NULL;
}

bool evn_day_json(const evn_day_story *story, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_day_document(story);
    return document && evn_document_end(document, findings, to);
}
