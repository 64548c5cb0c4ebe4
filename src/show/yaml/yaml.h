/* Keys and values as the reader takes them back. */
#ifndef EVENER_SHOW_YAML_H
#define EVENER_SHOW_YAML_H
#include "evener/values.h"
#include <stdio.h>

/* In double quotes; the reader takes no text with control characters other than tab and line feed. */
void evn_put_yaml_text(FILE *, const char *text);

/* With its colon; a name that YAML could take for something else is quoted. */
void evn_put_yaml_key(FILE *, const char *key);

/* A list in brackets; ends with NULL. */
void evn_put_yaml_texts(FILE *, const char *const *texts);

/* Of a NUMBER or NUMBERS. */
void evn_put_yaml_numbers(FILE *, const evn_value *);

#endif
