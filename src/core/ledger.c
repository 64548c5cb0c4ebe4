/* The rows of the ledger, from the one list in the header. */
#include "core/ledger.h"

const evn_line_row evn_line_rows[EVN_LINE_COUNT] = {
#define X(name, key, label, short_label, meaning) {key, label, short_label, meaning},
    EVN_LINES(X)
#undef X
};
