/* Heat and limits of a run over a made road. */
#include "limits/heat_runs.h"
#include <string.h>

evn_bound evn_made_hottest(const evn_made_run *run)
{
    evn_peak_temperature peak;
    double most_k = 0;
    evn_bound hottest = EVN_BOUND_NONE;
    for (size_t k = 0; run->results && evn_results_peak_temperature_at(run->results, k, &peak); k++) {
        bool winding = strcmp(peak.part, "winding") == 0, inverter = strcmp(peak.part, "inverter") == 0;
        if ((!winding && !inverter) || !(peak.peak_degc - peak.from_degc > most_k))
            continue;
        most_k = peak.peak_degc - peak.from_degc;
        hottest = winding ? EVN_BOUND_WINDING : EVN_BOUND_INVERTER;
    }
    return hottest;
}

bool evn_made_held_back(const evn_made_run *run)
{
    evn_limitation by;
    bool any = false;
    for (size_t k = 0; run->results && evn_results_limitation_at(run->results, k, &by); k++)
        any = any || strcmp(by.limit, "top_speed") != 0;
    return any;
}

evn_driving evn_exactly(const evn_limits_work *w)
{
    evn_driving exact = w->driving;
    exact.driver = EVN_DRIVER_EXACT;
    exact.endurance = EVN_ENDURANCE_OFF;
    return exact;
}
