/* A log beside the run of a truck as CSV, row by row. */
#include "show/csv/trace_csv.h"
#include "show/match_story.h"

bool evn_match_csv(const evn_match_story *s, FILE *to, int *error_number)
{
    static const char *const columns[] = {"time_s",
                                          "place_m",
                                          "speed_km_h",
                                          "run_speed_km_h",
                                          "power_kw",
                                          "run_power_kw",
                                          "explained_power_kw",
                                          "energy_kwh",
                                          "run_energy_kwh",
                                          "explained_energy_kwh",
                                          "soc",
                                          "run_soc",
                                          "explained_soc",
                                          "motor_speed_rpm",
                                          "run_motor_speed_rpm"};
    enum { COLUMNS = sizeof columns / sizeof *columns };
    evn_trace_csv csv = {.stream = to};
    evn_match_row r;
    for (size_t k = 0; k < COLUMNS; k++)
        evn_trace_csv_key(&csv, columns[k], k == 0);
    evn_trace_csv_end_line(&csv);
    for (size_t k = 0; evn_match_row_at(s->match, k, &r); k++) {
        const double row[COLUMNS] = {
            r.time_s,       r.place_m,         r.speed_km_h, r.run_speed_km_h, r.power_kw,
            r.run_power_kw, r.fitted_power_kw, r.energy_kwh, r.run_energy_kwh, r.fitted_energy_kwh,
            r.soc,          r.run_soc,         r.fitted_soc, r.motor_rpm,      r.run_motor_rpm};
        evn_trace_csv_row(&csv, row, COLUMNS);
    }
    *error_number = csv.error_number;
    return csv.error_number == 0;
}
