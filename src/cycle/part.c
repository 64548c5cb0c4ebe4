/* Cuts a course at rests. */
#include "cycle/part.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool no_rest(double place_m, evn_report *report)
{
    evn_say(report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere,
            "the course has no rest at %.6g m; expected the place of one of its stops, or an end", place_m);
    return false;
}

/* The stretch that begins from rest at a place; as many as there are: its end. */
static bool find_rest(const evn_course *c, double place_m, size_t *at, evn_report *report)
{
    size_t k = 0;
    while (k < c->plan_count && c->plan[k].begin_m < place_m - EVN_AT_THE_REST_M)
        k++;
    *at = k;
    bool rest = k < c->plan_count ? c->plan[k].v2_begin <= 0 && c->plan[k].begin_m <= place_m + EVN_AT_THE_REST_M
                                  : fabs(place_m - c->length_m) <= EVN_AT_THE_REST_M;
    return rest || no_rest(place_m, report);
}

static void cut_plan(evn_course *c, size_t from, size_t to, bool begins_at_once)
{
    bool last = to == c->plan_count;
    const evn_plan_stretch *first = &c->plan[from];
    c->clock_begin_s = first->clock_s - (begins_at_once ? 0 : first->wait_s);
    if (!last) {
        c->clock_end_s = c->plan[to].clock_s - c->plan[to].wait_s;
        c->final_wait_s = 0;
        c->length_m = c->plan[to].begin_m;
    }
    c->begin_m = first->begin_m;
    c->plan_count = to - from;
    memmove(c->plan, c->plan + from, c->plan_count * sizeof *c->plan);
    if (begins_at_once)
        c->plan[0].wait_s = 0;
}

/* Stretches that reach into the part, whole: what is asked of them is asked by their own places. */
static void cut_road(evn_course *c)
{
    size_t from = 0, to = c->road_count;
    while (from + 1 < c->road_count && c->road[from].end_m <= c->begin_m)
        from++;
    while (to > from + 1 && c->road[to - 1].begin_m >= c->length_m)
        to--;
    c->road_count = to - from;
    memmove(c->road, c->road + from, c->road_count * sizeof *c->road);
}

bool evn_course_take_part(evn_course *c, const evn_course_part *part, evn_report *report)
{
    size_t from, to;
    if (evn_is_whole(part))
        return true;
    if (c->trace_count > 0) {
        evn_say(report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere,
                "a part of a trace over time; expected limits over place, which are parted at their stops");
        return false;
    }
    if (!find_rest(c, isnan(part->from_m) ? 0 : part->from_m, &from, report) ||
        !find_rest(c, isnan(part->to_m) ? c->length_m : part->to_m, &to, report))
        return false;
    if (to <= from)
        return no_rest(part->to_m, report);
    cut_plan(c, from, to, part->begins_at_once);
    cut_road(c);
    return true;
}

evn_course *evn_course_of_stop(double place_m, evn_report *report)
{
    evn_course *c = calloc(1, sizeof *c);
    if (c) {
        c->plan = calloc(1, sizeof *c->plan);
        c->road = calloc(1, sizeof *c->road);
    }
    if (!c || !c->plan || !c->road) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "no memory for the place of a stop");
        evn_course_free(c);
        return NULL;
    }
    c->plan[0] = (evn_plan_stretch){.begin_m = place_m, .end_m = place_m};
    c->road[0] = (evn_road_stretch){.begin_m = place_m,
                                    .end_m = place_m,
                                    .rolling_factor = 1,
                                    .adhesion = (double)NAN,
                                    .adhesion_other_side = (double)NAN};
    c->plan_count = c->road_count = 1;
    c->begin_m = c->length_m = place_m;
    return c;
}
