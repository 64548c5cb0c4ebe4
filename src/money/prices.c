/* Where values of a file of prices stand. */
#include "money/prices.h"
#include "evener/values.h"
#include <string.h>

/* The value of a path, or the nearest that holds it and is written somewhere; NULL: none. */
static const evn_value *nearest_row(const evn_price_places *p, const char *path)
{
    size_t length = strlen(path);
    while (length > 0) {
        for (size_t k = 0; k < p->count; k++)
            if (p->at[k].file && strlen(p->at[k].path) == length && strncmp(p->at[k].path, path, length) == 0)
                return &p->at[k];
        while (length > 0 && path[length - 1] != '.')
            length--;
        length -= length > 0;
    }
    return p->count > 0 && p->at[0].file ? &p->at[0] : NULL;
}

void evn_prices_say(const evn_price_places *p, const char *path, evn_fault fault, evn_report *report,
                    const char *format, ...)
{
    const evn_value *row = nearest_row(p, path);
    evn_spot is = evn_nowhere, used_from = evn_nowhere;
    if (row)
        is = (evn_spot){evn_report_file(report, row->file), row->line, row->column};
    if (row && row->used_from_file)
        used_from =
            (evn_spot){evn_report_file(report, row->used_from_file), row->used_from_line, row->used_from_column};
    va_list values;
    va_start(values, format);
    evn_vsay(report, fault, is, used_from, format, values);
    va_end(values);
}
