/*
 * Any bytes, line by line, as values set beside a truck, and beside a cycle where one of them is for it: read or
 * refused; a truck that was read is made ready to drive or refused, and its values can be told.
 */
#include "evener/values.h"
#include "fuzz.h"
#include <string.h>

enum { SETS_MOST = 8 };

/* So many lines, each a text of its own; what follows the last is left out. */
static void split(char *text, const char *set[SETS_MOST + 1])
{
    size_t count = 0;
    while (text && count < SETS_MOST) {
        char *end = strchr(text, '\n');
        if (end)
            *end = '\0';
        set[count++] = text;
        text = end ? end + 1 : NULL;
    }
    set[count] = NULL;
}

static void load_truck(const evn_load *how, evn_report *report)
{
    evn_truck *truck;
    evn_rig *rig = NULL;
    evn_value value;
    evn_status status = evn_truck_load_with("tests/fuzz/set-on.yaml", how, &truck, report);
    must_hold((truck != NULL) == (status == EVN_DONE));
    if (!truck)
        return;
    for (size_t i = 0; evn_truck_value_at(truck, i, &value); i++)
        must_hold(value.path && value.path[0] != '\0');
    evn_conditions ask = evn_conditions_default();
    status = evn_rig_prepare(truck, &ask.load_case, &rig, report);
    must_hold((rig != NULL) == (status == EVN_DONE));
    evn_rig_free(rig);
    evn_truck_free(truck);
}

static void load_cycle(const evn_load *how, evn_report *report)
{
    evn_cycle *cycle;
    evn_quantity what;
    double value;
    evn_status status = evn_cycle_load_with("cycles/scenarios/hill.yaml", how, &cycle, report);
    must_hold((cycle != NULL) == (status == EVN_DONE));
    for (size_t i = 0; cycle && evn_cycle_figure_at(cycle, i, &what, &value); i++)
        must_hold(what.key);
    evn_cycle_free(cycle);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    attempt on_truck = attempt_begin(), on_cycle = attempt_begin();
    const char *set[SETS_MOST + 1];
    char *text = evn_arena_text(on_truck.arena, (const char *)bytes, length);
    must_hold(text);
    bool for_cycle = strstr(text, "cycle.");
    split(text, set);
    evn_load how = {.set = set, .set_beside = "tests/fuzz/fuzz.yaml"};
    load_truck(&how, on_truck.report);
    if (for_cycle)
        load_cycle(&how, on_cycle.report);
    attempt_end(&on_truck);
    attempt_end(&on_cycle);
    return 0;
}
