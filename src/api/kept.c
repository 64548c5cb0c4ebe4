/* Kept results: their file, the trucks and cycles it names, the check. */
#define _XOPEN_SOURCE 700
#include "api/kept_names.h"
#include "api/objects.h"
#include "api/search.h"
#include "core/field_hash.h"
#include "core/field_number.h"
#include "evener/likeness.h"
#include "judge/check.h"
#include "trip/driving.h"
#include "truck/load_case.h"
#include <fnmatch.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { PATH_BYTES = 4096 };

typedef struct entry { /* one run */
    const char *name;
    evn_kept_run_file file;
    const evn_truck *truck; /* NULL: could not be read */
    const evn_cycle *cycle;
    evn_conditions ask;
    char truck_hash[EVN_HASH_BYTES], cycle_hash[EVN_HASH_BYTES], ask_hash[EVN_HASH_BYTES];
} entry;

/* A truck, a cycle or a lineup by the path it was opened by and what was set beside it: each is read once. */
typedef struct input {
    const char *path;
    evn_text_list set;
    evn_truck *truck;
    evn_cycle *cycle;
    evn_lineup *lineup;
} input;

struct evn_kept {
    evn_arena *arena; /* of the file that was read, and of all names and paths */
    const char *path;
    const char *about, *program;
    const evn_tolerances_file *tolerances;
    evn_value_list values; /* for places */
    entry *entry;
    size_t count, room;
    input *input;
    size_t inputs, input_room;
};

static bool no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over kept results");
    return false;
}

/* Room for one more item; false when memory is out. */
static bool grow(void **at, size_t *room, size_t count, size_t size)
{
    if (count < *room)
        return true;
    size_t more = *room ? 2 * *room : 32;
    void *larger = realloc(*at, more * size);
    if (!larger)
        return false;
    *at = larger;
    *room = more;
    return true;
}

/* ------------------------------------------------------------------------------------------------ inputs */

/* Place of a key of a run in the file, for findings. */
static evn_spot place_of(const void *of, const char *run, const char *key, evn_report *report)
{
    const evn_kept *k = of;
    char path[PATH_BYTES];
    snprintf(path, sizeof path, "runs.%s.%s", run, key);
    for (size_t i = 0; i < k->values.count; i++)
        if (strcmp(k->values.at[i].path, path) == 0 && k->values.at[i].file)
            return (evn_spot){evn_report_file(report, k->values.at[i].file), k->values.at[i].line,
                              k->values.at[i].column};
    return evn_nowhere;
}

/* The path from the folder of the kept file, else in the search path; as written where it is nowhere. */
static const char *found_path(evn_kept *k, const char *written)
{
    const char *search[EVN_SEARCH_FOLDERS];
    const char *slash = strrchr(k->path, '/');
    char path[PATH_BYTES];
    int folder = slash && written[0] != '/' ? (int)(slash - k->path) + 1 : 0;
    snprintf(path, sizeof path, "%.*s%s", folder, k->path, written);
    if (access(path, F_OK) != 0 && written[0] != '/' && evn_search_folders(k->arena, search))
        for (size_t i = 0; search[i] && access(path, F_OK) != 0; i++)
            snprintf(path, sizeof path, "%s/%s", search[i], written);
    return evn_arena_text(k->arena, path, strlen(path));
}

static bool same_texts(evn_text_list a, evn_text_list b)
{
    bool same = a.count == b.count;
    for (size_t i = 0; same && i < a.count; i++)
        same = strcmp(a.at[i], b.at[i]) == 0;
    return same;
}

static input *input_at(evn_kept *k, const char *path, evn_text_list set)
{
    for (size_t i = 0; i < k->inputs; i++)
        if (strcmp(k->input[i].path, path) == 0 && same_texts(k->input[i].set, set))
            return &k->input[i];
    if (!grow((void **)&k->input, &k->input_room, k->inputs, sizeof *k->input))
        return NULL;
    k->input[k->inputs] = (input){.path = path, .set = set};
    return &k->input[k->inputs++];
}

/* The first error of a report, which holds warnings too; false: none. */
static bool first_error(const evn_report *report, evn_finding *out)
{
    for (size_t i = 0; evn_report_at(report, i, out); i++)
        if (out->severity == EVN_ERROR)
            return true;
    return false;
}

/* Says at the run's key, or at what was set, why its file cannot be read; once for each file. */
static void say_unread(const evn_kept *k, const entry *e, const char *key, const char *path, evn_report *own,
                       evn_report *report)
{
    evn_finding finding;
    bool known = first_error(own, &finding), set = known && finding.file && strncmp(finding.file, "--set", 5) == 0;
    evn_spot at = place_of(k, e->name, set ? "set" : key, report);
    evn_say(report, EVN_FAULT_NOT_FOUND, at, evn_nowhere, "run %s: %s %s: %s%s%s", e->name, key, path,
            set ? finding.file : "", set ? ": " : "", known ? finding.text : "it cannot be read");
}

typedef bool open_one(input *, const char *path, const evn_load *, evn_report *);

static bool open_truck(input *at, const char *path, const evn_load *how, evn_report *report)
{
    return at->truck || evn_truck_load_with(path, how, &at->truck, report) == EVN_DONE;
}

static bool open_cycle(input *at, const char *path, const evn_load *how, evn_report *report)
{
    return at->cycle || evn_cycle_load_with(path, how, &at->cycle, report) == EVN_DONE;
}

static bool open_lineup(input *at, const char *path, const evn_load *how, evn_report *report)
{
    return at->lineup || evn_lineup_load_with(path, how, &at->lineup, report) == EVN_DONE;
}

/* What a key of a run names, opened; what cannot be read is said. NULL only when memory is out. */
static const input *open_input(evn_kept *k, const entry *e, const char *key, const char *written, open_one *open,
                               evn_report *report)
{
    const char *path = found_path(k, written);
    evn_load how = {.set = e->file.set.at, .set_beside = k->path};
    evn_report *own = evn_report_new();
    input *at = own && path ? input_at(k, path, e->file.set) : NULL;
    if (at && !open(at, path, &how, own))
        say_unread(k, e, key, written, own, report);
    evn_report_free(own);
    return at;
}

/* What a run of a truck and a cycle of their own asks. */
static evn_conditions asked_by(const evn_kept_run_file *file)
{
    evn_conditions ask = evn_conditions_default();
    if (file->load_case)
        ask.load_case = *file->load_case;
    if (file->driving)
        ask.driving = *file->driving;
    return ask;
}

static bool open_pair(evn_kept *k, entry *e, evn_report *report)
{
    const input *at = open_input(k, e, "truck", e->file.truck, open_truck, report);
    e->truck = at ? at->truck : NULL;
    at = at ? open_input(k, e, "cycle", e->file.cycle, open_cycle, report) : NULL;
    e->cycle = at ? at->cycle : NULL;
    e->ask = asked_by(&e->file);
    return at;
}

/* A kept run is that of a truck as its file states it. False: said. */
static bool is_kept_as_stated(const evn_lineup *lineup, const char *path, evn_spot at, evn_report *report)
{
    if (evn_lineup_has_duty(lineup)) {
        evn_say(
            report, EVN_FAULT_DISAGREES, at, evn_nowhere,
            "%s drives a duty, and kept results are those of runs over a cycle; expected a lineup over a cycle, such "
            "as that of one of its legs; 'evener drive --json' and 'evener diff' hold days against each other",
            path);
        return false;
    }
    if (evn_lineup_equal(lineup) == EVN_EQUAL_PAYLOAD)
        return true;
    evn_say(
        report, EVN_FAULT_DISAGREES, at, evn_nowhere,
        "%s makes its trucks equal, and kept results are those of trucks as their files state them; expected a lineup "
        "with equal: payload, or without it",
        path);
    return false;
}

static bool open_from_lineup(evn_kept *k, entry *e, evn_report *report)
{
    const input *at = open_input(k, e, "lineup", e->file.lineup, open_lineup, report);
    const char *name;
    if (!at || !at->lineup)
        return at;
    if (!is_kept_as_stated(at->lineup, e->file.lineup, place_of(k, e->name, "lineup", report), report))
        return true;
    for (size_t i = 0; (name = evn_lineup_truck_name(at->lineup, i)); i++)
        if (strcmp(name, e->file.truck) == 0)
            e->truck = evn_lineup_truck(at->lineup, i);
    if (!e->truck)
        evn_say(report, EVN_FAULT_UNKNOWN_KEY, place_of(k, e->name, "truck", report), evn_nowhere,
                "run %s: no truck %s in %s; expected the name of one of its trucks", e->name, e->file.truck,
                e->file.lineup);
    e->cycle = evn_lineup_cycle(at->lineup);
    evn_hash_text(e->cycle_hash, evn_lineup_hash(at->lineup));
    e->ask = evn_lineup_ask(at->lineup);
    return true;
}

static uint64_t hash_of_ask(const evn_conditions *ask)
{
    enum { SPREAD = 31 }; /* equal hashes of both must not cancel */
    return SPREAD * evn_object_hash(&evn_load_case_object, &ask->load_case) +
           evn_object_hash(&evn_driving_object, &ask->driving);
}

/* False only when memory is out: files that cannot be read are said, and the run has no truck or cycle. */
static bool open_inputs(evn_kept *k, entry *e, evn_report *report)
{
    if (!(e->file.lineup ? open_from_lineup(k, e, report) : open_pair(k, e, report)))
        return false;
    if (e->truck)
        evn_hash_text(e->truck_hash, evn_object_hash(&evn_truck_object, e->truck->file));
    if (e->cycle && !e->file.lineup)
        evn_hash_text(e->cycle_hash, evn_object_hash(&evn_cycle_object, e->cycle->file));
    if (e->cycle)
        evn_hash_text(e->ask_hash, hash_of_ask(&e->ask));
    return true;
}

/* ------------------------------------------------------------------------------------------------ the file */

/* Names that are others now: taken by their new ones, or those of the first run that has some told; names of no result
 * are told too. False: refused, or memory is out (said). */
static bool names_fit(evn_kept *k, bool renamed, evn_report *report)
{
    evn_result_names names;
    if (!evn_result_names_gather(k->arena, &names))
        return no_memory(report);
    for (size_t i = 0; i < k->count; i++) {
        evn_kept_names_doubt(&k->entry[i].file, &names, place_of, k, k->entry[i].name, report);
        if (!evn_kept_names_once(&k->entry[i].file, place_of, k, k->entry[i].name, report))
            return false;
        if (renamed && !evn_kept_names_take(k->arena, &k->entry[i].file))
            return no_memory(report);
        if (!renamed && evn_kept_names_refused(&k->entry[i].file, place_of, k, k->entry[i].name, report))
            return false;
    }
    return true;
}

static bool take_runs(evn_kept *k, const evn_kept_file *file, evn_report *report)
{
    const evn_kept_run_file *run = file->runs.item;
    k->about = file->about;
    k->program = file->program;
    k->tolerances = file->tolerances;
    for (size_t i = 0; i < file->runs.count; i++) {
        if (!grow((void **)&k->entry, &k->room, k->count, sizeof *k->entry))
            return no_memory(report);
        k->entry[k->count] = (entry){.name = file->runs.name[i], .file = run[i]};
        if (!open_inputs(k, &k->entry[k->count++], report))
            return no_memory(report);
    }
    return true;
}

static evn_status load(const char *call, const char *path, bool renamed, evn_kept **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, call, (const evn_argument[]){{"path", path}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_kept *k = calloc(1, sizeof *k);
    if (!k) {
        no_memory(report);
        return evn_report_status(report);
    }
    const evn_kept_file *file = evn_load_object(path, &evn_kept_object, &(evn_load){0}, &k->values, &k->arena, report);
    k->path = k->arena ? evn_arena_text(k->arena, path, strlen(path)) : NULL;
    if (!file || !k->path || !take_runs(k, file, report) || !names_fit(k, renamed, report)) {
        evn_kept_free(k);
        return evn_report_status(report);
    }
    *out = k;
    return evn_report_status(report);
}

evn_status evn_kept_load(const char *path, evn_kept **out, evn_report *report)
{
    return load(__func__, path, false, out, report);
}

evn_status evn_kept_load_renamed(const char *path, evn_kept **out, evn_report *report)
{
    return load(__func__, path, true, out, report);
}

evn_kept *evn_kept_new(const char *path)
{
    evn_kept *k = path ? calloc(1, sizeof *k) : NULL;
    if (k && (k->arena = evn_arena_new()))
        k->path = evn_arena_text(k->arena, path, strlen(path));
    if (k && k->path)
        return k;
    evn_kept_free(k);
    return NULL;
}

void evn_kept_free(evn_kept *k)
{
    if (!k)
        return;
    for (size_t i = 0; i < k->inputs; i++) {
        evn_truck_free(k->input[i].truck);
        evn_cycle_free(k->input[i].cycle);
        evn_lineup_free(k->input[i].lineup);
    }
    if (k->arena)
        evn_arena_free(k->arena);
    free(k->input);
    free(k->entry);
    free(k);
}

/* ------------------------------------------------------------------------------------------------ adding */

static size_t bare_name(const char *path, const char **name)
{
    const char *slash = strrchr(path, '/');
    *name = slash ? slash + 1 : path;
    const char *dot = strrchr(*name, '.');
    return dot ? (size_t)(dot - *name) : strlen(*name);
}

/* "../../vehicles/trucks/x.yaml" from the folder of the kept file; as given where that cannot be told. */
static const char *from_folder(evn_kept *k, const char *path)
{
    char folder[PATH_BYTES], *here = NULL, *there = realpath(path, NULL);
    const char *slash = strrchr(k->path, '/');
    snprintf(folder, sizeof folder, "%.*s", slash ? (int)(slash - k->path) : 1, slash ? k->path : ".");
    here = realpath(folder[0] ? folder : "/", NULL);
    char out[PATH_BYTES] = "";
    if (here && there) {
        size_t same = 0, used = 0;
        for (size_t i = 0; here[i] && here[i] == there[i]; i++)
            same = here[i] == '/' ? i + 1 : same;
        size_t length = strlen(here);
        if (strncmp(here, there, length) == 0 && there[length] == '/')
            same = length + 1;
        for (const char *at = same <= length ? here + same : ""; *at && used + 4 < sizeof out;
             at = strchr(at, '/') + 1) {
            used += (size_t)snprintf(out + used, sizeof out - used, "../");
            if (!strchr(at, '/'))
                break;
        }
        snprintf(out + used, sizeof out - used, "%s", there + same);
    }
    const char *kept = out[0] ? out : there ? there : path; /* from the root where the folder is not there */
    kept = evn_arena_text(k->arena, kept, strlen(kept));
    free(here);
    free(there);
    return kept;
}

static bool same_text(const char *a, const char *b) { return a == b || (a && b && strcmp(a, b) == 0); }

/* The same truck on the same cycle, in the same load case, driven and changed alike. */
static bool same_run(const evn_kept_run_file *a, const evn_kept_run_file *b)
{
    evn_conditions x = asked_by(a), y = asked_by(b);
    return same_text(a->lineup, b->lineup) && same_text(a->truck, b->truck) && same_text(a->cycle, b->cycle) &&
           !evn_object_differs(&evn_load_case_object, &x.load_case, &y.load_case) &&
           !evn_object_differs(&evn_driving_object, &x.driving, &y.driving) && same_texts(a->set, b->set);
}

static const entry *entry_named(const evn_kept *k, const char *name)
{
    for (size_t i = 0; i < k->count; i++)
        if (strcmp(k->entry[i].name, name) == 0)
            return &k->entry[i];
    return NULL;
}

/* The run joins the others unless it is there already; where another bears its name, it gets a number. */
static evn_status add_run(evn_kept *k, const char *wanted, const evn_kept_run_file *file, evn_report *report)
{
    char name[PATH_BYTES];
    const entry *there;
    snprintf(name, sizeof name, "%s", wanted);
    for (size_t number = 2; (there = entry_named(k, name)); number++) {
        if (same_run(&there->file, file))
            return evn_report_status(report);
        snprintf(name, sizeof name, "%.4000s_%zu", wanted, number);
    }
    entry e = {.name = evn_arena_text(k->arena, name, strlen(name)), .file = *file};
    if (!e.name || !grow((void **)&k->entry, &k->room, k->count, sizeof *k->entry) || !open_inputs(k, &e, report))
        no_memory(report);
    else
        k->entry[k->count++] = e;
    return evn_report_status(report);
}

/* A copy that lives as long as the runs. False when memory is out. */
static bool copy_texts(evn_kept *k, const char *const *texts, evn_text_list *out)
{
    size_t count = 0;
    *out = (evn_text_list){0};
    while (texts && texts[count])
        count++;
    const char **at = count > 0 ? evn_arena_take(k->arena, (count + 1) * sizeof *at) : NULL;
    bool made = count == 0 || at;
    for (size_t i = 0; made && i < count; i++)
        made = (at[i] = evn_arena_text(k->arena, texts[i], strlen(texts[i])));
    if (made && count > 0)
        *out = (evn_text_list){at, count};
    return made;
}

/* Likewise of a struct; NULL where it is the default one. False when memory is out. */
static bool copy_asked(evn_kept *k, const evn_object *object, const void *asked, const void *plain, const void **out)
{
    *out = NULL;
    if (!evn_object_differs(object, asked, plain))
        return true;
    void *copy = evn_arena_take(k->arena, object->size);
    if (copy)
        memcpy(copy, asked, object->size);
    *out = copy;
    return copy;
}

static bool asks_what_can_be(const evn_conditions *ask, evn_report *report)
{
    bool load_case = evn_object_fits(&evn_load_case_object, &ask->load_case, report);
    return evn_driving_fits(&ask->driving, report) && load_case;
}

evn_status evn_kept_add(evn_kept *k, const char *truck, const char *cycle, const evn_conditions *ask,
                        const char *const *set, evn_report *report)
{
    if (!evn_not_null(report, __func__,
                      (const evn_argument[]){{"kept", k}, {"truck", truck}, {"cycle", cycle}, {"ask", ask}, {0}}))
        return evn_report_status(report);
    if (!asks_what_can_be(ask, report))
        return evn_report_status(report);
    const char *t, *c;
    int truck_length = (int)bare_name(truck, &t), cycle_length = (int)bare_name(cycle, &c);
    const evn_conditions plain = evn_conditions_default();
    const void *load_case, *driving;
    evn_kept_run_file file = {.truck = from_folder(k, truck), .cycle = from_folder(k, cycle)};
    char name[PATH_BYTES];
    snprintf(name, sizeof name, "%.*s_on_%.*s%s", truck_length, t, cycle_length, c,
             ask->driving.driver == EVN_DRIVER_EXACT ? "_exact" : "");
    if (!file.truck || !file.cycle || !copy_texts(k, set, &file.set) ||
        !copy_asked(k, &evn_load_case_object, &ask->load_case, &plain.load_case, &load_case) ||
        !copy_asked(k, &evn_driving_object, &ask->driving, &plain.driving, &driving)) {
        no_memory(report);
        return evn_report_status(report);
    }
    file.load_case = load_case;
    file.driving = driving;
    return add_run(k, name, &file, report);
}

/* One run for each truck of a lineup that is read already. */
static evn_status add_trucks(evn_kept *k, const evn_lineup *lineup, const char *path, const char *const *set,
                             evn_report *report)
{
    const char *l, *truck;
    int length = (int)bare_name(path, &l);
    evn_kept_run_file file = {.lineup = from_folder(k, path)};
    bool made = file.lineup && copy_texts(k, set, &file.set);
    for (size_t i = 0; made && (truck = evn_lineup_truck_name(lineup, i)); i++) {
        char name[PATH_BYTES];
        snprintf(name, sizeof name, "%.*s_%s", length, l, truck);
        file.truck = evn_arena_text(k->arena, truck, strlen(truck));
        made = file.truck;
        if (made)
            add_run(k, name, &file, report);
    }
    if (!made)
        no_memory(report);
    return evn_report_status(report);
}

evn_status evn_kept_add_lineup(evn_kept *k, const char *path, const char *const *set, evn_report *report)
{
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"kept", k}, {"lineup", path}, {0}}))
        return evn_report_status(report);
    evn_lineup *lineup = NULL;
    const evn_load how = {.set = set, .set_beside = k->path};
    if (evn_lineup_load_with(path, &how, &lineup, report) == EVN_DONE &&
        is_kept_as_stated(lineup, path, evn_nowhere, report))
        add_trucks(k, lineup, path, set, report);
    evn_lineup_free(lineup);
    return evn_report_status(report);
}

/* ------------------------------------------------------------------------------------------------ what it holds */

size_t evn_kept_count(const evn_kept *k) { return k ? k->count : 0; }
const char *evn_kept_about(const evn_kept *k) { return k ? k->about : NULL; }
const char *evn_kept_program(const evn_kept *k) { return k ? k->program : NULL; }

static bool changed(const char *recorded, const char *now) { return recorded && now[0] && strcmp(recorded, now) != 0; }

bool evn_kept_at(const evn_kept *k, size_t index, evn_kept_run *out)
{
    if (!k || !out || index >= k->count)
        return false;
    static const char *const no_texts[] = {NULL};
    const entry *e = &k->entry[index];
    *out = (evn_kept_run){.name = e->name,
                          .lineup = e->file.lineup,
                          .truck = e->file.truck,
                          .cycle = e->file.cycle,
                          .ask = e->ask,
                          .set = e->file.set.count > 0 ? e->file.set.at : no_texts,
                          .status = e->file.status,
                          .truck_hash = e->truck_hash,
                          .cycle_hash = e->cycle_hash,
                          .ask_hash = e->ask_hash,
                          .kept_truck_hash = e->file.truck_hash,
                          .kept_cycle_hash = e->file.cycle_hash,
                          .kept_ask_hash = e->file.ask_hash,
                          .truck_changed = changed(e->file.truck_hash, e->truck_hash),
                          .cycle_changed = changed(e->file.cycle_hash, e->cycle_hash),
                          .ask_changed = changed(e->file.ask_hash, e->ask_hash),
                          .result_count = e->file.results.count};
    return true;
}

bool evn_kept_result_at(const evn_kept *k, size_t index, size_t result, const char **key, double *value)
{
    if (!k || !key || !value || index >= k->count || result >= k->entry[index].file.results.count)
        return false;
    *key = k->entry[index].file.results.name[result];
    *value = k->entry[index].file.results.value[result];
    return true;
}

bool evn_kept_tolerance_at(const evn_kept *k, size_t index, evn_kept_tolerance *out)
{
    static const evn_kept_tolerance all[] = {
#define X(name, absolute, relative, meaning) {#name, meaning, absolute, relative},
        EVN_TOLERANCES(X)
#undef X
    };
    if (!k || !out || index >= EVN_TOLERANCE_COUNT)
        return false;
    evn_tolerance_file counts = evn_tolerance_at(k->tolerances, (evn_tolerance_kind)index);
    *out = (evn_kept_tolerance){all[index].name, all[index].help, counts.absolute, counts.relative};
    return true;
}

evn_moved_quantity evn_hold_against(const evn_kept *k, const char *key, double kept, double now)
{
    if (!key)
        return (evn_moved_quantity){NULL, EVN_MOVED, kept, now, (double)NAN};
    return evn_hold_quantity(k ? k->tolerances : NULL, key, kept, now);
}

/* ------------------------------------------------------------------------------------------------ the check */

static bool is_wanted(const char *name, const char *only)
{
    if (!only)
        return true;
    if (strpbrk(only, "*?"))
        return fnmatch(only, name, 0) == 0;
    return strstr(name, only);
}

/* Those with truck and cycle first: they are `driven`. What the others lack was said when the file was loaded. */
static size_t dues(const evn_kept *k, const char *only, evn_due *due, size_t *driven)
{
    size_t count = 0;
    for (int pass = 0; pass < 2; pass++) {
        for (size_t i = 0; i < k->count; i++) {
            const entry *e = &k->entry[i];
            bool whole = e->truck && e->cycle;
            if (!is_wanted(e->name, only) || whole != (pass == 0))
                continue;
            due[count++] =
                (evn_due){e->name, whole ? e->truck->file : NULL, whole ? e->cycle->file : NULL, e->ask, &e->file};
        }
        *driven = pass == 0 ? count : *driven;
    }
    return count;
}

static evn_status outcome(const evn_check *check, size_t driven, evn_report *report)
{
    evn_status worst = evn_report_status(report);
    evn_checked run;
    for (size_t i = 0; i < driven && evn_check_at(check, i, &run); i++) {
        evn_status own = run.state == EVN_CHECKED_NOT_RUN ? EVN_NO_RESULT
                         : run.state == EVN_CHECKED_SAME  ? EVN_DONE
                                                          : EVN_ANSWER_NO;
        worst = own > worst ? own : worst;
    }
    return worst;
}

/* A run that is as it was may have passed a limit then and now. */
static void repeat_limits(const evn_check *check, evn_report *report)
{
    evn_checked run;
    evn_finding found;
    for (size_t k = 0; evn_check_at(check, k, &run); k++)
        for (size_t i = 0; evn_report_at(run.report, i, &found); i++)
            if (strcmp(found.fault, evn_fault_rows[EVN_FAULT_LIMIT_PASSED].name) == 0)
                evn_say(report, EVN_FAULT_LIMIT_PASSED, evn_nowhere, evn_nowhere, "%s: %s", run.name, found.text);
}

evn_status evn_kept_check(const evn_kept *k, const evn_check_how *how, evn_check **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"kept", k}, {"how", how}, {"out", out}, {0}}))
        return evn_report_status(report);
    evn_due *due = calloc(k->count + 1, sizeof *due);
    if (!due) {
        no_memory(report);
        return evn_report_status(report);
    }
    size_t driven, count = dues(k, how->only, due, &driven);
    if (count == 0)
        evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "no run%s%s; expected at least one",
                how->only ? " fits " : " in the file", how->only ? how->only : "");
    else
        *out = evn_check_runs(due, count, k->tolerances, how, report);
    free(due);
    if (*out)
        repeat_limits(*out, report);
    return *out ? outcome(*out, driven, report) : evn_report_status(report);
}
