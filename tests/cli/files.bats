#!/usr/bin/env bats
# Output files: all of a command or none, whatever ends it; kept files that two programs write; pipes that nobody reads.

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=$(realpath "${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}")
    truck=$root/tests/vehicles/trucks/tractor-4x2-central.yaml
    hill=$root/cycles/scenarios/hill.yaml
    demo=$root/tests/vehicles/lineups/demo.yaml
    # Runs that take some seconds: there is time to interrupt them.
    long=$root/tests/vehicles/lineups/motorway.yaml
    mkdir "$BATS_TEST_TMPDIR/here"
    cd "$BATS_TEST_TMPDIR/here"
}

# with_signal SIGNAL WORDS...: the program with the signal sent to it before it begins: it is seen at the first look.
with_signal() {
    local signal=$1
    shift
    run --separate-stderr env --block-signal="$signal" bash -c 'kill -"$0" $$; exec "$@"' "$signal" "$EVENER" "$@"
}

# interrupt SIGNAL WORDS...: the program with the signal sent as soon as a temporary file of its is there. Sets `code`.
interrupt() {
    local signal=$1 program
    shift
    env --default-signal="$signal" "$EVENER" "$@" >"$BATS_TEST_TMPDIR/out.txt" 2>"$BATS_TEST_TMPDIR/err.txt" &
    program=$!
    until compgen -G '.evener-*.part' >/dev/null || ! kill -0 "$program" 2>/dev/null; do sleep 0.01; done
    kill -"$signal" "$program"
    code=0
    wait "$program" || code=$?
    cat "$BATS_TEST_TMPDIR/err.txt"
}

# old NAME...: files that were there before.
old() {
    for name in "$@"; do echo old >"$name"; done
}

# only NAME...: these are all there are, and each is as it was.
only() {
    [ "$(ls -A)" = "$(printf '%s\n' "$@" | sort)" ]
    for name in "$@"; do [ "$(cat "$name")" = old ]; done
}

# ---------------------------------------------------------------------------------------------------- interrupts

@test "interrupt: compare leaves the old CSV file and the old page, and no temporary file" {
    for signal in INT TERM HUP; do
        old r.csv
        interrupt "$signal" compare "$long" --threads 1 --accuracy 1e-12 --csv r.csv
        [ "$code" -eq 3 ]
        grep -q 'interrupted' "$BATS_TEST_TMPDIR/err.txt"
        grep -Eq 'was stopped( at [0-9.]+ of [0-9.]+ km|[,.])' "$BATS_TEST_TMPDIR/out.txt"
        only r.csv
    done
}

@test "interrupt: compare leaves no folder of traces that it made, and in one that was there the old traces" {
    with_signal TERM compare "$demo" --trace-dir traces
    [ "$status" -eq 3 ]
    [ -z "$(ls -A)" ]
    mkdir traces
    old traces/central-own.csv
    interrupt INT compare "$long" --threads 1 --accuracy 1e-12 --csv r.csv --trace-dir traces
    [ "$code" -eq 3 ]
    [ "$(ls -A)" = traces ]
    [ "$(ls -A traces)" = central-own.csv ]
    [ "$(cat traces/central-own.csv)" = old ]
}

@test "interrupt: keep leaves the old file, or none, and no temporary file" {
    for signal in INT TERM HUP; do
        interrupt "$signal" keep kept.yaml --lineup "$long" --threads 1 --set driving.accuracy=1e-12
        [ "$code" -eq 3 ]
        [ -z "$(ls -A)" ]
    done
    "$EVENER" keep kept.yaml --truck "$truck" --cycle "$hill"
    cp kept.yaml "$BATS_TEST_TMPDIR/before.yaml"
    interrupt TERM keep kept.yaml --accept --lineup "$long" --threads 1 --set driving.accuracy=1e-12
    [ "$code" -eq 3 ]
    [ "$(ls -A)" = kept.yaml ]
    cmp kept.yaml "$BATS_TEST_TMPDIR/before.yaml"
}

@test "interrupt: check leaves the old report for build servers and no temporary file" {
    "$EVENER" keep "$BATS_TEST_TMPDIR/kept.yaml" --lineup "$long" --set driving.accuracy=1e-12
    for signal in INT TERM HUP; do
        old r.xml
        interrupt "$signal" check "$BATS_TEST_TMPDIR/kept.yaml" --threads 1 --junit r.xml
        [ "$code" -eq 3 ]
        only r.xml
    done
}

@test "interrupt: new leaves the old file, or none, and no temporary file, when the signal comes while it writes" {
    for signal in INT TERM HUP; do
        with_signal "$signal" new truck mine.yaml
        [ "$status" -eq 3 ]
        [[ $stderr == *"interrupted; no file was written"* ]]
        [ -z "$(ls -A)" ]
        old mine.yaml
        with_signal "$signal" new truck mine.yaml --force
        [ "$status" -eq 3 ]
        only mine.yaml
        rm mine.yaml
    done
}

# Begins `pipe`, handle 5, anew: nothing of an earlier program is in it.
begin_pipe() {
    pipe=$BATS_TEST_TMPDIR/pipe
    rm -f "$pipe"
    mkfifo "$pipe"
    exec 5<>"$pipe"
}

# drain_and_wait: reads what still comes through the pipe from `program`, until it ends. Sets `code`.
drain_and_wait() {
    local reader
    cat <&5 >"$BATS_TEST_TMPDIR/rest.txt" &
    reader=$!
    code=0
    wait "$program" || code=$?
    kill "$reader"
    wait "$reader" || true
    exec 5<&-
}

@test "interrupt: a day that is driven tells leg and place, and nothing of what the truck does" {
    interrupt INT drive "$root/vehicles/trucks/days/tractor-6x4-central-day.yaml" "$root/cycles/duties/haulage-220.yaml" --accuracy 1e-12 --csv r.csv
    [ "$code" -eq 3 ]
    told=$(tr -s ' \n' ' ' <"$BATS_TEST_TMPDIR/out.txt")
    echo "$told"
    [[ $told == "Interrupted in season "*" in leg 'Tornmere round' after "*" km and "*" of the day: whether "*" does "*" was not found. "* ]]
    [[ $told != *"does not do"* && $told != *"not met"* ]]
    [ -z "$(ls -A)" ]
}

@test "interrupt: drive keeps the rows that there are beside the old trace, and leaves the old page" {
    for signal in INT TERM HUP; do
        old run.html
        begin_pipe
        # The pipe fills up: the run waits in the middle until its rows are read.
        env --default-signal="$signal" "$EVENER" drive "$truck" "$hill" --trace-interval-s 0.01 \
            --trace "$pipe" --page run.html 5<&- >"$BATS_TEST_TMPDIR/out.txt" 2>&1 &
        program=$!
        IFS= read -r -t 60 header <&5
        kill -"$signal" "$program"
        drain_and_wait
        [ "$code" -eq 3 ]
        only run.html
    done
    old run.csv
    with_signal TERM drive "$truck" "$hill" --trace run.csv --page run.html
    [ "$status" -eq 3 ]
    [ "$(ls -A)" = "$(printf 'run.csv\nrun.csv.partial\nrun.html')" ]
    rm run.csv.partial
    only run.csv run.html
}

@test "interrupt: drive, when the run is done and the page is being written, leaves the old trace" {
    for signal in INT TERM HUP; do
        old run.csv
        begin_pipe
        env --default-signal="$signal" "$EVENER" drive "$truck" "$hill" \
            --trace run.csv --page "$pipe" 5<&- >"$BATS_TEST_TMPDIR/out.txt" 2>&1 &
        program=$!
        IFS= read -r -n 1 -t 60 _ <&5
        kill -"$signal" "$program"
        drain_and_wait
        [ "$code" -eq 3 ]
        grep -q 'interrupted; no file was written' "$BATS_TEST_TMPDIR/out.txt"
        only run.csv
    done
}

# ---------------------------------------------------------------------------------------------------- all or none

@test "drive: a trace that cannot be written leaves the old page too, and the other way round" {
    old run.csv run.html
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --trace /dev/full --page run.html
    [ "$status" -eq 4 ]
    only run.csv run.html
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --trace run.csv --page /dev/full
    [ "$status" -eq 4 ]
    only run.csv run.html
    # Room for the trace and not for the page.
    run --separate-stderr bash -c 'ulimit -f 200; exec "$0" drive "$1" "$2" --trace run.csv --trace-interval-s 100 \
        --page run.html' "$EVENER" "$truck" "$hill"
    [ "$status" -eq 4 ]
    [[ $stderr == *"cannot write 'run.html'"* ]]
    only run.csv run.html
}

@test "compare: a page that cannot be written leaves the old CSV file and the old traces" {
    mkdir traces
    old r.csv r.html traces/central-own.csv
    run --separate-stderr bash -c 'ulimit -f 400; exec "$0" compare "$1" --uncertainty off --csv r.csv --page r.html \
        --trace-dir traces --trace-interval-s 100' "$EVENER" "$demo"
    [ "$status" -eq 4 ]
    [[ $stderr == *"cannot write 'r.html'"* ]]
    [ "$(ls -A traces)" = central-own.csv ]
    mv traces/central-own.csv . && rmdir traces
    only r.csv r.html central-own.csv
}

@test "a full disk under the trace is told as that, the run is not called interrupted, and its report is there" {
    old run.csv
    for file in run.csv /dev/full; do
        run --separate-stderr bash -c 'ulimit -f 8; exec "$0" drive "$1" "$2" --trace "$3" --trace-interval-s 0.01' \
            "$EVENER" "$truck" "$hill" "$file"
        [ "$status" -eq 4 ]
        [[ $stderr == *"cannot write '$file': "* ]]
        [[ $stderr != *interrupted* ]]
        [[ $output == *"Ostervane hill road: 12.00 km"* ]]
        only run.csv
    done
    run --separate-stderr bash -c '"$0" drive "$1" "$2" --trace - --trace-interval-s 0.01 >/dev/full' \
        "$EVENER" "$truck" "$hill"
    [ "$status" -eq 4 ]
    [[ $stderr == *"cannot write standard output: No space left"* ]]
    [[ $stderr != *interrupted* ]]
}

# ---------------------------------------------------------------------------------------------------- keep

@test "keep: two at the same time on one file lose nothing, whether it was there before or not" {
    axle=$root/tests/vehicles/trucks/tractor-4x2-eaxle.yaml
    for round in 1 2 3; do
        "$EVENER" keep kept.yaml --truck "$truck" --cycle "$hill" >one.txt 2>&1 &
        one=$!
        "$EVENER" keep kept.yaml --truck "$axle" --cycle "$hill" >two.txt 2>&1 &
        two=$!
        wait "$one"
        wait "$two"
        grep -q 'recorded (1 new' one.txt
        grep -q 'recorded (1 new' two.txt
        run "$EVENER" check kept.yaml
        [ "$output" = "2 runs: 2 the same, 0 moved." ]
        rm kept.yaml
    done
    "$EVENER" keep kept.yaml --truck "$truck" --cycle "$root/cycles/reference/sort-1.yaml"
    pids=()
    for payload in 1000 2000 3000 4000; do
        "$EVENER" keep kept.yaml --truck "$truck" --cycle "$hill" --payload-kg "$payload" >/dev/null 2>&1 &
        pids+=($!)
    done
    for pid in "${pids[@]}"; do wait "$pid"; done
    run "$EVENER" check kept.yaml
    [ "$output" = "5 runs: 5 the same, 0 moved." ]
    [ "$(ls -A)" = "$(printf 'kept.yaml\none.txt\ntwo.txt')" ]
}

@test "keep: a second one says that it waits, can be interrupted, and goes on when the first was killed" {
    "$EVENER" keep kept.yaml --truck "$truck" --cycle "$hill"
    exec 5<kept.yaml
    flock 5
    "$EVENER" keep kept.yaml --accept 5<&- >/dev/null 2>"$BATS_TEST_TMPDIR/err.txt" &
    program=$!
    says_that_it_waits() { grep -q "waiting for another evener that works on, or beside, 'kept.yaml'" "$BATS_TEST_TMPDIR/err.txt"; }
    until says_that_it_waits || ! kill -0 "$program" 2>/dev/null; do sleep 0.01; done
    says_that_it_waits
    kill -TERM "$program"
    code=0
    wait "$program" || code=$?
    [ "$code" -eq 143 ]
    exec 5<&-
    run "$EVENER" keep kept.yaml --accept
    [ "$status" -eq 0 ]
    [ "$(ls -A)" = kept.yaml ]
}

@test "keep: a file that was changed by hand while the runs went on is not overwritten" {
    "$EVENER" keep kept.yaml --lineup "$long" --threads 1 --set driving.accuracy=1e-12
    "$EVENER" keep kept.yaml --accept >"$BATS_TEST_TMPDIR/out.txt" 2>"$BATS_TEST_TMPDIR/err.txt" &
    program=$!
    until compgen -G '.evener-*.part' >/dev/null || ! kill -0 "$program" 2>/dev/null; do sleep 0.01; done
    echo '# by hand' >>kept.yaml
    code=0
    wait "$program" || code=$?
    [ "$code" -eq 4 ]
    grep -q "kept.yaml': it was changed by somebody else since it was read" "$BATS_TEST_TMPDIR/err.txt"
    [ "$(tail -1 kept.yaml)" = '# by hand' ]
    [ "$(ls -A)" = kept.yaml ]
}

# Sets `lower`: words before a command that run it as somebody who may read everything here: the superuser, who may write
# everywhere, becomes another user, in a folder that both reach; everybody else stays.
as_somebody() {
    lower=()
    [ "$(id -u)" -eq 0 ] || return 0
    lower=(setpriv --reuid 65534 --regid 65534 --clear-groups)
    common=$(mktemp -d)
    chmod 755 "$common"
    "${lower[@]}" "$EVENER" --version && "${lower[@]}" test -r "$truck" || skip "another user cannot read this tree"
    cd "$common"
}

teardown() {
    if [ -n "${common:-}" ]; then
        chmod -R u+w "$common"
        rm -r "$common"
    fi
}

@test "keep: a file that cannot be written is an error even when nothing moved" {
    as_somebody
    mkdir theirs
    "$EVENER" keep theirs/kept.yaml --truck "$truck" --cycle "$hill"
    cp theirs/kept.yaml "$BATS_TEST_TMPDIR/before.yaml"
    for modes in "444 755" "666 555"; do # the file, the folder
        chmod "${modes% *}" theirs/kept.yaml
        chmod "${modes#* }" theirs
        run --separate-stderr "${lower[@]}" "$EVENER" keep theirs/kept.yaml
        chmod 755 theirs
        [ "$status" -eq 4 ]
        [[ $stderr == *"cannot write 'theirs/kept.yaml': Permission denied"* ]]
        [ "$output" = 'theirs/kept.yaml: not written.' ]
    done
    [ "$(ls -A theirs)" = kept.yaml ]
    cmp theirs/kept.yaml "$BATS_TEST_TMPDIR/before.yaml"
}

@test "a file that may be written but not replaced is refused before anything is driven" {
    as_somebody
    [ "${#lower[@]}" -gt 0 ] || skip "there is no file of somebody else"
    mkdir -m 1777 theirs
    old theirs/run.csv
    chmod 666 theirs/run.csv
    run --separate-stderr "${lower[@]}" "$EVENER" drive "$truck" "$hill" --trace theirs/run.csv --page theirs/run.html
    [ "$status" -eq 4 ]
    [[ $stderr == *"cannot write 'theirs/run.csv': it is somebody else's, in a folder where only its owner"* ]]
    [ "$(ls -A theirs)" = run.csv ]
    [ "$(cat theirs/run.csv)" = old ]
}

# ---------------------------------------------------------------------------------------------------- pipes

# unread WORDS...: the program into a pipe whose reader is gone before it writes.
unread() {
    mkfifo pipe
    exec 6<>pipe
    exec 7>pipe
    exec 6<&-
    run --separate-stderr bash -c '"$@" >&7' - "$EVENER" "$@"
    exec 7>&-
    rm pipe
}

@test "a reader that goes away ends every command quietly, as it ends other programs" {
    "$EVENER" keep kept.yaml --truck "$truck" --cycle "$hill"
    cp -r "$root/vehicles" "$root/cycles" .
    "$EVENER" drive "$truck" "$hill" --json >"$BATS_TEST_TMPDIR/result.json"
    while read -r -a words; do
        unread "${words[@]}"
        [ "$status" -eq 141 ]
        [ -z "$stderr" ]
    done <<TEXT
list
list --json
show $truck
keys
keys truck
keys --json
help
drive --help
--version
cycle info $hill
drive $truck $hill
drive $truck $hill --json
drive $truck $hill --trace -
drive $truck $hill --trace - --trace-interval-s 0.01
compare $root/tests/vehicles/lineups/mountain.yaml
limits $truck
new truck -
check kept.yaml
check kept.yaml --tap
keep kept.yaml
diff $BATS_TEST_TMPDIR/result.json $BATS_TEST_TMPDIR/result.json
TEXT
}

@test "list and show into head end quietly, and write the lines that are read" {
    cp -r "$root/vehicles" "$root/cycles" .
    for words in list "show $truck" "drive $truck $hill --trace - --trace-interval-s 0.01"; do
        run --separate-stderr bash -c "'$EVENER' $words | head -1"
        [ "$status" -eq 0 ]
        [ "${#lines[@]}" -eq 1 ]
        [ -z "$stderr" ]
    done
}

@test "a trace to a reader that goes away leaves the old page" {
    old run.html
    run --separate-stderr bash -c '"$0" drive "$1" "$2" --trace - --trace-interval-s 0.01 --page run.html | head -1' \
        "$EVENER" "$truck" "$hill"
    [ -z "$stderr" ]
    only run.html
}

@test "a standard output that cannot be written is still an error" {
    for words in list "show $truck" keys "new truck -"; do
        run --separate-stderr bash -c "'$EVENER' $words >/dev/full"
        [ "$status" -eq 4 ]
        [[ $stderr == *"cannot write standard output: No space left"* ]]
    done
}

@test "a file that is not there is told with the nearest beside it, on the command line and without a folder too" {
    mkdir near && cd near
    printf '%s\n' 'name: Flat' 'invented: true' 'length_m: 500' 'speed: {place_m: [0], limit_km_h: [40]}' >level.yaml
    printf '%s\n' 'name: A day' 'invented: true' 'day: [leg: {name: a, cycle: {use: levle.yaml}}]' >dayduty.yaml
    truck=$root/tests/trucks/ideal.yaml
    run --separate-stderr -2 "$EVENER" drive "$truck" dayduty.yaml
    [[ $stderr == *"dayduty.yaml:3:"*"'levle.yaml' is not there; expected the path of a file; nearest is 'level.yaml'"* ]]
    run --separate-stderr -4 "$EVENER" drive "$truck" daydutty.yaml
    [[ $stderr == *"daydutty.yaml: error: there is no such file; expected a file to read; nearest is 'dayduty.yaml'"* ]]
    run --separate-stderr -4 "$EVENER" range "$truck" ../near/daydutty.yaml
    [[ $stderr == *"there is no such file; expected a file to read; nearest is '../near/dayduty.yaml'"* ]]
    run --separate-stderr -4 "$EVENER" drive "$truck" quite-other.yaml
    [[ $stderr == *"there is no such file; expected a file to read" ]]
}

@test "a file that extends one that is not there, or itself, is told so and not taken for a part" {
    printf '%s\n' "extends: $root/tests/trucks/ideall.yaml" 'name: x' >lost.yaml
    printf '%s\n' 'extends: self.yaml' 'name: x' >self.yaml
    run --separate-stderr -2 "$EVENER" show lost.yaml
    [[ $stderr == *"lost.yaml:1:10: error: "*"ideall.yaml' is not there; "*"nearest is "*"ideal.yaml'"* ]]
    run --separate-stderr -2 "$EVENER" site lost.yaml
    [[ $stderr == *"lost.yaml:1:10: error: "*"is not there"* && $stderr != *"this is a "* ]]
    run --separate-stderr -2 "$EVENER" drive "$root/tests/trucks/ideal.yaml" self.yaml
    [[ $stderr == *"self.yaml:1:10: error: "*"in a circle"* && $stderr != *"this is a "* ]]
}
