/* A truck as a drawing to scale, for pages. */
#ifndef EVENER_SHOW_HTML_FRAME_H
#define EVENER_SHOW_HTML_FRAME_H
#include "evener/site.h"
#include <stdio.h>

/* The drawing with the names of its parts; of a truck that is not drawn why. Whose it is stands in no word of it, so
 * that trucks that look alike have the same. Errors stay with the stream. */
void evn_html_frame(FILE *, const evn_drawing *);

#endif
