/*
 * Going on: what is left once the truck has moved off. Changing up on a grade and on soft ground, by forces
 * (change_up.c).
 */
#include "core/units.h"
#include "limits/change_up.h"
#include "limits/creep.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ on grades */

static const evn_limits_column
    change_up =
        {"change_up_percent", "%", "change up",
         "steepest grade on which it starts, changes up and still pulls: each drive unit from its first into its "
         "second gear, one after another, at the best speed for it",
         2},
    nothing_to_change = {"change_up_percent", "%", "change up",
                         "as starting: no drive unit has gears to change, so that nothing is lost once it has started",
                         2},
    speed_lost = {"speed_lost_km_h", "km/h", "speed lost",
                  "speed that it loses on that grade while a drive unit changes and does not pull, of several the one "
                  "that costs most",
                  2};

static void add_lost(evn_limits_work *w, const evn_limits_name *name, const evn_scene *s, double percent)
{
    evn_change_up c = evn_change_up_of(s);
    c.tangent = percent / 100;
    evn_answer a = evn_answer_of(isnan(percent) ? percent : evn_change_up_most_lost_m_s(&c) / EVN_M_S_PER_KM_H);
    evn_limits_add(w, name, &speed_lost, &a);
}

/* With the ends of the range of adhesion of the ground. */
static void set_range(evn_answer *a, const evn_scene *s, const evn_surface_kind *kind)
{
    evn_change_up c = evn_change_up_of(s);
    c.scene.adhesion = kind->adhesion_least;
    a->low = 100 * evn_change_up_most(&c, 0);
    c.scene.adhesion = kind->adhesion_most;
    a->high = 100 * evn_change_up_most(&c, 0);
}

static void add_surface(evn_limits_work *w, const evn_limits_name *name, const evn_surface_kind *kind)
{
    evn_scene s = evn_scene_of(w, EVN_FORWARDS);
    bool changes = evn_has_gears_to_change(s.rig);
    if (kind)
        evn_scene_on(&s, kind);
    evn_answer a = evn_able_change_up_percent(&s);
    if (kind)
        set_range(&a, &s, kind);
    evn_limits_add(w, name, changes ? &change_up : &nothing_to_change, &a);
    if (changes)
        add_lost(w, name, &s, a.value);
}

/* ------------------------------------------------------------------------------------------------ on soft ground */

static const evn_limits_column softest = {
    "softest_rolling_resistance_coefficient", "", "softest ground",
    "greatest rolling resistance, over the axle loads, with which it starts, changes up and still pulls on the level, "
    "with the adhesion of soil",
    3};

/* Where a tyre rolls with half its load no ground is meant any more: the bound of the coefficient itself. */
static double greatest_factor(const evn_rig *r)
{
    static const double MOST = 0.5;
    double greatest = 0;
    for (size_t k = 0; k < r->axle_count; k++)
        greatest = fmax(greatest, r->axle[k].rolling);
    return greatest > 0 ? MOST / greatest : 0;
}

static void add_softest(evn_limits_work *w)
{
    evn_scene s = evn_scene_of(w, EVN_FORWARDS);
    evn_scene_on(&s, &evn_surface_kinds[EVN_SURFACE_SOIL - 1]);
    evn_change_up c = evn_change_up_of(&s);
    double coefficient = s.rig->rolling.cosine_kg / s.rig->mass_kg;
    c.by_rolling = true;
    c.up_to = greatest_factor(s.rig);
    if (c.up_to <= 0) /* tyres that roll without resistance have none to be multiplied */
        return;
    evn_answer a = evn_change_up_answer(&c);
    a.beyond = a.value >= c.up_to;
    a.value *= coefficient;
    a.next_value *= coefficient;
    evn_limits_add(w, &(evn_limits_name){"going", "level", "on the level"}, &softest, &a);
}

/* ------------------------------------------------------------------------------------------------ creeping */

static const evn_limits_column creep = {
    "ten_minutes_percent", "%", "ten minutes",
    "steepest grade on which 3 km/h are held for ten minutes, from the temperatures of the start", 2};

static void add_creep(evn_limits_work *w)
{
    if (!w->runs)
        return;
    evn_answer a = evn_creep_percent(w);
    evn_limits_add(w, &(evn_limits_name){"going", "creep", "creeping at 3 km/h"}, &creep, &a);
}

void evn_limits_going(evn_limits_work *w)
{
    add_surface(w, &(evn_limits_name){"going", "as_stated", evn_limits_ground(w)}, NULL);
    for (size_t k = 0; k < EVN_SURFACE_KINDS; k++)
        add_surface(w, &(evn_limits_name){"going", evn_surface_kinds[k].name, evn_surface_kinds[k].name},
                    &evn_surface_kinds[k]);
    add_softest(w);
    add_creep(w);
}
