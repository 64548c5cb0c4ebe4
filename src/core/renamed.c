/* Names that results, columns, limits and states bore before, each with what stands in its place. */
#include "evener/keys.h"
#include <stdio.h>
#include <string.h>

/* X(before, now, what it is a name of). Groups end with a dot, parts of a key without one. */
#define RENAMED(X)                                                                                                     \
    X("behind_plan_s", "time_below_target_s", "result")                                                                \
    X("extra_time_s", "delay_s", "result")                                                                             \
    X("band_ok", "speed_tolerance_met", "result")                                                                      \
    X("drawn_kwh", "discharged_kwh", "result")                                                                         \
    X("returned_kwh", "regenerated_kwh", "result")                                                                     \
    X("motor_braking_kwh", "regenerative_braking_kwh", "result")                                                       \
    X("closure", "balance_error", "result")                                                                            \
    X("shifts", "gear_changes", "result")                                                                              \
    X("peak_winding_degc", "peak_winding_temperature_degc", "result")                                                  \
    X("units.", "drive_units.", "result")                                                                              \
    X("ledger.", "energy_balance.", "energy balance")                                                                  \
    X("grade_kwh", "potential_kwh", "energy balance")                                                                  \
    X("rolling_kwh", "rolling_resistance_kwh", "energy balance")                                                       \
    X("air_kwh", "air_drag_kwh", "energy balance")                                                                     \
    X("pack_kwh", "battery_losses_kwh", "energy balance")                                                              \
    X("pto_kwh", "power_take_off_kwh", "energy balance")                                                               \
    X("tyre_slip_kwh", "tyre_slip_losses_kwh", "energy balance")                                                       \
    X("wheel_end_kwh", "hub_losses_kwh", "energy balance")                                                             \
    X("final_drive_kwh", "final_drive_losses_kwh", "energy balance")                                                   \
    X("shafts_kwh", "propeller_shaft_losses_kwh", "energy balance")                                                    \
    X("gearbox_kwh", "gearbox_losses_kwh", "energy balance")                                                           \
    X("shifting_kwh", "gear_change_losses_kwh", "energy balance")                                                      \
    X("motor_kwh", "motor_losses_kwh", "energy balance")                                                               \
    X("inverter_kwh", "inverter_losses_kwh", "energy balance")                                                         \
    X("held_by", "limited_by", "result")                                                                               \
    X("seconds", "duration_s", "limited_by")                                                                           \
    X("worst_km", "at_km", "limited_by")                                                                               \
    X("worst_km_h", "below_target_km_h", "limited_by")                                                                 \
    X("pack", "battery_power", "limit")                                                                                \
    X("gear_shift", "gear_change", "limit")                                                                            \
    X("pack_empty", "battery_empty", "status, fault")                                                                  \
    X("pack_too_weak", "battery_too_weak", "status, fault")                                                            \
    X("behind_plan_km_h", "below_target_km_h", "threshold")                                                            \
    X("wheel_formula", "axle_configuration", "truck of a comparison")                                                  \
    X("unladen_kg", "kerb_kg", "figure of a truck")                                                                    \
    X("peak_force_kn", "peak_wheel_force_kn", "figure of a truck")                                                     \
    X("net_height_m", "net_elevation_m", "figure of a cycle")                                                          \
    X("plan_km_h", "target_speed_km_h", "trace column")                                                                \
    X("accel_m_s2", "acceleration_m_s2", "trace column")                                                               \
    X("height_m", "elevation_m", "trace column, chart column")                                                         \
    X("tyre_force_kn", "wheel_force_kn", "trace column")                                                               \
    X("unit_force_kn", "unit_wheel_force_kn", "trace column")                                                          \
    X("brake_force_kn", "friction_brake_force_kn", "trace column")                                                     \
    X("rolling_force_kn", "rolling_resistance_kn", "trace column")                                                     \
    X("air_force_kn", "air_drag_kn", "trace column")                                                                   \
    X("grade_force_kn", "grade_resistance_kn", "trace column")                                                         \
    X("winding_degc", "winding_temperature_degc", "trace column")                                                      \
    X("motor_loss_kw", "motor_losses_kw", "trace column")                                                              \
    X("inverter_loss_kw", "inverter_losses_kw", "trace column")                                                        \
    X("pack_voltage_v", "battery_voltage_v", "trace column")                                                           \
    X("most_driving_kn", "peak_driving_kn", "chart column")                                                            \
    X("most_braking_kn", "peak_braking_kn", "chart column")                                                            \
    X("most_nm", "peak_driving_nm", "chart column")                                                                    \
    X("least_nm", "peak_braking_nm", "chart column")

static const evn_renaming renamed[] = {
#define X(before, now, of) {before, now, of},
    RENAMED(X)
#undef X
};
enum { COUNT = sizeof renamed / sizeof *renamed };

bool evn_renamed_at(size_t index, evn_renaming *out)
{
    if (!out || index >= COUNT)
        return false;
    *out = renamed[index];
    return true;
}

/* One part of a key, its dot included where one follows; the part itself where it has no other name. */
static void put_part(const char *part, size_t length, char *out, size_t size)
{
    const char *now = NULL;
    size_t used = strlen(out);
    for (size_t k = 0; !now && k < COUNT; k++)
        if (strlen(renamed[k].before) == length && strncmp(renamed[k].before, part, length) == 0)
            now = renamed[k].now;
    if (now)
        snprintf(out + used, size - used, "%s", now);
    else
        snprintf(out + used, size - used, "%.*s", (int)length, part);
}

/* Names of axles, drive units and gears, which stand between the first part and the last, may be anything. */
bool evn_renamed_key(const char *key, char *out, size_t size)
{
    if (!key || !out || size == 0)
        return false;
    out[0] = '\0';
    const char *first = strchr(key, '.'), *last = strrchr(key, '.');
    if (first)
        put_part(key, (size_t)(first - key) + 1, out, size);
    size_t used = strlen(out);
    if (last && last > first)
        snprintf(out + used, size - used, "%.*s", (int)(last - first), first + 1);
    const char *end = last ? last + 1 : key;
    put_part(end, strlen(end), out, size);
    if (strcmp(out, key) != 0)
        return true;
    out[0] = '\0';
    return false;
}
