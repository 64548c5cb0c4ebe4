/* How a run braked and how hot its parts became: sentences for one run or several, and a table for one. */
#include "show/report/brakes_text.h"
#include "show/report/table.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 64, NAMES = 256, COLUMNS = 5 };

static const char indent[] = "  ";

const char evn_brakes_caution[] =
    "What brakes, motors and inverters may bear, and how a loaded vehicle is braked downhill, is for approved testing, "
    "local regulation and licensed practice.";

static double result(const evn_results *r, const char *key)
{
    double value;
    return evn_results_get(r, key, &value) ? value : (double)NAN;
}

/* ------------------------------------------------------------------------------------------------ braking */

static void put_kwh(FILE *to, const evn_look *look, double kwh)
{
    char text[CELL];
    evn_format_decimals(text, sizeof text, evn_look_digits(look, 1), kwh);
    fputs(text, to);
}

static void put_causes(const evn_results *r, const evn_look *look, FILE *to)
{
    static const double WORTH_SHARE = 0.02, WORTH_KWH = 0.05; /* of what friction brakes took; else 0.0 is told */
    double all_kwh = result(r, "energy_balance.friction_brakes_kwh");
    bool any = false;
    evn_friction_cause cause;
    for (size_t k = 0; evn_results_friction_cause_at(r, k, &cause); k++) {
        if (cause.kwh < WORTH_SHARE * all_kwh || cause.kwh < WORTH_KWH)
            break;
        fprintf(to, "%s%s ", k == 0 ? " (bound by " : ", ", cause.label);
        put_kwh(to, look, cause.kwh);
        any = true;
    }
    if (any)
        fputc(')', to);
}

static void put_braking(const evn_results *r, const evn_look *look, FILE *to)
{
    double share = result(r, "motor_braking_share"), friction_kwh = result(r, "energy_balance.friction_brakes_kwh");
    double retarder_kwh = result(r, "energy_balance.retarder_kwh"), refused_kwh = result(r, "refused_at_wheels_kwh");
    if (!isfinite(share)) {
        fputs("Nothing braked.", to);
        return;
    }
    fprintf(to, "Motors took %.0f %% of the braking work, friction brakes ", 100 * share);
    put_kwh(to, look, friction_kwh);
    fputs(" kWh", to);
    put_causes(r, look, to);
    if (retarder_kwh > 0) {
        fputs(", the retarder ", to);
        put_kwh(to, look, retarder_kwh);
        fputs(" kWh", to);
    }
    fputc('.', to);
    if (refused_kwh > 0) {
        fputs(" A full battery refused ", to);
        put_kwh(to, look, refused_kwh);
        fputs(" kWh of it at the wheels.", to);
    }
}

/* ------------------------------------------------------------------------------------------------ temperatures */

/* How near a part came to where its torque begins to be taken, or to its limit, K; INFINITY: it has none. */
static double spare_k(const evn_peak_temperature *p)
{
    double limit = isnan(p->from_degc) ? p->limit_degc : p->from_degc;
    return isnan(limit) ? (double)INFINITY : limit - p->peak_degc;
}

/* Of one kind of part the one with the least to spare. False: there is none. */
static bool nearest(const evn_results *r, const char *part, evn_peak_temperature *out)
{
    bool found = false;
    evn_peak_temperature p;
    for (size_t k = 0; evn_results_peak_temperature_at(r, k, &p); k++)
        if (strcmp(p.part, part) == 0 &&
            (!found || spare_k(&p) < spare_k(out) || (spare_k(&p) == spare_k(out) && p.peak_degc > out->peak_degc))) {
            *out = p;
            found = true;
        }
    return found;
}

static void put_of(const evn_peak_temperature *p, FILE *to)
{
    if (!p->of)
        return;
    fputs(" of ", to);
    evn_put_safe(to, p->of);
}

static void put_part(const evn_results *r, const char *part, FILE *to)
{
    evn_peak_temperature p;
    if (!nearest(r, part, &p))
        return;
    fputs(" Hottest ", to);
    fputs(part, to);
    put_of(&p, to);
    fprintf(to, ": %.0f degC", p.peak_degc);
    if (isfinite(p.low_degc))
        fprintf(to, " (%.0f to %.0f over the range of its time constants)", p.low_degc, p.high_degc);
    if (isfinite(p.from_degc))
        fprintf(to, p.peak_degc > p.from_degc ? ", derating from %.0f on" : "; derating begins at %.0f", p.from_degc);
    else if (isfinite(p.limit_degc))
        fprintf(to, p.peak_degc > p.limit_degc ? ", beyond its limit of %.0f" : " of %.0f", p.limit_degc);
    fputc('.', to);
}

bool evn_brakes_sentences(const evn_results *r, const evn_look *look, FILE *to)
{
    static const char *const parts[] = {"friction brakes", "winding", "inverter", "coolant"};
    if (!r)
        return false;
    put_braking(r, look, to);
    for (size_t k = 0; k < sizeof parts / sizeof *parts; k++)
        put_part(r, parts[k], to);
    return true;
}

/* ------------------------------------------------------------------------------------------------ table */

static void degc_cell(char out[CELL], const evn_look *look, double degc)
{
    if (isnan(degc))
        out[0] = '\0';
    else
        evn_format_decimals(out, CELL, evn_look_digits(look, 0), degc);
}

static void range_cell(char out[CELL], const evn_look *look, const evn_peak_temperature *p)
{
    char low[CELL / 2 - 4], high[CELL / 2 - 4];
    out[0] = '\0';
    if (isnan(p->low_degc) || isnan(p->high_degc))
        return;
    evn_format_decimals(low, sizeof low, evn_look_digits(look, 0), p->low_degc);
    evn_format_decimals(high, sizeof high, evn_look_digits(look, 0), p->high_degc);
    snprintf(out, CELL, "%s to %s", low, high);
}

static bool part_row(evn_table *table, const evn_look *look, const evn_peak_temperature *p)
{
    char name[NAMES], peak[CELL], range[CELL], from[CELL], limit[CELL];
    const char *part = strcmp(p->part, "friction brakes") == 0 ? "brakes" : p->part; /* there is no other kind */
    snprintf(name, sizeof name, "%s%s%.200s", part, p->of ? ", " : "", p->of ? p->of : "");
    char *safe = evn_safe_text(name);
    degc_cell(peak, look, p->peak_degc);
    range_cell(range, look, p);
    degc_cell(from, look, p->from_degc);
    degc_cell(limit, look, p->limit_degc);
    bool made = safe && evn_table_row(table, (const char *const[]){safe, peak, range, from, limit});
    free(safe);
    return made;
}

bool evn_temperatures_table(const evn_results *r, FILE *to, const evn_look *look)
{
    static const evn_table_column columns[COLUMNS] = {{"degC", false, true},
                                                      {"hottest", true, false},
                                                      {"over its range", true, false},
                                                      {"derates from", true, false},
                                                      {"limit", true, false}};
    evn_peak_temperature p;
    if (!evn_results_peak_temperature_at(r, 0, &p))
        return true;
    evn_table *table = evn_table_new(columns, COLUMNS, true);
    bool made = table, ranged = false;
    for (size_t k = 0; made && evn_results_peak_temperature_at(r, k, &p); k++) {
        made = part_row(table, look, &p);
        ranged = ranged || isfinite(p.low_degc);
    }
    if (made) {
        fputc('\n', to);
        made = evn_table_print(table, to, indent, evn_look_width(look));
        if (ranged) {
            fputc('\n', to);
            evn_put_paragraph_within(to, evn_look_prose(look), 0, indent,
                                     "Over its range: with all time constants of the motor at either end of theirs.");
        }
    }
    evn_table_free(table);
    return made;
}
