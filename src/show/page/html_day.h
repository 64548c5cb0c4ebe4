/* A day on the page: its tables, which stand without scripts, and what its charts are drawn from. Private to html_*.c.
 */
#ifndef EVENER_SHOW_HTML_DAY_H
#define EVENER_SHOW_HTML_DAY_H
#include "show/page/html_page.h"

/* What the duty demands, seasons, and the year. */
void evn_html_day_answer(const evn_html_page *, FILE *);
/* Of a comparison whose seasons were driven: what each truck uses and leaves in each, and which is worst for it. */
void evn_html_day_seasons(const evn_html_page *, FILE *);
/* The leg in which a truck was furthest below its target speed while a limit bound it. NULL: of no leg. */
const evn_day_phase *evn_html_day_leg_of(const evn_html_day *, size_t truck, const evn_limitation *);
/* Leg by leg, of each truck. */
void evn_html_day_legs(const evn_html_page *, FILE *);
/* "60.0 km in 1 h 56 min, season winter". */
void evn_html_day_about(const evn_html_page *, FILE *);

/* Charge, legs and stops of each truck. NULL when memory is out. */
json_t *evn_html_day_json(const evn_html_page *);

#endif
