/* What stands beside the answers of several pages: signs of verdicts, who fails what is demanded, that prices are
 * invented. */
#include "show/compare_loaded.h"
#include "show/page/html_parts.h"

void evn_html_verdict_sign(FILE *to, evn_verdict v)
{
    static const char *const signs[] = {[EVN_VERDICT_NOT_ASKED] = "\u2013",
                                        [EVN_VERDICT_PASS] = "\u2713",
                                        [EVN_VERDICT_MARGINAL] = "\u2248",
                                        [EVN_VERDICT_NOT_KNOWN] = "?",
                                        [EVN_VERDICT_FAIL] = "\u2717"};
    fprintf(to, "<span aria-hidden=\"true\">%s</span>", signs[v]);
}

void evn_html_fails(FILE *to, const evn_assessment *standing, size_t truck, const char *with)
{
    char fails[EVN_ASSESS_SENTENCE_BYTES];
    evn_assess_fails_words(standing, truck, fails);
    if (fails[0] == '\0')
        return;
    fputs("<small class=\"words failed\">", to);
    evn_html_verdict_sign(to, EVN_VERDICT_FAIL);
    fprintf(to, "&#160;%s%sfails ", with, with[0] ? " " : "");
    evn_html_words(to, fails);
    fputs("</small>", to);
}

void evn_html_overloaded(FILE *to, const evn_compare_story *story, size_t truck)
{
    if (!evn_compare_overloaded(story, truck))
        return;
    fputs("<small class=\"words failed\">", to);
    evn_html_verdict_sign(to, EVN_VERDICT_FAIL);
    fputs("&#160;overloaded</small>", to);
}

void evn_html_unfit(FILE *to, const evn_lineup *lineup, const evn_assessment *standing)
{
    char unfit[EVN_ASSESS_SENTENCE_BYTES];
    evn_assess_unfit_words(lineup, standing, unfit);
    if (unfit[0] == '\0')
        return;
    fputs("<p class=\"caution standing\">Demanded of the truck as it stands: ", to);
    evn_html_words(to, unfit);
    fputs("</p>\n", to);
}

void evn_html_invented(FILE *to, const evn_prices *prices)
{
    if (!prices || !evn_prices_invented(prices))
        return;
    fputs("<p class=\"caution invented\"><b>Invented prices:</b> ", to);
    evn_html_text(to, evn_prices_name(prices));
    fputs(". They show what decides, not what things cost.</p>\n", to);
}
