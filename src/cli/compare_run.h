/* One comparison as the command holds it, and what it writes besides its report. Private to cmd_compare.c and
 * compare_outputs.c. */
#ifndef EVENER_CLI_COMPARE_RUN_H
#define EVENER_CLI_COMPARE_RUN_H
#include "cli/ask_options.h"
#include "cli/call.h"
#include "cli/lineup_names.h"
#include "cli/load_options.h"
#include "evener/traces.h"
#include "show/compare_story.h"
#include "show/csv/day_trace_csv.h"
#include "show/csv/trace_csv.h"
#include "show/day_strip.h"
#include "show/out_file.h"
#include "show/page/html_page.h"
#include "show/plot/plot.h"

typedef struct evn_compare_args {
    evn_load_args load;
    evn_asked asked;
    size_t threads;
    int equal;          /* -1: as the lineup says */
    size_t draws, seed; /* draws 0: not asked for */
    int uncertainty;    /* index into the words of --uncertainty; 0: auto */
    bool json, plot, digits, all_rows, why, seasons;
    const char *cycle, *beside, *uncertain, *csv, *trace_dir, *page; /* NULL: none */
} evn_compare_args;

typedef struct evn_compare_trace { /* of a truck on a basis; written while its run goes on */
    char *path;
    evn_out_file file;
    evn_trace_csv csv;
    const evn_rig *rig; /* NULL: it could not be prepared */
    evn_day_trace *day; /* over a duty: its rows until the day has ended; NULL: over a cycle */
} evn_compare_trace;

typedef struct evn_compare_run {
    evn_call call;
    const evn_compare_args *args;
    evn_conditions ask;
    evn_demands demands;    /* over those of the lineup, what the options say */
    evn_lineup_names names; /* with --cycle: of the trucks on the command line */
    evn_truck **truck;      /* likewise; as many as operands */
    evn_cycle *cycle;
    evn_lineup *lineup;
    evn_comparison *comparison;
    evn_lineup *beside_lineup; /* NULL: none is held beside it; likewise ... */
    evn_comparison *beside_comparison;
    evn_beside *beside;
    evn_uncertainties *uncertain; /* of a file of its own; NULL: none */
    evn_sure_state sure;
    const char *sure_why; /* it was not found; else NULL */
    double uncertainty_work;
    evn_uncertainty *uncertainty, *beside_uncertainty; /* NULL: not found */
    evn_assessment *standing;                          /* NULL: the duty demands nothing that needs it */
    evn_causes *causes, *beside_causes;                /* NULL: not asked why, or not found */
    evn_out_file csv, page;
    bool made_folder;         /* that of --trace-dir was not there before */
    evn_compare_trace *trace; /* truck by truck, own speeds first; NULL without --trace-dir */
    evn_sampler sampler[4];   /* those that were asked for last */
    evn_html_run **over_time; /* of each truck, for the page; NULL without one */
    evn_plot_run **picture;   /* of each truck, for the terminal; NULL without one */
    evn_day_tape **tape;      /* of each truck over a duty, for the terminal and the page; NULL without them */
} evn_compare_run;

/* Opens what is to be written, before anything is driven. False with a mishap; what is open then is to be dropped. */
bool evn_compare_open(evn_compare_run *);
void evn_compare_drop(evn_compare_run *);

/* Who takes rows of a run for what is written and drawn; as evn_compare_how.samplers wants it. */
evn_samplers evn_compare_samplers(void *run, size_t truck, const evn_rig *, evn_basis);
/* The same of a leg or stop; as evn_compare_how.phase_samplers wants it. */
evn_samplers evn_compare_phase_samplers(void *run, size_t truck, const evn_rig *, evn_basis, size_t phase);

/*
 * Behind the runs: traces of those that are whole, CSV file and page, all of them or none. None after an interrupt.
 * What goes wrong is a mishap of the run.
 */
void evn_compare_write(evn_compare_run *, const evn_compare_story *);

/* The pictures for the terminal, where they are asked for: of the ranking, of a run, which stands behind its table in
 * the words, and those behind all words. False when memory is out. */
bool evn_compare_ranked_picture(const void *run, const evn_compare_story *);
bool evn_compare_pictures(const evn_compare_run *, const evn_compare_story *);

void evn_compare_forget_runs(evn_compare_run *);

#endif
