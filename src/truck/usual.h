/* How far data of trucks are usually off, where a file says nothing of it: rows of the field tables lead here. */
#ifndef EVENER_TRUCK_USUAL_H
#define EVENER_TRUCK_USUAL_H
#include "core/uncertain.h"

extern const evn_usual_uncertainty evn_usual_rolling, evn_usual_slip, evn_usual_drag_area, evn_usual_body_mass,
    evn_usual_trailer_mass, evn_usual_battery_mass, evn_usual_auxiliaries, evn_usual_take_off,
    evn_usual_battery_resistance, evn_usual_motor_loss, evn_usual_motor_efficiency, evn_usual_map_factor,
    evn_usual_inverter_loss, evn_usual_inverter_efficiency, evn_usual_gearbox_efficiency,
    evn_usual_axle_gear_efficiency, evn_usual_mesh_efficiency, evn_usual_gear_drag, evn_usual_hub_drag,
    evn_usual_shaft_efficiency, evn_usual_joint_friction, evn_usual_bearing_drag, evn_usual_battery_resistance_factor,
    evn_usual_battery_heat_capacity, evn_usual_tyre_cold;

#endif
