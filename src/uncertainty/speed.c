/* Heavier trucks driven by the exact driver; what they reach. */
#include "uncertainty/speed.h"
#include <stdlib.h>
#include <string.h>

typedef struct heavier { /* one truck, with more mass to pull and to accelerate */
    evn_rig rig;         /* shares all else with the truck's own */
    evn_reach reach;
    evn_sampler sampler;
} heavier;

static void make_heavier(heavier *h, const evn_rig *rig)
{
    h->rig = *rig;
    h->rig.mass_kg *= 1 + EVN_SPEED_MARGIN;
    h->rig.effective_kg += h->rig.mass_kg - rig->mass_kg;
    h->sampler = evn_reach_sampler(&h->reach, &h->rig);
}

static evn_run run_of(const evn_comparison *c, size_t truck, const heavier *h)
{
    evn_run run = {.rig = &h->rig,
                   .load_case = evn_comparison_load_case(c, truck),
                   .cycle = evn_comparison_cycle(c),
                   .driving = evn_comparison_asks(c)->driving,
                   .sampler = &h->sampler,
                   .samplers = 1,
                   .report = evn_report_new()};
    run.driving.driver = EVN_DRIVER_EXACT;
    return run;
}

/* Whether all of them reached the end; the speed is then lowered to what they reached. */
static bool lower_to(evn_ceiling *speed, const heavier *h, const evn_run *run, size_t count, bool *room)
{
    for (size_t k = 0; k < count; k++)
        if (!run[k].results || strcmp(run[k].status, "finished") != 0)
            return false;
    for (size_t k = 0; *room && k < count; k++)
        *room = !h[k].reach.out_of_memory && evn_ceiling_lower(speed, &h[k].reach.speeds);
    evn_common_thin(speed);
    return true;
}

/* Those that take part, in the order of the lineup; how many. */
static size_t make_all(const evn_comparison *c, uint64_t in, heavier *h, evn_run *run, bool *room)
{
    size_t count = 0;
    for (size_t i = 0; i < EVN_LINEUP_MOST; i++) {
        if (!(in >> i & 1))
            continue;
        make_heavier(&h[count], evn_comparison_rig(c, i));
        run[count] = run_of(c, i, &h[count]);
        *room = run[count++].report && *room;
    }
    return count;
}

bool evn_draw_speed(const evn_comparison *c, uint64_t in, evn_runs *runs, evn_ceiling *out, double *margin,
                    evn_report *report)
{
    heavier *h = calloc(EVN_LINEUP_MOST, sizeof *h);
    evn_run run[EVN_LINEUP_MOST];
    bool room = evn_ceiling_lower(out, evn_comparison_ceiling(c)) && h;
    size_t count = room ? make_all(c, in, h, run, &room) : 0;
    if (room)
        evn_runs_drive(runs, run, count);
    *margin = room && lower_to(out, h, run, count, &room) ? EVN_SPEED_MARGIN : 0;
    for (size_t k = 0; k < count; k++) {
        evn_run_forget(&run[k]);
        evn_report_free(run[k].report);
        evn_reach_end(&h[k].reach);
    }
    free(h);
    if (!room)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over uncertain data");
    return room;
}
