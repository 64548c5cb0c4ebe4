#!/usr/bin/env bats
# The JSON Schema of evener keys --json, held against files by a public validator (python3-jsonschema).

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    here=$BATS_TEST_TMPDIR
    truck=$root/tests/vehicles/trucks/tractor-4x2-central.yaml
}

schema() { "$EVENER" keys "$@" --json >"$here/schema.json"; }
valid() { /usr/bin/python3 "$root/tests/cli/validate.py" "$here/schema.json" "$@"; }

# A copy of a file with one place changed, which the reader refuses: breaks FILE SED-EXPRESSION COMMAND...
breaks() {
    broken=$((${broken:-0} + 1))
    sed "$2" "$1" >"$here/broken-$broken.yaml"
    run ! cmp -s "$1" "$here/broken-$broken.yaml"
    EVENER_PATH=$root/tests/vehicles/trucks run "$EVENER" "${@:3}" "$here/broken-$broken.yaml"
    [ "$status" -eq 2 ] || { echo "the reader takes: $2"; return 1; }
    printf '\n# %s\n' "$2" >>"$here/broken-$broken.yaml"
}

# Each of as many such copies is refused by the schema, too, each by itself.
all_refused() {
    [ "$broken" -eq "$1" ]
    run valid_refused "$here"/broken-*.yaml
    [ "$status" -eq 0 ] || { echo "$output" && tail -qn 1 "$here"/broken-*.yaml && false; }
}
valid_refused() { /usr/bin/python3 "$root/tests/cli/validate.py" --refused "$here/schema.json" "$@"; }

@test "every shipped truck and every truck of the tests fits the schema of trucks, as it stands and flattened" {
    schema truck
    valid "$root"/vehicles/trucks/*.yaml "$root"/vehicles/trucks/defaults/*.yaml "$root"/vehicles/trucks/days/*.yaml "$root"/tests/trucks/*.yaml
    for file in "$root"/vehicles/trucks/*.yaml; do
        "$EVENER" show "$file" --flat >"$here/$(basename "$file")"
    done
    valid "$here"/*.yaml
}

@test "every shipped cycle and duty fits the schema of its kind" {
    schema cycle
    valid "$root"/cycles/reference/*.yaml "$root"/cycles/scenarios/*.yaml
    schema duty
    valid "$root"/cycles/duties/*.yaml
}

@test "every shipped file of prices fits the schema of its kind" {
    schema prices
    valid "$root"/vehicles/prices/*.yaml
}

@test "every shipped set of rules fits the schema of its kind" {
    schema rules
    valid "$root"/vehicles/rules/*.yaml
}

@test "every shipped lineup and the kept results fit the schemas of their kinds" {
    schema lineup
    valid "$root"/vehicles/lineups/*.yaml "$root"/vehicles/lineups/defaults/*.yaml "$root"/vehicles/lineups/days/*.yaml
    schema kept
    valid "$root"/tests/kept/*.yaml
}

@test "every shipped part fits the schema of its kind" {
    cd "$root"
    "$EVENER" list --json >"$here/list.json"
    files=("$root"/vehicles/parts/*.yaml "$root"/vehicles/parts/defaults/*.yaml)
    jq -r '. as $list | $ARGS.positional[] as $file | ($file | sub(".*/"; "") | rtrimstr(".yaml")) as $name
        | "\([$list | .. | objects | select(.name? == $name) | .kind][0]) \($file)"' "$here/list.json" --args "${files[@]}" |
        sort >"$here/kinds"
    run ! grep -q '^null' "$here/kinds"
    [ "$(wc -l <"$here/kinds")" -eq "${#files[@]}" ]
    [ "${#files[@]}" -gt 20 ]
    held=()
    while read -r kind file; do
        if [ ! -e "$here/$kind.json" ]; then
            "$EVENER" keys "$kind" --json >"$here/$kind.json"
            held+=(-- "$here/$kind.json")
        fi
        held+=("$file")
    done <"$here/kinds"
    /usr/bin/python3 "$root/tests/cli/validate.py" "${held[@]}"
}

@test "the schema of all kinds takes a truck and a cycle, and no part" {
    schema
    valid "$truck" "$root/cycles/scenarios/hill.yaml"
    run valid "$root/vehicles/parts/pack-540.yaml"
    [ "$status" -eq 1 ]
}

@test "what new writes fits the schema of its kind" {
    held=()
    for kind in truck cycle motor gearbox battery drive_unit branch engagement disconnect lineup; do
        "$EVENER" keys "$kind" --json >"$here/$kind.json"
        "$EVENER" new "$kind" "$here/$kind.yaml"
        held+=(-- "$here/$kind.json" "$here/$kind.yaml")
    done
    /usr/bin/python3 "$root/tests/cli/validate.py" "${held[@]}"
}

@test "broken trucks are refused by the schema and by the reader alike" {
    schema truck
    cp "$truck" "$here/whole.yaml"
    valid "$here/whole.yaml"
    EVENER_PATH=$root/tests/vehicles/trucks "$EVENER" show "$here/whole.yaml" >/dev/null
    breaks "$truck" 's/permitted_gross_kg/permited_gross_kg/' show # a key that is not there
    breaks "$truck" '/drag_area_m2/d' show # a key that must be
    breaks "$truck" 's/mass_kg: 4150/mass_kg: heavy/' show # a word for a number
    breaks "$truck" 's/mass_kg: 4150/mass_kg: -4150/' show # below its bound
    breaks "$truck" 's/mass_kg: 4150/mass_kg: 1e9/' show # above it
    breaks "$truck" 's/mass_kg: 4150/mass_kg: [4150]/' show # a list for a number
    breaks "$truck" 's/mass_kg: 4150/mass_kg: .nan/' show # not a number
    breaks "$truck" 's/support: front/support: middle/' show # not among the choices
    breaks "$truck" 's/invented: true/invented: yes/' show # neither true nor false
    breaks "$truck" 's/axles: \[2\]/axles: 2/' show # a number for a list
    breaks "$truck" 's/axles: \[2\]/axles: []/' show # an empty list
    breaks "$truck" 's/tyres: 2/tyres: 2.5/' show # not a whole number
    breaks "$truck" 's/- centre_bearing: /- center_bearing: /' show # a step of no kind
    breaks "$truck" 's/- centre_bearing: {drag_nm: 1.5}/- {centre_bearing: {drag_nm: 1.5}, wheel_end: {}}/' show # two in one step
    breaks "$truck" 's/^auxiliaries: .*/auxiliaries: 5/' show # a number for a map
    breaks "$truck" 's/^battery: .*/battery: {use: 5}/' show # no path
    all_refused 16
}

@test "a cycle that extends another fits, and needs only what it changes" {
    schema cycle
    cp "$root/cycles/scenarios/hill.yaml" "$here/base.yaml"
    printf 'extends: base.yaml\nspeed: {limit_km_h: [50, 40, 50]}\n' >"$here/change.yaml"
    valid "$here/change.yaml"
    sed -i '/extends/d' "$here/change.yaml"
    run valid "$here/change.yaml"
    [ "$status" -eq 1 ]
}

@test "broken cycles are refused by the schema and by the reader alike" {
    schema cycle
    hill=$root/cycles/scenarios/hill.yaml
    for change in 's/limit_km_h/limit_mph/' 's/length_m: 12000/length_m: long/' '/^name:/d' 's/wait_s:  \[30\]/wait_s: 30/' \
        's/rolling_factor: \[1.1, 1\]/rolling_factor: [1.1, 99]/'; do
        breaks "$hill" "$change" cycle info
    done
    all_refused 5
}
