/* CSV logs: finds the separator, then takes row by row what the columns hold. */
#include "core/words.h"
#include "log/reader.h"
#include "log/separators.h"
#include "log/values.h"
#include <math.h>
#include <string.h>

enum { ROWS_MOST = 5000000, CELLS_MOST = 4096 };

typedef struct desk {
    evn_log_reader *reader;
    evn_rows rows;
    evn_log_columns columns;
    evn_log_column *of[CELLS_MOST]; /* by cell; NULL: not wanted */
    evn_log *log;
    uint32_t *line;
    size_t room;
    char decimal; /* 0: not known yet */
    bool has_begin;
    int64_t begin_second;
    bool zoned, unzoned;
} desk;

/* ------------------------------------------------------------------------------------------------ separator */

static char separator_asked(const evn_log_reader *r)
{
    if (r->ask && r->ask->separator)
        return evn_separator_of_word(r->ask->separator);
    return r->mapping ? evn_separator_of_word(evn_log_separators[r->mapping->separator]) : '\0';
}

static char decimal_asked(const evn_log_reader *r)
{
    const char *word = r->ask && r->ask->decimal ? r->ask->decimal
                       : r->mapping              ? evn_log_decimals[r->mapping->decimal]
                                                 : evn_log_decimals[EVN_DECIMAL_FOUND_OUT];
    return evn_decimal_of_word(word);
}

static bool find_separator(desk *d, const evn_row *below)
{
    const evn_row *header = &d->columns.header;
    bool several = false;
    char asked = separator_asked(d->reader);
    d->columns.separator = asked ? asked : evn_separator_find(header, below, &several);
    if (d->columns.separator)
        return true;
    return evn_log_say(d->reader, header, header->begin, EVN_FAULT_SYNTAX,
                       several ? "columns that may be separated in more than one manner; expected --separator comma, "
                                 "semicolon, tab or bar"
                               : "no separator that gives the header and the row below it as many columns, two or "
                                 "more; expected a header line that names columns; --header-line says where it is");
}

/* ------------------------------------------------------------------------------------------------ cells */

static bool say_cell(desk *d, const evn_row *row, const evn_log_column *c, evn_cell found, const char *wanted,
                     const char *why)
{
    char quoted[EVN_QUOTE_BYTES], name[EVN_QUOTE_BYTES];
    return evn_log_say(d->reader, row, found.at, EVN_FAULT_NOT_A_NUMBER, "%s in the column %s; expected %s: %s",
                       evn_quote(quoted, found.at, found.length), evn_quote(name, c->name.at, c->name.length), wanted,
                       why);
}

static bool take_stamp(desk *d, const evn_row *row, evn_log_column *c, evn_cell found, double *value)
{
    evn_stamp stamp;
    const char *why = evn_stamp_read(found.at, found.length, &stamp);
    if (why)
        return say_cell(d, row, c, found, "date and time as ISO 8601 writes them", why);
    if (!d->has_begin) {
        d->has_begin = true;
        d->begin_second = stamp.second;
        d->log->begin_unix_s = (double)stamp.second;
    }
    d->zoned = d->zoned || stamp.zoned;
    d->unzoned = d->unzoned || !stamp.zoned;
    if (d->zoned && d->unzoned)
        return say_cell(d, row, c, found, "all times with how far their clock is off UTC, or none",
                        stamp.zoned ? "those above have none" : "those above have it");
    *value = (double)(stamp.second - d->begin_second) + stamp.fraction;
    return true;
}

/* 08:15:30, as many loggers write times; of a drive over midnight that says too little. */
static bool is_clock(evn_cell found) { return found.length >= 4 && memchr(found.at, ':', found.length) != NULL; }

static bool say_clock(desk *d, const evn_row *row, const evn_log_column *c, evn_cell found)
{
    d->reader->errors_most = 1; /* all other rows are alike */
    return say_cell(d, row, c, found, "seconds, or date and time as ISO 8601 writes them (2026-05-04T08:15:30)",
                    "a time of day alone, or another order of its date");
}

/* The first time that is there says whether they bear dates. */
static bool settle_times(desk *d, evn_log_column *c, evn_cell found)
{
    if (c->unit || c->stamps)
        return true;
    c->stamps = evn_stamp_meant(found.at, found.length);
    if (c->stamps)
        return true;
    char units[EVN_PHRASE_BYTES];
    return evn_log_say(d->reader, &d->columns.header, c->name.at, EVN_FAULT_MISSING_KEY,
                       "no unit for time, whose cells bear no date; expected one in brackets behind the name, or as in "
                       "--column 'time=%.*s [s]'; one of %s; or date and time as ISO 8601 writes them",
                       (int)(c->name.length < 40 ? c->name.length : 40), c->name.at,
                       evn_log_units_text(units, EVN_DIMENSION_TIME));
}

static bool take_cell(desk *d, const evn_row *row, evn_log_column *c, evn_cell found, double *value)
{
    bool time = c->quantity == EVN_LOG_TIME, meant = time && evn_stamp_meant(found.at, found.length);
    if (time && !c->stamps && !meant && is_clock(found))
        return say_clock(d, row, c, found);
    if (time && !settle_times(d, c, found))
        return false;
    if (c->stamps)
        return take_stamp(d, row, c, found, value);
    double plain;
    const char *why = evn_log_number(found.at, found.length, &d->decimal, &plain);
    if (why)
        return say_cell(d, row, c, found, "a decimal number", why);
    *value = c->unit->factor * (plain + c->unit->offset);
    evn_log_bounds bounds = evn_log_bounds_of(c->quantity);
    if (*value >= bounds.least && *value <= bounds.most)
        return true;
    evn_spot at = {d->reader->file, row->line, evn_row_column(row, found.at)};
    return evn_log_value_fits(d->reader, at, c->quantity, *value, c->unit);
}

/* ------------------------------------------------------------------------------------------------ rows */

static bool last_is_cut(const desk *d, size_t cells)
{
    return cells < d->columns.cells && d->rows.at == d->rows.end && d->reader->bytes[d->reader->length - 1] != '\n';
}

static bool say_shape(desk *d, const evn_row *row, size_t cells)
{
    const char *hint = d->columns.separator == ',' && cells > d->columns.cells
                           ? "; with decimal commas columns need another separator, or cells in quotes"
                           : "";
    return evn_log_say(d->reader, row, row->begin, EVN_FAULT_WRONG_SHAPE,
                       "a row of %zu cells; expected %zu, as many as the header has%s", cells, d->columns.cells, hint);
}

/* Some loggers end each row with a separator, the header without one. */
static bool is_shaped(const desk *d, const evn_row *row, size_t cells)
{
    bool extra = cells == d->columns.cells + 1 && row->end > row->begin && row->end[-1] == d->columns.separator;
    return cells == d->columns.cells || extra;
}

/* The shape comes first: where a separator is missing each cell behind it is another quantity. */
static bool take_row(desk *d, const evn_row *row)
{
    size_t cells = evn_cells_of(row, d->columns.separator), index = d->log->rows, k = 0;
    bool sound = true;
    if (cells > 0 && !is_shaped(d, row, cells))
        return say_shape(d, row, cells);
    for (const char *at = row->begin; at; k++) {
        evn_cell found;
        if (!evn_row_cell(row, d->columns.separator, &at, &found))
            return evn_log_say(d->reader, row, found.at, EVN_FAULT_SYNTAX,
                               "a quote that is not closed; expected its end");
        evn_log_column *c = k < CELLS_MOST ? d->of[k] : NULL;
        if (!c)
            continue;
        c->value[index] = (double)NAN;
        if (evn_cell_is_empty(found))
            d->log->empty_cells++;
        else
            sound = take_cell(d, row, c, found, &c->value[index]) && sound;
    }
    d->line[index] = row->line;
    d->log->rows++;
    return sound;
}

static bool cut_short(desk *d, const evn_row *row)
{
    size_t cells = evn_cells_of(row, d->columns.separator);
    if (!last_is_cut(d, cells))
        return false;
    d->log->cut_short = true;
    return true;
}

static bool take_rows(desk *d)
{
    bool sound = true;
    for (evn_row row; evn_rows_next(&d->rows, &row);) {
        if (d->log->rows == d->room)
            return evn_log_say(d->reader, &row, row.begin, EVN_FAULT_TOO_LARGE,
                               "more than %d rows; expected fewer in one log", ROWS_MOST);
        if (d->rows.at == d->rows.end && cut_short(d, &row))
            break;
        sound = take_row(d, &row) && sound;
        if (evn_report_errors(d->reader->report) >= d->reader->errors_most)
            return false;
    }
    return sound;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static size_t lines_in(const char *at, size_t length)
{
    size_t lines = 1;
    const char *end = at + length;
    while (at < end && (at = memchr(at, '\n', (size_t)(end - at)))) {
        lines++;
        at++;
    }
    return lines;
}

static bool make_room(desk *d)
{
    size_t lines = lines_in(d->rows.at, (size_t)(d->rows.end - d->rows.at));
    d->room = lines < ROWS_MOST ? lines : ROWS_MOST;
    d->line = evn_arena_take(d->reader->keep, d->room * sizeof *d->line);
    bool there = d->line;
    for (size_t k = 0; k < d->columns.count && there; k++) {
        evn_log_column *c = &d->columns.at[k];
        c->value = evn_arena_take(d->reader->keep, d->room * sizeof *c->value);
        there = c->value;
        if (c->cell < CELLS_MOST)
            d->of[c->cell] = c;
    }
    return there || evn_log_no_memory(d->reader);
}

enum { UNREAD_MOST = 64 };

/* Columns that are not read are told by name: what was meant to be read is seen there. */
static bool tell_unread(desk *d)
{
    const evn_row *header = &d->columns.header;
    evn_arena *keep = d->reader->keep;
    const char *names[UNREAD_MOST];
    size_t count = 0, cell = 0;
    for (const char *at = header->begin; at && count < UNREAD_MOST; cell++) {
        evn_cell name;
        evn_row_cell(header, d->columns.separator, &at, &name);
        if (name.length == 0 || (cell < CELLS_MOST && d->of[cell]))
            continue;
        names[count] = evn_arena_text(keep, name.at, name.length);
        if (!names[count++])
            return false;
    }
    char all[EVN_PHRASE_BYTES];
    if (count > 0)
        d->log->unread = evn_arena_text(keep, all, strlen(evn_name_all(all, names, count)));
    return count == 0 || d->log->unread;
}

static bool tell_columns(desk *d)
{
    if (!tell_unread(d))
        return evn_log_no_memory(d->reader);
    evn_arena *keep = d->reader->keep;
    for (size_t k = 0; k < d->columns.count; k++) {
        const evn_log_column *c = &d->columns.at[k];
        const char *unit = c->stamps ? "ISO 8601" : c->unit ? c->unit->text : "";
        evn_log_origin *o = &d->log->origin[c->quantity];
        *o = (evn_log_origin){evn_arena_text(keep, c->name.at, c->name.length), unit};
        if (!o->name)
            return evn_log_no_memory(d->reader);
        d->log->column[c->quantity] = c->value;
    }
    d->log->line = d->line;
    d->log->separator = d->columns.separator;
    d->log->decimal = d->decimal ? d->decimal : '.';
    d->log->local_time = d->has_begin && d->unzoned;
    return true;
}

static unsigned header_line(const evn_log_reader *r)
{
    if (r->ask && r->ask->header_line > 0)
        return r->ask->header_line;
    return r->mapping && !isnan(r->mapping->header_line) ? (unsigned)r->mapping->header_line : 0;
}

static bool find_header(desk *d)
{
    unsigned wanted = header_line(d->reader);
    while (evn_rows_next(&d->rows, &d->columns.header))
        if (d->columns.header.line >= wanted)
            return true;
    evn_say(d->reader->report, EVN_FAULT_SYNTAX, (evn_spot){d->reader->file, 1, 1}, evn_nowhere,
            wanted ? "no line %u with names of columns; expected a header line and rows of values"
                   : "a log without lines; expected a header line and rows of values",
            wanted);
    return false;
}

static bool begin(desk *d)
{
    if (!find_header(d))
        return false;
    evn_rows behind = d->rows;
    evn_row below;
    bool has_below = evn_rows_next(&behind, &below), units_row = false;
    if (!find_separator(d, has_below ? &below : NULL) ||
        !evn_log_columns_find(d->reader, &d->columns, has_below ? &below : NULL, &units_row))
        return false;
    if (units_row)
        d->rows = behind;
    d->decimal = decimal_asked(d->reader);
    return make_room(d);
}

evn_log *evn_log_read_csv(evn_log_reader *reader)
{
    desk *d = evn_arena_take(reader->keep, sizeof *d);
    evn_log *log = evn_arena_take(reader->keep, sizeof *log);
    if (!d || !log)
        return evn_log_no_memory(reader);
    *log = (evn_log){.file = reader->name, .form = EVN_LOG_CSV, .begin_unix_s = (double)NAN};
    *d = (desk){.reader = reader, .log = log, .rows = {reader->bytes, reader->bytes + reader->length, 0}};
    if (!begin(d) || !take_rows(d) || !tell_columns(d))
        return NULL;
    if (log->rows > 0)
        return log;
    evn_log_say(reader, &d->columns.header, d->columns.header.begin, EVN_FAULT_SYNTAX,
                "a log without rows; expected rows of values below the header line");
    return NULL;
}
