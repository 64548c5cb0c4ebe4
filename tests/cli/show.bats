#!/usr/bin/env bats
# evener show, and --set and --strict of every command that loads files. EVENER is the program; EVENER_SOURCE, if set, the
# folder of the sources.

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    root=$(cd "$root" && pwd)
    truck=$root/tests/vehicles/trucks/tractor-4x2-central.yaml
    hill=$root/cycles/scenarios/hill.yaml
    mkdir "$BATS_TEST_TMPDIR/here" # bats keeps files of its own one folder up
    cd "$BATS_TEST_TMPDIR/here"
}

# "! command" does not end a test that goes on behind it.
refute() {
    if "$@"; then
        return 1
    fi
}

# has_value PATH JSON: in the document in $output.
has_value() {
    jq -e --arg path "$1" --argjson value "$2" '.values[] | select(.path == $path) | .value == $value' <<< "$output"
}

# The first so many lines below the one that a pattern fits.
below() { grep -E -A "$2" "$1" <<< "$output" | tail -n +2; }

@test "show: where a group of values comes from is told once, of a value what is different" {
    COLUMNS=200 run --separate-stderr "$EVENER" show "$truck" --set body.mass_kg=4200 --set 'drive_units.rear.gearbox.ratios[1]=3.3'
    [ "$status" -eq 0 ]
    [ -z "$stderr" ]
    [ "${lines[1]}" = "From $truck, where nothing else is said." ]
    below '^  body  line 5$' 4 | grep -qE "^    mass_kg  +4200  +--set 1$"
    below '^  body  line 5$' 4 | grep -qE "^    drag_area_m2  +5\.4$"
    below "^        a  line 23 uses $root/tests/vehicles/parts/motor-chassis-380.yaml$" 8 | grep -qE "^          peak_torque_nm  +2500$"
    grep -qE "^          loss  line 10$" <<< "$output"
    grep -qE "^        ratios  +\[5\.6, 3\.3, 1\.75, 1\]  +$root/tests/vehicles/parts/gearbox-4-speed.yaml:2, changed by --set 2$" <<< "$output"
    below '^  adhesion  default$' 2 | grep -qE "^    driving  +0\.6$"
    below '^        - universal_joint  line 28$' 3 | grep -qE "^            friction_coefficient  +0\.05  +default$"
    grep -qE "^            start_degc  +not given$" <<< "$output"
    [ "$(grep -cF "$root/tests/vehicles/parts/motor-chassis-380.yaml" <<< "$output")" -eq 1 ]
    refute grep -q $'\033' <<< "$output"
}

@test "show: what a truck extends is told with the groups that come from it, who extends it once" {
    printf 'extends: %s\nname: mine\nbody: {drag_area_m2: 5.1}\naxles: {drive: {tyre: {rolling_radius_m: 0.5}}}\n' "$truck" > mine.yaml
    COLUMNS=200 run --separate-stderr "$EVENER" show mine.yaml
    [ "$status" -eq 0 ]
    [ "${lines[1]}" = "From mine.yaml, where nothing else is said." ]
    grep -qE "^  name  +mine$" <<< "$output"
    below "^  body  $truck:[0-9]+$" 5 | grep -qE "^    drag_area_m2  +5\.1  +mine.yaml:3$"
    below "^      tyre  line 14 uses $root/tests/vehicles/parts/tyre-drive-315-70.yaml$" 4 | grep -qE "^        rolling_radius_m  +0\.5  +mine.yaml:4$"
    [ "$(grep -c 'used from mine.yaml:1$' <<< "$output")" -eq 1 ]
}

@test "show --json: every value keeps its own file and line" {
    run --separate-stderr "$EVENER" show "$truck" --json
    jq -e --arg file "$truck" '.values[] | select(.path == "body.drag_area_m2") | .file == $file and .line == 9' <<< "$output"
    [ "$(jq '[.values[] | select(.origin == "file" and (.file == null or .line == null))] | length' <<< "$output")" -eq 0 ]
}

@test "show: masses, axle loads, gears, joints, and a caution" {
    run --separate-stderr "$EVENER" show "$truck" --payload-kg 0
    [ "$status" -eq 0 ]
    for part in "Masses" "Axle loads" "permitted, kg" "Gears, rear" "total ratio" "Joints, rear" "invented" "local" "regulation"; do
        [[ $output == *"$part"* ]]
    done
    grep -qE '^  payload +0  kg  ' <<< "$output"
}

@test "show --json: values with origins and figures by key" {
    run --separate-stderr "$EVENER" show "$truck" --json --set 'drive_units.rear.gearbox.ratios[1]=3.3'
    [ "$status" -eq 0 ]
    [ "$(jq -r .schema <<< "$output")" = evener.show/2 ]
    [ "$(jq -r .status <<< "$output")" = done ]
    has_value drive_units.rear.gearbox.ratios '[5.6,3.3,1.75,1.0]'
    has_value brakes.regeneration 'true'
    [ "$(jq -r '.values[] | select(.path == "drive_units.rear.gearbox.ratios") | .changed_by' <<< "$output")" = "--set 1" ]
    [ "$(jq -r '.values[] | select(.path == "battery.capacity_ah") | .used_from.file' <<< "$output")" = "$truck" ]
    [ "$(jq '.figures.gears.rear."2".total_ratio * 1000 | round' <<< "$output")" -eq 12210 ]
    [ "$(jq '.figures.axle_loads | [.[].load_kg] | add | round' <<< "$output")" -eq "$(jq '.figures.masses.gross_kg | round' <<< "$output")" ]
}

@test "show: a truck that is refused gives findings, a document, and exit 2" {
    run --separate-stderr "$EVENER" show "$truck" --set body.mass_kg=heavy
    [ "$status" -eq 2 ]
    [ -z "$output" ]
    [[ $stderr == "--set 1:14: error: mass_kg is 'heavy';"* ]]
    run --separate-stderr "$EVENER" show "$truck" --set body.mass_kg=heavy --json
    [ "$status" -eq 2 ]
    [ "$(jq -r '.status, .findings[0].file, .findings[0].line, .findings[0].column' <<< "$output" | tr '\n' ' ')" = "failed --set 1 null 14 " ]
    run --separate-stderr "$EVENER" show "$truck" --json --flat
    [ "$status" -eq 2 ]
    [[ $stderr == *"--flat, --json, --paths and --uncertain"* ]]
    run --separate-stderr "$EVENER" show "$truck" --flat --payload-kg 1000
    [ "$status" -eq 2 ]
    [[ $stderr == *"--payload-kg beside --flat"* ]]
}

# same_drive TRUCK FLAT [OPTION...]: both drive to the same bytes; the options are for the first.
same_drive() {
    "$EVENER" drive "$1" "$hill" --json "${@:3}" > original.json
    "$EVENER" drive "$2" "$hill" --json > flat.json
    jq -e '.distance_km > 0' original.json
    cmp original.json flat.json
}

@test "show --uncertain: what may be off, by which half width, and where that is stated" {
    cat > mine.yaml << EOF
extends: $truck
uncertain:
  scales: {of: [body.mass_kg], half_width: 120, shape: normal, source: 'weighed, invented'}
EOF
    COLUMNS=120 run --separate-stderr "$EVENER" show mine.yaml --uncertain
    [ "$status" -eq 0 ]
    [ -z "$stderr" ]
    grep -qE '^  scales \(mine\) +120 kg  normal +1  mine.yaml:3$' <<< "$output"
    grep -qE '^  drag area +6 %  normal +1  default of its key$' <<< "$output"
    grep -qE '^  motor losses \(motor-chassis-380\) +14 %  normal +4  default of its key$' <<< "$output"
    run "$EVENER" show mine.yaml
    [[ $output == *"--uncertain"* ]]
    refute grep -q 'half_width' <<< "$output" # told apart from the values
    run "$EVENER" show mine.yaml --json
    [ "$(jq -c '.uncertain[] | select(.label == "scales (mine)") | [.path, .half_width, .relative, .shape, .source, .file, .line]' <<< "$output")" \
        = '["body.mass_kg",120,null,"normal","weighed, invented","mine.yaml",3]' ]
    [ "$(jq -r '.uncertain[] | select(.label == "drag area") | [.relative, .by_default, .errs_with, .file] | @csv' <<< "$output")" = '0.06,true,"drag_area",' ]
}

@test "show --flat: what is not known goes with the truck, and counts in nothing that is computed" {
    printf 'extends: %s\nuncertain: {a: {of: [body.mass_kg, drive_units.rear.gearbox.efficiencies], relative: 0.001}}\n' "$truck" > mine.yaml
    "$EVENER" show mine.yaml --flat > flat.yaml
    "$EVENER" drive mine.yaml "$hill" --json | jq 'del(.truck)' > with.json
    "$EVENER" drive flat.yaml "$hill" --json | jq 'del(.truck)' > flat.json
    "$EVENER" drive "$truck" "$hill" --json | jq 'del(.truck)' > without.json
    cmp with.json flat.json
    cmp with.json without.json
    [ "$("$EVENER" show flat.yaml --json | jq -c '[.uncertain[] | select(.label | startswith("a (")) | .values]')" = '[5]' ]
}

@test "show: an end of a half width that the truck's rules would not take is refused at its entry" {
    printf 'extends: %s\nuncertain:\n  a: {of: [brakes.fade_from_km_h], half_width: 6}\n' "$truck" > mine.yaml
    run --separate-stderr "$EVENER" show mine.yaml
    [ "$status" -eq 2 ]
    [[ $stderr == "mine.yaml:3:"*"brakes.fade_from_km_h would be 4 at an end of its half width, 6"*"expected at or below fade_from_km_h"* ]]
}

@test "show --flat: the shipped truck as one file drives to the same bytes" {
    "$EVENER" show "$truck" --flat > flat.yaml
    refute grep -qE '^ *(use|extends):|\{use' flat.yaml
    same_drive "$truck" flat.yaml
    "$EVENER" show flat.yaml --flat | grep -v '^#' > again.yaml
    grep -v '^#' flat.yaml | diff - again.yaml
}

@test "show --flat: a truck with extends, use and --set drives to the same bytes" {
    printf 'ratios: [4.123456789012345, 1.1]\nefficiencies: [0.98, 0.99]\n' > box.yaml
    printf 'extends: %s\nname: "mine: \\"so\\" # \\\\"\naxles: {drive: {load_share: 0.3333333333333333}}\ndrive_units: {rear: {gearbox: {use: box.yaml}}}\n' \
        "$truck" > mine.yaml
    set=(--set 'drive_units.rear.path[4].final_drive.ratio=4.1' --set body.mass_kg=4150.000000000001
        --set 'drive_units.rear.gearbox.shift={time_s: 0.4}')
    "$EVENER" show mine.yaml --flat "${set[@]}" > flat.yaml
    grep -qF 'ratios: [4.123456789012345, 1.1]' flat.yaml
    grep -qF 'mass_kg: 4150.000000000001' flat.yaml
    grep -qF 'load_share: 0.3333333333333333' flat.yaml
    same_drive mine.yaml flat.yaml "${set[@]}"
}

@test "--set: drive takes values for the truck and, behind 'cycle.', for the cycle" {
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --json --set payload.mass_kg=1000 --set cycle.name=Changed
    [ "$status" -eq 0 ]
    [ "$(jq -r .cycle <<< "$output")" = Changed ]
    jq -e '.payload_kg == 1000' <<< "$output"
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --set cycle.sped.time_s=1 --set boddy.mass_kg=1
    [ "$status" -eq 2 ]
    [[ $stderr == *"--set 1:7: error: no key 'sped' in cycle;"*"nearest is 'speed'"* ]]
    [[ $stderr == *"--set 2:1: error: no key 'boddy' in truck;"*"nearest is 'body'"* ]]
}

@test "--set: cycle info takes keys with and without 'cycle.'" {
    for key in speed.limit_km_h[1] cycle.speed.limit_km_h[1]; do
        run --separate-stderr "$EVENER" cycle info "$hill" --json --set "$key=85"
        [ "$status" -eq 0 ]
        jq -e '.max_speed_km_h == 85' <<< "$output"
    done
}

@test "--set: a part is found from the working folder" {
    printf 'ratios: [3]\nefficiencies: [0.98]\n' > box.yaml
    run --separate-stderr "$EVENER" show "$truck" --json --set drive_units.rear.gearbox.use=box.yaml
    [ "$status" -eq 0 ]
    has_value drive_units.rear.gearbox.ratios '[3.0]'
    [ "$(jq -r '.values[] | select(.path == "drive_units.rear.gearbox.ratios") | .file, .used_from.file' <<< "$output" | tr '\n' ' ')" = "box.yaml --set 1 " ]
    run --separate-stderr "$EVENER" show "$truck" --set drive_units.rear.gearbox.use=none.yaml
    [ "$status" -eq 2 ]
    [[ $stderr == "--set 1:30: error: 'none.yaml' is not there; expected a file in the working folder"* ]]
}

@test "--set: without a value, and more often than can be, it is refused" {
    run --separate-stderr "$EVENER" show "$truck" --set
    [ "$status" -eq 2 ]
    [[ $stderr == *"--set stands without a value"* ]]
    many=()
    for i in {1..101}; do many+=(--set "body.mass_kg=$((4000 + i))"); done
    run --separate-stderr "$EVENER" show "$truck" "${many[@]}"
    [ "$status" -eq 2 ]
    [[ $stderr == *"more than 100 times"* ]]
    run --separate-stderr "$EVENER" show "$truck" "${many[@]:0:200}" --json
    [ "$status" -eq 0 ]
    has_value body.mass_kg '4100.0'
}

@test "--strict: a warning about a file is an error and exit 2, in every command that loads files" {
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --set auxiliaries.power_kw=0.5
    [ "$status" -eq 0 ]
    [[ $stderr == "--set 1:22: warning: power_kw is 0.5 kW;"* ]]
    for command in "drive $truck $hill" "show $truck"; do
        # shellcheck disable=SC2086 # several words
        run --separate-stderr "$EVENER" $command --set auxiliaries.power_kw=0.5 --strict
        [ "$status" -eq 2 ]
        [ -z "$output" ]
        [[ $stderr == "--set 1:22: error: power_kw is 0.5 kW;"* ]]
    done
    run --separate-stderr "$EVENER" cycle info "$hill" --set 'road.grade_percent[2]=20' --strict
    [ "$status" -eq 2 ]
    [[ $stderr == "--set 1:23: error: grade_percent[2] is 20 %;"* ]]
    run --separate-stderr "$EVENER" drive "$truck" "$hill" --strict
    [ "$status" -eq 0 ]
}

@test "a value that is set near a bound, or a shorter list, is no fault of the part's half widths" {
    for set in 'efficiencies=[0.988,0.988,0.988,0.9985]' 'efficiencies[3]=1' \
        '={ratios: [4,2,1], efficiencies: [0.98,0.98,0.9995]}'; do
        key="drive_units.rear.gearbox${set/#e/.e}"
        COLUMNS=120 run -0 --separate-stderr "$EVENER" show "$EVENER_SOURCE/vehicles/trucks/tractor-4x2-central.yaml" --uncertain --set "$key"
        [[ "$output" == *"gearbox-4-speed"* ]]
        run -0 --separate-stderr "$EVENER" drive "$EVENER_SOURCE/vehicles/trucks/tractor-4x2-central.yaml" \
            "$EVENER_SOURCE/cycles/reference/ece-15.yaml" --set "$key"
    done
    run -2 --separate-stderr "$EVENER" show "$EVENER_SOURCE/vehicles/trucks/tractor-4x2-central.yaml" \
        --set 'uncertain={mine: {of: [drive_units.rear.gearbox.efficiencies], half_width: 0.5}}'
    [[ "$stderr" == *"would be"* ]]
}

@test "a file that is not there is one finding: with the nearest in the folder that was named, and no key below it missing" {
    days=$root/vehicles/trucks/days/tractor-4x2-central-day.yaml
    mkdir -p trucks/days parts/days
    touch trucks/tractor-4x2-central.yaml parts/days/pack-540-day.yaml
    sed 's|^extends: .*|extends: ../tractor-4x2-centrl.yaml|; s|{use: ../../parts/[^,}]*|{use: ../../parts/days/pack-540-day.yaml|' "$days" >trucks/days/mine.yaml
    sed -i '/^source:/,$d' trucks/days/mine.yaml
    printf '%s\n' 'body: {drag_area_yaw: {factor: [1, 1]}}' 'drive_units: {rear: {gearbox: {mass_kg: 100}}}' >>trucks/days/mine.yaml
    run --separate-stderr -2 "$EVENER" show trucks/days/mine.yaml
    echo "$stderr"
    [[ $stderr == *"mine.yaml:3:10: error: '../tractor-4x2-centrl.yaml' is not there; expected the path of a file; nearest is '../tractor-4x2-central.yaml'"* ]]
    [ "$(grep -c "error: " <<<"$stderr")" -eq 1 ]
    run --separate-stderr -2 "$EVENER" show "$days" --set battery.use=parts/days/pack-54-day.yaml
    [[ $stderr == *"pack-54-day.yaml' is not there; expected the path of a file; nearest is 'parts/days/pack-540-day.yaml'"* ]]
}
