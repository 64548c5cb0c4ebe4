/* What the benchmark prints: one JSON line a figure on standard output. */
#ifndef EVENER_BENCHMARK_FIGURE_H
#define EVENER_BENCHMARK_FIGURE_H

typedef struct evn_figure {
    const char *figure, *unit;
    double value;
    const char *cycle, *driver, *solver; /* NULL where they do not apply */
    double accuracy;                     /* 0: the default, or does not apply */
    double at_most;                      /* target; 0: none, unless `zero` */
    int zero;                            /* the target is none at all */
    const char *end;                     /* how a run ended before the end of its cycle; NULL: it did not */
    double km;                           /* that it came till then */
} evn_figure;

void evn_print_figure(const evn_figure *);

#endif
