/* Logs made cycles, behind evener/logs.h. */
#include "evener/logs.h"
#include "log/import.h"

evn_status evn_import_log(const char *path, const evn_import_how *how, evn_import **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"path", path}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_import_how plain = evn_import_default();
    if (!evn_import_how_fits(how ? how : &plain, report))
        return evn_report_status(report);
    evn_arena *arena = evn_arena_new();
    evn_import *made = arena ? evn_arena_take(arena, sizeof *made) : NULL;
    if (!made)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a log");
    bool sound = made;
    if (sound) {
        made->arena = arena;
        const evn_log *log = evn_log_read(path, how ? &how->log : NULL, arena, report);
        sound = log && evn_import_of_log(made, log, how ? how : &plain, report);
    }
    if (sound)
        *out = made;
    else if (arena)
        evn_arena_free(arena);
    return evn_report_status(report);
}

void evn_import_free(evn_import *im)
{
    if (im)
        evn_arena_free(im->arena);
}

const evn_import_told *evn_import_tells(const evn_import *im) { return im ? &im->told : NULL; }

const evn_import_cycle *evn_import_cycle_of(const evn_import *im) { return im ? &im->cycle : NULL; }

bool evn_import_column_at(const evn_import *im, size_t index, evn_import_column *out)
{
    for (int q = 0; im && q < EVN_LOG_QUANTITY_COUNT; q++) {
        const evn_log_origin *o = &im->log->origin[q];
        if (!o->name || index-- > 0 || !out)
            continue;
        *out = (evn_import_column){evn_log_word((evn_log_quantity)q), o->name, o->unit};
        return true;
    }
    return false;
}
