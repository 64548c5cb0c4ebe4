/* Small calls of SQLite, and what its failures mean. */
#define _POSIX_C_SOURCE 200809L
#include "vary/sql.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

bool evn_sql_do(sqlite3 *db, const char *text) { return sqlite3_exec(db, text, NULL, NULL, NULL) == SQLITE_OK; }

sqlite3_stmt *evn_sql_prepare(sqlite3 *db, const char *text)
{
    sqlite3_stmt *made = NULL;
    return sqlite3_prepare_v2(db, text, -1, &made, NULL) == SQLITE_OK ? made : NULL;
}

void evn_sql_put_name(FILE *to, const char *name)
{
    fputc('"', to);
    for (; *name != '\0'; name++) {
        if (*name == '"')
            fputc('"', to);
        fputc(*name, to);
    }
    fputc('"', to);
}

void evn_sql_bind_number(sqlite3_stmt *put, int at, double value)
{
    if (isnan(value))
        sqlite3_bind_null(put, at);
    else
        sqlite3_bind_double(put, at, value);
}

double evn_sql_number(sqlite3_stmt *row, int column)
{
    return sqlite3_column_type(row, column) == SQLITE_NULL ? (double)NAN : sqlite3_column_double(row, column);
}

char *evn_sql_fact(sqlite3 *db, const char *key)
{
    sqlite3_stmt *ask = evn_sql_prepare(db, "SELECT value FROM facts WHERE key = ?");
    char *value = NULL;
    if (ask)
        sqlite3_bind_text(ask, 1, key, -1, SQLITE_STATIC);
    if (ask && sqlite3_step(ask) == SQLITE_ROW && sqlite3_column_text(ask, 0))
        value = strdup((const char *)sqlite3_column_text(ask, 0));
    sqlite3_finalize(ask);
    return value;
}

bool evn_sql_say(sqlite3 *db, const char *path, evn_report *report)
{
    int code = sqlite3_errcode(db) & 0xff;
    const char *why = sqlite3_errmsg(db);
    bool other = code == SQLITE_BUSY || code == SQLITE_LOCKED || code == SQLITE_CONSTRAINT ||
                 (code == SQLITE_ERROR && strstr(why, "already exists"));
    if (code == SQLITE_NOTADB || code == SQLITE_CORRUPT)
        evn_say(report, EVN_FAULT_SYNTAX, evn_nowhere, evn_nowhere,
                "%s is no file of variants (%s); expected one that 'evener vary --store' made", path, why);
    else if (code == SQLITE_NOMEM)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over %s", path);
    else if (other)
        evn_say(report, EVN_FAULT_STORE_NOT_WRITTEN, evn_nowhere, evn_nowhere,
                "%s is written by another program at the same time (%s); what was whole is kept; expected one program "
                "for each file, and the same command again when the other has ended",
                path, why);
    else if (code == SQLITE_ERROR) /* a table or a column that is not there */
        evn_say(report, EVN_FAULT_SYNTAX, evn_nowhere, evn_nowhere,
                "%s is no whole file of variants (%s); expected one that 'evener vary --store' made", path, why);
    else if (code == SQLITE_CANTOPEN)
        evn_say(report, EVN_FAULT_CANNOT_READ, evn_nowhere, evn_nowhere,
                "%s could not be opened: %s; expected a file that can be written, or read", path, why);
    else
        evn_say(report, EVN_FAULT_STORE_NOT_WRITTEN, evn_nowhere, evn_nowhere,
                "%s could not be written: %s; what was whole is kept, and the same command goes on from there", path,
                why);
    return false;
}
