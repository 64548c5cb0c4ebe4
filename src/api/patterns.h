/* One sensible example of every kind: what `evener new` starts from. */
#ifndef EVENER_API_PATTERNS_H
#define EVENER_API_PATTERNS_H

/* YAML; NULL: none for that kind. */
const char *evn_pattern_of(const char *kind);

#endif
