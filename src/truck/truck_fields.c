/* Field tables of the truck: body, axles, trailer, and the truck that holds them. */
#include "core/uncertain.h"
#include "truck/lifting_axle.h"
#include "truck/unit.h"
#include "truck/usual.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* ------------------------------------------------------------------------------------------------ tyre, axle */

static const evn_field tyre_fields[] = {
    {.key = "rolling_resistance_coefficient",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = 0.5,
     .usual_low = 0.004,
     .usual_high = 0.008,
     .offset = offsetof(evn_tyre_file, rolling_resistance_coefficient),
     .source = "Regulation (EC) 1222/2009, classes A to E of C3 tyres",
     .uncertain = &evn_usual_rolling,
     .help = "rolling resistance of the tyre alone over normal load; what bearings and seals of the wheels take is "
             "the hub_drag of its axle"},
    {.key = "rolling_resistance_speed_coefficient_s_m",
     .shape = EVN_NUMBER,
     .most = 0.01,
     .usual_high = 2e-4,
     .offset = offsetof(evn_tyre_file, rolling_resistance_speed_coefficient_s_m),
     .source = "Gillespie, Fundamentals of Vehicle Dynamics, ch. 4 (SAE 1992), from memory",
     .help = "added to the coefficient per m/s"},
    {.key = "rolling_radius_m",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.1,
     .most = 2,
     .usual_low = 0.42,
     .usual_high = 0.56,
     .offset = offsetof(evn_tyre_file, rolling_radius_m),
     .help = "rolling circumference over 2 pi"},
    {.key = "inertia_kg_m2",
     .shape = EVN_NUMBER,
     .most = 500,
     .usual_low = 8,
     .usual_high = 24,
     .fallback = 14,
     .offset = offsetof(evn_tyre_file, inertia_kg_m2),
     .source = "40 CFR 1066.310(b)(7)(ii)(B): 56.7 kg per tyre",
     .help = "one tyre with rim, hub and brake disc"},
    {.key = "longitudinal_slip_stiffness",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 1e4,
     .usual_low = 5,
     .usual_high = 40,
     .fallback = (double)NAN,
     .offset = offsetof(evn_tyre_file, longitudinal_slip_stiffness),
     .uncertain = &evn_usual_slip,
     .help = "tyre force over normal load, per unit of slip; not given: driven tyres do not slip"},
    {.key = "vertical_damping_kn_s_m",
     .shape = EVN_NUMBER,
     .most = 100,
     .usual_high = 3,
     .offset = offsetof(evn_tyre_file, vertical_damping_kn_s_m),
     .help = "vertical damping of one tyre, rolling; asked on rough roads"},
    {.key = "free_radius_m",
     .shape = EVN_NUMBER,
     .least = 0.1,
     .most = 2,
     .usual_low = 0.45,
     .usual_high = 0.6,
     .fallback = (double)NAN,
     .offset = offsetof(evn_tyre_file, free_radius_m),
     .help = "without load; with vertical_stiffness_kn_m it says how high the axle stands; not given: not known"},
    {.key = "vertical_stiffness_kn_m",
     .shape = EVN_NUMBER,
     .least = 50,
     .most = 1e5,
     .usual_low = 600,
     .usual_high = 1400,
     .fallback = (double)NAN,
     .offset = offsetof(evn_tyre_file, vertical_stiffness_kn_m),
     .source = "common practice, no source",
     .help = "of one tyre, load over deflection; not given: not known"},
    {.key = "width_m",
     .shape = EVN_NUMBER,
     .least = 0.05,
     .most = 1.5,
     .usual_low = 0.2,
     .usual_high = 0.5,
     .fallback = (double)NAN,
     .offset = offsetof(evn_tyre_file, width_m),
     .help = "of one tyre; not given: not known"},
    EVN_SOURCE_FIELD(evn_tyre_file),
    EVN_UNCERTAIN_FIELD(evn_tyre_file),
};
const evn_object evn_tyre_object = {"tyre",      "one tyre with its wheel", sizeof(evn_tyre_file),
                                    tyre_fields, COUNT(tyre_fields),        NULL};

static const char *const supports[] = {"front", "rear", NULL};
static const evn_field axle_fields[] = {
    {.key = "behind_front_axle_m",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0,
     .most = 20,
     .offset = offsetof(evn_axle_file, behind_front_axle_m),
     .help = "its place behind the first axle, which stands at 0"},
    {.key = "support",
     .shape = EVN_CHOICE,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_axle_file, support),
     .choices = supports,
     .help = "the group of axles that shares one load: front or rear"},
    {.key = "load_share",
     .shape = EVN_NUMBER,
     .least = 0.01,
     .most = 1,
     .fallback = (double)NAN,
     .offset = offsetof(evn_axle_file, load_share),
     .help = "share of its group's load; not given: equal shares"},
    {.key = "tyres",
     .shape = EVN_COUNT,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 8,
     .usual_low = 2,
     .usual_high = 4,
     .offset = offsetof(evn_axle_file, tyres),
     .help = "number of tyres"},
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .most = 5000,
     .usual_low = 350,
     .usual_high = 1300,
     .offset = offsetof(evn_axle_file, mass_kg),
     .help = "beam, hubs, brakes, suspension and wheels; gears and shafts are parts of the drive unit"},
    {.key = "permitted_kg",
     .shape = EVN_NUMBER,
     .least = 100,
     .most = 50000,
     .usual_low = 5000,
     .usual_high = 13000,
     .fallback = (double)NAN,
     .offset = offsetof(evn_axle_file, permitted_kg),
     .source = "Directive 96/53/EC: driven axle 11500",
     .help = "permitted axle load; local regulation decides"},
    {.key = "track_m",
     .shape = EVN_NUMBER,
     .least = 0.3,
     .most = 4,
     .usual_low = 1.7,
     .usual_high = 2.2,
     .fallback = (double)NAN,
     .offset = offsetof(evn_axle_file, track_m),
     .help = "from the middle of the wheel on the left, or of the pair, to that on the right; not given: not known"},
    {.key = "bowl_below_centre_m",
     .shape = EVN_NUMBER,
     .least = -0.5,
     .most = 1,
     .usual_low = 0.05,
     .usual_high = 0.28,
     .fallback = (double)NAN,
     .offset = offsetof(evn_axle_file, bowl_below_centre_m),
     .help = "lowest point of the axle body below the wheel's centre; not given: not known"},
    {.key = "tyre",
     .shape = EVN_ONE,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_axle_file, tyre),
     .of = &evn_tyre_object,
     .help = "its tyres"},
    {.key = "friction_share",
     .shape = EVN_NUMBER,
     .most = 1,
     .fallback = (double)NAN,
     .offset = offsetof(evn_axle_file, friction_share),
     .help = "its share of the friction braking force where brakes.distribution is stated; shares are taken over "
             "their sum"},
    {.key = "friction_brake",
     .shape = EVN_ONE,
     .offset = offsetof(evn_axle_file, friction_brake),
     .of = &evn_axle_brake_object,
     .help = "how its friction brakes heat; not given: their temperature is not modelled"},
    {.key = "lifts",
     .shape = EVN_ONE,
     .offset = offsetof(evn_axle_file, lifts),
     .of = &evn_lifts_object,
     .help = "where it can be lifted; not given: it stays on the ground"},
    {.key = "hub_drag",
     .shape = EVN_ONE,
     .offset = offsetof(evn_axle_file, hub_drag),
     .of = &evn_hub_drag_object,
     .help = "friction of the bearings and seals of its wheels, driven or not; resists at its tyres, nothing while it "
             "is lifted; not given: none, or in the drag of a path's wheel_end, which it stands instead of"},
    {.key = "suspension",
     .shape = EVN_ONE,
     .offset = offsetof(evn_axle_file, suspension),
     .of = &evn_suspension_object,
     .help = "how it is sprung; asked on rough roads; not given: not known"},
    EVN_SOURCE_FIELD(evn_axle_file),
    EVN_UNCERTAIN_FIELD(evn_axle_file),
};
static void check_axle(const void *self, const evn_seat *seat, evn_report *report)
{
    evn_check_hub_drag(((const evn_axle_file *)self)->hub_drag, 1, seat, report);
}
const evn_object evn_axle_object = {"axle",      "an axle of the truck", sizeof(evn_axle_file),
                                    axle_fields, COUNT(axle_fields),     check_axle};

/* ------------------------------------------------------------------------------------------------ body, trailer */

static const evn_field body_fields[] = {
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 200000,
     .usual_low = 2000,
     .usual_high = 15000,
     .offset = offsetof(evn_body_file, mass_kg),
     .uncertain = &evn_usual_body_mass,
     .help = "frame, cab and body with driver; without axles, drive units and battery"},
    {.key = "centre_behind_front_axle_m",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = -3,
     .most = 20,
     .offset = offsetof(evn_body_file, centre_behind_front_axle_m),
     .help = "its centre of gravity, behind the front axle"},
    {.key = "centre_height_m",
     .shape = EVN_NUMBER,
     .most = 4,
     .fallback = 1,
     .offset = offsetof(evn_body_file, centre_height_m),
     .help = "height of its centre of gravity above the road"},
    {.key = "drag_area_m2",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .most = 50,
     .usual_low = 4.5,
     .usual_high = 7.5,
     .offset = offsetof(evn_body_file, drag_area_m2),
     .uncertain = &evn_usual_drag_area,
     .help = "drag coefficient times frontal area, of the whole combination, in a wind from ahead"},
    {.key = "drag_area_yaw",
     .shape = EVN_ONE,
     .offset = offsetof(evn_body_file, drag_area_yaw),
     .of = &evn_drag_area_yaw_object,
     .help =
         "how it goes with the yaw angle; asked only where wind_m_s blows; not given: the same area drags along the "
         "relative wind, of which the part along the truck counts"},
    {.key = "permitted_gross_kg",
     .shape = EVN_NUMBER,
     .least = 100,
     .most = 1e6,
     .usual_low = 12000,
     .usual_high = 44000,
     .fallback = (double)NAN,
     .offset = offsetof(evn_body_file, permitted_gross_kg),
     .help = "permitted mass of the whole combination; local regulation decides"},
    {.key = "zero_emission_extra_kg",
     .shape = EVN_NUMBER,
     .most = 20000,
     .usual_high = 5000,
     .fallback = (double)NAN,
     .offset = offsetof(evn_body_file, zero_emission_extra_kg),
     .help = "what the zero-emission drivetrain with its battery weighs more than a conventional one would, as its "
             "approval states it; asked only by rules that allow for it; not given: not known, and nothing is allowed"},
    EVN_SOURCE_FIELD(evn_body_file),
    EVN_UNCERTAIN_FIELD(evn_body_file),
};
static const evn_object body_object = {"body",      "frame, cab and body", sizeof(evn_body_file),
                                       body_fields, COUNT(body_fields),    NULL};

static const evn_field fifth_wheel_fields[] = {
    {.key = "behind_front_axle_m",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0,
     .most = 15,
     .offset = offsetof(evn_coupling_file, behind_front_axle_m),
     .help = "the fifth wheel, behind the front axle; usually ahead of the rear axles' centre"},
    {.key = "height_m",
     .shape = EVN_NUMBER,
     .least = 0.3,
     .most = 2,
     .usual_low = 0.9,
     .usual_high = 1.4,
     .fallback = 1.15,
     .offset = offsetof(evn_coupling_file, height_m),
     .help = "height of the coupling above the road"},
};
static const evn_object fifth_wheel_object = {
    "fifth_wheel",      "coupling for a semitrailer", sizeof(evn_coupling_file),
    fifth_wheel_fields, COUNT(fifth_wheel_fields),    NULL};

static const evn_field drawbar_fields[] = {
    {.key = "behind_front_axle_m",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0,
     .most = 20,
     .usual_low = 4,
     .usual_high = 12,
     .offset = offsetof(evn_coupling_file, behind_front_axle_m),
     .help = "the hitch, behind the front axle; usually behind the last axle"},
    {.key = "height_m",
     .shape = EVN_NUMBER,
     .least = 0.2,
     .most = 2,
     .usual_low = 0.4,
     .usual_high = 1,
     .fallback = 0.8,
     .offset = offsetof(evn_coupling_file, height_m),
     .source = "common practice, no source",
     .help = "height of the hitch above the road"},
};
static const evn_object drawbar_object = {
    "drawbar", "hitch for a trailer at a drawbar", sizeof(evn_coupling_file), drawbar_fields, COUNT(drawbar_fields),
    NULL};

static const char *const springs[] = {"not_stated", "steel", "air", NULL}; /* in the order of evn_springs */

static const evn_field trailer_fields[] = {
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 100000,
     .usual_low = 5000,
     .usual_high = 10000,
     .offset = offsetof(evn_trailer_file, mass_kg),
     .uncertain = &evn_usual_trailer_mass,
     .help = "empty mass, axles included"},
    {.key = "centre_behind_kingpin_m",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0,
     .most = 20,
     .offset = offsetof(evn_trailer_file, centre_behind_kingpin_m),
     .help = "the empty trailer's centre of gravity, behind the kingpin"},
    {.key = "centre_height_m",
     .shape = EVN_NUMBER,
     .most = 4,
     .fallback = 1.2,
     .offset = offsetof(evn_trailer_file, centre_height_m),
     .help = "height of that centre above the road"},
    {.key = "axles_behind_kingpin_m",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 20,
     .usual_low = 6,
     .usual_high = 9,
     .offset = offsetof(evn_trailer_file, axles_behind_kingpin_m),
     .help = "centre of its axle group, behind the kingpin, or behind the eye of its drawbar"},
    {.key = "front_axles_behind_kingpin_m",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 20,
     .fallback = (double)NAN,
     .offset = offsetof(evn_trailer_file, front_axles_behind_kingpin_m),
     .help = "with a drawbar that is hinged: centre of the axles that it steers, behind its eye; it carries nothing "
             "of the trailer then; not given: the drawbar is rigid, and carries what one axle group leaves"},
    {.key = "axles",
     .shape = EVN_COUNT,
     .least = 1,
     .most = 8,
     .fallback = (double)NAN,
     .offset = offsetof(evn_trailer_file, axles),
     .help = "number of its axles, which share the load of their group equally; asked by rules; not given: not known"},
    {.key = "axle_spacing_m",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 5,
     .usual_low = 1,
     .usual_high = 2,
     .fallback = (double)NAN,
     .offset = offsetof(evn_trailer_file, axle_spacing_m),
     .help = "between neighbouring axles of a group; asked by rules; not given: not known"},
    {.key = "track_m",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 3,
     .usual_low = 1.7,
     .usual_high = 2.2,
     .fallback = (double)NAN,
     .offset = offsetof(evn_trailer_file, track_m),
     .help = "between the middles of the tyres on both sides, of twin tyres the middles of the pairs; for the rollover "
             "threshold; not given: not known"},
    {.key = "springs",
     .shape = EVN_CHOICE,
     .offset = offsetof(evn_trailer_file, springs),
     .choices = springs,
     .help = "what its axles stand on; asked by rules"},
    {.key = "tyres",
     .shape = EVN_COUNT,
     .presence = EVN_REQUIRED,
     .least = 2,
     .most = 24,
     .offset = offsetof(evn_trailer_file, tyres),
     .help = "number of tyres of all its axles"},
    {.key = "permitted_axles_kg",
     .shape = EVN_NUMBER,
     .least = 100,
     .most = 1e5,
     .fallback = (double)NAN,
     .offset = offsetof(evn_trailer_file, permitted_axles_kg),
     .source = "Directive 96/53/EC: tri-axle 21000 to 24000",
     .help = "permitted load of the axle group; local regulation decides"},
    {.key = "tyre",
     .shape = EVN_ONE,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_trailer_file, tyre),
     .of = &evn_tyre_object,
     .help = "its tyres"},
    {.key = "friction_share",
     .shape = EVN_NUMBER,
     .most = 1,
     .fallback = (double)NAN,
     .offset = offsetof(evn_trailer_file, friction_share),
     .help = "share of its axle group, as an axle's"},
    {.key = "friction_brake",
     .shape = EVN_ONE,
     .offset = offsetof(evn_trailer_file, friction_brake),
     .of = &evn_axle_brake_object,
     .help = "how the friction brakes of its axle group heat, all together; not given: not modelled"},
    {.key = "hub_drag",
     .shape = EVN_ONE,
     .offset = offsetof(evn_trailer_file, hub_drag),
     .of = &evn_hub_drag_object,
     .help = "friction of the bearings and seals of the wheels of all its axles together; not given: none"},
    {.key = "outline",
     .shape = EVN_ONE,
     .offset = offsetof(evn_trailer_file, outline),
     .of = &evn_trailer_outline_object,
     .help = "for drawings; not given: left out of them"},
    EVN_SOURCE_FIELD(evn_trailer_file),
    EVN_UNCERTAIN_FIELD(evn_trailer_file),
};
/* It need not say how many axles it has: not more than pairs of tyres. */
static void check_trailer(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_trailer_file *t = self;
    double front = t->front_axles_behind_kingpin_m;
    evn_check_hub_drag(t->hub_drag, t->tyres / 2, seat, report);
    if (t->axles > t->tyres / 2)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "axles",
                   "%g axles with %g tyres; expected two tyres an axle at least", t->axles, t->tyres);
    if (!isnan(front) && front >= t->axles_behind_kingpin_m)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "front_axles_behind_kingpin_m",
                   "front axles at %g m, the rear ones at %g; expected places from the front", front,
                   t->axles_behind_kingpin_m);
    if (!isnan(front) && t->axles < 2)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "axles",
                   "%g axle of a trailer with front and rear axles; expected two at least", t->axles);
}
static const evn_object trailer_object = {"trailer",
                                          "semitrailer, or a trailer at a drawbar",
                                          sizeof(evn_trailer_file),
                                          trailer_fields,
                                          COUNT(trailer_fields),
                                          check_trailer};

static const evn_field payload_fields[] = {
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .most = 500000,
     .offset = offsetof(evn_payload_file, mass_kg),
     .help = "payload unless the command says otherwise"},
    {.key = "centre_behind_m",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = -5,
     .most = 25,
     .offset = offsetof(evn_payload_file, centre_behind_m),
     .help = "its centre of gravity, behind the kingpin with a semitrailer, behind the front axle without"},
    {.key = "centre_height_m",
     .shape = EVN_NUMBER,
     .most = 4,
     .fallback = 1.9,
     .offset = offsetof(evn_payload_file, centre_height_m),
     .help = "height of that centre above the road"},
    {.key = "centre_from_m",
     .shape = EVN_NUMBER,
     .least = -5,
     .most = 25,
     .fallback = (double)NAN,
     .offset = offsetof(evn_payload_file, centre_from_m),
     .help = "foremost place at which its centre may be loaded, counted as centre_behind_m: asked only for the largest "
             "payload; not given, as centre_to_m: it stays where it is"},
    {.key = "centre_to_m",
     .shape = EVN_NUMBER,
     .least = -5,
     .most = 25,
     .fallback = (double)NAN,
     .offset = offsetof(evn_payload_file, centre_to_m),
     .help = "rearmost place likewise"},
    {.key = "trailer_share",
     .shape = EVN_NUMBER,
     .most = 1,
     .offset = offsetof(evn_payload_file, trailer_share),
     .help = "with a trailer at a drawbar: the part of the payload on the trailer, the rest is on the truck; a "
             "semitrailer carries all"},
    {.key = "trailer_centre_behind_m",
     .shape = EVN_NUMBER,
     .least = -5,
     .most = 25,
     .fallback = (double)NAN,
     .offset = offsetof(evn_payload_file, trailer_centre_behind_m),
     .help = "centre of that part behind the eye of the drawbar"},
    EVN_SOURCE_FIELD(evn_payload_file),
    EVN_UNCERTAIN_FIELD(evn_payload_file),
};
static void check_payload(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_payload_file *p = self;
    if (isnan(p->centre_from_m) != isnan(p->centre_to_m))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, isnan(p->centre_to_m) ? "centre_from_m" : "centre_to_m",
                   "one end of where the payload may be loaded; expected centre_from_m and centre_to_m, or none");
    if (p->centre_to_m < p->centre_from_m)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "centre_to_m",
                   "%g m, ahead of centre_from_m, %g; expected at least that", p->centre_to_m, p->centre_from_m);
    if ((p->trailer_share > 0) != !isnan(p->trailer_centre_behind_m))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES,
                   p->trailer_share > 0 ? "trailer_share" : "trailer_centre_behind_m",
                   "%s; expected trailer_share above 0 and trailer_centre_behind_m, or none",
                   p->trailer_share > 0 ? "a part of the payload on the trailer without its place"
                                        : "a place on the trailer of no part of the payload");
}
static const evn_object payload_object = {"payload",      "what the truck carries", sizeof(evn_payload_file),
                                          payload_fields, COUNT(payload_fields),    check_payload};

/* ------------------------------------------------------------------------------------------------ small objects */

const char *const evn_brake_distributions[] = {"loads_at_rest", "ideal", "stated", NULL};
static const evn_field brakes_fields[] = {
    {.key = "regeneration",
     .shape = EVN_FLAG,
     .fallback = 1,
     .offset = offsetof(evn_brakes_file, regeneration),
     .help = "whether the motors brake before the friction brakes do"},
    {.key = "fade_from_km_h",
     .shape = EVN_NUMBER,
     .most = 100,
     .usual_high = 20,
     .fallback = 10,
     .offset = offsetof(evn_brakes_file, fade_from_km_h),
     .source = "common practice, no source",
     .help = "braking torque of the motors fades out as the truck slows from this speed ..."},
    {.key = "fade_to_km_h",
     .shape = EVN_NUMBER,
     .most = 100,
     .usual_high = 10,
     .fallback = 5,
     .offset = offsetof(evn_brakes_file, fade_to_km_h),
     .help = "... to this; equal: no fade"},
    {.key = "distribution",
     .shape = EVN_CHOICE,
     .offset = offsetof(evn_brakes_file, distribution),
     .choices = evn_brake_distributions,
     .help =
         "how axles, the trailer's group included, share the friction braking force: by their loads at rest; ideal: "
         "all braking of an axle, that of motors included, in proportion to its load of the moment; or by the stated "
         "friction_share of each"},
    {.key = "friction_power_limit_kw",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 1e6,
     .fallback = (double)NAN,
     .offset = offsetof(evn_brakes_file, friction_power_limit_kw),
     .help =
         "peak power of all friction brakes that a run is held against; not given: none. What brakes may take is for "
         "local regulation, approved testing and licensed practice"},
    {.key = "motor_share",
     .shape = EVN_NUMBER,
     .most = 1,
     .fallback = 1,
     .offset = offsetof(evn_brakes_file, motor_share),
     .source = "common practice, no source",
     .help = "the motors' part of the braking force that is demanded beyond what drive units do without a torque of "
             "their motors; friction brakes take the rest. How brakes share is for approved testing and local "
             "regulation"},
};
static void check_brakes(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_brakes_file *b = self;
    if (b->fade_to_km_h > b->fade_from_km_h)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "fade_to_km_h",
                   "fades out at %g km/h; expected at or below fade_from_km_h, %g", b->fade_to_km_h, b->fade_from_km_h);
}
static const evn_object brakes_object = {
    "brakes",    "how motors and friction brakes share", sizeof(evn_brakes_file), brakes_fields, COUNT(brakes_fields),
    check_brakes};

static const evn_field adhesion_fields[] = {
    {.key = "driving",
     .shape = EVN_NUMBER,
     .least = 0.01,
     .most = 100,
     .usual_low = 0.2,
     .usual_high = 0.8,
     .fallback = 0.6,
     .offset = offsetof(evn_adhesion_file, driving),
     .source = "common practice, no source",
     .help = "most tractive force, over the normal load of the driven axle; where the cycle states no adhesion"},
    {.key = "regenerating",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 100,
     .usual_low = 0.15,
     .usual_high = 0.4,
     .fallback = 0.25,
     .offset = offsetof(evn_adhesion_file, regenerating),
     .source = "common practice, no source",
     .help = "most tyre force with which motors brake, over that load; the reserve is for stability; where the cycle "
             "states no adhesion"},
    {.key = "driving_share",
     .shape = EVN_NUMBER,
     .least = 0.01,
     .most = 1,
     .fallback = 1,
     .offset = offsetof(evn_adhesion_file, driving_share),
     .source = "common practice, no source",
     .help = "what driving may use of the adhesion that the cycle states for the place"},
    {.key = "regenerating_share",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 1,
     .usual_low = 0.2,
     .usual_high = 0.6,
     .fallback = 0.4,
     .offset = offsetof(evn_adhesion_file, regenerating_share),
     .source = "common practice, no source",
     .help = "what motors may use of it to brake; the reserve is for stability"},
    {.key = "regenerating_margin",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 100,
     .usual_high = 0.2,
     .fallback = (double)NAN,
     .offset = offsetof(evn_adhesion_file, regenerating_margin),
     .source = "common practice, no source",
     .help = "by how much a driven axle's braking force over its load, motors and friction brakes together, may exceed "
             "that of the front axle's friction brakes, where motors add to it; not given: no such limit. Stability is "
             "for approved testing and local regulation"},
};
static const evn_object adhesion_object = {"adhesion",      "tyre force that motors may use", sizeof(evn_adhesion_file),
                                           adhesion_fields, COUNT(adhesion_fields),           NULL};

/* ------------------------------------------------------------------------------------------------ truck */

static const evn_field truck_fields[] = {
    {.key = "name",
     .shape = EVN_TEXT,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_truck_file, name),
     .help = "name for people"},
    {.key = "short_name",
     .shape = EVN_TEXT,
     .offset = offsetof(evn_truck_file, short_name),
     .help = "what sets it apart among others, for sentences and charts, at most 40 characters: central drive, two "
             "electric "
             "axles; not given: "
             "its name in the lineup"},
    {.key = "invented",
     .shape = EVN_FLAG,
     .offset = offsetof(evn_truck_file, invented),
     .help = "true where the data describe no real truck"},
    {.key = "source",
     .shape = EVN_TEXT,
     .offset = offsetof(evn_truck_file, source),
     .help = "where the data come from"},
    {.key = "body",
     .shape = EVN_ONE,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_truck_file, body),
     .of = &body_object,
     .help = "frame, cab and body"},
    {.key = "axles",
     .shape = EVN_MANY,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_truck_file, axles),
     .of = &evn_axle_object,
     .count_least = 2,
     .count_most = 5,
     .help = "axles of the truck by name, from the front"},
    {.key = "fifth_wheel",
     .shape = EVN_ONE,
     .offset = offsetof(evn_truck_file, fifth_wheel),
     .of = &fifth_wheel_object,
     .help = "coupling for a semitrailer"},
    {.key = "drawbar",
     .shape = EVN_ONE,
     .offset = offsetof(evn_truck_file, drawbar),
     .of = &drawbar_object,
     .help = "hitch for a trailer at a drawbar, instead of a fifth wheel"},
    {.key = "trailer",
     .shape = EVN_ONE,
     .offset = offsetof(evn_truck_file, trailer),
     .of = &trailer_object,
     .help = "semitrailer, or a trailer at a drawbar"},
    {.key = "payload",
     .shape = EVN_ONE,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_truck_file, payload),
     .of = &payload_object,
     .help = "what it carries"},
    {.key = "drive_units",
     .shape = EVN_MANY,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_truck_file, drive_units),
     .of = &evn_unit_object,
     .count_least = 1,
     .count_most = EVN_UNITS_MAX,
     .help = "the drive units, by name; each drives axles of its own"},
    {.key = "battery",
     .shape = EVN_ONE,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_truck_file, battery),
     .of = &evn_battery_object,
     .help = "traction battery"},
    {.key = "auxiliaries",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .offset = offsetof(evn_truck_file, auxiliaries),
     .of = &evn_auxiliaries_object,
     .help = "consumers beside the drive units; not given: none"},
    {.key = "power_take_off",
     .shape = EVN_ONE,
     .offset = offsetof(evn_truck_file, power_take_off),
     .of = &evn_power_take_off_object,
     .help = "work for the body, such as a hydraulic pump's, and what drives it; not given: none"},
    {.key = "brakes",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .offset = offsetof(evn_truck_file, brakes),
     .of = &brakes_object,
     .help = "how motors and friction brakes share"},
    {.key = "adhesion",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .offset = offsetof(evn_truck_file, adhesion),
     .of = &adhesion_object,
     .help = "tyre force that motors may use"},
    {.key = "cooling",
     .shape = EVN_ONE,
     .offset = offsetof(evn_truck_file, cooling),
     .of = &evn_cooling_object,
     .help = "coolant loop of motors and inverters; not given: the coolant stays as each winding states it"},
    {.key = "tyre_temperature",
     .shape = EVN_ONE,
     .offset = offsetof(evn_truck_file, tyre_temperature),
     .of = &evn_tyre_warmth_object,
     .help = "how rolling resistance goes with temperature, where the load case asks for it (rolling_resistance_law); "
             "not given: its defaults"},
    {.key = "retarder",
     .shape = EVN_ONE,
     .offset = offsetof(evn_truck_file, retarder),
     .of = &evn_retarder_object,
     .help = "an endurance brake at a driven axle; not given: none"},
    {.key = "brake_resistor",
     .shape = EVN_ONE,
     .offset = offsetof(evn_truck_file, brake_resistor),
     .of = &evn_brake_resistor_object,
     .help = "takes what the battery does not of the motors' braking; not given: none"},
    {.key = "frame",
     .shape = EVN_ONE,
     .offset = offsetof(evn_truck_file, frame),
     .of = &evn_frame_object,
     .help =
         "rails, overhangs, room for battery modules and outline: for clearance, packaging and the drawing; nothing "
         "that drives asks for it; not given: not known"},
    EVN_UNCERTAIN_FIELD(evn_truck_file),
};

static void check_axles(const evn_truck_file *t, const evn_seat *seat, evn_report *report)
{
    const evn_axle_file *axle = t->axles.item;
    bool rear = false;
    for (size_t k = 0; k < t->axles.count; k++) {
        rear = rear || axle[k].support == EVN_REAR_SUPPORT;
        if (t->trailer && strcmp(t->axles.name[k], "trailer") == 0)
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, "axles",
                       "an axle of the truck named trailer; expected another name, the trailer's axles bear it");
        if (k && axle[k].behind_front_axle_m <= axle[k - 1].behind_front_axle_m)
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, "axles",
                       "axle %s stands at %g m, axle %s before it at %g; expected places from the front",
                       t->axles.name[k], axle[k].behind_front_axle_m, t->axles.name[k - 1],
                       axle[k - 1].behind_front_axle_m);
    }
    if (axle[0].behind_front_axle_m != 0 || axle[0].support != EVN_FRONT_SUPPORT)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "axles",
                   "first axle %s; expected behind_front_axle_m: 0 and support: front", t->axles.name[0]);
    evn_check_lifting(t, seat, report);
    if (!rear)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "axles", "no axle with support: rear; expected at least one");
}

static bool drives(const evn_unit_file *u, double axle)
{
    for (size_t i = 0; i < u->axles.count; i++)
        if (u->axles.at[i] == axle)
            return true;
    return false;
}

static void check_driven(const evn_truck_file *t, size_t k, const evn_seat *seat, evn_report *report)
{
    const evn_unit_file *unit = t->drive_units.item;
    char path[160];
    snprintf(path, sizeof path, "drive_units.%.100s.axles", t->drive_units.name[k]);
    for (size_t i = 0; i < unit[k].axles.count; i++) {
        double axle = unit[k].axles.at[i];
        if (axle > (double)t->axles.count)
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, path, "drive unit %s drives axle %g; expected 1 to %zu",
                       t->drive_units.name[k], axle, t->axles.count);
        for (size_t other = 0; other < k; other++)
            if (drives(&unit[other], axle))
                evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                           "axle %g is driven by drive unit %s too; expected one unit for an axle", axle,
                           t->drive_units.name[other]);
    }
}

/* The step that is a wheel end; the count of steps: none is. */
static size_t wheel_end_of(const evn_steps *path)
{
    size_t k = 0;
    while (k < path->count && strcmp(evn_stage_kinds[path->at[k].kind].key, "wheel_end") != 0)
        k++;
    return k;
}

/* Bearings and seals of driven wheels stand in the path or at the axle, once. */
static void check_wheel_ends(const evn_truck_file *t, double axle, const evn_steps *path, const char *at,
                             const evn_seat *seat, evn_report *report)
{
    size_t place = axle > 0 && axle <= (double)t->axles.count ? (size_t)axle - 1 : t->axles.count;
    if (place == t->axles.count)
        return; /* said elsewhere */
    const evn_axle_file *of = (const evn_axle_file *)t->axles.item + place;
    size_t step = wheel_end_of(path);
    char drag[260];
    snprintf(drag, sizeof drag, "%.220s[%zu].wheel_end.drag", at, step);
    if (step < path->count && of->hub_drag && evn_wheel_end_drags(&path->at[step]))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, drag,
                   "a drag of the wheel end beside the hub_drag of axle %s, which it drives: counted twice; expected "
                   "one of them",
                   t->axles.name[place]);
    if (step == path->count && !of->hub_drag)
        evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, at,
                   "a path without wheel_end to axle %s without hub_drag; usual is one of them: a loss is missing",
                   t->axles.name[place]);
}

static void check_hubs(const evn_truck_file *t, size_t k, const evn_seat *seat, evn_report *report)
{
    const evn_unit_file *unit = (const evn_unit_file *)t->drive_units.item + k;
    const evn_branch_file *branch = unit->branches.item;
    char at[240];
    snprintf(at, sizeof at, "drive_units.%.100s.path", t->drive_units.name[k]);
    if (unit->branches.count == 0 && unit->axles.count > 0)
        check_wheel_ends(t, unit->axles.at[0], &unit->path, at, seat, report);
    for (size_t b = 0; b < unit->branches.count; b++) {
        snprintf(at, sizeof at, "drive_units.%.100s.branches.%.100s.path", t->drive_units.name[k],
                 unit->branches.name[b]);
        check_wheel_ends(t, branch[b].axle, &branch[b].path, at, seat, report);
    }
}

/* Stated shares: all axles and the trailer, or none. */
static void check_friction_share(double share, bool stated, const char *path, const evn_seat *seat, evn_report *report)
{
    if (stated && isnan(share))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "brakes.distribution",
                   "stated shares without %s; expected the share of every axle, and of the trailer", path);
    if (!stated && !isnan(share))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                   "a share of the friction braking force, which only brakes.distribution: stated uses; expected that, "
                   "or no share");
}

static void check_friction(const evn_truck_file *t, const evn_seat *seat, evn_report *report)
{
    bool stated = t->brakes->distribution == EVN_BY_STATED_SHARES;
    const evn_axle_file *axle = t->axles.item;
    double sum = 0;
    for (size_t k = 0; k < t->axles.count; k++) {
        char path[160];
        snprintf(path, sizeof path, "axles.%.100s.friction_share", t->axles.name[k]);
        check_friction_share(axle[k].friction_share, stated, path, seat, report);
        sum += axle[k].friction_share;
    }
    if (t->trailer) {
        check_friction_share(t->trailer->friction_share, stated, "trailer.friction_share", seat, report);
        sum += t->trailer->friction_share;
    }
    if (stated && sum <= 0)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "brakes.distribution",
                   "stated shares of the friction braking force that are all 0; expected one above 0");
}

static void check_retarder(const evn_truck_file *t, const evn_seat *seat, evn_report *report)
{
    const evn_unit_file *unit = t->drive_units.item;
    bool driven = !t->retarder;
    for (size_t k = 0; t->retarder && k < t->drive_units.count; k++)
        driven = driven || drives(&unit[k], t->retarder->axle);
    if (!driven)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "retarder.axle",
                   "a retarder at axle %g, which no drive unit drives; expected a driven axle", t->retarder->axle);
}

static void check_consumers(const evn_truck_file *t, const evn_seat *seat, evn_report *report)
{
    char path[180];
    size_t k;
    if (t->cooling || !evn_consumers_need_loop(t->auxiliaries, &k))
        return;
    snprintf(path, sizeof path, "auxiliaries.consumers.%.100s.heat_rejected_share", t->auxiliaries->consumers.name[k]);
    evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
               "a share of the heat that a radiator carries off, of a truck without cooling; expected cooling, or "
               "another law");
}

/* In characters; those of UTF-8 beyond the first byte begin with the bits 10. */
static size_t characters(const char *text)
{
    size_t count = 0;
    for (; *text; text++)
        count += ((unsigned char)*text & 0xC0) != 0x80;
    return count;
}

/* A title stands in headings, sentences and columns: one line, and no more than they have room for. */
static void check_title(const evn_seat *seat, const char *key, const char *title, size_t most, evn_report *report)
{
    if (!title)
        return;
    if (title[strspn(title, " \t\n\r")] == '\0')
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, key, "a title of blanks only; expected one that can be read");
    else if (strpbrk(title, "\t\n\r"))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, key, "a title with a tab or a line break; expected one line");
    else if (characters(title) > most)
        evn_say_at(report, seat, EVN_FAULT_TOO_LARGE, key, "a title of %zu characters; expected at most %zu",
                   characters(title), most);
}

/* A trailer with a fifth wheel or a drawbar; what only a drawbar has, with one. */
static void check_coupling(const evn_truck_file *t, const evn_seat *seat, evn_report *report)
{
    if (t->fifth_wheel && t->drawbar)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "drawbar",
                   "a drawbar beside a fifth wheel; expected one of them");
    else if (!t->drawbar && !t->fifth_wheel != !t->trailer)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, t->trailer ? "trailer" : "fifth_wheel",
                   "%s without %s; expected both or none", t->trailer ? "a trailer" : "a fifth wheel",
                   t->trailer ? "a fifth wheel" : "a trailer");
    else if (t->drawbar && !t->trailer)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "drawbar", "a drawbar without a trailer; expected both or none");
    if (!t->drawbar && t->trailer && !isnan(t->trailer->front_axles_behind_kingpin_m))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "trailer.front_axles_behind_kingpin_m",
                   "front axles of a semitrailer; expected them with a drawbar only");
    if (!t->drawbar && t->payload->trailer_share > 0)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "payload.trailer_share",
                   "a part of the payload on a trailer at a drawbar, without one; expected drawbar and trailer, or no "
                   "trailer_share");
}

enum { NAME_MOST = 200, SHORT_NAME_MOST = 40 };

static void check_truck(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_truck_file *t = self;
    check_axles(t, seat, report);
    check_title(seat, "name", t->name, NAME_MOST, report);
    check_title(seat, "short_name", t->short_name, SHORT_NAME_MOST, report);
    check_coupling(t, seat, report);
    for (size_t k = 0; k < t->drive_units.count; k++) {
        check_driven(t, k, seat, report);
        check_hubs(t, k, seat, report);
    }
    check_friction(t, seat, report);
    check_retarder(t, seat, report);
    check_consumers(t, seat, report);
    evn_takeoff_check(t, seat, report);
}
const evn_object evn_truck_object = {"truck",      "a truck with its layout", sizeof(evn_truck_file),
                                     truck_fields, COUNT(truck_fields),       check_truck};
