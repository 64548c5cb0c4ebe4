/* The parameters that may explain a difference, and rigs with other values of them. */
#include "match/match.h"
#include <math.h>

const char *const evn_match_words[EVN_MATCH_PARAMETERS] = {"rolling",     "drag_area", "mass",
                                                           "auxiliaries", "headwind",  "regeneration"};

const evn_quantity evn_match_quantities[EVN_MATCH_PARAMETERS] = {
    {"rolling_coefficient", "", "rolling resistance of all tyres over their load, at standstill", EVN_REAL, 5,
     "rolling coefficient", "rolling coefficient", 0},
    {"drag_area_m2", "m2", "drag coefficient times frontal area", EVN_REAL, 2, "drag area", "drag area", 0},
    {"gross_mass_kg", "kg", "mass of the whole vehicle, changed by its payload", EVN_REAL, 0, "gross mass",
     "gross mass", 0},
    {"auxiliaries_kw", "kW", "steady power of the auxiliaries", EVN_REAL, 2, "auxiliaries", "auxiliaries", 0},
    {"headwind_m_s", "m/s", "wind along the road against the truck, the same all the way", EVN_REAL, 2, "headwind",
     "headwind", 0},
    {"regeneration", "", "what braking returns to the battery, over what it returns in the run", EVN_REAL, 2,
     "regeneration over that of the run", "regeneration", 0}};

/* The part of an axle load that the slope does not change, over all axles. */
static double rolling_of(const evn_rig *rig) { return rig->rolling.cosine_kg / rig->mass_kg; }

double evn_match_stated(evn_match_parameter parameter, const evn_rig *rig)
{
    switch (parameter) {
    case EVN_MATCH_ROLLING:
        return rolling_of(rig);
    case EVN_MATCH_DRAG:
        return rig->air_kg_m / (0.5 * rig->air_density_kg_m3);
    case EVN_MATCH_MASS:
        return rig->mass_kg;
    case EVN_MATCH_AUXILIARIES:
        return rig->loads.auxiliaries_w / 1e3;
    case EVN_MATCH_REGENERATION:
        return 1;
    default:
        return rig->headwind_m_s;
    }
}

double evn_match_step(evn_match_parameter parameter, const evn_rig *rig)
{
    static const double SHARE = 0.02, AUXILIARIES_KW = 0.5, HEADWIND_M_S = 0.5, REGENERATION = 0.05;
    switch (parameter) {
    case EVN_MATCH_AUXILIARIES:
        return AUXILIARIES_KW;
    case EVN_MATCH_HEADWIND:
        return HEADWIND_M_S;
    case EVN_MATCH_REGENERATION:
        return REGENERATION;
    default:
        return SHARE * evn_match_stated(parameter, rig);
    }
}

/*
 * What no truck goes beyond, common practice, no source: tyres on rails and on loose ground, a small van and twice a
 * high truck, a body and refrigeration that run at full power; wind as evener coastdown takes it; braking that returns
 * twice what the run does.
 */
evn_match_bounds evn_match_bounds_of(evn_match_parameter parameter, const evn_rig *rig)
{
    static const double HEAVIER = 1.5;
    switch (parameter) {
    case EVN_MATCH_ROLLING:
        return (evn_match_bounds){0.001, 0.05};
    case EVN_MATCH_DRAG:
        return (evn_match_bounds){1, 20};
    case EVN_MATCH_MASS:
        return (evn_match_bounds){rig->mass_kg - rig->payload_kg, HEAVIER * rig->mass_kg};
    case EVN_MATCH_AUXILIARIES:
        return (evn_match_bounds){0, 100};
    case EVN_MATCH_REGENERATION:
        return (evn_match_bounds){0, 2};
    default:
        return (evn_match_bounds){-20, 20};
    }
}

/* ------------------------------------------------------------------------------------------------ a changed rig */

static void scale_load(evn_axle_load *load, double factor)
{
    load->cosine_kg *= factor;
    load->along_kg *= factor;
    load->brake *= factor;
}

static void scale_rolling(evn_rig *rig, double factor)
{
    scale_load(&rig->rolling, factor);
    scale_load(&rig->rolling_s_m, factor);
    scale_load(&rig->start_aid.rolling, factor);
    scale_load(&rig->start_aid.rolling_s_m, factor);
    for (size_t k = 0; k < rig->axle_count; k++) {
        rig->axle[k].rolling *= factor;
        rig->axle[k].rolling_s_m *= factor;
    }
}

/* Resistances and powers below zero are none. */
static double at_least(double value, double least) { return value > least ? value : least; }

static void put(evn_rig *rig, evn_match_parameter parameter, double value)
{
    static const double LEAST_SHARE = 0.01;
    double stated = evn_match_stated(parameter, rig);
    switch (parameter) {
    case EVN_MATCH_ROLLING:
        scale_rolling(rig, at_least(value / stated, LEAST_SHARE));
        break;
    case EVN_MATCH_DRAG:
        rig->air_kg_m *= at_least(value / stated, LEAST_SHARE);
        break;
    case EVN_MATCH_AUXILIARIES:
        rig->loads.auxiliaries_w = at_least(1e3 * value, 0);
        break;
    case EVN_MATCH_HEADWIND:
        rig->headwind_m_s = value;
        break;
    default:
        break;
    }
}

bool evn_match_vary(evn_match_variant *v, const evn_truck_file *truck, const evn_load_case *load_case,
                    const evn_rig *stated, unsigned which, const double value[EVN_MATCH_PARAMETERS], evn_report *report)
{
    v->made = NULL;
    v->rig = *stated;
    if (which & 1u << EVN_MATCH_MASS) {
        evn_load_case heavier = *load_case;
        heavier.payload_kg = at_least(stated->payload_kg + value[EVN_MATCH_MASS] - stated->mass_kg, 0);
        if (!evn_rig_make(truck, &heavier, &v->made, report))
            return false;
        v->rig = *v->made;
    }
    for (size_t k = 0; k < EVN_MATCH_PARAMETERS; k++)
        if (which & 1u << k)
            put(&v->rig, (evn_match_parameter)k, value[k]);
    return true;
}

void evn_match_variant_free(evn_match_variant *v)
{
    evn_rig_free(v->made);
    v->made = NULL;
}
