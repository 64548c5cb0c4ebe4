/* The route as a strip with the runs over it, and bars of the energy balance. */
#define _POSIX_C_SOURCE 200809L
#include "evener/charts.h"
#include "show/figures.h"
#include "show/plot/plot.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    WIDTH_UNKNOWN = 80,
    HEIGHT_ROWS = 7,
    SPEED_ROWS = 5,
    TICK_COLUMNS = 12,
    CELL = 64,
    LINES_MOST = 32,
    LABEL_COLUMNS = 22
};

/* Less than this is level, m. */
#define LEVEL_M 0.5

/* Lines below this share of what the battery discharged are left to the table. */
#define LINE_SHARE_LEAST 0.002

size_t evn_plot_columns(const evn_look *look)
{
    size_t columns = look->columns > 0 ? look->columns : WIDTH_UNKNOWN;
    columns = columns > EVN_PLOT_MARGIN + 2 + EVN_PLOT_LEAST ? columns - EVN_PLOT_MARGIN - 2 : EVN_PLOT_LEAST;
    return columns < EVN_PLOT_MOST ? columns : EVN_PLOT_MOST;
}

double evn_plot_step(double range, size_t parts_most)
{
    static const double steps[] = {1, 2, 5, 10};
    if (!(range > 0) || parts_most == 0)
        return 1;
    double rough = range / (double)parts_most, power = pow(10, floor(log10(rough)));
    for (size_t k = 0; k < 4; k++)
        if (steps[k] * power >= rough * (1 - 1e-9))
            return steps[k] * power;
    return 10 * power;
}

typedef struct strip {
    const evn_cycle *cycle;
    const evn_chart *road;
    size_t columns;
    double length_m;
    FILE *to;
    const evn_look *look;
} strip;

static double road_at(const strip *s, size_t row, size_t column) { return evn_chart_row(s->road, row)[column]; }

/* ------------------------------------------------------------------------------------------------ scales */

/* The uppermost row bears the highest value, the lowest the lowest. */
static void put_margin(const strip *s, size_t row, size_t rows, double low, double high)
{
    char cell[CELL] = "";
    if (row == 0)
        evn_format_decimals(cell, sizeof cell, 0, high);
    else if (row + 1 == rows)
        evn_format_decimals(cell, sizeof cell, 0, low);
    fprintf(s->to, "%*s%s", EVN_PLOT_MARGIN, cell, s->look->utf8 ? "\u2502" : "|");
}

static void put_canvas(const strip *s, const evn_plot_canvas *canvas, size_t rows, double low, double high)
{
    for (size_t row = 0; row < rows; row++) {
        put_margin(s, row, rows, low, high);
        evn_plot_canvas_row(canvas, row, s->to);
        fputc('\n', s->to);
    }
}

static void put_axis(const strip *s)
{
    double km = s->length_m / 1000, step = evn_plot_step(km, s->columns / TICK_COLUMNS);
    char *line = malloc(s->columns + CELL);
    if (!line)
        return;
    memset(line, ' ', s->columns + CELL);
    size_t used = 0;
    for (double at = 0; at <= km * (1 + 1e-9); at += step) {
        char tick[CELL];
        int length = snprintf(tick, sizeof tick, "%g", at);
        size_t place = (size_t)lround(at / km * (double)(s->columns - 1));
        if (place + (size_t)length > s->columns)
            place = s->columns - (size_t)length;
        if (used > 0 && place < used + 1)
            continue;
        memcpy(line + place, tick, (size_t)length);
        used = place + (size_t)length;
    }
    bool room = used + 3 <= s->columns;
    fprintf(s->to, "%*s%.*s%s\n", EVN_PLOT_MARGIN + 1, "", (int)used, line, room ? " km" : "");
    free(line);
}

/* ------------------------------------------------------------------------------------------------ height */

static void height_range(const strip *s, double *low, double *high)
{
    *low = (double)INFINITY;
    *high = -(double)INFINITY;
    for (size_t row = 0; row < evn_chart_row_count(s->road); row++) {
        *low = fmin(*low, road_at(s, row, 1));
        *high = fmax(*high, road_at(s, row, 1));
    }
}

/* Filled from the foot up to the road, straight between the rows of its chart. */
static bool put_height(const strip *s)
{
    double low, high;
    height_range(s, &low, &high);
    if (high - low < LEVEL_M) {
        fputs("  the road is level\n", s->to);
        return true;
    }
    evn_plot_canvas *canvas = evn_plot_canvas_new(s->columns, HEIGHT_ROWS, s->look->utf8);
    if (!canvas)
        return false;
    size_t row = 0, rows = evn_chart_row_count(s->road);
    for (size_t half = 0; half < 2 * s->columns; half++) {
        double place = s->length_m * ((double)half + 0.5) / (2.0 * (double)s->columns);
        while (row + 2 < rows && road_at(s, row + 1, 0) < place)
            row++;
        double from = road_at(s, row, 0), to = road_at(s, row + 1, 0);
        double share = to > from ? fmin(fmax((place - from) / (to - from), 0), 1) : 1;
        double height = road_at(s, row, 1) + share * (road_at(s, row + 1, 1) - road_at(s, row, 1));
        evn_plot_canvas_span(canvas, half, 0, (height - low) / (high - low));
    }
    fprintf(s->to, "  elevation above the start, m\n");
    put_canvas(s, canvas, HEIGHT_ROWS, low, high);
    evn_plot_canvas_free(canvas);
    return true;
}

/* ------------------------------------------------------------------------------------------------ speed */

static double fastest_of(const strip *s, const evn_plot_truck *trucks, size_t count)
{
    double fastest = 1, low, high;
    for (size_t i = 0; i < count; i++)
        for (size_t half = 0; trucks[i].run && half < 2 * s->columns; half++)
            if (evn_plot_run_speed(trucks[i].run, half, &low, &high))
                fastest = fmax(fastest, high);
    return fastest;
}

/* All columns of the window that may be written. */
static size_t width_of(const strip *s) { return s->columns + EVN_PLOT_MARGIN + 1; }

void evn_plot_put_cut(FILE *to, const char *text, size_t columns)
{
    uint32_t code;
    for (size_t bytes, wide; columns > 0 && (bytes = evn_utf8_next(text, &code)) > 0; text += bytes, columns -= wide) {
        wide = evn_code_columns(code);
        if (wide > columns)
            break;
        fwrite(text, 1, bytes, to);
    }
    fprintf(to, "%*s", (int)columns, "");
}

static double result_of(const evn_plot_truck *truck, const char *key)
{
    double value;
    return truck->results && evn_results_get(truck->results, key, &value) ? value : 0;
}

/* Name and charge, the charge on a line of its own where the window is narrow; so is where it stopped. */
static void put_speed_title(const strip *s, const evn_plot_truck *truck, const char *name)
{
    double first, last, least;
    char charge[CELL] = "";
    if (evn_plot_run_charge(truck->run, &first, &last, &least))
        snprintf(charge, sizeof charge, "state of charge from %.0f to %.0f %%", 100 * first, 100 * last);
    size_t fixed = strlen("  speed, km/h") + (name ? strlen(" of ") : 0);
    size_t cut = name ? evn_text_columns(name) : 0;
    cut = fixed + cut > width_of(s) ? width_of(s) - fixed : cut;
    fputs("  speed", s->to);
    if (name) {
        fputs(" of ", s->to);
        evn_plot_put_cut(s->to, name, cut);
    }
    bool beside = fixed + cut + 2 + strlen(charge) <= width_of(s);
    fprintf(s->to, ", km/h%s%s\n", charge[0] == '\0' ? "" : beside ? "; " : "\n  ", charge);
    if (truck->stopped)
        fprintf(s->to, "  did not finish: %.2f km\n", result_of(truck, "distance_km"));
}

static bool put_speed(const strip *s, const evn_plot_truck *truck, double fastest)
{
    evn_plot_canvas *canvas = evn_plot_canvas_new(s->columns, SPEED_ROWS, s->look->utf8);
    char *name = truck->name ? evn_safe_text(truck->name) : NULL;
    if (!canvas || (truck->name && !name)) {
        evn_plot_canvas_free(canvas);
        free(name);
        return false;
    }
    double low, high;
    for (size_t half = 0; half < 2 * s->columns; half++)
        if (evn_plot_run_speed(truck->run, half, &low, &high))
            evn_plot_canvas_span(canvas, half, low / fastest, high / fastest);
    put_speed_title(s, truck, name);
    free(name);
    put_canvas(s, canvas, SPEED_ROWS, 0, fastest);
    evn_plot_canvas_free(canvas);
    return true;
}

/* How several were driven, below a heading; and who has no bars. */
static bool put_how_driven(const strip *s, const evn_plot_truck *trucks, size_t count, bool bars)
{
    char *text = NULL;
    size_t size = 0, left_out = 0, width = evn_look_prose(s->look);
    FILE *memory = count > 1 ? open_memstream(&text, &size) : NULL;
    if (!memory)
        return count <= 1;
    fputs("Each at its own speeds", memory);
    for (size_t i = 0; bars && i < count; i++)
        if (trucks[i].stopped)
            fprintf(memory, "%s%s (%.2f km)",
                    left_out++ > 0 ? ", " : "; without those that did not finish: ", trucks[i].name,
                    result_of(&trucks[i], "distance_km"));
    bool made =
        fclose(memory) == 0 && evn_put_sentence(s->to, width < width_of(s) ? width : width_of(s), "  ", "%s.", text);
    free(text);
    fputc('\n', s->to);
    return made;
}

static bool put_strip(const strip *s, const evn_plot_truck *trucks, size_t count)
{
    double fastest = fastest_of(s, trucks, count);
    fputc('\n', s->to);
    evn_put_styled(s->to, s->look, EVN_STYLE_STRONG, "Along the route");
    fputs("\n\n", s->to);
    bool made = put_how_driven(s, trucks, count, false) && put_height(s);
    for (size_t i = 0; made && i < count; i++)
        if (trucks[i].run)
            made = put_speed(s, &trucks[i], fastest);
    put_axis(s);
    return made;
}

/* ------------------------------------------------------------------------------------------------ bars */

typedef struct line {
    const char *key, *label;
    double most_kwh;
} line;

/* Of several, one that stopped is not held against those that drove further. */
static bool has_bars(const evn_plot_truck *truck) { return truck->results && !truck->stopped; }

static double kwh_of(const evn_plot_truck *truck, const char *key)
{
    return has_bars(truck) ? result_of(truck, key) : 0;
}

static int larger_first(const void *a, const void *b)
{
    double left = ((const line *)a)->most_kwh, right = ((const line *)b)->most_kwh;
    return left < right ? 1 : left > right ? -1 : 0;
}

/* Lines of the energy balance that are worth a bar in any truck, the largest first; and what comes back. */
static size_t lines_of(const evn_plot_truck *trucks, size_t count, line out[LINES_MOST])
{
    size_t lines = 0, first = 0;
    while (first < count && !has_bars(&trucks[first]))
        first++;
    evn_quantity what;
    double discharged_kwh = first < count ? kwh_of(&trucks[first], "discharged_kwh") : 0;
    for (size_t k = 0; first < count && lines < LINES_MOST && evn_result_row_at(k, &what); k++) {
        if (strncmp(what.key, "energy_balance.", 15) != 0)
            continue;
        double most = 0;
        for (size_t i = 0; i < count; i++)
            most = fmax(most, kwh_of(&trucks[i], what.key));
        if (most > LINE_SHARE_LEAST * discharged_kwh)
            out[lines++] = (line){what.key, what.label, most};
    }
    qsort(out, lines, sizeof *out, larger_first);
    return lines;
}

static void put_bar(const strip *s, const char *label, size_t label_columns, const evn_plot_truck *truck,
                    const char *key, double largest, unsigned columns)
{
    char bar[4 * EVN_PLOT_MOST + 1];
    double kwh = kwh_of(truck, key);
    evn_format_bar(bar, sizeof bar, s->look, kwh / largest, columns);
    fputs(truck->name ? "    " : "  ", s->to);
    evn_plot_put_cut(s->to, label, label_columns);
    fprintf(s->to, " %8.2f  %s\n", kwh, bar);
}

static size_t widest_name(char *const names[], size_t count)
{
    size_t widest = 0;
    for (size_t i = 0; i < count; i++)
        widest = names[i] && evn_text_columns(names[i]) > widest ? evn_text_columns(names[i]) : widest;
    return widest;
}

static void put_lines(const strip *s, const evn_plot_truck *trucks, char *const names[], size_t count,
                      const line lines[], size_t line_count)
{
    size_t wide = widest_name(names, count) > LABEL_COLUMNS ? widest_name(names, count) : LABEL_COLUMNS;
    wide = wide > width_of(s) / 2 ? width_of(s) / 2 : wide;
    size_t taken = wide + (count > 1 ? 4 : 2) + 1 + 8 + 2, all = width_of(s);
    unsigned columns = all > taken + 8 ? (unsigned)(all - taken) : 8;
    for (size_t k = 0; k < line_count; k++) {
        if (count > 1)
            fprintf(s->to, "  %s\n", lines[k].label);
        for (size_t i = 0; i < count; i++)
            if (has_bars(&trucks[i]))
                put_bar(s, count > 1 ? names[i] : lines[k].label, wide, &trucks[i], lines[k].key, lines[0].most_kwh,
                        columns);
    }
}

static bool put_bars(const strip *s, const evn_plot_truck *trucks, size_t count)
{
    line lines[LINES_MOST];
    size_t line_count = lines_of(trucks, count, lines);
    char **names = calloc(count, sizeof *names);
    bool made = names;
    for (size_t i = 0; made && count > 1 && i < count; i++) {
        names[i] = evn_safe_text(trucks[i].name);
        made = names[i];
    }
    if (made && line_count > 0) {
        fputc('\n', s->to);
        evn_put_styled(s->to, s->look, EVN_STYLE_STRONG, "Energy balance, largest first, kWh");
        fputs("\n\n", s->to);
        made = put_how_driven(s, trucks, count, true);
        put_lines(s, trucks, names, count, lines, line_count);
    }
    for (size_t i = 0; names && i < count; i++)
        free(names[i]);
    free(names);
    return made;
}

/* ------------------------------------------------------------------------------------------------ both */

bool evn_plot_balance(const evn_plot_truck *trucks, size_t count, FILE *to, const evn_look *look)
{
    return put_bars(&(strip){.columns = evn_plot_columns(look), .to = to, .look = look}, trucks, count);
}

bool evn_plot_print(const evn_cycle *cycle, const evn_plot_truck *trucks, size_t count, FILE *to, const evn_look *look)
{
    evn_report *report = evn_report_new();
    evn_chart *road = NULL;
    bool made = report && evn_chart_of_road(cycle, &road, report) == EVN_DONE;
    if (made) {
        double length_m = evn_chart_row(road, evn_chart_row_count(road) - 1)[0];
        strip s = {cycle, road, evn_plot_columns(look), length_m, to, look};
        made = put_strip(&s, trucks, count) && put_bars(&s, trucks, count);
        evn_chart_free(road);
    }
    evn_report_free(report);
    return made;
}
