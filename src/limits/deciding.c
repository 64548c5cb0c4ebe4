/*
 * What decides between layouts, and what is demanded of them: three figures that comparisons carry, on the ground, at
 * the speed and at the state of charge that the demands name; and each demand held against what the truck can. All of
 * it follows from forces.
 */
#include "core/units.h"
#include "limits/abilities.h"
#include <math.h>
#include <stdio.h>

enum { TEXT = 96 };

/* ------------------------------------------------------------------------------------------------ scenes */

static evn_scene on_start_ground(const evn_limits_work *w)
{
    evn_scene s = evn_scene_of(w, EVN_FORWARDS);
    if (w->demands.start_surface != EVN_SURFACE_AS_CYCLE)
        evn_scene_on(&s, &evn_surface_kinds[w->demands.start_surface - 1]);
    return s;
}

/* A battery that never is as full, or as empty, as is demanded cannot take part. */
static evn_answer descent_of(const evn_limits_work *w)
{
    evn_scene s = evn_scene_of(w, EVN_FORWARDS);
    if (!isnan(w->demands.descent_soc))
        s.soc = w->demands.descent_soc;
    if (s.soc < s.rig->pack.usable_from || s.soc > s.rig->pack.usable_to)
        return evn_answer_none(EVN_BOUND_CHARGE);
    return evn_able_descent_percent(&s, w->demands.descent_speed_km_h * EVN_M_S_PER_KM_H);
}

static evn_answer speed_on(const evn_limits_work *w, double grade_percent, bool continuous)
{
    evn_scene s = evn_scene_of(w, EVN_FORWARDS);
    evn_answer a = evn_able_speed_m_s(&s, grade_percent / 100, continuous);
    a.value /= EVN_M_S_PER_KM_H;
    a.next_value /= EVN_M_S_PER_KM_H;
    return a;
}

/* ------------------------------------------------------------------------------------------------ in words */

/* ", soil": the ground of starting; nothing where it is the truck's own. */
static const char *ground_of(const evn_limits_work *w, char out[TEXT])
{
    evn_surface on = w->demands.start_surface != EVN_SURFACE_AS_CYCLE ? w->demands.start_surface : w->driving.surface;
    out[0] = '\0';
    if (on != EVN_SURFACE_AS_CYCLE)
        snprintf(out, TEXT, ", %s", evn_surface_kinds[on - 1].name);
    return out;
}

/* "30 km/h, 93 % charge"; the charge of the start, which may differ from truck to truck, is not told. */
static const char *descent_at(const evn_limits_work *w, char out[TEXT])
{
    const evn_demands *d = &w->demands;
    int used = snprintf(out, TEXT, "%.4g km/h", d->descent_speed_km_h);
    if (!isnan(d->descent_soc))
        snprintf(out + used, TEXT - (size_t)used, ", %.4g %% charge", 100 * d->descent_soc);
    return out;
}

/* ------------------------------------------------------------------------------------------------ the group */

static const evn_limits_column start = {"steepest_percent", "%", "steepest",
                                        "steepest grade on which it moves off from rest, on the ground that is "
                                        "demanded, else as the truck states",
                                        2},
                               speed = {"balanced_km_h", "km/h", "balanced speed",
                                        "highest speed that it holds on a grade of 3 %, at the temperatures of the "
                                        "start",
                                        1},
                               descent = {"steepest_percent", "%", "steepest",
                                          "steepest descent that motors alone hold, at the speed and state of charge "
                                          "that are demanded, else at 30 km/h and the start's",
                                          2};

static const double DECIDING_GRADE_PERCENT = 3;

void evn_limits_deciding(evn_limits_work *w)
{
    char text[TEXT];
    evn_scene s = on_start_ground(w);
    evn_answer a = evn_able_start_percent(&s);
    const char *label = evn_limits_text(w, "startability%s", ground_of(w, text));
    evn_limits_add(w, &(evn_limits_name){"deciding", "startability", label}, &start, &a);
    a = speed_on(w, DECIDING_GRADE_PERCENT, false);
    evn_limits_add(w, &(evn_limits_name){"deciding", "speed_on_3_percent", "highest speed on 3 %"}, &speed, &a);
    a = descent_of(w);
    label = evn_limits_text(w, "descent at %s", descent_at(w, text));
    evn_limits_add(w, &(evn_limits_name){"deciding", "descent_held", label}, &descent, &a);
}

/* ------------------------------------------------------------------------------------------------ demands */

/* With the ends of the range of adhesion of the ground that is demanded, where one is named. */
static void set_range(const evn_limits_work *w, evn_answer *a, evn_answer (*able)(evn_scene *), const evn_scene *s)
{
    evn_scene at = *s;
    if (w->demands.start_surface == EVN_SURFACE_AS_CYCLE || w->plain)
        return;
    const evn_surface_kind *kind = &evn_surface_kinds[w->demands.start_surface - 1];
    at.plain = true;
    at.adhesion = kind->adhesion_least;
    a->low = able(&at).value;
    at.adhesion = kind->adhesion_most;
    a->high = able(&at).value;
}

void evn_limits_judge(evn_limits_work *w)
{
    const evn_demands *d = &w->demands;
    char text[TEXT];
    evn_scene s = on_start_ground(w);
    if (!isnan(d->start_grade_percent)) {
        evn_answer a = evn_able_start_percent(&s);
        set_range(w, &a, evn_able_start_percent, &s);
        const char *label = evn_limits_text(w, "starting on %.4g %%%s", d->start_grade_percent, ground_of(w, text));
        evn_limits_add_verdict(w, &(evn_quantity){"start", "%", start.help, EVN_REAL, 2, label, "starts on"},
                               d->start_grade_percent, &a);
    }
    if (d->change_up) {
        evn_answer a = evn_able_change_up_percent(&s);
        set_range(w, &a, evn_able_change_up_percent, &s);
        const char *label = evn_limits_text(w, "changing up on %.4g %%%s", d->start_grade_percent, ground_of(w, text));
        evn_limits_add_verdict(w,
                               &(evn_quantity){"change_up", "%",
                                               "steepest grade on which it starts, changes up and goes on pulling",
                                               EVN_REAL, 2, label, "changes up on"},
                               d->start_grade_percent, &a);
    }
    if (!isnan(d->climb_grade_percent)) {
        evn_answer a = speed_on(w, d->climb_grade_percent, d->climb_continuous);
        const char *label = evn_limits_text(w, "%.4g km/h up %.4g %%%s", d->climb_speed_km_h, d->climb_grade_percent,
                                            d->climb_continuous ? ", continuous" : "");
        evn_limits_add_verdict(
            w,
            &(evn_quantity){"climb", "km/h", "highest speed that it holds on that grade", EVN_REAL, 1, label, "holds"},
            d->climb_speed_km_h, &a);
    }
    if (!isnan(d->descent_grade_percent)) {
        evn_answer a = descent_of(w);
        const char *label =
            evn_limits_text(w, "holding %.4g %% down at %s", d->descent_grade_percent, descent_at(w, text));
        evn_limits_add_verdict(w, &(evn_quantity){"descent", "%", descent.help, EVN_REAL, 2, label, "holds down"},
                               d->descent_grade_percent, &a);
    }
}
