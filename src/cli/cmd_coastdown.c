/* evener coastdown: rolling coefficient and drag area out of logs of coast-downs. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_coastdown.h"
#include "cli/call.h"
#include "cli/log_options.h"
#include "cli/look_options.h"
#include "cli/outputs.h"
#include "cli/page_file.h"
#include "show/coastdown_story.h"
#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

enum { BACKS_MOST = 64 };

typedef struct coastdown_args {
    evn_log_args log;
    evn_coastdown_how how;
    bool json, digits, plot, strict;
    const char *back, *csv, *page; /* NULL: not given */
} coastdown_args;

static void set_defaults(void *args) { *(coastdown_args *)args = (coastdown_args){.how = evn_coastdown_how_default()}; }

typedef struct coastdown_run {
    evn_call call;
    const coastdown_args *args;
    evn_log_ask log;
    evn_coastdown_how how;
    size_t back[BACKS_MOST];
    evn_coastdown *coastdown;
    bool found;
    evn_out_file csv, page;
} coastdown_run;

/* ------------------------------------------------------------------------------------------------ arguments */

/* "2,4,6" of --back. False, with a mishap, where it is none. */
static bool backs_fit(coastdown_run *run)
{
    const char *text = run->args->back;
    for (const char *at = text; at; at = strchr(at, ',') ? strchr(at, ',') + 1 : NULL) {
        char *end = NULL;
        unsigned long number = at[0] >= '0' && at[0] <= '9' ? strtoul(at, &end, 10) : 0;
        bool fits = end && (*end == ',' || *end == '\0') && number > 0 && run->how.backs < BACKS_MOST;
        if (!fits) {
            evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                           "--back is '%s'; numbers of runs from 1 with commas between, as '2,4,6', were expected",
                           text);
            return false;
        }
        run->back[run->how.backs++] = (size_t)number;
    }
    run->how.back = text ? run->back : NULL;
    return true;
}

static bool arguments_fit(coastdown_run *run)
{
    const evn_output output[] = {{"--csv", run->args->csv}, {"--page", run->args->page}};
    if (run->args->plot && run->args->json) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "--plot and --json both want standard output; one of them was expected");
        return false;
    }
    if (isnan(run->args->how.mass_kg)) {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "no mass is given; --mass-kg KG was expected, the mass of the whole vehicle as weighed");
        return false;
    }
    return backs_fit(run) &&
           evn_outputs_fit(output, sizeof output / sizeof output[0], run->call.report, &run->call.mishap);
}

/* ------------------------------------------------------------------------------------------------ work */

static evn_coastdown_story story_of(const coastdown_run *run)
{
    return (evn_coastdown_story){.status =
                                     run->found && !evn_mishap_happened(&run->call.mishap) ? "finished" : "failed",
                                 .coastdown = run->coastdown,
                                 .found = run->found,
                                 .how = &run->args->how};
}

static evn_status find(coastdown_run *run)
{
    size_t logs = 0;
    while (run->call.operands[logs])
        logs++;
    evn_status status = evn_coastdown_find(run->call.operands, logs, &run->how, &run->coastdown, run->call.report);
    evn_coastdown_told told;
    run->found = evn_coastdown_told_of(run->coastdown, &told);
    return status;
}

static bool write_page(coastdown_run *run)
{
    evn_coastdown_story story = story_of(run);
    evn_look look = {.utf8 = true};
    json_t *document = evn_coastdown_document(&story);
    char *answer = evn_coastdown_answer(&story, &look), *trust = evn_coastdown_trust(&story);
    evn_html_page page = {.kind = "coastdown",
                          .title = "Road load from coast-downs",
                          .result = document,
                          .answer = answer,
                          .trust = trust,
                          .command = run->call.console->words,
                          .coastdown = &story};
    bool made = document && answer && trust && evn_page_write(&run->page, &page, &run->call.mishap);
    json_decref(document);
    free(answer);
    free(trust);
    return made;
}

static void write_files(coastdown_run *run)
{
    evn_coastdown_story story = story_of(run);
    int error_number = 0;
    if (run->page.stream && !write_page(run))
        return;
    if (run->csv.stream && !evn_coastdown_csv(&story, run->csv.stream, &error_number)) {
        evn_out_failed(&run->csv, &run->call.mishap, error_number);
        return;
    }
    evn_call_commit(&run->call, (evn_out_file *[]){&run->csv, &run->page}, 2);
}

/* Signals are held from before the files are opened until they are ended. */
static evn_status find_and_write(coastdown_run *run)
{
    evn_status status = EVN_BAD_IO;
    evn_interrupt_begin(&run->call.interrupt);
    if ((!run->args->csv || evn_out_open(&run->csv, run->args->csv, &run->call.mishap)) &&
        evn_page_open(&run->page, run->args->page, &run->call.mishap)) {
        status = find(run);
        if (run->found)
            write_files(run);
    }
    evn_out_drop(&run->csv);
    evn_out_drop(&run->page);
    evn_interrupt_end(&run->call.interrupt);
    return status;
}

static evn_status work(void *self)
{
    coastdown_run *run = self;
    run->args = run->call.args;
    run->log = evn_log_asked(&run->args->log);
    run->how = run->args->how;
    run->how.log = &run->log;
    evn_report_be_strict(run->call.report, run->args->strict);
    return arguments_fit(run) ? find_and_write(run) : EVN_BAD_INPUT;
}

static bool tell(void *self)
{
    const coastdown_run *run = self;
    const coastdown_args *args = run->call.args;
    evn_coastdown_story story = story_of(run);
    evn_look look = evn_look_with(&run->call.console->out_look, args->digits);
    if (args->json)
        return evn_coastdown_json(&story, &run->call.findings, run->call.console->out);
    return !run->found || (evn_coastdown_text(&story, run->call.console->out, &look) &&
                           (!args->plot || evn_coastdown_plot(&story, run->call.console->out, &look)));
}

static void forget(void *self) { evn_coastdown_free(((coastdown_run *)self)->coastdown); }

/* ------------------------------------------------------------------------------------------------ tables */

#define NUMBER(key, argument_, member, least_, most_, facts_, help_)                                                   \
    {.name = (key),                                                                                                    \
     .argument = (argument_),                                                                                          \
     .kind = EVN_OPTION_NUMBER,                                                                                        \
     .offset = offsetof(coastdown_args, how.member),                                                                   \
     .least = (least_),                                                                                                \
     .most = (most_),                                                                                                  \
     .help = (help_),                                                                                                  \
     .facts = (facts_)}

static const evn_option options[] = {
    NUMBER("mass-kg", "KG", mass_kg, 500, 500000, "500 to 500000",
           "mass of the whole vehicle, as weighed for the test"),
    NUMBER("tyres", "N", tyres, 2, 64, "2 to 64",
           "tyres on the road, each of which turns as 56.7 kg more would (40 CFR 1066.310)"),
    NUMBER("rotating-mass-kg", "KG", rotating_kg, 0, 50000, "0 to 50000",
           "what turns with the wheels, as mass on top; not given: that of the tyres"),
    NUMBER("from-km-h", "KM/H", from_km_h, 20, 200, "20 to 200",
           "samples above count not; not given: each run from where it begins to roll"),
    NUMBER("to-km-h", "KM/H", to_km_h, 1, 150, "15; 1 to 150", "samples below count not"),
    NUMBER("band-km-h", "KM/H", band_km_h, 1, 30, "5; 1 to 30", "width of the bands of speed of the regression"),
    NUMBER("grade-percent", "PERCENT", grade_percent, -10, 10, "-10 to 10",
           "grade of the road in the direction of the first run; not given: of the logs, by grade or altitude"),
    NUMBER("headwind-m-s", "M/S", headwind_m_s, -20, 20, "-20 to 20",
           "wind along the road against the first run; not given: as measured, else found"),
    NUMBER("air-density-kg-m3", "KG/M3", air_density_kg_m3, 0.5, 2, "0.5 to 2",
           "not given: of the logs, else of the standard atmosphere at altitude and temperature"),
    NUMBER("altitude-m", "M", altitude_m, -500, 9000, "-500 to 9000",
           "for the air density; not given: of the logs, else 0"),
    NUMBER("temperature-degc", "DEGC", temperature_degc, -60, 60, "-60 to 60",
           "of the air, for its density; not given: of the logs, else of the standard atmosphere"),
    NUMBER("gravity-m-s2", "M/S2", gravity_m_s2, 9.7, 9.9, "9.80665; 9.7 to 9.9", "at the place of the test"),
    {.name = "rolling-with-speed",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(coastdown_args, how.with_speed),
     .help = "the fit looks for a part of rolling resistance that grows with speed too"},
    {.name = "back",
     .argument = "A,B,C",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(coastdown_args, back),
     .help = "numbers of the runs that go against the first; not given: by heading or place in the logs"},
    EVN_LOG_OPTIONS(coastdown_args, log),
    {.name = "strict",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(coastdown_args, strict),
     .help = "warnings are errors: a run that is left out, a row of a log that does not do"},
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(coastdown_args, json),
     .help = "one JSON document, also when something fails"},
    {.name = "csv",
     .argument = "FILE.csv",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(coastdown_args, csv),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "a line for each band of speed of each run: speed, force, force of the fit, what is left"},
    {.name = "page",
     .argument = "FILE.html",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(coastdown_args, page),
     .takes = {EVN_TAKES_FILE, NULL, NULL},
     .help = "a page with all of it, forces and what is left as charts"},
    {.name = "plot",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(coastdown_args, plot),
     .help = "what is left of the forces over speed, as a picture in the terminal"},
    EVN_DIGITS_OPTION(coastdown_args, digits),
};

static const evn_operand operands[] = {
    {"LOG",
     "logs of coast-downs (CSV) with time and speed; one file may hold many runs, and what lies between them",
     {EVN_TAKES_FILE, NULL, NULL}}};

static const char *const notes[] = {
    "A run is found where speed falls by 30 km/h or more without rising between; it ends at --to-km-h, or where a "
    "column "
    "of the brake says so. Runs are paired, one out and one back. Direction comes from a column of heading, from "
    "latitude and longitude, or from --back; grade from a column of grade, else from the slope of the altitude over "
    "400 m; wind from a column of air speed, or of wind speed and the direction it comes from. Wind that nothing "
    "measured "
    "is found by the fit, from runs both ways. Air density comes from its own column, from pressure and temperature, "
    "or "
    "from the standard atmosphere.",
    "Left out with the reason: a run with a gap in the log, one that brakes before it is 30 km/h slower, one on "
    "another "
    "road, one in wind beyond 16 km/h on average, 20 in gusts or 8 across (SAE J1263, from memory), one that a brake, "
    "a "
    "pull or a gust shows in, one that is far off the others, and one without a partner.",
    "Two ways lead to the coefficients. The regression puts a straight line through the forces of bands of speed over "
    "the squares of speed, as 40 CFR 1066.310(b) does; the fit finds what makes the equations of motion follow the "
    "speeds best. Intervals are of 95 % and tell the scatter between pairs, of which three or more are needed.",
    "Coasting a truck on a road, out of gear and with motors off, can take steering and braking help away: whether and "
    "where it may be done is for local regulation and licensed practice to decide.",
    EVN_PAGE_NOTE,
    NULL};

static const char *const examples[] = {"evener coastdown coasting.csv --mass-kg 36000 --tyres 18",
                                       "evener coastdown out.csv back.csv --mass-kg 36000 --tyres 18 --back 2,4,6",
                                       "evener coastdown coasting.csv --mass-kg 36000 --tyres 18 --plot",
                                       "evener coastdown LOG --mass-kg KG --column 'speed=v_gps [km/h]'",
                                       "evener coastdown LOG --mass-kg KG --json | jq .fit.drag_area_m2",
                                       NULL};

const evn_command evn_command_coastdown = {.name = "coastdown",
                                           .summary = "rolling coefficient and drag area out of logs of coast-downs",
                                           .schema = EVN_COASTDOWN_SCHEMA,
                                           .operands = operands,
                                           .operand_count = 1,
                                           .operands_many = true,
                                           .options = options,
                                           .option_count = sizeof options / sizeof options[0],
                                           .notes = notes,
                                           .examples = examples,
                                           .args_size = sizeof(coastdown_args),
                                           .defaults = set_defaults,
                                           .run_size = sizeof(coastdown_run),
                                           .work = work,
                                           .tell = tell,
                                           .forget = forget};
