/*
 * An example of libevener from C: drives a truck over a cycle, tells what it came to, and holds it against the same
 * truck with another final drive.
 *
 *   cc -std=c17 drive_and_compare.c $(pkg-config --cflags --libs evener) -o drive_and_compare
 *   ./drive_and_compare vehicles/trucks/tractor-4x2-central.yaml cycles/scenarios/hill.yaml
 */
#include <evener/evener.h>
#include <evener/values.h>
#include <stdio.h>

/* Errors and warnings, each with its place. */
static void say(const evn_report *report)
{
    evn_finding found;
    for (size_t i = 0; evn_report_at(report, i, &found); i++)
        fprintf(stderr, "%s:%u:%u: %s: %s\n", found.file ? found.file : "evener", found.line, found.column,
                found.severity == EVN_ERROR ? "error" : "warning", found.text);
}

/* Both at one common speed, so that neither saves by being slower. False: one of them did not finish (said). */
static bool compare(const evn_truck *truck, const evn_truck *variant, const evn_cycle *cycle, const evn_conditions *ask,
                    evn_report *report)
{
    const evn_truck *const trucks[] = {truck, variant};
    static const char *const names[] = {"as_it_is", "ratio_4_1"};
    evn_lineup *lineup = NULL;
    evn_comparison *comparison = NULL;
    bool done = evn_lineup_of(trucks, names, 2, cycle, &lineup, report) == EVN_DONE &&
                evn_compare(lineup, ask, NULL, &comparison, report) == EVN_DONE;
    for (size_t i = 0; done && i < 2; i++) {
        const evn_outcome *outcome = evn_comparison_outcome(comparison, i, EVN_BASIS_COMMON);
        double kwh_per_km;
        if (evn_results_get(evn_outcome_results(outcome), "kwh_per_km", &kwh_per_km))
            printf("%s: %s, %.3f kWh/km\n", evn_lineup_truck_name(lineup, i), evn_outcome_status(outcome), kwh_per_km);
    }
    evn_comparison_free(comparison); /* it needs the lineup, and the lineup trucks and cycle: freed in this order */
    evn_lineup_free(lineup);
    return done;
}

int main(int argc, char **argv)
{
    evn_truck *truck = NULL, *variant = NULL;
    evn_cycle *cycle = NULL;
    evn_rig *rig = NULL;
    evn_results *results = NULL;
    evn_report *report = evn_report_new();
    if (argc != 3 || !report) {
        fputs("usage: drive_and_compare TRUCK CYCLE\n", stderr);
        evn_report_free(report);
        return EVN_BAD_INPUT;
    }

    /* 18 t of payload, all else by default. Where a step fails, the report says why, and no later one is taken. */
    evn_conditions ask = evn_conditions_default();
    bool done = evn_load_case_set(&ask.load_case, "payload_kg", 18000, report) &&
                evn_truck_load(argv[1], &truck, report) == EVN_DONE &&
                evn_cycle_load(argv[2], &cycle, report) == EVN_DONE &&
                evn_rig_prepare(truck, &ask.load_case, &rig, report) == EVN_DONE &&
                evn_drive(rig, cycle, &ask.driving, NULL, &results, report) == EVN_DONE;

    /* The head of the results: each brings its label, unit and decimals. */
    evn_quantity what;
    double value;
    for (size_t i = 0; done && evn_results_at(results, i, &what, &value); i++)
        if (what.rank >= 1 && what.rank <= 5)
            printf("%s: %.*f %s\n", what.label, what.digits, value, what.unit);

    /* The same truck with another final drive, made in memory. */
    done = done && evn_truck_copy(truck, &variant, report) == EVN_DONE &&
           evn_truck_set_number(variant, "drive_units.rear.path[4].final_drive.ratio", 4.1, report) == EVN_DONE &&
           compare(truck, variant, cycle, &ask, report);

    say(report);
    int status = evn_report_status(report); /* the exit code: EVN_DONE where every step was done */
    evn_results_free(results);
    evn_rig_free(rig);
    evn_cycle_free(cycle);
    evn_truck_free(variant);
    evn_truck_free(truck);
    evn_report_free(report);
    return status;
}
