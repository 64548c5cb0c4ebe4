/* Rides over the legs of a duty: each with what the truck carries on it. */
#include "core/field_hash.h"
#include "core/units.h"
#include "duty/duty.h"
#include "site/ride_tell.h"
#include "site/ride_worst.h"
#include <math.h>
#include <string.h>

static const evn_site_column payload_column = {"payload_kg", "kg", "payload", "during the leg", 0, AT_MOST};
static const evn_site_column mean_column = {"mean_km_h", "km/h", "mean speed", "over the time in motion", 1, AT_LEAST};
static const evn_site_column worst_column = {"leg_coefficient",
                                             "",
                                             "load coefficient",
                                             "RMS of the tyre load where it is largest, over that at rest, of the "
                                             "axle where it is largest",
                                             3,
                                             AT_MOST};

/* One cycle is read for each of the legs that use it. */
static bool same_cycle(const evn_cycle_file *a, const evn_cycle_file *b)
{
    return a == b || (strcmp(a->name, b->name) == 0 &&
                      evn_object_hash(&evn_cycle_object, a) == evn_object_hash(&evn_cycle_object, b));
}

/* Two phases that ride alike. */
static bool alike(const evn_phase *a, const evn_phase *b)
{
    bool same_part = (a->part.from_m == b->part.from_m || (isnan(a->part.from_m) && isnan(b->part.from_m))) &&
                     (a->part.to_m == b->part.to_m || (isnan(a->part.to_m) && isnan(b->part.to_m)));
    return a->reversed == b->reversed && a->payload_kg == b->payload_kg && same_part && same_cycle(a->cycle, b->cycle);
}

/* Whether a phase is a leg, and no other before it rides alike. */
static bool is_new(const evn_day_plan *plan, size_t index)
{
    if (!plan->of[index].leg)
        return false;
    for (size_t k = 0; k < index; k++)
        if (plan->of[k].leg && alike(&plan->phase[k], &plan->phase[index]))
            return false;
    return true;
}

/* "full, back, part 2 of 3, 16800 kg". */
static const char *words_of(evn_site_work *w, const evn_phase_of *of, const evn_phase *phase)
{
    const char *way = phase->reversed ? ", back" : "";
    return of->parts > 1 ? evn_site_text(w, "%s%s, part %u of %u, %.0f kg", of->name ? of->name : "leg", way, of->part,
                                         of->parts, phase->payload_kg)
                         : evn_site_text(w, "%s%s, %.0f kg", of->name ? of->name : "leg", way, phase->payload_kg);
}

/* The axle whose tyre load is largest by that at rest; beyond the last: of none it is known. */
static size_t worst_axle(const evn_ride_scene *s, double *coefficient)
{
    size_t worst = s->axles;
    *coefficient = (double)NAN;
    for (size_t k = 0; k < s->axles; k++) {
        const evn_ride_axle *a = &s->axle[k];
        if (!a->there || a->unknown || a->ride.worst_tyre_n / a->static_n <= *coefficient)
            continue;
        *coefficient = a->ride.worst_tyre_n / a->static_n;
        worst = k;
    }
    return worst;
}

/* Legs as they are driven one after the other. */
typedef struct legs {
    evn_site_work *w;
    evn_ride_tell *tell;
    evn_ride_worst worst;
    size_t loaded, without; /* payload */
} legs;

static void put_leg(const evn_ride_scene *s, size_t number, const char *words)
{
    const evn_site_name name = {"ride", evn_site_text(s->w, "leg_%zu", number), words};
    double coefficient, none = (double)NAN;
    size_t k = worst_axle(s, &coefficient);
    evn_ride_put(s, &name, &payload_column, s->laden->payload_kg, none, NULL, NULL);
    evn_ride_put(s, &name, &mean_column, s->route.way_m / s->route.time_s / EVN_M_S_PER_KM_H, none, NULL, NULL);
    if (k < s->axles)
        evn_ride_put(
            s, &name, &worst_column, coefficient, none,
            evn_site_text(s->w, "axle %s%s", s->axle[k].name, s->axle[k].linear ? "" : ", " EVN_RIDE_NOT_VALID),
            EVN_RIDE_ONE_THIRD);
}

/* How fast it may go is asked laden of the legs with payload, empty of those without, each with what it carries. */
static void set_fastest(const legs *l, evn_ride_scene *s)
{
    bool loaded = s->laden->payload_kg > 0;
    s->not_laden = !loaded && l->loaded > 0;
    s->not_empty = loaded && l->without > 0;
    s->no_laden = l->loaded > 0 ? NULL : "no leg is driven laden";
    s->no_empty = l->without > 0 ? NULL : "no leg is driven without payload";
    for (size_t k = 0; k < s->axles && !loaded; k++) {
        s->axle[k].fastest_empty_m_s = s->axle[k].fastest_m_s;
        s->axle[k].unknown_empty = s->axle[k].unknown;
    }
}

static bool ride_leg(legs *l, const evn_phase *phase, const char *words)
{
    evn_load_case carried = *l->w->load_case;
    evn_rig *rig = NULL;
    evn_ride_scene s;
    carried.payload_kg = phase->payload_kg;
    evn_ride_leg leg = {phase->cycle, phase->reversed, phase->part};
    bool made = evn_rig_make(l->w->truck, &carried, &rig, l->w->report) && evn_ride_scene_make(l->w, &leg, rig, &s);
    if (made) {
        l->worst.legs++;
        l->worst.leg = evn_site_text(l->w, "leg %zu: %s", l->worst.legs, words);
        put_leg(&s, l->worst.legs, l->worst.leg);
        set_fastest(l, &s);
        s.worst = &l->worst;
        l->tell(&s);
    }
    evn_rig_free(rig);
    return made;
}

static void put_count(const legs *l)
{
    static const evn_site_column column = {
        "legs", "", "legs of the duty", "that differ; each figure is of the leg on which it is worst", 0, AT_MOST};
    static const evn_site_name name = {"ride", "road", "road"};
    evn_site_answer a =
        evn_site_value((double)l->worst.legs, l->worst.legs > 1 ? "each figure is of the leg on which it is worst, "
                                                                  "named where legs differ"
                                                                : NULL);
    evn_site_add(l->w, &name, &column, &a);
}

bool evn_ride_over_legs(evn_site_work *w, evn_ride_tell *tell)
{
    evn_day_plan plan;
    legs l = {.w = w, .tell = tell, .worst = {.w = w}};
    bool made = evn_day_plan_make(&plan, w->duty, w->laden->payload_kg, evn_site_arena(w), w->report);
    for (size_t k = 0; made && k < plan.count; k++) {
        l.loaded += plan.of[k].leg && plan.phase[k].payload_kg > 0;
        l.without += plan.of[k].leg && !(plan.phase[k].payload_kg > 0);
    }
    for (size_t k = 0; made && k < plan.count; k++)
        if (is_new(&plan, k))
            made = ride_leg(&l, &plan.phase[k], words_of(w, &plan.of[k], &plan.phase[k]));
    if (made && l.worst.legs > 0) {
        put_count(&l);
        evn_ride_worst_tell(&l.worst);
    }
    return made;
}
