#!/usr/bin/env bats
# evener cycle info. EVENER is the program; EVENER_SOURCE, if set, the folder of the sources.

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    urban=$root/cycles/reference/urban-schedule.yaml
    hill=$root/cycles/scenarios/hill.yaml
    mkdir "$BATS_TEST_TMPDIR/here" # bats keeps files of its own one folder up
    cd "$BATS_TEST_TMPDIR/here"
}

@test "help: cycle lists its commands, cycle info has a page" {
    run --separate-stderr "$EVENER" help cycle
    [ "$status" -eq 0 ]
    [[ $output == *"cycle info"* ]]
    listed=$output
    run --separate-stderr "$EVENER" cycle --help
    [ "$status" -eq 0 ]
    [ "$output" = "$listed" ]
    run --separate-stderr "$EVENER" help cycle info
    [ "$status" -eq 0 ]
    [[ $output == "evener cycle info: "*"CYCLE"*"Examples"* ]]
}

@test "exit 2: cycle without a second word, with an unknown one, without a file" {
    run --separate-stderr "$EVENER" cycle
    [ "$status" -eq 2 ]
    [ -z "$output" ]
    run --separate-stderr "$EVENER" cycle inof "$urban"
    [ "$status" -eq 2 ]
    [[ $stderr == *"unknown command 'cycle inof'"* ]]
    run --separate-stderr "$EVENER" cycle info
    [ "$status" -eq 2 ]
    [[ $stderr == *"CYCLE is missing"* ]]
    run --separate-stderr "$EVENER" cycle info "$urban" --jsno
    [ "$status" -eq 2 ]
    [[ $stderr == *"did you mean --json?"* ]]
}

@test "text: name, source and figures, without a single escape" {
    for cycle in "$urban" "$hill"; do
        run --separate-stderr "$EVENER" cycle info "$cycle"
        [ "$status" -eq 0 ]
        [ -z "$stderr" ]
        [[ ${lines[1]} == "source: "?* ]]
        [[ $output == *" km"* ]]
        [[ $output != *$'\033'* && $output != *'\x'* ]]
    done
    [[ ${lines[1]} == *invented* ]]
}

@test "json: one valid document; the urban schedule is as long as its table says" {
    run --separate-stderr "$EVENER" cycle info "$urban" --json
    [ "$status" -eq 0 ]
    [ "$(jq -s length <<< "$output")" -eq 1 ]
    jq -e '.schema == "evener.cycle/2" and .status == "done" and (.findings | length == 0)' <<< "$output"
    # 1369 s, 11.990239 km: trapezes of the 1 Hz table in 40 CFR 86 App. I(a), worked out apart from this program
    jq -e '.distance_km - 11.990239 | fabs < 1e-5' <<< "$output"
    jq -e '.duration_s == 1369' <<< "$output"
}

@test "json: a document on failure" {
    run --separate-stderr "$EVENER" cycle info none.yaml --json
    [ "$status" -eq 4 ]
    jq -e '.status == "failed" and (.findings | length == 1)' <<< "$output"
    run --separate-stderr "$EVENER" cycle info --json
    [ "$status" -eq 2 ]
    jq -e '.schema == "evener.cycle/2" and .findings[0].fault == "usage"' <<< "$output"
}

@test "a cycle with a mistake is refused at its line and column" {
    printf 'name: "Broken"\nspeed: {time_s: [0, 1], speed_km_h: [0, 5]}\nno_such_key: 1\n' > broken.yaml
    run --separate-stderr "$EVENER" cycle info broken.yaml
    [ "$status" -eq 2 ]
    [ -z "$output" ]
    [[ $stderr == *"broken.yaml:3:1: error: "* ]]
}

@test "exit 4: standard output that is full" {
    run bash -c "'$EVENER' cycle info '$urban' 2>&1 > /dev/full"
    [ "$status" -eq 4 ]
}
