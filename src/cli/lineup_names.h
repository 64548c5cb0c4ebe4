/* Names of trucks that stand on the command line, and of the files that are written about them. */
#ifndef EVENER_CLI_LINEUP_NAMES_H
#define EVENER_CLI_LINEUP_NAMES_H
#include "cli/options.h"

typedef struct evn_lineup_names {
    char **at;
    size_t count;
} evn_lineup_names;

/*
 * "vehicles/trucks/tandem.yaml": tandem. Where two are the same the second becomes tandem-2; what would not do in the
 * path of a key becomes '_'. False when memory is out; to be freed all the same.
 */
bool evn_lineup_names_make(evn_lineup_names *, const char *const *paths, size_t count);
void evn_lineup_names_free(evn_lineup_names *);

/* False, with a mishap, where a "trucks.NAME.KEY=VALUE" (ends with NULL) has the name of none of them. */
bool evn_lineup_names_fit(const evn_lineup_names *, const char *const *sets, evn_mishap *);

/*
 * "central drive (tractor)", to be freed, for each truck that bears the same short name (NULL: it has none) as another,
 * with the whole of its name (comparisons leave off what all of them share); the others' titles stay. False when memory
 * is out.
 */
bool evn_titles_tell_apart(char *title[], const char *const short_name[], const char *const name[], size_t count);

/* "FOLDER/NAME-BASIS.csv", to be freed; NULL when memory is out. */
char *evn_lineup_trace_path(const char *folder, const char *name, const char *basis);

#endif
