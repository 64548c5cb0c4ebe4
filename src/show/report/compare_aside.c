/* One sentence where the trucks as written stand near an end of what their data may be. */
#include "show/compare_sureness.h"
#include "show/report/compare_report.h"
#include "show/text.h"

/* The first pair whose difference lies aside, as it is told; false: none. */
static bool aside(const evn_compare_report *report, evn_compare_pair *pair, evn_sureness *is)
{
    for (int basis = EVN_BASIS_COMMON; basis >= EVN_BASIS_OWN; basis--)
        for (size_t k = 0; evn_compare_pair_at(report->story, k, pair); k++)
            if (evn_compare_sure_between(report->story->uncertainty, pair->truck, pair->other, (evn_basis)basis,
                                         EVN_UNCERTAINTY_OFF, is) &&
                is->nominal_aside)
                return true;
    return false;
}

void evn_compare_put_aside(const evn_compare_report *report, FILE *to)
{
    evn_uncertainty_facts facts = evn_uncertainty_how_found(report->story->uncertainty);
    char nominal[EVN_COMPARE_CELL], mean[EVN_COMPARE_CELL];
    evn_compare_pair pair;
    evn_sureness is;
    if (!aside(report, &pair, &is))
        return;
    evn_format_change(nominal, sizeof nominal, evn_look_digits(report->look, 1), is.nominal_percent);
    evn_format_change(mean, sizeof mean, evn_look_digits(report->look, 1), is.mean_percent);
    fprintf(
        to,
        " As written, %s against %s stands at %s %%, outside of the middle half of the interval, whose mean is %s %%: ",
        report->name[pair.truck], report->name[pair.other], nominal, mean);
    if (facts.uneven > 0)
        fprintf(to, "the ranges of %zu of %zu uncertain data are not even about their values.", facts.uneven,
                facts.data);
    else
        fputs("the difference does not move evenly with the data.", to);
}
