#!/usr/bin/env bats
# evener keys: the reference of every key; and the lists of paths that --set and completion take.
# shellcheck disable=SC2154 # run sets stderr

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    truck=$root/tests/vehicles/trucks/tractor-4x2-central.yaml
    here=$BATS_TEST_TMPDIR
}

@test "every kind in the overview has keys of its own" {
    "$EVENER" keys | awk 'NR > 1 { if (!NF) exit } /^  [a-z]/ { if (NR > 1) print $1 }' >"$here/kinds"
    [ "$(wc -l <"$here/kinds")" -gt 30 ]
    while read -r kind; do
        run "$EVENER" keys "$kind"
        [ "$status" -eq 0 ]
        [[ ${lines[0]} == "$kind: "* && ${#lines[@]} -ge 3 ]]
    done <"$here/kinds"
}

@test "a key is shown with unit, default, bounds, what is usual, and meaning; by any name on its way" {
    run "$EVENER" keys drive_units.any.gearbox.shift.time_s
    [ "$status" -eq 0 ]
    [[ $output == *"s; default 0.6; 0 to 10; usual 0.15 to 1"*"pause without torque"*"source: "* ]]
    run "$EVENER" keys drive_units.any.gearbox.ratios
    [[ $output == *"neighbours at least 0.001 apart"* ]]
    run "$EVENER" keys 'drive_units.a.path[2].mesh.ratio'
    [ "$status" -eq 0 ]
    run "$EVENER" keys permitted_gross_kg
    [[ $output == *body.permitted_gross_kg* ]]
}

@test "a path that leads nowhere is refused with the nearest, and nothing is shown" {
    run --separate-stderr "$EVENER" keys battery gearbox.ratois
    [ "$status" -eq 2 ]
    [ -z "$output" ]
    [[ $stderr == *"no key 'ratois' in gearbox; nearest is 'ratios'"* ]]
    run --separate-stderr "$EVENER" keys --paths battery gearbox.ratois
    [ "$status" -eq 2 ]
    [ -z "$output" ]
    run "$EVENER" keys battery.capacity_ah.more
    [[ $output == *"'capacity_ah' holds no keys of its own"* ]]
}

@test "--paths: each line once, each a key that keys explains, those of a part as those of all" {
    "$EVENER" keys --paths >"$here/all"
    [ "$(wc -l <"$here/all")" -gt 200 ]
    [ -z "$(sort "$here/all" | uniq -d)" ]
    xargs -d '\n' -n 40 "$EVENER" keys <"$here/all" >/dev/null
    diff <(grep '^battery\.' "$here/all") <("$EVENER" keys --paths battery)
    diff <(grep '^cycle\.' "$here/all") <("$EVENER" keys --paths cycle)
    diff <(grep '^drive_units\.NAME\.path' "$here/all") <("$EVENER" keys --paths drive_units.NAME.path)
    diff <("$EVENER" keys --paths 'drive_units.x.path[3]') <("$EVENER" keys --paths 'drive_units.x.path[3].')
    [ "$("$EVENER" keys --paths drive_units.x.gearbox. | head -n 1)" = drive_units.x.gearbox.ratios ]
}

@test "--paths, --json and --faults exclude each other" {
    for other in --json --faults; do
        run --separate-stderr "$EVENER" keys --paths "$other"
        [ "$status" -eq 2 ]
        [[ $stderr == *"--paths with $other; one of them was expected"* ]]
    done
    run --separate-stderr "$EVENER" show "$truck" --paths --flat
    [ "$status" -eq 2 ]
    [ -z "$output" ]
}

@test "show --paths: every value of a truck, set to what it is by its path, gives the same truck" {
    "$EVENER" show "$truck" --json >"$here/truck.json"
    diff <("$EVENER" show "$truck" --paths) \
        <(jq -r '.values[] | select(has("value")) | .path' "$here/truck.json")
    jq -r '.values[] | select(has("value") and .origin == "file") | "\(.path)=\(.value | tojson)"' "$here/truck.json" \
        >"$here/set"
    [ "$(wc -l <"$here/set")" -gt 100 ]
    "$EVENER" show "$truck" --flat | grep -v '^#' >"$here/plain"
    split -l 60 "$here/set" "$here/piece-"
    for piece in "$here"/piece-*; do
        mapfile -t values <"$piece"
        "$EVENER" show "$truck" --flat "${values[@]/#/--set=}" | grep -v '^#' >"$here/set-flat"
        diff "$here/plain" "$here/set-flat"
    done
}
