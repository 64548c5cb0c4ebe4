/* Where trucks, cycles and parts are looked for besides EVENER_PATH and the installed data: here, as in the sources. */
#ifndef EVENER_CLI_DATA_FOLDERS_H
#define EVENER_CLI_DATA_FOLDERS_H

static const char *const evn_data_folders_here[] = {"vehicles", "cycles", 0};

#endif
