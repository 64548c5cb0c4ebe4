/* Variants as CSV: a line each, what varies and what was recorded. */
#include "show/csv/trace_csv.h"
#include "show/vary_story.h"
#include <inttypes.h>
#include <math.h>

typedef struct rows {
    const evn_variants *of;
    evn_trace_csv csv;
} rows;

static void put_key(rows *r, const char *key) { evn_trace_csv_key(&r->csv, key, false); }
static void put_text(rows *r, const char *text) { evn_trace_csv_text(&r->csv, text ? text : "", false); }

static void put_head(rows *r)
{
    evn_variants_column c;
    evn_trace_csv_key(&r->csv, "id", true);
    put_key(r, "truck");
    for (size_t k = 0; evn_variants_column_at(r->of, k, &c); k++)
        if (c.varies)
            put_key(r, c.what.key);
    put_key(r, "status");
    put_key(r, "may_be");
    put_key(r, "unmet");
    put_key(r, "fault");
    put_key(r, "finding");
    for (size_t k = 0; evn_variants_column_at(r->of, k, &c); k++)
        if (!c.varies)
            put_key(r, c.what.key);
    evn_trace_csv_end_line(&r->csv);
}

static void put_cells(rows *r, const evn_variant *v, bool varies)
{
    evn_variants_column c;
    for (size_t k = 0; evn_variants_column_at(r->of, k, &c); k++) {
        if (c.varies != varies)
            continue;
        if (c.is_text)
            put_text(r, v->text[k]);
        else if (isfinite(v->value[k]))
            fprintf(r->csv.stream, ",%.12g", v->value[k]);
        else
            fputc(',', r->csv.stream);
    }
}

static bool put_row(void *self, const evn_variant *v)
{
    rows *r = self;
    fprintf(r->csv.stream, "%" PRIu64, v->id);
    put_text(r, v->truck);
    put_cells(r, v, true);
    put_text(r, v->status);
    put_text(r, v->may_be ? "yes" : "no");
    put_text(r, v->unmet);
    put_text(r, v->fault);
    put_text(r, v->finding);
    put_cells(r, v, false);
    evn_trace_csv_end_line(&r->csv);
    return r->csv.error_number == 0;
}

bool evn_vary_csv(const evn_vary_story *story, FILE *to, int *error_number)
{
    static const evn_variants_ask all = {0};
    rows r = {story->variants, {.stream = to}};
    evn_status before = evn_report_status(story->report);
    put_head(&r);
    evn_status status = evn_variants_each(story->variants, story->ask ? story->ask : &all, &r, put_row, story->report);
    *error_number = r.csv.error_number;
    return r.csv.error_number == 0 && status == before;
}
