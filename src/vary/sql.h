/* What files of variants share of SQLite. */
#ifndef EVENER_VARY_SQL_H
#define EVENER_VARY_SQL_H
#include "core/report.h"
#include "evener/vary.h"
#include <sqlite3.h>
#include <stdio.h>

enum { EVN_SQL_WAIT_MS = 20000 }; /* for another program that works on the file */

bool evn_sql_do(sqlite3 *, const char *text);
sqlite3_stmt *evn_sql_prepare(sqlite3 *, const char *text); /* NULL: it failed */
void evn_sql_put_name(FILE *, const char *name);            /* in quotes */
void evn_sql_bind_number(sqlite3_stmt *, int at, double value);
double evn_sql_number(sqlite3_stmt *, int column); /* NAN: none */
/* Of the table of facts, to be freed; NULL: none. */
char *evn_sql_fact(sqlite3 *, const char *key);
/* Says why the last call failed: no room, no file of variants, others. Returns false. */
bool evn_sql_say(sqlite3 *, const char *path, evn_report *);

/* Takes the database over. NULL (said): it holds no variants. */
evn_variants *evn_variants_of_db(sqlite3 *, const char *path, evn_report *);

#endif
