/* evener losses: measured losses of gears made a part. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_losses.h"
#include "cli/call.h"
#include "cli/look_options.h"
#include "show/losses_story.h"
#include "show/out_file.h"
#include <errno.h>
#include <math.h>
#include <stddef.h>
#include <sys/stat.h>

typedef struct losses_args {
    double ratio; /* NAN: not said */
    int side;
    bool force, json, digits;
} losses_args;

static const char *const sides[] = {"wheel_side", "motor_side", NULL};

static void set_defaults(void *args) { *(losses_args *)args = (losses_args){.ratio = (double)NAN}; }

typedef struct losses_run {
    evn_call call;
    const losses_args *args;
    evn_loss_fit *fit;
    bool written;
} losses_run;

static evn_losses_story story_of(const losses_run *run)
{
    return (evn_losses_story){run->fit, run->call.operands[0], run->written ? run->call.operands[1] : NULL};
}

static bool usage(losses_run *run, const char *format, const char *text)
{
    evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, format, text);
    return false;
}

static bool may_write(losses_run *run)
{
    struct stat there;
    const char *path = run->call.operands[1];
    if (isnan(run->args->ratio))
        return usage(run, "no --ratio for '%s'; motor-side speed over wheel-side speed was expected", path);
    if (evn_out_is_file(path, run->call.operands[0]))
        return usage(run, "'%s' would take the place of the table; another name was expected", path);
    return run->args->force || lstat(path, &there) != 0 ||
           usage(run, "'%s' is there already; another name was expected; --force writes over it", path);
}

/* While signals are held. */
static void write_part(losses_run *run)
{
    evn_out_file file = {0};
    evn_losses_story story = story_of(run);
    if (!evn_out_open(&file, run->call.operands[1], &run->call.mishap))
        return;
    errno = 0;
    evn_losses_yaml(&story, file.stream);
    if (ferror(file.stream) != 0)
        evn_out_failed(&file, &run->call.mishap, errno != 0 ? errno : EIO);
    else
        run->written = evn_call_commit(&run->call, (evn_out_file *const[]){&file}, 1);
    evn_out_drop(&file);
}

static evn_status work(void *self)
{
    losses_run *run = self;
    run->args = run->call.args;
    if (!may_write(run))
        return EVN_BAD_INPUT;
    evn_loss_ask ask = {run->args->ratio, run->args->side == 1};
    evn_status status = evn_loss_fit_table(run->call.operands[0], &ask, &run->fit, run->call.report);
    if (status != EVN_DONE)
        return status;
    evn_interrupt_begin(&run->call.interrupt);
    write_part(run);
    evn_interrupt_end(&run->call.interrupt);
    return run->written ? EVN_DONE : EVN_BAD_IO;
}

static bool tell(void *self)
{
    const losses_run *run = self;
    evn_losses_story story = story_of(run);
    evn_look look = evn_look_with(&run->call.console->out_look, run->args->digits);
    if (run->args->json)
        return evn_losses_json(&story, &run->call.findings, run->call.console->out);
    return !run->written || evn_losses_text(&story, run->call.console->out, &look);
}

static void forget(void *self) { evn_loss_fit_free(((losses_run *)self)->fit); }

static const evn_option options[] = {
    {.name = "ratio",
     .argument = "I",
     .kind = EVN_OPTION_NUMBER,
     .offset = offsetof(losses_args, ratio),
     .least = 0.05,
     .most = 50,
     .help = "motor-side speed over wheel-side speed of what was measured; it must be said",
     .facts = "0.05 to 50"},
    {.name = "side",
     .argument = "WORD",
     .kind = EVN_OPTION_CHOICE,
     .choices = sides,
     .offset = offsetof(losses_args, side),
     .help = "of which shaft speed, torque and loss are"},
    {.name = "force",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(losses_args, force),
     .help = "write over a file that is there"},
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(losses_args, json),
     .help = "one JSON document, also when the table is refused"},
    EVN_DIGITS_OPTION(losses_args, digits),
};

static const evn_operand operands[] = {
    {"TABLE",
     "a CSV file with speed_rpm, torque_nm, one of loss_nm, loss_w, loss_kw, and oil_degc where there are several",
     {EVN_TAKES_FILE, NULL, NULL}},
    {"PART",
     "the YAML file to write, which a path takes as final_drive, mesh or differential: {use: PART}",
     {EVN_TAKES_FILE, NULL, NULL}}};

static const char *const notes[] = {
    "Axles and gearboxes are measured as losses over torque, speed and oil temperature. A part states them as a share "
    "of the "
    "load and a drag over speed that goes with the oil: that law is fitted to the table, and told is how far the table "
    "is "
    "off it, on the whole and where most. A table of which the fit is far off holds losses that no such part has.",
    "'evener matrix' makes such a table of matrices, one of each oil temperature. The method stands in "
    "src/log/LOSSES.md "
    "of the source tree.",
    "Of several oil temperatures the part gets an oil whose factors are the table's; its heat capacity and cooling "
    "stand in no "
    "such table and are the usual ones of a driven axle, to be replaced in the file.",
    NULL};

static const char *const examples[] = {"evener losses axle.csv my-final-drive.yaml --ratio 4.1",
                                       "evener losses TABLE PART --ratio 3.2 --side motor_side --json | jq .off", NULL};

const evn_command evn_command_losses = {.name = "losses",
                                        .summary = "measured losses of gears made a part",
                                        .schema = EVN_LOSSES_SCHEMA,
                                        .operands = operands,
                                        .operand_count = 2,
                                        .options = options,
                                        .option_count = sizeof options / sizeof options[0],
                                        .notes = notes,
                                        .examples = examples,
                                        .args_size = sizeof(losses_args),
                                        .defaults = set_defaults,
                                        .run_size = sizeof(losses_run),
                                        .work = work,
                                        .tell = tell,
                                        .forget = forget};
