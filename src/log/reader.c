/* What all forms of logs are said with, and asked. */
#include "log/reader.h"
#include <stdarg.h>

evn_log *evn_log_no_memory(evn_log_reader *r)
{
    evn_say(r->report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a log");
    return NULL;
}

bool evn_log_say(evn_log_reader *r, const evn_row *row, const char *at, evn_fault fault, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    evn_vsay(r->report, fault, (evn_spot){r->file, row->line, evn_row_column(row, at)}, evn_nowhere, format, values);
    va_end(values);
    return false;
}

bool evn_log_value_fits(evn_log_reader *r, evn_spot at, evn_log_quantity q, double value, const evn_log_unit *unit)
{
    evn_log_bounds b = evn_log_bounds_of(q);
    if (value >= b.least && value <= b.most)
        return true;
    double f = unit->factor, least = b.least / f - unit->offset, most = b.most / f - unit->offset;
    evn_say(r->report, EVN_FAULT_OUT_OF_RANGE, at, evn_nowhere,
            "%s is %.6g %s; expected %.4g to %.4g %s; another unit, or the logger's value for what is not known",
            evn_log_word(q), value / f - unit->offset, unit->text, least, most, unit->text);
    return false;
}

evn_spot evn_log_row(const evn_log *log, size_t row, evn_report *report)
{
    return (evn_spot){evn_report_file(report, log->file), log->line[row], 1};
}

bool evn_log_has(const evn_log *log, const evn_log_quantity *wanted, const char *wanted_for, evn_report *report)
{
    for (; *wanted != EVN_LOG_QUANTITY_COUNT; wanted++) {
        if (log->column[*wanted])
            continue;
        const char *word = evn_log_word(*wanted);
        evn_say(report, EVN_FAULT_MISSING_KEY, (evn_spot){evn_report_file(report, log->file), 0, 0}, evn_nowhere,
                "no %s in this log; expected it for %s; --column '%s=NAME [UNIT]' says which column holds it", word,
                wanted_for, word);
        return false;
    }
    return true;
}
