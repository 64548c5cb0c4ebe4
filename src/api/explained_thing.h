/* What a name of a formula stands for in a run: a result, a value of a file, what was asked. */
#ifndef EVENER_API_EXPLAINED_THING_H
#define EVENER_API_EXPLAINED_THING_H
#include "api/objects.h"
#include "core/formula.h"
#include "evener/explain.h"
#include "evener/keys.h"

/* What a name stands for. */
typedef struct evn_thing {
    enum { RESULT, WRITTEN, OF_CYCLE, ASKED } kind;
    evn_quantity what; /* of RESULT, which is a figure of the truck too */
    double value;
    size_t index; /* of WRITTEN and OF_CYCLE: in the list of values */
    const evn_value *written;
    evn_key key; /* of ASKED */
    const char *asked_kind;
    bool sought;          /* of RESULT: what the truck can, and ... */
    const char *limit;    /* ... what binds it; NULL: nothing */
    const char *full_key; /* as rows bear it */
} evn_thing;

/* The index-th that fits a name: "truck:", "cycle:", "load_case:" or "driving:" before a key, or the key of a result.
 * False: no such. */
bool evn_thing_at(const evn_explained_run *, evn_formula_name, size_t index, evn_thing *out);
/* Of results alone, to which the time that a limit bound and what a truck can belong too. */
bool evn_thing_of_results(const evn_explained_run *, evn_formula_name, size_t index, evn_thing *out);

/* What a result that this truck does not have is called, of a part that it lacks. NULL: no truck has it. */
const char *evn_thing_label_elsewhere(evn_formula_name);

/* The name as a formula has it, of a key. */
evn_formula_name evn_thing_name(const char *key);
/* Takes a word off the name where it begins with it. */
bool evn_thing_begins(evn_formula_name *, const char *word);

bool evn_value_is_group(const evn_value *);
double evn_value_number(const evn_value *); /* NAN: not one number */

#endif
