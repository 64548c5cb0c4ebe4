#!/usr/bin/env bats
# evener vary: variants of a study, kept whatever ends the program, the same rows however they came about.

bats_require_minimum_version 1.5.0

setup() {
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    mkdir "$BATS_TEST_TMPDIR/here" # bats keeps files of its own one folder up
    cd "$BATS_TEST_TMPDIR/here" || return 1
    truck=$root/tests/trucks/ideal.yaml
    printf '%s\n' 'name: Flat' 'invented: true' 'length_m: 3000' 'speed: {place_m: [0], limit_km_h: [40]}' >flat.yaml
    study drag 'drag: {keys: [body.drag_area_m2], from: 3, to: 7, step: 0.5}'
}

# study FILE VARIABLES...: a study of the ideal truck on the flat.
study() {
    local file=$1
    shift
    {
        printf '%s\n' 'name: A study' 'invented: true' "truck: {use: $truck}" 'cycle: {use: flat.yaml}' 'driving: {driver: exact}' 'variables:'
        printf '  %s\n' "$@"
    } >"$file.yaml"
}

# Words on one line.
told() {
    tr -s ' \n' ' ' <<<"$output"
}

rows() { # STORE: its rows in their order
    sqlite3 "$1" 'SELECT * FROM variants ORDER BY id'
}

@test "which value is best is one short file and one command" {
    run -0 --separate-stderr "$EVENER" vary drag.yaml
    echo "$output$stderr"
    [[ $(told) == *"A study: 9 variants over Flat. The least energy consumption is "*" kWh/km, with drag 3. It is at the edge of drag (its least): beyond it may be better. Within 0.1 % of it: 1 variant, no other value."* ]]
    [ "$(grep -cE '^ +[0-9]+ +[0-9.]+ +[0-9.]+$' <<<"$output")" -eq 9 ]
}

@test "the energy of each variant is what drive tells with the same value set" {
    "$EVENER" vary drag.yaml --csv rows.csv >/dev/null
    [ "$(wc -l <rows.csv)" -eq 10 ]
    for drag in 3 4.5 7; do
        single=$("$EVENER" drive "$truck" flat.yaml --driver exact --set body.drag_area_m2=$drag --json | jq '.results.kwh_per_km // .kwh_per_km')
        column=$(head -1 rows.csv | tr ',' '\n' | grep -n '^kwh_per_km$' | cut -d: -f1)
        of_study=$(awk -F, -v drag=$drag -v column="$column" '$3 == drag { print $column }' rows.csv)
        echo "$drag: $single $of_study"
        [ "$single" = "$of_study" ]
    done
}

@test "the document tells best, edge, columns and rows" {
    run -0 --separate-stderr "$EVENER" vary drag.yaml --json
    echo "$output" >vary.json
    jq -e '.schema == "evener.vary/1" and .status == "finished" and .count == 9 and .expected == 9 and .failed == 0' vary.json
    jq -e '.answer[0].best.inputs.drag == 3 and .answer[0].at_the_edge.drag == "least" and .answer[0].front == []' vary.json
    jq -e '[.variants[].inputs.drag] == [3, 3.5, 4, 4.5, 5, 5.5, 6, 6.5, 7] and ([.variants[].results.energy_balance.air_drag_kwh] | all(. > 0))' vary.json
    jq -e '.facts.version != null and (.facts.study_hash | length) == 16 and (.facts.truck | length) == 16 and (.facts.over_hash | length) == 16' vary.json
}

@test "one thread and four leave the same rows, and so do three parts that are joined" {
    study two 'drag: {keys: [body.drag_area_m2], from: 3, to: 7}' 'mass: {keys: [body.mass_kg], values: [6000, 9000, 7000]}'
    "$EVENER" vary two.yaml --store one.sqlite --threads 1 >/dev/null
    "$EVENER" vary two.yaml --store four.sqlite --threads 4 >/dev/null
    [ "$(rows one.sqlite | wc -l)" -eq 33 ]
    [ "$(rows one.sqlite)" = "$(rows four.sqlite)" ]
    for part in 1 2 3; do "$EVENER" vary two.yaml --store part-$part.sqlite --part $part/3 >/dev/null; done
    [ "$(rows part-2.sqlite | wc -l)" -eq 11 ]
    run -0 "$EVENER" vary merge part-2.sqlite part-1.sqlite part-3.sqlite part-1.sqlite --store joined.sqlite
    [ "$(rows one.sqlite)" = "$(rows joined.sqlite)" ]
    "$EVENER" vary show one.sqlite --csv one.csv >/dev/null
    "$EVENER" vary show joined.sqlite --csv joined.csv >/dev/null
    cmp one.csv joined.csv
}

@test "killed at moments of chance and gone on with, a study ends with the rows of one that was left in peace" {
    study many 'drag: {keys: [body.drag_area_m2], from: 3, to: 7}' 'mass: {keys: [body.mass_kg], from: 5000, to: 9000}'
    printf '%s\n' 'plan: sobol' 'samples: 1500' >>many.yaml
    "$EVENER" vary many.yaml --store whole.sqlite >/dev/null
    for round in 1 2 3 4 5; do
        "$EVENER" vary many.yaml --store killed.sqlite >/dev/null 2>&1 &
        sleep "0.$((RANDOM % 90 + 10))"
        kill -9 $! 2>/dev/null || true
        wait $! || true
        sqlite3 killed.sqlite 'PRAGMA integrity_check' | grep -qx ok
    done
    "$EVENER" vary many.yaml --store killed.sqlite >/dev/null
    [ "$(rows killed.sqlite | wc -l)" -eq 1500 ]
    [ "$(rows whole.sqlite | sha256sum)" = "$(rows killed.sqlite | sha256sum)" ]
}

@test "what is there is not driven again" {
    "$EVENER" vary drag.yaml --store drag.sqlite >/dev/null
    sqlite3 drag.sqlite "UPDATE variants SET kwh_per_km = 0.5 WHERE id = 4; DELETE FROM variants WHERE id = 7"
    "$EVENER" vary drag.yaml --store drag.sqlite >/dev/null
    [ "$(sqlite3 drag.sqlite 'SELECT kwh_per_km FROM variants WHERE id = 4')" = 0.5 ]
    [ "$(sqlite3 drag.sqlite 'SELECT count(*) FROM variants')" -eq 9 ]
}

@test "where no room is left the code is 4, what was whole is kept, and the same command goes on" {
    study many 'drag: {keys: [body.drag_area_m2], from: 3, to: 7, count: 1200}'
    run --separate-stderr bash -c 'ulimit -f 300; exec "$0" vary many.yaml --store full.sqlite' "$EVENER"
    echo "$stderr"
    [ "$status" -eq 4 ]
    [[ $stderr == *"store_not_written"* || $stderr == *"full.sqlite could not be written: "*"; what was whole is kept, and the same command goes on from there"* ]]
    [ "$(sqlite3 full.sqlite 'PRAGMA integrity_check')" = ok ]
    "$EVENER" vary many.yaml --store full.sqlite >/dev/null
    "$EVENER" vary many.yaml --store whole.sqlite >/dev/null
    [ "$(rows full.sqlite | sha256sum)" = "$(rows whole.sqlite | sha256sum)" ]
}

@test "a variant that cannot be is a row with its reason, and never the best" {
    study drag 'drag: {keys: [body.drag_area_m2], values: [-1, 0.2, 4]}' 'start: {keys: [load_case.start_soc], values: [0.5, 3]}'
    run -0 --separate-stderr "$EVENER" vary drag.yaml --store drag.sqlite
    echo "$output$stderr"
    [[ $(told) == *"6 variants over Flat; "*" came to no end. The first that came to no end, 2: "*"drag_area_m2 is -1"* ]]
    run -0 "$EVENER" vary show drag.sqlite --where status=refused --json
    jq -e '[.variants[].finding] | any(test("drag_area_m2 is -1")) and any(test("start_soc is 3"))' <<<"$output"
    [ "$(sqlite3 drag.sqlite "SELECT count(*) FROM variants WHERE status = 'refused' AND fault = 'out_of_range' AND may_be = 0 AND kwh_per_km IS NULL")" -ge 4 ]
}

@test "keys follow from variables by formulas, and from what the file has" {
    study linked 'more: {from: 1, to: 2, count: 3}'
    printf '%s\n' 'set:' '  - body.drag_area_m2 = {was} * {more}' '  - body.mass_kg = (1 + {more}) * 3000 - 500 / 2' 'record: [masses.body_kg]' >>linked.yaml
    "$EVENER" vary linked.yaml --csv rows.csv >/dev/null
    drag=$("$EVENER" show "$truck" --json | jq '.values[] | select(.path == "body.drag_area_m2") | .value')
    single=$("$EVENER" drive "$truck" flat.yaml --driver exact --set "body.drag_area_m2=$(jq -n "$drag * 1.5")" --set body.mass_kg=7250 --json | jq '.results.kwh_per_km // .kwh_per_km')
    column=$(head -1 rows.csv | tr ',' '\n' | grep -n '^kwh_per_km$' | cut -d: -f1)
    [ "$(awk -F, -v c="$column" '$3 == 1.5 { print $c }' rows.csv)" = "$single" ]
}

@test "a constraint marks what breaks it" {
    printf '%s\n' 'constraints: ["energy_balance.air_drag_kwh >= 0.4"]' >>drag.yaml
    "$EVENER" vary drag.yaml --store drag.sqlite >vary.txt
    broken=$(sqlite3 drag.sqlite "SELECT count(*) FROM variants WHERE may_be = 0 AND unmet LIKE 'energy_balance.air_drag_kwh >= 0.4: found %' AND \"energy_balance.air_drag_kwh\" < 0.4")
    [ "$broken" -gt 0 ] && [ "$broken" -eq "$(sqlite3 drag.sqlite 'SELECT count(*) FROM variants WHERE may_be = 0')" ]
    [[ $(tr -s ' \n' ' ' <vary.txt) == *"; $broken break a constraint, of which each breaks first energy_balance.air_drag_kwh >= 0.4 ($broken)."* ]]
    run -0 --separate-stderr "$EVENER" vary drag.yaml --set "constraints=['energy_balance.air_drag_kwh >= 400']" --json
    jq -e '.variants == [] and .first_broken_constraints == {"energy_balance.air_drag_kwh >= 400": 9}' <<<"$output"
}

@test "variants are sorted, picked, counted; a column that is not there is told with the nearest" {
    "$EVENER" vary drag.yaml --store drag.sqlite >/dev/null
    run -0 "$EVENER" vary show drag.sqlite --where 'drag >= 4' --by kwh_per_km --most-first --rows 2 --json
    jq -e '[.variants[].inputs.drag] == [7, 6.5]' <<<"$output"
    run --separate-stderr "$EVENER" vary show drag.sqlite --by kwh_per_kn
    [ "$status" -eq 2 ] && [[ $stderr == *"'kwh_per_kn', which drag.sqlite does not hold"*"nearest is 'kwh_per_km'"* ]]
    run --separate-stderr "$EVENER" vary show drag.sqlite --where 'drag > 4'
    [ "$status" -eq 2 ] && [[ $stderr == *"'drag > 4' is no condition; expected COLUMN >= VALUE"* ]]
    run -0 "$EVENER" vary show drag.sqlite --where may_be=yes --json
    jq -e '.variants | length == 9' <<<"$output"
    for where in may_be=perhaps status=finishd 'drag >= abc' 'kwh_per_km >= 1,6' truck=x; do
        run --separate-stderr "$EVENER" vary show drag.sqlite --where "$where"
        echo "$where: $status $stderr"
        [ "$status" -eq 2 ] && [[ $stderr == *"; expected "* ]]
    done
    [[ $("$EVENER" vary show drag.sqlite --where status=finishd 2>&1) == *"'finishd' of status; expected a word of status; nearest is 'finished'"* ]]
}

@test "stores of other studies, and files that are none, are refused" {
    "$EVENER" vary drag.yaml --store drag.sqlite >/dev/null
    run --separate-stderr "$EVENER" vary drag.yaml --store drag.sqlite --set variables.drag.to=6
    [ "$status" -eq 2 ] && [[ $stderr == *"drag.sqlite holds variants of which study_hash is "* ]]
    run --separate-stderr "$EVENER" vary drag.yaml --store drag.sqlite --payload-kg 1000
    [ "$status" -eq 2 ]
    "$EVENER" vary drag.yaml --store other.sqlite --set variables.drag.to=6 >/dev/null
    run --separate-stderr "$EVENER" vary merge drag.sqlite other.sqlite --store joined.sqlite
    [ "$status" -eq 2 ] && [[ $stderr == *"other.sqlite does not belong to those before it: its study_hash is "* ]] && [ ! -e joined.sqlite ]
    "$EVENER" vary drag.yaml --store again.sqlite >/dev/null
    sqlite3 again.sqlite 'UPDATE variants SET kwh_per_km = kwh_per_km * 1.001 WHERE id = 5'
    run --separate-stderr "$EVENER" vary merge drag.sqlite again.sqlite --store joined.sqlite
    [ "$status" -eq 2 ] && [[ $stderr == *"again.sqlite holds 1 variants with other values"* ]] && [ ! -e joined.sqlite ]
    echo nothing >text.sqlite
    run --separate-stderr "$EVENER" vary show text.sqlite
    [ "$status" -eq 2 ] && [[ $stderr == *"text.sqlite is no file of variants"* ]]
    run --separate-stderr "$EVENER" vary drag.yaml --store text.sqlite
    [ "$status" -eq 2 ] && [ "$(cat text.sqlite)" = nothing ]
    run --separate-stderr "$EVENER" vary show none.sqlite
    [ "$status" -eq 4 ] && [ ! -e none.sqlite ]
    [ -z "$(find . -name '*.temp')" ]
}

@test "what does not fit in a study is told at its place" {
    printf '%s\n' 'set: ["body.mass_kg = {drug} + 1"]' >>drag.yaml
    run --separate-stderr "$EVENER" vary drag.yaml
    echo "$stderr"
    [ "$status" -eq 2 ] && [[ $stderr == *"drag.yaml:8:"*"{drug} in a formula; expected a variable with numbers, or {was}; nearest is 'drag'"* ]]
    study drag 'drag: {keys: [body.drag_area_m3], from: 3, to: 7}'
    run --separate-stderr "$EVENER" vary drag.yaml
    [ "$status" -eq 2 ] && [[ $stderr == *"drag.yaml:7:"*"no key 'drag_area_m3' in body"*"nearest is 'drag_area_m2'"* ]]
    study drag 'drag: {keys: [body.drag_area_m2], from: 3}'
    run --separate-stderr "$EVENER" vary drag.yaml
    [ "$status" -eq 2 ] && [[ $stderr == *"drag.yaml:7:"*"from without to"* ]]
    study drag 'drag: {keys: [body.drag_area_m2], from: 3, to: 7, step: 1}' 'more: {keys: [truck.body.drag_area_m2], from: 3, to: 7}'
    run --separate-stderr "$EVENER" vary drag.yaml
    [ "$status" -eq 2 ] && [[ $stderr == *"drag.yaml:7:"*"body.drag_area_m2 is set more than once"*"drag.yaml:8:"* ]]
    for name in Drag Status KWH_PER_KM; do
        study drag 'drag: {keys: [body.drag_area_m2], from: 3, to: 7, step: 1}' "$name: {keys: [body.mass_kg], values: [5000, 6000]}"
        run --separate-stderr "$EVENER" vary drag.yaml --store alike.sqlite
        echo "$stderr"
        [ "$status" -eq 2 ] && [[ $stderr == *"$name"*"; expected a"* ]] && [ ! -e alike.sqlite ]
    done
    study drag 'drag: {keys: [body.drag_area_m2], from: 3, to: 7, step: 1}'
    run --separate-stderr "$EVENER" vary drag.yaml --set plan=sobol
    [ "$status" -eq 2 ] && [[ $stderr == *"drag.yaml:7:"*"step of a variable with plan: sobol, which does not go by steps"* ]]
    run --separate-stderr "$EVENER" vary drag.yaml --set 'least=[kwh_per_km]' --set 'most=[kwh_per_km]'
    [ "$status" -eq 2 ] && [[ $stderr == *"kwh_per_km is wanted twice"* ]]
    study drag 'drag: {keys: [body.drag_area_m2], from: 3, to: 7}'
    printf '%s\n' 'record: [kwh_per_kn]' >>drag.yaml
    run --separate-stderr "$EVENER" vary drag.yaml
    [ "$status" -eq 2 ] && [[ $stderr == *"drag.yaml:8:"*"'kwh_per_kn' in record of the study"*"nearest is 'kwh_per_km'"* ]]
}

@test "a search over too many combinations is refused before a file is made" {
    study sizes 'mass: {keys: [body.mass_kg], from: 5000, to: 5100, whole: true}' 'drag: {keys: [body.drag_area_m2], from: 3, to: 7}'
    run --separate-stderr "$EVENER" vary sizes.yaml --set plan=search --store sizes.sqlite
    [ "$status" -eq 2 ] && [ -z "$output" ] && [[ $stderr == *"a search over more than 64 combinations"* ]] && [ ! -e sizes.sqlite ]
}

@test "a search is the same with one thread and four, and killed and gone on with" {
    study best 'drag: {keys: [body.drag_area_m2], from: 3, to: 7, as_is: 6}' 'ratio: {keys: ["drive_units.rear.path[0].final_drive.ratio"], from: 5, to: 12, as_is: 10}'
    printf '%s\n' 'plan: search' 'evaluations: 40' 'samples: 9' >>best.yaml
    "$EVENER" vary best.yaml --store one.sqlite --threads 1 >one.txt
    "$EVENER" vary best.yaml --store four.sqlite --threads 4 >/dev/null
    [ "$(rows one.sqlite | wc -l)" -gt 40 ]
    [ "$(rows one.sqlite)" = "$(rows four.sqlite)" ]
    sqlite3 four.sqlite 'DELETE FROM variants WHERE id % 3 = 0 OR id > 60' # what a kill may leave
    "$EVENER" vary best.yaml --store four.sqlite >/dev/null
    [ "$(rows one.sqlite)" = "$(rows four.sqlite)" ]
    grep -q "It is at the edge of drag (its least)" one.txt
    [[ $(tr -s ' \n' ' ' <one.txt) == *"As the file has it: "*" kWh/km, "*" % worse than the best."* ]]
}

@test "of two results the front is told, which no variant betters in both" {
    study front 'payload: {keys: [load_case.payload_kg], from: 2000, to: 10000}' 'drag: {keys: [body.drag_area_m2], from: 3, to: 7}'
    printf '%s\n' 'plan: search' 'evaluations: 40' 'samples: 9' 'least: [kwh_per_km]' 'most: [masses.payload_kg]' 'front_points: 5' >>front.yaml
    run -0 --separate-stderr "$EVENER" vary front.yaml --store front.sqlite --json
    echo "$output" >front.json
    jq -e '.answer[0].front | length >= 5' front.json
    jq -e '[.answer[0].front[] | .kwh_per_km] as $e | [.answer[0].front[] | .masses.payload_kg] as $p | ($e == ($e | sort)) and ($p == ($p | sort))' front.json
    jq -e '.answer[0].front | (first | .inputs.drag < 3.1) and (last | .masses.payload_kg > 9990)' front.json
    best=$(jq '[.answer[0].front[] | .masses.payload_kg][2]' front.json) energy=$(jq '[.answer[0].front[] | .kwh_per_km][2]' front.json)
    [ "$(sqlite3 front.sqlite "SELECT count(*) FROM variants WHERE may_be = 1 AND \"masses.payload_kg\" > $best + 1e-6 AND kwh_per_km < $energy - 1e-12")" -eq 0 ]
}

@test "parts are chosen by their files, and each combination is read once" {
    mkdir parts
    for ratio in 8 10; do printf '%s\n' "ratio: $ratio" 'efficiency: 1' >"parts/final-drive-$ratio.yaml"; done
    study parts 'gears: {keys: ["drive_units.rear.path[0].final_drive.use"], choices: [parts/final-drive-8.yaml, parts/final-drive-10.yaml]}' 'drag: {keys: [body.drag_area_m2], values: [4, 6]}'
    sed -i "s|truck: .*|truck: {use: $truck, drive_units: {rear: {path: [{final_drive: {use: parts/final-drive-8.yaml}}]}}}|" parts.yaml
    run -0 --separate-stderr "$EVENER" vary parts.yaml --json
    jq -e '.count == 4 and .failed == 0 and ([.variants[].inputs.gears] | unique | length) == 2 and ([.variants[].results.kwh_per_km] | unique | length) == 4' <<<"$output"
    sed -i 's/final-drive-10/final-drive-11/' parts.yaml
    run --separate-stderr "$EVENER" vary parts.yaml
    echo "$stderr"
    [ "$status" -eq 2 ] && [[ $stderr == *"parts.yaml:7:"*"final-drive-11.yaml"* ]]
}

@test "files of parts that are chosen count among what a store is of; ones that change nothing are refused" {
    mkdir parts
    for ratio in 8 10; do printf '%s\n' "ratio: $ratio" 'efficiency: 1' >"parts/final-drive-$ratio.yaml"; done
    study parts 'gears: {keys: ["drive_units.rear.path[0].final_drive.use"], choices: [parts/final-drive-8.yaml, parts/final-drive-10.yaml]}' 'drag: {keys: [body.drag_area_m2], values: [4, 6]}'
    sed -i "s|truck: .*|truck: {use: $truck, drive_units: {rear: {path: [{final_drive: {use: parts/final-drive-8.yaml}}]}}}|" parts.yaml
    "$EVENER" vary parts.yaml --store parts.sqlite >/dev/null
    echo 'ratio: 9' >parts/final-drive-10.yaml
    echo 'efficiency: 1' >>parts/final-drive-10.yaml
    run --separate-stderr "$EVENER" vary parts.yaml --store parts.sqlite
    echo "$stderr"
    [ "$status" -eq 2 ] && [[ $stderr == *"parts.sqlite holds variants of which choices_hash is "* ]]
    "$EVENER" vary parts.yaml --store other.sqlite >/dev/null
    run --separate-stderr "$EVENER" vary merge parts.sqlite other.sqlite --store joined.sqlite
    [ "$status" -eq 2 ] && [[ $stderr == *"its choices_hash is "* ]]
    sed -i 's|final_drive: {use: parts/final-drive-8.yaml}|final_drive: {ratio: 7, efficiency: 1}|' parts.yaml
    run --separate-stderr "$EVENER" vary parts.yaml
    echo "$stderr"
    [ "$status" -eq 2 ] && [[ $stderr == *"parts.yaml:7:"*"parts/final-drive-8.yaml and parts/final-drive-10.yaml change nothing between them"* ]]
}

@test "the page stands without scripts: best, tables, points, front and heat map; it asks for nothing" {
    study page 'drag: {keys: [body.drag_area_m2], from: 3, to: 7, count: 5}' 'payload: {keys: [load_case.payload_kg], from: 2000, to: 9000, count: 5}'
    printf '%s\n' 'most: [masses.payload_kg]' 'least: [kwh_per_km]' 'name: "A <b>study"' >>page.yaml
    sed -i 1d page.yaml
    run -0 --separate-stderr "$EVENER" vary page.yaml --store page.sqlite --page page.html
    [ "$(grep -c '<svg class="plot"' page.html)" -eq 4 ]
    grep -q 'A &#60;b&#62;study' page.html
    ! grep -qE '<script|https?://|<b>study' page.html
    [ "$(grep -o '<circle' page.html | wc -l)" -ge 40 ] && [ "$(grep -o '<rect class="h' page.html | wc -l)" -eq 25 ]
    "$EVENER" vary show page.sqlite --page again.html >/dev/null
    [ "$(grep -c '<tr>' page.html)" -eq "$(grep -c '<tr>' again.html)" ]
    run --separate-stderr "$EVENER" vary show page.sqlite --page page.sqlite
    [ "$status" -eq 2 ] && [[ $stderr == *"--page is the store itself"* ]]
}

@test "a lineup is tuned: each truck at its best, how far its file is from that, and against the first; the study can be had" {
    lineup=$root/tests/vehicles/lineups/hump.yaml
    run -0 --separate-stderr "$EVENER" vary tune "$lineup" --study
    echo "$output" >tune.yaml
    grep -q '{was} \* {step}' tune.yaml && grep -q '^plan: search' tune.yaml
    run --separate-stderr "$EVENER" vary tune "$lineup" --driver exact --integrator arkode --accuracy 1e-5 --evaluations 8 --set samples=4 --json
    echo "$output" >tune.json
    jq -e '.status == "finished" and (.answer | length) >= 2 and (.answer | all(.best.kwh_per_km <= .as_the_file_has_it.kwh_per_km))' tune.json
    jq -e '.answer[0].best_against_first_truck_percent == null and (.answer[1].best_against_first_truck_percent | type) == "number"' tune.json
    jq -e '.answer | all(.as_the_file_has_it.inputs | .final == 1 and .step == 1)' tune.json
    "$EVENER" vary tune.yaml --driver exact --integrator arkode --accuracy 1e-5 --set evaluations=8 --set samples=4 --json >again.json
    [ "$(jq '.answer[].best.kwh_per_km' tune.json)" = "$(jq '.answer[].best.kwh_per_km' again.json)" ]
}

@test "keys of the cycle and of what is asked are set beside a study as those of the truck are" {
    "$EVENER" vary drag.yaml --set cycle.length_m=1500 --set 'record=[distance_km]' --csv rows.csv >/dev/null
    column=$(head -1 rows.csv | tr ',' '\n' | grep -n '^distance_km$' | cut -d: -f1)
    [ "$(sed -n 2p rows.csv | cut -d, -f"$column")" = 1.5 ]
    study two 'length: {keys: [cycle.length_m], values: [1000, 2000]}' 'temperature: {keys: [load_case.temperature_degc], values: [0, 20]}'
    printf '%s\n' 'record: [distance_km]' >>two.yaml
    "$EVENER" vary two.yaml --store two.sqlite >/dev/null
    [ "$(sqlite3 two.sqlite 'SELECT count(DISTINCT kwh_per_km), count(DISTINCT distance_km) FROM variants' | tail -1)" = '4|2' ]
}
