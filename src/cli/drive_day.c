/* A truck over a duty: reads it, drives it, writes the table of legs, tells it. */
#define _POSIX_C_SOURCE 200809L
#include "cli/drive_day.h"
#include "cli/look_options.h"
#include "cli/outputs.h"
#include "show/day_story.h"
#include <math.h>

static evn_day_story story_of(const evn_call *call, const evn_drive_day *d, const evn_truck *truck,
                              const evn_conditions *ask)
{
    evn_day_season worst = {.status = "failed"};
    evn_day_season_at(d->day, evn_day_worst_season(d->day), &worst);
    return (evn_day_story){.status = evn_mishap_happened(&call->mishap) ? "failed" : worst.status,
                           .truck = evn_truck_name(truck),
                           .truck_invented = evn_truck_invented(truck),
                           .duty = evn_duty_name(d->duty),
                           .duty_source = evn_duty_source(d->duty),
                           .working_days_per_year = evn_duty_working_days_per_year(d->duty),
                           .ask = *ask,
                           .day = d->day};
}

/* False, with a mishap, where it cannot be written. */
static bool write_csv(evn_call *call, const evn_drive_day *d, const evn_truck *truck, const evn_conditions *ask,
                      evn_out_file *file)
{
    evn_day_story story = story_of(call, d, truck, ask);
    int error_number = 0;
    if (evn_day_csv(&story, file->stream, &error_number))
        return evn_call_commit(call, &(evn_out_file *){file}, 1);
    evn_out_failed(file, &call->mishap, error_number);
    return false;
}

static evn_status drive(evn_call *call, evn_drive_day *d, const evn_truck *truck, const evn_conditions *ask)
{
    evn_day_how how = {.self = call, .go_on = evn_call_go_on};
    call->progress = evn_progress_begin(call->console, "the day");
    evn_status status = evn_drive_duty(truck, d->duty, ask, &how, &d->day, call->report);
    evn_progress_end(&call->progress);
    return status;
}

static evn_status drive_and_write(evn_call *call, evn_drive_day *d, const evn_truck *truck, const evn_conditions *ask)
{
    evn_out_file file = {0};
    evn_status status = EVN_BAD_IO;
    evn_interrupt_begin(&call->interrupt);
    if (!d->csv || evn_out_open(&file, d->csv, &call->mishap)) {
        status = drive(call, d, truck, ask);
        if (file.stream && d->day && status != EVN_NO_RESULT)
            write_csv(call, d, truck, ask, &file);
    }
    evn_out_drop(&file);
    evn_interrupt_end(&call->interrupt);
    return status;
}

evn_status evn_drive_day_work(evn_call *call, evn_drive_day *d, const evn_truck *truck, const evn_load_args *load,
                              const evn_conditions *ask)
{
    evn_load how = evn_load_of(load);
    const evn_output output[] = {{"--csv", d->csv}};
    if (evn_duty_load_with(call->operands[1], &how, &d->duty, call->report) != EVN_DONE || !truck)
        return evn_report_status(call->report);
    if (!evn_outputs_fit(output, 1, call->report, &call->mishap))
        return EVN_BAD_INPUT;
    return drive_and_write(call, d, truck, ask);
}

bool evn_drive_day_tell(const evn_call *call, const evn_drive_day *d, const evn_truck *truck, const evn_conditions *ask,
                        bool digits)
{
    evn_day_story story = story_of(call, d, truck, ask);
    evn_look look = evn_look_with(&call->console->out_look, digits);
    if (call->json)
        return evn_day_json(&story, &call->findings, call->console->out);
    return !d->day || evn_day_text(&story, &call->findings, call->console->out, &look);
}

void evn_drive_day_forget(evn_drive_day *d)
{
    evn_day_free(d->day);
    evn_duty_free(d->duty);
}
