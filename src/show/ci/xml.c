/* Text within XML. */
#include "show/ci/xml.h"

void evn_put_xml(const char *text, FILE *to)
{
    for (; *text != '\0'; text++)
        switch (*text) {
        case '<':
            fputs("&lt;", to);
            break;
        case '>':
            fputs("&gt;", to);
            break;
        case '&':
            fputs("&amp;", to);
            break;
        case '"':
            fputs("&quot;", to);
            break;
        default: /* control characters have no place in XML */
            fputc((unsigned char)*text < ' ' ? ' ' : *text, to);
        }
}
