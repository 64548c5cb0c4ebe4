#!/usr/bin/env bats
# tools/parts: the part files in the tree are what it makes of their designs, and the program takes them without a word.

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    folder=$BATS_TEST_TMPDIR/parts
}

@test "the parts in the tree are what tools/parts makes" {
    run "$root/tools/parts" --check
    echo "$output"
    [ "$status" -eq 0 ]
    [ -z "$output" ]
}

@test "a part that was changed by hand, one that is missing and one without a design are told" {
    "$root/tools/parts" --folder "$folder"
    sed -i 's/^efficiency: .*/efficiency: 0.99/' "$folder/final-drive-hypoid-"*.yaml
    rm "$folder/differential-axle.yaml"
    cp "$folder/hub-steer.yaml" "$folder/hub-of-old.yaml"
    sed 's/losses by tools/losses by\n# tools/' "$folder/hub-steer.yaml" >"$folder/hub-of-older.yaml" # as wrapped
    run "$root/tools/parts" --check --folder "$folder"
    [ "$status" -eq 1 ]
    [[ $output == *"final-drive-hypoid-"*"efficiency: 0.99"* ]]
    [[ $output == *"differential-axle.yaml: missing"* ]]
    [[ $output == *"hub-of-old.yaml: its design is gone"* ]]
    [[ $output == *"hub-of-older.yaml: its design is gone"* ]]
}

@test "one part is written alone, with its map" {
    map=$(basename "$(ls "$root"/vehicles/parts/motor-*-map.csv | head -n 1)")
    "$root/tools/parts" --part "${map%-map.csv}" --folder "$folder"
    [ "$(ls "$folder" | wc -l)" -eq 2 ]
    cmp "$folder/$map" "$root/vehicles/parts/$map"
    run "$root/tools/parts" --part no-such-part --folder "$folder"
    [ "$status" -eq 2 ]
    [[ $output == *"no part 'no-such-part'"* ]]
}

@test "the table holds every part, and says why a figure lies outside of what is published" {
    "$root/tools/parts" --table >"$BATS_TEST_TMPDIR/table"
    "$root/tools/parts" --folder "$folder"
    ls "$folder" | sed -n 's/\.yaml$//p' | sort >"$BATS_TEST_TMPDIR/made"
    [ -s "$BATS_TEST_TMPDIR/made" ]
    run comm -23 "$BATS_TEST_TMPDIR/made" <(sed -n 's/^\([^ ][^ ]*\) .*/\1/p' "$BATS_TEST_TMPDIR/table" | sort -u)
    [ "$status" -eq 0 ]
    [ -z "$output" ] || { echo "not in the table: $output" && false; }
    run ! grep -E ' (above|below)(: *)?$' "$BATS_TEST_TMPDIR/table"
    grep -q '^gearbox  *0\.[0-9]*  below 0.50 to 0.75 ((EU) 2017/2400, Annex VI)' "$BATS_TEST_TMPDIR/table"
    grep -q 'Arranged as ours, the defaults favour the central drive by 2.3 points under load, the laws the electric axle by 1.1' "$BATS_TEST_TMPDIR/table"
}

@test "every part that loses says how far it may be off, and where that is from" {
    parts=("$root"/vehicles/parts/{motor,gearbox,final-drive,planet-set,mesh,differential,hub,tyre}-*.yaml)
    run awk '
        function judge() { if (said < 1 || said != from) print part ": " said + 0 " entries, " from + 0 " sources" }
        FNR == 1 { if (part) judge(); part = FILENAME; below = said = from = 0; parts++ }
        /^uncertain:/ { below = 1 }
        below && /\{of: \[/ { said++ }
        below { from += gsub(/source: "[^"]*(from memory|common practice, no source|\(EU\)[^"]*)[^"]*"/, "") }
        END { judge(); if (parts != ARGC - 1) print parts " files of " ARGC - 1 }' "${parts[@]}"
    echo "$output"
    [ "$status" -eq 0 ]
    [ -z "$output" ]
    # Motors: what turns without torque, copper and inverter; or the map as a whole.
    run grep -L 'inverter.current_squared_w' "$root"/vehicles/parts/motor-*.yaml
    [ -z "$output" ]
    for what in 'loss.torque_squared_w_per_nm2\]' 'of: \[loss.constant_w'; do
        run grep -L "map.loss_factor\|$what" "$root"/vehicles/parts/motor-*.yaml
        echo "$output"
        [ -z "$output" ]
    done
}

# What errs in a truck, a line each, with line breaks around: errs FILE
errs() { printf '\n%s\n' "$("$EVENER" show "$1" --json | jq -r '.uncertain[].label')" && echo .; }

@test "every motor, gearbox, gear set and hub of the shipped trucks errs" {
    whole_map=$'\nmotor losses \\(motor[a-z0-9-]*-defaults\\)'
    for truck in "$root"/vehicles/trucks/*.yaml "$root"/vehicles/trucks/defaults/*.yaml; do
        echo "$truck"
        errs=$(errs "$truck")
        while read -r part; do
            echo "$part"
            [[ $errs == *"(${part%.yaml})"* ]]
        done < <(grep -o '[a-z0-9-]*\.yaml' "$truck" | grep -E '^(motor|gearbox|final-drive|planet-set|tyre)-|^mesh-through-drive\.yaml' | sort -u)
        for what in 'bearing friction' 'hub drag' 'road surface' 'drag area' 'auxiliaries power' 'differential'; do
            echo "$what"
            if [[ $truck == *defaults* && $what == differential ]]; then
                [[ $errs == *'(differential-axle-defaults)'* || $errs == *'(final-drive'* ]]
            else
                [[ $errs == *"$what"* ]]
            fi
        done
        # Motors' inverters: by themselves, or in the map.
        [[ $errs == *$'\ninverter losses (motor'* || $errs =~ $whole_map ]]
    done
}

@test "what errs alike does so in both layouts" {
    for lineup in motorway mountain delivery; do
        trucks=$(sed -n 's|.*use: \.\./\(trucks/[^}]*\)}.*|\1|p' "$root/vehicles/lineups/$lineup.yaml")
        for truck in $trucks; do
            errs=$(errs "$root/vehicles/$truck")
            for label in 'mesh friction' 'bearing friction' 'differential loss' 'churning' 'iron losses' 'copper eddies' 'inverter modulation'; do
                echo "$truck: $label"
                [[ $errs == *$'\n'"$label"$'\n'* ]]
            done
        done
    done
}

@test "a coefficient without a place among those that err stops the tool, and is named" {
    cp -r "$root/tools" "$BATS_TEST_TMPDIR/tools"
    sed -i 's/"copper_ac_share")\]/"copper_ac_shares")]/' "$BATS_TEST_TMPDIR/tools/lib/part_uncertainty.py"
    run "$BATS_TEST_TMPDIR/tools/parts" --check
    [ "$status" -ne 0 ]
    [[ $output == *"copper_ac_share stands in 0 of LABELS"* ]]
}

@test "the program finds nothing unusual in the parts, each in a truck of its own" {
    cd "$BATS_TEST_TMPDIR"
    parts=$root/vehicles/parts
    base=$root/tests/vehicles/trucks/tractor-4x2-central.yaml
    for part in "$parts"/motor-*.yaml "$parts"/gearbox-*.yaml "$parts"/final-drive-*.yaml "$parts"/hub-*.yaml; do
        case $(basename "$part") in
            motor-*) place=drive_units.rear.motors.a.use ;;
            gearbox-*) place=drive_units.rear.gearbox.use ;;
            hub-*) place=axles.front.hub_drag.use ;;
            *) place='drive_units.rear.path[4].final_drive.use' ;;
        esac
        run --separate-stderr "$EVENER" show "$base" --set "$place=$part"
        echo "$part: $stderr"
        [ "$status" -eq 0 ]
        [ -z "$stderr" ]
    done
}
