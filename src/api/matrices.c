/* Matrices of suppliers, behind evener/matrices.h. */
#include "evener/matrices.h"
#include "log/loss_fit.h"
#include "log/matrix.h"

evn_status evn_matrix_read(const evn_matrix_sheet *sheets, size_t count, const evn_matrix_ask *ask, evn_matrix **out,
                           evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"sheets", sheets}, {"ask", ask}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_arena *arena = evn_arena_new();
    evn_matrix *made = arena ? evn_arena_take(arena, sizeof *made) : NULL;
    if (!made)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a matrix");
    bool sound = made;
    if (sound) {
        made->arena = arena;
        sound = evn_matrix_make(made, sheets, count, ask, report);
    }
    if (sound)
        *out = made;
    else if (arena)
        evn_arena_free(arena);
    return evn_report_status(report);
}

void evn_matrix_free(evn_matrix *m)
{
    if (m)
        evn_arena_free(m->arena);
}

const evn_matrix_told *evn_matrix_tells(const evn_matrix *m) { return m ? &m->told : NULL; }

bool evn_matrix_cell_at(const evn_matrix *m, size_t index, evn_matrix_cell *out)
{
    if (!m || !out || index >= m->count)
        return false;
    *out = m->cell[index];
    return true;
}

evn_status evn_loss_fit_table(const char *path, const evn_loss_ask *ask, evn_loss_fit **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"path", path}, {"ask", ask}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_arena *arena = evn_arena_new();
    evn_loss_fit *made = arena ? evn_arena_take(arena, sizeof *made) : NULL;
    if (!made)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a table of losses");
    bool sound = made;
    if (sound) {
        made->arena = arena;
        sound = evn_loss_fit_make(made, path, ask, report);
    }
    if (sound)
        *out = made;
    else if (arena)
        evn_arena_free(arena);
    return evn_report_status(report);
}

void evn_loss_fit_free(evn_loss_fit *f)
{
    if (f)
        evn_arena_free(f->arena);
}

const evn_loss_told *evn_loss_fit_tells(const evn_loss_fit *f) { return f ? &f->told : NULL; }
