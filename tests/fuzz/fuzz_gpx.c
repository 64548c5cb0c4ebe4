/* Any bytes as a GPX track, from inputs of that form: what fuzz_log does, where changes of CSV inputs never come to. */
#include "fuzz_log.c"
