/*
 * The tour as a manual page: from the few forms of Markdown that tour.md is written in (headings, paragraphs, fenced
 * blocks, code and emphasis within lines) to troff.
 */
#define _POSIX_C_SOURCE 200809L
#include "cli/manual/manual.h"
#include "cli/manual/troff.h"
#include <ctype.h>
#include <stdlib.h>
#include <string.h>

typedef struct tour {
    FILE *to;
    bool fenced;    /* within a block that stands as it is */
    bool paragraph; /* text has begun */
} tour;

static void put_plain(const char *text, FILE *to)
{
    evn_troff_text(text, to);
    fputc('\n', to);
}

/* What stands between backticks is bold. */
static void put_words(const char *text, FILE *to)
{
    bool code = false;
    evn_troff_start(text, to);
    while (*text != '\0')
        if (*text == '`') {
            code = !code;
            text++;
            fputs(code ? "\\fB" : "\\fR", to);
        } else {
            text += evn_troff_char(text, to);
        }
    fputs(code ? "\\fR\n" : "\n", to);
}

static void put_heading(const char *text, FILE *to)
{
    fputs(".SH \"", to);
    for (; *text != '\0'; text++)
        fputc(toupper((unsigned char)*text), to);
    fputs("\"\n", to);
}

static void turn_fence(tour *t)
{
    t->fenced = !t->fenced;
    t->paragraph = false;
    fputs(t->fenced ? ".PP\n.nf\n" : ".fi\n", t->to);
}

static void put_line(tour *t, const char *line)
{
    if (strncmp(line, "```", 3) == 0) {
        turn_fence(t);
    } else if (t->fenced) {
        put_plain(line, t->to);
    } else if (strncmp(line, "## ", 3) == 0) {
        put_heading(line + 3, t->to);
        t->paragraph = false;
    } else if (line[0] == '\0') {
        t->paragraph = false;
    } else if (strncmp(line, "# ", 2) != 0) {
        if (!t->paragraph)
            fputs(".PP\n", t->to);
        t->paragraph = true;
        put_words(line, t->to);
    }
}

bool evn_manual_of_tour(FILE *from, FILE *to)
{
    tour t = {.to = to};
    char *line = NULL;
    size_t room = 0;
    fprintf(to,
            ".TH \"evener\\-tour\" 1 \"\" \"evener %s\" \"evener\"\n.SH NAME\n"
            "evener\\-tour \\- what the commands print, on trucks and roads that are invented\n.SH DESCRIPTION\n",
            evn_version());
    for (ssize_t length; (length = getline(&line, &room, from)) >= 0;) {
        if (length > 0 && line[length - 1] == '\n')
            line[length - 1] = '\0';
        put_line(&t, line);
    }
    free(line);
    fputs(".SH SEE ALSO\nevener(1)\n", to);
    return !ferror(from);
}
