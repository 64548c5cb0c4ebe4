/* Figures of the benchmark as JSON lines. */
#include "figure.h"
#include <math.h>
#include <stdio.h>

static void word(const char *key, const char *value)
{
    if (value)
        printf(", \"%s\": \"%s\"", key, value);
}

void evn_print_figure(const evn_figure *f)
{
    int has_target = f->zero || f->at_most > 0, met = f->value <= f->at_most;
    printf("{\"figure\": \"%s\", \"value\": ", f->figure);
    if (isfinite(f->value))
        printf("%.9g", f->value);
    else
        printf("null");
    printf(", \"unit\": \"%s\"", f->unit);
    word("cycle", f->cycle);
    word("driver", f->driver);
    word("solver", f->solver);
    if (f->accuracy > 0)
        printf(", \"accuracy\": %g", f->accuracy);
    if (f->end)
        printf(", \"end\": \"%s\", \"km\": %.6g", f->end, f->km);
    if (has_target)
        printf(", \"at_most\": %g, \"met\": %s", f->at_most, met ? "true" : "false");
    puts("}");
    fflush(stdout);
}
