/* What the dearer truck earns as CSV: a line for each basis, truck and figure, and of how sure these are. */
#include "show/csv/trace_csv.h"
#include "show/payback_story.h"
#include <math.h>
#include <stdio.h>

enum { TEXT = 120 };

static void put_number(double value, evn_trace_csv *csv)
{
    fputc(',', csv->stream);
    if (isfinite(value))
        fprintf(csv->stream, "%.12g", value);
}

static void put_text(const char *text, evn_trace_csv *csv) { evn_trace_csv_text(csv, text ? text : "", false); }

typedef struct line_of {
    const evn_payback_story *story;
    evn_payback_basis basis;
    size_t truck;
} line_of;

static void put_line(const line_of *of, const evn_payback_figure *f, evn_trace_csv *csv)
{
    evn_trace_csv_text(csv, evn_payback_basis_name(of->basis), true);
    put_text(evn_lineup_truck_name(of->story->lineup, of->truck), csv);
    put_text(f->what.key, csv);
    put_text(f->what.label, csv);
    put_text(f->what.unit, csv);
    put_number(f->value, csv);
    put_text(f->formula, csv);
    put_text(f->from, csv);
    evn_trace_csv_end_line(csv);
}

/* One of how sure it is: what so many of the draws lie below, or the share of them. */
static void put_drawn(const line_of *of, const char *key, const char *label, bool is_share, double value,
                      evn_trace_csv *csv)
{
    const evn_payback_figure f = {
        .what = {.key = key, .label = label, .unit = is_share ? "" : evn_prices_currency(of->story->prices)},
        .value = value,
        .from = "draws"};
    put_line(of, &f, csv);
}

static void put_band(const line_of *of, const char *key, const char *label, const evn_payback_band *b,
                     evn_trace_csv *csv)
{
    const struct {
        const char *key, *label;
        double value;
    } ends[] = {{"low", "5 % of draws below", b->low},
                {"median", "half of them below", b->median},
                {"high", "95 % of them below", b->high}};
    char own_key[TEXT], own_label[TEXT];
    for (size_t k = 0; k < sizeof ends / sizeof *ends; k++) {
        snprintf(own_key, sizeof own_key, "%s.%s", key, ends[k].key);
        snprintf(own_label, sizeof own_label, "%s, %s", label, ends[k].label);
        put_drawn(of, own_key, own_label, false, ends[k].value, csv);
    }
}

static void put_energy(const line_of *of, evn_trace_csv *csv)
{
    evn_payback_energy e;
    if (!evn_payback_energy_of(of->story->payback, of->truck, &e))
        return;
    const struct {
        const char *key, *label;
        double value;
    } rows[] = {{"sure.energy.is", "energy of a day against the first truck's", e.is_percent},
                {"sure.energy.mean", "expectation of that", e.mean_percent},
                {"sure.energy.standard", "its standard uncertainty", e.standard_percent},
                {"sure.energy.low", "5 % of its distribution below", e.low_percent},
                {"sure.energy.high", "95 % of it below", e.high_percent}};
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        put_line(of,
                 &(evn_payback_figure){.what = {.key = rows[k].key, .label = rows[k].label, .unit = "%"},
                                       .value = rows[k].value,
                                       .from = "first order"},
                 csv);
}

static void put_sure(const line_of *of, evn_trace_csv *csv)
{
    const evn_payback *b = of->story->payback;
    evn_payback_sure s;
    evn_payback_band band;
    double share;
    char key[TEXT], label[TEXT];
    if (!evn_payback_sure_of(b, of->truck, of->basis, &s))
        return;
    put_energy(of, csv);
    put_band(of, "sure.present_value", "net present value", &(evn_payback_band){s.low, s.median, s.high}, csv);
    put_drawn(of, "sure.pays", "share of draws with a net present value above zero", true, s.pays, csv);
    for (unsigned k = 0; evn_payback_within(b, of->truck, of->basis, k, &share); k++) {
        snprintf(key, sizeof key, "sure.within.%u", k);
        snprintf(label, sizeof label, "share of draws that have paid back by the end of year %u", k);
        put_drawn(of, key, label, true, share, csv);
    }
    for (unsigned k = 0; evn_payback_band_at(b, of->truck, of->basis, k, &band); k++) {
        snprintf(key, sizeof key, "sure.discounted.%u", k);
        snprintf(label, sizeof label, "saved by the end of year %u, discounted", k);
        put_band(of, key, label, &band, csv);
    }
}

bool evn_payback_csv(const evn_payback_story *story, FILE *to, int *error_number)
{
    evn_trace_csv csv = {.stream = to};
    evn_payback_figure f;
    fputs("basis,truck,key,label,unit,value,formula,from", to);
    evn_trace_csv_end_line(&csv);
    for (int basis = EVN_PAYBACK_AS_LINEUP; basis <= EVN_PAYBACK_LEAST_BATTERY; basis++)
        for (size_t k = 0; k < evn_payback_truck_count(story->payback); k++) {
            const line_of of = {story, (evn_payback_basis)basis, k};
            for (size_t i = 0; evn_payback_figure_at(story->payback, k, of.basis, i, &f); i++)
                put_line(&of, &f, &csv);
            put_sure(&of, &csv);
        }
    *error_number = csv.error_number;
    return csv.error_number == 0;
}
