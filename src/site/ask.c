/* What is asked of the site, as a table: its rows are the one place of bounds, defaults and help. */
#include "core/field_number.h"
#include "site/site.h"
#include <math.h>
#include <stddef.h>

#define MEMBER(member) offsetof(evn_site_ask, member)
static const evn_field fields[] = {
    {.key = "rut_mm",
     .shape = EVN_NUMBER,
     .most = 1000,
     .usual_high = 400,
     .offset = MEMBER(rut_mm),
     .help = "depth of the ruts that the wheels stand in"},
    {.key = "crown_mm",
     .shape = EVN_NUMBER,
     .most = 1000,
     .usual_high = 300,
     .offset = MEMBER(crown_mm),
     .help = "how much higher than beside the ruts the ground is midway between them"},
    {.key = "clearance_mm",
     .shape = EVN_NUMBER,
     .most = 2000,
     .fallback = (double)NAN,
     .offset = MEMBER(clearance_mm),
     .help = "height over the ground that all that hangs low must have; not given: not asked"},
    {.key = "kwh_per_km",
     .shape = EVN_NUMBER,
     .least = 0.05,
     .most = 20,
     .fallback = (double)NAN,
     .offset = MEMBER(kwh_per_km),
     .help = "energy use from the battery, for its range; not given: no range"},
    {.key = "intermodal",
     .shape = EVN_FLAG,
     .offset = MEMBER(intermodal),
     .help = "the vehicle is in intermodal transport, for which rules may allow more"},
};
const evn_object evn_site_ask_object = {"site_ask", "what is asked of a site",        sizeof(evn_site_ask),
                                        fields,     sizeof fields / sizeof *(fields), NULL};
