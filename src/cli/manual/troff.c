/* What has a meaning of its own in troff, written so that it stands for itself. */
#include "cli/manual/troff.h"

void evn_troff_start(const char *text, FILE *to)
{
    if (text[0] == '.' || text[0] == '\'')
        fputs("\\&", to);
}

/* Bytes of a character by its first one, and the bits that this one brings. */
static size_t bytes_of(unsigned char first, unsigned *bits)
{
    if (first < 0x80) {
        *bits = first;
        return 1;
    }
    size_t bytes = first >= 0xf0 ? 4 : first >= 0xe0 ? 3 : 2;
    *bits = first & (0x7fu >> bytes);
    return bytes;
}

static void put_ascii(char letter, FILE *to)
{
    switch (letter) {
    case '\\':
        fputs("\\e", to);
        break;
    case '-':
        fputs("\\-", to);
        break;
    case '\'':
        fputs("\\(aq", to);
        break;
    case '^':
        fputs("\\(ha", to);
        break;
    case '~':
        fputs("\\(ti", to);
        break;
    default:
        fputc(letter, to);
    }
}

size_t evn_troff_char(const char *at, FILE *to)
{
    unsigned code;
    size_t bytes = bytes_of((unsigned char)*at, &code), taken = 1;
    for (; taken < bytes && ((unsigned char)at[taken] & 0xc0) == 0x80; taken++)
        code = code << 6 | ((unsigned char)at[taken] & 0x3fu);
    if (bytes == 1)
        put_ascii(*at, to);
    else
        fprintf(to, "\\[u%04X]", code);
    return taken;
}

void evn_troff_text(const char *text, FILE *to)
{
    evn_troff_start(text, to);
    while (*text != '\0')
        text += evn_troff_char(text, to);
}
