/* Field table of a loss map. */
#include "core/uncertain.h"
#include "truck/map.h"
#include "truck/usual.h"
#include <math.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

enum { LIST_MOST = EVN_MAP_AXIS_MOST * EVN_MAP_AXIS_MOST };

static const evn_field map_fields[] = {
    {.key = "table",
     .shape = EVN_SHEET,
     .gaps = true,
     .offset = offsetof(evn_map_file, table),
     .help =
         "CSV file: speed_rpm, torque_nm, one of loss_w, loss_kw, efficiency, efficiency_percent, and voltage_v "
         "where there are several d.c. voltages; rows in any order, cells may be empty or missing; bounds are those of "
         "the lists"},
    {.key = "speed_rpm",
     .shape = EVN_LIST,
     .least = 0,
     .most = EVN_MAP_MOST_RPM,
     .offset = offsetof(evn_map_file, speed_rpm),
     .apart_least = EVN_MAP_APART_LEAST_RPM,
     .count_most = EVN_MAP_AXIS_MOST,
     .help = "instead of a table: speeds of the map, rising"},
    {.key = "torque_nm",
     .shape = EVN_LIST,
     .least = -EVN_MAP_MOST_NM,
     .most = EVN_MAP_MOST_NM,
     .offset = offsetof(evn_map_file, torque_nm),
     .apart_least = EVN_MAP_APART_LEAST_NM,
     .count_most = EVN_MAP_AXIS_MOST,
     .help = "its torques, rising; below 0 generating; none below 0: the loss at -T is that at T"},
    {.key = "loss_w",
     .shape = EVN_LIST,
     .least = 0,
     .most = EVN_MAP_MOST_W,
     .offset = offsetof(evn_map_file, loss_w),
     .count_most = LIST_MOST,
     .help = "loss at all torques of the first speed, then of the next, ..."},
    {.key = "efficiency",
     .shape = EVN_LIST,
     .least = 0,
     .most = 1,
     .offset = offsetof(evn_map_file, efficiency),
     .count_most = LIST_MOST,
     .help = "instead of loss_w: efficiency in that order; 0: not measured; loss is P (1/efficiency - 1) motoring, "
             "P (1 - efficiency) generating"},
    {.key = "includes_inverter",
     .shape = EVN_FLAG,
     .offset = offsetof(evn_map_file, includes_inverter),
     .help = "true: losses of the inverter are in the map; they count as the motor's and heat its winding, but for "
             "inverter_loss_share"},
    {.key = "inverter_loss_share",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 1,
     .usual_low = 0.15,
     .usual_high = 0.6,
     .fallback = (double)NAN,
     .offset = offsetof(evn_map_file, inverter_loss_share),
     .help =
         "share of the map's losses that is the inverter's, with includes_inverter: it counts as that and heats the "
         "inverter, not the motor; not given: none"},
    {.key = "winding_degc",
     .shape = EVN_NUMBER,
     .least = -50,
     .most = 250,
     .fallback = 100,
     .offset = offsetof(evn_map_file, winding_degc),
     .source = "IEC 60034-1, from memory",
     .help = "winding temperature of the measurement; the part of the loss that a fit gives to the square of the "
             "current grows with (235 + degC)"},
    {.key = "off_law_share",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 10,
     .fallback = 0.2,
     .offset = offsetof(evn_map_file, off_law_share),
     .source = "common practice, no source",
     .help =
         "how far a point may lie off the law that is fitted to all, as a share of its loss, before that is told as "
         "a slip to look for; more where losses are known to follow another law, as those of a standard do"},
    {.key = "loss_factor",
     .shape = EVN_NUMBER,
     .least = 0.1,
     .most = 10,
     .usual_low = 0.7,
     .usual_high = 1.4,
     .fallback = 1,
     .offset = offsetof(evn_map_file, loss_factor),
     .uncertain = &evn_usual_map_factor,
     .help = "times all losses of the map, those of its fit included: for what is not known of them, and for a motor "
             "that loses more or less than the one measured"},
    EVN_SOURCE_FIELD(evn_map_file),
    EVN_UNCERTAIN_FIELD(evn_map_file),
};

static void check_map(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_map_file *f = self;
    bool lists = f->speed_rpm.count || f->torque_nm.count || f->loss_w.count || f->efficiency.count;
    if (f->table && lists) {
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "table", "a table beside lists; expected a table, or lists");
        return;
    }
    if (f->inverter_loss_share > 0 && !f->includes_inverter)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "inverter_loss_share",
                   "a share of the inverter in a map without it; expected includes_inverter: true");
    evn_arena *scratch = evn_arena_new();
    evn_map_points points;
    if (!scratch)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a loss map");
    else
        evn_map_points_read(f, seat, scratch, &points, report);
    evn_arena_free(scratch);
}

static bool equip_map(void *self, evn_arena *arena)
{
    evn_map_file *f = self;
    f->shelf = evn_map_shelf_in(arena, f->shelf);
    return f->shelf;
}

const evn_object evn_map_object = {.name = "map",
                                   .help = "losses of a motor over speed and torque",
                                   .size = sizeof(evn_map_file),
                                   .fields = map_fields,
                                   .field_count = COUNT(map_fields),
                                   .check = check_map,
                                   .equip = equip_map};
