/* A graph as SVG that stands without scripts: lines and dots over one axis, for pages without data. */
#ifndef EVENER_SHOW_HTML_GRAPH_H
#define EVENER_SHOW_HTML_GRAPH_H
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

typedef enum evn_html_series_kind { EVN_HTML_LINE, EVN_HTML_DOTS, EVN_HTML_RINGS } evn_html_series_kind;

typedef struct evn_html_series {
    const char *name;
    evn_html_series_kind kind;
    const double *x, *y; /* NAN in y: the line breaks */
    size_t count;
    int colour; /* of a truck or a sign, from 1 to 6 */
} evn_html_series;

typedef struct evn_html_graph {
    const char *label; /* read aloud, and the caption */
    const char *x_label, *y_label;
    const evn_html_series *series;
    size_t count;
    bool from_zero; /* the axis of y begins at zero */
} evn_html_graph;

/* Nothing where no series has two places apart. */
void evn_html_graph_put(const evn_html_graph *, FILE *);

#endif
