/* A truck as it stands after all files are put together: in words, in JSON, as one file that stands alone, and
 * the paths of its values. */
#ifndef EVENER_SHOW_TRUCK_STORY_H
#define EVENER_SHOW_TRUCK_STORY_H
#include "show/figures.h"
#include "show/findings.h"

#define EVN_TRUCK_SCHEMA "evener.show/2"

typedef struct evn_truck_story {
    const char *file;       /* as it was asked for */
    const evn_truck *truck; /* NULL: not read */
    const char *const *set; /* what was set beside the file; ends with NULL */
    evn_figures figures;    /* none when the truck could not be prepared */
} evn_truck_story;

/* Each false when memory is out. */
bool evn_truck_text(const evn_truck_story *, FILE *, const evn_look *);
bool evn_truck_json(const evn_truck_story *, const evn_findings *, FILE *);
bool evn_truck_flat(const evn_truck_story *, FILE *);

void evn_truck_paths(const evn_truck_story *, FILE *);

#endif
