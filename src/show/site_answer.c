/* What decides between trucks where they work: picked from their figures, nothing is reckoned here. */
#define _POSIX_C_SOURCE 200809L
#include "show/site_answer.h"
#include "show/text.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ amounts */

void evn_site_amount(const evn_look *look, const evn_site_figure *f, double value, char out[EVN_SITE_CELL])
{
    const char *unit = evn_shown_unit(&f->what);
    out[0] = '\0';
    if (isnan(value))
        return;
    evn_format_value(out, EVN_SITE_CELL / 2, look, &f->what, value);
    snprintf(out + strlen(out), EVN_SITE_CELL / 2, "%s%s", unit[0] != '\0' ? " " : "", unit);
}

void evn_site_margin(const evn_look *look, const evn_site_figure *f, char out[EVN_SITE_CELL])
{
    char amount[EVN_SITE_CELL];
    evn_site_amount(look, f, f->margin, amount);
    snprintf(out, EVN_SITE_CELL, "%s%.*s", f->margin > 0 ? "+" : "", EVN_SITE_CELL - 2, amount);
}

bool evn_site_is_not_met(const evn_site_figure *f) { return f->margin < 0 || (f->demanded && isnan(f->margin)); }

/* ------------------------------------------------------------------------------------------------ rows */

typedef enum pick {
    BY_KEY,         /* the figure of this key */
    LEAST_MARGIN,   /* of a group's column, the one nearest to its limit */
    LARGEST,        /* of a group's column, the largest */
    LEAST,          /* of a group's column, the least; one that is not known goes before */
    HEAVIEST_DRIVEN /* the column of the driven axle with most unsprung mass */
} pick;
typedef enum place { PLACE_NONE, PLACE_WHY, PLACE_ROW, PLACE_ROW_WHY } place;

static const struct deciding {
    evn_site_deciding row;
    pick pick;
    const char *group, *column; /* of BY_KEY: the whole key, and another that counts where there is none of it */
    place place;
} deciding[] = {
    {{"lowest_mm", "lowest point", "lowest point over the ground, laden"},
     BY_KEY,
     "clearance.truck.laden_mm",
     NULL,
     PLACE_WHY},
    {{"under_drive_mm", "height margin", "height nearest its limit, laden"},
     LEAST_MARGIN,
     "clearance",
     "laden_mm",
     PLACE_WHY},
    {{"ramp_deg", "ramp angle", "ramp angle, laden"}, BY_KEY, "clearance.angles.ramp_deg", NULL, PLACE_NONE},
    {{"fastest_km_h", "fastest, laden", "fastest on the track, laden"},
     BY_KEY,
     "ride.truck.fastest_km_h",
     NULL,
     PLACE_WHY},
    {{"fastest_empty_km_h", "fastest, empty", "fastest on the track, empty"},
     BY_KEY,
     "ride.truck.fastest_empty_km_h",
     NULL,
     PLACE_WHY},
    {{"unsprung_kg", "unsprung, most", "most unsprung mass of a driven axle"},
     HEAVIEST_DRIVEN,
     "ride",
     "unsprung_kg",
     PLACE_ROW},
    {{"own_peak_m_s2", "axle shaken", "acceleration of that axle, largest"},
     HEAVIEST_DRIVEN,
     "ride",
     "own_peak_m_s2",
     PLACE_WHY},
    {{"machine_peak_m_s2", "machine shaken", "acceleration of a drive unit's machine, largest"},
     LARGEST,
     "ride",
     "shake_peak_m_s2",
     PLACE_ROW_WHY},
    {{"mounting_peak_kn", "mounting force", "force on what holds a machine, largest, beside its weight"},
     LARGEST,
     "ride",
     "mounting_peak_kn",
     PLACE_ROW_WHY},
    {{"tyre_kn", "tyre load, RMS", "dynamic tyre load of that axle, RMS"},
     HEAVIEST_DRIVEN,
     "ride",
     "tyre_kn",
     PLACE_WHY},
    {{"axle_load_kg", "axle load", "axle load nearest its limit, laden"},
     LEAST_MARGIN,
     "axle_loads",
     "laden_kg",
     PLACE_ROW},
    {{"clauses_not_met", "clauses not met", "clauses not met"}, BY_KEY, "rules.set.not_met", NULL, PLACE_NONE},
    {{"payload_kg", "payload, placed", "payload left, placed as stated"},
     BY_KEY,
     "payload.rules.as_placed_kg",
     "payload.permitted.as_placed_kg",
     PLACE_NONE},
    {{"payload_best_kg", "payload, best", "payload left, placed best"},
     BY_KEY,
     "payload.rules.placed_best_kg",
     "payload.permitted.placed_best_kg",
     PLACE_NONE},
    {{"battery_kwh", "largest battery", "largest battery with the payload as asked"},
     BY_KEY,
     "packaging.largest.installed_kwh",
     NULL,
     PLACE_WHY},
    {{"range_km", "its range", "range of that battery"}, BY_KEY, "packaging.largest.range_km", NULL, PLACE_NONE},
    {{"rollover_g", "rollover, laden", "lowest static rollover threshold, laden"},
     LEAST,
     "rollover",
     "laden_g",
     PLACE_ROW},
};
enum { ROWS = sizeof deciding / sizeof deciding[0] };

bool evn_site_deciding_at(size_t index, evn_site_deciding *out)
{
    if (index >= ROWS)
        return false;
    *out = deciding[index].row;
    return true;
}

static bool is_of(const evn_site_figure *f, const char *group, const char *column)
{
    return strcmp(f->group, group) == 0 && strcmp(f->column, column) == 0;
}

static bool least_margin(const evn_site *site, const struct deciding *d, evn_site_figure *out)
{
    evn_site_figure f;
    bool found = false;
    for (size_t k = 0; evn_site_at(site, k, &f); k++) {
        if (!is_of(&f, d->group, d->column) || strcmp(f.row, "gross") == 0 || isnan(f.margin) ||
            (found && !(f.margin < out->margin)))
            continue;
        *out = f;
        found = true;
    }
    return found;
}

static bool largest(const evn_site *site, const struct deciding *d, evn_site_figure *out)
{
    evn_site_figure f;
    bool found = false;
    for (size_t k = 0; evn_site_at(site, k, &f); k++) {
        if (!is_of(&f, d->group, d->column) || (found && !(f.value > out->value) && !isnan(out->value)))
            continue;
        *out = f;
        found = true;
    }
    return found;
}

static bool least(const evn_site *site, const struct deciding *d, evn_site_figure *out)
{
    evn_site_figure f;
    bool found = false;
    for (size_t k = 0; evn_site_at(site, k, &f); k++) {
        if (!is_of(&f, d->group, d->column) || (found && (f.value >= out->value || isnan(out->value))))
            continue;
        *out = f;
        found = true;
    }
    return found;
}

/* What the drive adds is told of driven axles alone. */
static bool is_driven(const evn_site *site, const char *row)
{
    evn_site_figure f;
    for (size_t k = 0; evn_site_at(site, k, &f); k++)
        if (is_of(&f, "ride", "drive_kg") && strcmp(f.row, row) == 0)
            return f.value > 0;
    return false;
}

static bool heaviest_driven(const evn_site *site, const struct deciding *d, evn_site_figure *out)
{
    evn_site_figure f;
    const char *row = NULL;
    double most_kg = 0;
    bool found = false;
    for (size_t k = 0; evn_site_at(site, k, &f); k++) {
        if (!is_of(&f, "ride", "unsprung_kg") || !(f.value > most_kg) || !is_driven(site, f.row))
            continue;
        row = f.row;
        most_kg = f.value;
    }
    for (size_t k = 0; row && !found && evn_site_at(site, k, out); k++)
        found = is_of(out, d->group, d->column) && strcmp(out->row, row) == 0;
    return found;
}

static bool picked(const evn_site *site, const struct deciding *d, evn_site_figure *out)
{
    switch (d->pick) {
    case LEAST_MARGIN:
        return least_margin(site, d, out);
    case LARGEST:
        return largest(site, d, out);
    case LEAST:
        return least(site, d, out);
    case HEAVIEST_DRIVEN:
        return heaviest_driven(site, d, out);
    case BY_KEY:
        break;
    }
    return evn_site_get(site, d->group, out) || (d->column && evn_site_get(site, d->column, out));
}

bool evn_site_decides(const evn_site_story *story, size_t index, const evn_site *site, evn_site_figure *out,
                      char where[EVN_SITE_WHERE])
{
    const struct deciding *d = &deciding[index];
    where[0] = '\0';
    if (!picked(site, d, out) || !evn_site_tells(story, out->group))
        return false;
    bool row = (d->place == PLACE_ROW || d->place == PLACE_ROW_WHY) && !isnan(out->value);
    bool why = (d->place == PLACE_WHY || d->place == PLACE_ROW_WHY || isnan(out->value)) && out->why;
    snprintf(where, EVN_SITE_WHERE, "%s%s%s", row ? out->row_label : "", row && why ? "; " : "", why ? out->why : "");
    return true;
}

/* ------------------------------------------------------------------------------------------------ against */

enum { MISSES_TOLD = 3 };

/* Of "Annex I 3.5.3 (read in public tables of it)" what names the source. */
static size_t named_bytes(const char *source)
{
    size_t bytes = strcspn(source, "(");
    while (bytes > 0 && source[bytes - 1] == ' ')
        bytes--;
    return bytes;
}

/* A clause by whom it limits and its source; by its name in the file only where that is a word. */
static void put_miss(FILE *to, const evn_site_figure *f)
{
    char value[EVN_SITE_CELL], limit[EVN_SITE_CELL], margin[EVN_SITE_CELL];
    bool clause = strcmp(f->group, "rules") == 0;
    evn_site_amount(NULL, f, f->value, value);
    evn_site_amount(NULL, f, f->limit, limit);
    evn_site_margin(NULL, f, margin);
    fprintf(to, "%s%s ", clause ? "by the rules " : "",
            clause && strchr(f->row, '_') ? f->column_label : f->what.label);
    if (isnan(f->margin))
        fprintf(to, "cannot be judged (%s", f->why ? f->why : "no reason is told");
    else
        fprintf(to, "%s, %s %s (%s%s%s", value, f->demanded ? "demanded" : "limit", limit, margin,
                !clause && f->demanded && f->why ? "; " : "", !clause && f->demanded && f->why ? f->why : "");
    if (clause && f->source)
        fprintf(to, "; %.*s", (int)named_bytes(f->source), f->source);
    fputc(')', to);
}

static bool is_sum(const evn_site_figure *f) { return strcmp(f->what.key, "rules.set.not_met") == 0; }

/* Whether another that is not met stands for this one: of demands one that comes before it in its row, as laden before
 * empty; of what was not asked for the one of its column that is furthest from its limit. */
static bool stands_for(const evn_site_figure *other, size_t at, const evn_site_figure *f, size_t index)
{
    if (other->demanded != f->demanded || !evn_site_is_not_met(other) || strcmp(other->group, f->group) != 0)
        return false;
    if (f->demanded)
        return at < index && strcmp(other->row, f->row) == 0 && strcmp(f->group, "rules") != 0;
    return strcmp(other->column, f->column) == 0 &&
           (other->margin < f->margin || (at < index && !(f->margin < other->margin)));
}

/* The sum of a set of rules is told by its clauses. */
static bool counts(const evn_site_story *story, const evn_site *site, size_t index, bool demanded, evn_site_figure *f)
{
    evn_site_figure other;
    if (!evn_site_at(site, index, f) || f->demanded != demanded || !evn_site_is_not_met(f) ||
        !evn_site_tells(story, f->group) || is_sum(f))
        return false;
    for (size_t k = 0; evn_site_at(site, k, &other); k++)
        if (k != index && stands_for(&other, k, f, index))
            return false;
    return true;
}

/* The lowest of a truck's axles, laden, where no limit is held against any of them. */
static bool lowest_unheld_axle(const evn_site *site, evn_site_figure *out)
{
    evn_site_figure f;
    bool found = false, held = false;
    for (size_t k = 0; evn_site_at(site, k, &f); k++) {
        if (!is_of(&f, "clearance", "laden_mm") || strncmp(f.row_label, "axle ", 5) != 0)
            continue;
        held = held || !isnan(f.limit);
        if (isnan(f.value) || (found && f.value >= out->value))
            continue;
        *out = f;
        found = true;
    }
    return found && !held;
}

/* The height that is usual under a drive on an axle is held against no other axle, however low it is. */
static void put_one_sided(const evn_site_story *story, const evn_site_figure *miss, FILE *to)
{
    evn_site_figure f;
    char value[EVN_SITE_CELL];
    if (miss->demanded || isnan(miss->margin) || !is_of(miss, "clearance", "laden_mm"))
        return;
    fputs(", usual under a drive on the axle", to);
    for (size_t i = 0; i < story->count; i++) {
        if (!lowest_unheld_axle(story->truck[i].site, &f) || !(f.value < miss->limit))
            continue;
        evn_site_amount(NULL, &f, f.value, value);
        fprintf(to, "; %s, without one, is at %s, %s, held to no limit", evn_site_title(&story->truck[i]), value,
                f.row_label);
    }
}

static size_t put_misses(const evn_site_story *story, const evn_site *site, bool demanded, const char *before, FILE *to)
{
    evn_site_figure f;
    size_t count = 0;
    for (size_t k = 0; k < evn_site_count(site); k++) {
        if (!counts(story, site, k, demanded, &f))
            continue;
        if (count < MISSES_TOLD) {
            fputs(count == 0 ? before : "; ", to);
            put_miss(to, &f);
            put_one_sided(story, &f, to);
        }
        count++;
    }
    if (count > MISSES_TOLD)
        fprintf(to, "; and %zu more", count - MISSES_TOLD);
    return count;
}

static char *ended(FILE *to, char **text, bool made)
{
    made = to && !ferror(to) && made;
    if (to && fclose(to) == 0 && made)
        return *text;
    free(*text);
    return NULL;
}

char *evn_site_against(const evn_site_story *story, size_t truck)
{
    const evn_site_truck *of = &story->truck[truck];
    char *text = NULL;
    size_t bytes = 0;
    FILE *to = open_memstream(&text, &bytes);
    if (to) {
        fprintf(to, "%s: ", evn_site_title(of));
        if (put_misses(story, of->site, true, "", to) == 0)
            fputs("nothing asked is missed", to);
        put_misses(story, of->site, false, "; beyond a limit that was not asked for: ", to);
        fputc('.', to);
    }
    return ended(to, &text, true);
}

/* ------------------------------------------------------------------------------------------------ differences */

static const double ALIKE = 0.01; /* of the most */

/* One thing of which more is better. */
typedef struct contest {
    evn_site_figure most, least;
    size_t best, worst, known;
} contest;

static contest contest_of(const evn_site_story *story, size_t row)
{
    contest c = {.known = 0};
    evn_site_figure f;
    char where[EVN_SITE_WHERE];
    for (size_t i = 0; i < story->count; i++) {
        if (!evn_site_decides(story, row, story->truck[i].site, &f, where) || isnan(f.value))
            continue;
        if (c.known == 0 || f.value > c.most.value) {
            c.most = f;
            c.best = i;
        }
        if (c.known == 0 || f.value < c.least.value) {
            c.least = f;
            c.worst = i;
        }
        c.known++;
    }
    return c;
}

static bool near(double most, double value) { return most - value <= ALIKE * fabs(most); }

/* What is largest within the file's limits may be against the rules asked for. */
static const char *not_ruled(const evn_site_figure *f)
{
    bool is = f->why && strncmp(f->why, EVN_SITE_NOT_RULED, sizeof EVN_SITE_NOT_RULED - 1) == 0;
    return is ? ", with which it " EVN_SITE_NOT_RULED : "";
}

static void put_contest(const evn_site_story *story, size_t row, const contest *c, FILE *to)
{
    char most[EVN_SITE_CELL], least[EVN_SITE_CELL];
    evn_site_figure f;
    char where[EVN_SITE_WHERE];
    evn_site_amount(NULL, &c->most, c->most.value, most);
    evn_site_amount(NULL, &c->least, c->least.value, least);
    fprintf(to, "%s: ", deciding[row].row.words);
    if (near(c->most.value, c->least.value)) {
        fprintf(to, "alike within 1 %% (%s to %s)", least, most);
        for (size_t i = 0; i < story->count; i++)
            if (evn_site_decides(story, row, story->truck[i].site, &f, where) && not_ruled(&f)[0] != '\0')
                fprintf(to, ", %s%s", evn_site_title(&story->truck[i]), not_ruled(&f));
        return;
    }
    fprintf(to, "most with %s (%s%s)", evn_site_title(&story->truck[c->best]), most, not_ruled(&c->most));
    for (size_t i = 0; i < story->count; i++)
        if (i != c->best && evn_site_decides(story, row, story->truck[i].site, &f, where) && !isnan(f.value) &&
            near(c->most.value, f.value))
            fprintf(to, ", %s within 1 %% of it%s", evn_site_title(&story->truck[i]), not_ruled(&f));
    fprintf(to, ", least with %s (%s%s)", evn_site_title(&story->truck[c->worst]), least, not_ruled(&c->least));
}

char *evn_site_differences(const evn_site_story *story)
{
    static const char *const asked[] = {"lowest_mm", "payload_kg", "battery_kwh"};
    char *text = NULL;
    size_t bytes = 0, told = 0;
    FILE *to = open_memstream(&text, &bytes);
    for (size_t k = 0; to && k < sizeof asked / sizeof asked[0]; k++)
        for (size_t row = 0; row < ROWS; row++) {
            contest c = strcmp(deciding[row].row.key, asked[k]) == 0 ? contest_of(story, row) : (contest){.known = 0};
            if (c.known < 2)
                continue;
            fputs(told++ > 0 ? "; " : "Differences: ", to);
            put_contest(story, row, &c, to);
        }
    if (told > 0)
        fputc('.', to);
    return ended(to, &text, true);
}
