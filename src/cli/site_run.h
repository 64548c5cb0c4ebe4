/* What evener site is asked, has read and has found; its parts: what is read, and what is told. */
#ifndef EVENER_CLI_SITE_RUN_H
#define EVENER_CLI_SITE_RUN_H
#include "cli/call.h"
#include "cli/lineup_names.h"
#include "cli/load_options.h"
#include "evener/duty.h"
#include "evener/site.h"
#include "show/out_file.h"
#include "show/site_story.h"

typedef struct evn_site_args {
    evn_load_args load;
    evn_asked asked;
    evn_texts groups;
    bool json, digits, intermodal, all;
    const char *rules;                                 /* NULL: none */
    const char *csv, *page, *cycle, *over;             /* NULL: none */
    double rut_mm, crown_mm, clearance_mm, kwh_per_km; /* NAN: not given */
    int unevenness;                                    /* -1: not given */
    double unevenness_m3, speed_km_h, ride_s, ride_to_hz, seed;
    bool over_time;
} evn_site_args;

/* Energy from the battery per km, as given or driven. */
typedef struct evn_energy_use {
    double kwh_per_km; /* NAN: none */
    char status[48];   /* of the run; "": none, or finished */
    char from[200];    /* where it comes from, or why there is none; "": as given */
} evn_energy_use;

typedef struct evn_site_run {
    evn_call call;
    const evn_site_args *args;
    evn_conditions ask;
    evn_site_ask site_ask;
    size_t count;       /* trucks */
    evn_lineup *lineup; /* that holds them; NULL: trucks by themselves */
    evn_cycle *cycle;   /* the route as asked for; NULL: none */
    evn_duty *legs;     /* likewise the duty over whose legs it rides */
    evn_cycle *driven;  /* that each drives for its energy use; NULL: none, or a duty */
    evn_duty *duty;     /* likewise */
    evn_lineup_names names;
    evn_rules *rules;                          /* NULL: none */
    evn_truck *truck[EVN_SITE_TRUCKS_MOST];    /* of those by themselves */
    const evn_truck *of[EVN_SITE_TRUCKS_MOST]; /* all */
    const char *name[EVN_SITE_TRUCKS_MOST];
    char *title[EVN_SITE_TRUCKS_MOST]; /* NULL: no other bears its short name */
    evn_energy_use use[EVN_SITE_TRUCKS_MOST];
    evn_site *site[EVN_SITE_TRUCKS_MOST];
    evn_out_file csv, page;
} evn_site_run;

/* ---- site_read.c. False: said. */
bool evn_site_arguments_fit(evn_site_run *);
bool evn_site_asks_fit(evn_site_run *);
bool evn_site_load(evn_site_run *);

/* ---- site_told.c */
bool evn_site_all_found(const evn_site_run *);
bool evn_site_tell(void *run);
/* All or none: none where not all was found. `run` is an evn_site_run, as evn_outputs_work wants it. */
void evn_site_write_files(void *run, evn_status found);

#endif
