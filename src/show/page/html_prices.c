/* What pages tell of prices, of costs and of verdicts alike. */
#include "show/page/html_parts.h"
#include "show/page/html_write.h"

void evn_html_invented(FILE *to, const evn_prices *prices)
{
    if (!prices || !evn_prices_invented(prices))
        return;
    fputs("<p class=\"caution invented\"><b>Invented prices:</b> ", to);
    evn_html_text(to, evn_prices_name(prices));
    fputs(". They show what decides, not what things cost.</p>\n", to);
}
