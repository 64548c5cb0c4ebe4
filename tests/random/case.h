/* A case: a truck, a cycle and what is asked of the run, all from one seed and one number, as files that can be driven.
 */
#ifndef EVENER_TESTS_CASE_H
#define EVENER_TESTS_CASE_H
#include "draft.h"
#include <stdint.h>

typedef struct random_case {
    evn_arena *arena;
    draft *truck, *cycle, *kept; /* kept: a file for evener check, which holds what is asked */
} random_case;

/* wide: as in invent.h. */
random_case case_invent(uint64_t seed, uint64_t index, double wide);
void case_free(random_case *);

/* FOLDER/truck.yaml, cycle.yaml, kept.yaml and the tables beside them. False: could not be written. */
bool case_write(const random_case *, const char *folder);

enum { CASE_FOLDER_BYTES = 400 };
/* A new folder for files that pass. False: it could not be made. */
bool case_folder(char out[CASE_FOLDER_BYTES]);
/* Removes what case_write wrote there, and the folder. */
void case_remove(const char *folder);

#endif
