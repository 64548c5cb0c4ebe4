/* Quantities held against kept ones. */
#include "judge/kept.h"
#include <math.h>
#include <string.h>

static bool ends_in(const char *key, const char *end)
{
    size_t length = strlen(key), tail = strlen(end);
    return length >= tail && strcmp(key + length - tail, end) == 0;
}

/* Counts and answers bear no unit in their names: they are known by their last part. */
static bool is_count(const char *key)
{
    static const char *const names[] = {"gear_changes", "engagement_changes", "disconnections", "branch_disconnections",
                                        "speed_tolerance_met"};
    const char *dot = strrchr(key, '.'), *last = dot ? dot + 1 : key;
    for (size_t k = 0; k < sizeof names / sizeof *names; k++)
        if (strcmp(last, names[k]) == 0)
            return true;
    return false;
}

static evn_tolerance_kind kind_of(const char *key)
{
    static const struct {
        const char *end;
        evn_tolerance_kind kind;
    } ends[] = {
        {"kwh_per_km", EVN_TOLERANCE_consumption_kwh_per_km},
        {"kwh_per_t_km", EVN_TOLERANCE_consumption_kwh_per_km},
        {"_kwh", EVN_TOLERANCE_energy_kwh},
        {"_km_h", EVN_TOLERANCE_speed_km_h},
        {"_km", EVN_TOLERANCE_distance_km},
        {"_degc", EVN_TOLERANCE_temperature_degc},
        {"_kg", EVN_TOLERANCE_mass_kg},
        {"_s", EVN_TOLERANCE_time_s},
    };
    if (is_count(key))
        return EVN_TOLERANCE_count;
    for (size_t k = 0; k < sizeof ends / sizeof *ends; k++)
        if (ends_in(key, ends[k].end))
            return ends[k].kind;
    return EVN_TOLERANCE_share;
}

evn_tolerance_file evn_tolerance_at(const evn_tolerances_file *t, evn_tolerance_kind kind)
{
    static const evn_tolerance_file defaults[] = {
#define X(name, absolute, relative, meaning) {absolute, relative},
        EVN_TOLERANCES(X)
#undef X
    };
    const evn_tolerance_file *const stated[] = {
#define X(name, absolute, relative, meaning) t ? t->name : NULL,
        EVN_TOLERANCES(X)
#undef X
    };
    evn_tolerance_file out = defaults[kind];
    if (stated[kind] && !isnan(stated[kind]->absolute))
        out.absolute = stated[kind]->absolute;
    if (stated[kind] && !isnan(stated[kind]->relative))
        out.relative = stated[kind]->relative;
    return out;
}

static evn_moved what_became(double kept, double now, double tolerance)
{
    if (isnan(kept) && isnan(now))
        return EVN_MOVED_NOT;
    if (!isfinite(kept) || !isfinite(now))
        return EVN_MOVED_TO_NONE;
    return fabs(now - kept) <= tolerance ? EVN_MOVED_NOT : EVN_MOVED;
}

evn_moved_quantity evn_hold_quantity(const evn_tolerances_file *t, const char *key, double kept, double now)
{
    evn_tolerance_file kind = evn_tolerance_at(t, kind_of(key));
    double tolerance = kind.absolute + kind.relative * fabs(kept);
    return (evn_moved_quantity){key, what_became(kept, now, tolerance), kept, now, tolerance};
}

bool evn_result_is_kept(const char *key)
{
    static const char *const names[] = {
        "distance_km",         "duration_s",          "battery_kwh",  "discharged_kwh",
        "time_below_target_s", "speed_tolerance_met", "gear_changes", "peak_winding_temperature_degc",
        "final_soc",           "gross_mass_kg"};
    for (size_t i = 0; key && i < sizeof names / sizeof *names; i++)
        if (strcmp(key, names[i]) == 0)
            return true;
    return key && strncmp(key, "energy_balance.", 15) == 0;
}
