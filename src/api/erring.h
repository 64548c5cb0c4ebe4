/* What states uncertainties behind the public handles. */
#ifndef EVENER_API_ERRING_H
#define EVENER_API_ERRING_H
#include "uncertainty/data.h"

/* Of a lineup, and of a file beside it (NULL: none): all of an evn_erring but what was compared. */
evn_erring evn_lineup_erring(const evn_lineup *, const evn_uncertainties *beside);

#endif
