/* A matrix in words. */
#include "show/matrix_story.h"
#include "show/text.h"
#include <string.h>

static const char *separator_word(char separator)
{
    return separator == ';' ? "semicolon" : separator == '\t' ? "tab" : separator == '|' ? "bar" : "comma";
}

static bool put_best(const evn_matrix_told *t, FILE *to, size_t width)
{
    if (strcmp(t->value_column, "efficiency") == 0)
        return evn_put_sentence(to, width, "",
                                "Efficiencies from %.1f to %.1f %%, the highest at %.6g rpm and %.6g Nm.",
                                100 * t->value_least, 100 * t->value_most, t->best_speed_rpm, t->best_torque_nm);
    const char *unit = strcmp(t->value_column, "loss_w") == 0 ? "W" : "Nm";
    return evn_put_sentence(to, width, "", "Losses from %.4g to %.4g %s, the least at %.6g rpm and %.6g Nm.",
                            t->value_least, t->value_most, unit, t->best_speed_rpm, t->best_torque_nm);
}

static bool put_left_out(const evn_matrix_told *t, FILE *to, size_t width)
{
    if (t->empty > 0 &&
        !evn_put_sentence(to, width, "", "Without a value: %zu cells, which the table leaves out.", t->empty))
        return false;
    return t->reversed == 0 ||
           evn_put_sentence(to, width, "",
                            "Left out: %zu cells at speeds below 0, of a motor that turns the other way "
                            "round.",
                            t->reversed);
}

bool evn_matrix_text(const evn_matrix_story *s, FILE *to, const evn_look *look)
{
    const evn_matrix_told *t = evn_matrix_tells(s->matrix);
    size_t width = evn_look_prose(look);
    const char *sides = t->torque_least_nm < 0 ? "motoring and generating" : "of one sign of torque";
    return evn_put_sentence(to, width, "", "Read: %s, %zu cells of %zu %s, %s; cells separated by %s, decimals by %s.",
                            s->values, t->cells, t->sheets, t->sheets == 1 ? "matrix" : "matrices", sides,
                            separator_word(t->separator), t->decimal == ',' ? "comma" : "point") &&
           evn_put_sentence(to, width, "", "From %.6g to %.6g rpm and from %.6g to %.6g Nm.", t->speed_least_rpm,
                            t->speed_most_rpm, t->torque_least_nm, t->torque_most_nm) &&
           put_best(t, to, width) && put_left_out(t, to, width) &&
           (!s->table || evn_put_sentence(to, width, "", "Written: %s.", s->table));
}
