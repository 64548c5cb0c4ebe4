/* The text of the study that puts each truck of a lineup at its best. */
#ifndef EVENER_API_TUNE_H
#define EVENER_API_TUNE_H
#include "evener/vary.h"

/* To be freed. NULL (said): the lineup does not do, nothing of it can be tuned, or memory is out. */
char *evn_tune_text(const char *lineup_path, const evn_tune_how *, evn_report *);

#endif
