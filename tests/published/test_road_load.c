/* Forces and energies of the road, and the air, against figures that are published or in closed form. */
#define _POSIX_C_SOURCE 200809L
#include "checked.h"
#include "core/units.h"
#include "plain_truck.h"
#include "truck/rig.h"

#define N_PER_LBF 4.4482216152605 /* exact: pound 1959, standard gravity 1901 */
#define KG_PER_LB 0.45359237
#define M_PER_FT 0.3048
#define W_PER_HP 745.6998715822702 /* 550 ft lbf/s */
#define KG_M3_PER_SLUG_FT3 (KG_PER_LB * 9.80665 / (M_PER_FT * M_PER_FT * M_PER_FT * M_PER_FT))
#define ANY_DENSITY 1.2

/* ------------------------------------------------------------------------------------------------ air */

START_TEST(air_density_over_altitude_is_that_of_the_standard_atmosphere)
{
    const published formula = {
        "US Standard Atmosphere 1976: 288.15 K, 1.225 kg/m3, -6.5 K/km over H = r z/(r + z), p = "
        "p0 (T/T0)^(g/(R L)); scipp.ucsc.edu/outreach/balloon/atmos; the earth's radius r from memory",
        RECOMPUTED};
    const published table = {"International Standard Atmosphere, table of density ratios, Engineering ToolBox (d_985)",
                             READ_IN_SOURCE};
    const published feet = {"U.S. Standard Atmosphere, density by altitude in feet, Engineering ToolBox (d_604)",
                            READ_IN_SOURCE};
    const double altitude_m[] = {0, 500, 1000, 1500, 2000, 3000};
    const double density[] = {1.225000, 1.167273, 1.11166, 1.05810, 1.00655, 0.909254};
    const double share[] = {1, 0.9529, 0.9075, 0.8638, 0.8217, 0.7423};
    for (size_t i = 0; i < 6; i++) {
        double alone = evn_air_density_kg_m3(altitude_m[i], (double)NAN);
        check_value(&formula, alone, RELATIVE, density[i], 2e-5, "kg/m3", "air density at %g m", altitude_m[i]);
        check_value(&table, alone / 1.225, ABSOLUTE, share[i], 1e-4, "1", "air density at %g m, share of that at 0 m",
                    altitude_m[i]);
        evn_conditions ask = plain_ask((double)NAN);
        ask.load_case.altitude_m = altitude_m[i];
        plain_truck truck = plain_truck_of(10000);
        drive d = drive_steady(&truck, 50, 10, 0, &ask);
        check_value(&formula, result_of(&d, "air_density_kg_m3"), RELATIVE, density[i], 2e-5, "kg/m3",
                    "air density of a drive at %g m", altitude_m[i]);
        drive_end(&d);
    }
    const double altitude_ft[] = {5000, 10000}, slug_ft3[] = {20.48e-4, 17.56e-4};
    for (size_t i = 0; i < 2; i++) {
        double density_kg_m3 = evn_air_density_kg_m3(altitude_ft[i] * M_PER_FT, (double)NAN);
        check_value(&feet, density_kg_m3 / KG_M3_PER_SLUG_FT3, ABSOLUTE, slug_ft3[i], 0.005e-4, "slug/ft3",
                    "air density at %g ft", altitude_ft[i]);
    }
}
END_TEST

START_TEST(air_density_over_temperature_is_that_of_an_ideal_gas)
{
    const published from = {"p/(287.05287 T) at 101325 Pa, the gas constant of the standard atmosphere", CLOSED_FORM};
    const double degc[] = {15, 20, 0, -20}, density[] = {1.2250, 1.2041, 1.2923, 1.3944};
    for (size_t i = 0; i < 4; i++) {
        check_value(&from, evn_air_density_kg_m3(0, degc[i]), RELATIVE, density[i], 1e-4, "kg/m3",
                    "air density at %g degC", degc[i]);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ textbook trucks */

START_TEST(a_textbook_truck_has_its_road_load)
{
    /* 72500 lb, 67 mph, 8 by 13.5 ft, drag coefficient 0.65, radial tyres 0.0041 + 0.000041 per mph. In pounds of
     * force: standard gravity. */
    const published from = {"Gillespie, Fundamentals of Vehicle Dynamics (SAE 1992), ch. 4, example 1", FROM_MEMORY};
    plain_truck truck = plain_truck_of(72500 * KG_PER_LB);
    truck.drag_area_m2 = 0.65 * 8 * 13.5 * M_PER_FT * M_PER_FT;
    truck.rolling = 0.0041;
    truck.rolling_s_m = 0.000041 / EVN_M_S_PER_MPH;
    evn_conditions ask = plain_ask(0.00211442 * KG_M3_PER_SLUG_FT3);
    ask.load_case.gravity_m_s2 = 9.80665;
    drive d = drive_steady(&truck, 67 * EVN_M_S_PER_MPH * 3.6, 10, 0, &ask);
    double air_n = cell(&d, 0, "air_drag_kn") * 1e3, rolling_n = cell(&d, 0, "rolling_resistance_kn") * 1e3;
    double power_kw = cell(&d, 0, "terminal_kw");
    check_value(&from, result_of(&d, "air_density_kg_m3"), RELATIVE, 1.08973, 1e-5, "kg/m3", "air density set");
    check_value(&from, air_n, RELATIVE, 3187.85, 0.005, "N", "air drag of a truck");
    check_value(&from, air_n / N_PER_LBF, RELATIVE, 716.658, 0.005, "lbf", "air drag of a truck");
    check_value(&from, rolling_n, RELATIVE, 2208.13, 0.005, "N", "rolling resistance of a truck");
    check_value(&from, rolling_n / N_PER_LBF, RELATIVE, 496.408, 0.005, "lbf", "rolling resistance of a truck");
    check_value(&from, power_kw * 1e3 / W_PER_HP, RELATIVE, 217, 0.005, "hp", "road load power of a truck");
    check_value(&from, power_kw, RELATIVE, 161.6, 0.005, "kW", "road load power of a truck");
    drive_end(&d);
}
END_TEST

START_TEST(wind_changes_air_drag_as_in_the_textbook)
{
    /* 21 ft2, drag coefficient 0.42, 55 mph, 25 mph of wind against or with the vehicle; power at its own speed */
    const published from = {"Gillespie, Fundamentals of Vehicle Dynamics (SAE 1992), ch. 4, example 2", FROM_MEMORY};
    const double wind_mph[] = {25, -25}, drag_lbf[] = {143, 20.1}, power_hp[] = {21.0, 2.96};
    for (size_t i = 0; i < 2; i++) {
        plain_truck truck = plain_truck_of(1500);
        truck.drag_area_m2 = 0.42 * 21 * M_PER_FT * M_PER_FT;
        evn_conditions ask = plain_ask(0.00236 * KG_M3_PER_SLUG_FT3);
        ask.load_case.headwind_m_s = wind_mph[i] * EVN_M_S_PER_MPH;
        drive d = drive_steady(&truck, 55 * EVN_M_S_PER_MPH * 3.6, 10, 0, &ask);
        check_value(&from, cell(&d, 0, "air_drag_kn") * 1e3 / N_PER_LBF, RELATIVE, drag_lbf[i], 0.005, "lbf",
                    "air drag, headwind of %g mph", wind_mph[i]);
        check_value(&from, cell(&d, 0, "terminal_kw") * 1e3 / W_PER_HP, RELATIVE, power_hp[i], 0.005, "hp",
                    "power against air drag, headwind of %g mph", wind_mph[i]);
        drive_end(&d);
    }
}
END_TEST

START_TEST(climbing_force_follows_the_sine_of_the_slope)
{
    const published from = {"m g sin(atan p), per 1000 kg, at 9.81 m/s2", CLOSED_FORM};
    const double percent[] = {2, 5, 8, 10, 12, 18, 20};
    const double force_n[] = {196.161, 489.888, 782.301, 976.131, 1168.815, 1737.871, 1923.899};
    for (size_t i = 0; i < 7; i++) {
        plain_truck truck = plain_truck_of(1000);
        evn_conditions ask = plain_ask(ANY_DENSITY);
        drive d = drive_steady(&truck, 36, 100, percent[i], &ask); /* 1 km */
        double tangent_n = 1000 * 9.81 * percent[i] / 100;
        double work_j_m = result_of(&d, "energy_balance.potential_kwh") * EVN_J_PER_KWH / 1000;
        check_value(&from, cell(&d, 0, "grade_resistance_kn") * 1e3, RELATIVE, force_n[i], 1e-5, "N",
                    "climbing resistance on %g %%", percent[i]);
        check_value(&from, cell(&d, 0, "wheel_force_kn") * 1e3, RELATIVE, force_n[i], 1e-5, "N",
                    "tyre force of a climb of %g %%", percent[i]);
        check_value(&from, work_j_m, RELATIVE, force_n[i], 1e-5, "J/m", "work of a climb of %g %%", percent[i]);
        check_value(&from, result_of(&d, "battery_kwh") * EVN_J_PER_KWH / 1000, RELATIVE, force_n[i], 1e-5, "J/m",
                    "battery energy of a climb of %g %%, no losses", percent[i]);
        ck_assert_double_gt((tangent_n - force_n[i]) / force_n[i], 1e-4); /* what the check above tells apart */
        drive_end(&d);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ cruise, launch */

START_TEST(level_cruise_takes_the_energy_of_the_closed_form)
{
    const published from = {"force/3600; 40 t, rolling coefficient 0.0055, drag area 5.4 m2, 1.2 kg/m3", CLOSED_FORM};
    const double km_h[] = {60, 80, 85, 90}, kwh_per_km[] = {0.849500, 1.043944, 1.101236, 1.162000};
    const double power_kw[] = {50.9700, 83.5156, 93.6051, 104.5800};
    for (size_t i = 0; i < 4; i++) {
        plain_truck truck = plain_truck_of(40000);
        truck.rolling = 0.0055;
        truck.drag_area_m2 = 5.4;
        truck.tyre_inertia_kg_m2 = 14; /* of no effect at constant speed */
        evn_conditions ask = plain_ask(1.2);
        drive d = drive_steady(&truck, km_h[i], 600, 0, &ask);
        check_value(&from, result_of(&d, "kwh_per_km"), RELATIVE, kwh_per_km[i], 1e-4, "kWh/km",
                    "level cruise at %g km/h, at the wheel", km_h[i]);
        check_value(&from, cell(&d, d.rows / 2, "terminal_kw"), RELATIVE, power_kw[i], 1e-4, "kW",
                    "level cruise at %g km/h, at the wheel", km_h[i]);
        double work_kwh =
            result_of(&d, "energy_balance.rolling_resistance_kwh") + result_of(&d, "energy_balance.air_drag_kwh");
        check_value(&from, work_kwh / result_of(&d, "distance_km"), RELATIVE, kwh_per_km[i], 1e-4, "kWh/km",
                    "rolling resistance and air drag in the energy balance at %g km/h", km_h[i]);
        drive_end(&d);
    }
}
END_TEST

START_TEST(a_launch_at_constant_power_takes_the_time_and_way_of_the_closed_form)
{
    const published from = {"t = m v^2/2P, x = m v^3/3P; 40 t, 400 kW, 0 to 80 km/h, no resistance", CLOSED_FORM};
    plain_truck truck = plain_truck_of(40000);
    truck.motor = "peak_torque_nm: 1e7, peak_power_kw: 400, top_speed_rpm: 1e5, reference_voltage_v: 700";
    evn_conditions ask = plain_ask(ANY_DENSITY);
    ask.driving.comfort_acceleration_m_s2 = 10; /* never what holds the truck back, after the plan's first 1.1 m */
    write_file("launch.yaml", "name: launch\ninvented: true\nspeed: {time_s: [0, 0.1, 40], speed_km_h: [0, 80, 80]}\n");
    drive d = drive_plain(&truck, "launch.yaml", &ask);
    double reached = 80 * (1 - 1e-9);
    double time_s = cell_where(&d, "speed_km_h", reached, "time_s");
    double place_m = cell_where(&d, "speed_km_h", reached, "place_m");
    check_value(&from, time_s, RELATIVE, 24.691, 1e-3, "s", "launch at constant power, time");
    check_value(&from, place_m, RELATIVE, 365.80, 1e-3, "m", "launch at constant power, way");
    check_value(&from, held_s(&d, "motor_power"), RELATIVE, 24.691, 1e-3, "s", "launch, time limited by power");
    check_value(&from, result_of(&d, "discharged_kwh") * 3600, RELATIVE, 400 * 24.691, 1e-3, "kJ", "launch, energy");
    drive_end(&d);
}
END_TEST

START_TEST(turning_tyres_weigh_what_the_regulation_adds_for_them)
{
    /* 16 108 kg measured and 56.7 kg for each of 18 tyres */
    const published from = {"40 CFR 1037.528, worked example: effective mass", READ_IN_SOURCE};
    plain_truck truck = plain_truck_of(16108);
    truck.tyre_inertia_kg_m2 = 56.7 * truck.radius_m * truck.radius_m;
    truck.motor = "peak_torque_nm: 1e4, peak_power_kw: 1e5, top_speed_rpm: 1e5, reference_voltage_v: 700";
    evn_conditions ask = plain_ask(0);
    ask.driving.comfort_acceleration_m_s2 = 10; /* so that the motor's torque binds */
    write_file("launch.yaml", "name: launch\ninvented: true\nspeed: {time_s: [0, 1, 40], speed_km_h: [0, 80, 80]}\n");
    drive d = drive_plain(&truck, "launch.yaml", &ask);
    double force_n = cell_where(&d, "speed_km_h", 40, "wheel_force_kn") * 1e3;
    check_near(force_n, 20e3, 1e-9);
    check_value(&from, force_n / cell_where(&d, "speed_km_h", 40, "acceleration_m_s2"), ABSOLUTE, 17129, 0.5, "kg",
                "force over acceleration of a truck of 16108 kg");
    drive_end(&d);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ coast-down */

/* Windings beyond the end of their derating give no torque and the motors do not brake: the truck rolls freely. */
static plain_truck coasting_truck(void)
{
    plain_truck truck = plain_truck_of(36000);
    truck.rolling = 0.006;
    truck.drag_area_m2 = 5.4;
    truck.tyre_inertia_kg_m2 = 56.7 * truck.radius_m * truck.radius_m; /* 40 CFR 1066.310(b)(7)(ii)(B): per tyre */
    truck.regeneration = 0;
    truck.motor = "peak_torque_nm: 1e3, peak_power_kw: 100, top_speed_rpm: 1e4, reference_voltage_v: 700, winding: "
                  "{coolant_degc: 65, resistance_k_per_kw: 1, time_constant_s: 1e6, derate_from_degc: 100, "
                  "derate_to_degc: 120, start_degc: 400}";
    return truck;
}

/* v' = a (1 + b^2 v^2), textbook solution: 36 t, 18 tyres of 56.7 kg, rolling coefficient 0.006, drag area 5.4 m2,
 * 1.17 kg/m3 (40 CFR 1066.310(b)(7)(ii)(E)); the distance is its closed form. */
static const published arctangent = {"solution of v' = a (1 + b^2 v^2); 36 t, tyre inertia and 1.17 kg/m3 of 40 CFR "
                                     "1066.310(b)(7)(ii), rolling coefficient 0.006, drag area 5.4 m2",
                                     CLOSED_FORM};

static void check_coast_down(const drive *d, double from_km_h, double to_km_h, double seconds, double metres)
{
    double from_s = cell_where(d, "speed_km_h", from_km_h, "time_s");
    double from_m = cell_where(d, "speed_km_h", from_km_h, "place_m");
    double time_s = cell_where(d, "speed_km_h", to_km_h, "time_s") - from_s;
    double way_m = cell_where(d, "speed_km_h", to_km_h, "place_m") - from_m;
    check_value(&arctangent, time_s, RELATIVE, seconds, 1e-4, "s", "coast-down from %.4g to %.4g km/h, time", from_km_h,
                to_km_h);
    check_value(&arctangent, way_m, RELATIVE, metres, 1e-4, "m", "coast-down from %.4g to %.4g km/h, way", from_km_h,
                to_km_h);
}

START_TEST(a_coast_down_takes_the_time_and_way_of_the_arctangent)
{
    plain_truck truck = coasting_truck();
    evn_conditions ask = plain_ask(1.17);
    ask.driving.trace_interval_s = 0.25;
    drive d = drive_steady(&truck, 70 * EVN_M_S_PER_MPH * 3.6, 400, 0, &ask);
    check_coast_down(&d, 70 * EVN_M_S_PER_MPH * 3.6 * (1 - 1e-9), 15 * EVN_M_S_PER_MPH * 3.6, 283.293, 4894.05);
    check_coast_down(&d, 80, 0, 320.876, 3232.74);
    check_coast_down(&d, 30, 20, 45.246, 313.65);
    ck_assert(result_of(&d, "energy_balance.friction_brakes_kwh") == 0);
    ck_assert(result_of(&d, "battery_kwh") == 0);
    ck_assert_int_eq(d.status, EVN_ANSWER_NO); /* at rest without torque it does not go on */
    ck_assert_str_eq(evn_results_status(d.results), "stalled");
    drive_end(&d);
}
END_TEST

START_TEST(a_coasting_truck_settles_at_the_speed_where_the_grade_carries_it)
{
    /* From 90 km/h: after 5000 s the difference has died out (its time constant is below 350 s). */
    const published from = {"v = sqrt((m g sin - A)/C), with the cosine in the rolling term; truck of the coast-down",
                            CLOSED_FORM};
    plain_truck truck = coasting_truck();
    evn_conditions ask = plain_ask(1.17);
    drive d = drive_steady(&truck, 90, 5000, -1, &ask);
    double settled_km_h = cell(&d, d.rows - 2, "speed_km_h"); /* the last row is after the end */
    check_value(&from, settled_km_h, RELATIVE, 76.126, 1e-5, "km/h", "speed of coasting down 1 %%");
    drive_end(&d);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ hubs */

/* The plain truck with the hubs of its three axles as given, without braces. */
static drive drive_hubs(const plain_truck *truck, const char *first, const char *second, const char *driven,
                        const evn_conditions *ask)
{
    char text[900], path[PATH_BYTES], cycle[PATH_BYTES];
    write_plain_truck(truck, "plain.yaml");
    snprintf(
        text, sizeof text,
        "extends: plain.yaml\naxles: {first: {hub_drag: {%s}}, second: {hub_drag: {%s}}, driven: {hub_drag: {%s}}}\n",
        first, second, driven);
    write_file("truck.yaml", text);
    return drive_files(in_folder(path, "truck.yaml"), in_folder(cycle, "steady.yaml"), ask);
}

START_TEST(hubs_take_torque_times_wheel_speed)
{
    /* at 60 km/h and 0.5 m 318.31 rpm, which is a point of the third curve; at it the second is at 10 + 12 x 318.31/600
     */
    const published from = {"power of a shaft, the sum of torque times wheel speed over the axles", CLOSED_FORM};
    const double rad_s = 60 / 3.6 / 0.5, nm = 8 + (10 + 12 * (rad_s / EVN_RAD_S_PER_RPM) / 600) + 18;
    const evn_conditions ask = plain_ask(ANY_DENSITY);
    plain_truck truck = plain_truck_of(20000);
    write_steady("steady.yaml", 60, 100, 0);
    drive d = drive_hubs(&truck, "speed_rpm: [0], torque_nm: [8]", "speed_rpm: [0, 600], torque_nm: [10, 22]",
                         "speed_rpm: [0, 318.30988618379067, 900], torque_nm: [30, 18, 40]", &ask);
    check_value(&from, cell(&d, 1, "hub_drag_kn") * 1e3, RELATIVE, nm / 0.5, 1e-9, "N", "drag of all hubs at 60 km/h");
    check_value(&from, cell(&d, 1, "terminal_kw") * 1e3, RELATIVE, nm * rad_s, 1e-9, "W",
                "power against all hubs at 60 km/h, nothing else lost");
    check_value(&from, result_of(&d, "energy_balance.hub_losses_kwh"), RELATIVE, nm * rad_s * 100 / 3.6e6, 1e-9, "kWh",
                "hub losses in 100 s at 60 km/h");
    drive_end(&d);
}
END_TEST

START_TEST(hubs_at_the_axle_raise_the_tyre_force_and_its_slip)
{
    /* The tyre of the driven axle carries the drag T/r, other than with a wheel end in the path: F + T/r through the
     * slip, (F + T/r)/(1 - (F + T/r)/k) at the hub, k the slip stiffness times the load of a quarter of the truck. */
    const published from = {"slip (w r - v)/(w r) = F/k, power at the hub F v/(1 - F/k)", CLOSED_FORM};
    const double v = 60 / 3.6, nm = 20, grade = 0.03, k = 12 * 0.25 * 20000 * 9.81 / sqrt(1 + grade * grade);
    const double tyre_n = 20000 * 9.81 * grade / sqrt(1 + grade * grade) + nm / 0.5;
    const evn_conditions ask = plain_ask(ANY_DENSITY);
    plain_truck truck = plain_truck_of(20000);
    truck.driven_tyre = ", longitudinal_slip_stiffness: 12";
    write_steady("steady.yaml", 60, 100, 100 * grade);
    drive d = drive_hubs(&truck, "speed_rpm: [0], torque_nm: [0]", "speed_rpm: [0], torque_nm: [0]",
                         "speed_rpm: [0], torque_nm: [20]", &ask);
    check_value(&from, cell(&d, 1, "terminal_kw") * 1e3, RELATIVE, tyre_n * v / (1 - tyre_n / k), 1e-9, "W",
                "power uphill with slip and hubs");
    drive_end(&d);
}
END_TEST

START_TEST(a_coast_down_takes_the_same_with_half_of_the_resistance_in_the_hubs)
{
    /* 0.003 x 36000 kg x 9.81 m/s2 x 0.5 m, on two axles */
    plain_truck truck = coasting_truck();
    truck.rolling = 0.003;
    evn_conditions ask = plain_ask(1.17);
    ask.driving.trace_interval_s = 0.25;
    write_steady("steady.yaml", 70 * EVN_M_S_PER_MPH * 3.6, 400, 0);
    drive d = drive_hubs(&truck, "speed_rpm: [0], torque_nm: [500]", "speed_rpm: [0, 600], torque_nm: [29.74, 29.74]",
                         "speed_rpm: [0], torque_nm: [0]", &ask);
    check_coast_down(&d, 70 * EVN_M_S_PER_MPH * 3.6 * (1 - 1e-9), 15 * EVN_M_S_PER_MPH * 3.6, 283.293, 4894.05);
    check_coast_down(&d, 80, 0, 320.876, 3232.74);
    ck_assert(result_of(&d, "battery_kwh") == 0);
    drive_end(&d);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ descents */

START_TEST(a_type_two_descent_returns_the_potential_energy)
{
    /* per tonne to the digits that tell the sine from the tangent */
    const published test = {"UN R13 Annex 4, Type-II and Type-IIA: 6 km at 30 km/h", FROM_MEMORY};
    const published from = {"m g sin(atan p) d, on the descents of UN R13 Annex 4, Type-II and Type-IIA; 40 t",
                            CLOSED_FORM};
    const double percent[] = {6, 7}, kwh_per_t[] = {0.97924, 1.14171}, kwh[] = {39.17, 45.67};
    const double power_kw[] = {195.8, 228.3};
    for (size_t i = 0; i < 2; i++) {
        plain_truck truck = plain_truck_of(40000);
        evn_conditions ask = plain_ask(ANY_DENSITY);
        drive d = drive_steady(&truck, 30, 720, -percent[i], &ask);
        double regenerated_kwh = result_of(&d, "regenerated_kwh"),
               height_kwh = -result_of(&d, "energy_balance.potential_kwh");
        check_value(&test, result_of(&d, "distance_km"), RELATIVE, 6, 1e-9, "km", "way in 12 min");
        check_value(&from, regenerated_kwh, RELATIVE, kwh[i], 1e-3, "kWh", "returned on %g %%", percent[i]);
        check_value(&from, regenerated_kwh / 40, RELATIVE, kwh_per_t[i], 1e-5, "kWh/t", "returned on %g %%",
                    percent[i]);
        check_value(&from, height_kwh / 40, RELATIVE, kwh_per_t[i], 1e-5, "kWh/t",
                    "elevation lost on %g %%, in the energy balance", percent[i]);
        check_value(&from, -cell(&d, d.rows / 2, "terminal_kw"), RELATIVE, power_kw[i], 1e-3, "kW",
                    "power returned on %g %%", percent[i]);
        drive_end(&d);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ regulation's step */

START_TEST(the_regulations_vehicle_step_comes_out_with_its_forces)
{
    /* inputs and grade force as printed there (its example takes 9.81, its text 9.80665 m/s2), the rest recomputed */
    const published printed = {"40 CFR 1036.545(f)(3), (f)(4), worked example", READ_IN_SOURCE};
    const published from = {"40 CFR 1036.545(f)(3), (f)(4), worked example, from its inputs", RECOMPUTED};
    const struct {
        double gravity_m_s2, grade_n, rolling_n, accel_m_s2;
    } row[] = {{9.81, 436.4553, 861.7195, 0.1880773}, {9.80665, 436.3062, 861.4253, 0.1881151}};
    for (size_t i = 0; i < 2; i++) {
        plain_truck truck = plain_truck_of(11408);
        truck.radius_m = 0.399;
        truck.tyre_inertia_kg_m2 = 340 * truck.radius_m * truck.radius_m / truck.tyres;
        truck.rolling = 7.7e-3;
        truck.drag_area_m2 = 5.4;
        truck.path = "final_drive: {ratio: 4.0, efficiency: 0.955}";
        truck.motor = "peak_torque_nm: 500, peak_power_kw: 1e5, top_speed_rpm: 1e5, reference_voltage_v: 700";
        evn_conditions ask = plain_ask(1.1845);
        ask.load_case.gravity_m_s2 = row[i].gravity_m_s2;
        ask.driving.trace_interval_s = 0.01;
        write_file("pull.yaml", "name: pull\ninvented: true\nspeed: {time_s: [0, 10], speed_km_h: [72, 144]}\n"
                                "road: {place_m: [0, 400], grade_percent: [0.39, 0.39]}\n");
        drive d = drive_plain(&truck, "pull.yaml", &ask);
        size_t first = 0; /* the last row at the start: the motor's limit binds */
        while (cell(&d, first + 1, "time_s") == 0)
            first++;
        double g = row[i].gravity_m_s2, grade_n = cell(&d, first, "grade_resistance_kn") * 1e3;
        check_near(cell(&d, first, "motor_torque_nm"), 500, 1e-12);
        check_value(&from, grade_n, RELATIVE, row[i].grade_n, 1e-5, "N", "grade force, gravity %g m/s2", g);
        if (i == 0)
            check_value(&printed, grade_n, ABSOLUTE, 436.5, 0.05, "N", "grade force, gravity %g m/s2", g);
        check_value(&from, cell(&d, first, "air_drag_kn") * 1e3, RELATIVE, 1279.26, 1e-5, "N", "air drag");
        check_value(&from, cell(&d, first, "rolling_resistance_kn") * 1e3, RELATIVE, row[i].rolling_n, 1e-5, "N",
                    "rolling resistance, gravity %g m/s2", g);
        check_value(&from, cell(&d, first, "wheel_force_kn") * 1e3, RELATIVE, 4786.967, 1e-5, "N", "traction");
        check_value(&from, cell(&d, first, "acceleration_m_s2"), ABSOLUTE, row[i].accel_m_s2, 1e-7, "m/s2",
                    "acceleration, gravity %g m/s2", g);
        double v_m_s = cell_where(&d, "time_s", 0.01, "speed_km_h") / 3.6;
        check_value(&from, v_m_s, ABSOLUTE, 20 + 0.01 * row[i].accel_m_s2, 1e-6, "m/s",
                    "speed after the step of 0.01 s, gravity %g m/s2", g);
        drive_end(&d);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ torque gap */

static size_t first_row_in_gear(const drive *d, double gear)
{
    for (size_t i = 0; i < d->rows; i++)
        if (cell(d, i, "gear") == gear)
            return i;
    ck_abort_msg("gear %g is never engaged", gear);
    return 0;
}

START_TEST(a_gear_change_on_a_grade_costs_the_speed_of_the_closed_form)
{
    const published from = {"v1 = sqrt(A/C) tan(atan(v0 sqrt(C/A)) - t sqrt(A C)/me); 40 t, mass factor 1.03, rolling "
                            "coefficient 0.006, drag area 5.4 m2, 1.2 kg/m3",
                            CLOSED_FORM};
    const struct {
        double percent, from_km_h, pause_s, to_km_h, way_m;
    } row[] = {{3, 50, 1.0, 48.712992, 13.710074}, {6, 30, 1.5, 26.585383, 11.788402}};
    for (size_t i = 0; i < 2; i++) {
        plain_truck truck = plain_truck_of(40000);
        char motor[300], gearbox[300], cycle[400];
        truck.rolling = 0.006;
        truck.drag_area_m2 = 5.4;
        truck.tyre_inertia_kg_m2 = 0.03 * truck.mass_kg * truck.radius_m * truck.radius_m / truck.tyres;
        /* first gear ends at 0.99 of top speed, that is at the speed wanted; before that the dwell forbids a change */
        double rpm = row[i].from_km_h / 3.6 / truck.radius_m * 10 / EVN_RAD_S_PER_RPM;
        snprintf(motor, sizeof motor,
                 "peak_torque_nm: 1e4, peak_power_kw: 1e4, top_speed_rpm: %.17g, reference_voltage_v: 700", rpm / 0.99);
        snprintf(gearbox, sizeof gearbox, "ratios: [10, 5], efficiencies: [1, 1], shift: {time_s: %g, dwell_s: 60}",
                 row[i].pause_s);
        snprintf(cycle, sizeof cycle,
                 "name: climb\ninvented: true\nspeed: {time_s: [0, 40, 50], speed_km_h: [0, %g, %g]}\n"
                 "road: {place_m: [0, 2000], grade_percent: [%g, %g]}\n",
                 row[i].from_km_h + 10, row[i].from_km_h + 10, row[i].percent, row[i].percent);
        truck.motor = motor;
        truck.gearbox = gearbox;
        write_file("climb.yaml", cycle);
        evn_conditions ask = plain_ask(1.2);
        ask.driving.driver = EVN_DRIVER_HUMAN;
        drive d = drive_plain(&truck, "climb.yaml", &ask);
        size_t gap = first_row_in_gear(&d, 0), after = first_row_in_gear(&d, 2);
        check_near(cell(&d, after, "time_s") - cell(&d, gap, "time_s"), row[i].pause_s, 1e-9);
        check_near(cell(&d, gap, "speed_km_h"), row[i].from_km_h, 1e-7);
        check_value(&from, cell(&d, after, "speed_km_h"), RELATIVE, row[i].to_km_h, 1e-6, "km/h",
                    "speed after %g s without torque on %g %%, from %g km/h", row[i].pause_s, row[i].percent,
                    row[i].from_km_h);
        check_value(&from, cell(&d, after, "place_m") - cell(&d, gap, "place_m"), RELATIVE, row[i].way_m, 1e-6, "m",
                    "way in %g s without torque on %g %%, from %g km/h", row[i].pause_s, row[i].percent,
                    row[i].from_km_h);
        ck_assert(cell(&d, gap, "wheel_force_kn") == 0);
        ck_assert_double_eq_tol(held_s(&d, "gear_change"), row[i].pause_s, 1e-6);
        drive_end(&d);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("road load, published");
    TCase *tests = tcase_create("road load");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, air_density_over_altitude_is_that_of_the_standard_atmosphere);
    tcase_add_test(tests, air_density_over_temperature_is_that_of_an_ideal_gas);
    tcase_add_test(tests, a_textbook_truck_has_its_road_load);
    tcase_add_test(tests, wind_changes_air_drag_as_in_the_textbook);
    tcase_add_test(tests, climbing_force_follows_the_sine_of_the_slope);
    tcase_add_test(tests, level_cruise_takes_the_energy_of_the_closed_form);
    tcase_add_test(tests, a_launch_at_constant_power_takes_the_time_and_way_of_the_closed_form);
    tcase_add_test(tests, turning_tyres_weigh_what_the_regulation_adds_for_them);
    tcase_add_test(tests, a_coast_down_takes_the_time_and_way_of_the_arctangent);
    tcase_add_test(tests, a_coasting_truck_settles_at_the_speed_where_the_grade_carries_it);
    tcase_add_test(tests, hubs_take_torque_times_wheel_speed);
    tcase_add_test(tests, hubs_at_the_axle_raise_the_tyre_force_and_its_slip);
    tcase_add_test(tests, a_coast_down_takes_the_same_with_half_of_the_resistance_in_the_hubs);
    tcase_add_test(tests, a_type_two_descent_returns_the_potential_energy);
    tcase_add_test(tests, the_regulations_vehicle_step_comes_out_with_its_forces);
    tcase_add_test(tests, a_gear_change_on_a_grade_costs_the_speed_of_the_closed_form);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
