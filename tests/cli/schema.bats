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

# A copy of the truck with one place changed is refused by the schema and by the reader: refuses SED-EXPRESSION
refuses() {
    sed "$1" "$truck" >"$here/broken.yaml"
    run ! cmp -s "$truck" "$here/broken.yaml"
    run valid "$here/broken.yaml"
    [ "$status" -eq 1 ] || { echo "the schema takes: $1"; return 1; }
    EVENER_PATH=$root/tests/vehicles/trucks run "$EVENER" show "$here/broken.yaml"
    [ "$status" -eq 2 ] || { echo "the reader takes: $1"; return 1; }
}

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

@test "every shipped lineup and the kept results fit the schemas of their kinds" {
    schema lineup
    valid "$root"/vehicles/lineups/*.yaml "$root"/vehicles/lineups/defaults/*.yaml "$root"/vehicles/lineups/days/*.yaml
    schema kept
    valid "$root"/tests/kept/*.yaml
}

@test "every shipped part fits the schema of its kind" {
    cd "$root"
    "$EVENER" list --json >"$here/list.json"
    number=0
    for file in "$root"/vehicles/parts/*.yaml "$root"/vehicles/parts/defaults/*.yaml; do
        kind=$(jq -r --arg name "$(basename "$file" .yaml)" '[.. | objects | select(.name? == $name) | .kind][0]' "$here/list.json")
        schema "$kind"
        valid "$file"
        number=$((number + 1))
    done
    [ "$number" -gt 20 ]
}

@test "the schema of all kinds takes a truck and a cycle, and no part" {
    schema
    valid "$truck" "$root/cycles/scenarios/hill.yaml"
    run valid "$root/vehicles/parts/pack-540.yaml"
    [ "$status" -eq 1 ]
}

@test "what new writes fits the schema of its kind" {
    for kind in truck cycle motor gearbox battery drive_unit branch engagement disconnect lineup; do
        schema "$kind"
        "$EVENER" new "$kind" "$here/$kind.yaml"
        valid "$here/$kind.yaml"
    done
}

@test "broken trucks are refused by the schema and by the reader alike" {
    schema truck
    cp "$truck" "$here/whole.yaml"
    valid "$here/whole.yaml"
    EVENER_PATH=$root/tests/vehicles/trucks "$EVENER" show "$here/whole.yaml" >/dev/null
    refuses 's/permitted_gross_kg/permited_gross_kg/'                # a key that is not there
    refuses '/drag_area_m2/d'                                        # a key that must be
    refuses 's/mass_kg: 4150/mass_kg: heavy/'                        # a word for a number
    refuses 's/mass_kg: 4150/mass_kg: -4150/'                        # below its bound
    refuses 's/mass_kg: 4150/mass_kg: 1e9/'                          # above it
    refuses 's/mass_kg: 4150/mass_kg: [4150]/'                       # a list for a number
    refuses 's/mass_kg: 4150/mass_kg: .nan/'                         # not a number
    refuses 's/support: front/support: middle/'                      # not among the choices
    refuses 's/invented: true/invented: yes/'                        # neither true nor false
    refuses 's/axles: \[2\]/axles: 2/'                               # a number for a list
    refuses 's/axles: \[2\]/axles: []/'                              # an empty list
    refuses 's/tyres: 2/tyres: 2.5/'                                 # not a whole number
    refuses 's/- centre_bearing: /- center_bearing: /'               # a step of no kind
    refuses 's/- centre_bearing: {drag_nm: 1.5}/- {centre_bearing: {drag_nm: 1.5}, wheel_end: {}}/' # two in one step
    refuses 's/^auxiliaries: .*/auxiliaries: 5/'                     # a number for a map
    refuses 's/^battery: .*/battery: {use: 5}/'                      # no path
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
        sed "$change" "$hill" >"$here/broken.yaml"
        run valid "$here/broken.yaml"
        [ "$status" -eq 1 ] || { echo "the schema takes: $change"; return 1; }
        run "$EVENER" cycle info "$here/broken.yaml"
        [ "$status" -eq 2 ] || { echo "the reader takes: $change"; return 1; }
    done
}
