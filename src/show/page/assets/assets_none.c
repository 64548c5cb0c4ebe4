/* Stands in for the page where the build found no npm. */
#include "show/page/assets.h"
#include <stddef.h>

const evn_assets *evn_assets_get(void) { return NULL; }
const char *evn_assets_missing(void) { return "npm was not there to bring its chart library"; }
