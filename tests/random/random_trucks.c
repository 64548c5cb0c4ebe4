/* The program behind tools/random-trucks, which says what its options are. */
#define _XOPEN_SOURCE 700
#include "lot.h"
#include "reduce.h"
#include <errno.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

typedef struct options {
    lot lot;
    const char *keep, *again;
    bool smaller, refusals;
} options;

enum { PATH_BYTES = 900 };

/* ------------------------------------------------------------------------------------------------ cases that fail */

static void say_faults(FILE *to, const trial_verdict *v)
{
    for (int k = 0; k < TRIAL_FAULT_COUNT; k++)
        if (v->fault[k])
            fprintf(to, "%s: %s\n  %s\n", trial_fault_names[k], trial_fault_meanings[k], v->why[k]);
}

static bool make_folder(const char *path) { return mkdir(path, 0777) == 0 || errno == EEXIST; }

static trial_fault first_fault(const trial_verdict *v)
{
    int k = 0;
    while (k < TRIAL_FAULT_COUNT - 1 && !v->fault[k])
        k++;
    return (trial_fault)k;
}

static bool write_why(const char *folder, const options *o, uint64_t index, const trial_verdict *v)
{
    char path[PATH_BYTES + 20];
    snprintf(path, sizeof path, "%s/why.txt", folder);
    FILE *f = fopen(path, "w");
    if (!f)
        return false;
    fprintf(f, "seed %" PRIu64 ", case %" PRIu64 "; ended: %s\n", o->lot.seed, index, trial_end_names[v->end]);
    say_faults(f, v);
    bool sound = !ferror(f);
    return fclose(f) == 0 && sound;
}

static bool keep_case(const options *o, uint64_t index, random_case *c, const trial_verdict *v)
{
    char folder[PATH_BYTES];
    snprintf(folder, sizeof folder, "%.500s/%" PRIu64 "-%" PRIu64, o->keep, o->lot.seed, index);
    if (!make_folder(folder) || !case_write(c, folder))
        return false;
    trial_verdict last = *v;
    if (o->smaller && case_reduce(c, first_fault(v), folder))
        last = trial_drive(folder, TRIAL_WITHIN_S);
    return write_why(folder, o, index, &last);
}

static bool judged(void *self, uint64_t index, random_case *c, const trial_verdict *v)
{
    const options *o = self;
    if (o->refusals && v->refusal[0])
        printf("case %" PRIu64 " refused: %s\n", index, v->refusal);
    if (!trial_failed(v))
        return true;
    printf("case %" PRIu64 " (%s)\n", index, trial_end_names[v->end]);
    say_faults(stdout, v);
    fflush(stdout);
    if (!o->keep || keep_case(o, index, c, v))
        return true;
    fprintf(stderr, "random-trucks: could not write into %s\n", o->keep);
    return false;
}

/* ------------------------------------------------------------------------------------------------ the whole lot */

static void say_tally(const lot_tally *t)
{
    printf("\n%zu cases, %.1f %% of them accepted; %.1f s of processor time, %.2f s for the longest, case %" PRIu64
           "\n",
           t->driven, 100 * lot_accepted_share(t), t->processor_s, t->longest_s, t->longest);
    for (int k = 0; k < TRIAL_END_COUNT; k++)
        printf("%7zu  %s\n", t->ends[k], trial_end_names[k]);
    printf("%zu cases with faults\n", t->failed);
    for (int k = 0; k < TRIAL_FAULT_COUNT; k++)
        if (t->faults[k])
            printf("%7zu  %s: %s\n", t->faults[k], trial_fault_names[k], trial_fault_meanings[k]);
}

static int drive_lot(options *o)
{
    char folder[CASE_FOLDER_BYTES];
    if (!case_folder(folder) || (o->keep && !make_folder(o->keep))) {
        fprintf(stderr, "random-trucks: could not make a folder to work in\n");
        return 4;
    }
    o->lot.folder = folder;
    o->lot.self = o;
    o->lot.judged = judged;
    lot_tally tally = lot_drive(&o->lot);
    case_remove(folder);
    say_tally(&tally);
    if (tally.could_not_write || tally.driven < o->lot.count)
        return 4;
    return tally.failed ? 1 : 0;
}

static int drive_again(const char *folder)
{
    trial_verdict v = trial_drive(folder, TRIAL_WITHIN_S);
    printf("%s; %.2f s of processor time\n", trial_end_names[v.end], v.processor_s);
    if (v.refusal[0])
        printf("%s\n", v.refusal);
    say_faults(stdout, &v);
    return trial_failed(&v) ? 1 : 0;
}

/* ------------------------------------------------------------------------------------------------ options */

static bool take(options *o, const char *name, const char *value)
{
    if (strcmp(name, "--seed") == 0)
        o->lot.seed = strtoull(value, NULL, 10);
    else if (strcmp(name, "--first") == 0)
        o->lot.first = strtoull(value, NULL, 10);
    else if (strcmp(name, "--count") == 0)
        o->lot.count = strtoull(value, NULL, 10);
    else if (strcmp(name, "--wide") == 0)
        o->lot.wide = strtod(value, NULL);
    else if (strcmp(name, "--keep") == 0)
        o->keep = value;
    else if (strcmp(name, "--again") == 0)
        o->again = value;
    else
        return false;
    return true;
}

int main(int count, char **argument)
{
    options o = {.lot = {.seed = 1, .count = 200}};
    for (int k = 1; k < count; k++) {
        if (strcmp(argument[k], "--smaller") == 0)
            o.smaller = true;
        else if (strcmp(argument[k], "--refusals") == 0)
            o.refusals = true;
        else if (k + 1 < count && take(&o, argument[k], argument[k + 1]))
            k++;
        else {
            fprintf(stderr, "random-trucks: unknown argument %s; tools/random-trucks --help lists what there is\n",
                    argument[k]);
            return 2;
        }
    }
    return o.again ? drive_again(o.again) : drive_lot(&o);
}
