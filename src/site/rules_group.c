/* The group "rules": each clause of a set with what it is held against, its limit and its margin. */
#include "site/payload_left.h"
#include "site/site.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char group[] = "rules";

/* Where the figures of a clause come from, as its status has it. */
static const char *source_of(evn_site_work *w, const evn_clause_file *c)
{
    static const char *const words[] = {"read in public tables of it", "read in part", "from memory",
                                        "common practice, no source", "one's own"};
    return evn_site_text(w, "%s (%s)", c->source ? c->source : "no source is stated", words[c->status]);
}

static const char *why_of(evn_site_work *w, const evn_clause_file *c, const evn_rule_verdict *v)
{
    const char *allowed =
        v->allowance_kg > 0 ? evn_site_text(w, "with %.0f kg for the zero-emission drivetrain", v->allowance_kg) : NULL;
    if (v->met == EVN_IS_NOT_KNOWN)
        return evn_site_text(w, "not known: %s is not stated", v->missing);
    if (v->missing)
        return evn_site_text(w, "more may be allowed: %s is not stated", v->missing);
    if (allowed && c->note)
        return evn_site_text(w, "%s; %s", allowed, c->note);
    return allowed ? allowed : c->note;
}

/* "tandem leading to trailing", "axle leading". */
static const char *label_of(evn_site_work *w, const evn_clause_file *c, const evn_rule_verdict *v, const evn_weighed *s,
                            const char *subject)
{
    bool of_axles = c->limits == EVN_CLAUSE_AXLE_LOAD || c->limits == EVN_CLAUSE_GROUP_LOAD;
    if (!of_axles || v->axles == 0 || s->axle[v->first].of_trailer)
        return evn_site_text(w, "%s", subject);
    return evn_site_text(w, "%s %s", v->axles == 1 ? "axle" : v->axles == 2 ? "tandem" : "axles", subject);
}

static evn_site_column column_of(evn_site_work *w, const evn_clause_file *c, const char *subject, const char *label)
{
    bool share = c->limits == EVN_CLAUSE_DRIVEN_SHARE, length = c->limits == EVN_CLAUSE_MASS_PER_LENGTH;
    const char *unit = share ? "%" : length ? "kg/m" : "kg", *end = share ? "percent" : length ? "kg_per_m" : "kg";
    char key[EVN_SUBJECT_BYTES];
    size_t k = 0;
    for (; subject[k] != '\0'; k++)
        key[k] = subject[k] == ' ' ? '_' : subject[k] == '\'' ? '_' : subject[k];
    key[k] = '\0';
    return (evn_site_column){.key = evn_site_text(w, "%s_%s", key, end),
                             .unit = unit,
                             .label = label,
                             .help = "what the clause limits, with the payload as asked",
                             .digits = share ? 1 : 0,
                             .at_most = !share};
}

static void add_clause(evn_site_work *w, const evn_rules_file *r, const evn_weighed *s, const evn_rule_verdict *v)
{
    const evn_clause_file *c = (const evn_clause_file *)r->clauses.item + v->clause;
    char subject[EVN_SUBJECT_BYTES];
    evn_rule_subject(subject, r, s, v);
    const evn_site_name name = {group, r->clauses.name[v->clause], evn_site_text(w, "%s", r->clauses.name[v->clause])};
    evn_site_column column = column_of(w, c, subject, label_of(w, c, v, s, subject));
    bool known = v->met != EVN_IS_NOT_KNOWN;
    evn_site_answer a = {.value = known ? v->actual : (double)NAN,
                         .limit = v->limit,
                         .demanded = true,
                         .why = why_of(w, c, v),
                         .source = source_of(w, c)};
    evn_site_add(w, &name, &column, &a);
}

/* How many of the set are not met, and which. */
static void add_sum(evn_site_work *w, const evn_rules_file *r, const evn_rule_verdict verdict[], size_t count)
{
    static const evn_site_column column = {"not_met", "",  "clauses not met", "clauses that are not met or not known",
                                           0,         true};
    const evn_site_name name = {group, "set", "the set"};
    char names[700] = "";
    double not_met = 0;
    for (size_t k = 0; k < count; k++) {
        if (verdict[k].met == EVN_IS)
            continue;
        const char *clause = r->clauses.name[verdict[k].clause];
        not_met++;
        snprintf(names + strlen(names), sizeof names - strlen(names), "%s%.80s", names[0] ? ", " : "", clause);
    }
    evn_site_answer a =
        evn_site_value(not_met, not_met > 0 ? evn_site_text(w, "%s", names) : "all clauses that apply are met");
    a.limit = 0;
    a.source = evn_site_text(w, "%s: %s", r->name, r->source ? r->source : "no source is stated");
    evn_site_add(w, &name, &column, &a);
}

/* Without a set of rules nothing is told. */
void evn_site_rules(evn_site_work *w)
{
    if (!w->ask.rules)
        return;
    const evn_rules_file *r = w->ask.rules->file;
    evn_rule_verdict *verdict = evn_site_take(w, EVN_VERDICTS_MOST * sizeof *verdict);
    evn_at_rest at;
    evn_weighed s;
    if (!verdict)
        return;
    evn_truck_at_rest(w->truck, w->masses, w->laden->payload_kg, &at);
    evn_weighed_of(w->truck, &at, w->ask.intermodal, &s);
    size_t count = evn_rules_judge(r, &s, EVN_AT_MOST_AS_LOADED, verdict);
    add_sum(w, r, verdict, count);
    for (size_t k = 0; k < count; k++)
        add_clause(w, r, &s, &verdict[k]);
}
