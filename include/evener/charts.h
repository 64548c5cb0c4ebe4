/*
 * charts.h: numbers behind pictures, and where the time of a run went.
 */
#ifndef EVENER_CHARTS_H
#define EVENER_CHARTS_H

#include "evener/evener.h"

#ifdef __cplusplus
extern "C" {
#endif

/*
 * Numbers behind pictures: columns with keys and units, rows. What does not exist somewhere is NAN. Each call gives a
 * chart of its own, to be freed, and EVN_DONE, whatever else the report holds; "usage" and EVN_BAD_INPUT where the unit
 * is not below evn_rig_unit_count (evener.h); EVN_NO_RESULT when memory is out (said). A chart keeps nothing of what it
 * was made from.
 */
typedef struct evn_chart evn_chart;
EVN_API void evn_chart_free(evn_chart *);
EVN_API size_t evn_chart_column_count(const evn_chart *);
EVN_API bool evn_chart_column_at(const evn_chart *, size_t index, evn_quantity *out);
EVN_API size_t evn_chart_row_count(const evn_chart *);
EVN_API const double *evn_chart_row(const evn_chart *, size_t row); /* a value for each column; NULL: no such row */

/* The road: place_m, elevation_m, grade_percent, rolling_factor; two rows where one of them jumps. */
EVN_API evn_status evn_chart_of_road(const evn_cycle *, evn_chart **out, evn_report *);
/* The speed as the cycle has it: place_m, limit_km_h; a limit is two rows; of a cycle over time its speed over place.
 */
EVN_API evn_status evn_chart_of_limits(const evn_cycle *, evn_chart **out, evn_report *);
/* Places of rest on the way: place_m, wait_s. May have no rows. */
EVN_API evn_status evn_chart_of_stops(const evn_cycle *, evn_chart **out, evn_report *);

/*
 * Force at the driven tyres over speed, on the level at constant speed, windings cold, battery half charged:
 * speed_km_h, peak_driving_kn and peak_braking_kn (of motors, adhesion and battery), continuous_driving_kn (NAN where a
 * unit states no temperature of a winding or an inverter), "UNIT.GEAR.driving_kn" of the motors alone, and what grades
 * ask: "road_load.6_percent_kn".
 */
EVN_API evn_status evn_chart_of_forces(const evn_rig *, evn_chart **out, evn_report *);
/*
 * All motors of a unit together, at the reference voltage and winding temperature: speed_rpm, torque_nm, loss_kw (with
 * inverters), efficiency (shaft over bus, or bus over shaft while braking). A grid: all torques of the first speed,
 * then of the second. No loss beyond the peak torque.
 */
EVN_API evn_status evn_chart_of_motor(const evn_rig *, size_t unit, evn_chart **out, evn_report *);
/* speed_rpm, peak_driving_nm, peak_braking_nm, and continuous_nm: the torque whose loss the coolant carries off with
 * the first of winding and inverter at the temperature where its derating begins; NAN where the file states neither's.
 */
EVN_API evn_status evn_chart_of_envelope(const evn_rig *, size_t unit, evn_chart **out, evn_report *);

/* Counts where the time of a run goes; give it the rows of its trace, of one run in the order of time. Rows of another
 * number of columns, or without a time, do not count. */
typedef struct evn_census evn_census;
EVN_API evn_census *evn_census_new(const evn_rig *); /* which must outlive it; NULL when memory is out */
EVN_API void evn_census_free(evn_census *);
EVN_API void evn_census_sample(void *census, const double *row, size_t columns); /* as evn_watcher wants it */
/* speed_rpm, torque_nm (middles of cells), duration_s: cells with time in them, the longest first; 0 and 0: at rest. */
EVN_API evn_status evn_chart_of_points(const evn_census *, size_t unit, evn_chart **out, evn_report *);
/* gear, motors, duration_s, share: what occurred, and gears that never did. */
EVN_API evn_status evn_chart_of_settings(const evn_census *, size_t unit, evn_chart **out, evn_report *);

/*
 * Stated stops: constant decelerations of 0.5, 1 and 3 m/s2 on the level to rest, from the top speed, at most 80 km/h,
 * as loaded, at the state of charge of the start, motors cold, at each speed in the settings that push most. What of
 * the demanded braking power (of the tyres, beyond air drag and rolling resistance) motors take: over speed, speed_km_h
 * and "deceleration_0.5_m_s2.motor_share" (NAN: nothing is demanded); and over each stop, deceleration_m_s2,
 * from_speed_km_h, demanded_kwh, by_motors_kwh, motor_share. How hard a loaded vehicle may be braked, and by what, is
 * for local regulation, approved testing and licensed practice.
 */
EVN_API evn_status evn_chart_of_braking_shares(const evn_rig *, evn_chart **out, evn_report *);
EVN_API evn_status evn_chart_of_braking_to_rest(const evn_rig *, evn_chart **out, evn_report *);

/*
 * Braking by motors alone on the level, as loaded, at the state of charge and temperatures of the start: speed_km_h,
 * motors_kn (of motors and battery, within the margin and the force limits that the files state for regenerating); what
 * the driven tyres carry on each ground, of the stated share of its adhesion and with the load transfer that this
 * gives, "driven_tyres.dry_kn" (wet, gravel, soil, snow); and what the driven axles have of a braking rate z where
 * every axle brakes in proportion to its load, "ideal.z_0.1_kn" to "ideal.z_0.5_kn" (UN R13 Annex 10, from memory).
 * What brakes must do, and how they share, is for local regulation, approved testing and licensed practice.
 */
EVN_API evn_status evn_chart_of_motor_braking(const evn_rig *, evn_chart **out, evn_report *);

/* Keeps how much of the adhesion braking uses; give it the rows of a trace, of one run. Rows of another number of
 * columns, and those in which nothing brakes, do not count. */
typedef struct evn_adhesion_use evn_adhesion_use;
EVN_API evn_adhesion_use *evn_adhesion_use_new(const evn_rig *); /* which must outlive it; NULL when memory is out */
EVN_API void evn_adhesion_use_free(evn_adhesion_use *);
EVN_API void evn_adhesion_use_sample(void *use, const double *row, size_t columns); /* as evn_watcher wants it */
/* Its points, some hundred at most: place_m, braking_rate (all braking forces over the weight), and braking force over
 * load of the front axle and of the most used driven one, front_axle_use and driven_axle_use. */
EVN_API evn_status evn_chart_of_adhesion_use(const evn_adhesion_use *, evn_chart **out, evn_report *);
/* A yardstick beside them, no verdict: the bands of UN R13 Annex 10 (from memory), which bind vehicles without
 * anti-lock systems: braking_rate, ideal_use, band_low_use, band_high_use, band_above_use, least_rate_use; NAN where a
 * line ends. */
EVN_API evn_status evn_chart_of_adhesion_bands(evn_chart **out, evn_report *);

/*
 * The temperatures that the files state as limits, one row: of each unit where derating begins and where no torque is
 * left, "drive_units.NAME.winding_derate_from_degc", winding_derate_to_degc, inverter_derate_from_degc and
 * inverter_derate_to_degc; coolant_limit_degc; of each axle "axles.NAME.brake_limit_degc". NAN: none stated. What heat
 * parts may take is for approved testing, local regulation and licensed practice.
 */
EVN_API evn_status evn_chart_of_heat_limits(const evn_rig *, evn_chart **out, evn_report *);

#ifdef __cplusplus
}
#endif
#endif
