/* Makes one truck of two, block by block, and asks the rules of the tables whether it is one. */
#include "causes/hybrid.h"
#include "causes/paths.h"
#include <stdio.h>
#include <string.h>

typedef struct making {
    const evn_donors *from;
    unsigned set;
    evn_truck_file *truck;
    const char *reason; /* NULL: memory is out */
} making;

static const evn_truck_file *donor(const making *m, evn_cause cause)
{
    return m->set >> cause & 1u ? m->from->other : m->from->first;
}

/* ------------------------------------------------------------------------------------------------ hubs */

/* Axles of the body's truck with the hubs of another's, and what hangs of a third's axle drives below their centres,
 * axle by axle from the front. An axle that only the body's truck has keeps its own: it comes and goes with its hubs.
 */
static bool set_axles(making *m)
{
    static const evn_cause parted[] = {EVN_CAUSE_HUBS, EVN_CAUSE_DRIVETRAIN};
    const evn_truck_file *body = donor(m, EVN_CAUSE_BODY);
    evn_axle_file *axle = evn_copied(body->axles.item, body->axles.count * sizeof *axle, m->from->arena);
    m->truck->axles = (evn_many){body->axles.name, axle, body->axles.count};
    for (size_t p = 0; axle && p < sizeof parted / sizeof *parted; p++) {
        const evn_many *from = &donor(m, parted[p])->axles;
        for (size_t k = 0; k < body->axles.count && k < from->count; k++)
            evn_block_take(&evn_axle_object, &axle[k], (const evn_axle_file *)from->item + k, parted[p]);
    }
    return axle;
}

static bool set_trailer(making *m)
{
    const evn_truck_file *body = donor(m, EVN_CAUSE_BODY), *hubs = donor(m, EVN_CAUSE_HUBS);
    m->truck->trailer = body->trailer;
    if (!body->trailer || !hubs->trailer)
        return true;
    evn_trailer_file *trailer = evn_copied(body->trailer, sizeof *trailer, m->from->arena);
    if (trailer)
        trailer->hub_drag = hubs->trailer->hub_drag;
    m->truck->trailer = trailer;
    return trailer;
}

/* ------------------------------------------------------------------------------------------------ units */

static bool set_units(making *m)
{
    const evn_truck_file *drivetrain = donor(m, EVN_CAUSE_DRIVETRAIN), *switching = donor(m, EVN_CAUSE_SWITCHING);
    size_t count;
    evn_unit_file *unit =
        evn_units_on_axles(drivetrain, donor(m, EVN_CAUSE_DRIVEN_AXLES), m->from->arena, &count, &m->reason);
    if (!unit || (switching != drivetrain && !evn_units_switch_as(unit, count, switching, m->from->arena)))
        return false;
    m->truck->drive_units = (evn_many){drivetrain->drive_units.name, unit, count};
    return true;
}

/* ------------------------------------------------------------------------------------------------ rules */

/* What stands in no file has no place. */
static evn_spot spot_nowhere(const evn_seat *seat, const char *path, evn_spot *used_from)
{
    (void)seat, (void)path;
    *used_from = evn_nowhere;
    return evn_nowhere;
}

static void note_first_error(const evn_report *report, evn_hybrid *out)
{
    evn_finding found;
    for (size_t i = 0; evn_report_at(report, i, &found); i++)
        if (found.severity == EVN_ERROR) {
            snprintf(out->reason, sizeof out->reason, "%s", found.text);
            return;
        }
}

/* The rules of what is made anew; all else stood in a file, and was asked there. False when memory is out. */
static bool ask_rules(evn_hybrid *out)
{
    const evn_seat seat = {spot_nowhere};
    const evn_unit_file *unit = out->truck.drive_units.item;
    evn_report *report = evn_report_new();
    if (!report)
        return false;
    evn_truck_object.check(&out->truck, &seat, report);
    for (size_t u = 0; u < out->truck.drive_units.count; u++)
        evn_unit_object.check(&unit[u], &seat, report);
    out->sound = evn_report_errors(report) == 0;
    note_first_error(report, out);
    evn_report_free(report);
    return true;
}

/* ------------------------------------------------------------------------------------------------ the whole */

bool evn_hybrid_make(const evn_donors *from, unsigned set, evn_hybrid *out)
{
    static const char no_memory[] = "memory is out";
    *out = (evn_hybrid){.truck = *from->first};
    out->truck.name = out->truck.short_name = "the hybrid";
    making m = {.from = from, .set = set, .truck = &out->truck, .reason = no_memory};
    for (int cause = 0; cause < EVN_CAUSE_COUNT; cause++)
        evn_block_take(&evn_truck_object, &out->truck, donor(&m, (evn_cause)cause), (evn_cause)cause);
    bool made = set_axles(&m) && set_trailer(&m) && set_units(&m);
    if (made)
        return ask_rules(out);
    if (!m.reason || m.reason == no_memory)
        return false;
    snprintf(out->reason, sizeof out->reason, "%s", m.reason);
    return true;
}
