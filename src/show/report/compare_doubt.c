/* The second of the short sentences that answer: how sure the first is, what own speeds say, and whether the layouts
 * alone make it. */
#include "show/report/compare_report.h"

/* Of the rows in which the two are not alike the first that are named; the rest is counted. */
enum { NAMED_MOST = 2 };

static void put_interval(const evn_compare_report *report, FILE *to, const evn_compare_pair *pair, evn_basis basis)
{
    evn_compare_apart apart;
    bool sure = evn_compare_tell_apart(report->story, pair->truck, pair->other, basis, &apart) && apart.sure;
    if (sure)
        evn_compare_put_sureness(report, to, pair->truck, pair->other, &apart.sureness);
    else
        fputs(report->story->sure == EVN_SURE_OFF        ? "not asked"
              : report->story->sure == EVN_SURE_TOO_MUCH ? "not computed; --uncertainty first-order computes it"
                                                         : "not computed",
              to);
}

/* "How sure: against central drive 90 % interval ...; against two axles, the next, ...": that a truck is the lowest
 * hangs on the next. Of one pair alone the first sentence says which. */
static void put_how_sure(const evn_compare_report *report, FILE *to, const evn_compare_pair *pair, evn_basis basis)
{
    evn_compare_pair next;
    bool both = evn_compare_answer_next(report, basis, &next) && report->story->sure != EVN_SURE_OFF;
    fputs("How sure: ", to);
    if (!both) {
        put_interval(report, to, pair, basis);
        return;
    }
    fprintf(to, "against %s ", report->name[pair->other]);
    put_interval(report, to, pair, basis);
    fprintf(to, "; against %s, the next, ", report->name[next.other]);
    put_interval(report, to, &next, basis);
}

/* "; not alike in peak wheel power, continuous wheel power and 3 more: the difference is not due to the layouts alone";
 * of more trucks than two it names those of which it speaks. */
static void put_likeness(const evn_compare_report *report, FILE *to, const evn_compare_pair *pair)
{
    evn_likeness_row row;
    evn_likeness is;
    bool named = report->count > 2;
    size_t told = 0;
    fputs("; ", to);
    if (named)
        fprintf(to, "%s and %s are ", report->name[pair->truck], report->name[pair->other]);
    for (size_t k = 0; evn_likeness_row_at(k, &row); k++)
        if (evn_compare_unlike(report->story, pair->truck, pair->other, k, &is) && told++ < NAMED_MOST)
            fprintf(to, "%s%s",
                    told > 1 ? ", "
                    : named  ? "not alike in "
                             : "the two are not alike in ",
                    row.what.label);
    if (told > NAMED_MOST)
        fprintf(to, " and %zu more", told - NAMED_MOST);
    fputs(told > 0 ? ": the difference is not due to the layouts alone" : "like for like", to);
}

void evn_compare_put_doubt(const evn_compare_report *report, FILE *to)
{
    evn_compare_pair pair;
    for (int basis = EVN_BASIS_COMMON; basis >= EVN_BASIS_OWN; basis--)
        if (evn_compare_answer_pair(report, (evn_basis)basis, &pair)) {
            put_how_sure(report, to, &pair, (evn_basis)basis);
            if (basis == EVN_BASIS_COMMON)
                evn_compare_put_own(report, to);
            put_likeness(report, to, &pair);
            fputc('.', to);
            return;
        }
}
