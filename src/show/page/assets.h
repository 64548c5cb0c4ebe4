/* The frame, style and script of the page, made from src/show/page/assets/ during the build. */
#ifndef EVENER_SHOW_ASSETS_H
#define EVENER_SHOW_ASSETS_H

/* Lists of texts that end with NULL; between them stand the title, what is there without scripts, and the data. */
typedef struct evn_assets {
    const char *const *part[4];
    const char *const *bare[3]; /* of pages without charts: no scripts, no data */
} evn_assets;

const evn_assets *evn_assets_get(void); /* NULL: built without it */
const char *evn_assets_missing(void);   /* why; NULL where it is there */

#endif
