/* What every walker of a field table shares: fallbacks, units of keys, nearest names, checks on curves. */
#include "core/field.h"
#include "core/arena.h"
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* ---------------------------------------------------------------------------------------------------- places */

evn_spot evn_seat_of(const evn_seat *seat, const char *path, evn_spot *used_from)
{
    evn_spot unused;
    return seat->spot(seat, path, used_from ? used_from : &unused);
}

void evn_say_at(evn_report *report, const evn_seat *seat, evn_fault fault, const char *path, const char *format, ...)
{
    evn_spot used_from;
    evn_spot at = evn_seat_of(seat, path, &used_from);
    va_list values;
    va_start(values, format);
    evn_vsay(report, fault, at, used_from, format, values);
    va_end(values);
}

evn_spot evn_sheet_header(const evn_sheet *sheet, evn_report *report)
{
    return (evn_spot){evn_report_file(report, sheet->file), sheet->header_line, 1};
}

evn_spot evn_sheet_row(const evn_sheet *sheet, size_t row, evn_report *report)
{
    return (evn_spot){evn_report_file(report, sheet->file), sheet->line[row], 1};
}

/* ---------------------------------------------------------------------------------------------------- fallbacks */

static bool put_default_object(const evn_field *field, void *member, struct evn_arena *arena)
{
    void *made = evn_arena_take(arena, field->of->size);
    if (!made || !evn_object_default(field->of, made, arena))
        return false;
    memcpy(member, &made, sizeof made);
    return true;
}

static bool put_fallback(const evn_field *field, void *member, struct evn_arena *arena)
{
    switch (field->shape) {
    case EVN_NUMBER:
    case EVN_COUNT:
        memcpy(member, &field->fallback, sizeof(double));
        return true;
    case EVN_FLAG: {
        bool flag = field->fallback > 0.0;
        memcpy(member, &flag, sizeof flag);
        return true;
    }
    case EVN_CHOICE: {
        int choice = isnan(field->fallback) ? -1 : (int)field->fallback;
        memcpy(member, &choice, sizeof choice);
        return true;
    }
    case EVN_ONE:
        return field->presence != EVN_DEFAULTED || put_default_object(field, member, arena);
    case EVN_TEXT:
    case EVN_LIST:
    case EVN_MANY:
    case EVN_STEPS:
    case EVN_SHEET:
    case EVN_FIGURES:
    case EVN_TEXTS:
        return true; /* NULL and empty are what the cleared struct holds */
    }
    return false;
}

bool evn_object_default(const evn_object *object, void *self, struct evn_arena *arena)
{
    memset(self, 0, object->size);
    for (size_t i = 0; i < object->field_count; i++) {
        const evn_field *field = &object->fields[i];
        if (!put_fallback(field, (char *)self + field->offset, arena))
            return false;
    }
    return !object->equip || object->equip(self, arena);
}

/* ---------------------------------------------------------------------------------------------------- comparing */

static bool same_numbers(const double *a, const double *b, size_t count)
{
    bool same = true;
    for (size_t i = 0; i < count; i++)
        same = same && (a[i] == b[i] || (isnan(a[i]) && isnan(b[i])));
    return same;
}

static bool same_sheet(const evn_sheet *a, const evn_sheet *b)
{
    bool same = a->columns == b->columns && a->rows == b->rows;
    for (size_t i = 0; same && i < a->columns; i++)
        same = strcmp(a->name[i], b->name[i]) == 0 && same_numbers(a->column[i], b->column[i], a->rows);
    return same;
}

/* Texts name a thing and do not change it. Maps of names and lists of steps are told apart by where they stand. */
static bool same_member(const evn_field *field, const char *a, const char *b)
{
    switch (field->shape) {
    case EVN_NUMBER:
    case EVN_COUNT:
        return same_numbers((const double *)(const void *)a, (const double *)(const void *)b, 1);
    case EVN_FLAG:
        return *(const bool *)a == *(const bool *)b;
    case EVN_CHOICE:
        return *(const int *)(const void *)a == *(const int *)(const void *)b;
    case EVN_LIST: {
        const evn_list *x = (const void *)a, *y = (const void *)b;
        return x->count == y->count && same_numbers(x->at, y->at, x->count);
    }
    case EVN_ONE: {
        const void *x = *(const void *const *)(const void *)a, *y = *(const void *const *)(const void *)b;
        return x == y || (x && y && !evn_object_differs(field->of, x, y));
    }
    case EVN_SHEET: {
        const evn_sheet *x = *(const evn_sheet *const *)(const void *)a,
                        *y = *(const evn_sheet *const *)(const void *)b;
        return x == y || (x && y && same_sheet(x, y));
    }
    case EVN_FIGURES: {
        const evn_numbers *x = (const void *)a, *y = (const void *)b;
        bool same = x->count == y->count && same_numbers(x->value, y->value, x->count);
        for (size_t i = 0; same && i < x->count; i++)
            same = strcmp(x->name[i], y->name[i]) == 0;
        return same;
    }
    case EVN_TEXT:
    case EVN_TEXTS:
        return true;
    case EVN_MANY:
    case EVN_STEPS:
        return memcmp(a, b, field->shape == EVN_MANY ? sizeof(evn_many) : sizeof(evn_steps)) == 0;
    }
    return false;
}

const char *evn_object_differs(const evn_object *object, const void *a, const void *b)
{
    for (size_t i = 0; i < object->field_count; i++) {
        const evn_field *field = &object->fields[i];
        if (!field->remark && !same_member(field, (const char *)a + field->offset, (const char *)b + field->offset))
            return field->key;
    }
    return NULL;
}

/* ---------------------------------------------------------------------------------------------------- units */

typedef struct unit_row {
    const char *ending, *unit;
} unit_row;

/* Of several endings that fit, the longest counts: _km_h before _h. */
static const unit_row unit_rows[] = {
    {"_kg_m3", "kg/m3"},
    {"_kg_m2", "kg m2"},
    {"_m_s3", "m/s3"},
    {"_m_s2", "m/s2"},
    {"_rad_s2", "rad/s2"},
    {"_km_h", "km/h"},
    {"_m_s", "m/s"},
    {"_rad_s", "rad/s"},
    {"_1_s", "1/s"},
    {"_nm_rad", "Nm/rad"},
    {"_nm_deg", "Nm/deg"},
    {"_n_m", "N/m"},
    {"_w_k", "W/K"},
    {"_j_k", "J/K"},
    {"_j_kg_k", "J/(kg K)"},
    {"_k_w", "K/W"},
    {"_per_k", "1/K"},
    {"_per_km", "1/km"},
    {"per_kw", "1/kW"}, /* of prices, which are in a currency of the file's own */
    {"per_kwh", "1/kWh"},
    {"per_kg", "1/kg"},
    {"per_t_km", "1/(t km)"},
    {"_per_kw_year", "1/(kW a)"},
    {"_per_h", "1/h"},
    {"kwh_per_km", "kWh/km"},
    {"_per_m", "1/m"},
    {"_percent", "%"},
    {"_degc", "degC"},
    {"_deg", "deg"},
    {"_rad", "rad"},
    {"_mph", "mph"},
    {"_rpm", "rpm"},
    {"_kwh", "kWh"},
    {"_wh", "Wh"},
    {"_kw", "kW"},
    {"_mw", "MW"},
    {"_kg", "kg"},
    {"_kpa", "kPa"},
    {"_bar", "bar"},
    {"_pa", "Pa"},
    {"_ohm", "ohm"},
    {"_mohm", "mohm"},
    {"_ah", "Ah"},
    {"_knm", "kNm"},
    {"_nm", "Nm"},
    {"_kn", "kN"},
    {"_kn_m", "kN/m"},
    {"_kn_s_m", "kN s/m"},
    {"_hz", "Hz"},
    {"_mm", "mm"},
    {"_km", "km"},
    {"_m2", "m2"},
    {"_m3", "m3"},
    {"_min", "min"},
    {"_kj", "kJ"},
    {"_mj", "MJ"},
    {"_k", "K"},
    {"_h", "h"},
    {"_s", "s"},
    {"_m", "m"},
    {"_n", "N"},
    {"_w", "W"},
    {"_v", "V"},
    {"_a", "A"},
    {"_j", "J"},
    {"_t", "t"},
    {"_s_m", "s/m"},
    {"_k_per_kw", "K/kW"},
    {"_kw_per_k", "kW/K"},
    {"_w_per_k", "W/K"},
    {"_kj_per_k", "kJ/K"},
    {"_w_per_rad_s", "W/(rad/s)"},
    {"_w_per_rad2_s2", "W/(rad/s)2"},
    {"_w_per_nm2", "W/Nm2"},
};

const char *evn_unit_of(const char *key)
{
    size_t length = strlen(key);
    const char *unit = "";
    size_t longest = 0;
    for (size_t i = 0; i < sizeof unit_rows / sizeof unit_rows[0]; i++) {
        size_t ending = strlen(unit_rows[i].ending);
        if (ending > longest && ending <= length && strcmp(key + length - ending, unit_rows[i].ending) == 0) {
            unit = unit_rows[i].unit;
            longest = ending;
        }
    }
    return unit;
}

/* ---------------------------------------------------------------------------------------------------- nearest name */

enum { NAME_MOST = 64 };

static char lower(char letter) { return letter >= 'A' && letter <= 'Z' ? (char)(letter - 'A' + 'a') : letter; }

static size_t least_of(size_t a, size_t b) { return a < b ? a : b; }

/* Insertions, deletions, replacements and swaps of neighbours; letters of either case are the same. */
static size_t edit_distance(const char *a, size_t a_length, const char *b, size_t b_length)
{
    size_t rows[3][NAME_MOST + 1];
    size_t *two_up = rows[0], *up = rows[1], *row = rows[2];
    for (size_t j = 0; j <= b_length; j++)
        up[j] = j;
    for (size_t i = 1; i <= a_length; i++) {
        row[0] = i;
        for (size_t j = 1; j <= b_length; j++) {
            bool same = lower(a[i - 1]) == lower(b[j - 1]);
            row[j] = least_of(least_of(up[j], row[j - 1]) + 1, up[j - 1] + (same ? 0 : 1));
            if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1]))
                row[j] = least_of(row[j], two_up[j - 2] + 1);
        }
        size_t *oldest = two_up;
        two_up = up;
        up = row;
        row = oldest;
    }
    return up[b_length];
}

/* "mass" for "mass_kg", "limit" for "speed_limit": one name is whole words at the end or the beginning of the other. */
static bool is_part_of(const char *a, size_t a_length, const char *b, size_t b_length)
{
    if (a_length > b_length)
        return is_part_of(b, b_length, a, a_length);
    if (a_length < 3 || a_length == b_length)
        return false;
    bool begins = strncmp(a, b, a_length) == 0 && b[a_length] == '_';
    bool ends = strcmp(a, b + b_length - a_length) == 0 && b[b_length - a_length - 1] == '_';
    return begins || ends;
}

const char *evn_nearest(const char *found, const char *const *names, size_t count)
{
    size_t length = strlen(found);
    if (length == 0 || length > NAME_MOST)
        return NULL;
    const char *nearest = NULL;
    size_t least = (length + 3) / 4 + 1; /* one slip in a word of up to four letters, two in eight */
    for (size_t i = 0; i < count; i++) {
        size_t other = strlen(names[i]);
        if (other > NAME_MOST)
            continue;
        size_t distance = edit_distance(found, length, names[i], other);
        if (distance > 1 && is_part_of(found, length, names[i], other))
            distance = 1;
        if (distance < least && distance < other) {
            least = distance;
            nearest = names[i];
        }
    }
    return nearest;
}

/* ---------------------------------------------------------------------------------------------------- curves */

bool evn_check_curve(const evn_list *x, const char *x_key, double apart_least, const evn_list *y, const char *y_key,
                     const evn_seat *seat, evn_report *report)
{
    if (x->count != y->count) {
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, y_key,
                   "%s has %zu values and %s has %zu; expected one value of %s for each of %s", y_key, y->count, x_key,
                   x->count, y_key, x_key);
        return false;
    }
    for (size_t i = 1; i < x->count; i++) {
        if (!(x->at[i] - x->at[i - 1] >= apart_least * (1 - EVN_APART_HAIR))) {
            char path[256];
            int length = snprintf(path, sizeof path, "%s[%zu]", x_key, i);
            bool whole = length > 0 && (size_t)length < sizeof path;
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, whole ? path : x_key,
                       "%s goes from %.10g to %.10g; expected a rise of at least %g from each to the next", x_key,
                       x->at[i - 1], x->at[i], apart_least);
            return false;
        }
    }
    return true;
}

size_t evn_choice_count(const evn_field *field)
{
    size_t count = 0;
    while (field->choices[count])
        count++;
    return count;
}
