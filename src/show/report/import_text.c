/* An import in words: what came of it, what was read as what, what was done with which widths. */
#include "show/import_story.h"
#include "show/report/table.h"
#include "show/text.h"
#include <math.h>
#include <string.h>

enum { CELL = 64, SENTENCE = 600 };

typedef struct desk {
    const evn_import_told *told;
    evn_table *table;
    const evn_look *look;
    bool failed;
} desk;

static void row(desk *d, const char *label, double value, int digits, const char *unit, const char *help)
{
    char cell[CELL];
    if (isnan(value))
        return;
    evn_format_decimals(cell, sizeof cell, evn_look_digits(d->look, digits), value);
    d->failed = !evn_table_row(d->table, (const char *const[]){label, cell, unit, help}) || d->failed;
}

static void time_row(desk *d, const char *label, double value, const char *help)
{
    char cell[CELL];
    evn_format_duration(cell, sizeof cell, value);
    d->failed = !evn_table_row(d->table, (const char *const[]){label, cell, "", help}) || d->failed;
}

/* Repairs are told where there was something to repair. */
static void repair(desk *d, const char *label, size_t count, const char *help)
{
    if (count > 0)
        row(d, label, (double)count, 0, "", help);
}

static void steepest_row(desk *d)
{
    char where[CELL];
    snprintf(where, sizeof where, "at %.2f km, after smoothing", d->told->steepest_place_m / 1e3);
    row(d, "steepest grade", 100 * d->told->steepest_ratio, 1, "%", where);
}

static void add_cycle(desk *d)
{
    const evn_import_told *t = d->told;
    row(d, "distance", t->distance_m / 1e3, 3, "km", "of the speed over time");
    row(d, "distance by positions", t->ground_distance_m / 1e3, 3, "km", "on the ellipsoid, beside it");
    row(d, "distance by odometer", t->place_distance_m / 1e3, 3, "km", "beside it");
    time_row(d, "duration", t->duration_s, "");
    row(d, "highest speed", t->speed_most_m_s * 3.6, 1, "km/h", "");
    row(d, "stops", (double)t->stops, 0, "", "");
    time_row(d, "standing", t->stopped_s, "");
    row(d, "climb in the log", t->climb_before_m, 0, "m", "all rises from row to row, noise with them");
    row(d, "climb", t->grade_from ? t->climb_m : (double)NAN, 0, "m", "after smoothing");
    row(d, "descent", t->grade_from ? t->descent_m : (double)NAN, 0, "m", "after smoothing");
    steepest_row(d);
}

static void add_widths(desk *d)
{
    const evn_import_told *t = d->told;
    row(d, "step of time", t->step_s, 2, "s", "median");
    row(d, "noise of speed", t->speed_noise_m_s, 3, "m/s", "by second differences");
    row(d, "width of speed", t->speed_width_s, 1, "s", "waves of that length are halved, longer ones stay");
    row(d, "noise of altitude", t->altitude_noise_m, 2, "m", "about a curve of 200 m width");
    row(d, "width of grade", t->grade_width_m, 0, "m", "as of speed");
}

static void add_repairs(desk *d)
{
    const evn_import_told *t = d->told;
    repair(d, "rows with a time as before", t->repeated, "left out");
    repair(d, "rows that go back in time", t->backward, "left out");
    repair(d, "rows without time", t->no_time, "left out");
    repair(d, "empty cells", t->empty_cells, "of the columns that are read");
    repair(d, "last line not whole", t->cut_short, "left out");
    repair(d, "gaps", t->gaps, "bridged by straight lines");
    repair(d, "gaps at rest", t->gaps_at_rest, "the vehicle stood");
    if (t->gaps + t->gaps_at_rest > 0)
        time_row(d, "longest gap", t->longest_gap_s, "");
    repair(d, "speeds that stand off", t->speeds_off, "left out");
    repair(d, "altitudes that stand off", t->altitudes_off, "left out");
    repair(d, "gaps of altitude", t->altitude_gaps, "of more than 200 m, bridged by straight lines");
}

static bool put_columns(const evn_import_story *s, FILE *to, size_t width)
{
    const evn_import_told *t = evn_import_tells(s->import);
    char words[SENTENCE] = "";
    evn_import_column c;
    for (size_t i = 0; evn_import_column_at(s->import, i, &c); i++) {
        size_t used = strlen(words);
        snprintf(words + used, sizeof words - used, "%s%s from '%.60s'%s%s%s", i > 0 ? ", " : "", c.quantity, c.name,
                 c.unit[0] ? " [" : "", c.unit, c.unit[0] ? "]" : "");
    }
    const char *separator = t->separator == ';'    ? "semicolon"
                            : t->separator == '\t' ? "tab"
                            : t->separator == '|'  ? "bar"
                                                   : "comma";
    const char *zone = t->local_time ? "; times say no zone and are taken as UTC" : "";
    if (strcmp(t->form, "GPX") == 0)
        return evn_put_sentence(to, width, "", "Read: %s%s.", words, zone);
    return evn_put_sentence(to, width, "", "Read: %s; columns separated by %s, decimals by %s%s.", words, separator,
                            t->decimal == ',' ? "comma" : "point", zone);
}

static bool put_smoothing(const evn_import_told *t, FILE *to, size_t width)
{
    char truck[EVN_IMPORT_TRUCK_BYTES];
    double middle = t->work[0].traction_kwh;
    bool made =
        evn_put_sentence(to, width, "",
                         "What smoothing does: work of traction at the wheels (%s) is %.4g kWh, and %.4g to %.4g "
                         "kWh with half and twice "
                         "the widths, %+.1f to %+.1f %%.",
                         evn_import_truck(truck, t), middle, t->traction_least_kwh, t->traction_most_kwh,
                         100 * (t->traction_least_kwh / middle - 1), 100 * (t->traction_most_kwh / middle - 1));
    if (made && t->grade_from && isnan(t->grade_factor_half_width))
        return evn_put_sentence(
            to, width, "",
            "That is more than grades could err by: it is speed that smoothing changes, and nothing of "
            "it can go into what errs in comparisons. --speed-width-s smooths speed more.");
    return made &&
           (isnan(t->grade_factor_half_width) ||
            evn_put_sentence(to, width, "",
                             "Grades that err by %.1f %% about %+.1f %% move it as far: the cycle's road.grade_factor, "
                             "for what errs in comparisons.",
                             100 * t->grade_factor_half_width, 100 * t->grade_factor_offset));
}

static bool put_written(const evn_import_story *s, FILE *to, size_t width)
{
    if (!s->cycle)
        return true;
    return evn_put_sentence(to, width, "", "Written: %s, %s%s%s.", s->cycle, s->speed, s->grade ? ", " : "",
                            s->grade ? s->grade : "");
}

bool evn_import_text(const evn_import_story *s, FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {
        {"", false, true}, {"", true, false}, {"", false, false}, {"", false, true}};
    size_t width = evn_look_prose(look);
    desk d = {.told = evn_import_tells(s->import), .table = evn_table_new(columns, 4, false), .look = look};
    bool made = d.table && put_columns(s, to, width) &&
                (!d.told->unread || evn_put_sentence(to, width, "", "Not read: %s.", d.told->unread));
    if (made) {
        add_cycle(&d);
        add_widths(&d);
        add_repairs(&d);
        fputc('\n', to);
        made = !d.failed && evn_table_print(d.table, to, "  ", evn_look_width(look));
        fputc('\n', to);
    }
    evn_table_free(d.table);
    if (made && evn_import_cycle_of(s->import)->over == EVN_OVER_PLACE)
        made = evn_put_sentence(to, width, "",
                                "Limits are what was driven: traffic, driver and the vehicle of the log are in them, "
                                "and no sign at the road.");
    if (made && !d.told->grade_from)
        made = evn_put_sentence(to, width, "",
                                "Neither altitude nor grade was found in the log: the cycle is level. --column "
                                "'altitude=NAME [m]' says which column holds it.");
    return made && put_smoothing(d.told, to, width) && put_written(s, to, width);
}
