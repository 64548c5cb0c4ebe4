/*
 * The context of SUNDIALS: compiles with 6.0 and later and with 7.x, whose context, error handler and logger differ.
 * Nothing of SUNDIALS ever prints; the last message is kept.
 */
#include "trip/sundials.h"
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdio.h>
#include <string.h>
#if SUNDIALS_VERSION_MAJOR >= 7
#include <sundials/sundials_logger.h>

static void hear(int line, const char *function, const char *file, const char *message, SUNErrCode code, void *self,
                 SUNContext context)
{
    (void)line, (void)file, (void)context;
    evn_sundials *s = self;
    snprintf(s->said, sizeof s->said, "%s: %s (%d)", function, message ? message : "", (int)code);
}

static bool silence(evn_sundials *s)
{
    SUNLogger logger = NULL;
    if (SUNContext_ClearErrHandlers(s->context) || SUNContext_PushErrHandler(s->context, hear, s))
        return false;
    if (SUNContext_GetLogger(s->context, &logger) || !logger)
        return true;
    return !SUNLogger_SetWarningFilename(logger, "/dev/null") && !SUNLogger_SetErrorFilename(logger, "/dev/null");
}
#define NO_COMMUNICATOR SUN_COMM_NULL
#else
void evn_sundials_hear(int code, const char *module, const char *function, char *message, void *self)
{
    evn_sundials *s = self;
    snprintf(s->said, sizeof s->said, "%s %s: %s (%d)", module, function, message ? message : "", code);
}

static bool silence(evn_sundials *s)
{
    (void)s; /* each integrator has a handler of its own */
    return true;
}
#define NO_COMMUNICATOR NULL
#endif

bool evn_sundials_begin(evn_sundials *s)
{
    s->said[0] = '\0';
    return !SUNContext_Create(NO_COMMUNICATOR, &s->context) && silence(s);
}

/* Summand after summand, from the first on, as the library's own does it. */
static int combine(int count, sunrealtype *factor, N_Vector *of, N_Vector to)
{
    size_t n = (size_t)NV_LENGTH_S(to);
    double *sum = NV_DATA_S(to);
    const double *a = NV_DATA_S(of[0]);
    int next = 1;
    if (count == 1)
        for (size_t k = 0; k < n; k++)
            sum[k] = factor[0] * a[k];
    for (; next < count; next += 2) {
        const double *b = NV_DATA_S(of[next]);
        double first = next == 1 ? factor[0] : 1, second = factor[next];
        if (next + 1 < count) {
            const double *c = NV_DATA_S(of[next + 1]);
            double third = factor[next + 1];
            for (size_t k = 0; k < n; k++)
                sum[k] = first * a[k] + second * b[k] + third * c[k];
        } else {
            for (size_t k = 0; k < n; k++)
                sum[k] = first * a[k] + second * b[k];
        }
        a = sum;
    }
    return 0;
}

static void scale(sunrealtype factor, N_Vector of, N_Vector to)
{
    size_t n = (size_t)NV_LENGTH_S(to);
    const double *from = NV_DATA_S(of);
    double *product = NV_DATA_S(to);
    if (of == to && factor == 1)
        return;
    if (factor == 1)
        memcpy(product, from, n * sizeof *product);
    for (size_t k = 0; k < n && factor != 1; k++)
        product[k] = factor * from[k];
}

static sunrealtype mean_square_root(N_Vector of, N_Vector weight)
{
    size_t n = (size_t)NV_LENGTH_S(of);
    const double *value = NV_DATA_S(of), *with = NV_DATA_S(weight);
    double sum = 0;
    for (size_t k = 0; k < n; k++)
        sum += value[k] * with[k] * (value[k] * with[k]);
    return sqrt(sum / (double)n);
}

N_Vector evn_sundials_vector(const evn_sundials *s, size_t count)
{
    N_Vector v = N_VNew_Serial((sunindextype)count, s->context);
    if (v) { /* what is cloned from it has them, too */
        v->ops->nvlinearcombination = combine;
        v->ops->nvscale = scale;
        v->ops->nvwrmsnorm = mean_square_root;
    }
    return v;
}

void evn_sundials_end(evn_sundials *s)
{
    if (s->context)
        SUNContext_Free(&s->context);
}
