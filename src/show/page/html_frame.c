/*
 * Trucks as drawings to scale, from the side and from below: SVG without scripts. Letters stand at what is named, names
 * outside in a list; dimensions in metres below the side view.
 */
#include "show/page/html_frame.h"
#include "evener/site.h"
#include "show/page/html_write.h"
#include <math.h>
#include <string.h>

/* In units of the drawing: its width, margins, and room for dimensions. Letters are set for a phone in style.css. */
static const double WIDTH = 640, MARGIN = 8, DIMENSIONS = 74, BETWEEN = 26, SCALE_ROOM = 34;
enum { NAMED_MOST = 26, AXLES_MOST = 16 };

typedef struct sheet {
    FILE *to;
    const evn_drawing *drawing;
    double units_m;                        /* per metre */
    double left_m, right_m, top_m, half_m; /* what is drawn */
    double ground, middle;                 /* of the side view, and of that from below */
    const char *name[NAMED_MOST];          /* by letter */
    size_t names;
} sheet;

/* ------------------------------------------------------------------------------------------------ measures */

static double along(const sheet *s, double m) { return MARGIN + (m - s->left_m) * s->units_m; }
static double upright(const sheet *s, double m) { return s->ground - m * s->units_m; }
static double across(const sheet *s, double m) { return s->middle + m * s->units_m; }

static void measure(sheet *s)
{
    evn_site_shape is;
    evn_drawing_ends(s->drawing, &s->left_m, &s->right_m);
    for (size_t k = 0; evn_drawing_at(s->drawing, k, &is); k++) {
        s->left_m = fmin(s->left_m, is.from_m);
        s->right_m = fmax(s->right_m, is.to_m);
        s->top_m = fmax(s->top_m, is.high_m);
        if (!is.trailer)
            s->half_m = fmax(s->half_m, fmax(-is.left_m, is.right_m));
    }
    s->units_m = (WIDTH - 2 * MARGIN) / (s->right_m - s->left_m);
    s->ground = MARGIN + s->top_m * s->units_m;
    s->middle = s->ground + DIMENSIONS + BETWEEN + s->half_m * s->units_m;
}

static double height_of(const sheet *s) { return s->middle + s->half_m * s->units_m + SCALE_ROOM; }

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

/* The tyre's circle down to the ground, the rim, and the hub: full where the axle is driven. */
static void put_wheel(const sheet *s, const evn_site_shape *is)
{
    double radius = (is->to_m - is->from_m) / 2 * s->units_m, x = along(s, (is->from_m + is->to_m) / 2);
    double y = upright(s, (is->low_m + is->high_m) / 2), sunk = fmin(s->ground - y, radius);
    double chord = sqrt(fmax(radius * radius - sunk * sunk, 0));
    fprintf(s->to, "<path class=\"tyre\" d=\"M%.1f %.1fA%.1f %.1f 0 1 1 %.1f %.1fz\"/>", x - chord, y + sunk, radius,
            radius, x + chord, y + sunk);
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

static void put_letter(const sheet *s, size_t letter, double x, double y)
{
    fprintf(s->to, "<text class=\"letter\" x=\"%.1f\" y=\"%.1f\">%c</text>", x, y, (char)('A' + letter));
}

/* From below all is seen; there the letters stand, in the middle of what they name. */
static void put_letters(sheet *s)
{
    evn_site_shape is;
    for (size_t k = 0; evn_drawing_at(s->drawing, k, &is) && s->names < NAMED_MOST; k++) {
        if (!is_named(&is))
            continue;
        put_letter(s, s->names, along(s, (is.from_m + is.to_m) / 2), across(s, (is.left_m + is.right_m) / 2));
        s->name[s->names++] = is.name;
    }
}

static void put_names(const sheet *s)
{
    fputs("<ol class=\"parts\">", s->to);
    for (size_t k = 0; k < s->names; k++) {
        fputs("<li>", s->to);
        evn_html_text(s->to, s->name[k]);
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

/* Numbers of neighbours that are narrower than a number stand in a line of their own. */
static void put_dimensions(const sheet *s)
{
    static const double NUMBER = 52, FIRST = 22, LINE = 24;
    double place_m[AXLES_MOST + 2];
    size_t count = places_of(s, place_m);
    double y = s->ground + 12;
    bool lower = false;
    for (size_t k = 0; k < count; k++)
        fprintf(s->to, "<path class=\"measure\" d=\"M%.1f %.1fV%.1f\"/>", along(s, place_m[k]), s->ground + 3, y + 5);
    fprintf(s->to, "<path class=\"measure\" d=\"M%.1f %.1fH%.1f\"/>", along(s, place_m[0]), y,
            along(s, place_m[count - 1]));
    for (size_t k = 0; k + 1 < count; k++) {
        double from = along(s, place_m[k]), to = along(s, place_m[k + 1]);
        lower = to - from < NUMBER && !lower;
        fprintf(s->to, "<text class=\"number\" x=\"%.1f\" y=\"%.1f\">%.2f</text>",
                fmin(fmax((from + to) / 2, NUMBER / 2), WIDTH - NUMBER / 2), y + FIRST + (lower ? LINE : 0),
                place_m[k + 1] - place_m[k]);
    }
}

static void put_scale(const sheet *s)
{
    double y = height_of(s) - 12, x = MARGIN;
    fprintf(s->to, "<path class=\"scale\" d=\"M%.1f %.1fv-8M%.1f %.1fh%.1fM%.1f %.1fv-8\"/>", x, y, x, y, s->units_m,
            x + s->units_m, y);
    fprintf(s->to, "<text class=\"at\" x=\"%.1f\" y=\"%.1f\">1 m; dimensions in m</text>", x + s->units_m + 8, y);
}

/* ------------------------------------------------------------------------------------------------ the whole */

static void put_drawing(sheet *s, const char *title)
{
    evn_site_shape is;
    measure(s);
    fprintf(s->to, "<svg class=\"frame\" viewBox=\"0 0 %.0f %.1f\" role=\"img\" aria-label=\"", WIDTH, height_of(s));
    evn_html_text(s->to, title);
    fputs(", from the side and from below, to scale\">", s->to);
    fprintf(s->to, "<path class=\"ground\" d=\"M0 %.1fH%.0f\"/>", s->ground, WIDTH);
    for (size_t k = 0; evn_drawing_at(s->drawing, k, &is); k++)
        put_from_side(s, &is);
    put_dimensions(s);
    for (size_t k = 0; evn_drawing_at(s->drawing, k, &is); k++)
        if (!is.trailer)
            put_from_below(s, &is);
    put_letters(s);
    put_scale(s);
    fputs("</svg>\n", s->to);
    put_names(s);
}

void evn_html_frame(FILE *to, const evn_drawing *drawing, const char *title)
{
    sheet s = {.to = to, .drawing = drawing};
    const char *missing = evn_drawing_missing(drawing);
    if (!missing) {
        put_drawing(&s, title);
        return;
    }
    fputs("<p>Not drawn: ", to);
    evn_html_text(to, missing);
    fputs(" is not stated.</p>\n", to);
}
