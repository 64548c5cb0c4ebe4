/* Peak temperatures of all parts whose heating a file states: drive units, coolant, friction brakes. */
#include "trip/peaks.h"
#include "core/arena.h"
#include "trip/hottest.h"
#include <math.h>
#include <string.h>

#define NONE ((double)NAN)
enum { OF_UNIT = 3 + EVN_OILS }; /* winding, housing, inverter, oils */

typedef struct list {
    evn_results *to;
    bool all;
} list;

static double stated(double limit_degc) { return isfinite(limit_degc) ? limit_degc : NONE; }

static void put(list *l, const char *name, evn_peak_temperature peak)
{
    peak.of = name ? evn_arena_text(l->to->arena, name, strlen(name)) : NULL;
    l->all = l->all && (!name || peak.of);
    l->to->peak[l->to->peak_count++] = peak;
}

static void put_unit(list *l, const evn_unit *u, const evn_hottest *most)
{
    const evn_heat *h = &u->motor[0].heat;
    if (h->winding)
        put(l, u->name,
            (evn_peak_temperature){"winding", NULL, most->winding_degc[EVN_AS_STATED],
                                   h->ranged ? evn_hottest_winding_low_degc(most) : NONE,
                                   h->ranged ? evn_hottest_winding_high_degc(most) : NONE, h->winding_range.from_degc,
                                   h->winding_range.to_degc});
    if (h->housing)
        put(l, u->name, (evn_peak_temperature){"housing", NULL, most->housing_degc, NONE, NONE, NONE, NONE});
    if (h->inverter)
        put(l, u->name,
            (evn_peak_temperature){"inverter", NULL, most->inverter_degc, NONE, NONE, h->inverter_range.from_degc,
                                   h->inverter_range.to_degc});
    for (int k = 0; k < EVN_OILS; k++)
        if (u->oil[k].there)
            put(l, u->name,
                (evn_peak_temperature){k == EVN_OIL_AXLE ? "axle gear oil" : "gearbox oil", NULL, most->oil_degc[k],
                                       NONE, NONE, NONE, NONE});
}

bool evn_peaks_put(evn_results *r, const evn_trip *t)
{
    const evn_rig *rig = t->rig;
    list l = {r, true};
    size_t most = OF_UNIT * rig->unit_count + 2 + rig->axle_count;
    r->peak = evn_arena_take(r->arena, most * sizeof *r->peak);
    if (!r->peak)
        return false;
    for (size_t u = 0; u < rig->unit_count; u++)
        put_unit(&l, &rig->unit[u], &t->hottest[u]);
    if (rig->cooling.modelled)
        put(&l, NULL,
            (evn_peak_temperature){"coolant", NULL, t->peak_coolant_temperature_degc, NONE, NONE, NONE,
                                   stated(rig->cooling.limit_degc)});
    if (rig->pack.heat.modelled)
        put(&l, NULL,
            (evn_peak_temperature){"battery", NULL, t->peak_battery_degc, NONE, NONE, NONE,
                                   stated(rig->pack.heat.limit_degc)});
    for (size_t k = 0; k < rig->axle_count; k++)
        if (rig->axle[k].brake.modelled)
            put(&l, rig->axle[k].name,
                (evn_peak_temperature){"friction brakes", NULL, t->friction.peak_degc[k], NONE, NONE, NONE,
                                       stated(rig->axle[k].brake.limit_degc)});
    return l.all;
}
