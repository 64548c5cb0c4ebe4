/* What the media that tell of an import share. */
#include "show/import_story.h"

const char *evn_import_truck(char out[EVN_IMPORT_TRUCK_BYTES], const evn_import_told *t)
{
    snprintf(out, EVN_IMPORT_TRUCK_BYTES, "%.4g t, rolling resistance %.4g, drag area %.3g m2", t->mass_kg / 1e3,
             t->rolling_resistance, t->drag_area_m2);
    return out;
}
