/* Places of uncertain numbers in copies, found once by their paths, and written as often as is wanted. */
#include "uncertainty/variant.h"
#include "core/change.h"
#include "core/field_copy.h"
#include "truck/load_case.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ numbers */

static bool same_number(const evn_moved *a, const evn_moved *b)
{
    return a->in == b->in && (a->in != EVN_IN_TRUCK || a->truck == b->truck) && strcmp(a->path, b->path) == 0;
}

bool evn_varied_of(const evn_nominal *of, const evn_data *data, evn_arena *arena, evn_varied *out)
{
    *out = (evn_varied){.of = *of, .data = data, .trucks = of->count};
    out->number = evn_arena_take(arena, (data->moved_count + 1) * sizeof *out->number);
    for (size_t k = 0; out->number && k < data->moved_count; k++) {
        const evn_moved *row = &data->moved[k];
        if (k == 0 || !same_number(row - 1, row))
            out->number[out->count++] = (evn_erring_number){row, 0};
        out->number[out->count - 1].count++;
        out->in_cycle = out->in_cycle || row->in == EVN_IN_CYCLE;
        out->in_truck |= row->in == EVN_IN_TRUCK ? UINT64_C(1) << row->truck : 0;
    }
    return out->number;
}

/* ------------------------------------------------------------------------------------------------ places */

static double *place_of(evn_variant *v, const evn_moved *row, evn_report *report)
{
    if (row->in == EVN_IN_TRUCK)
        return evn_number_place(&evn_truck_object, v->truck[row->truck], row->path, report);
    return row->in == EVN_IN_CYCLE ? evn_number_place(&evn_cycle_object, v->cycle, row->path, report)
                                   : evn_number_place(&evn_load_case_object, &v->load_case, row->path, report);
}

static void *copy_in(evn_arena *arena, const evn_object *object, const void *self)
{
    evn_arena *own = evn_arena_within(arena); /* what goes with a copy and stands in no file is one in an arena */
    return own ? evn_object_copy(object, self, own) : NULL;
}

/* False when memory is out. */
static bool copy_all(const evn_varied *of, evn_arena *arena, evn_variant *v)
{
    bool all = true;
    for (size_t i = 0; i < of->trucks; i++) {
        bool errs = of->in_truck >> i & 1;
        v->truck[i] = errs ? copy_in(arena, &evn_truck_object, of->of.who[i].truck) : NULL;
        all = all && (!errs || v->truck[i]);
    }
    v->cycle = of->in_cycle ? copy_in(arena, &evn_cycle_object, of->of.cycle) : NULL;
    v->at = evn_arena_take(arena, (of->count + 1) * sizeof(double *));
    return all && v->at && (!of->in_cycle || v->cycle);
}

bool evn_variant_make(const evn_varied *of, evn_arena *arena, evn_variant *v, evn_report *report)
{
    bool all = true;
    *v = (evn_variant){.load_case = *of->of.asked};
    if (!copy_all(of, arena, v)) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over uncertain data");
        return false;
    }
    for (size_t k = 0; all && k < of->count; k++) {
        v->at[k] = place_of(v, of->number[k].by, report);
        all = v->at[k];
    }
    return all;
}

/* ------------------------------------------------------------------------------------------------ writing */

size_t evn_variant_write(const evn_varied *of, evn_variant *v, const double *deviation)
{
    size_t held = 0;
    for (size_t k = 0; k < of->count; k++) {
        const evn_moved *by = of->number[k].by;
        double value = by->nominal;
        for (size_t r = 0; deviation && r < of->number[k].count; r++)
            value += by[r].offset + by[r].half_width * deviation[EVN_ERROR_SHAPES * by[r].datum + (size_t)by[r].shape];
        held += value < by->least || value > by->most;
        *v->at[k] = fmin(fmax(value, by->least), by->most);
    }
    return held;
}

/* ------------------------------------------------------------------------------------------------ what is asked */

const evn_truck_file *evn_variant_truck(const evn_varied *of, const evn_variant *v, size_t truck)
{
    return v->truck[truck] ? v->truck[truck] : of->of.who[truck].truck;
}

const evn_cycle_file *evn_variant_cycle(const evn_varied *of, const evn_variant *v)
{
    return v->cycle ? v->cycle : of->of.cycle;
}

/* A payload that a truck was given to be equal errs by as much as the one that was asked for. */
evn_load_case evn_variant_load_case(const evn_varied *of, const evn_variant *v, const evn_load_case *given)
{
    double asked_kg = of->of.asked->payload_kg;
    evn_load_case own = v->load_case;
    if (isnan(asked_kg))
        own.payload_kg = given->payload_kg;
    else if (given->payload_kg != asked_kg)
        own.payload_kg += given->payload_kg - asked_kg;
    return own;
}
