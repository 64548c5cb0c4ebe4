/* What stands behind the public handles of files that were read. */
#ifndef EVENER_API_OBJECTS_H
#define EVENER_API_OBJECTS_H
#include "core/arena.h"
#include "cycle/cycle.h"
#include "duty/duty.h"
#include "evener/values.h"
#include "read/read.h"
#include "truck/layout.h"
#include <stdint.h>

struct evn_truck {
    evn_arena *arena; /* NULL: what it was read with lives elsewhere */
    const evn_truck_file *file;
    evn_value_list values;
    char axle_configuration[EVN_WHEEL_FORMULA_BYTES];
};

struct evn_cycle {
    evn_arena *arena; /* likewise */
    const evn_cycle_file *file;
    evn_value_list values;
};

struct evn_duty {
    evn_arena *arena; /* likewise */
    const evn_duty_file *file;
};

evn_truck evn_truck_on(evn_arena *, const evn_truck_file *, evn_value_list);

void evn_hash_text(char out[EVN_HASH_BYTES], uint64_t hash);

/* Of all that a lineup holds but its trucks: cycle, load case, driving. */
uint64_t evn_lineup_hash(const evn_lineup *);

/* The duty that a lineup drives; NULL: a cycle. And what stands behind a duty. */
const evn_duty_file *evn_lineup_duty_file(const evn_lineup *);
const evn_duty_file *evn_duty_file_of(const evn_duty *);

/* The place among the seasons of its duty of that in which it compares; 0 where there is none. */
size_t evn_lineup_season_place(const evn_lineup *);

/* False (said): a duty says what is carried, so that trucks cannot be equal in gross mass over it. */
bool evn_lineup_equal_fits(const evn_lineup *, evn_equal, evn_report *);

/* Of its duty and the season in which it compares; 0: it has none. */
uint64_t evn_lineup_duty_hash(const evn_lineup *);

/* Reads a file into the arena that it makes; NULL (said) when it cannot, and no arena. */
const void *evn_load_object(const char *path, const evn_object *, const evn_load *, evn_value_list *values,
                            evn_arena **, evn_report *);
/* The same of a text, which stands for a file of that path: what it names starts from its folder. NULL text: the file.
 */
const void *evn_load_object_text(const char *text, const char *path, const evn_object *, const evn_load *,
                                 evn_value_list *values, evn_arena **, evn_report *);

#endif
