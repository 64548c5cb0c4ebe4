/* The parts of the page that are there without scripts. Private to html_*.c. */
#ifndef EVENER_SHOW_HTML_PARTS_H
#define EVENER_SHOW_HTML_PARTS_H
#include "show/compare_sureness.h"
#include "show/page/html_page.h"
#include "show/page/html_write.h"

/* Of more trucks the details are folded; of more, tables parted into groups that fit a sheet and a phone. */
enum { EVN_HTML_TRUCKS_UNFOLDED = 2, EVN_HTML_TRUCKS_OPEN = 4, EVN_HTML_TRUCKS_PARTED = 3 };

/* Those of a site, of verdicts and of studies have no charts, and so neither scripts nor data. */
bool evn_html_bare(const evn_html_page *);

/* All that stands in <main>. */
void evn_html_body(const evn_html_page *, FILE *);

/* Trucks by the index of their columns, from and up to which a table has them. */
typedef struct evn_html_columns {
    size_t from, to;
} evn_html_columns;
bool evn_html_columns_next(const evn_html_page *, evn_html_columns *); /* starts as {0, 0}; false: no more */

/* Sign and name of a truck: the sign and its colour are its own in all charts. The sign alone is for a drawing, about
 * 0. */
enum { EVN_HTML_SIGNS = 6 };
void evn_html_sign(FILE *, size_t truck);
void evn_html_mark(FILE *, size_t truck);
void evn_html_truck_name(const evn_html_page *, FILE *, size_t truck);

/* The head of a table with trucks in its columns, and the start of a row of it. */
void evn_html_head(const evn_html_page *, FILE *, const evn_html_columns *, const char *behind);

/* The parts of a comparison. */
void evn_html_ranked(const evn_html_page *, FILE *);
void evn_html_compared(const evn_html_page *, FILE *); /* what is demanded, rows side by side, findings */
/* What was found amiss, as the document has it, of one fault (NULL: of all); nothing where there is none. */
void evn_html_found(const evn_html_page *, FILE *, const char *fault);
void evn_html_differ(const evn_html_page *, FILE *); /* energy balance */
void evn_html_facts(const evn_html_page *, FILE *);
void evn_html_likeness(const evn_html_page *, FILE *);
void evn_html_sure(const evn_html_page *, FILE *);
void evn_html_why(const evn_html_page *, FILE *); /* tables of causes */

/* The parts of a page of limits: what is demanded and what decides; the groups of figures. */
void evn_html_deciding(const evn_html_page *, FILE *);
void evn_html_abilities(const evn_html_page *, FILE *);

/* The parts of a page of a site: drawings, then figures; and the drawings alone, of trucks whose files say what they
 * look like. */
void evn_html_site(const evn_html_page *, FILE *);
void evn_html_frames(const evn_html_page *, FILE *, const evn_load_case *);

/* The parts of a page of verdicts: advice and the table, then truck by truck; what it is of, for its heading. */
void evn_html_assess_about(const evn_html_page *, FILE *);
void evn_html_assess_answer(const evn_html_page *, FILE *);
void evn_html_assess_sections(const evn_html_page *, FILE *);

/* The parts of a page of coast-downs. */
void evn_html_coastdown(const evn_html_page *, FILE *);

/* The parts of a page of a truck held against a log. */
void evn_html_match(const evn_html_page *, FILE *);

/* Of a verdict, beside its word. */
void evn_html_verdict_sign(FILE *, evn_verdict);

/* What a truck fails of what the duty demands beside the day, below its name; nothing where it fails none; and of all
 * of them, as a paragraph. */
void evn_html_fails(FILE *, const evn_assessment *, size_t truck, const char *with); /* "" or with what else it is */
void evn_html_unfit(FILE *, const evn_lineup *, const evn_assessment *);

/* Below the name of a truck of a comparison: that it is loaded beyond what its file permits; nothing where it is not.
 */
void evn_html_overloaded(FILE *, const evn_compare_story *, size_t truck);

/* That prices are invented, where they are; NULL: there are none. */
void evn_html_invented(FILE *, const evn_prices *);

/* "-7.9 to -4.5": an end that one decimal would tell as zero has two. And a probability in per cent. */
void evn_html_interval(FILE *, double low_percent, double high_percent);
void evn_html_probability(FILE *, const evn_sureness *);

#endif
