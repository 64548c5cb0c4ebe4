/* Trucks in tables: sign and name, columns that fit a sheet and a phone, how each ended. */
#include "show/page/html_parts.h"
#include "show/text.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ signs */

static const char *const signs[EVN_HTML_SIGNS] = {"M-4.5 0a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0-9 0z",
                                                  "M-4-4h8v8h-8z",
                                                  "M0-5.5 5.5 0 0 5.5-5.5 0z",
                                                  "M0-5 5 4h-10z",
                                                  "M0 5-5-4h10z",
                                                  "M-1.8-5h3.6v3.2h3.2v3.6h-3.2v3.2h-3.6v-3.2h-3.2v-3.6h3.2z"};

/* From the seventh truck on the same colours and signs, but hollow. */
void evn_html_sign(FILE *to, size_t truck)
{
    fprintf(to, "<path class=\"s%zu%s\" d=\"%s\"/>", truck % EVN_HTML_SIGNS + 1,
            truck < EVN_HTML_SIGNS ? "" : " hollow", signs[truck % EVN_HTML_SIGNS]);
}

void evn_html_mark(FILE *to, size_t truck)
{
    fprintf(to,
            "<svg class=\"mark\" data-truck=\"%zu\" width=\"13\" height=\"13\" viewBox=\"-6.5 -6.5 13 13\" "
            "aria-hidden=\"true\">",
            truck);
    evn_html_sign(to, truck);
    fputs("</svg>", to);
}

/* A word longer than any in a sentence may break within, so that no table is as wide as it: behind hyphens and
 * underscores, where it has any ("tractor-4x2-central"), else anywhere. */
enum { WORD_LETTERS = 18, BREAK_LETTERS = 10 };

static bool is_joint(char letter) { return letter == '-' || letter == '_'; }

/* Of a word, or of what stands between its joints, with the joint behind it. */
static size_t letters_of_part(const char *at)
{
    size_t letters = 0;
    uint32_t code;
    for (size_t bytes; *at != ' ' && (bytes = evn_utf8_next(at, &code)) > 0; at += bytes) {
        letters++;
        if (is_joint(*at))
            break;
    }
    return letters;
}

static void put_breakable(FILE *to, const char *text)
{
    uint32_t code;
    size_t letters = 0, within = 0; /* of this word, and put of it */
    for (size_t bytes; (bytes = evn_utf8_next(text, &code)) > 0; text += bytes) {
        char letter[8] = "";
        letters = within == 0 ? letters_of_part(text) : letters;
        memcpy(letter, text, bytes < sizeof letter ? bytes : sizeof letter - 1);
        evn_html_letter(to, letter);
        bool joint = is_joint(*text) && text[1] != '\0';
        within = *text == ' ' || joint ? 0 : within + 1;
        if (joint)
            fputs("<wbr>", to);
        if (letters > WORD_LETTERS && within > 0 && within < letters && within % BREAK_LETTERS == 0)
            fputs("<wbr>", to);
    }
}

void evn_html_truck_name(const evn_html_page *page, FILE *to, size_t truck)
{
    fputs("<span class=\"key\">", to);
    if (page->truck_count > 1)
        evn_html_mark(to, truck);
    fputs("<bdi>", to);
    put_breakable(to, page->truck[truck].title);
    fputs("</bdi></span>", to);
}

/* ------------------------------------------------------------------------------------------------ columns */

bool evn_html_columns_next(const evn_html_page *page, evn_html_columns *columns)
{
    size_t count = page->truck_count, most = count <= EVN_HTML_TRUCKS_OPEN ? count : EVN_HTML_TRUCKS_PARTED;
    columns->from = columns->to;
    columns->to = columns->from + most < count ? columns->from + most : count;
    return columns->from < count;
}

void evn_html_head(const evn_html_page *page, FILE *to, const evn_html_columns *columns, const char *behind)
{
    fputs("<thead><tr><td></td>", to);
    for (size_t i = columns->from; i < columns->to; i++) {
        fputs("<th scope=\"col\">", to);
        evn_html_truck_name(page, to, i);
        fputs("</th>", to);
    }
    if (behind)
        fprintf(to, "<th scope=\"col\">%s</th>", behind);
    fputs("</tr></thead>\n", to);
}
