/* Names and order of causes. */
#include "show/compare_causes.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

const char *evn_cause_name(unsigned causes, char out[EVN_CAUSE_NAME_BYTES])
{
    evn_cause_row row;
    size_t used = 0;
    out[0] = '\0';
    for (size_t c = 0; evn_cause_row_at(c, &row); c++)
        if (causes >> c & 1u && used + strlen(row.label) + sizeof " + " < EVN_CAUSE_NAME_BYTES)
            used += (size_t)snprintf(out + used, EVN_CAUSE_NAME_BYTES - used, "%s%s", used > 0 ? " + " : "", row.label);
    return out;
}

evn_cause_kind evn_cause_kind_of(unsigned causes)
{
    evn_cause_row row;
    bool layout = false, rest = false;
    for (size_t c = 0; evn_cause_row_at(c, &row); c++)
        if (causes >> c & 1u)
            *(row.of_layout ? &layout : &rest) = true;
    return layout && rest ? EVN_CAUSE_OF_BOTH : layout ? EVN_CAUSE_OF_LAYOUT : EVN_CAUSE_OF_REST;
}

bool evn_compare_drivetrain_part(const evn_causes *causes, size_t truck, size_t *index, evn_cause_part *out)
{
    for (*index = 0; evn_causes_part_at(causes, truck, *index, out); ++*index)
        if (out->causes >> EVN_CAUSE_DRIVETRAIN & 1u)
            return true;
    return false;
}

size_t evn_compare_largest_lines(const evn_causes *causes, size_t truck, size_t part, evn_cause_line *out, size_t most)
{
    size_t count = 0;
    evn_cause_line line;
    for (size_t k = 0; evn_causes_line_at(causes, truck, part, k, &line); k++) {
        size_t at = count < most ? count++ : most;
        for (; at > 0 && fabs(out[at - 1].part) < fabs(line.part); at--)
            if (at < most)
                out[at] = out[at - 1];
        if (at < most)
            out[at] = line;
    }
    return count;
}

bool evn_cause_part_hangs(const evn_cause_part *part)
{
    return !part->alike && part->most - part->least > fmax(fabs(part->percent), EVN_BESIDE_CLOSE_POINTS);
}

int evn_compare_part_digits(const evn_compare_story *story) { return evn_compare_decides_by(story)->digits + 2; }

double evn_compare_lowered(const evn_causes_pair *is)
{
    return is->other - is->first - (is->other_parted - is->first_parted);
}
