/* The frame, style and script of the page, made from src/show/page/assets/ during the build. */
#ifndef EVENER_SHOW_PAGE_ASSET_H
#define EVENER_SHOW_PAGE_ASSET_H

/* Three lists of texts that end with NULL: the title stands between the first two, the data between the last two. */
typedef struct evn_page_asset {
    const char *const *part[3];
} evn_page_asset;

const evn_page_asset *evn_page_asset_get(void); /* NULL: built without it */
const char *evn_page_asset_missing(void);       /* why; NULL where it is there */

#endif
