/* Text within XML. */
#ifndef EVENER_SHOW_XML_H
#define EVENER_SHOW_XML_H
#include <stdio.h>

/* Of an element or an attribute in double quotes. */
void evn_put_xml(const char *text, FILE *);

#endif
