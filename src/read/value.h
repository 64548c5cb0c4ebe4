/* Numbers, flags, texts, choices and lists of numbers: what holds no object. */
#ifndef EVENER_READ_VALUE_H
#define EVENER_READ_VALUE_H
#include "core/words.h"
#include "read/tree.h"

/* Writes the member; false when the value does not fit its field (said). */
bool evn_fill_number(evn_reading *, const evn_field *, const evn_node *, void *member);
bool evn_fill_flag(evn_reading *, const evn_field *, const evn_node *, void *member);
bool evn_fill_text(evn_reading *, const evn_field *, const evn_node *, void *member);
bool evn_fill_texts(evn_reading *, const evn_field *, const evn_node *, void *member);
bool evn_fill_choice(evn_reading *, const evn_field *, const evn_node *, void *member);
bool evn_fill_list(evn_reading *, const evn_field *, const evn_node *, void *member);
bool evn_fill_figures(evn_reading *, const evn_field *, const evn_node *, void *member);

/* Says that a value is of another shape than its field; always false. */
bool evn_say_wrong_shape(evn_reading *, const evn_field *, const evn_node *);

/* Says that a list or map holds more or fewer things than its field takes. */
bool evn_count_fits(evn_reading *, const evn_field *, const evn_node *);

/* "'masss_kg' is near": "; nearest is 'mass_kg'", or "" when nothing is near or enough has been said. Returns `out`. */
const char *evn_nearest_hint(evn_reading *, char out[EVN_PHRASE_BYTES], const char *found, const char *const *names,
                             size_t count);

#endif
