/* What the parts of the report on limits share. Private to limits_*.c. */
#ifndef EVENER_SHOW_LIMITS_REPORT_H
#define EVENER_SHOW_LIMITS_REPORT_H
#include "show/limits_story.h"
#include "show/report/table.h"

enum { EVN_LIMITS_CELL = 96 };

typedef struct evn_limits_report {
    const evn_limits_story *story;
    FILE *to;
    const evn_look *look; /* NULL: each paragraph on a line of its own, as other media break lines */
} evn_limits_report;

/* "23.99 %", "71.2 km/h", "12 min 05 s"; "more than 100 %" where the search ended there; "none". */
void evn_limits_value(const evn_limits_report *, const evn_limits_figure *, char out[EVN_LIMITS_CELL]);
/* Another value of the same quantity; nothing where there is none. */
void evn_limits_amount(const evn_limits_report *, const evn_limits_figure *, double value, char out[EVN_LIMITS_CELL]);

/* A paragraph in its style. */
void evn_limits_paragraph(const evn_limits_report *, evn_style, const char *indent, const char *text);
void evn_limits_heading(const evn_limits_report *, const char *text);

/* A paragraph that is written by `write`; nothing where that writes nothing. False when memory is out. */
typedef void evn_limits_writer(const evn_limits_report *, FILE *, size_t truck);
bool evn_limits_written(const evn_limits_report *, evn_style, const char *indent, evn_limits_writer *, size_t truck);

/* The parts of the report. False when memory is out. */
bool evn_limits_answer(const evn_limits_report *);
bool evn_limits_trust(const evn_limits_report *);

#endif
