/* Kinds of surfaces, and what the lists of a surface say from a place on. */
#include "cycle/surface.h"
#include <math.h>
#include <string.h>

/*
 * Peak adhesion of truck tyres: common practice, from memory; dry, wet, gravel and snow as handbooks of vehicle
 * dynamics give them for heavy vehicles, soil by the same practice. A middle of a wide range: tyre, load and water
 * decide. Rolling resistance: gravel and soil as with the key rolling_factor, snow (rolled) from memory. Unevenness:
 * common practice, no source.
 */
const evn_surface_kind evn_surface_kinds[EVN_SURFACE_KINDS] = {
    {"dry", 0.75, 0.7, 0.8, 1, 'B'},  {"wet", 0.5, 0.4, 0.6, 1, 'B'},     {"gravel", 0.5, 0.4, 0.6, 2.5, 'C'},
    {"soil", 0.4, 0.3, 0.5, 12, 'D'}, {"snow", 0.2, 0.15, 0.3, 1.5, 'C'},
};
const char *const evn_surface_choices[EVN_SURFACE_KINDS + 2] = {"as_cycle", "dry",  "wet", "gravel",
                                                                "soil",     "snow", NULL};

const evn_surface_kind *evn_surface_kind_named(const char *name)
{
    for (size_t i = 0; i < EVN_SURFACE_KINDS; i++)
        if (strcmp(evn_surface_kinds[i].name, name) == 0)
            return &evn_surface_kinds[i];
    return NULL;
}

evn_footing evn_footing_before(void) { return (evn_footing){1, (double)NAN, (double)NAN}; }

evn_footing evn_footing_as(evn_footing of, const evn_surface_kind *kind)
{
    of.adhesion = of.adhesion_other_side = kind->adhesion;
    return of;
}

evn_footing evn_footing_from(const evn_surface_file *f, size_t index)
{
    evn_footing of = evn_footing_before();
    const evn_surface_kind *kind = f->kind.count > 0 ? evn_surface_kind_named(f->kind.at[index]) : NULL;
    if (kind) {
        of = evn_footing_as(of, kind);
        of.rolling_factor = kind->rolling_factor;
    }
    if (f->rolling_factor.count > 0)
        of.rolling_factor = f->rolling_factor.at[index];
    if (f->adhesion.count > 0)
        of.adhesion = of.adhesion_other_side = f->adhesion.at[index];
    if (f->adhesion_other_side.count > 0)
        of.adhesion_other_side = f->adhesion_other_side.at[index];
    return of;
}

static bool same(double a, double b) { return a == b || (isnan(a) && isnan(b)); }

bool evn_same_footing(const evn_footing *a, const evn_footing *b)
{
    return a->rolling_factor == b->rolling_factor && same(a->adhesion, b->adhesion) &&
           same(a->adhesion_other_side, b->adhesion_other_side);
}

/* ------------------------------------------------------------------------------------------------ unevenness */

double evn_unevenness_of_class_m3(char name)
{
    const char *at = name ? strchr(EVN_UNEVENNESS_CLASSES, name) : NULL;
    return at ? 16e-6 * pow(4, (double)(at - EVN_UNEVENNESS_CLASSES)) : (double)NAN;
}

char evn_class_of_unevenness(double unevenness_m3)
{
    const char *at = EVN_UNEVENNESS_CLASSES;
    while (at[1] && unevenness_m3 >= 2 * evn_unevenness_of_class_m3(*at))
        at++;
    return *at;
}

double evn_unevenness_from_m3(const evn_surface_file *f, size_t index)
{
    const evn_surface_kind *kind = f->kind.count > 0 ? evn_surface_kind_named(f->kind.at[index]) : NULL;
    if (f->unevenness_m3.count > 0)
        return f->unevenness_m3.at[index];
    if (f->unevenness.count > 0)
        return evn_unevenness_of_class_m3(f->unevenness.at[index][0]);
    return evn_unevenness_of_class_m3(kind ? kind->unevenness : EVN_UNEVENNESS_OF_ASPHALT);
}

double evn_unevenness_at_m3(const evn_surface_file *f, double place_m)
{
    size_t behind = 0;
    while (f && behind < f->place_m.count && f->place_m.at[behind] <= place_m)
        behind++;
    return behind > 0 ? evn_unevenness_from_m3(f, behind - 1) : evn_unevenness_of_class_m3(EVN_UNEVENNESS_OF_ASPHALT);
}
