/* A chart's numbers as the page carries them. */
#ifndef EVENER_SHOW_HTML_CHART_H
#define EVENER_SHOW_HTML_CHART_H
#include "evener/charts.h"
#include <jansson.h>

/* Digits of what is drawn, not told: more than any screen shows. */
enum { EVN_HTML_DIGITS = 6 };

/*
 * {"columns": [{key, label, unit, digits, decimals, order, gaps}], "rows": N, "packed": TEXT}, packed as html_pack.h
 * says, column after column: whole multiples of 10^-decimals, six digits of the largest of a column. Where not every
 * row has a value ("gaps" stands there) the column begins with a list of order 1 of which have, 1 or 0. NULL when
 * memory is out.
 */
json_t *evn_html_chart_json(const evn_chart *);

#endif
