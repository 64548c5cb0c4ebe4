/* How far a loss map can be trusted: its points against the law of losses, and the steps between them. */
#include "truck/map.h"
#include <math.h>

static double mean_of(const double *loss_w, size_t cells)
{
    double sum = 0;
    size_t measured = 0;
    for (size_t k = 0; k < cells; k++)
        if (!isnan(loss_w[k])) {
            sum += loss_w[k];
            measured++;
        }
    return measured ? sum / (double)measured : 0;
}

void evn_map_judge_cells(evn_map_quality *q, const evn_map_fit *fit, const evn_map_points *p, const double *loss_w)
{
    size_t cells = p->speeds * p->torques;
    double least_w = 0.1 * mean_of(loss_w, cells), unused;
    for (size_t k = 0; k < cells; k++) {
        if (isnan(loss_w[k]))
            continue;
        double nm = p->torque_nm[k % p->torques], w = p->speed_rad_s[k / p->torques];
        double off = fabs(loss_w[k] - evn_map_fit_w(fit, nm, w, &unused)) / fmax(loss_w[k], least_w);
        q->points++;
        if (off > q->farthest) {
            q->farthest = off;
            q->farthest_nm = nm;
            q->farthest_rad_s = w;
        }
    }
}

/* The widest step of an axis within what the motor reaches, and where it begins. */
static double widest(const double *x, size_t count, double reach, double *after)
{
    double step = 0;
    for (size_t k = 0; k + 1 < count; k++) {
        double within = fmin(x[k + 1], reach) - fmax(x[k], -reach);
        if (within > step) {
            step = within;
            *after = x[k];
        }
    }
    return step;
}

void evn_map_judge_axes(evn_map_quality *q, const evn_map_points *p, const evn_map_machine *machine)
{
    q->step_rad_s = widest(p->speed_rad_s, p->speeds, machine->top_rad_s, &q->after_rad_s);
    q->step_nm = widest(p->torque_nm, p->torques, machine->peak_nm, &q->after_nm);
}
