/* The file of kept results, as the reader takes it back. */
#include "show/ask.h"
#include "show/check_story.h"
#include "show/text.h"
#include "show/yaml/yaml.h"
#include <math.h>
#include <string.h>

enum { LINE_COLUMNS = 118 };

static void put_line(FILE *to, const char *key, const char *text)
{
    if (!text)
        return;
    fprintf(to, "    %s: ", key);
    evn_put_yaml_text(to, text);
    fputc('\n', to);
}

/* Eight digits are finer than any tolerance, and stay readable when two versions of the file are compared. What
 * round-off left of a zero is one. */
static int format_result(char *out, size_t size, double value)
{
    return isfinite(value) ? snprintf(out, size, "%.8g", fabs(value) < 1e-9 ? 0 : value) : snprintf(out, size, "none");
}

static void put_result(FILE *to, size_t *column, const char *key, double value)
{
    char number[32], text[200];
    format_result(number, sizeof number, value);
    int length = snprintf(text, sizeof text, "%s: %s", key, number);
    bool first = *column == 0;
    if (first || *column + (size_t)length + 2 > LINE_COLUMNS) {
        fputs(first ? "\n      " : ",\n      ", to);
        *column = 6;
    } else {
        fputs(", ", to);
        *column += 2;
    }
    fputs(text, to);
    *column += (size_t)length;
}

static void put_new_results(const evn_results *results, bool all, FILE *to)
{
    size_t column = 0;
    evn_quantity what;
    double value;
    fputs("    results: {", to);
    for (size_t k = 0; evn_results_at(results, k, &what, &value); k++)
        if (all || evn_result_is_kept(what.key))
            put_result(to, &column, what.key, value);
    fputs("}\n", to);
}

static void put_old_results(const evn_kept *kept, size_t index, FILE *to)
{
    size_t column = 0;
    const char *key;
    double value;
    fputs("    results: {", to);
    for (size_t k = 0; evn_kept_result_at(kept, index, k, &key, &value); k++)
        put_result(to, &column, key, value);
    fputs("}\n", to);
}

/* What differs from the default, in one line; nothing where nothing does. A key without a default is not given. */
static void put_asked(FILE *to, const char *kind, const evn_conditions *ask)
{
    evn_key key;
    double value;
    bool begun = false;
    for (size_t i = 0; evn_ask_next_other(ask, kind, &i, &key, &value); begun = true) {
        char number[32];
        evn_format_exact(number, value);
        fprintf(to, begun ? ", %s: " : "    %s: {", begun ? key.key : kind);
        if (!begun)
            fprintf(to, "%s: ", key.key);
        fputs(key.choices ? key.choices[(size_t)value] : number, to);
    }
    fputs(begun ? "}\n" : "", to);
}

static void put_run(const evn_check_story *story, size_t index, const evn_kept_run *run, bool all, FILE *to)
{
    evn_checked checked;
    size_t at;
    bool driven = evn_check_find(story->check, run->name, &at, &checked) && checked.results;
    fputs("  ", to);
    evn_put_yaml_key(to, run->name);
    fputc('\n', to);
    put_line(to, "lineup", run->lineup);
    put_line(to, "truck", run->truck);
    put_line(to, "cycle", run->cycle);
    for (const char *const *kind = evn_ask_kinds; !run->lineup && *kind; kind++)
        put_asked(to, *kind, &run->ask);
    if (run->set[0]) {
        fputs("    set: ", to);
        evn_put_yaml_texts(to, run->set);
        fputc('\n', to);
    }
    if (!driven && !run->status)
        return;
    put_line(to, "truck_hash", driven ? run->truck_hash : run->kept_truck_hash);
    put_line(to, "cycle_hash", driven ? run->cycle_hash : run->kept_cycle_hash);
    put_line(to, "ask_hash", driven ? run->ask_hash : run->kept_ask_hash);
    put_line(to, "status", driven ? evn_results_status(checked.results) : run->status);
    if (driven)
        put_new_results(checked.results, all, to);
    else
        put_old_results(story->kept, index, to);
}

void evn_kept_file_put(const evn_check_story *story, bool all, FILE *to)
{
    evn_kept_tolerance tolerance;
    evn_kept_run run;
    fputs(
        "# Results kept by evener. 'evener check' drives these runs again and says what moved; 'evener keep --accept'\n"
        "# records them anew and writes this file: of its comments only `about` stays.\n",
        to);
    if (evn_kept_about(story->kept)) {
        fputs("about: ", to);
        evn_put_yaml_text(to, evn_kept_about(story->kept));
        fputc('\n', to);
    }
    fprintf(to,
            "program: \"%s\"\n\n# A quantity has moved when it differs by more than absolute + relative x kept value.\n"
            "tolerances:\n",
            evn_version());
    for (size_t k = 0; evn_kept_tolerance_at(story->kept, k, &tolerance); k++)
        fprintf(to, "  %s: {absolute: %g, relative: %g}\n", tolerance.name, tolerance.absolute, tolerance.relative);
    fputs("\nruns:\n", to);
    for (size_t i = 0; evn_kept_at(story->kept, i, &run); i++)
        put_run(story, i, &run, all, to);
}
