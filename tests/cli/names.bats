#!/usr/bin/env bats
# Inputs by name, from any folder; and files that stand in a place where another kind belongs. EVENER is the program.
# shellcheck disable=SC2154 # run sets stderr

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=$(cd "${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}" && pwd)
    truck=$root/vehicles/trucks/tractor-4x2-central.yaml
    other=$root/vehicles/trucks/tractor-4x2-eaxle.yaml
    hill=$root/cycles/scenarios/hill.yaml
    lineup=$root/vehicles/lineups/demo.yaml
    motor=$root/vehicles/parts/motor-axle-330.yaml
    export EVENER_PATH=$root
    mkdir "$BATS_TEST_TMPDIR/here" # bats keeps files of its own one folder up
    cd "$BATS_TEST_TMPDIR/here"
}

# refused TEXT ARGUMENT...: exit 2, nothing told, one line of findings that holds the text.
refused() {
    run --separate-stderr "$EVENER" "${@:2}"
    echo "$stderr"
    [ "$status" -eq 2 ] && [ -z "$output" ] && [ "$(wc -l <<<"$stderr")" -eq 1 ] && [[ $stderr == *"$1"* ]]
}

# same ARGUMENT... -- ARGUMENT...: both command lines print the same, and something.
same() {
    local first=()
    while [ "$1" != -- ]; do first+=("$1") && shift; done
    "$EVENER" "${first[@]}" >first
    "$EVENER" "${@:2}" >second
    [ -s first ]
    cmp first second
}

@test "EVENER_PATH at the root of a checkout lists its vehicles and cycles, and nothing beside them" {
    "$EVENER" list --json >from-root
    (cd "$root" && EVENER_PATH='' "$EVENER" list --json) >at-root
    [ "$(jq '.items | length' from-root)" -gt 50 ]
    diff <(jq -r '.items[] | "\(.kind) \(.name) \(.title)"' from-root) <(jq -r '.items[] | "\(.kind) \(.name) \(.title)"' at-root)
    [ "$(jq -r '.items[] | select(.name == "hill") | .path' from-root)" = "$hill" ]
    EVENER_PATH=$root/vehicles "$EVENER" list trucks --names | grep -qx tractor-4x2-central # as before
}

@test "EVENER_PATH at the root of a checkout: files find parts in it, by the path from vehicles/ and from the root" {
    for part in parts/gearbox-4-speed.yaml vehicles/parts/gearbox-4-speed.yaml; do
        printf 'extends: %s\ndrive_units: {rear: {gearbox: {use: %s}}}\n' "$truck" "$part" >mine.yaml
        "$EVENER" show mine.yaml --json >shown
        [ "$(jq -r '.values[] | select(.path == "drive_units.rear.gearbox.ratios") | .file' shown)" = \
            "$root/vehicles/parts/gearbox-4-speed.yaml" ]
    done
}

@test "drive, show, cycle info, compare take names from any folder" {
    same drive tractor-4x2-central hill --json -- drive "$truck" "$hill" --json
    same show tractor-4x2-central --json -- show "$truck" --json
    same cycle info hill -- cycle info "$hill"
    same compare demo --uncertainty off -- compare "$lineup" --uncertainty off
    same compare tractor-4x2-central tractor-4x2-eaxle --cycle hill --uncertainty off -- compare "$truck" "$other" --cycle "$hill" --uncertainty off
    same drive tractor-4x2-central hill --plot -- drive "$truck" "$hill" --plot
    same new motor - --like motor-axle-330 -- new motor - --like "$motor"
}

@test "keep takes names and records the files that they lead to" {
    "$EVENER" keep by-name.yaml --truck tractor-4x2-central --cycle hill
    "$EVENER" keep by-path.yaml --truck "$truck" --cycle "$hill"
    cmp by-name.yaml by-path.yaml
    "$EVENER" keep lineup.yaml --lineup demo
    EVENER_PATH='' "$EVENER" check by-name.yaml
    EVENER_PATH='' "$EVENER" check lineup.yaml
}

@test "a name that is a truck's and a cycle's is what its place asks for" {
    mkdir -p vehicles cycles
    cp "$hill" cycles/both.yaml
    EVENER_PATH='' "$EVENER" show "$truck" --flat >vehicles/both.yaml
    same drive both both --json -- drive vehicles/both.yaml cycles/both.yaml --json
    same cycle info both -- cycle info cycles/both.yaml
}

@test "a path that is there goes before a name; a folder is none" {
    cp "$hill" tractor-4x2-central
    refused "TRUCK is 'tractor-4x2-central': this is a cycle" drive tractor-4x2-central "$other"
    mkdir hill
    "$EVENER" cycle info hill
}

@test "a name whose file cannot be read leads to what is wrong with it, where it stands" {
    mkdir -p vehicles/trucks
    printf 'name: [\n' >vehicles/trucks/broken.yaml
    for command in "drive broken hill" "show broken" "compare broken"; do
        # shellcheck disable=SC2086 # words of a command line
        run --separate-stderr "$EVENER" $command
        [ "$status" -eq 2 ] && [ -z "$output" ]
        [[ $stderr == *"vehicles/trucks/broken.yaml:2:1: error: "* && $stderr != *" named "* ]]
    done
}

@test "a name that is not there is told the nearest of its kind; of two files of one name none is taken" {
    refused "no truck named 'tractor-4x2-centrl'" drive tractor-4x2-centrl hill
    [[ $stderr == *"nearest is 'tractor-4x2-central'"* ]]
    refused "no cycle or duty named 'hil'" drive tractor-4x2-central hil
    [[ $stderr == *"nearest is 'hill'"* ]]
    refused "nearest is 'demo'" compare demmo
    refused "nearest is 'motor'" list motr
    mkdir -p vehicles/a vehicles/b
    cp "$root/tests/vehicles/trucks/tractor-4x2-central.yaml" vehicles/a/twin.yaml
    cp vehicles/a/twin.yaml vehicles/b/twin.yaml
    refused "vehicles/a/twin.yaml and vehicles/b/twin.yaml both have the name 'twin'" show twin
    run --separate-stderr "$EVENER" show none.yaml
    [ "$status" -eq 4 ]
    [[ $stderr == "none.yaml: error: there is no such file"* ]]
}

@test "a truck and a cycle that are swapped are told so, with the line as it should have been" {
    refused "TRUCK is '$hill': this is a cycle, CYCLE is '$truck': this is a truck; swapped? expected: evener drive $truck $hill" \
        drive "$hill" "$truck"
    refused "swapped? expected: evener drive tractor-4x2-central hill" drive hill tractor-4x2-central
    refused "expected: evener drive --payload-kg 1000 $truck --set 'cycle.name=a b' $hill" \
        drive --payload-kg 1000 "$hill" --set 'cycle.name=a b' "$truck"
    run --separate-stderr "$EVENER" drive hill tractor-4x2-central --json
    [ "$status" -eq 2 ]
    jq -e '.schema == "evener.drive/3" and (.findings | length == 1) and .findings[0].fault == "usage"' <<<"$output"
}

@test "a file of another kind is told what it is, and which command takes it" {
    refused "TRUCK is '$lineup': this is a lineup; a truck was expected; did you mean: evener compare $lineup" drive "$lineup" "$hill"
    refused "CYCLE is '$other': this is a truck; a cycle or a duty was expected; did you mean: evener compare $truck $other --cycle CYCLE" \
        drive "$truck" "$other"
    refused "this is a motor; a truck was expected" drive "$motor" "$hill"
    refused "did you mean: evener cycle info $hill" show "$hill"
    refused "did you mean: evener show $truck" cycle info "$truck"
    refused "did you mean: evener compare $truck OTHER --cycle CYCLE" compare "$truck"
    refused "did you mean: evener compare $truck $other --cycle $hill" compare "$truck" "$other" "$hill"
    refused "did you mean: evener compare $lineup" compare "$lineup" "$truck" --cycle "$hill"
    refused "--cycle is '$truck': this is a truck; a cycle was expected" compare "$truck" "$other" --cycle "$truck"
    refused "this is a truck; a file of kept results was expected" check "$truck"
    refused "this is a file of kept results; a truck was expected; did you mean: evener check" show "$root/tests/kept/reference.yaml"
    refused "FILE is '$truck': this is a truck; a file of kept results was expected; --truck takes it" keep "$truck"
    refused "--truck is 'hill': this is a cycle; a truck was expected; --cycle takes it" keep k.yaml --truck hill --cycle hill
    refused "did you mean: evener new cycle - --like hill" new truck - --like hill
    [ ! -e k.yaml ]
}

@test "a file with a mistake is still of its kind: the mistake is told, or the place it belongs to" {
    sed 's/^speed:/sped:/' "$hill" >broken-cycle.yaml
    run --separate-stderr "$EVENER" cycle info broken-cycle.yaml
    [ "$status" -eq 2 ]
    [[ $stderr == *"broken-cycle.yaml:"*"no key 'sped' in cycle"* ]]
    refused "this is a cycle" drive broken-cycle.yaml "$truck"
    sed 's/^body:/boddy:/' "$root/tests/vehicles/trucks/tractor-4x2-central.yaml" >"$BATS_TEST_TMPDIR/here/broken-truck.yaml"
    run --separate-stderr "$EVENER" show broken-truck.yaml
    [[ $stderr == *"no key 'boddy' in truck"* ]]
}
