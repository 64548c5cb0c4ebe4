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
    for room in core truck cycle trip runs chart lineup judge read api show cli; do
        [ -n "$(find "$room" -name '*.c')" ]
    done
}

@test "a planted include of a higher room is found" {
    plant core/report.c '#include "trip/trip.h"'
    found_in_planted "room core must not know trip"
}

@test "a planted include of a neighbour is found" {
    plant truck/planted.h '  #  include   "cycle/course.h" /* why not */'
    found_in_planted "room truck must not know cycle"
}

@test "a planted include of the runs into what is driven is found" {
    plant trip/planted.c '#include "runs/runs.h"'
    found_in_planted "room trip must not know runs"
}

# The C files of a tree that know of the driving of a course, but for those that make it: one line each.
drivers_in() {
    (cd "$1" && grep -rlw evn_drive_course --include='*.[ch]' . | grep -v '^\./trip/drive\.[ch]$' | sort)
}

@test "only the room of the runs drives" {
    [ "$(drivers_in "$source_root/src")" = ./runs/runs.c ]
    plant lineup/outcome.c 'static void planted(void) { evn_drive_course(0); }'
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
