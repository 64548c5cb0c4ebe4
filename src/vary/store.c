/* The file of variants as it is written: facts, columns, rows; each batch in one transaction behind a write-ahead log.
 */
#define _POSIX_C_SOURCE 200809L
#include "vary/store.h"
#include "vary/sql.h"
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct evn_store {
    sqlite3 *db;
    sqlite3_stmt *has, *get, *put;
    const char *path;
};

enum { SQL_BYTES = 65536 };

/* ------------------------------------------------------------------------------------------------ what it holds */

/* id, truck, inputs, status, fault, finding, may_be, unmet, results. */
static void put_columns(FILE *sql, const evn_store_is *is, bool types)
{
    const char *text = types ? " TEXT" : "", *real = types ? " REAL" : "";
    fprintf(sql, "id%s, truck%s", types ? " INTEGER PRIMARY KEY" : "", types ? " TEXT NOT NULL" : "");
    for (size_t v = 0; v < is->study->variables.count; v++)
        fprintf(sql, ", \"%s\"%s", is->study->variables.name[v],
                evn_is_choice(evn_study_variable(is->study, v)) ? text : real);
    fprintf(sql, ", status%s, fault%s, finding%s, may_be%s, unmet%s", types ? " TEXT NOT NULL" : "", text, text,
            types ? " INTEGER NOT NULL" : "", text);
    for (size_t k = 0; k < is->columns->count; k++) {
        fputs(", ", sql);
        evn_sql_put_name(sql, is->columns->at[k].what.key);
        fputs(real, sql);
    }
}

static size_t column_count(const evn_store_is *is) { return 7 + is->study->variables.count + is->columns->count; }

static char *statement_text(const evn_store_is *is, const char *kind)
{
    char *text = NULL;
    size_t bytes = 0;
    FILE *sql = open_memstream(&text, &bytes);
    if (!sql)
        return NULL;
    if (strcmp(kind, "make") == 0) {
        fputs("CREATE TABLE variants (", sql);
        put_columns(sql, is, true);
        fputs(") STRICT", sql);
    } else if (strcmp(kind, "put") == 0) {
        fputs("INSERT INTO variants VALUES (?", sql);
        for (size_t k = 1; k < column_count(is); k++)
            fputs(", ?", sql);
        fputc(')', sql);
    } else {
        fputs("SELECT ", sql);
        put_columns(sql, is, false);
        fputs(" FROM variants WHERE id = ?", sql);
    }
    bool failed = ferror(sql);
    if (fclose(sql) != 0 || failed) {
        free(text);
        return NULL;
    }
    return text;
}

static bool run_text(evn_store *s, const evn_store_is *is, const char *kind, sqlite3_stmt **out)
{
    char *text = statement_text(is, kind);
    bool done = text && (out ? sqlite3_prepare_v2(s->db, text, -1, out, NULL) == SQLITE_OK
                             : sqlite3_exec(s->db, text, NULL, NULL, NULL) == SQLITE_OK);
    free(text);
    return done;
}

/* ------------------------------------------------------------------------------------------------ a new one */

static bool put_facts(evn_store *s, const evn_store_is *is)
{
    sqlite3_stmt *put = evn_sql_prepare(s->db, "INSERT INTO facts VALUES (?, ?, ?)");
    bool done = put;
    for (size_t k = 0; done && k < is->facts; k++) {
        sqlite3_bind_text(put, 1, is->fact[k].key, -1, SQLITE_STATIC);
        sqlite3_bind_text(put, 2, is->fact[k].value, -1, SQLITE_STATIC);
        sqlite3_bind_int(put, 3, is->fact[k].same);
        done = sqlite3_step(put) == SQLITE_DONE && sqlite3_reset(put) == SQLITE_OK;
    }
    sqlite3_finalize(put);
    return done;
}

static evn_aimed aimed_at(const evn_columns *c, size_t column)
{
    for (size_t k = 0; k < c->aims; k++)
        if (c->aim[k].column == column)
            return c->aim[k].most ? EVN_AIMED_MOST : EVN_AIMED_LEAST;
    return EVN_AIMED_NOT;
}

static bool describe(sqlite3_stmt *put, const evn_variants_column *c)
{
    sqlite3_bind_text(put, 1, c->what.key, -1, SQLITE_TRANSIENT);
    sqlite3_bind_int(put, 2, c->varies);
    sqlite3_bind_int(put, 3, c->is_text);
    sqlite3_bind_int(put, 4, (int)c->aimed);
    sqlite3_bind_int(put, 5, (int)c->what.kind);
    sqlite3_bind_int(put, 6, c->what.digits);
    sqlite3_bind_text(put, 7, c->what.unit, -1, SQLITE_TRANSIENT);
    sqlite3_bind_text(put, 8, c->what.label, -1, SQLITE_TRANSIENT);
    sqlite3_bind_text(put, 9, c->what.short_label, -1, SQLITE_TRANSIENT);
    sqlite3_bind_text(put, 10, c->what.help, -1, SQLITE_TRANSIENT);
    evn_sql_bind_number(put, 11, c->from);
    evn_sql_bind_number(put, 12, c->to);
    evn_sql_bind_number(put, 13, c->as_is);
    return sqlite3_step(put) == SQLITE_DONE && sqlite3_reset(put) == SQLITE_OK;
}

static bool put_descriptions(evn_store *s, const evn_store_is *is)
{
    sqlite3_stmt *put =
        evn_sql_prepare(s->db, "INSERT INTO columns VALUES (NULL, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    bool done = put;
    for (size_t v = 0; done && v < is->study->variables.count; v++) {
        const evn_variable_file *of = evn_study_variable(is->study, v);
        const char *name = is->study->variables.name[v];
        evn_variants_column c = {{name, "", "what varies", of->whole ? EVN_WHOLE : EVN_REAL, 4, name, name, 0},
                                 true,
                                 evn_is_choice(of),
                                 EVN_AIMED_NOT,
                                 of->from,
                                 of->to,
                                 of->as_is};
        done = describe(put, &c);
    }
    for (size_t k = 0; done && k < is->columns->count; k++) {
        evn_variants_column c = {
            is->columns->at[k].what, false, false, aimed_at(is->columns, k), (double)NAN, (double)NAN, (double)NAN};
        done = describe(put, &c);
    }
    sqlite3_finalize(put);
    return done;
}

static bool fill_new(evn_store *s, const evn_store_is *is)
{
    return evn_sql_do(s->db, "BEGIN IMMEDIATE; CREATE TABLE facts (key TEXT PRIMARY KEY, value TEXT NOT NULL, same "
                             "INTEGER NOT NULL) STRICT; CREATE TABLE columns (place INTEGER PRIMARY KEY, key TEXT NOT "
                             "NULL, varies INTEGER NOT NULL, is_text INTEGER NOT NULL, aimed INTEGER NOT NULL, kind "
                             "INTEGER NOT NULL, digits INTEGER NOT NULL, unit TEXT, label TEXT, short_label TEXT, help "
                             "TEXT, \"from\" REAL, \"to\" REAL, as_is REAL) STRICT") &&
           run_text(s, is, "make", NULL) && put_facts(s, is) && put_descriptions(s, is) && evn_sql_do(s->db, "COMMIT");
}

/* ------------------------------------------------------------------------------------------------ one that is there */

static bool facts_fit(evn_store *s, const evn_store_is *is, evn_report *report)
{
    for (size_t k = 0; k < is->facts; k++) {
        char *value = is->fact[k].same ? evn_sql_fact(s->db, is->fact[k].key) : NULL;
        bool fits = !is->fact[k].same || (value && strcmp(value, is->fact[k].value) == 0);
        if (!fits)
            evn_say(report, EVN_FAULT_OTHER_STUDY, evn_nowhere, evn_nowhere,
                    "%s holds variants of which %s is %.60s, here it is %.60s; expected a file of this study, or one "
                    "that is not there yet",
                    s->path, is->fact[k].key, value ? value : "not known", is->fact[k].value);
        free(value);
        if (!fits)
            return false;
    }
    return true;
}

static bool is_new(evn_store *s, bool *out)
{
    sqlite3_stmt *ask = evn_sql_prepare(s->db, "SELECT count(*) FROM sqlite_master");
    bool read = ask && sqlite3_step(ask) == SQLITE_ROW;
    *out = read && sqlite3_column_int(ask, 0) == 0;
    sqlite3_finalize(ask);
    return read;
}

static bool set_up(evn_store *s, const evn_store_is *is, evn_report *report)
{
    bool fresh;
    if (!evn_sql_do(s->db, "PRAGMA journal_mode = WAL; PRAGMA synchronous = NORMAL") || !is_new(s, &fresh))
        return evn_sql_say(s->db, s->path, report);
    if (fresh && !fill_new(s, is))
        return evn_sql_say(s->db, s->path, report);
    if (!fresh && !facts_fit(s, is, report))
        return false;
    s->has = evn_sql_prepare(s->db, "SELECT 1 FROM variants WHERE id = ?");
    bool ready = s->has && run_text(s, is, "get", &s->get) && run_text(s, is, "put", &s->put);
    return ready || evn_sql_say(s->db, s->path, report);
}

evn_store *evn_store_begin(const char *path, const evn_store_is *is, evn_report *report)
{
    evn_store *s = calloc(1, sizeof *s);
    if (!s) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the variants");
        return NULL;
    }
    s->path = path ? path : "the variants";
    bool ready = sqlite3_open_v2(path ? path : ":memory:", &s->db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, NULL) ==
                 SQLITE_OK;
    if (ready) {
        sqlite3_busy_timeout(s->db, EVN_SQL_WAIT_MS);
        ready = set_up(s, is, report);
    } else {
        evn_sql_say(s->db, s->path, report);
    }
    if (ready)
        return s;
    evn_store_end(s);
    return NULL;
}

void evn_store_end(evn_store *s)
{
    if (!s)
        return;
    sqlite3_finalize(s->has);
    sqlite3_finalize(s->get);
    sqlite3_finalize(s->put);
    sqlite3_close(s->db);
    free(s);
}

evn_variants *evn_variants_of_store(evn_store *s, evn_report *report)
{
    sqlite3 *db = s->db;
    sqlite3_finalize(s->has);
    sqlite3_finalize(s->get);
    sqlite3_finalize(s->put);
    s->has = s->get = s->put = NULL;
    s->db = NULL;
    return evn_variants_of_db(db, s->path, report);
}

/* ------------------------------------------------------------------------------------------------ rows */

bool evn_store_has(evn_store *s, uint64_t id)
{
    sqlite3_bind_int64(s->has, 1, (sqlite3_int64)id);
    bool there = sqlite3_step(s->has) == SQLITE_ROW;
    sqlite3_reset(s->has);
    return there;
}

bool evn_store_get(evn_store *s, const evn_store_is *is, uint64_t id, evn_row *row)
{
    int inputs = (int)is->study->variables.count, first = 7 + inputs, status = 2 + inputs, may_be = 5 + inputs;
    sqlite3_bind_int64(s->get, 1, (sqlite3_int64)id);
    bool there = sqlite3_step(s->get) == SQLITE_ROW;
    if (there) {
        const char *kept = (const char *)sqlite3_column_text(s->get, status);
        row->finished = kept && strcmp(kept, "finished") == 0;
        row->may_be = sqlite3_column_int(s->get, may_be) != 0;
        for (size_t k = 0; k < is->columns->count; k++)
            row->value[k] = evn_sql_number(s->get, first + (int)k);
    }
    sqlite3_reset(s->get);
    return there;
}

static void bind_text(sqlite3_stmt *put, int at, const char *text)
{
    if (text && text[0] != '\0')
        sqlite3_bind_text(put, at, text, -1, SQLITE_STATIC);
    else
        sqlite3_bind_null(put, at);
}

static bool put_row(evn_store *s, const evn_store_is *is, const evn_row *row)
{
    int at = 1;
    sqlite3_bind_int64(s->put, at++, (sqlite3_int64)row->id);
    sqlite3_bind_text(s->put, at++, evn_study_truck_name(is->study, row->truck), -1, SQLITE_STATIC);
    for (size_t v = 0; v < is->study->variables.count; v++) {
        const evn_variable_file *of = evn_study_variable(is->study, v);
        if (evn_is_choice(of))
            bind_text(s->put, at++, of->choices.at[(size_t)row->input[v]]);
        else
            evn_sql_bind_number(s->put, at++, row->input[v]);
    }
    bind_text(s->put, at++, row->status);
    bind_text(s->put, at++, row->fault);
    bind_text(s->put, at++, row->finding);
    sqlite3_bind_int(s->put, at++, row->may_be);
    bind_text(s->put, at++, row->unmet);
    for (size_t k = 0; k < is->columns->count; k++)
        evn_sql_bind_number(s->put, at++, row->value[k]);
    bool done = sqlite3_step(s->put) == SQLITE_DONE;
    return sqlite3_reset(s->put) == SQLITE_OK && done;
}

bool evn_store_put(evn_store *s, const evn_store_is *is, const evn_row *rows, size_t count, evn_report *report)
{
    bool done = evn_sql_do(s->db, "BEGIN IMMEDIATE");
    for (size_t k = 0; done && k < count; k++)
        done = put_row(s, is, &rows[k]);
    done = done && evn_sql_do(s->db, "COMMIT");
    if (done)
        return true;
    evn_sql_say(s->db, s->path, report);
    evn_sql_do(s->db, "ROLLBACK");
    return false;
}

static uint64_t count_of(evn_store *s, const char *sql)
{
    sqlite3_stmt *ask = evn_sql_prepare(s->db, sql);
    uint64_t count = ask && sqlite3_step(ask) == SQLITE_ROW ? (uint64_t)sqlite3_column_int64(ask, 0) : 0;
    sqlite3_finalize(ask);
    return count;
}

uint64_t evn_store_count(evn_store *s) { return count_of(s, "SELECT count(*) FROM variants"); }

uint64_t evn_store_failed(evn_store *s)
{
    return count_of(s, "SELECT count(*) FROM variants WHERE status <> 'finished'");
}
