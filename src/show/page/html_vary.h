/* Pages of studies: the best, points with their front, a heat map, shares of variance, tables. Private to html_*.c. */
#ifndef EVENER_SHOW_HTML_VARY_H
#define EVENER_SHOW_HTML_VARY_H
#include "show/page/html_page.h"

void evn_html_vary_about(const evn_html_page *, FILE *);
void evn_html_vary_answer(const evn_html_page *, FILE *);
void evn_html_vary_sections(const evn_html_page *, FILE *);

/* Charts, as SVG that needs no script (html_vary_charts.c). */
void evn_html_vary_front(const evn_html_page *, FILE *); /* both aims of all variants, fronts joined */
void evn_html_vary_points(const evn_html_page *, FILE *, size_t input);
void evn_html_vary_map(const evn_html_page *, FILE *, size_t truck, size_t across, size_t upward);

#endif
