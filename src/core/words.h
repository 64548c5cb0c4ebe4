/* Words that findings share: pieces of files in quotes, lists of names, what a key expects, a number beyond its bounds.
 */
#ifndef EVENER_CORE_WORDS_H
#define EVENER_CORE_WORDS_H
#include "core/field.h"

enum { EVN_BOUNDS_BYTES = 120, EVN_QUOTE_BYTES = 80, EVN_PHRASE_BYTES = 240, EVN_LABEL_BYTES = 120 };

/* A piece of a file for a message: in quotes, cut when long. Returns `out`. */
const char *evn_quote(char out[EVN_QUOTE_BYTES], const char *text, size_t length);

/* "a, b, c", cut when long. Returns `out`. */
const char *evn_name_all(char out[EVN_PHRASE_BYTES], const char *const *names, size_t count);

/* "; nearest is 'mass_kg'", or "" when none of the names is near. Returns `out`. */
const char *evn_nearest_phrase(char out[EVN_PHRASE_BYTES], const char *found, const char *const *names, size_t count);

/* How much of a text may be a name: up to a byte that paths to it could not hold. */
size_t evn_sound_name(const char *text);

/* "a number in kg", "one of front, rear", ... Returns `out`. */
const char *evn_expected(char out[EVN_PHRASE_BYTES], const evn_field *);

/* What a message calls a value: the key, with the place in the list where it is an item. */
typedef struct evn_label {
    const evn_field *field;
    size_t index;
    bool item;
} evn_label;
const char *evn_label_text(char out[EVN_LABEL_BYTES], evn_label);

/* "500 to 60000 kg", "at least 0 kg", "at most 1": the bounds of a key of that name. Returns `out`. */
const char *evn_bounds_text(char out[EVN_BOUNDS_BYTES], double least, double most, const char *key);

/* Whether the bounds, or the usual ones where some are stated, hold the number; NAN is unusual nowhere. */
bool evn_within_bounds(const evn_field *, double value);
bool evn_within_usual(const evn_field *, double value);

typedef struct evn_where { /* that a finding is said at */
    evn_spot at, used_from;
} evn_where;

/*
 * Whether a number is one that its key can hold: whole where it counts, and within the hard bounds; else it is said.
 * `quoted` is the number as it was written.
 */
bool evn_number_fits(evn_report *, evn_label, evn_where, double value, const char *quoted);

/* The warning about a number outside what sound designs show, and about so many others of its list. */
void evn_say_unusual(evn_report *, evn_label, evn_where, double value, size_t others);

#endif
