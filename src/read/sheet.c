/* Two walks over the rows: the first counts them and tells columns of numbers from columns of text, the second reads.
 */
#include "read/sheet.h"
#include "read/bytes.h"
#include "read/number.h"
#include "read/rows.h"
#include <math.h>
#include <string.h>

enum { COLUMNS_MOST = 256 };

typedef struct walk {
    evn_reading *reading;
    const evn_source *source;
    evn_rows rows;
} walk;

typedef struct plan {
    size_t columns, rows;
    bool numeric[COLUMNS_MOST];
    bool gaps; /* empty cells are allowed in columns of numbers */
    evn_row header;
    evn_cell names[COLUMNS_MOST];
} plan;

/* ---------------------------------------------------------------------------------------------------- places */

static evn_spot spot_in(const walk *w, const evn_row *in, const char *at)
{
    return (evn_spot){w->source->file, in->line, evn_row_column(in, at)};
}

static bool say(walk *w, const evn_row *in, const char *at, evn_fault fault, const char *text)
{
    evn_say(w->reading->report, fault, spot_in(w, in, at), w->source->used_from, "%s", text);
    return false;
}

/* ---------------------------------------------------------------------------------------------------- the header */

static bool sound_name(walk *w, const plan *p, evn_cell name)
{
    double value;
    if (name.length == 0)
        return say(w, &p->header, name.at, EVN_FAULT_SYNTAX, "a column without a name; expected a name in each cell");
    if (!evn_number_read(name.at, name.length, &value)) {
        return say(w, &p->header, name.at, EVN_FAULT_SYNTAX,
                   "a number where the names of the columns belong; expected a header line before the numbers");
    }
    if (memchr(name.at, ';', name.length) || memchr(name.at, '\t', name.length)) {
        return say(w, &p->header, name.at, EVN_FAULT_SYNTAX,
                   "columns parted by ';' or tabs; expected commas between columns and points in decimals");
    }
    for (size_t i = 0; i < p->columns; i++)
        if (p->names[i].length == name.length && memcmp(p->names[i].at, name.at, name.length) == 0)
            return say(w, &p->header, name.at, EVN_FAULT_DUPLICATE_KEY, "a second column of this name; expected one");
    return true;
}

static bool read_header(walk *w, plan *p)
{
    if (!evn_rows_next(&w->rows, &p->header)) {
        evn_spot top = {w->source->file, 1, 1};
        evn_say(w->reading->report, EVN_FAULT_SYNTAX, top, w->source->used_from,
                "a sheet without lines; expected a header line and rows of numbers");
        return false;
    }
    bool sound = true;
    for (const char *at = p->header.begin; at;) {
        evn_cell name;
        if (!evn_row_cell(&p->header, ',', &at, &name))
            return say(w, &p->header, name.at, EVN_FAULT_SYNTAX, "a quote that is not closed; expected its end");
        if (p->columns == COLUMNS_MOST)
            return say(w, &p->header, name.at, EVN_FAULT_TOO_LARGE, "more than 256 columns; expected fewer");
        sound = sound_name(w, p, name) && sound;
        p->names[p->columns++] = name;
    }
    return sound;
}

/* ---------------------------------------------------------------------------------------------------- first walk */

static bool survey_row(walk *w, plan *p, const evn_row *in)
{
    size_t cells = 0;
    for (const char *at = in->begin; at; cells++) {
        evn_cell found;
        double value;
        if (!evn_row_cell(in, ',', &at, &found))
            return say(w, in, found.at, EVN_FAULT_SYNTAX, "a quote that is not closed; expected its end");
        if (cells < p->columns && !evn_number_read(found.at, found.length, &value))
            p->numeric[cells] = true;
    }
    if (cells != p->columns) {
        evn_say(w->reading->report, EVN_FAULT_WRONG_SHAPE, spot_in(w, in, in->begin), w->source->used_from,
                "a row of %zu cells; expected %zu, as many as the header has", cells, p->columns);
        return false;
    }
    return true;
}

static bool survey(walk w, plan *p)
{
    bool sound = true;
    for (evn_row in; evn_rows_next(&w.rows, &in);) {
        if ((p->rows + 1) * p->columns > EVN_ITEMS_MOST)
            return say(&w, &in, in.begin, EVN_FAULT_TOO_LARGE, "more than 2 million cells in a sheet; expected fewer");
        sound = survey_row(&w, p, &in) && sound;
        p->rows++;
    }
    return sound;
}

/* ---------------------------------------------------------------------------------------------------- second walk */

typedef struct draft {
    const char **name;
    double **column;
    uint32_t *line;
    const char *file;
    size_t columns;
} draft;

static bool take_column(walk *w, const plan *p, size_t from, draft *d)
{
    evn_arena *keep = w->reading->keep;
    size_t to = d->columns++;
    d->name[to] = evn_arena_text(keep, p->names[from].at, p->names[from].length);
    d->column[to] = evn_arena_take(keep, p->rows * sizeof(double));
    return d->name[to] && d->column[to];
}

static bool draft_columns(walk *w, const plan *p, draft *d)
{
    evn_arena *keep = w->reading->keep;
    d->name = evn_arena_take(keep, p->columns * sizeof *d->name);
    d->column = evn_arena_take(keep, p->columns * sizeof *d->column);
    d->line = evn_arena_take(keep, p->rows * sizeof *d->line);
    d->file = evn_arena_text(keep, w->source->shown, strlen(w->source->shown));
    bool taken = d->name && d->column && d->line && d->file;
    for (size_t i = 0; i < p->columns && taken; i++)
        taken = !p->numeric[i] || take_column(w, p, i, d);
    return taken || evn_reading_out_of_memory(w->reading);
}

static bool say_cell(walk *w, const evn_row *in, const plan *p, size_t column, evn_cell found, const char *why)
{
    char quoted[EVN_QUOTE_BYTES], name[EVN_QUOTE_BYTES];
    evn_say(w->reading->report, EVN_FAULT_NOT_A_NUMBER, spot_in(w, in, found.at), w->source->used_from,
            "%s in the column %s, which holds numbers; expected a plain decimal number; %s",
            evn_quote(quoted, found.at, found.length), evn_quote(name, p->names[column].at, p->names[column].length),
            why);
    return false;
}

static bool read_row(walk *w, const plan *p, draft *d, const evn_row *in, size_t index)
{
    bool sound = true;
    size_t to = 0;
    const char *at = in->begin;
    for (size_t i = 0; i < p->columns && at; i++) {
        evn_cell found;
        evn_row_cell(in, ',', &at, &found); /* the first walk has seen that it succeeds */
        if (!p->numeric[i])
            continue;
        if (p->gaps && found.length == 0) {
            d->column[to++][index] = (double)NAN;
            continue;
        }
        const char *why = evn_number_read(found.at, found.length, &d->column[to++][index]);
        sound = (!why || say_cell(w, in, p, i, found, why)) && sound;
    }
    d->line[index] = in->line;
    return sound;
}

static const evn_sheet *read_rows(walk w, const plan *p)
{
    draft d = {0};
    evn_sheet *sheet = evn_arena_take(w.reading->keep, sizeof *sheet);
    if (!sheet || !draft_columns(&w, p, &d)) {
        evn_reading_out_of_memory(w.reading);
        return NULL;
    }
    if (d.columns == 0) {
        say(&w, &p->header, p->header.begin, EVN_FAULT_SYNTAX,
            "a sheet without numbers; expected rows of numbers below the header line");
        return NULL;
    }
    bool sound = true;
    size_t index = 0;
    for (evn_row in; evn_rows_next(&w.rows, &in); index++)
        sound = read_row(&w, p, &d, &in, index) && sound;
    *sheet = (evn_sheet){.columns = d.columns,
                         .rows = p->rows,
                         .name = d.name,
                         .column = (const double *const *)d.column,
                         .file = d.file,
                         .header_line = p->header.line,
                         .line = d.line};
    return sound ? sheet : NULL;
}

const evn_sheet *evn_sheet_read(evn_reading *reading, const evn_source *source, const char *bytes, size_t length,
                                bool gaps)
{
    if (!evn_bytes_check(reading, source, &bytes, &length))
        return NULL;
    plan *p = evn_arena_take(reading->scratch, sizeof *p);
    if (!p) {
        evn_reading_out_of_memory(reading);
        return NULL;
    }
    p->gaps = gaps;
    walk w = {.reading = reading, .source = source, .rows = {bytes, bytes + length, 0}};
    if (!read_header(&w, p) || !survey(w, p))
        return NULL;
    return read_rows(w, p);
}
