/* The table of a matrix, a line for each cell. */
#include "show/matrix_story.h"

void evn_matrix_csv(const evn_matrix *m, FILE *to)
{
    const evn_matrix_told *t = evn_matrix_tells(m);
    evn_matrix_cell cell;
    fprintf(to, "%s%sspeed_rpm,torque_nm,%s\n", t->sheet_column ? t->sheet_column : "", t->sheet_column ? "," : "",
            t->value_column);
    for (size_t k = 0; evn_matrix_cell_at(m, k, &cell); k++) {
        if (t->sheet_column)
            fprintf(to, "%.10g,", cell.sheet);
        fprintf(to, "%.10g,%.10g,%.10g\n", cell.speed_rpm, cell.torque_nm, cell.value);
    }
}
