#!/usr/bin/env bats
# evener list and evener new: what is shipped, and files of one's own made from it.

setup() {
    cd "$EVENER_SOURCE" || return 1
    hill=cycles/scenarios/hill.yaml
}

energy_of() { "$EVENER" drive "$1" "$hill" --json | jq .battery_kwh; }

@test "list names every shipped truck and cycle" {
    run "$EVENER" list --json
    [ "$status" -eq 0 ]
    for file in vehicles/trucks/*.yaml cycles/reference/*.yaml cycles/scenarios/*.yaml; do
        [[ $output == *"$(basename "$file" .yaml)"* ]]
    done
}

@test "a new truck like each shipped one drives to the same energy" {
    for truck in vehicles/trucks/*.yaml; do
        mine=$BATS_TEST_TMPDIR/$(basename "$truck")
        "$EVENER" new truck "$mine" --like "$(basename "$truck" .yaml)"
        [ "$(energy_of "$mine")" = "$(energy_of "$truck")" ]
    done
}

@test "a new truck drives a new cycle as they are written" {
    "$EVENER" new truck "$BATS_TEST_TMPDIR/truck.yaml"
    "$EVENER" new cycle "$BATS_TEST_TMPDIR/cycle.yaml"
    run "$EVENER" drive "$BATS_TEST_TMPDIR/truck.yaml" "$BATS_TEST_TMPDIR/cycle.yaml" --strict
    [ "$status" -eq 0 ]
}

@test "new does not overwrite a file unless told to" {
    file=$BATS_TEST_TMPDIR/motor.yaml
    echo mine >"$file"
    run "$EVENER" new motor "$file"
    [ "$status" -ne 0 ]
    [ "$(cat "$file")" = mine ]
    run "$EVENER" new motor "$file" --force
    [ "$status" -eq 0 ]
    [ "$(cat "$file")" != mine ]
}

@test "an unknown kind is refused and leaves no file" {
    run "$EVENER" new motr "$BATS_TEST_TMPDIR/x.yaml"
    [ "$status" -eq 2 ]
    [[ $output == *motor* ]]
    [ ! -e "$BATS_TEST_TMPDIR/x.yaml" ]
}

@test "a part that is named without its folder or ending is found for the message" {
    cp -r vehicles "$BATS_TEST_TMPDIR"
    cd "$BATS_TEST_TMPDIR"
    sed 's|motor-chassis-550.yaml|motor-chassis-550|' vehicles/trucks/tractor-4x2-central.yaml >vehicles/trucks/mine.yaml
    run "$EVENER" show vehicles/trucks/mine.yaml
    [ "$status" -eq 2 ]
    [[ $output == *"'../parts/motor-chassis-550' is not there"*"there is '../parts/motor-chassis-550.yaml'"* ]]
    sed 's|use: \.\./parts/|use: |' vehicles/trucks/tractor-4x2-central.yaml >mine.yaml
    run "$EVENER" show mine.yaml
    [ "$status" -eq 2 ]
    [[ $output == *"there is 'vehicles/parts/motor-chassis-550.yaml'"* ]]
    sed 's|motor-chassis-550.yaml|motor-chasis-490.yaml|' vehicles/trucks/tractor-4x2-central.yaml >vehicles/trucks/mine.yaml
    run "$EVENER" show vehicles/trucks/mine.yaml
    [ "$status" -eq 2 ]
    [[ $output == *"nearest is '../parts/motor-chassis-550.yaml'"* ]]
}
