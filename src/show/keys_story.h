/* The keys of files: as a reference to read, as a JSON Schema; what results hold; what a finding can name. */
#ifndef EVENER_SHOW_KEYS_STORY_H
#define EVENER_SHOW_KEYS_STORY_H
#include "evener/keys.h"
#include "show/findings.h"

#define EVN_KEYS_SCHEMA "evener.keys/1"

/* Sentences of one key that tell what its value may be: "kg; required; 1 to 200000; usual 2000 to 15000". To be freed;
 * NULL when memory is out. `kind` is the one that holds it. */
char *evn_key_facts(const char *kind, const evn_key *);

/* All kinds with a line each. False when memory is out. */
bool evn_keys_overview(FILE *, const evn_look *);

/* What stands at a path that evn_key_find found, with the kinds below it. False when memory is out. */
bool evn_keys_text(const char *path, const evn_key_place *, FILE *, const evn_look *);

/* A bare key in every kind that has it. False in `found` when none has. False when memory is out. */
bool evn_keys_everywhere(const char *key, bool *found, FILE *, const evn_look *);

/* Every key below what stands at a path that evn_key_find found, each with its whole path; behind a "." at the end of
 * the path it goes on at once. NAME stands for any name, [N] for a place in a list. */
void evn_keys_paths(const char *path, const evn_key_place *, FILE *);

/* Every key of a truck, and of a cycle behind "cycle.", as --set takes them. */
void evn_keys_all_paths(FILE *);

/* JSON Schema (draft-07) of files that are one of these kinds. False when memory is out. */
bool evn_keys_schema(const char *const *kinds, size_t count, FILE *);

/* Rows of results and traces, limits, names that are others now. Both false when memory is out. */
bool evn_results_text(FILE *, const evn_look *);
bool evn_results_json(FILE *);

/* Names, exit codes and meanings of faults. Both false when memory is out. */
bool evn_faults_text(FILE *, const evn_look *);
bool evn_faults_json(FILE *);

#endif
