/*
 * Where things sit: boxes on the frame and on axles, room for battery modules, and the outline of the truck. Nothing
 * that drives asks for any of it; clearance, packaging and the drawing do.
 *
 * Heights of what is on the frame or on an axle are stated over the line of the wheel centres, below it negative: so
 * that a larger tyre lifts all of it, and a load that flattens the tyres lowers it.
 */
#ifndef EVENER_TRUCK_PLACES_H
#define EVENER_TRUCK_PLACES_H
#include "core/field.h"

/* A box whose edges lie along, across and upright. */
typedef struct evn_box_file {
    double behind_m, across_m, bottom_over_axles_m; /* of its centre, but for the height: that of its lowest face */
    double length_m, width_m, height_m;
} evn_box_file;

/* What a housing holds, for the drawing. */
typedef enum evn_housed { EVN_HOUSES_MOTOR, EVN_HOUSES_GEARBOX, EVN_HOUSES_AXLE_DRIVE, EVN_HOUSES_OTHER } evn_housed;

/* A housing of a drive unit; of one that is on an axle, behind_m counts from that axle. */
typedef struct evn_unit_housing_file {
    evn_box_file box;
    double on_axle; /* its number; NAN: on the frame */
    int holds;      /* evn_housed */
    const char *source;
} evn_unit_housing_file;

typedef struct evn_pack_box_file {
    evn_box_file box;
    double modules; /* of the battery; NAN: not given */
    const char *source;
} evn_pack_box_file;

/* A battery module with its part of box, brackets and cables. */
typedef enum evn_module_stands { EVN_MODULE_UPRIGHT, EVN_MODULE_ANY_WAY } evn_module_stands;
typedef struct evn_module_file {
    double length_m, width_m, height_m, mass_kg, energy_kwh;
    int stands; /* evn_module_stands */
    const char *source;
} evn_module_file;

typedef struct evn_bay_file {
    evn_box_file box;
    const char *source;
} evn_bay_file;

/* Seen from the side: cab or body. */
typedef struct evn_outline_file {
    double from_behind_m, length_m, bottom_over_axles_m, height_m, width_m;
    const char *source;
} evn_outline_file;

typedef enum evn_body_shape { EVN_BODY_BOX, EVN_BODY_TIPPING } evn_body_shape;

typedef struct evn_frame_file {
    double rail_top_over_axles_m, rail_depth_m, rails_width_m, rail_width_m; /* rails_width_m: over both rails */
    double from_behind_m, length_m;                                          /* of the rails */
    double front_overhang_m, front_bottom_over_axles_m; /* ahead of the first axle, and the lowest edge there */
    double rear_overhang_m, rear_bottom_over_axles_m;   /* behind the last axle, likewise */
    double bay_gap_m;                                   /* kept free between modules and what takes room of a bay */
    evn_many bays;                                      /* evn_bay_file */
    const evn_outline_file *cab, *body;                 /* NULL: not drawn */
    int body_shape;                                     /* evn_body_shape */
    const char *source;
} evn_frame_file;

/* A semitrailer seen from the side; heights above the road, on its own tyres. */
typedef struct evn_trailer_outline_file {
    double ahead_of_kingpin_m, behind_kingpin_m, floor_height_m, top_height_m, width_m;
    const char *source;
} evn_trailer_outline_file;

extern const evn_object evn_unit_housing_object, evn_pack_box_object, evn_module_object, evn_frame_object,
    evn_trailer_outline_object;

#endif
