/* Groups of figures, as the option --group names them. */
#ifndef EVENER_CLI_GROUPS_H
#define EVENER_CLI_GROUPS_H
#include "cli/options.h"
#include "cli/outputs.h"

/* Whether all that were asked for are among the names; else the first that is not is said. */
bool evn_groups_fit(const evn_texts *asked, const char *const *names, size_t count, evn_mishap *);

#endif
