/* Pages of what the dearer truck earns: the parts that stand without scripts, and what charts draw. Private to
 * html_*.c. */
#ifndef EVENER_SHOW_HTML_PAYBACK_H
#define EVENER_SHOW_HTML_PAYBACK_H
#include "show/page/html_page.h"
#include "show/payback_rows.h"

/* What was looked at, below the heading. */
void evn_html_payback_about(const evn_html_page *, FILE *);
/* Which to buy, and each basis with its table. */
void evn_html_payback_answer(const evn_html_page *, FILE *);
/* Cash flow, costs by parts, the field of distances and prices of energy, how sure. */
void evn_html_payback_sections(const evn_html_page *, FILE *);

/* The document less what no chart draws: formulas and what went into them. NULL when memory is out. */
json_t *evn_html_payback_result(json_t *document);

/* The next basis on which a truck has costs, as a number that begins with -1; false: no more. */
bool evn_html_payback_next_basis(const evn_html_page *, int *basis);
/* Begins a table: "Each with its own battery: " and what it has. */
void evn_html_payback_table(FILE *, const char *class_name, evn_payback_basis, const char *what);
/* A group of rows, trucks side by side. */
void evn_html_payback_group(const evn_html_page *, FILE *, evn_payback_basis, evn_payback_group);

#endif
