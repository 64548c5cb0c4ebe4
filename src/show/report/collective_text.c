/* Load collectives in the terminal: a line for each shaft, all gears together; gear by gear they stand in the files. */
#include "show/report/collective_text.h"
#include "show/report/table.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 64, NAME = 400, COLUMNS = 6 };

static const char indent[] = "  ";

typedef struct told { /* what a shaft needs to be told from the others */
    bool unit, axle;
} told;

static told told_of(const evn_collective *c)
{
    evn_collective_shaft is;
    const char *unit = NULL, *axle = NULL;
    told out = {false, false};
    for (size_t k = 0; evn_collective_shaft_at(c, k, &is); k++) {
        out.unit = out.unit || (unit && strcmp(is.drive_unit, unit) != 0);
        out.axle = out.axle || (is.axle && axle && strcmp(is.axle, axle) != 0);
        unit = is.drive_unit;
        axle = is.axle ? is.axle : axle;
    }
    return out;
}

/* "rear, drive: half shaft": the drive unit and the axle where there are several; alike, once. */
static void format_name(char out[NAME], const evn_collective_shaft *is, told by)
{
    const char *unit = by.unit ? is->drive_unit : NULL, *axle = by.axle ? is->axle : NULL;
    if (unit && axle && strcmp(unit, axle) == 0)
        unit = NULL;
    snprintf(out, NAME, "%.150s%s%.150s%s%s", unit ? unit : "", unit && axle ? ", " : "", axle ? axle : "",
             unit || axle ? ": " : "", is->label);
}

static void format_torque(char out[CELL], const evn_look *look, double nm)
{
    evn_format_decimals(out, CELL, evn_look_digits(look, 0), nm);
}

static bool shaft_row(evn_table *table, const evn_collective *c, size_t shaft, const evn_damage *by, told name_by,
                      const evn_look *look)
{
    char name[NAME], text[COLUMNS - 1][CELL];
    evn_collective_shaft is;
    evn_collective_sum sum;
    if (!evn_collective_shaft_at(c, shaft, &is) || !evn_collective_sum_of(c, shaft, EVN_ALL_GEARS, by, &sum))
        return false;
    format_name(name, &is, name_by);
    evn_format_decimals(text[0], CELL, evn_look_digits(look, 0), sum.both.revolutions);
    format_torque(text[1], look, sum.pulling.most_nm);
    format_torque(text[2], look, sum.pulling.equivalent_nm);
    format_torque(text[3], look, sum.braking.most_nm);
    format_torque(text[4], look, sum.braking.equivalent_nm);
    char *safe = evn_safe_text(name);
    bool made = safe && evn_table_row(table, (const char *const[]){safe, text[0], text[1], text[2], text[3], text[4]});
    free(safe);
    return made;
}

static void put_words(const evn_damage *by, FILE *to, const evn_look *look)
{
    char turns[CELL] = "all revolutions of the shaft", text[10 * CELL];
    if (by->revolutions > 0)
        snprintf(turns, sizeof turns, "%.6g revolutions", by->revolutions);
    snprintf(
        text, sizeof text,
        "Largest torque pulling and braking: of one of the motors of a drive unit, of one of the two half shafts and "
        "hubs of an axle, its differential open. "
        "Equivalent: the torque that does the same damage in %s, by linear accumulation with an exponent of %.4g. "
        "It is that of rolling bearings at 10/3; gear teeth and shafts have others, which whoever makes them "
        "states. Time at rest is left out. The collectives, gear by gear, stand in the file.",
        turns, by->exponent);
    evn_put_paragraph_within(to, evn_look_prose(look), 0, indent, text);
    fputc('\n', to);
    evn_put_paragraph_within(to, evn_look_prose(look), 0, indent,
                             "An estimate for comparing; what parts must bear is for approved testing and licensed "
                             "practice.");
}

bool evn_collective_text(const evn_collective *c, const evn_damage *by, FILE *to, const evn_look *look)
{
    static const evn_table_column columns[COLUMNS] = {{"shaft", false, true},       {"revolutions", true, false},
                                                      {"pulling, Nm", true, false}, {"equivalent", true, false},
                                                      {"braking, Nm", true, false}, {"equivalent", true, false}};
    evn_collective_shaft is;
    evn_table *table = evn_table_new(columns, COLUMNS, true);
    told name_by = told_of(c);
    bool made = table;
    for (size_t shaft = 0; made && evn_collective_shaft_at(c, shaft, &is); shaft++)
        made = shaft_row(table, c, shaft, by, name_by, look);
    if (made) {
        fputc('\n', to);
        evn_put_styled(to, look, EVN_STYLE_STRONG, "Load collectives");
        fputs("\n\n", to);
        made = evn_table_print(table, to, indent, evn_look_width(look));
        fputc('\n', to);
        put_words(by, to, look);
    }
    evn_table_free(table);
    return made;
}
