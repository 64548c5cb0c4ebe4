/* Files of parts of a study, joined into a new one. */
#define _POSIX_C_SOURCE 200809L
#include "vary/sql.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static bool attach(sqlite3 *db, const char *path)
{
    sqlite3_stmt *ask = evn_sql_prepare(db, "ATTACH ? AS part");
    if (ask)
        sqlite3_bind_text(ask, 1, path, -1, SQLITE_STATIC);
    bool done = ask && sqlite3_step(ask) == SQLITE_DONE;
    sqlite3_finalize(ask);
    return done;
}

/* The number that a question comes to; -1: it cannot be asked. */
static long long number_of(sqlite3 *db, const char *question)
{
    sqlite3_stmt *ask = evn_sql_prepare(db, question);
    long long number = ask && sqlite3_step(ask) == SQLITE_ROW ? sqlite3_column_int64(ask, 0) : -1;
    sqlite3_finalize(ask);
    return number;
}

/* The first to be joined says what the file is; its tables are made as they stand there. */
static bool copy_tables(sqlite3 *db)
{
    sqlite3_stmt *ask = evn_sql_prepare(db, "SELECT sql FROM part.sqlite_master WHERE type = 'table' ORDER BY rowid");
    bool done = ask;
    size_t count = 0;
    while (done && sqlite3_step(ask) == SQLITE_ROW) {
        done = evn_sql_do(db, (const char *)sqlite3_column_text(ask, 0));
        count++;
    }
    sqlite3_finalize(ask);
    return done && count == 3 &&
           evn_sql_do(db, "INSERT INTO facts SELECT * FROM part.facts; INSERT INTO columns SELECT * FROM part.columns");
}

static bool say_other(sqlite3 *db, const char *path, evn_report *report)
{
    sqlite3_stmt *ask = evn_sql_prepare(
        db,
        "SELECT f.key, f.value, coalesce(p.value, 'not known') FROM main.facts f LEFT JOIN part.facts p USING (key) "
        "WHERE f.same = 1 AND f.value IS NOT p.value");
    bool differs = ask && sqlite3_step(ask) == SQLITE_ROW;
    evn_say(report, EVN_FAULT_OTHER_STUDY, evn_nowhere, evn_nowhere,
            "%s does not belong to those before it: its %s is %.60s, theirs %.60s; expected parts of one study", path,
            differs ? (const char *)sqlite3_column_text(ask, 0) : "table",
            differs ? (const char *)sqlite3_column_text(ask, 2) : "not known",
            differs ? (const char *)sqlite3_column_text(ask, 1) : "not known");
    sqlite3_finalize(ask);
    return false;
}

/* False: said. */
static bool belongs(sqlite3 *db, const char *path, evn_report *report)
{
    long long other = number_of(db, "SELECT count(*) FROM main.facts f LEFT JOIN part.facts p USING (key) WHERE f.same "
                                    "= 1 AND f.value IS NOT p.value");
    if (other != 0)
        return say_other(db, path, report);
    long long differ =
        number_of(db, "SELECT count(*) FROM (SELECT * FROM part.variants WHERE id IN (SELECT id FROM main.variants) "
                      "EXCEPT SELECT * FROM main.variants)");
    if (differ == 0)
        return true;
    evn_say(report, EVN_FAULT_OTHER_STUDY, evn_nowhere, evn_nowhere,
            "%s holds %lld variants with other values than those before it; expected the same of one study", path,
            differ < 0 ? 0 : differ);
    return false;
}

/* False: said. */
static bool join_one(sqlite3 *db, const char *path, bool first, evn_report *report)
{
    if (access(path, R_OK) != 0) {
        evn_say(report, EVN_FAULT_CANNOT_READ, evn_nowhere, evn_nowhere,
                "%s cannot be read; expected a file of variants", path);
        return false;
    }
    if (!attach(db, path))
        return evn_sql_say(db, path, report);
    bool variants = number_of(db, "SELECT count(*) FROM part.sqlite_master WHERE name IN ('facts', 'columns', "
                                  "'variants')") == 3;
    if (!variants)
        evn_say(report, EVN_FAULT_SYNTAX, evn_nowhere, evn_nowhere,
                "%s is no file of variants; expected one that 'evener vary --store' made", path);
    bool done = variants && (!first || copy_tables(db) || evn_sql_say(db, path, report)) && belongs(db, path, report);
    if (done && !evn_sql_do(db, "INSERT OR IGNORE INTO main.variants SELECT * FROM part.variants ORDER BY id"))
        done = evn_sql_say(db, path, report);
    evn_sql_do(db, "DETACH part");
    return done;
}

/* False: said. */
static bool join_all(const char *const *paths, size_t count, const char *temp, evn_report *report)
{
    sqlite3 *db = NULL;
    bool done = sqlite3_open_v2(temp, &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, NULL) == SQLITE_OK;
    if (!done)
        evn_sql_say(db, temp, report);
    sqlite3_busy_timeout(db, EVN_SQL_WAIT_MS);
    for (size_t k = 0; done && k < count; k++)
        done = join_one(db, paths[k], k == 0, report);
    if (sqlite3_close(db) != SQLITE_OK && done)
        done = evn_sql_say(db, temp, report);
    return done;
}

evn_status evn_vary_merge(const char *const *paths, size_t count, const char *out_path, evn_report *report)
{
    bool given = evn_not_null(report, __func__, (const evn_argument[]){{"paths", paths}, {"out_path", out_path}, {0}});
    for (size_t k = 0; given && k < count; k++)
        given = evn_not_null(report, __func__, (const evn_argument[]){{"one of paths", paths[k]}, {0}});
    if (given && count == 0) {
        evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "no files to be joined; expected one at least");
        given = false;
    }
    if (given && access(out_path, F_OK) == 0) { /* whose log, where it has one, would be taken for the new one's */
        evn_say(report, EVN_FAULT_CANNOT_WRITE, evn_nowhere, evn_nowhere,
                "%s is there already; expected a file that is not there yet", out_path);
        given = false;
    }
    size_t bytes = given ? strlen(out_path) + 40 : 0;
    char *temp = given ? malloc(bytes) : NULL;
    if (given && !temp)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the variants");
    if (temp) {
        snprintf(temp, bytes, "%s.%ld.temp", out_path, (long)getpid());
        bool done = join_all(paths, count, temp, report);
        if (done && rename(temp, out_path) != 0)
            evn_say(report, EVN_FAULT_CANNOT_WRITE, evn_nowhere, evn_nowhere,
                    "%s cannot be written; expected a folder that can be written to", out_path);
        unlink(temp);
    }
    free(temp);
    return evn_report_status(report);
}
