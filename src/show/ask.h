/* What was asked of a run, row by row of the kinds "load_case" and "driving". */
#ifndef EVENER_SHOW_ASK_H
#define EVENER_SHOW_ASK_H
#include "evener/duty.h"
#include "evener/keys.h"
#include "evener/limits.h"
#include <jansson.h>
#include <stdio.h>

extern const char *const evn_ask_kinds[]; /* ends with NULL */

/* A row of one of these kinds and what is asked there, a choice as its index. False past the last. */
bool evn_ask_at(const evn_conditions *, const char *kind, size_t index, evn_key *, double *value);

/* The same from `*index` on, but only what is given and differs from the default; `*index` is then past it. */
bool evn_ask_next_other(const evn_conditions *, const char *kind, size_t *index, evn_key *, double *value);

/* "Asked for: payload 12000 kg, driver exact; the rest by default.": what differs from the defaults, else nothing. */
/* On what the temperature of the air acts in these conditions and on what not, and how a wind counts; no more than
 * `bytes`. Every report tells it. */
enum { EVN_ASK_WEATHER_BYTES = 640 };
const char *evn_ask_weather(const evn_conditions *, char out[EVN_ASK_WEATHER_BYTES]);

void evn_ask_words(const evn_conditions *, FILE *);
/* "By options, which go before what seasons state: temperature -10 degC, wind 0 m/s."; nothing where none does. */
void evn_ask_before_seasons_words(const evn_conditions *, FILE *);
/* "The payload of 5000 kg is that of the day until stop 'tip', which states its own."; nothing where none is asked for,
 * or it is that of the whole day; `duty` may be NULL. */
void evn_ask_payload_words(const evn_conditions *, const evn_duty *duty, FILE *);
/* The same as a list of keys, "before_seasons". False when memory is out. */
bool evn_ask_put_before_seasons(json_t *document, const evn_conditions *);

/* The word of a choice of the load case; "": it has no such choice. */
const char *evn_ask_choice(const evn_conditions *, const char *key);

/* The value of a row as JSON: a number, null for "not given", a word for a choice, true or false. NULL when memory is
 * out. */
json_t *evn_ask_value(const evn_key *, double value);

/* Puts an object for each of the kinds, key by key. False when memory is out. */
bool evn_ask_put(json_t *document, const evn_conditions *);
/* The same, "demands", of what is demanded. */
bool evn_ask_put_demands(json_t *document, const evn_demands *);

#endif
