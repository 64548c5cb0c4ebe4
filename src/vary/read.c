/* A file of variants as it is read: facts, columns, rows picked and sorted. */
#define _POSIX_C_SOURCE 200809L
#include "core/arena.h"
#include "core/words.h"
#include "vary/drive.h"
#include "vary/sql.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { TRUCKS_MOST = 12, FACTS_MOST = 80 };

struct evn_variants {
    sqlite3 *db;
    evn_arena *arena;
    const char *path;
    const char *fact[FACTS_MOST][2];
    size_t facts;
    evn_variants_column *column;
    size_t columns;
    const char *truck[TRUCKS_MOST];
    size_t trucks;
};

static const char *kept(evn_variants *v, const unsigned char *text)
{
    const char *from = text ? (const char *)text : "";
    const char *copy = evn_arena_text(v->arena, from, strlen(from));
    return copy ? copy : "";
}

/* ------------------------------------------------------------------------------------------------ opening */

static bool read_facts(evn_variants *v)
{
    sqlite3_stmt *ask = evn_sql_prepare(v->db, "SELECT key, value FROM facts ORDER BY rowid");
    int step = SQLITE_ERROR;
    while (ask && (step = sqlite3_step(ask)) == SQLITE_ROW && v->facts < FACTS_MOST) {
        v->fact[v->facts][0] = kept(v, sqlite3_column_text(ask, 0));
        v->fact[v->facts++][1] = kept(v, sqlite3_column_text(ask, 1));
    }
    sqlite3_finalize(ask);
    return step == SQLITE_DONE && v->facts > 0;
}

static evn_variants_column column_of(evn_variants *v, sqlite3_stmt *row)
{
    return (evn_variants_column){.what = {.key = kept(v, sqlite3_column_text(row, 1)),
                                          .unit = kept(v, sqlite3_column_text(row, 7)),
                                          .help = kept(v, sqlite3_column_text(row, 10)),
                                          .kind = (evn_quantity_kind)sqlite3_column_int(row, 5),
                                          .digits = sqlite3_column_int(row, 6),
                                          .label = kept(v, sqlite3_column_text(row, 8)),
                                          .short_label = kept(v, sqlite3_column_text(row, 9))},
                                 .varies = sqlite3_column_int(row, 2) != 0,
                                 .is_text = sqlite3_column_int(row, 3) != 0,
                                 .aimed = (evn_aimed)sqlite3_column_int(row, 4),
                                 .from = evn_sql_number(row, 11),
                                 .to = evn_sql_number(row, 12),
                                 .as_is = evn_sql_number(row, 13)};
}

static bool read_columns(evn_variants *v)
{
    enum { MOST = 1000 };
    sqlite3_stmt *ask = evn_sql_prepare(v->db, "SELECT * FROM columns ORDER BY place");
    int step = SQLITE_ERROR;
    v->column = evn_arena_take(v->arena, MOST * sizeof *v->column);
    while (ask && v->column && sqlite3_column_count(ask) == 14 && v->columns < MOST &&
           (step = sqlite3_step(ask)) == SQLITE_ROW)
        v->column[v->columns++] = column_of(v, ask);
    sqlite3_finalize(ask);
    return step == SQLITE_DONE && v->columns > 0;
}

/* "a, b": names of trucks stand in one fact. */
static void take_trucks(evn_variants *v)
{
    const char *names = evn_variants_fact(v, "trucks");
    for (const char *at = names ? names : ""; v->trucks < TRUCKS_MOST;) {
        size_t length = strcspn(at, "/");
        v->truck[v->trucks++] = evn_arena_text(v->arena, at, length);
        if (at[length] == '\0')
            return;
        at += length + 1;
    }
}

static bool is_of_variants(evn_variants *v, evn_report *report)
{
    const char *format = read_facts(v) ? evn_variants_fact(v, "format") : NULL;
    if (!format) {
        evn_say(report, EVN_FAULT_SYNTAX, evn_nowhere, evn_nowhere,
                "%s is no file of variants; expected one that 'evener vary --store' made", v->path);
        return false;
    }
    if (strcmp(format, "evener.variants/1") != 0) {
        evn_say(report, EVN_FAULT_OTHER_STUDY, evn_nowhere, evn_nowhere,
                "%s is of the format %.60s; expected "
                "evener.variants/1, that of this version",
                v->path, format);
        return false;
    }
    take_trucks(v);
    return read_columns(v) || evn_sql_say(v->db, v->path, report);
}

evn_variants *evn_variants_of_db(sqlite3 *db, const char *path, evn_report *report)
{
    evn_arena *arena = evn_arena_new();
    evn_variants *v = arena ? evn_arena_take(arena, sizeof *v) : NULL;
    if (!v) {
        if (arena)
            evn_arena_free(arena);
        sqlite3_close(db);
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the variants");
        return NULL;
    }
    *v = (evn_variants){.db = db, .arena = arena, .path = evn_arena_text(arena, path, strlen(path))};
    if (is_of_variants(v, report))
        return v;
    evn_variants_free(v);
    return NULL;
}

evn_status evn_variants_open(const char *path, evn_variants **out, evn_report *report)
{
    sqlite3 *db = NULL;
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"path", path}, {"out", out}, {0}}))
        return evn_report_status(report);
    if (sqlite3_open_v2(path, &db, SQLITE_OPEN_READWRITE, NULL) == SQLITE_OK) {
        sqlite3_busy_timeout(db, EVN_SQL_WAIT_MS);
        *out = evn_variants_of_db(db, path, report);
    } else {
        evn_sql_say(db, path, report);
        sqlite3_close(db);
    }
    return evn_report_status(report);
}

void evn_variants_free(evn_variants *v)
{
    if (!v)
        return;
    sqlite3_close(v->db);
    evn_arena_free(v->arena);
}

/* ------------------------------------------------------------------------------------------------ what it is */

bool evn_variants_fact_at(const evn_variants *v, size_t index, const char **key, const char **value)
{
    if (!v || !key || !value || index >= v->facts)
        return false;
    *key = v->fact[index][0];
    *value = v->fact[index][1];
    return true;
}

const char *evn_variants_fact(const evn_variants *v, const char *key)
{
    for (size_t k = 0; v && key && k < v->facts; k++)
        if (strcmp(v->fact[k][0], key) == 0)
            return v->fact[k][1];
    return NULL;
}

static uint64_t count_of(const evn_variants *v, const char *sql)
{
    sqlite3_stmt *ask = v ? evn_sql_prepare(v->db, sql) : NULL;
    uint64_t count = ask && sqlite3_step(ask) == SQLITE_ROW ? (uint64_t)sqlite3_column_int64(ask, 0) : 0;
    sqlite3_finalize(ask);
    return count;
}

uint64_t evn_variants_count(const evn_variants *v) { return count_of(v, "SELECT count(*) FROM variants"); }
uint64_t evn_variants_failed(const evn_variants *v)
{
    return count_of(v, "SELECT count(*) FROM variants WHERE status <> 'finished'");
}

uint64_t evn_variants_expected(const evn_variants *v)
{
    const char *expected = evn_variants_fact(v, "expected");
    return expected ? strtoull(expected, NULL, 10) : 0;
}

size_t evn_variants_truck_count(const evn_variants *v) { return v ? v->trucks : 0; }

const char *evn_variants_truck_name(const evn_variants *v, size_t index)
{
    return v && index < v->trucks ? v->truck[index] : NULL;
}

size_t evn_variants_column_count(const evn_variants *v) { return v ? v->columns : 0; }

bool evn_variants_column_at(const evn_variants *v, size_t index, evn_variants_column *out)
{
    if (!v || !out || index >= v->columns)
        return false;
    *out = v->column[index];
    return true;
}

/* ------------------------------------------------------------------------------------------------ picking */

enum { CONDITIONS_MOST = 20, NAME_BYTES = 300 };

typedef struct condition { /* "COLUMN >= VALUE" */
    char name[NAME_BYTES];
    const char *sign, *value;
    bool is_number;
    double number;
} condition;

static const char *const beside[] = {"id", "truck", "status", "fault", "may_be"};
enum { BESIDE = sizeof beside / sizeof *beside };

static bool has_column(const evn_variants *v, const char *name)
{
    bool found = false;
    for (size_t k = 0; k < BESIDE; k++)
        found = found || strcmp(beside[k], name) == 0;
    for (size_t k = 0; k < v->columns; k++)
        found = found || strcmp(v->column[k].what.key, name) == 0;
    return found;
}

static bool column_fits(const evn_variants *v, const char *name, evn_report *report)
{
    char nearest[EVN_PHRASE_BYTES];
    const char *names[1100];
    size_t count = 0;
    if (has_column(v, name))
        return true;
    for (size_t k = 0; k < v->columns && count < 1050; k++)
        names[count++] = v->column[k].what.key;
    for (size_t k = 0; k < BESIDE; k++)
        names[count++] = beside[k];
    evn_say(report, EVN_FAULT_UNKNOWN_KEY, evn_nowhere, evn_nowhere,
            "'%.120s', which %s does not hold; expected a variable, or the key of a result that was recorded%s", name,
            v->path, evn_nearest_phrase(nearest, name, names, count));
    return false;
}

static bool may_be_number(condition *c)
{
    bool yes = strcmp(c->value, "yes") == 0, no = strcmp(c->value, "no") == 0;
    c->number = yes ? 1 : no ? 0 : c->number;
    c->is_number = c->is_number || yes || no;
    return c->is_number && (c->number == 0 || c->number == 1);
}

static bool is_named(const char *value, const char *const *names, size_t count)
{
    bool found = false;
    for (size_t k = 0; k < count; k++)
        found = found || strcmp(names[k], value) == 0;
    return found;
}

static bool is_text_column(const evn_variants *v, const char *name)
{
    bool text = strcmp(name, "fault") == 0 || strcmp(name, "status") == 0 || strcmp(name, "truck") == 0;
    for (size_t k = 0; k < v->columns; k++)
        text = text || (v->column[k].is_text && strcmp(v->column[k].what.key, name) == 0);
    return text;
}

/* False (said): a value that the column never has, so that nothing would be found. */
static bool value_fits(const evn_variants *v, condition *c, evn_report *report)
{
    static const char *const states[] = {"finished",    "stalled", "battery_empty",    "battery_too_weak",
                                         "not_charged", "failed",  EVN_VARIANT_REFUSED};
    enum { STATES = sizeof states / sizeof *states };
    char nearest[EVN_PHRASE_BYTES] = "";
    const char *expected = "a number";
    bool fits = c->is_number;
    if (strcmp(c->name, "may_be") == 0) {
        fits = may_be_number(c);
        expected = "yes or no";
    } else if (strcmp(c->name, "status") == 0) {
        fits = is_named(c->value, states, STATES);
        expected = "a word of status";
        evn_nearest_phrase(nearest, c->value, states, STATES);
    } else if (strcmp(c->name, "truck") == 0) {
        fits = is_named(c->value, (const char *const *)v->truck, v->trucks);
        expected = "a truck of the lineup";
        evn_nearest_phrase(nearest, c->value, (const char *const *)v->truck, v->trucks);
    } else if (is_text_column(v, c->name)) {
        fits = c->value[0] != '\0';
        expected = "a text";
    }
    if (!fits)
        evn_say(report, EVN_FAULT_NOT_A_NUMBER, evn_nowhere, evn_nowhere, "'%.120s' of %.120s; expected %s%s", c->value,
                c->name, expected, nearest);
    return fits;
}

static bool read_condition(const evn_variants *v, const char *text, condition *out, evn_report *report)
{
    static const char *const signs[] = {">=", "<=", "="};
    size_t at = strcspn(text, "<>="), begin = strspn(text, " "), end = at;
    char *number_end;
    while (end > begin && text[end - 1] == ' ')
        end--;
    out->sign = NULL;
    for (size_t k = 0; !out->sign && k < 3; k++)
        if (strncmp(text + at, signs[k], strlen(signs[k])) == 0)
            out->sign = signs[k];
    if (!out->sign || end <= begin || end - begin >= NAME_BYTES) {
        evn_say(report, EVN_FAULT_SYNTAX, evn_nowhere, evn_nowhere,
                "'%.120s' is no condition; expected COLUMN >= VALUE, COLUMN <= VALUE or COLUMN = VALUE", text);
        return false;
    }
    snprintf(out->name, sizeof out->name, "%.*s", (int)(end - begin), text + begin);
    out->value = text + at + strlen(out->sign);
    out->value += strspn(out->value, " ");
    out->number = strtod(out->value, &number_end);
    out->is_number = number_end != out->value && *number_end == '\0' && isfinite(out->number);
    return column_fits(v, out->name, report) && value_fits(v, out, report);
}

static bool read_conditions(const evn_variants *v, const evn_variants_ask *ask, condition *out, size_t *count,
                            evn_report *report)
{
    *count = 0;
    for (size_t k = 0; ask->where && ask->where[k]; k++) {
        if (k == CONDITIONS_MOST) {
            evn_say(report, EVN_FAULT_TOO_LARGE, evn_nowhere, evn_nowhere, "more than %d conditions; expected fewer",
                    CONDITIONS_MOST);
            return false;
        }
        if (!read_condition(v, ask->where[k], &out[(*count)++], report))
            return false;
    }
    return !ask->by || column_fits(v, ask->by, report);
}

static void put_where(FILE *sql, const evn_variants_ask *ask, const condition *c, size_t count)
{
    const char *word = " WHERE ";
    if (ask->only_may_be) {
        fputs(" WHERE may_be = 1", sql);
        word = " AND ";
    }
    for (size_t k = 0; k < count; k++) {
        fputs(word, sql);
        evn_sql_put_name(sql, c[k].name);
        fprintf(sql, " %s ?", c[k].sign);
        word = " AND ";
    }
}

static sqlite3_stmt *prepare(const evn_variants *v, const evn_variants_ask *ask, const condition *c, size_t count)
{
    char *text = NULL;
    size_t bytes = 0;
    FILE *sql = open_memstream(&text, &bytes);
    if (!sql)
        return NULL;
    fputs("SELECT id, truck, status, fault, finding, may_be, unmet", sql);
    for (size_t k = 0; k < v->columns; k++) {
        fputs(", ", sql);
        evn_sql_put_name(sql, v->column[k].what.key);
    }
    fputs(" FROM variants", sql);
    put_where(sql, ask, c, count);
    fputs(" ORDER BY ", sql);
    if (ask->by) {
        evn_sql_put_name(sql, ask->by);
        fputs(" IS NULL, ", sql);
        evn_sql_put_name(sql, ask->by);
        fputs(ask->most_first ? " DESC, " : ", ", sql);
    }
    fputs("id", sql);
    if (ask->most > 0)
        fprintf(sql, " LIMIT %zu", ask->most);
    bool failed = fclose(sql) != 0;
    sqlite3_stmt *made = failed ? NULL : evn_sql_prepare(v->db, text);
    free(text);
    for (size_t k = 0; made && k < count; k++)
        if (c[k].is_number)
            sqlite3_bind_double(made, (int)k + 1, c[k].number);
        else
            sqlite3_bind_text(made, (int)k + 1, c[k].value, -1, SQLITE_STATIC);
    return made;
}

/* ------------------------------------------------------------------------------------------------ rows */

enum { BEFORE_COLUMNS = 7 };

static const char *text_at(sqlite3_stmt *row, int column) { return (const char *)sqlite3_column_text(row, column); }

static bool hand_over(const evn_variants *v, sqlite3_stmt *row, double *value, const char **text, void *self,
                      bool (*take)(void *self, const evn_variant *))
{
    evn_variant out = {.id = (uint64_t)sqlite3_column_int64(row, 0),
                       .truck = text_at(row, 1),
                       .status = text_at(row, 2),
                       .fault = text_at(row, 3),
                       .finding = text_at(row, 4),
                       .may_be = sqlite3_column_int(row, 5) != 0,
                       .unmet = text_at(row, 6),
                       .value = value,
                       .text = text};
    out.is_as_is = out.id <= v->trucks;
    for (size_t k = 0; k < v->columns; k++) {
        bool is_text = v->column[k].is_text;
        value[k] = is_text ? (double)NAN : evn_sql_number(row, BEFORE_COLUMNS + (int)k);
        text[k] = is_text ? text_at(row, BEFORE_COLUMNS + (int)k) : NULL;
    }
    return take(self, &out);
}

evn_status evn_variants_each(const evn_variants *v, const evn_variants_ask *ask, void *self,
                             bool (*row)(void *self, const evn_variant *), evn_report *report)
{
    condition c[CONDITIONS_MOST];
    size_t count;
    const void *call = row ? v : NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"variants", v}, {"ask", ask}, {"row", call}, {0}}))
        return evn_report_status(report);
    if (!read_conditions(v, ask, c, &count, report))
        return evn_report_status(report);
    double *value = calloc(v->columns + 1, sizeof *value);
    const char **text = calloc(v->columns + 1, sizeof *text);
    sqlite3_stmt *rows = value && text ? prepare(v, ask, c, count) : NULL;
    int step = SQLITE_ERROR;
    bool on = rows;
    while (on && (step = sqlite3_step(rows)) == SQLITE_ROW)
        on = hand_over(v, rows, value, text, self, row);
    if (on && step != SQLITE_DONE)
        evn_sql_say(v->db, v->path, report);
    if (!rows)
        evn_sql_say(v->db, v->path, report);
    sqlite3_finalize(rows);
    free(value);
    free(text);
    return evn_report_status(report);
}
