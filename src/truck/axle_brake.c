/* Friction brakes of an axle: keys, heat, cooling. */
#include "truck/axle_brake.h"
#include "core/uncertain.h"
#include "core/units.h"
#include <math.h>
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* ------------------------------------------------------------------------------------------------ keys */

/* Usual values: two discs to six drums. The bounds keep the time constant at 80 km/h at 5 s or more. */
#define DRUMS "grade severity model of heavy trucks, from memory: "

static const evn_field brake_fields[] = {
    {.key = "heat_capacity_kj_per_k",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 10,
     .most = 1e5,
     .usual_low = 40,
     .usual_high = 320,
     .offset = offsetof(evn_axle_brake_file, heat_capacity_kj_per_k),
     .source = DRUMS "39.3 for each drum; a disc 20 to 30",
     .help = "heat that warms them by 1 K, all brakes of the axle, or of the trailer, together"},
    {.key = "standing_w_per_k",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = 2000,
     .usual_low = 10,
     .usual_high = 200,
     .offset = offsetof(evn_axle_brake_file, standing_w_per_k),
     .source = DRUMS "13.4 for each drum",
     .help = "cooling at rest, per K above the ambient air, all brakes together"},
    {.key = "at_80_km_h_w_per_k",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = 2000,
     .usual_low = 20,
     .usual_high = 600,
     .offset = offsetof(evn_axle_brake_file, at_80_km_h_w_per_k),
     .source = DRUMS "27.4 for each drum",
     .help = "the same at 80 km/h; straight over speed"},
    {.key = "limit_degc",
     .shape = EVN_NUMBER,
     .least = 50,
     .most = 1500,
     .usual_low = 200,
     .usual_high = 700,
     .fallback = (double)NAN,
     .offset = offsetof(evn_axle_brake_file, limit_degc),
     .source = "drums fade above about 250, from memory",
     .help = "temperature that a run is held against; not given: none. What brakes may reach is for local regulation, "
             "approved testing and licensed practice"},
    {.key = "start_degc",
     .shape = EVN_NUMBER,
     .least = -60,
     .most = 1000,
     .fallback = (double)NAN,
     .offset = offsetof(evn_axle_brake_file, start_degc),
     .help = "at the start of a run; not given: the ambient air's"},
    EVN_SOURCE_FIELD(evn_axle_brake_file),
    EVN_UNCERTAIN_FIELD(evn_axle_brake_file),
};

static void check_brake(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_axle_brake_file *b = self;
    if (b->at_80_km_h_w_per_k < b->standing_w_per_k)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "at_80_km_h_w_per_k",
                   "cooling of %g W/K at 80 km/h; expected at or above that at rest, standing_w_per_k, %g",
                   b->at_80_km_h_w_per_k, b->standing_w_per_k);
}
const evn_object evn_axle_brake_object = {"friction_brake",
                                          "temperature of the friction brakes of an axle",
                                          sizeof(evn_axle_brake_file),
                                          brake_fields,
                                          COUNT(brake_fields),
                                          check_brake};

/* ------------------------------------------------------------------------------------------------ heat */

evn_axle_brake evn_axle_brake_of(const evn_axle_brake_file *f, double ambient_degc)
{
    if (!f)
        return (evn_axle_brake){.limit_degc = (double)INFINITY};
    return (evn_axle_brake){.modelled = true,
                            .capacity_j_k = f->heat_capacity_kj_per_k * 1e3,
                            .standing_w_k = f->standing_w_per_k,
                            .moving_w_s_m_k = (f->at_80_km_h_w_per_k - f->standing_w_per_k) / (80 * EVN_M_S_PER_KM_H),
                            .limit_degc = isnan(f->limit_degc) ? (double)INFINITY : f->limit_degc,
                            .start_degc = isnan(f->start_degc) ? ambient_degc : f->start_degc};
}

/* Linear in speed: grade severity model, from memory. */
double evn_axle_brake_cooling_w_k(const evn_axle_brake *b, double speed_m_s)
{
    return b->standing_w_k + b->moving_w_s_m_k * speed_m_s;
}

double evn_axle_brake_rate_k_s(const evn_axle_brake *b, double degc, double ambient_degc, double speed_m_s,
                               double friction_w)
{
    return (friction_w - evn_axle_brake_cooling_w_k(b, speed_m_s) * (degc - ambient_degc)) / b->capacity_j_k;
}
