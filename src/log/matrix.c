/*
 * Matrices: the axis across stands in the header line behind a corner cell, the axis down in the first cell of each
 * row. Cells become points of speed, torque and value, as tables of the program hold them.
 */
#define _POSIX_C_SOURCE 200809L
#include "log/matrix.h"
#include "core/plain_locale.h"
#include "core/units.h"
#include "core/words.h"
#include "log/separators.h"
#include "log/units.h"
#include "log/values.h"
#include "read/bytes.h"
#include "read/read.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef enum of_value { OF_EFFICIENCY, OF_POWER, OF_TORQUE } of_value;

typedef struct meaning { /* of the axes and the cells */
    bool speed_across;
    double across, down, value; /* factors to rpm, Nm; share, W, Nm */
    of_value of;
    bool by_oil;
} meaning;

typedef struct desk {
    evn_matrix *matrix;
    const char *bytes;
    size_t length;
    uint32_t file;
    meaning means;
    char separator, decimal;
    double axis[EVN_MATRIX_AXIS_MOST];
    size_t across;
    evn_row header;
    evn_report *report;
    double at, largest; /* of the sheet; of its values, as written */
    size_t values;
} desk;

/* ------------------------------------------------------------------------------------------------ saying */

static bool say(desk *d, const evn_row *row, const char *at, evn_fault fault, const char *format, ...)
    __attribute__((format(printf, 5, 6)));
static bool say(desk *d, const evn_row *row, const char *at, evn_fault fault, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    evn_vsay(d->report, fault, (evn_spot){d->file, row->line, evn_row_column(row, at)}, evn_nowhere, format, values);
    va_end(values);
    return false;
}

static bool usage(evn_report *report, const char *what, const char *found, const char *expected)
{
    char quoted[EVN_QUOTE_BYTES];
    evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "%s as %s; expected %s",
            found ? evn_quote(quoted, found, strlen(found)) : "nothing", what, expected);
    return false;
}

static bool no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a matrix");
    return false;
}

/* ------------------------------------------------------------------------------------------------ what it means */

static bool is_word(evn_cell c, const char *word) { return strlen(word) == c.length && !memcmp(word, c.at, c.length); }

/* "speed [rpm]" to the factor of its unit; false: not that quantity in a unit of it. */
static bool quantity_is(const char *text, const char *word, evn_dimension dimension, double *factor)
{
    evn_cell name, unit;
    evn_log_name_split(evn_cell_trimmed(text, text + strlen(text), '\0'), &name, &unit);
    const evn_log_unit *found = is_word(name, word) ? evn_log_unit_of(dimension, unit) : NULL;
    if (found)
        *factor = found->factor;
    return found;
}

static bool axis_means(const char *text, bool *is_speed, double *factor)
{
    *is_speed = quantity_is(text, "speed", EVN_DIMENSION_TURNING, factor);
    if (*is_speed)
        *factor /= EVN_RAD_S_PER_RPM;
    return *is_speed || quantity_is(text, "torque", EVN_DIMENSION_TORQUE, factor);
}

static bool axes_mean(const evn_matrix_ask *ask, meaning *m, evn_report *report)
{
    bool across_speed, down_speed;
    const char *across = ask->across ? ask->across : "speed [rpm]", *down = ask->down ? ask->down : "torque [Nm]";
    static const char axes[] = "speed [rpm], speed [1/min], speed [rad/s], torque [Nm] or torque [kNm]";
    if (!axis_means(across, &across_speed, &m->across))
        return usage(report, "the axis across", across, axes);
    if (!axis_means(down, &down_speed, &m->down))
        return usage(report, "the axis down", down, axes);
    if (across_speed == down_speed)
        return usage(report, "the axis down", down,
                     across_speed ? "torque, as speed is across"
                                  : "speed, as torque is "
                                    "across");
    m->speed_across = across_speed;
    return true;
}

static bool values_mean(const evn_matrix_ask *ask, meaning *m, evn_report *report)
{
    const char *text = ask->values ? ask->values : "";
    m->of = OF_EFFICIENCY;
    if (quantity_is(text, "efficiency", EVN_DIMENSION_RATIO, &m->value))
        return true;
    m->of = OF_POWER;
    if (quantity_is(text, "loss", EVN_DIMENSION_POWER, &m->value))
        return true;
    m->of = OF_TORQUE;
    if (quantity_is(text, "loss", EVN_DIMENSION_TORQUE, &m->value))
        return true;
    return usage(report, "what the cells hold", ask->values,
                 "efficiency [%], efficiency [1], loss [W], loss [kW] or loss [Nm]");
}

static bool sheets_mean(const evn_matrix_ask *ask, meaning *m, evn_report *report)
{
    const char *text = ask->sheets ? ask->sheets : "voltage [V]";
    double factor;
    m->by_oil = quantity_is(text, "oil", EVN_DIMENSION_TEMPERATURE, &factor) && factor == 1;
    return m->by_oil || quantity_is(text, "voltage", EVN_DIMENSION_VOLTAGE, &factor) ||
           usage(report, "what the sheets differ in", text, "voltage [V] or oil [degC]");
}

/* ------------------------------------------------------------------------------------------------ cells */

static bool number(desk *d, const evn_row *row, evn_cell found, const char *what, double *value)
{
    const char *why = evn_log_number(found.at, found.length, &d->decimal, value);
    char quoted[EVN_QUOTE_BYTES];
    return !why || say(d, row, found.at, EVN_FAULT_NOT_A_NUMBER, "%s as %s; expected a decimal number: %s",
                       evn_quote(quoted, found.at, found.length), what, why);
}

static bool apart(desk *d, const evn_row *row, evn_cell found, const double *axis, size_t count)
{
    for (size_t k = 0; k < count; k++)
        if (axis[k] == axis[count])
            return say(d, row, found.at, EVN_FAULT_DISAGREES, "%.10g twice on one axis; expected each once",
                       axis[count]);
    return true;
}

/* "Nm" or "torque [Nm]": of torque -1, of speed 1, anything else 0. */
static int of_axis(const char *begin, const char *end)
{
    evn_cell name, unit, whole = evn_cell_trimmed(begin, end, '\0');
    evn_log_name_split(whole, &name, &unit);
    unit = unit.length > 0 ? unit : whole;
    bool speed = is_word(name, "speed") || evn_log_unit_of(EVN_DIMENSION_TURNING, unit);
    bool torque = is_word(name, "torque") || evn_log_unit_of(EVN_DIMENSION_TORQUE, unit);
    return speed - torque;
}

/* A corner of "down \\ across", or with " / ", says what the axes are; held against what was asked. */
static bool corner_agrees(desk *d, evn_cell corner)
{
    const char *end = corner.at + corner.length, *bar = memchr(corner.at, '\\', corner.length);
    for (const char *at = corner.at; !bar && at + 2 < end; at++)
        bar = memcmp(at, " / ", 3) == 0 ? at + 1 : NULL;
    int down = bar ? of_axis(corner.at, bar) : 0, across = bar ? of_axis(bar + 1, end) : 0;
    int asked = d->means.speed_across ? 1 : -1;
    if (across != -asked && down != asked)
        return true;
    char quoted[EVN_QUOTE_BYTES];
    return say(d, &d->header, corner.at, EVN_FAULT_DISAGREES,
               "%s in the corner, which says %s across; expected %s; --across and --down say what the axes are",
               evn_quote(quoted, corner.at, corner.length), asked > 0 ? "torque" : "speed",
               asked > 0 ? "speed" : "torque");
}

static bool take_axis(desk *d)
{
    const char *at = d->header.begin;
    evn_cell found;
    if (!evn_row_cell(&d->header, d->separator, &at, &found)) /* the corner */
        return say(d, &d->header, found.at, EVN_FAULT_SYNTAX, "a quote that is not closed; expected its end");
    if (!corner_agrees(d, found))
        return false;
    while (at) {
        if (!evn_row_cell(&d->header, d->separator, &at, &found))
            return say(d, &d->header, found.at, EVN_FAULT_SYNTAX, "a quote that is not closed; expected its end");
        if (!at && found.length == 0 && d->across > 0) /* a separator at the end of the line */
            break;
        if (d->across == EVN_MATRIX_AXIS_MOST)
            return say(d, &d->header, found.at, EVN_FAULT_TOO_LARGE, "more than %d values across; expected fewer",
                       EVN_MATRIX_AXIS_MOST);
        if (!number(d, &d->header, found, "a value of the axis across", &d->axis[d->across]) ||
            !apart(d, &d->header, found, d->axis, d->across))
            return false;
        d->across++;
    }
    return d->across >= 2 || say(d, &d->header, d->header.begin, EVN_FAULT_SYNTAX,
                                 "fewer than two values across; expected an axis behind the first cell of this line; "
                                 "--header-line says where it is");
}

static bool sound_value(desk *d, const evn_row *row, evn_cell found, double plain, double value)
{
    d->largest = fmax(d->largest, plain);
    d->values++;
    if (d->means.of == OF_EFFICIENCY && value > 1)
        return say(d, row, found.at, EVN_FAULT_OUT_OF_RANGE, "an efficiency of %.6g; expected at most %g%s", plain,
                   1 / d->means.value, d->means.value == 1 ? "; per cent are said as --values 'efficiency [%]'" : "");
    return value >= 0 || say(d, row, found.at, EVN_FAULT_OUT_OF_RANGE, "%s of %.6g; expected 0 or more",
                             d->means.of == OF_EFFICIENCY ? "an efficiency" : "a loss", plain);
}

static bool take_cell(desk *d, const evn_row *row, evn_cell found, size_t column, double down)
{
    double plain;
    if (!number(d, row, found, "a value", &plain))
        return false;
    double value = plain * d->means.value, across = d->axis[column] * d->means.across;
    if (!sound_value(d, row, found, plain, value))
        return false;
    if (d->means.of == OF_EFFICIENCY && value == 0) { /* what suppliers write where nothing was measured */
        d->matrix->told.empty++;
        return true;
    }
    double speed = d->means.speed_across ? across : down, torque = d->means.speed_across ? down : across;
    if (speed < 0) {
        d->matrix->told.reversed++;
        return true;
    }
    d->matrix->cell[d->matrix->count++] = (evn_matrix_cell){d->at, speed, torque, value};
    return true;
}

static bool take_row(desk *d, const evn_row *row, double *down_axis, size_t index)
{
    const char *at = row->begin;
    evn_cell found;
    size_t cells = evn_cells_of(row, d->separator);
    bool extra = cells == d->across + 2 && row->end[-1] == d->separator;
    if (cells != d->across + 1 && !extra)
        return say(d, row, row->begin, EVN_FAULT_WRONG_SHAPE,
                   "a row of %zu cells; expected %zu, one more than there are values across", cells, d->across + 1);
    evn_row_cell(row, d->separator, &at, &found);
    if (!number(d, row, found, "a value of the axis down", &down_axis[index]) ||
        !apart(d, row, found, down_axis, index))
        return false;
    bool sound = true;
    for (size_t k = 0; k < d->across; k++) {
        evn_row_cell(row, d->separator, &at, &found);
        if (evn_cell_is_empty(found))
            d->matrix->told.empty++;
        else
            sound = take_cell(d, row, found, k, down_axis[index] * d->means.down) && sound;
    }
    return sound;
}

static bool take_rows(desk *d, evn_rows rows)
{
    double down[EVN_MATRIX_AXIS_MOST + 1];
    size_t count = 0;
    bool sound = true;
    for (evn_row row; evn_rows_next(&rows, &row); count++) {
        if (count == EVN_MATRIX_AXIS_MOST)
            return say(d, &row, row.begin, EVN_FAULT_TOO_LARGE, "more than %d rows; expected fewer",
                       EVN_MATRIX_AXIS_MOST);
        if (!take_row(d, &row, down, count)) {
            sound = false;
            down[count] = (double)NAN;
        }
    }
    if (sound && count < 2)
        return say(d, &d->header, d->header.begin, EVN_FAULT_SYNTAX, "%zu row below the axis; expected 2 at least",
                   count);
    if (sound && d->means.of == OF_EFFICIENCY && d->means.value != 1 && d->values > 0 && d->largest <= 1)
        return say(d, &d->header, d->header.begin, EVN_FAULT_DISAGREES,
                   "no efficiency above %.4g %%; expected per cent; shares are said as --values 'efficiency [1]'",
                   d->largest);
    return sound;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool begin(desk *d, const evn_matrix_ask *ask, evn_rows *rows)
{
    do {
        if (!evn_rows_next(rows, &d->header)) {
            evn_say(d->report, EVN_FAULT_SYNTAX, (evn_spot){d->file, 1, 1}, evn_nowhere,
                    "a matrix without lines; expected an axis across, and rows below it");
            return false;
        }
    } while (d->header.line < ask->header_line);
    evn_rows behind = *rows;
    evn_row below;
    bool several = false, has_below = evn_rows_next(&behind, &below);
    d->separator = ask->separator ? evn_separator_of_word(ask->separator)
                                  : evn_separator_find(&d->header, has_below ? &below : NULL, &several);
    d->decimal = ask->decimal ? evn_decimal_of_word(ask->decimal) : '\0';
    if (d->separator)
        return take_axis(d);
    return say(d, &d->header, d->header.begin, EVN_FAULT_SYNTAX,
               "no separator, or several, that give this line and the next as many cells; expected --separator comma, "
               "semicolon, tab or bar");
}

static bool room_for(evn_matrix *m, size_t more)
{
    evn_matrix_cell *cell = evn_arena_take(m->arena, (m->count + more + 1) * sizeof *cell);
    if (!cell)
        return false;
    if (m->count > 0)
        memcpy(cell, m->cell, m->count * sizeof *cell);
    m->cell = cell;
    return true;
}

static bool is_text(desk *d, const char *name)
{
    evn_reading reading = {.report = d->report, .keep = d->matrix->arena, .scratch = d->matrix->arena};
    evn_source source = {.path = name, .shown = name, .file = d->file};
    return evn_bytes_check(&reading, &source, &d->bytes, &d->length);
}

/* Cells that the bytes can hold: each takes two of them. */
static bool read_sheet(desk *d, const evn_matrix_ask *ask, const char *name)
{
    evn_rows rows;
    if (!is_text(d, name))
        return false;
    rows = (evn_rows){d->bytes, d->bytes + d->length, 0};
    size_t most = d->length / 2 + 1, grid = (size_t)EVN_MATRIX_AXIS_MOST * EVN_MATRIX_AXIS_MOST;
    if (!room_for(d->matrix, most < grid ? most : grid))
        return no_memory(d->report);
    return begin(d, ask, &rows) && take_rows(d, rows);
}

bool evn_matrix_add(evn_matrix *m, const char *bytes, size_t length, const char *name, double at,
                    const evn_matrix_ask *ask, evn_report *report)
{
    desk *d = evn_arena_take(m->arena, sizeof *d);
    if (!d)
        return no_memory(report);
    *d = (desk){.matrix = m, .bytes = bytes, .length = length, .report = report, .at = at};
    d->file = evn_report_file(report, name);
    if (!axes_mean(ask, &d->means, report) || !values_mean(ask, &d->means, report) ||
        !sheets_mean(ask, &d->means, report))
        return false;
    evn_plain_locale locale;
    if (!evn_plain_locale_enter(&locale))
        return no_memory(report);
    bool sound = read_sheet(d, ask, name);
    evn_plain_locale_leave(&locale);
    static const char *const columns[] = {"efficiency", "loss_w", "loss_nm"};
    m->told.value_column = columns[d->means.of];
    m->told.sheet_column = isnan(at) ? NULL : d->means.by_oil ? "oil_degc" : "voltage_v";
    m->told.separator = d->separator;
    m->told.decimal = d->decimal ? d->decimal : '.';
    m->told.sheets++;
    return sound;
}

static int by_place(const void *left, const void *right)
{
    const evn_matrix_cell *a = left, *b = right;
    int order = (a->sheet > b->sheet) - (a->sheet < b->sheet);
    order = order ? order : (a->speed_rpm > b->speed_rpm) - (a->speed_rpm < b->speed_rpm);
    return order ? order : (a->torque_nm > b->torque_nm) - (a->torque_nm < b->torque_nm);
}

static void sum_up(evn_matrix *m)
{
    evn_matrix_told *t = &m->told;
    bool efficiency = strcmp(t->value_column, "efficiency") == 0;
    t->cells = m->count;
    t->speed_least_rpm = t->torque_least_nm = t->value_least = (double)INFINITY;
    t->speed_most_rpm = t->torque_most_nm = t->value_most = -(double)INFINITY;
    for (size_t k = 0; k < m->count; k++) {
        const evn_matrix_cell *c = &m->cell[k];
        if (efficiency ? c->value > t->value_most : c->value < t->value_least) {
            t->best_speed_rpm = c->speed_rpm;
            t->best_torque_nm = c->torque_nm;
        }
        t->speed_least_rpm = fmin(t->speed_least_rpm, c->speed_rpm);
        t->speed_most_rpm = fmax(t->speed_most_rpm, c->speed_rpm);
        t->torque_least_nm = fmin(t->torque_least_nm, c->torque_nm);
        t->torque_most_nm = fmax(t->torque_most_nm, c->torque_nm);
        t->value_least = fmin(t->value_least, c->value);
        t->value_most = fmax(t->value_most, c->value);
    }
}

static bool sheets_fit(const evn_matrix_sheet *sheet, size_t count, evn_report *report)
{
    if (count == 0 || count > EVN_MATRIX_SHEETS_MOST) {
        evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "%zu matrices; expected 1 to %d", count,
                EVN_MATRIX_SHEETS_MOST);
        return false;
    }
    for (size_t k = 0; k < count; k++)
        for (size_t j = 0; j < k || (j == k && count > 1); j++)
            if (isnan(sheet[k].at) || (j < k && sheet[j].at == sheet[k].at)) {
                evn_say(report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere,
                        "several matrices of which one does not say what it was measured at, or two say the same; "
                        "expected a value of each");
                return false;
            }
    return true;
}

/* Two sheets with the same values: one file given twice. */
static bool sheets_differ(const evn_matrix *m, const evn_matrix_sheet *sheet, size_t count, evn_report *report)
{
    size_t each = count > 0 ? m->count / count : 0;
    for (size_t k = 1; k < count && each * count == m->count; k++) { /* cells stand sheet by sheet, by place */
        const evn_matrix_cell *one = &m->cell[(k - 1) * each], *two = &m->cell[k * each];
        size_t same = 0;
        while (same < each && one[same].speed_rpm == two[same].speed_rpm &&
               one[same].torque_nm == two[same].torque_nm && one[same].value == two[same].value)
            same++;
        if (same < each)
            continue;
        evn_say(report, EVN_FAULT_DISAGREES, (evn_spot){evn_report_file(report, sheet[k].path), 0, 0}, evn_nowhere,
                "the matrices of %.6g and %.6g hold the same values; expected a matrix of its own for each", one->sheet,
                two->sheet);
        return false;
    }
    return true;
}

/* What no drive of a truck is: a matrix read as something else than it is. Warned of. */
static void doubt(const evn_matrix *m, const char *path, evn_report *report)
{
    const double BEST_LEAST = 0.5;
    bool power = strcmp(m->told.value_column, "loss_w") == 0;
    evn_spot file = {evn_report_file(report, path), 0, 0};
    size_t beyond = 0;
    for (size_t k = 0; k < m->count && power; k++)
        beyond += m->cell[k].value > fabs(m->cell[k].speed_rpm * EVN_RAD_S_PER_RPM * m->cell[k].torque_nm);
    if (strcmp(m->told.value_column, "efficiency") == 0 && m->told.value_most < BEST_LEAST)
        evn_say(report, EVN_FAULT_UNUSUAL_VALUE, file, evn_nowhere,
                "a best efficiency of %.3g %%; expected %g %% or more; losses are said as --values 'loss [kW]'",
                100 * m->told.value_most, 100 * BEST_LEAST);
    if (2 * beyond > m->count)
        evn_say(
            report, EVN_FAULT_UNUSUAL_VALUE, file, evn_nowhere,
            "losses above the power of the shaft at %zu of %zu points; expected fewer than half; is the unit W, or are "
            "they an efficiency?",
            beyond, m->count);
}

bool evn_matrix_make(evn_matrix *m, const evn_matrix_sheet *sheet, size_t count, const evn_matrix_ask *ask,
                     evn_report *report)
{
    bool sound = sheets_fit(sheet, count, report);
    for (size_t k = 0; k < count && sound; k++) {
        evn_bytes bytes;
        evn_trouble trouble;
        if (!evn_bytes_load(sheet[k].path, &bytes, &trouble)) {
            evn_read_trouble(sheet[k].path, &trouble, report);
            return false;
        }
        sound = evn_matrix_add(m, bytes.at, bytes.length, sheet[k].path, sheet[k].at, ask, report);
        free(bytes.at);
    }
    if (sound && m->count == 0) {
        evn_say(report, EVN_FAULT_DISAGREES, (evn_spot){evn_report_file(report, sheet[0].path), 0, 0}, evn_nowhere,
                "a matrix without values; expected some at speeds of 0 or more");
        return false;
    }
    if (!sound)
        return false;
    qsort(m->cell, m->count, sizeof *m->cell, by_place);
    sum_up(m);
    if (!sheets_differ(m, sheet, count, report))
        return false;
    doubt(m, sheet[0].path, report);
    return true;
}
