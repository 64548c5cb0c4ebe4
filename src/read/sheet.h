/* CSV files: '#' lines are comments, one header line of names, rows of numbers. Columns that hold no number are
 * dropped. */
#ifndef EVENER_READ_SHEET_H
#define EVENER_READ_SHEET_H
#include "core/field.h"
#include "read/reading.h"

/* NULL when something is wrong (said). */
const evn_sheet *evn_sheet_read(evn_reading *, const evn_source *, const char *bytes, size_t length, bool gaps);

#endif
