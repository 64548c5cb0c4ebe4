/* Searches for zeros and minima of functions of one number. */
#include "core/root.h"
#include <math.h>

evn_root evn_root_secant(evn_error *error, void *self, evn_known from, double guess, const evn_secant *how)
{
    double x0 = from.x, e0 = from.error, x1 = guess;
    evn_root at = {x0, e0, false};
    for (int i = 0; i < how->steps && x1 >= how->least && x1 <= how->most; i++) {
        double e1 = error(self, x1);
        at = (evn_root){x1, e1, fabs(e1) <= how->tolerance + how->tolerance_per_x * fabs(x1)};
        if (at.found || e1 == e0)
            break;
        double next = x1 - e1 * (x1 - x0) / (e1 - e0);
        x0 = x1;
        e0 = e1;
        x1 = next;
    }
    return at;
}

/* Closes in on a zero; *end is left at the end of the last bracket on the side of `low`. */
static evn_root close_in(evn_error *error, void *self, evn_known low, evn_known high, const evn_between *how,
                         double *end)
{
    bool rises = high.error >= 0;
    int stayed = 0; /* above zero: how often the low end has stayed in a row; below: the high end */
    evn_root at = {high.x, high.error, fabs(high.error) <= how->tolerance};
    for (int i = 0; i < how->steps && !at.found; i++) {
        if (fabs(high.x - low.x) <= how->x_tolerance * (fabs(low.x) + fabs(high.x)))
            break;
        at.x = i % 4 == 3 ? 0.5 * (low.x + high.x) : low.x - low.error * (high.x - low.x) / (high.error - low.error);
        at.error = error(self, at.x);
        at.found = fabs(at.error) <= how->tolerance;
        if ((at.error >= 0) == rises) {
            high = (evn_known){at.x, at.error};
            low.error *= stayed > 0 ? 0.5 : 1;
            stayed = 1;
        } else {
            low = (evn_known){at.x, at.error};
            high.error *= stayed < 0 ? 0.5 : 1;
            stayed = -1;
        }
    }
    *end = low.x;
    return at;
}

evn_root evn_root_between(evn_error *error, void *self, evn_known low, evn_known high, const evn_between *how)
{
    double end;
    return close_in(error, self, low, high, how, &end);
}

evn_root evn_root_short_of(evn_error *error, void *self, evn_known kept, evn_known other, const evn_between *how)
{
    double end;
    evn_root at = close_in(error, self, kept, other, how, &end);
    if (at.found || at.x == end)
        return at;
    return (evn_root){end, error(self, end), false};
}

evn_root evn_root_outwards(evn_error *error, void *self, evn_known from, double step, const evn_between *how)
{
    evn_known last = from;
    for (int i = 0; i < how->steps && step != 0; i++) {
        evn_known next = {last.x + step, error(self, last.x + step)};
        if ((next.error >= 0) != (from.error >= 0))
            return evn_root_between(error, self, last, next, how);
        last = next;
        step *= 2;
    }
    return (evn_root){last.x, last.error, false};
}

double evn_root_least(evn_error *f, void *self, double low, double high, double x_tolerance)
{
    const double shorter = 0.5 * (3 - sqrt(5)), width = high - low;
    double a = low + shorter * width, b = high - shorter * width, f_a = f(self, a), f_b = f(self, b);
    while (high - low > x_tolerance * width) {
        if (f_a < f_b) {
            high = b;
            b = a;
            f_b = f_a;
            a = low + shorter * (high - low);
            f_a = f(self, a);
        } else {
            low = a;
            a = b;
            f_a = f_b;
            b = high - shorter * (high - low);
            f_b = f(self, b);
        }
    }
    return 0.5 * (low + high);
}
