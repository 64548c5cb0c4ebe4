/* The three sentences that answer a comparison: which truck, by how much and how sure; what is not alike; what limited
 * the trucks, and which did not finish. */
#define _POSIX_C_SOURCE 200809L
#include "show/compare_loaded.h"
#include "show/compare_sureness.h"
#include "show/document.h"
#include "show/report/compare_report.h"
#include "show/text.h"
#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Of more than so many trucks, or rows, the rest is counted. */
enum { NAMED_MOST = 4 };

static const char *comma(size_t k, size_t count) { return k == 0 ? "" : k + 1 == count ? " and " : ", "; }

/* ------------------------------------------------------------------------------------------------ demands */

bool evn_compare_falls_short(const evn_compare_report *report, size_t truck)
{
    return evn_compare_demands(report->story) && !evn_compare_meets(report->story, truck);
}

/* Behind the name of a truck that is told as the best of something: what speaks against it, or nothing. */
static const char *but(const evn_compare_report *report, size_t truck)
{
    bool falls_short = evn_compare_falls_short(report, truck);
    if (evn_compare_overloaded(report->story, truck))
        return falls_short ? " (overloaded, does not meet the demands)" : " (overloaded)";
    return falls_short ? " (does not meet the demands)" : "";
}

/* ------------------------------------------------------------------------------------------------ which, how much */

size_t evn_compare_alike_of(const evn_compare_report *report) { return evn_compare_alike_against(report->story); }

/* The truck whose difference the first sentence tells; count: none. */
static size_t told_truck(const evn_compare_report *report) { return evn_compare_told_truck(report->story); }

static const char *at_basis(evn_basis basis)
{
    return basis == EVN_BASIS_COMMON ? "at the common speed" : "at own speeds";
}

static void put_use(const evn_compare_report *report, FILE *to, size_t truck, evn_basis basis)
{
    const evn_compare_decides *decides = evn_compare_decides_by(report->story);
    char use[EVN_COMPARE_CELL];
    evn_format_decimals(use, sizeof use, evn_look_digits(report->look, decides->digits),
                        evn_compare_result(report, truck, basis, decides->key));
    fprintf(to, "%s %s", use, decides->unit);
}

static void put_member(const evn_compare_report *report, FILE *to, size_t truck, evn_basis basis)
{
    fprintf(to, "%s (", report->name[truck]);
    put_use(report, to, truck, basis);
    fprintf(to, ")%s", but(report, truck));
}

/* "central drive (1.82 kWh/km) and electric axle (1.70 kWh/km)"; of many the ends. */
static void put_group(const evn_compare_report *report, FILE *to, const size_t *truck, size_t count, evn_basis basis)
{
    if (count > NAMED_MOST) {
        put_member(report, to, truck[0], basis);
        fprintf(to, " and %zu further trucks up to ", count - 1);
        put_member(report, to, truck[count - 1], basis);
        return;
    }
    for (size_t k = 0; k < count; k++) {
        fputs(comma(k, count), to);
        put_member(report, to, truck[k], basis);
    }
}

/* "6.2 % less than central drive"; of one that gives energy back over the whole route "0.3 % more into the battery than
 * central drive". */
static void put_percent(const evn_compare_report *report, FILE *to, size_t other, evn_basis basis, double percent)
{
    char text[EVN_COMPARE_CELL];
    bool gives = evn_compare_use(report->story, other, basis) < 0;
    evn_format_decimals(text, sizeof text, evn_look_digits(report->look, 1), fabs(percent));
    if (fabs(percent) < EVN_ALIKE_PERCENT)
        fprintf(to, "the same as %s", report->name[other]);
    else
        fprintf(to, "%s %% %s%s than %s", text, (percent < 0) != gives ? "less" : "more",
                gives ? " into the battery" : "", report->name[other]);
}

/* The same, with how sure that is behind it. */
static void put_gap(const evn_compare_report *report, FILE *to, size_t truck, size_t other, evn_basis basis)
{
    evn_compare_apart apart;
    if (!evn_compare_tell_apart(report->story, truck, other, basis, &apart))
        return;
    put_percent(report, to, other, basis, apart.percent);
    if (apart.sure && !report->brief)
        evn_compare_put_interval(report, to, truck, other, &apart.sureness);
}

/* Against the truck that all are held against, and against the runner-up; where it is itself the one held against, the
 * runner-up against it, as ranking and tables have it. */
static void put_lowest(const evn_compare_report *report, FILE *to, const size_t *ranked, evn_basis basis)
{
    size_t against = evn_compare_held_against(report->story, basis), best = ranked[0], next = ranked[1];
    fprintf(to, "the lowest %s is that of %s%s: ", evn_compare_decides_by(report->story)->words, report->name[best],
            but(report, best));
    put_use(report, to, best, basis);
    fputs(", ", to);
    if (best != against) {
        put_gap(report, to, best, against, basis);
        fputs(next == against ? "" : ", and ", to);
    }
    if (best == against) {
        fprintf(to, "and that of %s, the next%s, is ", report->name[next], but(report, next));
        put_gap(report, to, next, best, basis);
    } else if (next != against) {
        put_gap(report, to, best, next, basis);
        fprintf(to, ", the next%s", but(report, next));
    }
}

/* The pair of a group that tells most: with the truck that all are held against, if it is among them. */
static evn_compare_pair pair_of_group(const evn_compare_report *report, const size_t *truck, size_t count,
                                      evn_basis basis)
{
    size_t against = evn_compare_held_against(report->story, basis);
    if (truck[0] == against)
        return (evn_compare_pair){truck[1], against};
    for (size_t k = 1; k < count; k++)
        if (truck[k] == against)
            return (evn_compare_pair){truck[0], against};
    return (evn_compare_pair){truck[0], truck[1]};
}

/* Of a group without the truck that all are held against: what each takes against that. */
static void put_each_against(const evn_compare_report *report, FILE *to, const size_t *truck, size_t count,
                             size_t against, evn_basis basis)
{
    size_t told = count > NAMED_MOST ? 1 : count;
    for (size_t k = 0; k < told; k++) {
        fprintf(to, "%s that of %s is ", k == 0 ? ";" : k + 1 == told ? " and" : ",", report->name[truck[k]]);
        put_gap(report, to, truck[k], against, basis);
    }
}

static void put_not_apart(const evn_compare_report *report, FILE *to, const size_t *truck, size_t count, size_t ranked,
                          evn_basis basis)
{
    evn_compare_pair pair = pair_of_group(report, truck, count, basis);
    size_t against = evn_compare_held_against(report->story, basis);
    put_group(report, to, truck, count, basis);
    fprintf(to, " cannot be told apart in %s: that of %s is ", evn_compare_decides_by(report->story)->words,
            report->name[pair.truck]);
    put_gap(report, to, pair.truck, pair.other, basis);
    if (pair.other != against && !report->brief)
        put_each_against(report, to, truck, count, against, basis);
    else if (pair.other == against && ranked > count)
        fprintf(to, "; %s more than at least one of them", ranked == count + 1 ? "the other takes" : "the others take");
}

/* Asked how sure it is, and not found: no word is given. */
static void put_open(const evn_compare_report *report, FILE *to, const size_t *ranked, evn_basis basis)
{
    size_t against = evn_compare_held_against(report->story, basis);
    size_t of = ranked[0] == against ? ranked[1] : ranked[0];
    evn_compare_apart apart;
    fprintf(to, "the %s of %s%s is ", evn_compare_decides_by(report->story)->words, report->name[of], but(report, of));
    put_use(report, to, of, basis);
    fputs(", ", to);
    if (evn_compare_tell_apart(report->story, of, against, basis, &apart))
        put_percent(report, to, against, basis, apart.percent);
    fprintf(to, " by the data as they are stated; %snone is called the lowest",
            report->brief ? "" : "how sure that is was not computed, and "); /* the next short sentence says it */
}

/* Of those that can do what is demanded, where the lowest cannot. */
static void put_able(const evn_compare_report *report, FILE *to, evn_basis basis, size_t best)
{
    size_t able[EVN_COMPARE_TRUCKS_MOST];
    size_t count = evn_compare_leading(report->story, basis, true, able);
    if (!evn_compare_falls_short(report, best) || count == 0)
        return;
    fprintf(to, "; of those that meet the demands %s", count == 1 ? "the lowest is that of " : "");
    put_group(report, to, able, count, basis);
    fputs(count == 1 ? "" : " cannot be told apart", to);
}

static bool is_same_group(const size_t *one, size_t one_count, const size_t *other, size_t other_count)
{
    size_t found = 0;
    for (size_t k = 0; k < one_count; k++)
        for (size_t i = 0; i < other_count; i++)
            found += one[k] == other[i];
    return one_count == other_count && found == one_count;
}

/* What own speeds say beside the common one. */
static void put_own(const evn_compare_report *report, FILE *to, const size_t *common, size_t common_count)
{
    size_t ranked[EVN_COMPARE_TRUCKS_MOST], leading[EVN_COMPARE_TRUCKS_MOST];
    if (evn_compare_rank(report->story, EVN_BASIS_OWN, false, ranked) < 2)
        return;
    size_t count = evn_compare_leading(report->story, EVN_BASIS_OWN, false, leading);
    size_t against = evn_compare_held_against(report->story, EVN_BASIS_OWN), best = leading[0];
    size_t other = best == against ? ranked[1] : against;
    evn_compare_apart apart;
    if (!evn_compare_tell_apart(report->story, best, other, EVN_BASIS_OWN, &apart) || apart.open)
        return;
    if (count > 1 && is_same_group(leading, count, common, common_count)) {
        fputs("; at own speeds they cannot be told apart either", to);
        return;
    }
    fputs("; at own speeds ", to);
    if (count > 1) {
        put_group(report, to, leading, count, EVN_BASIS_OWN);
        fputs(" cannot be told apart", to);
        return;
    }
    if (common_count == 1 && common[0] == best)
        fputs("too", to);
    else
        fprintf(to, "%s%s", report->name[best], but(report, best));
    if (best == against && evn_compare_tell_apart(report->story, other, best, EVN_BASIS_OWN, &apart)) {
        fprintf(to, ", that of %s is ", report->name[other]);
        put_percent(report, to, best, EVN_BASIS_OWN, apart.percent);
        return;
    }
    fputs(", ", to);
    put_percent(report, to, other, EVN_BASIS_OWN, apart.percent);
}

void evn_compare_put_own(const evn_compare_report *report, FILE *to)
{
    size_t leading[EVN_COMPARE_TRUCKS_MOST];
    size_t count = evn_compare_leading(report->story, EVN_BASIS_COMMON, false, leading);
    if (count > 0)
        put_own(report, to, leading, count);
}

static bool is_open(const evn_compare_report *report, const size_t *ranked, evn_basis basis)
{
    evn_compare_apart apart;
    return evn_compare_tell_apart(report->story, ranked[0], ranked[1], basis, &apart) && apart.open;
}

bool evn_compare_answer_pair(const evn_compare_report *report, evn_basis basis, evn_compare_pair *out)
{
    size_t ranked[EVN_COMPARE_TRUCKS_MOST], leading[EVN_COMPARE_TRUCKS_MOST];
    if (evn_compare_rank(report->story, basis, false, ranked) < 2)
        return false;
    size_t count = evn_compare_leading(report->story, basis, false, leading);
    size_t against = evn_compare_held_against(report->story, basis);
    if (count > 1 && !is_open(report, ranked, basis))
        *out = pair_of_group(report, leading, count, basis);
    else
        *out = (evn_compare_pair){ranked[0] == against ? ranked[1] : ranked[0], against};
    return true;
}

bool evn_compare_answer_next(const evn_compare_report *report, evn_basis basis, evn_compare_pair *out)
{
    size_t ranked[EVN_COMPARE_TRUCKS_MOST], leading[EVN_COMPARE_TRUCKS_MOST];
    size_t against = evn_compare_held_against(report->story, basis);
    if (evn_compare_rank(report->story, basis, false, ranked) < 2 || is_open(report, ranked, basis) ||
        evn_compare_leading(report->story, basis, false, leading) != 1)
        return false;
    *out = (evn_compare_pair){ranked[0], ranked[1]};
    return out->truck != against && out->other != against;
}

static bool none_meets(const evn_compare_report *report)
{
    for (size_t i = 0; i < report->count; i++)
        if (!evn_compare_falls_short(report, i))
            return false;
    return true;
}

/* The two whose difference is told are not alike in all that is judged. */
static bool is_unlike(const evn_compare_report *report) { return !evn_compare_like_for_like(report->story); }

static void put_on_basis(const evn_compare_report *report, FILE *to, evn_basis basis, const size_t *ranked,
                         size_t ranked_count)
{
    size_t leading[EVN_COMPARE_TRUCKS_MOST];
    size_t count = evn_compare_leading(report->story, basis, false, leading);
    const char *where = at_basis(basis);
    if (none_meets(report))
        fprintf(to, "None of them meets all demands; %s", where);
    else
        fprintf(to, "%c%s", toupper((unsigned char)where[0]), where + 1);
    fputs(is_unlike(report) ? ", not like for like, " : " ", to);
    if (is_open(report, ranked, basis)) {
        put_open(report, to, ranked, basis);
        return;
    }
    if (count > 1)
        put_not_apart(report, to, leading, count, ranked_count, basis);
    else
        put_lowest(report, to, ranked, basis);
    if (basis == EVN_BASIS_COMMON && !report->brief)
        put_own(report, to, leading, count);
    put_able(report, to, basis, ranked[0]);
}

static void put_which(const evn_compare_report *report, FILE *to)
{
    size_t ranked[EVN_COMPARE_TRUCKS_MOST];
    for (int basis = EVN_BASIS_COMMON; basis >= EVN_BASIS_OWN; basis--) {
        size_t count = evn_compare_rank(report->story, (evn_basis)basis, false, ranked);
        if (count >= 2) {
            put_on_basis(report, to, (evn_basis)basis, ranked, count);
            fputc('.', to);
            return;
        }
    }
    if (evn_compare_rank(report->story, EVN_BASIS_OWN, false, ranked) == 1) {
        fputs("Only ", to);
        put_member(report, to, ranked[0], EVN_BASIS_OWN);
        fputs(" finished: there is nothing to hold it against.", to);
    }
}

/* ------------------------------------------------------------------------------------------------ what is not alike */

/* "peak wheel power (458 against 358 kW, +27.9 %)", "driven axles (1 against 2)". */
static void put_difference(const evn_compare_report *report, FILE *to, size_t truck, size_t against,
                           const evn_likeness_row *row, const evn_likeness *is)
{
    char value[EVN_COMPARE_CELL], first[EVN_COMPARE_CELL], change[EVN_COMPARE_CELL];
    fprintf(to, "%s (", row->what.label);
    if (isnan(is->value) || isnan(is->first)) {
        fprintf(to, "not known of %s)", report->name[isnan(is->value) ? truck : against]);
        return;
    }
    evn_format_value(value, sizeof value, report->look, &row->what, is->value);
    evn_format_value(first, sizeof first, report->look, &row->what, is->first);
    fprintf(to, "%s against %s%s%s", value, first, row->what.unit[0] ? " " : "", row->what.unit);
    if (row->of_first && is->first != 0) {
        evn_format_change(change, sizeof change, evn_look_digits(report->look, 1),
                          100 * (is->value - is->first) / fabs(is->first));
        fprintf(to, ", %s %%", change);
    }
    fputc(')', to);
}

bool evn_compare_put_unlike(const evn_compare_report *report, FILE *to, const char *before, size_t truck, size_t most)
{
    size_t against = evn_compare_alike_of(report), told = 0;
    evn_likeness_row row;
    evn_likeness is;
    for (size_t k = 0; evn_likeness_row_at(k, &row); k++) {
        if (!evn_compare_unlike(report->story, truck, against, k, &is))
            continue;
        if (told == 0)
            fprintf(to, "%s%s in ", before, report->name[truck]);
        if (told < most) {
            fputs(told > 0 ? ", " : "", to);
            put_difference(report, to, truck, against, &row, &is);
        }
        told++;
    }
    if (told > most)
        fprintf(to, " and %zu more", told - most);
    return told > 0;
}

/* Those of which the sentence speaks: that finished; all of them where none did. */
static bool is_spoken_of(const evn_compare_report *report, size_t truck)
{
    bool any = evn_compare_finished_count(report->story, EVN_BASIS_OWN) > 0;
    return truck != evn_compare_alike_of(report) && (!any || evn_compare_finished(report, truck, EVN_BASIS_OWN));
}

static size_t spoken_of(const evn_compare_report *report)
{
    size_t count = 0;
    for (size_t i = 0; i < report->count; i++)
        count += is_spoken_of(report, i);
    return count;
}

static bool all_alike(const evn_compare_report *report)
{
    for (size_t i = 0; i < report->count; i++)
        if (is_spoken_of(report, i) && !evn_compare_alike_with(report->story, i, evn_compare_alike_of(report)))
            return false;
    return true;
}

/* Of many trucks: how many are not alike, and in what. */
static void put_unlike_counts(const evn_compare_report *report, FILE *to)
{
    evn_likeness_row row;
    evn_likeness is;
    size_t told = 0;
    for (size_t k = 0; evn_likeness_row_at(k, &row); k++) {
        size_t count = 0;
        for (size_t i = 0; i < report->count; i++)
            count +=
                is_spoken_of(report, i) && evn_compare_unlike(report->story, i, evn_compare_alike_of(report), k, &is);
        if (count > 0 && told++ < NAMED_MOST)
            fprintf(to, "%s%s (%zu of %zu)", told > 1 ? ", " : " the others in ", row.what.label, count,
                    spoken_of(report));
    }
    if (told > NAMED_MOST)
        fprintf(to, " and %zu more", told - NAMED_MOST);
}

static bool is_told_apart(const evn_compare_report *report, size_t truck)
{
    evn_compare_apart apart;
    for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++)
        if (evn_compare_tell_apart(report->story, truck, evn_compare_alike_of(report), (evn_basis)basis, &apart) &&
            apart.is != EVN_CANNOT_BE_TOLD_APART)
            return true;
    return false;
}

/* What the percentages hold: the layouts alone, where nothing else is unlike between those that they speak of. */
static void put_whose_doing(const evn_compare_report *report, FILE *to)
{
    size_t told = told_truck(report), against = evn_compare_alike_of(report);
    if (told == report->count)
        return;
    if (!evn_compare_alike_with(report->story, told, against))
        fputs("; the percentages hold that too, and are not the layouts' doing alone", to);
    else if (is_told_apart(report, told))
        fprintf(to, "%s %s and %s are the layouts' doing",
                all_alike(report) ? ", and the percentages between" : "; the percentages between",
                report->name[against], report->name[told]);
}

static bool any_held(const evn_compare_report *report)
{
    for (size_t i = 0; i < report->count; i++)
        if (i != evn_compare_alike_of(report) && evn_compare_is_held(report->story, i))
            return true;
    return false;
}

static void put_alike(const evn_compare_report *report, FILE *to)
{
    bool any = false;
    size_t others = spoken_of(report);
    if (!any_held(report) || others == 0)
        return;
    if (all_alike(report)) {
        fprintf(to, "Like for like: all are alike in power at the wheels, tyres, body, battery and %s",
                evn_compare_equal_by(report->story) == EVN_EQUAL_GROSS ? "gross mass" : "payload");
    } else {
        fprintf(to, "Not like for like with %s:", report->name[evn_compare_alike_of(report)]);
        if (others + 1 > NAMED_MOST)
            put_unlike_counts(report, to);
        for (size_t i = 0; i < report->count && others + 1 <= NAMED_MOST; i++)
            if (is_spoken_of(report, i))
                any = evn_compare_put_unlike(report, to, any ? "; " : " ", i, others > 1 ? 2 : NAMED_MOST) || any;
    }
    put_whose_doing(report, to);
    fputc('.', to);
}

/* ------------------------------------------------------------------------------------------------ limits, ends */

static const char *verb_of(const char *status)
{
    if (strcmp(status, "stalled") == 0)
        return "stalled";
    if (strcmp(status, "battery_empty") == 0)
        return "ran out of charge";
    if (strcmp(status, "battery_too_weak") == 0)
        return "asked more than the battery gives";
    if (strcmp(status, "interrupted") == 0)
        return "was stopped";
    return "could not be driven";
}

bool evn_compare_put_end(const evn_compare_report *report, FILE *to, size_t truck)
{
    evn_compare_reached reached = evn_compare_reached_by(report->story, truck);
    char distance[EVN_COMPARE_CELL], of[EVN_COMPARE_CELL];
    int digits = evn_look_digits(report->look, 2);
    if (reached.finished && !reached.own_only)
        return false;
    fputs(reached.own_only ? "finished at its own speeds only" : verb_of(reached.status), to);
    if (!reached.finished && isfinite(reached.distance_km)) {
        evn_format_decimals(distance, sizeof distance, digits, reached.distance_km);
        fprintf(to, " at %s", distance);
        if (isfinite(reached.of_km)) { /* of a day it is not known before it is done */
            evn_format_decimals(of, sizeof of, digits, reached.of_km);
            fprintf(to, " of %s", of);
        }
        fputs(" km", to);
    }
    if (reached.common_only)
        fputs(" at its own speeds (at the common speed it finished, and is held against the others there)", to);
    return true;
}

static bool has_ended(const evn_compare_report *report, size_t truck)
{
    evn_compare_reached reached = evn_compare_reached_by(report->story, truck);
    return !reached.finished || reached.own_only;
}

/* "2 of 3 trucks finished (central drive did not)": how far each came stands in a line of its own. */
static void put_ends(const evn_compare_report *report, FILE *to)
{
    size_t ended[EVN_COMPARE_TRUCKS_MOST], count = 0;
    size_t own = evn_compare_finished_count(report->story, EVN_BASIS_OWN);
    for (size_t i = 0; i < report->count; i++)
        if (has_ended(report, i))
            ended[count++] = i;
    if (count == 0)
        return;
    fprintf(to, "%zu of %zu trucks finished", own, report->count);
    if (own == 0 || count > NAMED_MOST)
        return;
    fputs(own == report->count ? " (at the common speed " : " (", to);
    for (size_t k = 0; k < count; k++)
        fprintf(to, "%s%s", comma(k, count), report->name[ended[k]]);
    fputs(" did not)", to);
}

/* Who does not do what is demanded. */
static void put_unmet(const evn_compare_report *report, FILE *to, const char *before)
{
    size_t unmet[EVN_COMPARE_TRUCKS_MOST], count = 0;
    for (size_t i = 0; evn_compare_demands(report->story) && i < report->count; i++)
        if (!evn_compare_meets(report->story, i))
            unmet[count++] = i;
    if (count == 0 || count == report->count) /* none does: said first */
        return;
    fprintf(to, "%she demands are not met by ", before);
    for (size_t k = 0; k < count; k++)
        fprintf(to, "%s%s", comma(k, count), report->name[unmet[k]]);
}

/* What limited a truck longest, of those that finished. */
static bool limitation_of(const evn_compare_report *report, size_t truck, evn_limitation *out)
{
    return evn_compare_finished(report, truck, EVN_BASIS_OWN) &&
           evn_compare_limitation(report->story, truck, EVN_BASIS_OWN, out);
}

/* The limit of temperature that bound it too, where another bound it longer. */
static bool heat_of(const evn_compare_report *report, size_t truck, evn_limitation *out)
{
    return evn_compare_finished(report, truck, EVN_BASIS_OWN) &&
           evn_compare_heat_beside(report->story, truck, EVN_BASIS_OWN, out);
}

static bool in_doubt(const evn_compare_report *report, size_t truck, const evn_limitation *is)
{
    return evn_compare_limit_in_doubt(report->story, truck, EVN_BASIS_OWN, is);
}

typedef bool (*limit_of)(const evn_compare_report *, size_t truck, evn_limitation *out);

/* The trucks that one limit kept below the target speed longest: "motor power kept central drive (12 min 05 s) and
 * electric axle (8 min 12 s)". */
static void put_limited_by(const evn_compare_report *report, FILE *to, limit_of of, const char *limit)
{
    size_t kept[EVN_COMPARE_TRUCKS_MOST], count = 0, doubts = 0;
    evn_limitation is;
    for (size_t i = 0; i < report->count; i++)
        if (of(report, i, &is) && strcmp(is.label, limit) == 0) {
            kept[count++] = i;
            doubts += in_doubt(report, i, &is);
        }
    fprintf(to, "%s kept ", limit);
    for (size_t k = 0; k < count && count <= NAMED_MOST; k++) {
        char time[EVN_COMPARE_CELL];
        of(report, kept[k], &is);
        evn_format_duration(time, sizeof time, is.duration_s);
        fprintf(to, "%s%s (%s%s)", comma(k, count), report->name[kept[k]], time,
                in_doubt(report, kept[k], &is) ? ", in doubt" : "");
    }
    if (count > NAMED_MOST && count == report->count)
        fprintf(to, "all %zu trucks", count);
    else if (count > NAMED_MOST)
        fprintf(to, "%zu of %zu trucks", count, report->count);
    if (count > NAMED_MOST && doubts > 0)
        fprintf(to, " (of %zu of them in doubt)", doubts);
}

static bool is_told_before(const evn_compare_report *report, size_t truck, limit_of of, const char *limit)
{
    evn_limitation is;
    for (size_t i = 0; i < truck; i++)
        if (of(report, i, &is) && strcmp(is.label, limit) == 0)
            return true;
    return false;
}

/* Each limit once, with the trucks that it kept. False: there are none. */
static bool put_each_limit(const evn_compare_report *report, FILE *to, limit_of of, const char *before)
{
    bool any = false;
    for (size_t i = 0; i < report->count; i++) {
        evn_limitation is;
        if (!of(report, i, &is) || is_told_before(report, i, of, is.label))
            continue;
        fputs(any ? ", " : before, to);
        put_limited_by(report, to, of, is.label);
        any = true;
    }
    return any;
}

/* False: nothing limited any. */
static bool put_limits(const evn_compare_report *report, FILE *to, const char *before)
{
    if (!put_each_limit(report, to, limitation_of, before))
        return false;
    fputs(" below the target speed longest", to);
    if (put_each_limit(report, to, heat_of, "; "))
        fputs(" below it too", to);
    return true;
}

/* What stands first in the sentence begins with a capital letter, unless it is a name. */
static bool put_limiting(const evn_compare_report *report, FILE *to)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    put_ends(report, memory);
    put_unmet(report, memory, ftell(memory) > 0 ? "; t" : "T");
    bool named = ftell(memory) > 0;
    bool limited = put_limits(report, memory, named ? "; at own speeds " : "At own speeds ");
    if (!limited && !named)
        fputs("Nothing kept any of them below the target speed", memory);
    bool failed = ferror(memory) != 0;
    if (fclose(memory) != 0 || failed) {
        free(text);
        return false;
    }
    fprintf(to, "%s.", text);
    free(text);
    return true;
}

/* ------------------------------------------------------------------------------------------------ one by one */

bool evn_compare_put_sentence(const evn_compare_report *report, size_t index, FILE *to)
{
    if (index == 0)
        put_which(report, to);
    else if (index == 1)
        put_alike(report, to);
    else
        return put_limiting(report, to);
    return true;
}
