/* Field tables of places.h. */
#include "truck/places.h"
#include "truck/truck.h"
#include <math.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* A height over the line of the wheel centres. */
#define OVER_AXLES(name, place, text)                                                                                  \
    {.key = name,                                                                                                      \
     .shape = EVN_NUMBER,                                                                                              \
     .presence = EVN_REQUIRED,                                                                                         \
     .least = -1.5,                                                                                                    \
     .most = 4,                                                                                                        \
     .offset = place,                                                                                                  \
     .help = text " over the line of the wheel centres; below it negative"}

#define LENGTH(name, lowest, highest, place, text)                                                                     \
    {.key = name,                                                                                                      \
     .shape = EVN_NUMBER,                                                                                              \
     .presence = EVN_REQUIRED,                                                                                         \
     .least = lowest,                                                                                                  \
     .most = highest,                                                                                                  \
     .offset = place,                                                                                                  \
     .help = text}

/* The rows of a box, which several objects have. */
#define BOX_FIELDS(type, behind)                                                                                       \
    {.key = "behind_m",                                                                                                \
     .shape = EVN_NUMBER,                                                                                              \
     .presence = EVN_REQUIRED,                                                                                         \
     .least = -5,                                                                                                      \
     .most = 25,                                                                                                       \
     .offset = offsetof(type, box.behind_m),                                                                           \
     .help = "its middle, behind " behind},                                                                            \
        {.key = "across_m",                                                                                            \
         .shape = EVN_NUMBER,                                                                                          \
         .least = -1.5,                                                                                                \
         .most = 1.5,                                                                                                  \
         .offset = offsetof(type, box.across_m),                                                                       \
         .help = "its middle, to the right of the truck's; to the left negative"},                                     \
        OVER_AXLES("bottom_over_axles_m", offsetof(type, box.bottom_over_axles_m), "its lowest face"),                 \
        LENGTH("length_m", 0.01, 20, offsetof(type, box.length_m), "along the truck"),                                 \
        LENGTH("width_m", 0.01, 3, offsetof(type, box.width_m), "across the truck"),                                   \
        LENGTH("height_m", 0.01, 4, offsetof(type, box.height_m), "upright")

/* ------------------------------------------------------------------------------------------------ drive unit */

static const char *const housed[] = {"motor", "gearbox", "axle_drive", "other", NULL};
static const evn_field unit_housing_fields[] = {
    BOX_FIELDS(evn_unit_housing_file, "the front axle, or behind the axle that it is on"),
    {.key = "on_axle",
     .shape = EVN_COUNT,
     .least = 1,
     .most = 8,
     .fallback = (double)NAN,
     .offset = offsetof(evn_unit_housing_file, on_axle),
     .help = "number of the axle that it goes up and down with, from the front, from 1; not given: it is on the frame"},
    {.key = "holds",
     .shape = EVN_CHOICE,
     .choices = housed,
     .fallback = EVN_HOUSES_OTHER,
     .offset = offsetof(evn_unit_housing_file, holds),
     .help = "what drawings show it as; a propeller shaft begins at the rearmost housing on the frame"},
    EVN_SOURCE_FIELD(evn_unit_housing_file),
};
const evn_object evn_unit_housing_object = {"unit_housing",
                                            "a housing of a drive unit, as the box around it",
                                            sizeof(evn_unit_housing_file),
                                            unit_housing_fields,
                                            COUNT(unit_housing_fields),
                                            NULL};

/* ------------------------------------------------------------------------------------------------ battery */

static const evn_field pack_box_fields[] = {
    BOX_FIELDS(evn_pack_box_file, "the front axle"),
    {.key = "modules",
     .shape = EVN_COUNT,
     .least = 1,
     .most = 1000,
     .fallback = (double)NAN,
     .offset = offsetof(evn_pack_box_file, modules),
     .help = "modules of the battery in it; told, not reckoned with"},
    EVN_SOURCE_FIELD(evn_pack_box_file),
};
const evn_object evn_pack_box_object = {"pack_box",      "a box of the battery", sizeof(evn_pack_box_file),
                                        pack_box_fields, COUNT(pack_box_fields), NULL};

static const char *const stands[] = {"upright", "any_way", NULL};
static const evn_field module_fields[] = {
    LENGTH("length_m", 0.02, 5, offsetof(evn_module_file, length_m), "its longer side, upright"),
    LENGTH("width_m", 0.02, 3, offsetof(evn_module_file, width_m), "its shorter side, upright"),
    LENGTH("height_m", 0.02, 3, offsetof(evn_module_file, height_m), "its height, upright"),
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.1,
     .most = 5000,
     .usual_low = 10,
     .usual_high = 700,
     .offset = offsetof(evn_module_file, mass_kg),
     .help = "with its part of box, brackets, coolant and cables"},
    {.key = "energy_kwh",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.01,
     .most = 1000,
     .usual_low = 1,
     .usual_high = 120,
     .offset = offsetof(evn_module_file, energy_kwh),
     .help = "nominal energy"},
    {.key = "stands",
     .shape = EVN_CHOICE,
     .choices = stands,
     .fallback = EVN_MODULE_UPRIGHT,
     .offset = offsetof(evn_module_file, stands),
     .help = "upright: it may be turned along or across the truck; any_way: it may lie on any side"},
    EVN_SOURCE_FIELD(evn_module_file),
};
const evn_object evn_module_object = {"module",      "a battery module",   sizeof(evn_module_file),
                                      module_fields, COUNT(module_fields), NULL};

/* ------------------------------------------------------------------------------------------------ frame */

static const evn_field bay_fields[] = {
    BOX_FIELDS(evn_bay_file, "the front axle"),
    EVN_SOURCE_FIELD(evn_bay_file),
};
static const evn_object bay_object = {
    "bay", "room on the frame that battery modules may take", sizeof(evn_bay_file), bay_fields, COUNT(bay_fields),
    NULL};

static const evn_field outline_fields[] = {
    {.key = "from_behind_m",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = -5,
     .most = 20,
     .offset = offsetof(evn_outline_file, from_behind_m),
     .help = "its foremost face, behind the front axle; ahead of it negative"},
    LENGTH("length_m", 0.1, 20, offsetof(evn_outline_file, length_m), "along the truck"),
    OVER_AXLES("bottom_over_axles_m", offsetof(evn_outline_file, bottom_over_axles_m), "its lowest edge"),
    LENGTH("height_m", 0.1, 5, offsetof(evn_outline_file, height_m), "upright"),
    LENGTH("width_m", 0.5, 4, offsetof(evn_outline_file, width_m), "across the truck"),
    EVN_SOURCE_FIELD(evn_outline_file),
};
static const evn_object outline_object = {"outline",      "cab or body from outside", sizeof(evn_outline_file),
                                          outline_fields, COUNT(outline_fields),      NULL};

static const char *const body_shapes[] = {"box", "tipping", NULL};
static const evn_field frame_fields[] = {
    OVER_AXLES("rail_top_over_axles_m", offsetof(evn_frame_file, rail_top_over_axles_m), "top of the rails"),
    LENGTH("rail_depth_m", 0.05, 1, offsetof(evn_frame_file, rail_depth_m), "height of a rail"),
    LENGTH("rails_width_m", 0.3, 2.5, offsetof(evn_frame_file, rails_width_m), "over both rails, outside"),
    LENGTH("rail_width_m", 0.02, 0.5, offsetof(evn_frame_file, rail_width_m), "width of a rail"),
    {.key = "from_behind_m",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = -5,
     .most = 5,
     .offset = offsetof(evn_frame_file, from_behind_m),
     .help = "where the rails begin, behind the front axle; ahead of it negative"},
    LENGTH("length_m", 0.5, 25, offsetof(evn_frame_file, length_m), "of the rails"),
    LENGTH("front_overhang_m", 0, 5, offsetof(evn_frame_file, front_overhang_m),
           "from the first axle to what stands out furthest ahead"),
    OVER_AXLES("front_bottom_over_axles_m", offsetof(evn_frame_file, front_bottom_over_axles_m), "lowest edge there"),
    LENGTH("rear_overhang_m", 0, 10, offsetof(evn_frame_file, rear_overhang_m),
           "from the last axle to what stands out furthest behind"),
    OVER_AXLES("rear_bottom_over_axles_m", offsetof(evn_frame_file, rear_bottom_over_axles_m), "lowest edge there"),
    {.key = "bay_gap_m",
     .shape = EVN_NUMBER,
     .most = 0.5,
     .usual_high = 0.1,
     .fallback = 0.03,
     .offset = offsetof(evn_frame_file, bay_gap_m),
     .source = "common practice, no source",
     .help = "kept free in a bay around housings and shafts of drive units"},
    {.key = "bays",
     .shape = EVN_MANY,
     .offset = offsetof(evn_frame_file, bays),
     .of = &bay_object,
     .count_most = 12,
     .help = "by name; a drive unit takes of a bay what its housings and shafts reach into; no two share room"},
    {.key = "cab",
     .shape = EVN_ONE,
     .offset = offsetof(evn_frame_file, cab),
     .of = &outline_object,
     .help = "for drawings; not given: left out of them"},
    {.key = "body",
     .shape = EVN_ONE,
     .offset = offsetof(evn_frame_file, body),
     .of = &outline_object,
     .help = "for drawings; not given: left out of them"},
    {.key = "body_shape",
     .shape = EVN_CHOICE,
     .choices = body_shapes,
     .fallback = EVN_BODY_BOX,
     .offset = offsetof(evn_frame_file, body_shape),
     .help = "what drawings show the body as: a box, or one that tips"},
    EVN_SOURCE_FIELD(evn_frame_file),
};
const evn_object evn_frame_object = {"frame",
                                     "frame of the truck: rails, overhangs, room for modules, outline",
                                     sizeof(evn_frame_file),
                                     frame_fields,
                                     COUNT(frame_fields),
                                     NULL};

static const evn_field trailer_outline_fields[] = {
    LENGTH("ahead_of_kingpin_m", 0, 4, offsetof(evn_trailer_outline_file, ahead_of_kingpin_m),
           "from the kingpin to its front"),
    LENGTH("behind_kingpin_m", 1, 20, offsetof(evn_trailer_outline_file, behind_kingpin_m),
           "from the kingpin to its rear"),
    LENGTH("floor_height_m", 0.2, 3, offsetof(evn_trailer_outline_file, floor_height_m), "lower edge of its body"),
    LENGTH("top_height_m", 0.5, 5, offsetof(evn_trailer_outline_file, top_height_m), "upper edge of its body"),
    LENGTH("width_m", 0.5, 4, offsetof(evn_trailer_outline_file, width_m), "across"),
    EVN_SOURCE_FIELD(evn_trailer_outline_file),
};
const evn_object evn_trailer_outline_object = {"trailer_outline",
                                               "a semitrailer from outside, heights above the road",
                                               sizeof(evn_trailer_outline_file),
                                               trailer_outline_fields,
                                               COUNT(trailer_outline_fields),
                                               NULL};
