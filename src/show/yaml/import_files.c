/* The files of a cycle that was made of a log: the cycle, its speed and its road. */
#include "show/import_story.h"
#include "show/text.h"
#include "show/yaml/yaml.h"
#include <math.h>
#include <string.h>

static void put_comment(const evn_import_story *s, FILE *to)
{
    const evn_import_told *t = evn_import_tells(s->import);
    char words[500], truck[EVN_IMPORT_TRUCK_BYTES], road[100] = "the road is level, as the log has no altitude";
    double middle = t->work[0].traction_kwh;
    if (t->grade_from)
        snprintf(road, sizeof road, "the road follows from its %s, smoothed over %.0f m", t->grade_from,
                 t->grade_width_m);
    snprintf(words, sizeof words,
             "Made of a log by evener import. The speed follows from its %s, smoothed over %.3g s; %s. With half and "
             "twice these widths the work of traction (%s) changes by %+.1f to %+.1f %%.",
             t->speed_from, t->speed_width_s, road, evn_import_truck(truck, t),
             100 * (t->traction_least_kwh / middle - 1), 100 * (t->traction_most_kwh / middle - 1));
    evn_put_paragraph_within(to, 100, 0, "# ", words);
    if (!isnan(t->grade_factor_half_width)) {
        snprintf(
            words, sizeof words,
            "Grades that err by %.1f %% about %+.1f %% move it as far. In a lineup, or a file for compare --uncertain:",
            100 * t->grade_factor_half_width, 100 * t->grade_factor_offset);
        evn_put_paragraph_within(to, 100, 0, "# ", words);
        fprintf(to, "# uncertain: {smoothing: {of: [cycle.road.grade_factor], relative: %.3g, offset: %.3g}}\n",
                t->grade_factor_half_width, t->grade_factor_offset);
    }
    if (evn_import_cycle_of(s->import)->over == EVN_OVER_PLACE)
        evn_put_paragraph_within(to, 100, 0, "# ",
                                 "Limits are what was driven: traffic, driver and the vehicle of the log are in them, "
                                 "and no sign at the road.");
}

static void put_list(FILE *to, const char *key, const double *x, size_t count, double factor)
{
    fprintf(to, "  %s: [", key);
    for (size_t i = 0; i < count; i++)
        fprintf(to, "%s%s%.10g", i > 0 ? "," : "",
                i % 12 == 0 && i > 0 ? "\n    "
                : i > 0              ? " "
                                     : "",
                round(x[i] * factor * 1e3) / 1e3);
    fputs("]\n", to);
}

static void put_table(FILE *to, const char *key, const char *table, const char *more)
{
    fprintf(to, "%s: {table: ", key);
    evn_put_yaml_text(to, table);
    fprintf(to, "%s}\n", more);
}

bool evn_import_yaml(const evn_import_story *s, FILE *to)
{
    const evn_import_told *t = evn_import_tells(s->import);
    const evn_import_cycle *c = evn_import_cycle_of(s->import);
    char source[600];
    const char *base = strrchr(t->path, '/') ? strrchr(t->path, '/') + 1 : t->path;
    snprintf(source, sizeof source, "log %.300s, %zu rows (%s)", base, t->rows, t->form);
    put_comment(s, to);
    fputs("name: ", to);
    evn_put_yaml_text(to, s->name ? s->name : base);
    fputs("\nsource: ", to);
    evn_put_yaml_text(to, source);
    fputs("\n\n", to);
    if (c->over == EVN_OVER_PLACE)
        fprintf(to, "length_m: %.3f\n", floor(c->length_m * 1e3) / 1e3);
    put_table(to, "speed", s->speed_table, "");
    if (c->grades > 0)
        put_table(to, "road", s->grade_table, ", level_beyond: true");
    if (c->stops > 0) {
        fputs("stops:\n", to);
        put_list(to, "place_m", c->stop_place_m, c->stops, 1);
        put_list(to, "wait_s", c->wait_s, c->stops, 1);
    }
    return true;
}

void evn_import_speed_csv(const evn_import_cycle *c, FILE *to)
{
    const double KM_H_PER_M_S = 3.6;
    fputs(c->over == EVN_OVER_PLACE ? "place_m,limit_km_h\n" : "time_s,speed_km_h\n", to);
    for (size_t i = 0; i < c->times; i++)
        fprintf(to, "%.3f,%.4f\n", c->time_s[i], c->speed_m_s[i] * KM_H_PER_M_S);
    for (size_t i = 0; i < c->limits; i++)
        fprintf(to, "%.3f,%.4g\n", c->limit_place_m[i], c->limit_m_s[i] * KM_H_PER_M_S);
}

void evn_import_grade_csv(const evn_import_cycle *c, FILE *to)
{
    fputs("place_m,grade_percent\n", to);
    for (size_t i = 0; i < c->grades; i++)
        fprintf(to, "%.3f,%.4f\n", c->grade_place_m[i], c->grade_ratio[i] * 100);
}
