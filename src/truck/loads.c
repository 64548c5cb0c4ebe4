/* Consumers on the d.c. bus beside the drive units: keys, and their sum. */
#include "truck/loads.h"
#include "core/uncertain.h"
#include "truck/usual.h"
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

static const evn_field auxiliaries_fields[] = {
    {.key = "power_kw",
     .shape = EVN_NUMBER,
     .most = 200,
     .usual_low = 1,
     .usual_high = 20,
     .offset = offsetof(evn_auxiliaries_file, power_kw),
     .uncertain = &evn_usual_auxiliaries,
     .help = "steady power at the d.c. bus: steering, compressor, pumps, cab"},
    EVN_SOURCE_FIELD(evn_auxiliaries_file),
    EVN_UNCERTAIN_FIELD(evn_auxiliaries_file),
};
const evn_object evn_auxiliaries_object = {"auxiliaries",      "steady consumers",        sizeof(evn_auxiliaries_file),
                                           auxiliaries_fields, COUNT(auxiliaries_fields), NULL};

evn_loads evn_loads_of(const evn_auxiliaries_file *f, const evn_cooling *cooling, const evn_pack_heat *battery)
{
    return (evn_loads){.auxiliaries_w = f->power_kw * 1e3, .fan = cooling->fan, .battery = *battery};
}

double evn_loads_w(const evn_loads *l, bool at_rest, double coolant_degc, double battery_degc, evn_flow *flow)
{
    (void)at_rest; /* these run all the time */
    double sum = flow->w[EVN_AUXILIARIES] = l->auxiliaries_w;
    if (l->fan.full_w > 0)
        sum += flow->w[EVN_COOLING_FAN] = evn_fan_w(&l->fan, coolant_degc);
    if (l->battery.modelled)
        sum += flow->w[EVN_BATTERY_CONDITIONING] = evn_pack_conditioning_w(&l->battery, battery_degc);
    return sum;
}
