/* A truck as it stands after all files are put together: in words, in JSON, as one file that stands alone; the paths of
 * its values, and what may be off of them. */
#ifndef EVENER_SHOW_TRUCK_STORY_H
#define EVENER_SHOW_TRUCK_STORY_H
#include "evener/uncertainty.h"
#include "show/figures.h"
#include "show/findings.h"

#define EVN_TRUCK_SCHEMA "evener.show/2"

typedef struct evn_truck_story {
    const char *file;           /* as it was asked for */
    const evn_truck *truck;     /* NULL: not read */
    const char *const *set;     /* what was set beside the file; ends with NULL */
    evn_figures figures;        /* none when the truck could not be prepared */
    const evn_truck_data *data; /* what may be off; NULL: not found */
} evn_truck_story;

/* Each false when memory is out. */
bool evn_truck_text(const evn_truck_story *, FILE *, const evn_look *);
bool evn_truck_json(const evn_truck_story *, const evn_findings *, FILE *);
bool evn_truck_data_text(const evn_truck_story *, FILE *, const evn_look *);
bool evn_truck_flat(const evn_truck_story *, FILE *);

/* As the key `shape` of an entry names it. */
const char *evn_error_shape_word(evn_error_shape);

void evn_truck_paths(const evn_truck_story *, FILE *);

#endif
