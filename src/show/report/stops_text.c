/* Stated stops as a table in the terminal: what of the braking work motors take, and what is said beside it. */
#include "show/report/stops_text.h"
#include "show/report/table.h"
#include "show/text.h"
#include <math.h>

enum { CELL = 64, COLUMNS = 5 };

static const char indent[] = "  ";

/* As the chart has them; the share in per cent. */
static bool stop_row(evn_table *table, const evn_chart *stops, size_t row, const evn_look *look)
{
    char text[COLUMNS][CELL];
    const char *cells[COLUMNS];
    const double *value = evn_chart_row(stops, row);
    evn_quantity what;
    for (size_t k = 0; k < COLUMNS; k++) {
        bool share = k == COLUMNS - 1;
        if (!evn_chart_column_at(stops, k, &what))
            return false;
        evn_format_decimals(text[k], CELL, evn_look_digits(look, share ? 0 : what.digits),
                            (share ? 100 : 1) * value[k]);
        cells[k] = text[k];
    }
    return evn_table_row(table, cells);
}

bool evn_stops_text(const evn_chart *stops, FILE *to, const evn_look *look)
{
    static const evn_table_column columns[COLUMNS] = {{"at m/s2", true, false},
                                                      {"from, km/h", true, false},
                                                      {"braking work, kWh", true, false},
                                                      {"by motors, kWh", true, false},
                                                      {"by motors, %", true, false}};
    evn_table *table = evn_table_new(columns, COLUMNS, true);
    bool made = table;
    for (size_t row = 0; made && row < evn_chart_row_count(stops); row++)
        made = stop_row(table, stops, row, look);
    if (made) {
        fputc('\n', to);
        evn_put_styled(to, look, EVN_STYLE_STRONG, "Braking to rest on the level");
        fputs("\n\n", to);
        made = evn_table_print(table, to, indent, evn_look_width(look));
        fputc('\n', to);
        evn_put_paragraph_within(to, evn_look_prose(look), 0, indent,
                                 "As loaded, at the state of charge of the start, motors cold, with the "
                                 "adhesion that the truck's file states. Up to 48 % is commonly "
                                 "quoted (no source): it is shown beside, not a target.");
    }
    evn_table_free(table);
    return made;
}
