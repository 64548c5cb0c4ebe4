/* What may be off in a truck: its data with half widths, and where those are stated. */
#include "evener/keys.h"
#include "show/report/table.h"
#include "show/text.h"
#include "show/truck_story.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 200 };

const char *evn_error_shape_word(evn_error_shape shape)
{
    evn_key key;
    for (size_t i = 0; evn_key_at("uncertainty", i, &key); i++)
        if (strcmp(key.key, "shape") == 0)
            return key.choices[shape];
    return "";
}

/* "0.002 ohm", "7 %"; of a range that is not even about the value "7 % about +3 %". */
static void format_half_width(char out[CELL], const evn_datum *datum)
{
    char about[CELL / 2] = "", unit[CELL / 4] = " %";
    bool relative = !isnan(datum->relative);
    if (!relative)
        snprintf(unit, sizeof unit, "%s%.20s", datum->unit[0] ? " " : "", datum->unit);
    double offset = relative ? 100 * datum->offset / fabs(datum->value) : datum->offset;
    if (datum->offset != 0)
        snprintf(about, sizeof about, " about %+.3g%s", offset, unit);
    snprintf(out, CELL, "%.3g%s%s", relative ? 100 * datum->relative : datum->half_width, unit, about);
}

/* False when memory is out. */
static bool put_datum(evn_table *table, const evn_datum *datum)
{
    char half[CELL], count[CELL], stated[CELL];
    char *label = evn_safe_text(datum->label), *file = datum->file ? evn_safe_text(datum->file) : NULL;
    bool made = label && (file || !datum->file);
    format_half_width(half, datum);
    snprintf(count, sizeof count, "%zu", datum->values);
    if (made && file)
        snprintf(stated, sizeof stated, "%.180s:%u", file, datum->line);
    else
        snprintf(stated, sizeof stated, "%s", datum->by_default ? "default of its key" : "");
    made = made &&
           evn_table_row(table, (const char *const[]){label, half, evn_error_shape_word(datum->shape), count, stated});
    free(label);
    free(file);
    return made;
}

static bool put_table(const evn_truck_story *story, FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {{"datum", false, true},
                                               {"half width", true, false},
                                               {"shape", false, false},
                                               {"values", true, false},
                                               {"stated in", false, true}};
    evn_table *table = evn_table_new(columns, sizeof columns / sizeof *columns, true);
    bool made = table;
    evn_datum datum;
    for (size_t k = 0; made && evn_truck_datum_at(story->data, k, &datum); k++)
        made = put_datum(table, &datum);
    made = made && evn_table_print(table, to, "  ", evn_look_width(look));
    evn_table_free(table);
    return made;
}

static bool any_off(const evn_truck_story *story)
{
    evn_datum datum;
    for (size_t k = 0; evn_truck_datum_at(story->data, k, &datum); k++)
        if (datum.offset != 0)
            return true;
    return false;
}

bool evn_truck_data_text(const evn_truck_story *story, FILE *to, const evn_look *look)
{
    size_t width = evn_look_prose(look);
    evn_style_begin(to, look, EVN_STYLE_STRONG);
    bool made = evn_put_sentence(to, width, "", "%s: what may be off", evn_truck_name(story->truck));
    evn_style_end(to, look, EVN_STYLE_STRONG);
    fputc('\n', to);
    if (!made || !put_table(story, to, look))
        return false;
    fputc('\n', to);
    evn_put_paragraph_within(
        to, width, 0, "  ",
        "A datum is all that errs alike: the values of one entry of 'uncertain', all that bears one label, or the "
        "values of one kind in one part by the default of their key. Rectangular: the true value lies evenly within "
        "the half width; triangular: mostly in the middle; normal: the half width is two standard uncertainties. "
        "Half width and middle are those of the first of the values; the others have their own, and some may fall "
        "where it rises.");
    if (any_off(story))
        evn_put_paragraph_within(to, width, 0, "  ", "About: the middle of the range lies off the value by so much.");
    return true;
}
