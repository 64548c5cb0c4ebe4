/* What a truck loses in a gap of its pull, and the force of a start over a distance, against closed forms. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/limits_probe.h"
#include "checked.h"
#include "limits/change_up.h"

/*
 * With constant resistance A and air drag C v^2 the speed after t is sqrt(A/C) tan(atan(v0 sqrt(C/A)) - t sqrt(A
 * C)/m_e) (textbooks of mechanics). 40 t, rotating masses 3 %, rolling 0.006, drag area 5.4 m2, air 1.2 kg/m3, g 9.81
 * m/s2.
 */
typedef struct gap_case {
    double percent, before_km_h, seconds, after_km_h;
} gap_case;
static const gap_case gaps[] = {{3, 50, 1.0, 48.712992}, {6, 30, 1.5, 26.585383}};

static ready gap_truck(double seconds)
{
    static char gearbox[160]; /* the truck keeps nothing of it */
    char path[PATH_BYTES];
    plain_truck t = plain_truck_of(40000);
    evn_load_case load_case = evn_conditions_default().load_case;
    load_case.air_density_kg_m3 = 1.2;
    load_case.gravity_m_s2 = 9.81;
    t.rolling = 0.006;
    t.drag_area_m2 = 5.4;
    t.tyre_inertia_kg_m2 = 0.03 * 40000 * 0.25 / t.tyres;
    snprintf(gearbox, sizeof gearbox, "ratios: [3, 1], efficiencies: [1, 1], shift: {time_s: %.17g}", seconds);
    t.gearbox = gearbox;
    write_plain_truck(&t, "truck.yaml");
    return ready_of(in_folder(path, "truck.yaml"), &load_case, true);
}

START_TEST(speed_lost_in_a_gap_is_that_of_the_closed_form)
{
    static const published from = {"closed form of motion against constant resistance and air drag", CLOSED_FORM};
    const gap_case *g = &gaps[_i];
    ready r = gap_truck(g->seconds);
    evn_limits_work work = {.rig = {r.rig, r.rig}, .free_tyres = {r.rig, r.rig}};
    evn_scene scene = evn_scene_of(&work, EVN_FORWARDS);
    evn_change_up c = evn_change_up_of(&scene);
    c.tangent = g->percent / 100;
    c.after_m_s[0] = g->after_km_h / 3.6;
    check_value(&from, evn_change_up_before_m_s(&c, 0) * 3.6, RELATIVE, g->before_km_h, 1e-6, "km/h",
                "speed at which a gap of %g s begins on %g %%", g->seconds, g->percent);
    ready_end(&r);
}
END_TEST

/* 2 s/t^2: 100 m in 20 s need 0.5 m/s2; the performance level that asks for it is one of a scheme for heavy
 * combinations, from memory. */
START_TEST(a_hundred_metres_in_twenty_seconds_take_half_a_metre_per_second_squared)
{
    static const published from = {"s = a t^2/2", CLOSED_FORM};
    plain_truck t = plain_truck_of(40000);
    t.motor = "peak_torque_nm: 10000, peak_power_kw: 1e5, top_speed_rpm: 1e5, reference_voltage_v: 700"; /* 20 kN */
    ready r = ready_plain(&t, false);
    check_value(&from, figure(&r, "sprint.over_100_m.time_s").value, ABSOLUTE, 20, 0.02, "s",
                "100 m from rest at 0.5 m/s2");
    ready_end(&r);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("gap");
    TCase *all = tcase_create("gap");
    tcase_add_checked_fixture(all, folder_begin, folder_end);
    tcase_add_loop_test(all, speed_lost_in_a_gap_is_that_of_the_closed_form, 0, 2);
    tcase_add_test(all, a_hundred_metres_in_twenty_seconds_take_half_a_metre_per_second_squared);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
