/* A run over time as the page carries it: rounded to what the eye needs, as few bytes as that takes. */
#ifndef EVENER_SHOW_HTML_TRACE_H
#define EVENER_SHOW_HTML_TRACE_H
#include "evener/evener.h"
#include <jansson.h>

typedef struct evn_html_trace evn_html_trace;

/* How much of a run is carried. */
typedef enum evn_html_detail {
    EVN_HTML_WHOLE,   /* every row */
    EVN_HTML_THINNED, /* less rows that lie so close to the line between those before and behind them that nobody sees
                         it */
    EVN_HTML_OF_DAY   /* likewise, times and temperatures alone: no chart draws more of a run over the clock */
} evn_html_detail;

/* The rig must outlive it; NULL when memory is out. */
evn_html_trace *evn_html_trace_new(const evn_rig *, evn_html_detail);
void evn_html_trace_free(evn_html_trace *);
void evn_html_trace_row(evn_html_trace *, const double *row);

/*
 * {"columns": [{key, label, unit, digits, decimals, order}], "rows": N, "packed": TEXT}, packed as html_pack.h says,
 * column after column: whole multiples of 10^-decimals. NULL when memory ran out, now or at some row.
 */
json_t *evn_html_trace_json(evn_html_trace *); /* behind the last row */

#endif
