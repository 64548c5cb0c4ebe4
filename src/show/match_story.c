/* The sentences on a truck held against a log that media share. */
#define _POSIX_C_SOURCE 200809L
#include "show/match_story.h"
#include "show/ask.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 40 };

static char *told_by(const evn_match_story *s, const evn_look *look,
                     void (*put)(const evn_match_story *, FILE *, const evn_look *))
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

/* ------------------------------------------------------------------------------------------------ the answer */

static const char *figure(char out[CELL], const evn_look *look, int digits, double value)
{
    evn_format_decimals(out, CELL, evn_look_digits(look, digits), value);
    return out;
}

static void put_energy(const evn_match *m, const char *truck, FILE *to, const evn_look *look)
{
    evn_match_energy e;
    char run[CELL], log[CELL], percent[CELL], low[CELL], high[CELL], km[CELL];
    evn_match_energy_of(m, &e);
    if (!e.there) {
        fputs("The log tells no energy from the battery to hold the run against.\n", to);
        return;
    }
    fputs(truck, to);
    fprintf(to, " takes %s kWh from its battery over the %s km of the log, which tells %s kWh: %s %% %s",
            figure(run, look, 2, e.run_kwh), figure(km, look, 1, evn_match_import(m)->distance_m / 1000),
            figure(log, look, 2, e.log_kwh), figure(percent, look, 1, fabs(e.percent)),
            e.percent < 0 ? "less" : "more");
    if (isnan(e.low_percent))
        fputs("; the log is too short for an interval.\n", to);
    else
        fprintf(to, " (%s to %s %%).\n", figure(low, look, 1, e.low_percent), figure(high, look, 1, e.high_percent));
    if (e.blocks_lost > 0)
        fprintf(
            to,
            "In %zu blocks of %g s the log does not tell all of its power: they are left out of both energies, and of "
            "what explains them.\n",
            e.blocks_lost, e.block_s);
}

static void put_found(const evn_match_found *f, FILE *to, const evn_look *look)
{
    char value[CELL], low[CELL], high[CELL], stated[CELL];
    const char *gap = f->what.unit[0] != '\0' ? " " : "";
    fprintf(to, "%s %s%s%s (%s to %s) where %s%s%s is stated", f->what.label,
            figure(value, look, f->what.digits, f->value), gap, f->what.unit, figure(low, look, f->what.digits, f->low),
            figure(high, look, f->what.digits, f->high), figure(stated, look, f->what.digits, f->stated), gap,
            f->what.unit);
}

static void put_explained(const evn_match *m, FILE *to, const evn_look *look)
{
    evn_match_explained x;
    evn_match_found f;
    evn_match_energy e;
    char share[CELL], left[CELL];
    evn_match_explained_of(m, &x);
    evn_match_energy_of(m, &e);
    if (!x.asked)
        return;
    if (!x.found) {
        fprintf(to, "Nothing was found that explains the difference: %s.\n", x.why_not);
        return;
    }
    fprintf(to, "%s %% of the squares of the differences of blocks are explained by ",
            figure(share, look, 0, 100 * x.share));
    for (size_t k = 0; evn_match_found_at(m, k, &f); k++) {
        fputs(k > 0 ? "; " : "", to);
        put_found(&f, to, look);
    }
    fprintf(to, ". With that the run takes %s %% %s than the log tells.\n",
            figure(left, look, 1, fabs(100 * (e.fitted_kwh / e.log_kwh - 1))),
            e.fitted_kwh < e.log_kwh ? "less" : "more");
}

static void put_bounds(const evn_match *m, FILE *to)
{
    evn_match_found f;
    for (size_t k = 0; evn_match_found_at(m, k, &f); k++)
        if (f.at_bound)
            fprintf(to,
                    "The value of %s is the last that a truck can have, and the log asks for more: something else is "
                    "the matter, or the log is not of this truck.\n",
                    f.what.label);
}

static void put_apart(const evn_match *m, FILE *to)
{
    evn_match_found one, other;
    bool vague = false;
    for (size_t i = 0; evn_match_found_at(m, i, &one); i++) {
        for (size_t j = i + 1; evn_match_found_at(m, j, &other); j++) {
            double together = evn_match_correlation(m, i, j);
            if (fabs(together) > EVN_MATCH_APART_MOST)
                fprintf(
                    to,
                    "This log cannot tell %s and %s apart (correlation %.2f): leave one of them as it is stated, by "
                    "--explain.\n",
                    one.what.label, other.what.label, together);
            vague = vague || fabs(together) > EVN_MATCH_APART_MOST;
        }
        if (one.not_told_apart && !vague)
            fprintf(to, "This log says next to nothing about %s.\n", one.what.label);
    }
}

static void put_motor_speed(const evn_match *m, FILE *to, const evn_look *look)
{
    static const double WORTH_PERCENT = 0.5;
    evn_match_error e;
    char percent[CELL];
    for (size_t k = 0; evn_match_error_at(m, k, &e); k++) {
        double off = 100 * (e.middle_ratio - 1);
        if (isnan(off) || fabs(off) < WORTH_PERCENT)
            continue;
        fprintf(
            to,
            "In the middle of all rows the motor of the log turns %s %% %s than that of the run: its gear, its ratios, "
            "or the rolling radius of its tyres are others.\n",
            figure(percent, look, 1, fabs(off)), off < 0 ? "slower" : "faster");
    }
}

static void put_answer(const evn_match_story *s, FILE *to, const evn_look *look)
{
    put_energy(s->match, s->truck, to, look);
    put_explained(s->match, to, look);
    put_bounds(s->match, to);
    put_apart(s->match, to);
    put_motor_speed(s->match, to, look);
}

char *evn_match_answer(const evn_match_story *s, const evn_look *look) { return told_by(s, look, put_answer); }

/* ------------------------------------------------------------------------------------------------ what bounds it */

static void put_trust(const evn_match_story *s, FILE *to, const evn_look *look)
{
    evn_match_energy e;
    evn_match_explained x;
    const evn_import_told *log = evn_match_import(s->match);
    char delay[CELL], kwh[CELL];
    double delay_s = 0;
    evn_match_energy_of(s->match, &e);
    evn_match_explained_of(s->match, &x);
    evn_results_get(evn_match_results(s->match), "delay_s", &delay_s);
    if (e.there)
        fprintf(
            to,
            "Energy is by the log's %s, in %zu blocks of %g s, which differ by %s kWh RMS. The interval of the "
            "difference is of 95 %%, by the scatter between %zu parts of the log; an error that the whole log shares, "
            "of its meter or its mass, is not in it.\n",
            e.from, e.blocks, e.block_s, figure(kwh, look, 3, e.rms_kwh), e.parts);
    if (x.found)
        fprintf(
            to,
            "Intervals of what explains it are of 95 %%, %s; %zu runs, condition %.1f. Losses of motors and gears are "
            "not among the parameters: what they are off shows up in the others.\n",
            x.by_scatter ? "by leaving out parts of the log" : "by the noise of blocks alone, as the log is short",
            x.runs, x.condition);
    fprintf(to,
            "Speed was smoothed over %.3g s%s; with half and twice those widths the work at the wheels of a truck of "
            "%.0f kg is %.2f to %.2f kWh, %.2f as it is.\n",
            log->speed_width_s, log->grade_from ? "" : "; the log has no road, which was taken as level", log->mass_kg,
            log->traction_least_kwh, log->traction_most_kwh, log->work[0].traction_kwh);
    if (fabs(delay_s) > 1)
        fprintf(
            to,
            "The run comes %s s %s than the log in all; they are held against each other where they are at the same "
            "place.\n",
            figure(delay, look, 1, fabs(delay_s)), delay_s > 0 ? "later" : "earlier");
    fputs("A surface other than a paved road, friction braking, and gears that a driver chose otherwise stand in no "
          "log: they "
          "show up in the differences.\n",
          to);
    if (s->truck_invented)
        fputs("The data of the truck are invented.\n", to);
    fputs(
        "A truck that fits one log is no proof of it for other roads, loads and weather; braking, loads and electrical "
        "safety are for local regulation and licensed practice to decide.\n",
        to);
}

char *evn_match_trust(const evn_match_story *s) { return told_by(s, NULL, put_trust); }
