/* Any bytes as a CSV file: read or refused; what was read is a table of finite numbers (and gaps, where they
 * are allowed), each row with its line. */
#include "fuzz.h"
#include "read/sheet.h"
#include <math.h>

static void check_sheet(const evn_sheet *sheet, bool gaps)
{
    must_hold(sheet->columns > 0);
    for (size_t i = 0; i < sheet->columns; i++) {
        must_hold(sheet->name[i]);
        for (size_t k = 0; k < sheet->rows; k++)
            must_hold(isfinite(sheet->column[i][k]) || (gaps && isnan(sheet->column[i][k])));
    }
    for (size_t k = 0; k < sheet->rows; k++)
        must_hold(sheet->line[k] > (k > 0 ? sheet->line[k - 1] : sheet->header_line));
}

static void read_sheet(const uint8_t *bytes, size_t length, bool gaps)
{
    attempt a = attempt_begin();
    evn_reading reading = {.report = a.report, .keep = a.arena, .scratch = evn_arena_new()};
    must_hold(reading.scratch);
    const evn_source *source = evn_source_new(&reading, "fuzz.csv", "fuzz.csv", NULL, evn_nowhere);
    must_hold(source);
    const evn_sheet *sheet = evn_sheet_read(&reading, source, (const char *)bytes, length, gaps);
    must_hold((sheet != NULL) == !evn_report_failed(a.report));
    if (sheet)
        check_sheet(sheet, gaps);
    evn_arena_free(reading.scratch);
    attempt_end(&a);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    read_sheet(bytes, length, false);
    read_sheet(bytes, length, true);
    return 0;
}
