/* What is wrong with text that is not YAML, in words that help to mend it. */
#ifndef EVENER_READ_SYNTAX_H
#define EVENER_READ_SYNTAX_H
#include "read/reading.h"
#include <yaml.h>

/* Says the error that the parser has stopped at. */
void evn_say_syntax(evn_reading *, const evn_source *, const yaml_parser_t *, const char *bytes, size_t length);

#endif
