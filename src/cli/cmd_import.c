/* evener import: a log of a drive made a cycle. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_import.h"
#include "cli/call.h"
#include "cli/log_options.h"
#include "cli/look_options.h"
#include "show/import_story.h"
#include "show/out_file.h"
#include <errno.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

typedef struct import_args {
    evn_log_args log;
    bool json, digits, force;
    const char *name;
    int over;
    evn_import_how how;
} import_args;

static const char *const over_words[] = {"time", "place", NULL};

static void set_defaults(void *args) { *(import_args *)args = (import_args){.how = evn_import_default()}; }

enum { FILES = 3 };

typedef struct import_run {
    evn_call call;
    const import_args *args;
    evn_import *import;
    char *path[FILES]; /* cycle, speed, grade */
    bool written;
} import_run;

static const char *base_of(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

static bool has_grades(const import_run *run) { return evn_import_cycle_of(run->import)->grades > 0; }

static evn_import_story story_of(const import_run *run)
{
    bool grades = run->import && has_grades(run);
    return (evn_import_story){.import = run->import,
                              .name = run->args->name,
                              .cycle = run->written ? run->path[0] : NULL,
                              .speed = run->path[1],
                              .grade = grades ? run->path[2] : NULL,
                              .speed_table = run->path[1] ? base_of(run->path[1]) : NULL,
                              .grade_table = grades ? base_of(run->path[2]) : NULL};
}

/* ------------------------------------------------------------------------------------------------ files */

/* "drive.yaml": drive-speed.csv and drive-grade.csv stand beside it. */
static bool name_files(import_run *run)
{
    static const char *const ends[FILES] = {".yaml", "-speed.csv", "-grade.csv"};
    const char *given = run->call.operands[1];
    size_t length = strlen(given), stem = length > 5 ? length - 5 : 0;
    if (stem == 0 || strcmp(given + stem, ".yaml") != 0 || given[stem - 1] == '/') {
        evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                       "CYCLE is '%s'; a name that ends in .yaml was expected, beside which its tables will stand",
                       given);
        return false;
    }
    for (size_t k = 0; k < FILES; k++) {
        size_t size = stem + strlen(ends[k]) + 1;
        run->path[k] = malloc(size);
        if (!run->path[k])
            return evn_mishap_no_memory(&run->call.mishap);
        snprintf(run->path[k], size, "%.*s%s", (int)stem, given, ends[k]);
    }
    return true;
}

static bool may_write(import_run *run)
{
    struct stat there;
    for (size_t k = 0; k < FILES && !run->args->force; k++)
        if (lstat(run->path[k], &there) == 0) {
            evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                           "'%s' is there already; another name was expected; --force writes over it", run->path[k]);
            return false;
        }
    return true;
}

static bool spares_log(import_run *run)
{
    for (size_t k = 0; k < FILES; k++)
        if (evn_out_is_file(run->path[k], run->call.operands[0])) {
            evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT,
                           "'%s' would take the place of the log; another name was expected", run->path[k]);
            return false;
        }
    return true;
}

/* False, with a mishap. */
static bool put_file(import_run *run, const evn_import_story *story, size_t which, evn_out_file *file)
{
    if (!evn_out_open(file, run->path[which], &run->call.mishap))
        return false;
    errno = 0;
    bool made = true;
    if (which == 0)
        made = evn_import_yaml(story, file->stream) || evn_mishap_no_memory(&run->call.mishap);
    else if (which == 1)
        evn_import_speed_csv(evn_import_cycle_of(run->import), file->stream);
    else
        evn_import_grade_csv(evn_import_cycle_of(run->import), file->stream);
    if (made && ferror(file->stream) != 0) {
        evn_out_failed(file, &run->call.mishap, errno != 0 ? errno : EIO);
        made = false;
    }
    return made;
}

/* While signals are held: all files or none. */
static void write_files(import_run *run)
{
    evn_out_file file[FILES] = {0};
    evn_import_story story = story_of(run);
    size_t count = has_grades(run) ? 3 : 2;
    bool made = true;
    for (size_t k = 0; k < count; k++)
        made = made && put_file(run, &story, k, &file[k]);
    run->written = made && evn_call_commit(&run->call, (evn_out_file *const[]){&file[1], &file[2], &file[0]}, FILES);
    for (size_t k = 0; k < FILES; k++)
        evn_out_drop(&file[k]);
}

/* ------------------------------------------------------------------------------------------------ the command */

static evn_status work(void *self)
{
    import_run *run = self;
    run->args = run->call.args;
    if (!name_files(run) || !may_write(run) || !spares_log(run))
        return EVN_BAD_INPUT;
    evn_import_how how = run->args->how;
    how.log = evn_log_asked(&run->args->log);
    how.over = run->args->over == 1 ? EVN_OVER_PLACE : EVN_OVER_TIME;
    evn_status status = evn_import_log(run->call.operands[0], &how, &run->import, run->call.report);
    if (status != EVN_DONE)
        return status;
    evn_interrupt_begin(&run->call.interrupt);
    write_files(run);
    evn_interrupt_end(&run->call.interrupt);
    return run->written ? EVN_DONE : EVN_BAD_IO;
}

static bool tell(void *self)
{
    const import_run *run = self;
    evn_import_story story = story_of(run);
    evn_look look = evn_look_with(&run->call.console->out_look, run->args->digits);
    if (run->args->json)
        return evn_import_json(&story, &run->call.findings, run->call.console->out);
    return !run->written || evn_import_text(&story, run->call.console->out, &look);
}

static void forget(void *self)
{
    import_run *run = self;
    evn_import_free(run->import);
    for (size_t k = 0; k < FILES; k++)
        free(run->path[k]);
}

/* ------------------------------------------------------------------------------------------------ tables */

#define NUMBER(text, word, member, low, high, meaning, more)                                                           \
    {.name = (text),                                                                                                   \
     .argument = (word),                                                                                               \
     .kind = EVN_OPTION_NUMBER,                                                                                        \
     .offset = offsetof(import_args, how.member),                                                                      \
     .least = (low),                                                                                                   \
     .most = (high),                                                                                                   \
     .help = (meaning),                                                                                                \
     .facts = (more)}

static const evn_option options[] = {
    EVN_LOG_OPTIONS(import_args, log),
    {.name = "over",
     .argument = "WORD",
     .kind = EVN_OPTION_CHOICE,
     .choices = over_words,
     .offset = offsetof(import_args, over),
     .help = "time: the speed as it was driven; place: speed limits as high as what was driven, and the stops"},
    {.name = "name",
     .argument = "TEXT",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(import_args, name),
     .help = "of the cycle; not given: that of the log's file"},
    NUMBER("from-s", "S", from_s, 0, 1e7, "what is before it is left out, from the log's first time", "0 to 1e7"),
    NUMBER("to-s", "S", to_s, 0, 1e7, "what is behind it likewise; 0: to the end", "0 to 1e7"),
    NUMBER("speed-width-s", "S", speed_width_s, 0.5, 120,
           "waves of speed that are smoothed away; not given: as the log's noise asks for", "0.5 to 120"),
    NUMBER("grade-width-m", "M", grade_width_m, 20, 5000,
           "waves of the road that are smoothed away; not given: as the log's noise asks for", "20 to 5000"),
    NUMBER("gap-s", "S", gap_s, 0.5, 600, "a longer step of time is a gap", NULL),
    NUMBER("bridge-s", "S", bridge_s, 0, 86400, "gaps up to that are bridged by a straight line, others refused", NULL),
    NUMBER("rest-km-h", "KM/H", rest_km_h, 0.1, 10, "below that speed the vehicle stands", NULL),
    NUMBER("rest-s", "S", rest_s, 0.5, 600, "where it is so slow for so long", NULL),
    NUMBER("limit-step-km-h", "KM/H", limit_step_km_h, 1, 50, "limits over place are multiples of that", NULL),
    NUMBER("mass-kg", "KG", mass_kg, 500, 200000, "of the truck on which the effect of smoothing is told", NULL),
    NUMBER("rolling-resistance", "C", rolling_resistance, 0.001, 0.1, "of that truck", NULL),
    NUMBER("drag-area-m2", "M2", drag_area_m2, 0.1, 20, "of that truck", NULL),
    {.name = "force",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(import_args, force),
     .help = "write over files that "
             "are there"},
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(import_args, json),
     .help = "one JSON document, also when the log is refused"},
    EVN_DIGITS_OPTION(import_args, digits),
};

static const evn_operand operands[] = {
    {"LOG",
     "a log of a drive: CSV or GPX 1.1, with time and one of speed, place, or latitude and longitude",
     {EVN_TAKES_FILE, NULL, NULL}},
    {"CYCLE",
     "the cycle to write, NAME.yaml; NAME-speed.csv and NAME-grade.csv will stand beside it",
     {EVN_TAKES_FILE, NULL, NULL}}};

static const char *const notes[] = {
    EVN_LOG_NOTE,
    "Rows that repeat a time or go back are left out and counted; gaps are bridged up to --bridge-s, and however long "
    "they "
    "are where the vehicle stood; speeds and altitudes that stand off all others are left out. Speed and road are "
    "smoothed "
    "by cubic splines, whose widths are chosen by the noise of the log and told. Distances between positions are "
    "geodesics "
    "on WGS 84. The methods and their widths stand in src/log/LOGS.md of the source tree.",
    "Too little smoothing leaves noise that climbs and brakes, too much takes hills away: the work at the wheels of a "
    "truck "
    "of a few figures is told with half the widths and with twice, and the road is known no better than that.",
    "Limits over place are what was driven: traffic, driver, weather and the vehicle of the log are in them, and no "
    "sign at "
    "the road.",
    "The three files are written whole or not at all, and not over others unless --force says so.",
    NULL};

static const char *const examples[] = {"evener import drive.csv drive.yaml",
                                       "evener import drive.gpx drive.yaml --over place --name 'Pass, as driven'",
                                       "evener import LOG CYCLE --column 'speed=v_gps [km/h]' --column 'time=t [s]'",
                                       "evener import LOG CYCLE --from-s 600 --to-s 4200 --grade-width-m 300",
                                       "evener import LOG CYCLE --mapping logger.yaml --json | jq .smoothing",
                                       NULL};

const evn_command evn_command_import = {.name = "import",
                                        .summary = "a log of a drive made a cycle",
                                        .schema = EVN_IMPORT_SCHEMA,
                                        .operands = operands,
                                        .operand_count = 2,
                                        .options = options,
                                        .option_count = sizeof options / sizeof options[0],
                                        .notes = notes,
                                        .examples = examples,
                                        .args_size = sizeof(import_args),
                                        .defaults = set_defaults,
                                        .run_size = sizeof(import_run),
                                        .work = work,
                                        .tell = tell,
                                        .forget = forget};
