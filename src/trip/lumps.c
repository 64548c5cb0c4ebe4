/* Energy booked in lumps: what a change of setting speeds up or slows down at once. */
#include "trip/lumps.h"
#include "trip/moment.h"
#include <math.h>

/* Charge that accounts for an energy taken at once at the open-circuit voltage: Newton's steps, of which the first is
 * right where the voltage is level, and each next one leaves the square of what was left. */
static double charge_of_as(const evn_pack *p, double soc, double energy_j)
{
    double charge_as = energy_j / evn_curve_at(&p->open_circuit_v, soc);
    for (int step = 0; step < 4; step++) {
        double then = soc - charge_as / p->capacity_as;
        double taken_j = p->capacity_as * evn_curve_integral(&p->open_circuit_v, then, soc);
        charge_as -= (taken_j - energy_j) / evn_curve_at(&p->open_circuit_v, then);
    }
    return charge_as;
}

void evn_take_from_bus(evn_trip *trip, size_t unit, double bus_j)
{
    double soc = evn_trip_soc(trip, trip->y);
    trip->y[evn_states_unit(&trip->states, unit, EVN_U_BUS)] += bus_j;
    trip->y[EVN_Y_TERMINAL] += bus_j;
    trip->y[EVN_Y_DRAWN] += fmax(bus_j, 0);
    trip->y[EVN_Y_CHARGE] += charge_of_as(&trip->rig->pack, soc, bus_j);
}

/*
 * The motors bring their rotors to a new speed: that energy goes to or comes from the pack, less the share that is
 * lost. Booked without the pack's resistance loss. A pack takes no more than it has room for, and nothing where it may
 * not charge: the rest is lost too.
 */
void evn_book_synchronising(evn_trip *trip, size_t unit, double gain_j)
{
    double loss_j = trip->rig->unit[unit].synchronising_loss_share * fabs(gain_j), bus_j = gain_j + loss_j;
    const evn_pack *pack = &trip->rig->pack;
    evn_pack_now now = evn_trip_pack(trip, trip->y);
    evn_pack_able able = evn_pack_at(pack, &now);
    double room_j = fmax(pack->usable_to - now.soc, 0) * pack->capacity_as * able.open_circuit_v;
    double most_j = able.charge_w > 0 ? room_j : 0;
    if (bus_j < -most_j) {
        loss_j -= bus_j + most_j;
        bus_j = -most_j;
    }
    trip->shifting_j[unit] += loss_j;
    evn_take_from_bus(trip, unit, bus_j);
}
