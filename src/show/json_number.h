/* Values as JSON: real numbers with 12 digits, what is not finite as null, dotted keys as nested objects. */
#ifndef EVENER_SHOW_JSON_NUMBER_H
#define EVENER_SHOW_JSON_NUMBER_H
#include "evener/evener.h"
#include <jansson.h>
#include <stdio.h>

/* New references; NULL when memory is out. */
json_t *evn_json_real(double value);
json_t *evn_json_value(evn_quantity_kind, double value);
json_t *evn_json_text(const char *text); /* NULL text: null; stray bytes become U+FFFD */

/* What was made, or, where it was not whole, nothing. Takes it over. */
json_t *evn_json_if_made(bool made, json_t *);

/* Sets a member at a dotted key, making the objects on the way, in order of arrival. Takes the value over, also when it
 * fails: memory is out, or the value is NULL because memory was out. Where the way is blocked by a number
 * ("gear_changes", then "shifts.first"), the member keeps its dotted key. */
bool evn_json_put(json_t *object, const char *dotted_key, json_t *value);

/* Writes the document, indented, control characters of every kind as \uXXXX, a line feed at the end. Write errors stay
 * with the stream; false when memory is out. */
bool evn_json_print(const json_t *document, FILE *);

#endif
