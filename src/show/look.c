/* What a stream can show, and styles and bars as far as it does. */
#define _DEFAULT_SOURCE /* the size of a terminal */
#include "show/look.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

static bool is_dumb_terminal(void)
{
    const char *term = getenv("TERM");
    return !term || term[0] == '\0' || strcmp(term, "dumb") == 0;
}

/* What the reader says goes before what the terminal says; what is no number of columns says nothing. */
static unsigned columns_of(FILE *stream)
{
    const char *said = getenv("COLUMNS");
    size_t digits = said ? strspn(said, "0123456789") : 0;
    if (digits > 0 && digits < 6 && said[digits] == '\0' && atoi(said) > 0)
        return (unsigned)atoi(said);
    struct winsize size;
    return isatty(fileno(stream)) == 1 && ioctl(fileno(stream), TIOCGWINSZ, &size) == 0 ? size.ws_col : 0;
}

static size_t width_within(const evn_look *look, unsigned most)
{
    unsigned columns = look->columns > 0 ? look->columns : EVN_COLUMNS_UNKNOWN;
    columns = columns < EVN_COLUMNS_LEAST ? EVN_COLUMNS_LEAST : columns;
    return (columns > most ? most : columns) - 1;
}

int evn_look_digits(const evn_look *look, int digits) { return look && look->all_digits ? EVN_ALL_DIGITS : digits; }

size_t evn_look_width(const evn_look *look) { return width_within(look, EVN_COLUMNS_MOST); }

size_t evn_look_prose(const evn_look *look) { return width_within(look, EVN_PROSE_COLUMNS_MOST); }

evn_look evn_look_of(FILE *stream, bool utf8)
{
    const char *no_colour = getenv("NO_COLOR");
    bool refused = no_colour && no_colour[0] != '\0';
    bool terminal = isatty(fileno(stream)) == 1;
    return (evn_look){.colour = !refused && !is_dumb_terminal() && terminal,
                      .utf8 = utf8,
                      .terminal = terminal,
                      .columns = columns_of(stream)};
}

evn_console evn_console_of(FILE *out, FILE *err, bool utf8, const char *const *words)
{
    return (evn_console){.out = out,
                         .err = err,
                         .out_look = evn_look_of(out, utf8),
                         .err_look = evn_look_of(err, utf8),
                         .err_is_terminal = isatty(fileno(err)) == 1 && !is_dumb_terminal(),
                         .words = words};
}

void evn_style_begin(FILE *to, const evn_look *look, evn_style style)
{
    static const char *const codes[] = {"", "\033[1m", "\033[2m", "\033[33m", "\033[31m"};
    if (look->colour)
        fputs(codes[style], to);
}

void evn_style_end(FILE *to, const evn_look *look, evn_style style)
{
    if (look->colour && style != EVN_STYLE_PLAIN)
        fputs("\033[0m", to);
}

void evn_put_styled(FILE *to, const evn_look *look, evn_style style, const char *text)
{
    evn_style_begin(to, look, style);
    fputs(text, to);
    evn_style_end(to, look, style);
}

void evn_format_bar(char *out, size_t size, const evn_look *look, double share, unsigned columns)
{
    static const char *const eighths[] = {"", "\u258f", "\u258e", "\u258d", "\u258c", "\u258b", "\u258a", "\u2589"};
    out[0] = '\0';
    if (!(share > 0))
        return;
    unsigned parts = look->utf8 ? 8 : 1;
    unsigned filled = (unsigned)lround(fmin(share, 1) * columns * parts);
    size_t used = 0;
    for (unsigned i = 0; i < filled / parts && used + 4 < size; i++)
        used += (size_t)snprintf(out + used, size - used, "%s", look->utf8 ? "\u2588" : "#");
    if (look->utf8 && used + 4 < size)
        snprintf(out + used, size - used, "%s", eighths[filled % parts]);
}
