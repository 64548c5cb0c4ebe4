/* Figures of the benchmark, for programs and in words. */
#include "figure.h"
#include <math.h>
#include <stdio.h>

static void word(const char *key, const char *value)
{
    if (value)
        printf(", \"%s\": \"%s\"", key, value);
}

static void in_words(const evn_figure *f, int has_target, int met)
{
    fprintf(stderr, "%-20s %-6s %-9s %-36s %12.6g %-4s", f->cycle ? f->cycle : "", f->driver ? f->driver : "",
            f->solver ? f->solver : "", f->figure, f->value, f->unit);
    if (f->accuracy > 0)
        fprintf(stderr, "  at accuracy %g", f->accuracy);
    if (has_target)
        fprintf(stderr, "  %s: at most %g", met ? "met" : "MISSED", f->at_most);
    fputc('\n', stderr);
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
    if (has_target)
        printf(", \"at_most\": %g, \"met\": %s", f->at_most, met ? "true" : "false");
    puts("}");
    fflush(stdout);
    in_words(f, has_target, met);
}
