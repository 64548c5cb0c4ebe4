/* Trucks with other sizes of their battery, and what they may carry then. */
#include "duty/pack_size.h"
#include "core/root.h"
#include "core/units.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ the battery */

double evn_battery_kwh(const evn_battery_file *b)
{
    evn_curve v;
    evn_curve_make(&v, b->open_circuit->soc.at, b->open_circuit->voltage_v.at, b->open_circuit->soc.count, true);
    return b->capacity_ah * 3600 * evn_curve_integral(&v, 0, 1) / EVN_J_PER_KWH;
}

double evn_battery_kg_per_kwh(const evn_battery_file *b)
{
    return b->mass_kg > 0 ? b->mass_kg / evn_battery_kwh(b) : EVN_PACK_KG_PER_KWH;
}

static void size_heat(evn_sized_truck *s, const evn_battery_heat_file *h, double size)
{
    s->heat = *h;
    s->heat.heat_capacity_kj_per_k *= size;
    s->heat.to_air_w_per_k *= size;
    if (h->cooling) {
        s->cooling = *h->cooling;
        s->cooling.heat_kw *= size;
        s->heat.cooling = &s->cooling;
    }
    if (h->heating) {
        s->heating = *h->heating;
        s->heating.heat_kw *= size;
        s->heat.heating = &s->heating;
    }
    s->battery.heat = &s->heat;
}

/* Cells in parallel: voltage and shares stay, charge and power go with the size, resistance against it. */
void evn_sized_truck_make(evn_sized_truck *s, const evn_truck_file *t, double size, double kg_per_kwh)
{
    const evn_battery_file *own = t->battery;
    s->truck = *t;
    s->battery = *own;
    s->battery.capacity_ah *= size;
    s->battery.resistance_ohm /= size;
    s->battery.discharge_limit_kw *= size;
    s->battery.charge_limit_kw *= size;
    s->battery.mass_kg = fmax(own->mass_kg + kg_per_kwh * (size - 1) * evn_battery_kwh(own), 0);
    if (own->heat)
        size_heat(s, own->heat, size);
    s->truck.battery = &s->battery;
}

/* ------------------------------------------------------------------------------------------------ what it may carry */

static evn_rig *rig_with(const evn_truck_file *t, const evn_load_case *c, double payload_kg, evn_report *report)
{
    evn_load_case with = *c;
    evn_rig *rig = NULL;
    with.payload_kg = payload_kg;
    evn_rig_make(t, &with, &rig, report);
    return rig;
}

static double permitted_or_more(double permitted_kg, double is_kg)
{
    return isnan(permitted_kg) ? (double)INFINITY : fmax(permitted_kg, is_kg);
}

static double over(double permitted_kg, double is_kg) { return is_kg > permitted_kg ? is_kg - permitted_kg : 0; }

bool evn_permitted_make(evn_permitted *p, const evn_truck_file *t, const evn_load_case *c, double payload_kg,
                        evn_report *report)
{
    evn_rig *rig = rig_with(t, c, payload_kg, report);
    *p = (evn_permitted){.gross_kg = (double)INFINITY};
    if (!rig)
        return false;
    p->gross_kg = permitted_or_more(t->body->permitted_gross_kg, rig->mass_kg);
    p->gross_over_kg = over(t->body->permitted_gross_kg, rig->mass_kg);
    for (size_t k = 0; k < rig->axle_count; k++) {
        p->axle_kg[k] = permitted_or_more(rig->axle[k].permitted_kg, rig->axle[k].load.cosine_kg);
        p->axle_over_kg[k] = over(rig->axle[k].permitted_kg, rig->axle[k].load.cosine_kg);
    }
    evn_rig_free(rig);
    return true;
}

static const char *axle_name(const evn_truck_file *t, size_t axle)
{
    return axle < t->axles.count ? t->axles.name[axle] : "trailer";
}

static evn_range_load load_of(const char *axle, double kg, double permitted_kg, const char *key)
{
    return (evn_range_load){axle, kg, permitted_kg, isnan(permitted_kg) ? key : NULL};
}

size_t evn_loads_of(const evn_truck_file *t, const evn_load_case *c, double payload_kg,
                    evn_range_load out[EVN_AXLES_MAX + 1])
{
    evn_report *aside = evn_report_new();
    evn_rig *rig = aside ? rig_with(t, c, payload_kg, aside) : NULL;
    size_t count = 0;
    if (rig)
        out[count++] = load_of(NULL, rig->mass_kg, t->body->permitted_gross_kg, "body.permitted_gross_kg");
    for (size_t k = 0; rig && k < rig->axle_count; k++)
        out[count++] = load_of(axle_name(t, k), rig->axle[k].load.cosine_kg, rig->axle[k].permitted_kg,
                               k < t->axles.count ? "permitted_kg" : "trailer.permitted_axles_kg");
    evn_rig_free(rig);
    evn_report_free(aside);
    return count;
}

double evn_permitted_over_kg(const evn_permitted *p, const evn_truck_file *t, const char *bound_by)
{
    if (!bound_by)
        return 0;
    if (strcmp(bound_by, "permitted_gross") == 0)
        return p->gross_over_kg;
    for (size_t k = 0; k < EVN_AXLES_MAX && k <= t->axles.count; k++)
        if (strcmp(bound_by, axle_name(t, k)) == 0)
            return p->axle_over_kg[k];
    return 0;
}

typedef struct weighing {
    const evn_truck_file *truck;
    const evn_load_case *load_case;
    const evn_permitted *permitted;
    evn_report *aside;
    const char *nearest; /* what has least room */
} weighing;

/* Room that is left, of what has least. */
static double room_kg(void *self, double payload_kg)
{
    weighing *w = self;
    evn_rig *rig = rig_with(w->truck, w->load_case, payload_kg, w->aside);
    w->nearest = NULL;
    if (!rig) /* no such truck stands */
        return -payload_kg - 1;
    double least = w->permitted->gross_kg - rig->mass_kg;
    w->nearest = "permitted_gross";
    for (size_t k = 0; k < rig->axle_count; k++) {
        double room = w->permitted->axle_kg[k] - rig->axle[k].load.cosine_kg;
        if (room >= least)
            continue;
        least = room;
        w->nearest = axle_name(w->truck, k);
    }
    evn_rig_free(rig);
    return least;
}

double evn_payload_left_kg(const evn_truck_file *t, const evn_load_case *c, double payload_kg,
                           const evn_permitted *permitted, const char **bound_by)
{
    static const double ALIKE_KG = 1e-6;
    weighing w = {t, c, permitted, evn_report_new(), NULL};
    *bound_by = NULL;
    if (!w.aside)
        return payload_kg;
    evn_known full = {payload_kg, room_kg(&w, payload_kg)};
    double left = payload_kg;
    if (full.error < -ALIKE_KG) {
        evn_known empty = {0, room_kg(&w, 0)};
        *bound_by = w.nearest;
        left = -1;
        if (empty.error >= 0) {
            left = evn_root_short_of(room_kg, &w, empty, full, &(evn_between){1e-3, 1e-9, 60}).x;
            *bound_by = w.nearest;
        }
    }
    evn_report_free(w.aside);
    return left;
}
