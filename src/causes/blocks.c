/* The causes, and the table of keys and blocks. */
#include "causes/blocks.h"
#include <string.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

static const evn_cause_row causes[EVN_CAUSE_COUNT] = {
    [EVN_CAUSE_BODY] =
        {"body", "body, tyres and mass",
         "body, axles, tyres, trailer, payload, battery, brakes and adhesion, with their masses and places", false},
    [EVN_CAUSE_AUXILIARIES] = {"auxiliaries", "auxiliaries", "consumers, power take-off, coolant loop with its fan",
                               false},
    [EVN_CAUSE_DRIVEN_AXLES] = {"driven_axles", "driven axles",
                                "which axles are driven, with the through-drive where their number differs; locks of "
                                "differentials",
                                false},
    [EVN_CAUSE_HUBS] = {"hub_drag", "hub drag", "bearings and seals of the hubs of all wheels", false},
    [EVN_CAUSE_DRIVETRAIN] = {"drivetrain", "drivetrain",
                              "motors, inverters, gearboxes, shafts and axle drives, with their ratios and masses",
                              true},
    [EVN_CAUSE_SWITCHING] = {"switching", "disconnects and changes",
                             "disconnects, how many motors work, how a gearbox changes gear, and the price of a change",
                             true},
};

bool evn_cause_row_at(size_t cause, evn_cause_row *out)
{
    if (!out || cause >= EVN_CAUSE_COUNT)
        return false;
    *out = causes[cause];
    return true;
}

/* ------------------------------------------------------------------------------------------------ the table */

typedef struct key_row {
    const char *object, *key; /* key "*": all of the object that have no row */
    int block;
} key_row;

static const key_row key_rows[] = {
    {"truck", "name", EVN_BLOCK_TELLS},
    {"truck", "short_name", EVN_BLOCK_TELLS},
    {"truck", "invented", EVN_BLOCK_TELLS},
    {"truck", "body", EVN_CAUSE_BODY},
    {"truck", "axles", EVN_BLOCK_PARTED},
    {"truck", "fifth_wheel", EVN_CAUSE_BODY},
    {"truck", "drawbar", EVN_CAUSE_BODY},
    {"truck", "trailer", EVN_BLOCK_PARTED},
    {"truck", "payload", EVN_CAUSE_BODY},
    {"truck", "drive_units", EVN_BLOCK_PARTED},
    {"truck", "battery", EVN_CAUSE_BODY},
    {"truck", "auxiliaries", EVN_CAUSE_AUXILIARIES},
    {"truck", "power_take_off", EVN_CAUSE_AUXILIARIES},
    {"truck", "brakes", EVN_CAUSE_BODY},
    {"truck", "adhesion", EVN_CAUSE_BODY},
    {"truck", "cooling", EVN_CAUSE_AUXILIARIES},
    {"truck", "tyre_temperature", EVN_CAUSE_BODY},
    {"truck", "retarder", EVN_CAUSE_BODY},
    {"truck", "brake_resistor", EVN_CAUSE_BODY},
    {"truck", "frame", EVN_CAUSE_BODY},
    {"axle", "behind_front_axle_m", EVN_CAUSE_BODY},
    {"axle", "support", EVN_CAUSE_BODY},
    {"axle", "load_share", EVN_CAUSE_BODY},
    {"axle", "tyres", EVN_CAUSE_BODY},
    {"axle", "mass_kg", EVN_CAUSE_BODY},
    {"axle", "permitted_kg", EVN_CAUSE_BODY},
    {"axle", "track_m", EVN_CAUSE_BODY},
    {"axle", "bowl_below_centre_m", EVN_CAUSE_DRIVETRAIN}, /* of the axle drive, or of what stands in its place */
    {"axle", "tyre", EVN_CAUSE_BODY},
    {"axle", "friction_share", EVN_CAUSE_BODY},
    {"axle", "friction_brake", EVN_CAUSE_BODY},
    {"axle", "lifts", EVN_CAUSE_BODY},
    {"axle", "hub_drag", EVN_CAUSE_HUBS},
    {"axle", "suspension", EVN_CAUSE_BODY},
    {"trailer", "mass_kg", EVN_CAUSE_BODY},
    {"trailer", "centre_behind_kingpin_m", EVN_CAUSE_BODY},
    {"trailer", "centre_height_m", EVN_CAUSE_BODY},
    {"trailer", "axles_behind_kingpin_m", EVN_CAUSE_BODY},
    {"trailer", "front_axles_behind_kingpin_m", EVN_CAUSE_BODY},
    {"trailer", "axles", EVN_CAUSE_BODY},
    {"trailer", "axle_spacing_m", EVN_CAUSE_BODY},
    {"trailer", "track_m", EVN_CAUSE_BODY},
    {"trailer", "springs", EVN_CAUSE_BODY},
    {"trailer", "tyres", EVN_CAUSE_BODY},
    {"trailer", "permitted_axles_kg", EVN_CAUSE_BODY},
    {"trailer", "tyre", EVN_CAUSE_BODY},
    {"trailer", "friction_share", EVN_CAUSE_BODY},
    {"trailer", "friction_brake", EVN_CAUSE_BODY},
    {"trailer", "hub_drag", EVN_CAUSE_HUBS},
    {"trailer", "outline", EVN_CAUSE_BODY},
    {"drive_unit", "axles", EVN_CAUSE_DRIVEN_AXLES},
    {"drive_unit", "motors", EVN_CAUSE_DRIVETRAIN},
    {"drive_unit", "engagement", EVN_CAUSE_SWITCHING},
    {"drive_unit", "idle_motors_stand_still", EVN_CAUSE_SWITCHING},
    {"drive_unit", "gearbox", EVN_BLOCK_PARTED},
    {"drive_unit", "path", EVN_BLOCK_PARTED},
    {"drive_unit", "branches", EVN_BLOCK_PARTED},
    {"drive_unit", "axle_differential_lock", EVN_CAUSE_DRIVEN_AXLES},
    {"drive_unit", "inter_axle_lock", EVN_CAUSE_DRIVEN_AXLES},
    {"drive_unit", "locks_below_km_h", EVN_CAUSE_DRIVEN_AXLES},
    {"drive_unit", "machine_behind_front_axle_m", EVN_CAUSE_DRIVETRAIN},
    {"drive_unit", "machine_height_m", EVN_CAUSE_DRIVETRAIN},
    {"drive_unit", "braking_force_limit_kn", EVN_CAUSE_DRIVETRAIN},
    {"drive_unit", "unsprung_share", EVN_CAUSE_DRIVETRAIN},
    {"drive_unit", "takeoff", EVN_CAUSE_DRIVETRAIN},
    {"drive_unit", "housings", EVN_CAUSE_DRIVETRAIN},
    {"gearbox", "ratios", EVN_CAUSE_DRIVETRAIN},
    {"gearbox", "efficiencies", EVN_CAUSE_DRIVETRAIN},
    {"gearbox", "drag", EVN_CAUSE_DRIVETRAIN},
    {"gearbox", "oil", EVN_CAUSE_DRIVETRAIN},
    {"gearbox", "input_inertia_kg_m2", EVN_CAUSE_DRIVETRAIN},
    {"gearbox", "mass_kg", EVN_CAUSE_DRIVETRAIN},
    {"gearbox", "shift", EVN_CAUSE_SWITCHING},
    {"branch", "axle", EVN_CAUSE_DRIVEN_AXLES},
    {"branch", "torque_share", EVN_CAUSE_DRIVEN_AXLES},
    {"branch", "path", EVN_BLOCK_PARTED},
    {"mesh", "*", EVN_CAUSE_DRIVETRAIN},
    {"planet_set", "*", EVN_CAUSE_DRIVETRAIN},
    {"universal_joint", "*", EVN_CAUSE_DRIVETRAIN},
    {"propeller_shaft", "*", EVN_CAUSE_DRIVETRAIN},
    {"centre_bearing", "*", EVN_CAUSE_DRIVETRAIN},
    {"final_drive", "*", EVN_CAUSE_DRIVETRAIN},
    {"differential", "*", EVN_CAUSE_DRIVETRAIN},
    {"wheel_end", "*", EVN_CAUSE_DRIVETRAIN},
    {"disconnect", "*", EVN_CAUSE_SWITCHING},
};

int evn_block_of(const evn_object *object, const evn_field *field)
{
    if (field->remark)
        return EVN_BLOCK_TELLS;
    if (strcmp(field->key, "source") == 0) /* of any object: words, no number */
        return EVN_BLOCK_TELLS;
    for (size_t k = 0; k < COUNT(key_rows); k++)
        if (strcmp(key_rows[k].object, object->name) == 0 &&
            (strcmp(key_rows[k].key, field->key) == 0 || strcmp(key_rows[k].key, "*") == 0))
            return key_rows[k].block;
    return EVN_BLOCK_UNKNOWN;
}

/* ------------------------------------------------------------------------------------------------ members */

static size_t bytes_of(evn_shape shape)
{
    switch (shape) {
    case EVN_NUMBER:
    case EVN_COUNT:
        return sizeof(double);
    case EVN_FLAG:
        return sizeof(bool);
    case EVN_CHOICE:
        return sizeof(int);
    case EVN_LIST:
        return sizeof(evn_list);
    case EVN_MANY:
        return sizeof(evn_many);
    case EVN_STEPS:
        return sizeof(evn_steps);
    case EVN_FIGURES:
        return sizeof(evn_numbers);
    case EVN_TEXTS:
        return sizeof(evn_text_list);
    case EVN_TEXT:
    case EVN_ONE:
    case EVN_SHEET:
        return sizeof(void *);
    }
    return 0;
}

void evn_block_take(const evn_object *object, void *to, const void *from, evn_cause cause)
{
    for (size_t k = 0; k < object->field_count; k++) {
        const evn_field *field = &object->fields[k];
        if (evn_block_of(object, field) == (int)cause)
            memcpy((char *)to + field->offset, (const char *)from + field->offset, bytes_of(field->shape));
    }
}
