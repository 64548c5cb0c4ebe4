/* Files that a command reads, given by their paths or by the names that 'evener list' shows. */
#ifndef EVENER_CLI_INPUTS_H
#define EVENER_CLI_INPUTS_H
#include "evener/catalogue.h"
#include "show/findings.h"

/* Starts as {0}. The files of a name are looked for when it is given, all there are when none bears it. */
typedef struct evn_inputs {
    evn_catalogue **named; /* whose paths were found */
    size_t count;
} evn_inputs;

typedef struct evn_input {
    const char *path; /* as given, or the catalogue's */
    const char *kind; /* of what it holds; NULL: not known */
} evn_input;

/*
 * A path that is there goes before a name. Of several files of one name those of the kind count; where none is of it,
 * the one that there is. What looks like a path ('/' in it, or ".yaml" at its end) is taken as it is, there or not.
 * False, with a mishap, when there is no such name, or several files of the kind bear it.
 */
bool evn_input_find(evn_inputs *, const char *given, const char *kind, evn_input *out, evn_mishap *);
void evn_inputs_free(evn_inputs *);

/* "a truck", "an axle", "a file of kept results"; of several "a cycle or a duty". */
enum { EVN_KIND_PHRASE = 128 };
const char *evn_kind_phrase(char out[EVN_KIND_PHRASE], const char *kinds);

/* Whether a kind is one of these, which have blanks between. */
bool evn_is_among_kinds(const char *kinds, const char *kind);

#endif
