/* Any bytes as the CSV file of a loss map: read or refused; of what was read no loss is below 0 and each is finite. */
#include "fuzz.h"
#include "read/sheet.h"
#include "truck/map.h"
#include <math.h>

static evn_spot nowhere(const evn_seat *seat, const char *path, evn_spot *used_from)
{
    (void)seat, (void)path;
    if (used_from)
        *used_from = evn_nowhere;
    return evn_nowhere;
}

/* At rest, within the motor's bounds and beyond, both ways, at any voltage. */
static void check_losses(const evn_map *map, const evn_map_machine *machine)
{
    enum { STEPS = 7 };
    for (int s = 0; s < STEPS; s++)
        for (int t = -STEPS; t <= STEPS; t++)
            for (int v = 0; v < 3; v++) {
                double rad_s = machine->top_rad_s * 1.2 * s / STEPS, nm = machine->peak_nm * 1.2 * t / STEPS;
                double loss_w = evn_map_loss_w(map, nm, rad_s, 400 + 200 * v, 1.2);
                must_hold(isfinite(loss_w) && loss_w >= 0);
                must_hold(isfinite(evn_map_drag_nm(map, rad_s)));
                evn_map_is_filled(map, nm, rad_s, 400 + 200 * v);
            }
}

static void make_map(const evn_sheet *sheet, attempt *a)
{
    static const evn_map_machine machine = {500, 250e3, 1100, 680};
    const evn_seat seat = {nowhere};
    for (int k = 0; k < 2; k++) {
        evn_map_file file = {.table = sheet, .winding_degc = 100, .includes_inverter = k};
        evn_map_points points;
        size_t before = evn_report_errors(a->report);
        bool read = evn_map_points_read(&file, &seat, a->arena, &points, a->report);
        must_hold(read == (evn_report_errors(a->report) == before));
        if (!read)
            return;
        const evn_map *map = evn_map_make(&file, &machine, a->arena);
        must_hold(map);
        check_losses(map, &machine);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    attempt a = attempt_begin();
    evn_reading reading = {.report = a.report, .keep = a.arena, .scratch = evn_arena_new()};
    must_hold(reading.scratch);
    const evn_source *source = evn_source_new(&reading, "fuzz.csv", "fuzz.csv", NULL, evn_nowhere);
    must_hold(source);
    const evn_sheet *sheet = evn_sheet_read(&reading, source, (const char *)bytes, length, true);
    if (sheet)
        make_map(sheet, &a);
    evn_arena_free(reading.scratch);
    attempt_end(&a);
    return 0;
}
