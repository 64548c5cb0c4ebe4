/* Load collectives as CSV, in long form. */
#include "show/csv/collective_csv.h"
#include <errno.h>

static void put_head(evn_trace_csv *csv)
{
    static const char *const keys[] = {"drive_unit",     "axle",           "shaft",        "alike",
                                       "gear",           "torque_from_nm", "torque_to_nm", "mean_torque_nm",
                                       "speed_from_rpm", "speed_to_rpm",   "duration_s",   "revolutions"};
    for (size_t k = 0; k < sizeof keys / sizeof *keys; k++)
        evn_trace_csv_key(csv, keys[k], k == 0);
    evn_trace_csv_end_line(csv);
}

static void put_cell(evn_trace_csv *csv, const evn_collective_shaft *is, size_t gear, const evn_collective_cell *cell)
{
    evn_trace_csv_text(csv, is->drive_unit, true);
    evn_trace_csv_text(csv, is->axle ? is->axle : "", false);
    evn_trace_csv_text(csv, is->shaft, false);
    fprintf(csv->stream, ",%zu,%zu,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g", is->alike, gear, cell->torque_from_nm,
            cell->torque_to_nm, cell->mean_nm, cell->speed_from_rpm, cell->speed_to_rpm, cell->duration_s,
            cell->revolutions);
    evn_trace_csv_end_line(csv);
}

static void put_gear(const evn_collective *c, size_t shaft, const evn_collective_shaft *is, size_t gear,
                     evn_trace_csv *csv)
{
    evn_collective_cell cell;
    for (size_t torque = 0; torque < is->torque_classes; torque++)
        for (size_t speed = 0; speed < is->speed_classes; speed++)
            if (evn_collective_cell_at(c, shaft, gear, torque, speed, &cell) && cell.duration_s > 0)
                put_cell(csv, is, gear, &cell);
}

void evn_collective_csv(const evn_collective *c, evn_trace_csv *csv)
{
    evn_collective_shaft is;
    errno = 0;
    put_head(csv);
    for (size_t shaft = 0; evn_collective_shaft_at(c, shaft, &is); shaft++)
        for (size_t gear = 0; gear <= is.gears; gear++)
            put_gear(c, shaft, &is, gear, csv);
}
