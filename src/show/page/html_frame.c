/*
 * Trucks as drawings to scale, from the side and from below: SVG without scripts. Letters stand at what is named, names
 * outside in a list; dimensions in metres below the side view.
 */
#define _POSIX_C_SOURCE 200809L
#include "show/page/html_frame.h"
#include "evener/site.h"
#include "show/page/html_write.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* In units of the drawing: its width, margins, and room for dimensions. Letters are set for a phone in style.css. */
static const double WIDTH = 640, MARGIN = 8, SCALE_ROOM = 32, BETWEEN = 16, DIMENSIONS = 40;
enum { NAMED_MOST = 26, AXLES_MOST = 16 };
static const double DRAWN_APART = 0.1; /* that places written with one digit differ */

typedef struct place {
    double x, y;
} place;

typedef struct sheet {
    FILE *to;
    const evn_drawing *drawing;
    double left_m, right_m, truck_left_m, truck_right_m, top_m,
        half_m;                    /* what is drawn, with the trailer and without */
    double ground, middle, height; /* of the side view, of that from below, of all */
    double from_m, units_m;        /* of the view that is drawn now */
    const char *name[NAMED_MOST];  /* by letter */
    place letter[NAMED_MOST];
    size_t names;
} sheet;

/* ------------------------------------------------------------------------------------------------ measures */

static double along(const sheet *s, double m) { return MARGIN + (m - s->from_m) * s->units_m; }
static double upright(const sheet *s, double m) { return s->ground - m * s->units_m; }
static double across(const sheet *s, double m) { return s->middle + m * s->units_m; }

static double units_of(double from_m, double to_m) { return (WIDTH - 2 * MARGIN) / (to_m - from_m); }

/* From the side with the trailer, from below without it, as large as the width allows: each view has a scale of its
 * own. */
static void see_from_side(sheet *s)
{
    s->from_m = s->left_m;
    s->units_m = units_of(s->left_m, s->right_m);
}

static void see_from_below(sheet *s)
{
    s->from_m = s->truck_left_m;
    s->units_m = units_of(s->truck_left_m, s->truck_right_m);
}

static void measure(sheet *s)
{
    evn_site_shape is;
    evn_drawing_ends(s->drawing, &s->truck_left_m, &s->truck_right_m);
    for (size_t k = 0; evn_drawing_at(s->drawing, k, &is); k++) {
        s->top_m = fmax(s->top_m, is.high_m);
        s->left_m = fmin(s->left_m, is.from_m);
        s->right_m = fmax(s->right_m, is.to_m);
        if (is.trailer)
            continue;
        s->half_m = fmax(s->half_m, fmax(-is.left_m, is.right_m));
        s->truck_left_m = fmin(s->truck_left_m, is.from_m);
        s->truck_right_m = fmax(s->truck_right_m, is.to_m);
    }
    s->left_m = fmin(s->left_m, s->truck_left_m);
    s->right_m = fmax(s->right_m, s->truck_right_m);
    see_from_side(s);
    s->ground = MARGIN + s->top_m * s->units_m;
    see_from_below(s);
    s->middle = s->ground + SCALE_ROOM + BETWEEN + s->half_m * s->units_m;
    s->height = s->middle + s->half_m * s->units_m + DIMENSIONS + SCALE_ROOM;
}

/* ------------------------------------------------------------------------------------------------ shapes */

static const char *const classes[] = {
    [EVN_PART_TRAILER] = "shell",   [EVN_PART_CAB] = "shell",       [EVN_PART_BODY] = "shell",
    [EVN_PART_TIPPER] = "shell",    [EVN_PART_RAIL] = "rail",       [EVN_PART_FIFTH_WHEEL] = "rail",
    [EVN_PART_AXLE] = "beam",       [EVN_PART_BATTERY] = "battery", [EVN_PART_SHAFT] = "shaft",
    [EVN_PART_GEARBOX] = "gearbox", [EVN_PART_MOTOR] = "motor",     [EVN_PART_AXLE_DRIVE] = "gearbox",
    [EVN_PART_HOUSING] = "gearbox", [EVN_PART_TYRE] = "tyre"};

static void put_points(const sheet *s, const char *class_name, const double (*at)[2], size_t count)
{
    fprintf(s->to, "<path class=\"%s\" d=\"", class_name);
    for (size_t k = 0; k < count; k++)
        fprintf(s->to, "%s%.1f %.1f", k == 0 ? "M" : "L", along(s, at[k][0]), upright(s, at[k][1]));
    fputs("z\"/>", s->to);
}

/* A cab over its axle: upright front with a raked windscreen, a side window. */
static void put_cab(const sheet *s, const evn_site_shape *is)
{
    double length_m = is->to_m - is->from_m, height_m = is->high_m - is->low_m;
    double rake_m = 0.08 * length_m, sill_m = is->low_m + 0.48 * height_m, head_m = is->low_m + 0.8 * height_m;
    put_points(s, "shell",
               (const double[][2]){{is->from_m, is->low_m},
                                   {is->to_m, is->low_m},
                                   {is->to_m, is->high_m},
                                   {is->from_m + 2.2 * rake_m, is->high_m},
                                   {is->from_m + rake_m, head_m},
                                   {is->from_m, sill_m}},
               6);
    put_points(s, "glass",
               (const double[][2]){{is->from_m + 0.1 * length_m, sill_m},
                                   {is->from_m + 0.52 * length_m, sill_m},
                                   {is->from_m + 0.52 * length_m, head_m},
                                   {is->from_m + 0.1 * length_m + rake_m, head_m}},
               4);
}

/* A tipping body: its front wall upright, its tail raked, a canopy over the cab's rear. */
static void put_tipper(const sheet *s, const evn_site_shape *is)
{
    double height_m = is->high_m - is->low_m;
    put_points(s, "shell",
               (const double[][2]){{is->from_m, is->low_m},
                                   {is->to_m - 0.35 * height_m, is->low_m},
                                   {is->to_m, is->low_m + 0.45 * height_m},
                                   {is->to_m, is->high_m},
                                   {is->from_m - 0.12 * height_m, is->high_m + 0.08 * height_m},
                                   {is->from_m, is->high_m - 0.06 * height_m}},
               6);
    for (int rib = 1; rib < 5; rib++) {
        double m = is->from_m + rib * (is->to_m - is->from_m) / 5;
        fprintf(s->to, "<path class=\"rib\" d=\"M%.1f %.1fV%.1f\"/>", along(s, m), upright(s, is->low_m),
                upright(s, is->high_m));
    }
}

/* The tyre's circle, where it stands on the ground down to it, the rim, and the hub: full where the axle is driven. An
 * arc would have to end elsewhere than it begins, which that of a lifted wheel does not. */
static void put_wheel(const sheet *s, const evn_site_shape *is)
{
    double radius = (is->to_m - is->from_m) / 2 * s->units_m, x = along(s, (is->from_m + is->to_m) / 2);
    double y = upright(s, (is->low_m + is->high_m) / 2), sunk = fmin(s->ground - y, radius);
    double chord = sqrt(fmax(radius * radius - sunk * sunk, 0));
    if (chord < DRAWN_APART)
        fprintf(s->to, "<circle class=\"tyre\" cx=\"%.1f\" cy=\"%.1f\" r=\"%.1f\"/>", x, y, radius);
    else
        fprintf(s->to, "<path class=\"tyre\" d=\"M%.1f %.1fA%.1f %.1f 0 1 1 %.1f %.1fz\"/>", x - chord, y + sunk,
                radius, radius, x + chord, y + sunk);
    fprintf(s->to, "<circle class=\"rim\" cx=\"%.1f\" cy=\"%.1f\" r=\"%.1f\"/>", x, y, 0.56 * radius);
    fprintf(s->to, "<circle class=\"%s\" cx=\"%.1f\" cy=\"%.1f\" r=\"%.1f\"/>", is->driven ? "hub driven" : "hub", x, y,
            0.24 * radius);
}

static void put_sloping(const sheet *s, const evn_site_shape *is)
{
    put_points(s, classes[is->part],
               (const double[][2]){{is->from_m, is->low_m},
                                   {is->to_m, is->low_m + is->rise_m},
                                   {is->to_m, is->high_m + is->rise_m},
                                   {is->from_m, is->high_m}},
               4);
}

static void put_from_side(const sheet *s, const evn_site_shape *is)
{
    if (is->part == EVN_PART_CAB)
        put_cab(s, is);
    else if (is->part == EVN_PART_TIPPER)
        put_tipper(s, is);
    else if (is->part == EVN_PART_TYRE && is->left_m < 0)
        put_wheel(s, is);
    else if (is->part != EVN_PART_TYRE && is->part != EVN_PART_AXLE)
        put_sloping(s, is);
}

static void put_from_below(const sheet *s, const evn_site_shape *is)
{
    double radius = is->part == EVN_PART_TYRE || is->part == EVN_PART_MOTOR ? 3 : 0.5;
    fprintf(s->to, "<rect class=\"%s%s\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" height=\"%.1f\" rx=\"%.1f\"/>",
            classes[is->part], is->driven && is->part == EVN_PART_AXLE ? " driven" : "", along(s, is->from_m),
            across(s, is->left_m), (is->to_m - is->from_m) * s->units_m, (is->right_m - is->left_m) * s->units_m,
            radius);
}

/* ------------------------------------------------------------------------------------------------ names */

static bool is_named(const evn_site_shape *is)
{
    return is->name && is->part != EVN_PART_AXLE && is->part != EVN_PART_FIFTH_WHEEL;
}

static double nearest(const sheet *s, place at)
{
    double least = (double)INFINITY;
    for (size_t k = 0; k < s->names; k++)
        least = fmin(least, hypot(at.x - s->letter[k].x, at.y - s->letter[k].y));
    return least;
}

/* In the middle of what it names; where another letter stands there, on a side of it. */
static place place_of(const sheet *s, const evn_site_shape *is)
{
    static const double APART = 22;
    static const double shares[][2] = {{0.5, 0.5}, {0.5, 0.33}, {0.5, 0.67}, {0.2, 0.5},
                                       {0.8, 0.5}, {0.5, 0.2},  {0.5, 0.8}};
    place best = {0, 0};
    double most = -1;
    for (size_t k = 0; k < sizeof shares / sizeof *shares && most < APART; k++) {
        place at = {along(s, is->from_m + shares[k][0] * (is->to_m - is->from_m)),
                    across(s, is->left_m + shares[k][1] * (is->right_m - is->left_m))};
        double apart = nearest(s, at);
        if (apart > most) {
            most = apart;
            best = at;
        }
    }
    return best;
}

/* From below all is seen; there the letters stand. What is small is named first: what is large has more room. */
static void put_letters(sheet *s)
{
    evn_site_shape is;
    for (int large = 0; large < 2; large++)
        for (size_t k = 0; evn_drawing_at(s->drawing, k, &is) && s->names < NAMED_MOST; k++) {
            if (!is_named(&is) || (is.part == EVN_PART_BATTERY) != large)
                continue;
            place at = place_of(s, &is);
            fprintf(s->to, "<text class=\"letter\" x=\"%.1f\" y=\"%.1f\" dy=\".36em\">%c</text>", at.x, at.y,
                    (char)('A' + s->names));
            s->letter[s->names] = at;
            s->name[s->names++] = is.name;
        }
}

/* Identifiers as words: "behind_cab" as "behind cab". */
static void put_words(FILE *to, const char *name)
{
    for (const char *end; (end = strchr(name, '_')); name = end + 1) {
        char *before = strndup(name, (size_t)(end - name));
        evn_html_text(to, before ? before : "");
        fputc(' ', to);
        free(before);
    }
    evn_html_text(to, name);
}

static void put_names(const sheet *s)
{
    fputs("<ol class=\"parts\">", s->to);
    for (size_t k = 0; k < s->names; k++) {
        fputs("<li>", s->to);
        put_words(s->to, s->name[k]);
        fputs("</li>", s->to);
    }
    fputs("</ol>\n", s->to);
}

/* ------------------------------------------------------------------------------------------------ dimensions */

/* Places between which there is a dimension: the front end, the axles, the rear end of the truck. */
static size_t places_of(const sheet *s, double place_m[AXLES_MOST + 2])
{
    size_t count = 1;
    evn_site_shape is;
    evn_drawing_ends(s->drawing, &place_m[0], &place_m[AXLES_MOST + 1]);
    for (size_t k = 0; evn_drawing_at(s->drawing, k, &is); k++)
        if (is.part == EVN_PART_AXLE && !is.trailer && count <= AXLES_MOST)
            place_m[count++] = (is.from_m + is.to_m) / 2;
    place_m[count++] = place_m[AXLES_MOST + 1];
    return count;
}

static void put_dimensions(const sheet *s)
{
    static const double NUMBER = 52;
    double place_m[AXLES_MOST + 2];
    size_t count = places_of(s, place_m);
    double y = across(s, s->half_m) + 10;
    for (size_t k = 0; k < count; k++)
        fprintf(s->to, "<path class=\"measure\" d=\"M%.1f %.1fv10\"/>", along(s, place_m[k]), y - 5);
    fprintf(s->to, "<path class=\"measure\" d=\"M%.1f %.1fH%.1f\"/>", along(s, place_m[0]), y,
            along(s, place_m[count - 1]));
    for (size_t k = 0; k + 1 < count; k++)
        fprintf(s->to, "<text class=\"number\" x=\"%.1f\" y=\"%.1f\">%.2f</text>",
                fmin(fmax((along(s, place_m[k]) + along(s, place_m[k + 1])) / 2, NUMBER / 2), WIDTH - NUMBER / 2),
                y + 24, place_m[k + 1] - place_m[k]);
}

static void put_scale(const sheet *s, double y, const char *behind)
{
    double x = MARGIN;
    fprintf(s->to, "<path class=\"scale\" d=\"M%.1f %.1fv-8M%.1f %.1fh%.1fM%.1f %.1fv-8\"/>", x, y, x, y, s->units_m,
            x + s->units_m, y);
    fprintf(s->to, "<text class=\"at\" x=\"%.1f\" y=\"%.1f\">1 m%s</text>", x + s->units_m + 8, y, behind);
}

/* ------------------------------------------------------------------------------------------------ the whole */

static void put_side(sheet *s)
{
    evn_site_shape is;
    see_from_side(s);
    fprintf(s->to, "<path class=\"ground\" d=\"M0 %.1fH%.0f\"/>", s->ground, WIDTH);
    for (size_t k = 0; evn_drawing_at(s->drawing, k, &is); k++)
        put_from_side(s, &is);
    put_scale(s, s->ground + SCALE_ROOM - 8, "");
}

static void put_below(sheet *s)
{
    evn_site_shape is;
    see_from_below(s);
    for (size_t k = 0; evn_drawing_at(s->drawing, k, &is); k++)
        if (!is.trailer)
            put_from_below(s, &is);
    put_letters(s);
    put_dimensions(s);
    put_scale(s, s->height - 8, "; dimensions in m");
}

static void put_drawing(sheet *s)
{
    measure(s);
    fprintf(s->to,
            "<svg class=\"frame\" viewBox=\"0 0 %.0f %.1f\" role=\"img\" aria-label=\"From the side and from below, "
            "to scale\">",
            WIDTH, s->height);
    put_side(s);
    put_below(s);
    fputs("</svg>\n", s->to);
    put_names(s);
}

void evn_html_frame(FILE *to, const evn_drawing *drawing)
{
    sheet s = {.to = to, .drawing = drawing};
    const char *missing = evn_drawing_missing(drawing);
    if (!missing) {
        put_drawing(&s);
        return;
    }
    fputs("<p>No drawing: ", to);
    evn_html_text(to, missing);
    fputs(" is not stated.</p>\n", to);
}
