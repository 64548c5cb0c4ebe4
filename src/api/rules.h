/* What stands behind the public handle of a set of rules. */
#ifndef EVENER_API_RULES_H
#define EVENER_API_RULES_H
#include "core/arena.h"
#include "evener/rules.h"
#include "site/rules.h"

struct evn_rules {
    evn_arena *arena;
    const evn_rules_file *file;
};

#endif
