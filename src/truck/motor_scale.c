/*
 * A motor that is like another but for its active length or its turns: field-preserving scaling of electrical machines
 * (textbooks of machine design, from memory). At k times the length, cross-section, field and current density as they
 * are, torque, losses in copper and iron, masses, inertia and the surfaces that give off heat are k times as much, and
 * so is the current; times and speeds stay. With 1/b of the turns the machine is the same to the field: voltage per
 * speed falls and current per torque grows, so that the same voltage lasts to b times the base speed, and the inverter
 * carries b times the current.
 */
#include "truck/truck.h"
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

static const evn_field scale_fields[] = {
    {.key = "torque",
     .shape = EVN_NUMBER,
     .least = 0.1,
     .most = 10,
     .usual_low = 0.5,
     .usual_high = 2,
     .fallback = 1,
     .offset = offsetof(evn_motor_scale_file, torque),
     .source = "field-preserving scaling of electrical machines, from memory",
     .help = "k, active length: torques, powers, losses of motor and inverter at the same speed and share of peak "
             "torque, masses and inertia are k times as stated, thermal resistances 1/k; speeds, time constants and "
             "efficiency stay; of a map torques and losses. End windings are taken to grow too: they do not, so that "
             "a longer motor is better than told and a shorter one worse, at 0.5 and 40 % of the copper in them by "
             "1.4 in copper loss"},
    {.key = "base_speed",
     .shape = EVN_NUMBER,
     .least = 0.1,
     .most = 10,
     .usual_low = 0.5,
     .usual_high = 2,
     .fallback = 1,
     .offset = offsetof(evn_motor_scale_file, base_speed),
     .source = "field-preserving scaling of electrical machines, from memory",
     .help = "b, turns 1/b: peak power, base speed and rated continuous power are b times as stated, and so is the "
             "inverter's current with its losses, mass and cooling; torques, the motor's own losses below base speed, "
             "its mass and top_speed_rpm stay; not with a map, whose losses from base speed on hold for its turns"},
};
const evn_object evn_motor_scale_object = {"motor_scale",
                                           "active length and turns against the motor as stated",
                                           sizeof(evn_motor_scale_file),
                                           scale_fields,
                                           COUNT(scale_fields),
                                           NULL};

static const evn_inverter_file *scaled_inverter(const evn_inverter_file *from, double current, evn_scaled_motor *room)
{
    room->inverter = *from;
    room->inverter.constant_w *= current;
    room->inverter.current_w *= current;
    room->inverter.current_squared_w *= current;
    room->inverter.mass_kg *= current;
    if (from->heat) {
        room->inverter_heat = *from->heat;
        room->inverter_heat.resistance_k_per_kw /= current;
        room->inverter.heat = &room->inverter_heat;
    }
    return &room->inverter;
}

static void scale_losses(const evn_motor_file *from, double k, evn_scaled_motor *room)
{
    if (from->loss) {
        room->loss = *from->loss;
        room->loss.constant_w *= k;
        room->loss.speed_w_per_rad_s *= k;
        room->loss.speed_squared_w_per_rad2_s2 *= k;
        room->loss.torque_squared_w_per_nm2 /= k; /* at k times the torque k times the loss */
        room->motor.loss = &room->loss;
    }
    if (from->map) {
        room->map = *from->map;
        room->map.scale = from->scale;
        room->motor.map = &room->map;
    }
}

static void scale_heat(const evn_motor_file *from, double k, evn_scaled_motor *room)
{
    if (from->winding) {
        room->winding = *from->winding;
        room->winding.resistance_k_per_kw /= k;
        room->motor.winding = &room->winding;
    }
    if (from->housing) {
        room->housing = *from->housing;
        room->housing.resistance_k_per_kw /= k;
        room->motor.housing = &room->housing;
    }
}

const evn_motor_file *evn_motor_scaled(const evn_motor_file *from, evn_scaled_motor *room)
{
    if (!from->scale)
        return from;
    double k = from->scale->torque, b = from->scale->base_speed;
    room->motor = *from;
    room->motor.peak_torque_nm *= k;
    room->motor.peak_power_kw *= k * b;
    room->motor.rotor_inertia_kg_m2 *= k;
    room->motor.mass_kg *= k;
    room->motor.rated_continuous_torque_nm *= k;
    room->motor.rated_continuous_power_kw *= k * b;
    room->motor.inverter = scaled_inverter(from->inverter, k * b, room);
    scale_losses(from, k, room);
    scale_heat(from, k, room);
    return &room->motor;
}
