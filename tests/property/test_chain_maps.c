/* Chains as affine maps against the stages walked one by one: every quantity of an instant, at states drawn by lot. */
#include "evener/evener.h"
#include "pull/instant.h"
#include "pull/member.h"
#include "pull/prices.h"
#include <check.h>
#include <glob.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

enum {
    STATES = 9000
}; /* of each of the twelve shipped trucks: a hundred thousand together; and of one whose second axle disconnects */

/* Numbers from 0 to 1, the same on every machine. */
static double draw(uint64_t *seed)
{
    *seed = *seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return (double)(*seed >> 11) / 9007199254740992.0;
}

static double between(uint64_t *seed, double low, double high) { return low + (high - low) * draw(seed); }

/* A rig whose chains have no maps, or none but those made of their stages at each speed. */
static evn_rig *without_maps(const evn_rig *rig, bool at_speed)
{
    evn_rig *copy = malloc(sizeof *copy);
    ck_assert_ptr_nonnull(copy);
    *copy = *rig;
    for (size_t u = 0; u < copy->unit_count; u++) {
        for (size_t k = 0; k < copy->unit[u].gear_count; k++) {
            evn_chain_map *m = &copy->unit[u].gear[k].map;
            m->usable = false;
            m->usable_at_speed = m->usable_at_speed && at_speed;
        }
        for (size_t k = 0; k < copy->unit[u].branch_count; k++) {
            evn_branch *b = &copy->unit[u].branch[k];
            b->map.usable = b->opening.below_map.usable = b->opening.above_map.usable = false;
            b->map.usable_at_speed = b->map.usable_at_speed && at_speed;
        }
    }
    return copy;
}

static void draw_state(uint64_t *seed, const evn_rig *r, double degc[][EVN_NODES_MAX], evn_given *at)
{
    static const evn_limit limits[] = {EVN_FREE, EVN_FREE, EVN_FREE, EVN_BY_MOTOR, EVN_BY_ADHESION};
    *at = (evn_given){.rig = r,
                      .tangent = between(seed, -0.1, 0.1),
                      .rolling_factor = between(seed, 0.8, 3),
                      .speed_m_s = between(seed, 0, 0.97) * r->top_speed_m_s,
                      .asked_m_s2 = between(seed, -2, 1.5),
                      .soc = between(seed, 0.2, 0.9),
                      .fade = EVN_FADE_BY_SPEED};
    evn_limit limit = limits[(size_t)(draw(seed) * 5)];
    if (at->asked_m_s2 >= 0)
        at->pull = limit;
    else
        at->push = limit;
    for (size_t u = 0; u < r->unit_count; u++) {
        const evn_unit *unit = &r->unit[u];
        for (size_t k = 0; k < EVN_NODES_MAX; k++)
            degc[u][k] = between(seed, 20, 170);
        at->unit[u] = (evn_unit_given){unit->setting[(size_t)(draw(seed) * (double)unit->setting_count)],
                                       r->unit_count > 1 && draw(seed) < 0.1, degc[u]};
    }
}

/* Within 1e-9 of the greatest of its kind. */
static void agree(double a, double b, double greatest, const char *what, const evn_given *at)
{
    if (isnan(a) && isnan(b))
        return;
    ck_assert_msg(fabs(a - b) <= 1e-9 * greatest, "%s at %.17g m/s, asked %.17g m/s2: %.17g by maps, %.17g by stages",
                  what, at->speed_m_s, at->asked_m_s2, a, b);
}

static void compare(const evn_instant *a, const evn_instant *b)
{
    const evn_given *at = &a->pull.at;
    double power_w = 1e3, force_n = 1e4 + fabs(b->limited.unit_n);
    for (int k = 0; k < EVN_LINE_COUNT; k++)
        power_w = fmax(power_w, fabs(b->flow.w[k]));
    power_w = fmax(power_w, fabs(b->bus_w));
    for (int k = 0; k < EVN_LINE_COUNT; k++)
        agree(a->flow.w[k], b->flow.w[k], power_w, evn_line_rows[k].key, at);
    agree(a->bus_w, b->bus_w, power_w, "bus power", at);
    agree(a->current_a, b->current_a, 1 + power_w / 500, "current", at);
    agree(a->accel_m_s2, b->accel_m_s2, 1, "acceleration", at);
    agree(a->limited.unit_n, b->limited.unit_n, force_n, "force", at);
    agree(a->brake_n, b->brake_n, force_n, "braking force", at);
    for (size_t u = 0; u < at->rig->unit_count; u++) {
        agree(a->force_n[u], b->force_n[u], force_n, "force of a unit", at);
        agree(a->unit_motor_nm[u], b->unit_motor_nm[u], 1e3 + fabs(b->unit_motor_nm[u]), "motor torque", at);
    }
}

/* What a unit loses, line by line, is what goes in less what comes out. */
static void losses_add_up(const evn_instant *n)
{
    for (size_t u = 0; u < n->pull.at.rig->unit_count; u++) {
        double lines_w = 0;
        for (int k = EVN_UNIT_LINES; k < EVN_LINE_COUNT; k++)
            lines_w += n->unit_flow[u].w[k];
        double between_w =
            evn_member_losses_w(&n->pull, &n->pull.team.unit[u], n->unit_bus_w[u],
                                n->pull.team.unit[u].connected
                                    ? n->force_n[u]
                                    : evn_member_dragged(&n->pull, u, &n->pull.team.unit[u], n->accel_m_s2, NULL),
                                n->accel_m_s2);
        agree(between_w, lines_w, 1e4 + fabs(n->unit_bus_w[u]), "losses of a unit", &n->pull.at);
    }
}

static void compare_prices(const evn_instant *a, const evn_instant *b)
{
    evn_prices of_a, of_b;
    evn_instant_prices(a, &of_a);
    evn_instant_prices(b, &of_b);
    const evn_rig *r = b->pull.at.rig;
    for (size_t u = 0; u < r->unit_count; u++)
        for (size_t k = 0; k < r->unit[u].setting_count; k++)
            agree(of_a.w[u][k], of_b.w[u][k], 1e4 + fabs(of_b.w[u][k]), "price of a setting", &a->pull.at);
}

START_TEST(an_instant_by_maps_is_that_by_stages_at_a_hundred_thousand_states)
{
    glob_t files;
    ck_assert_int_eq(glob("tests/vehicles/trucks/*.yaml", 0, NULL, &files), 0);
    ck_assert_uint_eq(files.gl_pathc, 12);
    evn_report *report = evn_report_new();
    evn_truck *truck;
    evn_rig *rig;
    const char *path = _i < 12 ? files.gl_pathv[_i] : "tests/trucks/tandem-disconnect.yaml";
    evn_load_case usual = evn_conditions_default().load_case;
    ck_assert_int_eq(evn_truck_load(path, &truck, report), EVN_DONE);
    ck_assert_int_eq(evn_rig_prepare(truck, &usual, &rig, report), EVN_DONE);
    evn_rig *plain = without_maps(rig, false), *at_speed = without_maps(rig, true);
    uint64_t seed = 20 + (uint64_t)_i;
    for (int i = 0; i < STATES; i++) {
        double degc[EVN_UNITS_MAX][EVN_NODES_MAX];
        evn_instant by_maps, by_stages;
        draw_state(&seed, i % 3 ? rig : at_speed, degc, &by_maps.pull.at);
        by_stages.pull.at = by_maps.pull.at;
        by_stages.pull.at.rig = plain;
        evn_instant_make(&by_maps);
        evn_instant_make(&by_stages);
        compare(&by_maps, &by_stages);
        losses_add_up(&by_maps);
        if (i % 4 == 0)
            compare_prices(&by_maps, &by_stages);
    }
    free(plain);
    free(at_speed);
    evn_rig_free(rig);
    evn_truck_free(truck);
    evn_report_free(report);
    globfree(&files);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("chain_maps");
    TCase *maps = tcase_create("maps");
    tcase_add_loop_test(maps, an_instant_by_maps_is_that_by_stages_at_a_hundred_thousand_states, 0, 13);
    suite_add_tcase(suite, maps);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
