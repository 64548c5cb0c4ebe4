/* Words, numbers and tables as HTML, for the parts of the page that stand without scripts. Errors stay with the stream.
 */
#ifndef EVENER_SHOW_HTML_WRITE_H
#define EVENER_SHOW_HTML_WRITE_H
#include "evener/evener.h"
#include <stdio.h>

/* A text of a file: nothing of it is markup, in an attribute neither; control characters as the terminal tells them. */
void evn_html_text(FILE *, const char *);
/* What was found, with texts of files in it: as above, units behind numbers by their signs, "15 °C" for "15 degC". */
void evn_html_finding(FILE *, const char *);
/* The first letter of a text alone, for who writes one letter by letter. */
void evn_html_letter(FILE *, const char *letter);

/* A sentence of the program: minus signs before numbers, numbers on one line with their units. */
void evn_html_words(FILE *, const char *);
void evn_html_words_of(FILE *, const char *, size_t bytes); /* its beginning */

/* A figure as text.h formats it: a true minus, thousands apart where there are more than four digits, a dash for none.
 */
void evn_html_figure(FILE *, const char *formatted);
void evn_html_decimals(FILE *, int digits, double value);
void evn_html_change(FILE *, int digits, double value); /* with its sign */
void evn_html_duration(FILE *, double duration_s);
void evn_html_value(FILE *, const evn_quantity *, double value); /* without its unit */

/* "air drag, kWh"; the unit of a share is %, times bear their own. */
void evn_html_heading(FILE *, const char *label, const evn_quantity *);
const char *evn_html_unit(const char *unit); /* "degC" as a reader writes it */

/* Each line of a text as a paragraph of that class; NULL: none. From which line on, and how many at most. */
void evn_html_paragraphs(FILE *, const char *class_name, const char *lines, size_t from, size_t most);
size_t evn_html_line_count(const char *lines);

/* A table in a frame of its own, which moves sideways where it has to. The class may be "". */
void evn_html_table_begin(FILE *, const char *class_name, const char *caption);
void evn_html_table_end(FILE *);

/* A place that a script fills with charts, by their names in main.js. */
void evn_html_place(FILE *, const char *charts);

#endif
