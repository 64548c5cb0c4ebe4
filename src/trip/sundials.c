/*
 * The context of SUNDIALS: compiles with 6.0 and later and with 7.x, whose context, error handler and logger differ.
 * Nothing of SUNDIALS ever prints; the last message is kept.
 */
#include "trip/sundials.h"
#include <stdio.h>
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

void evn_sundials_end(evn_sundials *s)
{
    if (s->context)
        SUNContext_Free(&s->context);
}
