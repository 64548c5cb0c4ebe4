/*
 * rules.h: sets of rules on masses and axle loads, which trucks are held against (site.h). Regulation, approved testing
 * and licensed practice decide on loads; a set stands for none of them.
 */
#ifndef EVENER_RULES_H
#define EVENER_RULES_H

#include "evener/evener.h"
#include "evener/values.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct evn_rules evn_rules; /* as read, checked */

/* As evn_truck_load; values set beside the files are for trucks. NULL in `out` where the file does not do (said). */
EVN_API evn_status evn_rules_load(const char *path, evn_rules **out, evn_report *);
EVN_API void evn_rules_free(evn_rules *);

EVN_API const char *evn_rules_name(const evn_rules *);
EVN_API const char *evn_rules_source(const evn_rules *); /* where they come from; NULL: not said */
EVN_API size_t evn_rules_clause_count(const evn_rules *);
/* By the order of the file; NULL: no such clause. */
EVN_API const char *evn_rules_clause_name(const evn_rules *, size_t index);

#ifdef __cplusplus
}
#endif
#endif
