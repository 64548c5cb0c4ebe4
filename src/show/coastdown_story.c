/* The sentences on coast-downs that media share. */
#define _POSIX_C_SOURCE 200809L
#include "show/coastdown_story.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 40, ABOVE_WHICH_TOGETHER_PERCENT = 95 };

bool evn_coastdown_figure_of(const evn_coastdown *c, evn_coastdown_method method, const char *key,
                             evn_coastdown_figure *out)
{
    for (size_t k = 0; evn_coastdown_figure_at(c, method, k, out); k++)
        if (strcmp(out->what.key, key) == 0)
            return !isnan(out->value);
    return false;
}

static bool meet(const evn_coastdown *c, const char *key)
{
    evn_coastdown_figure fit, line;
    return evn_coastdown_figure_of(c, EVN_COASTDOWN_FIT, key, &fit) &&
           evn_coastdown_figure_of(c, EVN_COASTDOWN_REGRESSION, key, &line) && fit.low <= line.high &&
           line.low <= fit.high;
}

bool evn_coastdown_agree(const evn_coastdown *c) { return meet(c, "rolling_coefficient") && meet(c, "drag_area_m2"); }

/* "0.00601 (0.00598 to 0.00604)" */
static void put_figure(FILE *to, const evn_look *look, const evn_coastdown *c, evn_coastdown_method method,
                       const char *key)
{
    evn_coastdown_figure f;
    char value[CELL], low[CELL], high[CELL];
    evn_coastdown_figure_of(c, method, key, &f);
    int digits = evn_look_digits(look, f.what.digits);
    evn_format_decimals(value, sizeof value, digits, f.value);
    evn_format_decimals(low, sizeof low, digits, f.low);
    evn_format_decimals(high, sizeof high, digits, f.high);
    fprintf(to, "%s%s%s (%s to %s)", value, f.what.unit[0] != '\0' ? " " : "", f.what.unit, low, high);
}

static void put_both(FILE *to, const evn_look *look, const evn_coastdown *c, evn_coastdown_method method)
{
    fputs("rolling coefficient ", to);
    put_figure(to, look, c, method, "rolling_coefficient");
    fputs(", drag area ", to);
    put_figure(to, look, c, method, "drag_area_m2");
}

static void put_answer(const evn_coastdown_story *s, FILE *to, const evn_look *look)
{
    const evn_coastdown *c = s->coastdown;
    evn_coastdown_told told;
    evn_coastdown_figure wind;
    evn_coastdown_told_of(c, &told);
    put_both(to, look, c, EVN_COASTDOWN_FIT);
    fprintf(to, ": by the equations of motion over %zu runs in %zu pair%s, from %.1f to %.1f km/h.\n", told.used,
            told.pairs, told.pairs == 1 ? "" : "s", told.from_km_h, told.to_km_h);
    fputs("The regression of forces over squares of speeds tells ", to);
    put_both(to, look, c, EVN_COASTDOWN_REGRESSION);
    fprintf(to, ": %s.\n",
            evn_coastdown_agree(c)
                ? "both ways agree within their intervals"
                : "the two ways differ by more than their intervals, so trust neither before you know "
                  "why");
    if (evn_coastdown_figure_of(c, EVN_COASTDOWN_FIT, "headwind_m_s", &wind)) {
        fputs("Nothing measured the wind along the road: the fit found ", to);
        put_figure(to, look, c, EVN_COASTDOWN_FIT, "headwind_m_s");
        fputs(" against runs out, the same for all of them.\n", to);
    }
}

static char *told_by(const evn_coastdown_story *s, const evn_look *look,
                     void (*put)(const evn_coastdown_story *, FILE *, const evn_look *))
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return NULL;
    put(s, memory, look);
    bool made = ferror(memory) == 0;
    if (fclose(memory) == 0 && made)
        return text;
    free(text);
    return NULL;
}

char *evn_coastdown_answer(const evn_coastdown_story *s, const evn_look *look)
{
    char *text = told_by(s, look, put_answer);
    if (text && text[0] == 'r')
        text[0] = 'R';
    return text;
}

/* ------------------------------------------------------------------------------------------------ what bounds it */

static void put_together(FILE *to, const evn_coastdown_told *told)
{
    bool close = 100 * fabs(told->correlation) > ABOVE_WHICH_TOGETHER_PERCENT;
    fprintf(to,
            "Rolling coefficient and drag area hang together (correlation %.2f): where one is read too high the other "
            "is too low%s.\n",
            told->correlation,
            close ? ", so closely that these runs hardly tell them apart; a wider range of speeds would" : "");
    if (!isnan(told->wind_correlation) && 100 * fabs(told->wind_correlation) > ABOVE_WHICH_TOGETHER_PERCENT)
        fprintf(to,
                "Wind and the part of rolling resistance that grows with speed cannot be told apart by these runs "
                "(correlation %.2f).\n",
                told->wind_correlation);
}

static void put_intervals(FILE *to, const evn_coastdown_told *told)
{
    if (told->by_scatter)
        fprintf(
            to,
            "Intervals are of 95 %%, by the scatter between the %zu pairs, and never narrower than the noise within "
            "runs makes them.\n",
            told->pairs);
    else
        fprintf(to,
                "Intervals are of 95 %% by the noise within runs alone: %zu pair%s cannot tell how far runs scatter, "
                "so the truth lies outside more often than they say. Three pairs or more would tell.\n",
                told->pairs, told->pairs == 1 ? "" : "s");
}

static void put_trust(const evn_coastdown_story *s, FILE *to, const evn_look *look)
{
    evn_coastdown_told told;
    (void)look;
    evn_coastdown_told_of(s->coastdown, &told);
    put_intervals(to, &told);
    put_together(to, &told);
    fprintf(to,
            "Not in the intervals: %.0f kg of mass and %.0f kg on top of it for what turns, and the air density. With "
            "1 %% more mass the drag area would be %.2f %% more and the rolling coefficient almost the same; with 1 %% "
            "more density the drag area 1 %% less.\n",
            told.mass_kg, told.rotating_kg, told.drag_per_mass_percent);
    if (told.rotating_kg == 0)
        fputs("No rotating mass was given (--tyres, --rotating-mass-kg): forces are read too low, by about 3 % of a "
              "loaded truck.\n",
              to);
    fprintf(to,
            "What is measured is all that slows the truck while it rolls: bearings, brakes that drag, gears and motors "
            "that turn with the wheels count as rolling resistance. %s\n",
            told.range_of_regulation
                ? "Runs cover the range that 40 CFR 1066.310(b)(7) asks for, 70 mph or more to 15 mph or less."
                : "Runs do not cover the range that 40 CFR 1066.310(b)(7) asks for, 70 mph or more to 15 mph or less.");
    fprintf(to,
            "Dynamometer coefficients by 40 CFR 1066.310(b)(8), in air of 20 degC and 98.21 kPa: A %.1f N, B %.0f, C "
            "%.4f N s2/m2.\n",
            told.target_a_n, told.target_b_n_s_m, told.target_c_n_s2_m2);
    fputs("Coasting on a road, with a truck out of gear, is for local regulation and licensed practice to allow.\n",
          to);
}

char *evn_coastdown_trust(const evn_coastdown_story *s) { return told_by(s, NULL, put_trust); }
