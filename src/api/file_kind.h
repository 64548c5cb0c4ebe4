/* Which kind of object a file holds, by the keys at its top. */
#ifndef EVENER_API_FILE_KIND_H
#define EVENER_API_FILE_KIND_H
#include "read/outline.h"

/* The kind whose keys fit wholly; where several fit, the one that the name of the file begins with. NULL: none fits. */
const char *evn_kind_fitting(const char *name, const evn_outline *);

/* The name of a file, without folder and ending, which begins here and has so many bytes. */
const char *evn_file_name(const char *path, size_t *length);

#endif
