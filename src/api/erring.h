/* What states uncertainties behind the public handles. */
#ifndef EVENER_API_ERRING_H
#define EVENER_API_ERRING_H
#include "uncertainty/data.h"

/* Of a lineup, with the trucks, the cycle and the load case that it was read with; and of a file beside it (NULL:
 * none).
 */
evn_erring evn_lineup_states(const evn_lineup *);
evn_erring evn_lineup_erring(const evn_lineup *, const evn_uncertainties *beside);

#endif
