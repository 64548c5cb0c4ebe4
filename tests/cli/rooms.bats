#!/usr/bin/env bats
# The layers of src/: a room includes no header of a room it must not know.

setup() {
    source_root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    rooms="$source_root/tools/lib/rooms.awk"
}

# Runs the check over the src/ folder given.
check_rooms() {
    cd "$1" && find . -name '*.[ch]' -printf '%P\0' | sort -z | xargs -0 -r awk -f "$rooms"
}

# plant FILE LINE: a copy of src/ whose FILE ends in LINE.
plant() {
    cp -r "$source_root/src" "$BATS_TEST_TMPDIR/src"
    mkdir -p "$(dirname "$BATS_TEST_TMPDIR/src/$1")"
    printf '%s\n' "$2" >>"$BATS_TEST_TMPDIR/src/$1"
}

found_in_planted() {
    run check_rooms "$BATS_TEST_TMPDIR/src"
    echo "$output"
    [ "$status" -ne 0 ] && [ "${#lines[@]}" -eq 1 ] && [[ $output == *"$1"* ]]
}

@test "no room includes a header of a room it must not know" {
    run check_rooms "$source_root/src"
    echo "$output"
    [ "$status" -eq 0 ]
    [ -z "$output" ]
}

@test "the check reads every room of the library and of the program" {
    cd "$source_root/src"
    for room in core truck cycle pull trip runs chart lineup uncertainty money judge read log api show cli; do
        [ -n "$(find "$room" -name '*.c')" ]
    done
    for medium in report json csv ci page plot yaml; do
        [ -n "$(find "show/$medium" -name '*.c')" ]
    done
}

@test "a planted include of a higher room is found" {
    plant core/report.c '#include "trip/trip.h"'
    found_in_planted "room core must not know trip"
}

@test "a planted include of the trip into the physics of an instant is found" {
    plant pull/pull.c '#include "trip/trip.h"'
    found_in_planted "room pull must not know trip"
}

@test "a planted include of a neighbour is found" {
    plant truck/planted.h '  #  include   "cycle/course.h" /* why not */'
    found_in_planted "room truck must not know cycle"
}

@test "a planted include of the runs into what is driven is found" {
    plant trip/planted.c '#include "runs/runs.h"'
    found_in_planted "room trip must not know runs"
}

@test "a planted include of what is not known into the lineup is found" {
    plant lineup/planted.h '#include "uncertainty/data.h"'
    found_in_planted "room lineup must not know uncertainty"
}

# The C files of a tree that know of the driving of a course, but for those that make it: one line each.
drivers_in() {
    (cd "$1" && grep -rlwE 'evn_drive_(course|phase)' --include='*.[ch]' . | grep -v '^\./trip/drive\.[ch]$' | sort)
}

@test "only the room of the runs drives" {
    [ "$(drivers_in "$source_root/src")" = ./runs/runs.c ]
    plant lineup/outcome.c 'static void planted(void) { evn_drive_phase(0); }'
    [ "$(drivers_in "$BATS_TEST_TMPDIR/src")" = "$(printf './lineup/outcome.c\n./runs/runs.c')" ]
}

@test "a planted look of the program into the library is found" {
    plant cli/main.c '#include "core/field.h"'
    found_in_planted "room cli must not know core"
}

@test "a planted include without a room is found" {
    plant read/planted.c '#include "read.h"'
    found_in_planted "includes are written from src/"
}

@test "a planted include that climbs out of its room is found" {
    plant show/planted.c '#include "../core/report.h"'
    found_in_planted "includes are written from src/"
}

@test "a planted reader of YAML outside its room is found" {
    plant trip/planted.c '#include <yaml.h>'
    found_in_planted "room trip must not use <yaml.h>"
}

@test "a planted room that the check does not know is found" {
    plant cellar/planted.c '#include <math.h>'
    found_in_planted "a file outside the known rooms"
}

# Object files of an archive that need each other in a circle, as "one: other" lines of tsort; nothing when there is none.
circles() {
    nm -A -g --defined-only "$1" 2>/dev/null | awk '{ n = split($1, part, ":"); print $NF, part[n - 1] }' |
        sort >"$BATS_TEST_TMPDIR/defined"
    nm -A -u "$1" 2>/dev/null | awk '{ n = split($1, part, ":"); print $NF, part[n] == "" ? part[n - 1] : part[n] }' |
        sort >"$BATS_TEST_TMPDIR/needed"
    join "$BATS_TEST_TMPDIR/needed" "$BATS_TEST_TMPDIR/defined" | awk '$2 != $3 { print $2, $3 }' | sort -u \
        >"$BATS_TEST_TMPDIR/edges"
    [ -s "$BATS_TEST_TMPDIR/edges" ] || echo "no file needs another: nothing was read"
    tsort "$BATS_TEST_TMPDIR/edges" 2>&1 >"$BATS_TEST_TMPDIR/order" || true
}

@test "no two files of the library need each other, in a circle of any length" {
    run circles "$(dirname "$EVENER_LIBRARY")/libevener.a"
    echo "$output"
    [ -z "$output" ]
}

@test "no two files of the program need each other, in a circle of any length" {
    run circles "$(dirname "$EVENER_LIBRARY")/libprogram.a"
    echo "$output"
    [ -z "$output" ]
}

@test "a planted circle is found" {
    cd "$BATS_TEST_TMPDIR"
    echo 'int one(void); int two(void); int one(void) { return two(); }' >one.c
    echo 'int one(void); int two(void); int two(void) { return one(); }' >two.c
    ${CC:-cc} -c one.c two.c
    ar rc planted.a one.o two.o
    run circles planted.a
    echo "$output"
    [[ $output == *loop* ]]
}

@test "a planted include of another medium of show is found" {
    plant show/report/planted.c '#include "show/plot/plot.h"'
    found_in_planted "medium report of show must not know plot"
}

@test "a planted include of a medium by what the media share is found" {
    plant show/text.h '#include "show/report/table.h"'
    found_in_planted "what the media of show share must not know report"
}

@test "a medium may include what the media share and its own headers, the program all of them" {
    plant show/report/planted.c '#include "show/report/table.h"'
    printf '%s\n' '#include "show/text.h"' >>"$BATS_TEST_TMPDIR/src/show/report/planted.c"
    printf '%s\n' '#include "show/plot/plot.h"' >>"$BATS_TEST_TMPDIR/src/cli/main.c"
    run check_rooms "$BATS_TEST_TMPDIR/src"
    echo "$output"
    [ "$status" -eq 0 ]
}

@test "a planted medium that the check does not know is found" {
    plant show/slides/planted.c '#include <math.h>'
    found_in_planted "a file outside the known media of show"
}
