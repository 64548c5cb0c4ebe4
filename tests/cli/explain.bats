#!/usr/bin/env bats
# evener explain: how a number of a run comes about. EVENER is the program; EVENER_SOURCE the folder of the sources.
# shellcheck disable=SC2154 # run sets stderr

bats_require_minimum_version 1.5.0

setup() {
    root=$(realpath "${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}")
    truck=$root/tests/vehicles/trucks/tractor-4x2-central.yaml
    hill=$root/cycles/scenarios/hill.yaml
    lineup=$root/tests/vehicles/lineups/demo.yaml
    mkdir "$BATS_TEST_TMPDIR/here"
    cd "$BATS_TEST_TMPDIR/here" || return 1
}

flat() { tr -s ' \n' ' ' <<<"$1"; }

@test "exit 0: the formula, whether it gives the value, and the inputs, each deeper than what it is for" {
    run --separate-stderr "$EVENER" explain "$truck" "$hill"
    [ "$status" -eq 0 ]
    page=$(flat "$output")
    for part in "kwh_per_km: energy consumption, " "= net battery energy / distance; agrees" \
        "= discharged - regenerated; agrees" "the same: sum of all lines of the energy balance; agrees" \
        "energy_balance.air_drag_kwh: air drag, " "integrated over the run: air density / 2 * drag area" \
        "inputs below)" "--depth N tells more"; do
        [[ $page == *"$part"* ]] || { echo "not told: $part" && false; }
    done
    grep -q '^kwh_per_km' <<<"$output"
    grep -q '^  battery_kwh' <<<"$output"
    grep -q '^    discharged_kwh' <<<"$output"
}

@test "a formula names results of parts that the truck lacks in words, never by their keys" {
    "$EVENER" explain "$truck" "$hill" motor_braking_share gross_mass_kg --depth 1 --json >told.json
    jq -e '[.explained[].formula] == ["regenerative braking work / (regenerative braking work + friction braking + sum of retarder)",
        "body + axles + battery + motors, inverters, gearboxes + driveline + sum of trailer + sum of motor of the power take-off + payload"]' told.json ||
        { jq '[.explained[].formula]' told.json && false; }
    "$EVENER" explain "$truck" "$hill" --json --depth 99 >told.json
    run ! grep -E '"formula": "[^"]*((energy_balance|masses)\.|_kwh)' told.json
}

@test "a key that is not known makes the document a failed one, with what the others come to" {
    run --separate-stderr "$EVENER" explain "$truck" "$hill" kwh_per_km no_such_key --json
    [ "$status" -eq 2 ]
    jq -e '.status == "failed" and [.explained[].key] == ["kwh_per_km"] and .findings[0].fault == "unknown_key"' <<<"$output"
}

@test "every result of a run is explained, and its value is that of drive" {
    "$EVENER" drive "$truck" "$hill" --json >run.json
    jq -r 'paths(type == "number" or . == null) | map(tostring) | join(".")' run.json |
        grep -Ev '^(findings|limited_by|stops|load_case|driving|friction_causes|friction_braking_by|peak_temperatures)\b' >paths
    jq -r '.results[].key' <("$EVENER" keys --results --json) >rows
    # of the paths of the document those that are results
    awk 'NR == FNR { row[$0] = 1; next }
        { of = $0; sub(/^axles\.[^.]+/, "axles.NAME", of); sub(/^drive_units\.[^.]+/, "drive_units.NAME", of) }
        $0 in row || of in row' rows paths >keys
    [ "$(wc -l <keys)" -gt 50 ]
    mapfile -t keys <keys
    "$EVENER" explain "$truck" "$hill" "${keys[@]}" --json >explained.json
    [ "$(jq '.explained | length' explained.json)" -eq "${#keys[@]}" ]
    jq -e '[.explained[] | .formula | length > 0] | all' explained.json
    jq -e '[.. | objects | select(has("checks")) | .checks[].agrees] | length > 40 and all' explained.json
    jq -e --slurpfile run run.json '[.explained[] | (.key | split(".")) as $p | .value == ($run[0] | getpath($p))] | all' \
        explained.json
}

@test "a value is told with file and line, what the part says where it has it from, and who uses it" {
    cp -r "$root/tests/vehicles" .
    pack=$(grep -l capacity_ah vehicles/parts/*.yaml | head -n 1)
    sed -i '1i source: measured on the bench of a supplier' vehicles/parts/pack-*.yaml
    [ -n "$pack" ]
    "$EVENER" explain vehicles/trucks/tractor-4x2-central.yaml "$hill" discharged_kwh --json >told.json
    jq -e '[.. | objects | select(.key? == "battery.resistance_ohm")][0] |
        .source == "measured on the bench of a supplier" and (.file | test("vehicles/parts/pack-")) and .line > 1 and
        (.used_from.file | test("vehicles/")) and .origin == "file"' told.json
    run "$EVENER" explain vehicles/trucks/tractor-4x2-central.yaml "$hill" discharged_kwh
    [[ $(flat "$output") == *"battery; vehicles/parts/pack-"*", used at vehicles/"* ]]
}

@test "what was set, asked by an option or left to its default is told so" {
    run --separate-stderr "$EVENER" explain "$truck" "$hill" energy_balance.air_drag_kwh --set body.drag_area_m2=5 \
        --altitude-m 0 --depth 9
    [ "$status" -eq 0 ]
    page=$(flat "$output")
    [[ $page == *"body.drag_area_m2: 5 m2; --set 1"* ]]
    [[ $page == *"load_case.altitude_m: 0 m; option --altitude-m"* ]]
    [[ $page == *"load_case.headwind_m_s: 0 m/s; default"* ]]
    [[ $page == *"load_case.temperature_degc: not given"* ]]
    [[ $page == *"source: ISO 2533"* ]]
}

@test "what limits a run, and what the truck can, by the limit that binds" {
    "$EVENER" drive "$truck" "$hill" --json >run.json
    limit=$(jq -r '.limited_by[0].limit' run.json)
    "$EVENER" limits "$truck" --only-forces --json >limits.json
    "$EVENER" explain "$truck" "$hill" "limited_by.$limit" start.as_stated.once_percent --json >told.json
    [ "$(jq '.explained[0].value' told.json)" = "$(jq '.limited_by[0].duration_s' run.json)" ]
    jq -e --slurpfile limits limits.json '.explained[1] as $e | $limits[0].trucks[0].figures.start.as_stated.once_percent |
        $e.value == .value and $e.inputs[0].key == "limit." + .limited_by and ($e.inputs[0].inputs | length) > 0' told.json
    run --separate-stderr "$EVENER" explain "$truck" "$hill" start.dry.twice_percent
    [ "$status" -eq 2 ]
    [[ $stderr == *"nearest is 'start."* ]]
}

@test "--depth folds and unfolds; a document has all of it" {
    "$EVENER" explain "$truck" "$hill" --depth 0 >none
    "$EVENER" explain "$truck" "$hill" --depth 99 >all
    ! grep -q '^  [a-z_]*kwh' none
    [ "$(wc -l <all)" -gt 200 ]
    ! grep -q 'inputs below' all
    "$EVENER" explain "$truck" "$hill" --depth 0 --json >none.json
    "$EVENER" explain "$truck" "$hill" --depth 99 --json >all.json
    cmp none.json all.json
    jq -e '.schema == "evener.explain/1" and .status == "finished" and .basis == null' all.json
}

@test "a truck of a comparison, at its own speed and at the common one, has the values of the comparison" {
    name=$("$EVENER" compare "$lineup" --uncertainty off --json | tee compared.json | jq -r '.trucks[1].name')
    for basis in own common; do
        "$EVENER" explain "$name" kwh_per_km --lineup "$lineup" --basis "$basis" --json >told.json
        [ "$(jq '.explained[0].value' told.json)" = "$(jq ".trucks[1].$basis.kwh_per_km" compared.json)" ]
        jq -e --arg basis "$basis" '.basis == $basis' told.json
        jq -e '[.. | objects | select(has("checks")) | .checks[].agrees] | length > 15 and all' told.json
        jq -e '[.. | objects | select(.origin? == "file") | .line > 0] | length > 50 and all' told.json
    done
}

@test "trucks made equal in gross mass: the payload that each was given is what its mass is made of" {
    name=$("$EVENER" compare "$lineup" --uncertainty off --json | jq -r '.trucks[1].name')
    run --separate-stderr "$EVENER" explain "$name" gross_mass_kg --lineup "$lineup" --set equal=gross --json
    [ "$status" -eq 0 ]
    jq -e '[.. | objects | select(has("checks")) | .checks[].agrees] | length > 8 and all' <<<"$output"
}

@test "exit 2: no such result with the nearest, no such truck in the lineup, a lineup for a truck" {
    run --separate-stderr "$EVENER" explain "$truck" "$hill" kwh_per_kn
    [ "$status" -eq 2 ]
    [[ $stderr == *"the run has no result 'kwh_per_kn'"*"nearest is 'kwh_per_km'"* ]]
    run --separate-stderr "$EVENER" explain "$truck" "$hill" ledger.rolling_kwh
    [ "$status" -eq 2 ]
    [[ $stderr == *"it is called 'energy_balance.rolling_resistance_kwh' now"* ]]
    run --separate-stderr "$EVENER" explain nobody kwh_per_km --lineup "$lineup"
    [ "$status" -eq 2 ]
    [[ $stderr == *"no truck 'nobody' in the lineup; one of "*" was expected"* ]]
    run --separate-stderr "$EVENER" explain "$lineup" "$hill"
    [ "$status" -eq 2 ]
    [[ $stderr == *"this is a lineup"*"--lineup takes it"* ]]
    run --separate-stderr "$EVENER" explain "$truck" "$hill" --basis common
    [ "$status" -eq 2 ]
    [[ $stderr == *"--basis common without --lineup"* ]]
    run --separate-stderr "$EVENER" explain "$truck" "$hill" kwh_per_kn --json
    [ "$status" -eq 2 ]
    [ "$(jq -r '.status + " " + .findings[0].fault' <<<"$output")" = "failed unknown_key" ]
}

@test "exit 1: a run that ends early is explained as far as it went" {
    run --separate-stderr "$EVENER" explain "$truck" "$hill" kwh_per_km --start-soc 0.061
    [ "$status" -eq 1 ]
    [[ $(flat "$output") == *"the run ended early."*"= net battery energy / distance; agrees"* ]]
}

@test "a formula with scaled motors is not told where it would not hold" {
    run --separate-stderr "$EVENER" explain "$truck" "$hill" masses.machines_kg \
        --set 'drive_units.rear.motors.a.scale={torque: 0.8}'
    [ "$status" -eq 0 ]
    [[ $(flat "$output") == *"of the truck before it drives: masses of motors and inverters as scaled"* ]]
    [[ $output != *"NOT agree"* ]]
}

@test "lines fit into 80 and 60 columns" {
    for columns in 80 60; do
        COLUMNS=$columns "$EVENER" explain "$root/vehicles/trucks/tractor-6x4-two-eaxles.yaml" "$hill" --depth 99 2>/dev/null >told
        [ -s told ]
        ! grep -nE "^.{$((columns + 1)),}" told
    done
}

@test "of a lineup the key may be left out, as of a run; a cycle without --lineup may not" {
    run --separate-stderr "$EVENER" explain central --lineup "$lineup"
    [ "$status" -eq 0 ]
    grep -q '^kwh_per_km: ' <<<"$output"
    run --separate-stderr "$EVENER" explain "$truck"
    [ "$status" -eq 2 ]
    [[ $stderr == *"CYCLE is missing"*"--lineup"* ]]
}

@test "a pattern is no key, for it would tell one of several" {
    run --separate-stderr "$EVENER" explain "$truck" "$hill" 'drive_units.*.motor_losses_kwh'
    [ "$status" -eq 2 ]
    [[ $stderr == *"no result 'drive_units.*.motor_losses_kwh'"* ]]
}

@test "a truck made equal in power says by which factor its motors are other than in its files" {
    sed "s|^cycle:.*|equal: power\ncycle: {use: $hill}|; s|\.\./|$root/tests/vehicles/|" "$lineup" >equal.yaml
    run --separate-stderr "$EVENER" explain electric_axle masses.machines_kg --lineup equal.yaml
    [ "$status" -eq 0 ]
    factor=$("$EVENER" compare equal.yaml --json | jq -r '.trucks[1].equal.torque_scale')
    [[ $(flat "$output") == *"torque of its motors times $(printf %.4f "$factor"),"* ]]
    run --separate-stderr "$EVENER" explain central masses.machines_kg --lineup equal.yaml
    [[ $output != *"made it equal"* ]]
}

@test "exit 1: a truck that has no run at the common speed says why" {
    set=(--set trucks.central.payload.mass_kg=22800 --set trucks.central.drive_units.rear.motors.a.peak_torque_nm=300)
    run --separate-stderr "$EVENER" explain central --lineup "$lineup" --basis common "${set[@]}"
    [ "$status" -eq 1 ]
    [ -z "$output" ]
    [[ $stderr == *"central has no run at the common speed to explain: "* ]]
}

@test "why.BLOCK: exchanges, their weights times what they change, sum to the part that compare --why tells" {
    hump=$root/tests/vehicles/lineups/hump.yaml
    set=(--set trucks.electric_axle.auxiliaries.power_kw=7 --set trucks.electric_axle.body.drag_area_m2=5.6)
    "$EVENER" compare "$hump" --why --uncertainty off --json "${set[@]}" >compared.json
    mapfile -t keys < <(jq -r '.why.causes[] | "why." + .key' compared.json)
    "$EVENER" explain electric_axle "${keys[@]}" why.speed why.lowered_speed --lineup "$hump" --json "${set[@]}" >told.json
    jq -e --slurpfile of compared.json '
        def near($a; $b): ($a - $b | fabs) <= 2e-11; # documents have twelve digits
        def input($name): .key as $key | .inputs[] | select(.key == "\($key).\($name)") | .value;
        $of[0].why.trucks[0] as $t | [$t.parts[] | select(.alike | not)] as $unlike |
        [.explained[:6][] | .key[4:] as $cause | ($t.parts[] | select(.causes | index($cause))) as $part |
         .value == $part.part, .unit == "kWh/km", (.source | test("Shapley")), (.checks | length == 1 and .[0].agrees),
         if $part.alike then .value == 0 and .inputs == [] else
             (.inputs | length) == ([$unlike[1:][] | 2] | reduce .[] as $k (1; . * $k)),
             near([.inputs[].value] | add; $part.part),
             near([.inputs[] | input("weight") * (input("with") - input("without"))] | add; $part.part),
             near([.inputs[] | input("weight")] | add; 1),
             .inputs[0].inputs[2].value == $t.first_parted, .inputs[-1].inputs[1].value == $t.other_parted
         end] + [.explained[6].value == $t.own_speeds, near(.explained[7].value; $t.lowered_speed),
         ($unlike | length) > 2, (.explained[6:][].checks[].agrees)] | length > 30 and all' told.json
    run "$EVENER" explain electric_axle why.auxiliaries --lineup "$hump" "${set[@]}"
    [[ $(flat "$output") == *"auxiliaries, "*"averaged over all orders of exchange: "*"exchanged first, "*"central with auxiliaries of electric_axle, "* ]]
}

@test "why.BLOCK of blocks that are exchanged as one says which and why; trucks made equal are parted so" {
    merged=(--set 'trucks.electric_axle.axles.drive.hub_drag={speed_rpm: [0], torque_nm: [15]}'
        --set 'trucks.electric_axle.drive_units.rear.path=[{mesh: {ratio: 5.9, efficiency: 0.98}}, {differential: {}}]')
    hump=$root/tests/vehicles/lineups/hump.yaml
    run "$EVENER" explain electric_axle why.hub_drag --lineup "$hump" "${merged[@]}"
    [[ $(flat "$output") == *"why.hub_drag: hub drag + drivetrain, "*"exchanged as one are hub drag + drivetrain, since apart: "* ]]
    "$EVENER" compare "$hump" --why --equal gross --uncertainty off --json >compared.json
    "$EVENER" explain electric_axle why.body --lineup "$hump" --equal gross --json >told.json
    [ "$(jq '.explained[0].value' told.json)" = "$(jq '.why.trucks[0].parts[0].part' compared.json)" ]
}

@test "exit 2: why of no block with the nearest, of the truck that all are held against, of a truck by itself" {
    hump=$root/tests/vehicles/lineups/hump.yaml
    run --separate-stderr "$EVENER" explain electric_axle why.drivetrian --lineup "$hump"
    [ "$status" -eq 2 ]
    [[ $stderr == *"no cause 'why.drivetrian'"*"nearest is 'why.drivetrain'"* ]]
    run --separate-stderr "$EVENER" explain central why.body --lineup "$hump"
    [ "$status" -eq 2 ]
    [[ $stderr == *"all others are held against this truck"* ]]
    run --separate-stderr "$EVENER" explain "$truck" "$hill" why.body
    [ "$status" -eq 2 ]
    [[ $stderr == *"'why.body' is of two trucks of a comparison"* ]]
    run --separate-stderr "$EVENER" explain "$truck" "$hill" --equal gross
    [ "$status" -eq 2 ]
    [[ $stderr == *"--equal without --lineup"* ]]
}
