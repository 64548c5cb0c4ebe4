/* COBYLA of NLopt over a function that is asked once for each point, whichever of its values is wanted. */
#include "vary/local.h"
#include <nlopt.h>
#include <string.h>

/* Of the range of each number: the first step, and where it is small enough to stop. */
static const double FIRST_STEP = 0.12, LAST_STEP = 2e-4;

typedef struct work {
    const evn_local *of;
    nlopt_opt opt;
    bool known; /* the next are of x */
    double x[EVN_LOCAL_NUMBERS_MOST];
    double value, broken[EVN_LOCAL_BOUNDS_MOST];
    size_t asked;
} work;

/* False: the search ends. */
static bool ask(work *w, const double *x)
{
    size_t bytes = w->of->numbers * sizeof *x;
    if (w->known && memcmp(w->x, x, bytes) == 0)
        return true;
    memcpy(w->x, x, bytes);
    w->known = w->asked++ < w->of->evaluations && w->of->at(w->of->self, x, &w->value, w->broken);
    if (!w->known)
        nlopt_force_stop(w->opt);
    return w->known;
}

static double objective(unsigned count, const double *x, double *slope, void *self)
{
    work *w = self;
    (void)count;
    (void)slope;
    return ask(w, x) ? w->value : 0;
}

static void constraints(unsigned count, double *out, unsigned numbers, const double *x, double *slope, void *self)
{
    work *w = self;
    bool known = ask(w, x);
    (void)numbers;
    (void)slope;
    for (unsigned k = 0; k < count; k++)
        out[k] = known ? w->broken[k] : 0;
}

void evn_local_search(const evn_local *l, const double *from)
{
    work w = {.of = l, .opt = nlopt_create(NLOPT_LN_COBYLA, (unsigned)l->numbers)};
    double x[EVN_LOCAL_NUMBERS_MOST], least;
    if (!w.opt)
        return;
    memcpy(x, from, l->numbers * sizeof *x);
    nlopt_set_lower_bounds1(w.opt, 0);
    nlopt_set_upper_bounds1(w.opt, 1);
    nlopt_set_min_objective(w.opt, objective, &w);
    if (l->bounds > 0)
        nlopt_add_inequality_mconstraint(w.opt, (unsigned)l->bounds, constraints, &w, NULL);
    nlopt_set_initial_step1(w.opt, FIRST_STEP);
    nlopt_set_xtol_abs1(w.opt, LAST_STEP);
    nlopt_set_maxeval(w.opt, (int)l->evaluations);
    nlopt_optimize(w.opt, x, &least);
    nlopt_destroy(w.opt);
}
