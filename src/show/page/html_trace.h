/* A run over time as the page carries it: rounded to what the eye needs, as few bytes as that takes. */
#ifndef EVENER_SHOW_HTML_TRACE_H
#define EVENER_SHOW_HTML_TRACE_H
#include "evener/evener.h"
#include <jansson.h>

typedef struct evn_html_trace evn_html_trace;

/*
 * The rig must outlive it; NULL when memory is out. Thinned: rows that lie so close to the line between those before
 * and behind them that nobody sees it are left out; else all are kept.
 */
evn_html_trace *evn_html_trace_new(const evn_rig *, bool thinned);
void evn_html_trace_free(evn_html_trace *);
void evn_html_trace_row(evn_html_trace *, const double *row);

/*
 * {"columns": [{key, unit, help, digits, step, order}], "rows": N, "packed": TEXT}: column after column the whole
 * multiples of its step, as differences from row to row (order 1) or as differences of those (order 2); zigzag (0, -1,
 * 1, -2 as 0, 1, 2, 3), seven bits a byte with the lowest first, the eighth set where more follow. Behind a 0 stands
 * how many more of them follow, in the same bytes. All in base64. NULL when memory ran out, now or at some row.
 */
json_t *evn_html_trace_json(evn_html_trace *); /* behind the last row */

#endif
