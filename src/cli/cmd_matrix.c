/* evener matrix: a map or loss table in matrix form made a table that files take. */
#define _POSIX_C_SOURCE 200809L
#include "cli/cmd_matrix.h"
#include "cli/call.h"
#include "cli/log_options.h"
#include "cli/look_options.h"
#include "show/matrix_story.h"
#include "show/out_file.h"
#include <errno.h>
#include <math.h>
#include <stddef.h>
#include <string.h>
#include <sys/stat.h>

enum { SHEETS_MOST = 8 };

typedef struct matrix_args {
    const char *values, *across, *down, *sheets;
    double at; /* NAN: not said */
    evn_texts more;
    int separator, decimal;
    size_t header_line;
    bool force, json, digits;
} matrix_args;

static void set_defaults(void *args) { *(matrix_args *)args = (matrix_args){.at = (double)NAN}; }

typedef struct matrix_run {
    evn_call call;
    const matrix_args *args;
    evn_matrix *matrix;
    evn_matrix_sheet sheet[SHEETS_MOST];
    size_t count;
    bool written;
} matrix_run;

static bool usage(matrix_run *run, const char *format, const char *text)
{
    evn_mishap_say(&run->call.mishap, "usage", EVN_BAD_INPUT, format, text);
    return false;
}

/* "750=FILE" of --with. */
static bool take_sheet(matrix_run *run, const char *text)
{
    enum { NUMBER_BYTES = 40 };
    char number[NUMBER_BYTES] = "";
    const char *equals = strchr(text, '=');
    double at;
    if (run->count == SHEETS_MOST)
        return usage(run, "--with '%s' is one too many; at most 8 matrices were expected", text);
    if (!equals || (size_t)(equals - text) >= sizeof number)
        return usage(run, "--with is '%s'; VALUE=FILE was expected, as in 750=map-750.csv", text);
    memcpy(number, text, (size_t)(equals - text));
    if (!evn_number_parse(number, &at))
        return usage(run, "--with is '%s'; VALUE=FILE was expected, as in 750=map-750.csv", text);
    run->sheet[run->count++] = (evn_matrix_sheet){equals + 1, at};
    return true;
}

static bool take_sheets(matrix_run *run)
{
    run->sheet[run->count++] = (evn_matrix_sheet){run->call.operands[0], run->args->at};
    bool fit = true;
    for (size_t k = 0; k < run->args->more.count && fit; k++)
        fit = take_sheet(run, run->args->more.at[k]);
    return fit && (run->count == 1 || !isnan(run->args->at) ||
                   usage(run, "--with and no --at for '%s'; --at was expected, which says what it was measured at",
                         run->call.operands[0]));
}

static bool may_write(matrix_run *run)
{
    struct stat there;
    const char *path = run->call.operands[1];
    for (size_t k = 0; k < run->count; k++)
        if (evn_out_is_file(path, run->sheet[k].path))
            return usage(run, "'%s' would take the place of a matrix; another name was expected", path);
    return run->args->force || lstat(path, &there) != 0 ||
           usage(run, "'%s' is there already; another name was expected; --force writes over it", path);
}

/* While signals are held. */
static void write_table(matrix_run *run)
{
    evn_out_file file = {0};
    if (!evn_out_open(&file, run->call.operands[1], &run->call.mishap))
        return;
    errno = 0;
    evn_matrix_csv(run->matrix, file.stream);
    if (ferror(file.stream) != 0)
        evn_out_failed(&file, &run->call.mishap, errno != 0 ? errno : EIO);
    else
        run->written = evn_call_commit(&run->call, (evn_out_file *const[]){&file}, 1);
    evn_out_drop(&file);
}

static evn_status work(void *self)
{
    matrix_run *run = self;
    const matrix_args *a = run->args = run->call.args;
    if (!a->values)
        usage(run, "no --values for '%s'; what its cells hold was expected, as in --values 'efficiency [%%]'",
              run->call.operands[0]);
    if (!a->values || !take_sheets(run) || !may_write(run))
        return EVN_BAD_INPUT;
    evn_matrix_ask ask = {.across = a->across,
                          .down = a->down,
                          .values = a->values,
                          .sheets = a->sheets,
                          .separator = a->separator > 0 ? evn_log_separator_words[a->separator] : NULL,
                          .decimal = a->decimal > 0 ? evn_log_decimal_words[a->decimal] : NULL,
                          .header_line = (unsigned)a->header_line};
    evn_status status = evn_matrix_read(run->sheet, run->count, &ask, &run->matrix, run->call.report);
    if (status != EVN_DONE)
        return status;
    evn_interrupt_begin(&run->call.interrupt);
    write_table(run);
    evn_interrupt_end(&run->call.interrupt);
    return run->written ? EVN_DONE : EVN_BAD_IO;
}

static bool tell(void *self)
{
    const matrix_run *run = self;
    evn_matrix_story story = {run->matrix, run->written ? run->call.operands[1] : NULL, run->args->values};
    evn_look look = evn_look_with(&run->call.console->out_look, run->args->digits);
    if (run->args->json)
        return evn_matrix_json(&story, &run->call.findings, run->call.console->out);
    return !run->written || evn_matrix_text(&story, run->call.console->out, &look);
}

static void forget(void *self) { evn_matrix_free(((matrix_run *)self)->matrix); }

#define TEXT(text, word, member, meaning, more)                                                                        \
    {.name = (text),                                                                                                   \
     .argument = (word),                                                                                               \
     .kind = EVN_OPTION_TEXT,                                                                                          \
     .offset = offsetof(matrix_args, member),                                                                          \
     .help = (meaning),                                                                                                \
     .facts = (more)}

static const evn_option options[] = {
    TEXT("values", "QUANTITY", values,
         "what the cells hold, with unit: 'efficiency [%]', 'efficiency [1]', 'loss [W]', 'loss [kW]', 'loss [Nm]'; "
         "it must be said",
         NULL),
    TEXT("across", "QUANTITY", across,
         "the axis in the first line: speed in rpm, 1/min or rad/s, or torque in Nm or kNm", "speed [rpm]"),
    TEXT("down", "QUANTITY", down, "the axis in the first cell of each row: the other of the two", "torque [Nm]"),
    TEXT("sheets", "QUANTITY", sheets, "what --at and --with are: 'voltage [V]' or 'oil [degC]'", "voltage [V]"),
    {.name = "at",
     .argument = "VALUE",
     .kind = EVN_OPTION_NUMBER,
     .offset = offsetof(matrix_args, at),
     .least = -60,
     .most = 2000,
     .help = "voltage or oil temperature at which MATRIX was measured"},
    {.name = "with",
     .argument = "VALUE=FILE",
     .kind = EVN_OPTION_TEXTS,
     .offset = offsetof(matrix_args, more),
     .help = "another matrix, of another voltage or oil temperature; up to 7 times"},
    {.name = "separator",
     .argument = "WORD",
     .kind = EVN_OPTION_CHOICE,
     .choices = evn_log_separator_words,
     .offset = offsetof(matrix_args, separator),
     .help = "between the cells"},
    {.name = "decimal",
     .argument = "WORD",
     .kind = EVN_OPTION_CHOICE,
     .choices = evn_log_decimal_words,
     .offset = offsetof(matrix_args, decimal),
     .help = "before the decimals of a number"},
    {.name = "header-line",
     .argument = "N",
     .kind = EVN_OPTION_COUNT,
     .offset = offsetof(matrix_args, header_line),
     .least = 1,
     .most = 1e6,
     .help = "line with the axis across, where lines of another kind stand before it",
     .facts = "from 1"},
    {.name = "force",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(matrix_args, force),
     .help = "write over a file that is there"},
    {.name = "json",
     .kind = EVN_OPTION_FLAG,
     .offset = offsetof(matrix_args, json),
     .help = "one JSON document, also when a matrix is refused"},
    EVN_DIGITS_OPTION(matrix_args, digits),
};

static const evn_operand operands[] = {
    {"MATRIX",
     "a CSV file: one axis across its first line, the other down its first column",
     {EVN_TAKES_FILE, NULL, NULL}},
    {"TABLE",
     "the CSV file to write, which a map or a loss table of a truck takes as its table",
     {EVN_TAKES_FILE, NULL, NULL}}};

static const char *const notes[] = {
    "Separator and decimal mark are found out where they are not said. Cells that are empty, or an efficiency of 0, "
    "are "
    "holes: a map fills them and says so. Torques below 0 are generating; without them a map takes the loss at -T as "
    "that "
    "at T. Speeds below 0 are those of a motor that turns the other way round, and are left out and counted.",
    "An efficiency above 1 where shares were said, or none above 1 where per cent were, is refused: nothing is "
    "guessed.",
    "The table goes into a motor as map: {table: TABLE}. Of losses of gears over speed, torque and oil temperature "
    "'evener "
    "losses' makes a part.",
    NULL};

static const char *const examples[] = {"evener matrix map.csv table.csv --values 'efficiency [%]'",
                                       "evener matrix a.csv table.csv --values 'loss [kW]' --at 600 --with 750=b.csv",
                                       "evener matrix MATRIX TABLE --values 'loss [Nm]' --sheets 'oil [degC]' --at 90",
                                       NULL};

const evn_command evn_command_matrix = {.name = "matrix",
                                        .summary = "a map in matrix form made a table",
                                        .schema = EVN_MATRIX_SCHEMA,
                                        .operands = operands,
                                        .operand_count = 2,
                                        .options = options,
                                        .option_count = sizeof options / sizeof options[0],
                                        .notes = notes,
                                        .examples = examples,
                                        .args_size = sizeof(matrix_args),
                                        .defaults = set_defaults,
                                        .run_size = sizeof(matrix_run),
                                        .work = work,
                                        .tell = tell,
                                        .forget = forget};
