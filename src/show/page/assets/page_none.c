/* Stands in for the page where the build found no npm. */
#include "show/page/page_asset.h"
#include <stddef.h>

const evn_page_asset *evn_page_asset_get(void) { return NULL; }
const char *evn_page_asset_missing(void) { return "npm was not there to bring its chart library"; }
