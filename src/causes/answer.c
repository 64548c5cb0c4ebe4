/* What is asked of causes that were found. */
#include "causes/average.h"
#include "causes/find.h"
#include <math.h>
#include <string.h>

/* NULL: no such truck, or nothing was parted. */
static const evn_parting *parted(const evn_causes *causes, size_t truck)
{
    if (!causes || truck == causes->against || truck >= causes->trucks)
        return NULL;
    return causes->pair[truck].facts.state == EVN_CAUSES_FOUND ? &causes->pair[truck] : NULL;
}

static double percent_of(const evn_parting *p, double part) { return 100 * part / fabs(p->facts.first_parted); }

bool evn_causes_partial(const evn_causes *causes) { return causes && causes->partial; }

size_t evn_causes_against(const evn_causes *causes) { return causes ? causes->against : 0; }

const char *evn_causes_key(const evn_causes *causes) { return causes ? causes->decides : NULL; }

bool evn_causes_pair_at(const evn_causes *causes, size_t truck, evn_causes_pair *out)
{
    if (!causes || !out || truck == causes->against || truck >= causes->trucks)
        return false;
    *out = causes->pair[truck].facts;
    return true;
}

bool evn_causes_part_at(const evn_causes *causes, size_t truck, size_t index, evn_cause_part *out)
{
    const evn_parting *p = parted(causes, truck);
    if (!p || !out || index >= p->groups)
        return false;
    *out = (evn_cause_part){.causes = evn_parting_causes(p, index),
                            .part = p->part[index],
                            .percent = percent_of(p, p->part[index]),
                            .least = percent_of(p, p->least[index]),
                            .most = percent_of(p, p->most[index]),
                            .alike = p->alike[index],
                            .sure = p->sure[index].there,
                            .low_percent = p->sure[index].low_percent,
                            .high_percent = p->sure[index].high_percent};
    return true;
}

/* Groups that count in the orders beside a part: those that are not alike. How many. */
static size_t counted_beside(const evn_parting *p, size_t part, size_t group[EVN_CAUSE_COUNT])
{
    size_t count = 0;
    for (size_t g = 0; g < p->groups; g++)
        if (g != part && !p->alike[g])
            group[count++] = g;
    return count;
}

bool evn_causes_exchange_at(const evn_causes *causes, size_t truck, size_t part, size_t index, evn_cause_exchange *out)
{
    const evn_parting *p = parted(causes, truck);
    size_t group[EVN_CAUSE_COUNT], members = 0;
    unsigned before = 0;
    if (!p || !out || part >= p->groups)
        return false;
    size_t others = counted_beside(p, part, group);
    if (index >= (size_t)1 << others)
        return false;
    for (size_t k = 0; k < others; k++)
        if (index >> k & 1u) {
            before |= 1u << group[k];
            members++;
        }
    *out = (evn_cause_exchange){.before = evn_parting_set(p, before),
                                .weight = evn_share_of_orders(members, others + 1),
                                .without = p->value[before],
                                .with = p->value[before | 1u << part]};
    return true;
}

const char *evn_causes_source(void)
{
    return "L. S. Shapley, A value for n-person games, Contributions to the Theory of Games II, Princeton 1953";
}

bool evn_causes_differing_at(const evn_causes *causes, size_t truck, evn_cause cause, size_t index, const char **path)
{
    const evn_parting *p = parted(causes, truck);
    if (!p || !path || (unsigned)cause >= EVN_CAUSE_COUNT || index >= p->differing[cause].count)
        return false;
    *path = p->differing[cause].path[index];
    return true;
}

bool evn_causes_line_at(const evn_causes *causes, size_t truck, size_t part, size_t index, evn_cause_line *out)
{
    const evn_parting *p = parted(causes, truck);
    if (!p || !out || part >= p->groups || index >= EVN_CAUSE_LINES)
        return false;
    static const evn_line_row unclosed = {"not_closed", "not closed", "not closed",
                                          "what the energy balances do not close"};
    const evn_line_row *row = index < EVN_LINE_COUNT ? &evn_line_rows[index] : &unclosed;
    bool by_way = strcmp(causes->decides, "kwh_per_km") == 0;
    *out = (evn_cause_line){.what = {row->key, by_way ? "kWh/km" : "kWh/(t km)", row->meaning, EVN_REAL, by_way ? 4 : 5,
                                     row->label, row->short_label, 0},
                            .part = p->line[part][index],
                            .percent = percent_of(p, p->line[part][index])};
    return true;
}

/* What laws leave of the part of the drivetrain. */
static double remainder_of(const evn_parting *p)
{
    double left = p->part[p->group[EVN_CAUSE_DRIVETRAIN]];
    for (int law = 0; law < EVN_LAW_COUNT; law++)
        left -= p->law[law].why_not ? 0 : p->law[law].part;
    return left;
}

bool evn_causes_law_at(const evn_causes *causes, size_t truck, size_t index, evn_cause_law *out)
{
    const evn_parting *p = parted(causes, truck);
    if (!p || !p->laws || !out || index > EVN_LAW_COUNT)
        return false;
    bool last = index == EVN_LAW_COUNT, found = last || !p->law[index].why_not;
    double part = last ? remainder_of(p) : found ? p->law[index].part : (double)NAN;
    *out = (evn_cause_law){.key = last ? "remainder" : evn_law_keys[index],
                           .label = last ? "remainder" : evn_law_labels[index],
                           .found = found,
                           .why_not = last ? NULL : p->law[index].why_not,
                           .part = part,
                           .percent = percent_of(p, part)};
    return true;
}

bool evn_causes_merge_at(const evn_causes *causes, size_t truck, size_t index, evn_cause_merge *out)
{
    const evn_parting *p = parted(causes, truck);
    if (!p || !out || index >= p->merges)
        return false;
    *out = (evn_cause_merge){p->merged[index].one, p->merged[index].other, p->merged[index].reason};
    return true;
}
