/* Options that take several numbers: "A,B,C". */
#ifndef EVENER_CLI_NUMBER_LIST_H
#define EVENER_CLI_NUMBER_LIST_H
#include "show/findings.h"

typedef struct evn_number_list {
    const char *option, *text; /* text NULL: not given, no numbers */
    double least, most;
    size_t room; /* numbers at most */
} evn_number_list;

/* False, with a mishap, where it is no such list, or a number is out of its bounds or comes twice. */
bool evn_number_list_read(const evn_number_list *, double *out, size_t *count, evn_mishap *);

#endif
