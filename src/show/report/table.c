/* Tables in the terminal: what fits beside each other is decided here, the laying out is libsmartcols'. */
#define _POSIX_C_SOURCE 200809L
#include "show/report/table.h"
#include "show/text.h"
#include <libsmartcols/libsmartcols.h>
#include <stdlib.h>
#include <string.h>

enum {
    GAP = 2,
    FOLD_LEAST = 14, /* columns of words are not folded into less, */
    ABOVE_LEAST = 16 /* a first column of less stays beside the others */
};

typedef struct column {
    bool to_the_right, folds;
    size_t natural, whole, least, width; /* all; no word broken; words broken; as it is printed */
} column;

struct evn_table {
    size_t columns, rows; /* the first row holds the headings, */
    bool headings;        /* if there are any */
    column *column;
    char **cell; /* row by row */
};

/* ------------------------------------------------------------------------------------------------ gathering */

evn_table *evn_table_new(const evn_table_column *columns, size_t count, bool headings)
{
    evn_table *table = calloc(1, sizeof *table);
    const char **heading = calloc(count, sizeof *heading);
    bool made = table && heading;
    if (made)
        table->column = calloc(count, sizeof *table->column);
    made = made && table->column;
    for (size_t i = 0; made && i < count; i++) {
        table->column[i] = (column){.to_the_right = columns[i].to_the_right, .folds = columns[i].folds};
        heading[i] = columns[i].heading;
    }
    if (made) {
        table->columns = count;
        made = !headings || evn_table_row(table, heading);
        table->headings = headings;
    }
    free(heading);
    if (made)
        return table;
    evn_table_free(table);
    return NULL;
}

void evn_table_free(evn_table *table)
{
    if (!table)
        return;
    for (size_t i = 0; i < table->rows * table->columns; i++)
        free(table->cell[i]);
    free(table->cell);
    free(table->column);
    free(table);
}

bool evn_table_row(evn_table *table, const char *const *cells)
{
    char **larger = realloc(table->cell, (table->rows + 1) * table->columns * sizeof *larger);
    if (!larger)
        return false;
    table->cell = larger;
    char **row = &larger[table->rows++ * table->columns];
    bool all = true;
    for (size_t i = 0; i < table->columns; i++) {
        row[i] = strdup(cells[i] ? cells[i] : "");
        all = all && row[i];
    }
    return all;
}

/* ------------------------------------------------------------------------------------------------ widths */

static const char *cell_of(const evn_table *table, size_t row, size_t index)
{
    return table->cell[row * table->columns + index];
}

static size_t larger_of(size_t a, size_t b) { return a > b ? a : b; }
static size_t smaller_of(size_t a, size_t b) { return a < b ? a : b; }

static size_t longest_word(const char *text)
{
    size_t longest = 0;
    for (text += strspn(text, " "); *text != '\0'; text += strspn(text, " ")) {
        size_t bytes = strcspn(text, " ");
        longest = larger_of(longest, evn_columns_within(text, bytes));
        text += bytes;
    }
    return longest;
}

/* What a column wants and what it can do with: words and headings fold, numbers do not. */
static void measure(const evn_table *table, size_t index)
{
    column *of = &table->column[index];
    of->natural = of->whole = of->least = 0;
    for (size_t row = 0; row < table->rows; row++) {
        const char *cell = cell_of(table, row, index);
        size_t columns = evn_text_columns(cell);
        bool heading = row == 0 && table->headings;
        of->natural = larger_of(of->natural, columns);
        size_t whole = heading || of->folds ? longest_word(cell) : columns;
        of->whole = larger_of(of->whole, whole);
        of->least = larger_of(of->least, of->folds ? smaller_of(columns, FOLD_LEAST) : whole);
    }
    of->whole = larger_of(of->whole, of->least);
    of->width = of->natural;
}

/* Some columns of a table side by side, and whether the first one stands above them. */
typedef struct layout {
    size_t *picked, count;
    bool above;
} layout;

static size_t width_of(const evn_table *table, const layout *of)
{
    size_t width = 0;
    for (size_t i = 0; i < of->count; i++)
        width += table->column[of->picked[i]].width + (i > 0 ? GAP : 0);
    return width;
}

/* Takes columns from the widest that can spare some, until all fit; words are broken if asked. False: they do not. */
static bool shrink(const evn_table *table, const layout *of, size_t room, bool break_words)
{
    for (size_t i = 0; i < of->count; i++)
        table->column[of->picked[i]].width = table->column[of->picked[i]].natural;
    while (width_of(table, of) > room) {
        column *widest = NULL;
        for (size_t i = 0; i < of->count; i++) {
            column *at = &table->column[of->picked[i]];
            if (at->width > (break_words ? at->least : at->whole) && (!widest || at->width > widest->width))
                widest = at;
        }
        if (!widest)
            return false;
        widest->width--;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ lines */

/* What is left of a cell behind its first `line` lines, and in *bytes how much of that is the next; blanks at a fold
 * go. */
static const char *cell_line(const char *text, size_t width, size_t line, size_t *bytes)
{
    for (;; line--) {
        bool fits = evn_text_columns(text) <= width; /* as it is, with the blanks that it begins with */
        *bytes = fits ? strlen(text) : evn_line_bytes(text, width);
        if (line == 0 || *bytes == 0)
            return text;
        text += *bytes;
        text += strspn(text, " ");
    }
}

static size_t cell_lines(const char *text, size_t width)
{
    size_t lines = 0, bytes;
    for (;; lines++)
        if (*cell_line(text, width, lines, &bytes) == '\0')
            return lines;
}

static size_t row_lines(const evn_table *table, const layout *of, size_t row)
{
    size_t lines = 1;
    for (size_t i = 0; i < of->count; i++)
        lines = larger_of(lines, cell_lines(cell_of(table, row, of->picked[i]), table->column[of->picked[i]].width));
    return lines;
}

static bool add_line(struct libscols_table *lines, const evn_table *table, const layout *of, size_t row, size_t number)
{
    struct libscols_line *line = scols_table_new_line(lines, NULL);
    size_t all = row_lines(table, of, row);
    bool made = line;
    for (size_t i = 0; made && i < of->count; i++) {
        const char *cell = cell_of(table, row, of->picked[i]);
        size_t width = table->column[of->picked[i]].width, own = cell_lines(cell, width);
        size_t skip = row == 0 && table->headings ? all - larger_of(own, 1) : 0; /* headings stand on their columns */
        size_t bytes = 0;
        const char *shown = number >= skip ? cell_line(cell, width, number - skip, &bytes) : "";
        char *text = strndup(shown, bytes);
        made = text && scols_line_refer_data(line, i, text) == 0;
        if (!made)
            free(text);
    }
    return made;
}

/* All lines of these columns as text, to be freed; NULL when memory is out. */
static char *lay_out(const evn_table *table, const layout *of)
{
    char *text = NULL;
    struct libscols_table *lines = scols_new_table();
    bool made = lines && scols_table_set_column_separator(lines, "  ") == 0 &&
                scols_table_enable_noheadings(lines, 1) == 0 &&
                scols_table_set_termforce(lines, SCOLS_TERMFORCE_NEVER) == 0;
    for (size_t i = 0; made && i < of->count; i++)
        made = scols_table_new_column(lines, "", 0, table->column[of->picked[i]].to_the_right ? SCOLS_FL_RIGHT : 0);
    for (size_t row = 0; made && row < table->rows; row++)
        for (size_t n = 0; made && n < row_lines(table, of, row); n++)
            made = add_line(lines, table, of, row, n);
    made = made && scols_print_table_to_string(lines, &text) == 0 && text;
    scols_unref_table(lines);
    if (made)
        return text;
    free(text);
    return NULL;
}

/* One line without the blanks at its end; returns where the next begins. */
static const char *put_line(const char *line, const char *indent, const char *more, FILE *to)
{
    size_t length = strcspn(line, "\n"), kept = length;
    while (kept > 0 && line[kept - 1] == ' ')
        kept--;
    if (kept > 0)
        fprintf(to, "%s%s", indent, more);
    fwrite(line, 1, kept, to);
    fputc('\n', to);
    return line + length + (line[length] == '\n');
}

static bool print_lines(const evn_table *table, const layout *of, FILE *to, const char *indent, size_t width)
{
    char *text = lay_out(table, of);
    const char *line = text;
    for (size_t row = 0; text && row < table->rows; row++) {
        const char *first = cell_of(table, row, 0);
        if (of->above && first[0] != '\0')
            evn_put_paragraph_within(to, width, 0, indent, first);
        for (size_t n = row_lines(table, of, row); n > 0 && *line != '\0'; n--)
            line = put_line(line, indent, of->above ? "  " : "", to);
    }
    free(text);
    return text;
}

/* ------------------------------------------------------------------------------------------------ what fits */

/* The first of all columns and as many of the others from `from` on as fit beside it, at least one. */
static size_t pick_block(const evn_table *table, const layout *all, size_t from, layout *out, size_t room)
{
    out->picked[0] = all->picked[0];
    out->count = 1;
    while (from < all->count) {
        out->picked[out->count++] = all->picked[from];
        if (!shrink(table, out, room, true) && out->count > 2) {
            out->count--;
            break;
        }
        from++;
    }
    shrink(table, out, room, true);
    return from;
}

static bool print_blocks(const evn_table *table, const layout *all, FILE *to, const char *indent, size_t width)
{
    size_t room = width - evn_text_columns(indent), from = 1;
    layout block = {.picked = calloc(all->count, sizeof *block.picked)};
    bool made = block.picked;
    while (made && from < all->count) {
        if (from > 1)
            fputc('\n', to);
        from = pick_block(table, all, from, &block, room);
        made = print_lines(table, &block, to, indent, width);
    }
    free(block.picked);
    return made;
}

/* Whether anything stands in a column, below its heading where the table has headings. */
static bool holds_something(const evn_table *table, size_t index)
{
    for (size_t row = table->headings ? 1 : 0; row < table->rows; row++)
        if (cell_of(table, row, index)[0] != '\0')
            return true;
    return false;
}

/* `all` holds the columns in which something stands. */
static bool print_fitting(const evn_table *table, layout *all, FILE *to, const char *indent, size_t width)
{
    size_t room = width - evn_text_columns(indent);
    layout rest = {all->picked + 1, all->count - 1, true};
    bool above = all->count > 1 && all->picked[0] == 0 && table->column[0].natural >= ABOVE_LEAST;
    for (int break_words = 0; break_words <= 1; break_words++) {
        if (shrink(table, all, room, break_words))
            return print_lines(table, all, to, indent, width);
        if (above && shrink(table, &rest, room - GAP, break_words))
            return print_lines(table, &rest, to, indent, width);
    }
    return all->count > 1 ? print_blocks(table, all, to, indent, width) : print_lines(table, all, to, indent, width);
}

bool evn_table_print(const evn_table *table, FILE *to, const char *indent, size_t width)
{
    if (table->rows == (table->headings ? 1 : 0))
        return true;
    layout all = {.picked = calloc(table->columns, sizeof *all.picked)};
    for (size_t i = 0; all.picked && i < table->columns; i++) {
        measure(table, i);
        if (holds_something(table, i))
            all.picked[all.count++] = i;
    }
    bool made = all.picked && (all.count == 0 || print_fitting(table, &all, to, indent, width));
    free(all.picked);
    return made;
}
