/*
 * What a site's figures say in words for people: names of files' parts and clauses with spaces, keys of limits by what
 * they limit. Keys that a file lacks stay as they are, to be written into it; so do all of them in documents and CSV.
 */
#ifndef EVENER_SHOW_SITE_PLAIN_H
#define EVENER_SHOW_SITE_PLAIN_H

/*
 * "axles.front.permitted_kg" is "permitted on axle front"; "bay behind_cab" is "bay behind cab", and an underscore
 * between two digits a decimal point. Any other text as it is, NULL as "". To be freed; NULL when memory is out.
 */
char *evn_site_in_words(const char *text);

/* "axles.front.suspension" of "not known: axles.front.suspension is not stated", and how long it is; NULL: no such. */
const char *evn_site_missing_key(const char *why, int *length);

/* Past "not known: " or "none: ", which stand where the value would. */
const char *evn_site_without_value(const char *why);

#endif
