/* A truck over a duty: reads it, drives it, writes the table of legs and the trace, tells and draws it. */
#define _POSIX_C_SOURCE 200809L
#include "cli/drive_day.h"
#include "cli/look_options.h"
#include "cli/outputs.h"
#include "cli/page_file.h"
#include "show/day_story.h"
#include "show/document.h"
#include "show/plot/plot.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static evn_day_story story_of(const evn_call *call, const evn_drive_day *d)
{
    evn_day_season worst = {.status = "failed"};
    evn_day_season_at(d->day, evn_day_worst_season(d->day), &worst);
    return (evn_day_story){.status = evn_mishap_happened(&call->mishap) ? "failed" : worst.status,
                           .truck = evn_truck_name(d->truck),
                           .truck_invented = evn_truck_invented(d->truck),
                           .duty = evn_duty_name(d->duty),
                           .duty_source = evn_duty_source(d->duty),
                           .driven = d->duty,
                           .working_days_per_year = evn_duty_working_days_per_year(d->duty),
                           .ask = d->ask,
                           .day = d->day};
}

static bool traces_to_out(const evn_drive_day *d) { return d->trace && strcmp(d->trace, "-") == 0; }

/* ------------------------------------------------------------------------------------------------ rows of the day */

typedef struct day_call { /* what the library's calls bring back */
    evn_call *call;
    evn_drive_day *day;
} day_call;

static bool go_on(void *self, double done_share) { return evn_call_go_on(((day_call *)self)->call, done_share); }

/* One whose room could not be made takes no rows. */
static size_t add_if_made(day_call *is, evn_sampler who, size_t count)
{
    is->day->sampler[count] = who;
    if (who.self)
        return count + 1;
    evn_mishap_no_memory(&is->call->mishap);
    return count;
}

static evn_sampler page_sampler(const evn_drive_day *d, size_t season, const evn_rig *rig)
{
    if (!d->over_time[season])
        d->over_time[season] = evn_html_run_new(rig, EVN_HTML_OF_DAY);
    return d->over_time[season] ? evn_html_run_of_day(d->over_time[season], d->ask.driving.trace_interval_s)
                                : (evn_sampler){0};
}

/* Rows come for each leg and stop in their order. */
static evn_samplers samplers(void *self, size_t season, const evn_rig *rig, size_t phase)
{
    day_call *is = self;
    evn_drive_day *d = is->day;
    size_t count = 0;
    (void)phase;
    if (d->tape)
        count = add_if_made(is, evn_day_tape_next(d->tape[season], rig), count);
    if (d->rows)
        count = add_if_made(is, evn_day_trace_next(d->rows, season, rig, d->ask.driving.trace_interval_s), count);
    if (d->over_time)
        count = add_if_made(is, page_sampler(d, season, rig), count);
    return (evn_samplers){d->sampler, count};
}

/* Charges for picture and page, and what else the page draws. False when memory is out. */
static bool begin_drawing(evn_drive_day *d, size_t seasons)
{
    bool draws = d->plot || d->page, room = true;
    d->tape = draws ? calloc(seasons, sizeof(evn_day_tape *)) : NULL;
    d->over_time = d->page ? calloc(seasons, sizeof(evn_html_run *)) : NULL;
    room = (!draws || d->tape) && (!d->page || d->over_time);
    for (size_t k = 0; room && draws && k < seasons; k++) {
        d->tape[k] = evn_day_tape_new();
        room = d->tape[k];
    }
    return room;
}

/* Room for the rows that are drawn or written. */
static bool begin_rows(evn_call *call, evn_drive_day *d)
{
    size_t seasons = evn_duty_season_count(d->duty);
    int error_number = 0;
    if (!begin_drawing(d, seasons))
        return evn_mishap_no_memory(&call->mishap);
    if (d->trace)
        d->rows = evn_day_trace_new(seasons, &error_number);
    if (!d->trace || d->rows)
        return true;
    evn_mishap_say(&call->mishap, "cannot_write", EVN_BAD_IO, "cannot keep the rows of the day until it has ended: %s",
                   strerror(error_number));
    return false;
}

/* ------------------------------------------------------------------------------------------------ files */

/* False, with a mishap, where it cannot be written. */
static bool write_csv(evn_call *call, const evn_drive_day *d, evn_out_file *file)
{
    evn_day_story story = story_of(call, d);
    int error_number = 0;
    if (evn_day_csv(&story, file->stream, &error_number))
        return true;
    evn_out_failed(file, &call->mishap, error_number);
    return false;
}

static bool write_trace(evn_call *call, const evn_drive_day *d, evn_out_file *file)
{
    FILE *to = file->stream ? file->stream : call->console->out;
    size_t seasons = evn_duty_season_count(d->duty);
    evn_day_strip *day = calloc(seasons, sizeof *day);
    int error_number = 0;
    bool room = day;
    for (size_t k = 0; room && k < seasons; k++)
        room = evn_day_strip_of(&day[k], d->day, k, NULL);
    bool made = room && evn_day_trace_csv(d->rows, day, to, &error_number);
    for (size_t k = 0; day && k < seasons; k++)
        evn_day_strip_end(&day[k]);
    free(day);
    if (!room)
        return evn_mishap_no_memory(&call->mishap);
    if (made)
        return true;
    if (file->stream)
        evn_out_failed(file, &call->mishap, error_number);
    else
        evn_mishap_say(&call->mishap, "cannot_write", EVN_BAD_IO, "cannot write standard output: %s",
                       strerror(error_number));
    return false;
}

/* ------------------------------------------------------------------------------------------------ the page */

/* Answer and trust as lines, to be freed. False when memory is out. */
static bool lines_of(const evn_day_story *story, const evn_findings *findings, char **answer, char **trust)
{
    size_t bytes = 0;
    FILE *to = open_memstream(answer, &bytes);
    bool made = to && evn_day_answer_lines(story, findings, to);
    made = to && fclose(to) == 0 && made;
    to = open_memstream(trust, &bytes);
    made = to && evn_day_trust_lines(story, to) && made;
    return to && fclose(to) == 0 && made;
}

static char *title_of(const evn_drive_day *d)
{
    const char *truck = evn_truck_name(d->truck), *duty = evn_duty_name(d->duty);
    size_t bytes = strlen(truck) + strlen(duty) + sizeof " over ";
    char *title = malloc(bytes);
    if (title)
        snprintf(title, bytes, "%s over %s", truck, duty);
    return title;
}

/* Of the season that leaves the least reserve; its strip is there. */
static bool fill_page(evn_call *call, const evn_drive_day *d, evn_day_strip *strip, evn_out_file *file)
{
    size_t worst = evn_day_worst_season(d->day);
    evn_day_story story = story_of(call, d);
    char hash[EVN_HASH_BYTES], *answer = NULL, *trust = NULL, *title = title_of(d);
    const char *title_name = evn_truck_short_name(d->truck);
    json_t *result = evn_day_document(&story);
    evn_duty_hash(d->duty, hash);
    evn_html_truck truck = {.name = d->name,
                            .title = title_name ? title_name : d->name,
                            .truck = d->truck,
                            .rig = evn_day_rig(d->day, worst),
                            .run = d->over_time[worst],
                            .results = strip->season.results};
    evn_html_day day = {evn_duty_name(d->duty), evn_duty_source(d->duty), strip->season.name, hash, &story, strip, 1};
    evn_html_page page = {.kind = "day",
                          .title = title,
                          .result = result,
                          .day = &day,
                          .truck = &truck,
                          .truck_count = 1,
                          .command = call->console->words};
    evn_findings findings = {0};
    evn_findings_add_report(&findings, call->report);
    bool made =
        title && result && lines_of(&story, &findings, &answer, &trust) && evn_document_findings(result, &findings);
    page.answer = answer;
    page.trust = trust;
    made = made ? evn_page_write(file, &page, &call->mishap) : evn_mishap_no_memory(&call->mishap);
    json_decref(result);
    free(answer);
    free(trust);
    free(title);
    return made;
}

static bool write_page(evn_call *call, const evn_drive_day *d, evn_out_file *file)
{
    evn_day_strip strip;
    size_t season = evn_day_worst_season(d->day);
    bool made = evn_day_strip_of(&strip, d->day, season, d->tape[season]);
    made = made ? fill_page(call, d, &strip, file) : evn_mishap_no_memory(&call->mishap);
    evn_day_strip_end(&strip);
    return made;
}

/* ------------------------------------------------------------------------------------------------ all of them */

enum { CSV, TRACE, PAGE, FILES };

/* A day that was interrupted leaves its rows under another name. */
static void keep_partial(evn_call *call, const evn_drive_day *d, evn_out_file *trace)
{
    if (!trace->stream || !write_trace(call, d, trace) || !evn_out_keep_partial(trace, &call->mishap))
        return;
    fputs("evener: the day ended early; the trace up to there is kept in '", call->console->err);
    evn_put_safe(call->console->err, d->trace);
    fputs(".partial'\n", call->console->err);
}

static void write_files(evn_call *call, const evn_drive_day *d, evn_status status, evn_out_file file[FILES])
{
    if (!d->day || evn_mishap_happened(&call->mishap))
        return;
    if (status == EVN_NO_RESULT)
        keep_partial(call, d, &file[TRACE]);
    else if ((!file[CSV].stream || write_csv(call, d, &file[CSV])) &&
             (!d->rows || write_trace(call, d, &file[TRACE])) &&
             (!file[PAGE].stream || write_page(call, d, &file[PAGE])))
        evn_call_commit(call, (evn_out_file *const[]){&file[CSV], &file[TRACE], &file[PAGE]}, FILES);
}

/* ------------------------------------------------------------------------------------------------ the work */

static evn_status drive(evn_call *call, evn_drive_day *d)
{
    day_call self = {call, d};
    evn_day_how how = {.self = &self, .go_on = go_on, .samplers = samplers};
    call->progress = evn_progress_begin(call->console, "the day");
    evn_status status = evn_drive_duty(d->truck, d->duty, &d->ask, &how, &d->day, call->report);
    evn_progress_end(&call->progress);
    return status;
}

static evn_status drive_and_write(evn_call *call, evn_drive_day *d)
{
    evn_out_file file[FILES] = {{0}};
    evn_status status = EVN_BAD_IO;
    evn_interrupt_begin(&call->interrupt);
    if ((!d->csv || evn_out_open(&file[CSV], d->csv, &call->mishap)) &&
        (!d->trace || traces_to_out(d) || evn_out_open(&file[TRACE], d->trace, &call->mishap)) &&
        evn_page_open(&file[PAGE], d->page, &call->mishap) && begin_rows(call, d)) {
        status = drive(call, d);
        write_files(call, d, status, file);
    }
    for (size_t k = 0; k < FILES; k++)
        evn_out_drop(&file[k]);
    evn_interrupt_end(&call->interrupt);
    return status;
}

evn_status evn_drive_day_work(evn_call *call, evn_drive_day *d, const evn_load_args *load)
{
    evn_load how = evn_load_of(load);
    evn_rig *rig = NULL;
    const evn_output output[] = {{.option = "--csv", .path = d->csv},
                                 {.option = "--trace", .path = traces_to_out(d) ? NULL : d->trace},
                                 {.option = "--page", .path = d->page}};
    if (evn_duty_load_with(call->operands[1], &how, &d->duty, call->report) != EVN_DONE || !d->truck ||
        evn_rig_prepare(d->truck, &d->ask.load_case, &rig, call->report) != EVN_DONE)
        return evn_report_status(call->report);
    evn_rig_free(rig); /* it can be made; seasons have their own */
    if (!evn_outputs_fit(output, sizeof output / sizeof *output, call->report, &call->mishap))
        return EVN_BAD_INPUT;
    return drive_and_write(call, d);
}

/* ------------------------------------------------------------------------------------------------ telling it */

/* Of the season that is told leg by leg. False when memory is out. */
static bool draw(const evn_drive_day *d, FILE *to, const evn_look *look)
{
    evn_day_strip strip;
    size_t season = evn_day_worst_season(d->day);
    bool made = evn_day_strip_of(&strip, d->day, season, d->tape[season]);
    evn_plot_truck truck = {NULL, NULL, strip.season.results, false};
    made = made && evn_plot_day(&strip, 1, strip.season.name, to, look) && evn_plot_balance(&truck, 1, to, look);
    evn_day_strip_end(&strip);
    return made;
}

/* A trace on standard output has it to itself. */
bool evn_drive_day_tell(const evn_call *call, const evn_drive_day *d, bool digits)
{
    const evn_console *console = call->console;
    evn_day_story story = story_of(call, d);
    FILE *to = traces_to_out(d) ? console->err : console->out;
    evn_look look = evn_look_with(traces_to_out(d) ? &console->err_look : &console->out_look, digits);
    if (call->json)
        return evn_day_json(&story, &call->findings, console->out);
    return !d->day || (evn_day_text(&story, &call->findings, to, &look) && (!d->plot || draw(d, to, &look)));
}

void evn_drive_day_forget(evn_drive_day *d)
{
    for (size_t k = 0; d->tape && k < evn_duty_season_count(d->duty); k++)
        evn_day_tape_free(d->tape[k]);
    for (size_t k = 0; d->over_time && k < evn_duty_season_count(d->duty); k++)
        evn_html_run_free(d->over_time[k]);
    free(d->tape);
    free(d->over_time);
    evn_day_trace_free(d->rows);
    evn_day_free(d->day);
    evn_duty_free(d->duty);
}
