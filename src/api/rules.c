/* Sets of rules behind evener/rules.h. */
#include "truck/rules.h"
#include "api/objects.h"

evn_status evn_rules_load(const char *path, evn_rules **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"path", path}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_arena *arena;
    evn_value_list values = {0};
    const evn_rules_file *file = evn_load_object(path, &evn_rules_object, &(evn_load){0}, &values, &arena, report);
    if (!file)
        return evn_report_status(report);
    evn_rules *rules = evn_arena_take(arena, sizeof *rules);
    if (rules) {
        *rules = (evn_rules){arena, file};
        *out = rules;
    } else {
        evn_arena_free(arena);
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out reading %s", path);
    }
    return evn_report_status(report);
}

void evn_rules_free(evn_rules *r)
{
    if (r)
        evn_arena_free(r->arena);
}

const char *evn_rules_name(const evn_rules *r) { return r ? r->file->name : NULL; }

const char *evn_rules_source(const evn_rules *r) { return r ? r->file->source : NULL; }

size_t evn_rules_clause_count(const evn_rules *r) { return r ? r->file->clauses.count : 0; }

const char *evn_rules_clause_name(const evn_rules *r, size_t index)
{
    return r && index < r->file->clauses.count ? r->file->clauses.name[index] : NULL;
}
