#!/usr/bin/env bats
# Manual pages and completion hold what help holds: every command and every option.

setup() {
    pages=$EVENER_MANUAL/man1
    # shellcheck disable=SC1091
    . "$EVENER_MANUAL/evener"
}

# Names of commands, one a line, as help lists them.
commands() {
    "$EVENER" help | awk '/^Commands$/ { on = 1; next } /^$/ { on = 0 } on' | sed -nE 's/^  ([a-z]+( [a-z]+)*)( .*)?$/\1/p' |
        sed -E 's/  .*//' | grep -vx help
}

# Options of a command as help lists them: "--json".
options_of() {
    # shellcheck disable=SC2086
    "$EVENER" help $1 | sed -n 's/^  \(--[a-z0-9-]*\).*/\1/p'
}

# Lines of the input that stand nowhere in a file, each once.
missing_in() {
    awk 'NR == FNR { page = page "\n" $0; next } index(page, $0) == 0 && !told[$0]++' "$1" -
}

# What bash would offer behind the words; the last is the one being written.
offers() {
    COMP_WORDS=("$@")
    COMP_CWORD=$(($# - 1))
    _evener
    printf '%s\n' "${COMPREPLY[@]}"
}

@test "help lists the commands that this file is about" {
    [ "$(commands | grep -cx -e drive -e 'cycle info' -e show)" -eq 3 ]
    [ "$(options_of drive | grep -cx -e --json -e --driver -e --help)" -eq 3 ]
}

@test "every command has a manual page that names its options, and no other page is there" {
    while read -r command; do
        page=$pages/evener-${command// /-}.1
        options_of "$command" >"$BATS_TEST_TMPDIR/options"
        [ -s "$BATS_TEST_TMPDIR/options" ]
        run missing_in "$page" < <(sed 's/-/\\-/g; s/.*/\\fB&\\fR/' "$BATS_TEST_TMPDIR/options")
        [ "$status" -eq 0 ]
        [ -z "$output" ] || { echo "$page lacks $output" && false; }
        grep -qF "evener $command" "$pages/evener.1"
    done < <(commands)
    [ "$(find "$pages" -type f | wc -l)" -eq $(($(commands | wc -l) + 3)) ] # the program's own, results and the tour
}

@test "the page of results has every row, those of comparisons too, limit, trace column and renamed name that keys --results tells" {
    page=$BATS_TEST_TMPDIR/results.1
    sed 's/\\-/-/g' "$pages/evener-results.1" >"$page"
    "$EVENER" keys --results --json >"$BATS_TEST_TMPDIR/results.json"
    [ "$(jq '.results | length' "$BATS_TEST_TMPDIR/results.json")" -gt 40 ]
    [ "$(jq '.renamed | length' "$BATS_TEST_TMPDIR/results.json")" -gt 40 ]
    run missing_in "$page" < <(jq -r '.results[].key, (.comparison_rows[] | .key, .csv_column, .label), .trace_columns[].key, .limits[].limit, .renamed[].before, .renamed[].now' "$BATS_TEST_TMPDIR/results.json")
    [ "$status" -eq 0 ]
    [ -z "$output" ] || { echo "no $output" && false; }
    [ "$(jq -c '[.comparison_rows[] | .csv_column]' "$BATS_TEST_TMPDIR/results.json")" = \
        '["limited_by","limited_for_s","kwh_per_km","kwh_per_t_km","charged_kwh","energy_balance_power_take_off_kwh","energy_balance_friction_brakes_kwh","masses_kerb_kg","axle_configuration","alike","peak_wheel_power_kw","continuous_wheel_power_kw","force_from_rest_kn","installed_motor_power_kw","driven_axles","axles","rolling_resistance_coefficient","driven_rolling_radius_m","hub_drag_n","drag_area_m2","auxiliaries_kw","take_off_work_kwh","usable_battery_kwh","battery_resistance_ohm","battery_discharge_kw","battery_charge_kw","torque_scale","startability","startability_limited_by","speed_on_3_percent","speed_on_3_percent_limited_by","descent_held","descent_held_limited_by"]' ]
    jq -e '[.comparison_rows[], .results[], .trace_columns[] | .label != "" and .short_label != "" and .help != ""] | all' "$BATS_TEST_TMPDIR/results.json"
    run "$EVENER" keys --results
    [[ $output == *'energy_balance.hub_losses_kwh'*'limited_by'*'target_speed_km_h'*'behind_plan_s'*'time_below_target_s'* ]]
    run "$EVENER" keys --results truck
    [ "$status" -eq 2 ]
    run "$EVENER" keys --results --faults
    [ "$status" -eq 2 ]
}

@test "the tour is a page with what the commands print, word for word" {
    [ "$(grep -c '^\.nf$' "$pages/evener-tour.1")" -eq "$(grep -c '^```console$' "$EVENER_SOURCE/src/cli/manual/tour.md")" ]
    grep -qF 'Harrowmoor 40 t tractor with semitrailer, central drive, four gears finished' "$pages/evener-tour.1"
    grep -qF '\[u2588]' "$pages/evener-tour.1" # bars
    command -v man >/dev/null && command -v groff >/dev/null || skip "no man here"
    shown=$(MANWIDTH=200 man -l "$pages/evener-tour.1" 2>/dev/null | col -b)
    while read -r line; do
        [[ $shown == *"$line"* ]] || { echo "not shown: $line" && false; }
    done < <(grep -E '^(  rolling|\$ build/evener)' "$EVENER_SOURCE/src/cli/manual/tour.md" | grep -v '[^ -~]' | head -n 20)
}

@test "manual pages are sound troff" {
    command -v groff || skip "no groff here"
    for page in "$pages"/*.1; do
        run groff -Tutf8 -man -ww -z "$page" # as man shows them
        echo "$page: $output"
        [ "$status" -eq 0 ]
        [ -z "$output" ]
    done
}

@test "the manual page gives defaults and the meaning of exit codes" {
    grep -qF '(human)' "$pages/evener-drive.1"
    grep -q '^\.SH EXIT STATUS' "$pages/evener-drive.1"
    grep -qF 'the truck stalled' "$pages/evener.1"
}

@test "completion offers every command" {
    first=$(offers evener '')
    [ "$first" = "$(printf '%s\n' "$first" | awk '!seen[$0]++')" ]
    while read -r command; do
        grep -qx -- "${command%% *}" <<<"$first"
        grep -qx -- "${command%% *}" < <(offers evener help '')
        [[ $command != *' '* ]] || grep -qx -- "${command#* }" < <(offers evener "${command%% *}" '')
    done < <(commands)
    [ "$(offers evener dri)" = drive ]
}

@test "completion offers every option of every command" {
    while read -r command; do
        read -ra words <<<"$command"
        [ "$(offers evener "${words[@]}" -- | sort)" = "$(options_of "$command" | sort)" ]
    done < <(commands)
}

@test "completion offers the choices of an option, written with a space or an equals sign" {
    [ "$(offers evener drive a b --driver '' | sort | paste -sd ' ')" = "exact human" ]
    [ "$(offers evener drive --driver ex)" = exact ]
    [ "$(offers evener drive --driver = ex)" = exact ]
    [ "$(offers evener drive --driver = | sort | paste -sd ' ')" = "exact human" ]
    [ "$(offers evener drive --driver=ex)" = --driver=exact ]
}

@test "completion offers groups of figures of limits and of a site" {
    [ "$(offers evener limits a --group sta)" = start ]
    [ "$(offers evener site a --group pa | sort | paste -sd ' ')" = "packaging payload" ]
}

@test "completion offers files where files belong, also with spaces in their names" {
    cd "$BATS_TEST_TMPDIR"
    touch 'my truck.yaml' other.yaml
    [ "$(offers evener drive my)" = 'my truck.yaml' ]
    [ "$(offers evener drive --json --trace oth)" = other.yaml ]
    [ "$(offers evener cycle info '' | wc -l)" -eq 2 ]
    [ -z "$(offers evener drive --payload-kg oth)" ]
}

@test "completion offers names where a truck, a cycle or a lineup belongs, and files beside them" {
    cd "$EVENER_SOURCE"
    [ "$(offers "$EVENER" drive tractor-4x2-c | sort | paste -sd ' ')" = "tractor-4x2-central tractor-4x2-central-day tractor-4x2-central-defaults" ]
    [ -z "$(offers "$EVENER" drive hil)" ]
    [ "$(offers "$EVENER" drive tractor-4x2-central hil | sort | paste -sd ' ')" = "hill hill-rounds" ]
    [ "$(offers "$EVENER" drive --driver exact --plot tractor-4x2-central --payload-kg = 12 hil | sort | paste -sd ' ')" = "hill hill-rounds" ]
    [ "$(offers "$EVENER" show rigid-6x4-t | sort | paste -sd ' ')" = "rigid-6x4-two-eaxles rigid-6x4-two-eaxles-day rigid-6x4-two-eaxles-defaults" ]
    [ "$(offers "$EVENER" cycle info nedc)" = nedc ]
    [ "$(offers "$EVENER" compare dem)" = demo ]
    [ "$(offers "$EVENER" compare tractor-6x2-central tractor-6x2-ea | sort | paste -sd ' ')" = "tractor-6x2-eaxle tractor-6x2-eaxle-day tractor-6x2-eaxle-defaults" ]
    [ "$(offers "$EVENER" compare a b --cycle hil)" = hill ]
    [ "$(offers "$EVENER" explain a hil)" = hill ]
    [ "$(offers "$EVENER" explain a b kwh_per_k)" = kwh_per_km ]
    [ "$(offers "$EVENER" explain a b kwh_per_km energy_balance.inv)" = energy_balance.inverter_losses_kwh ]
    [ "$(offers "$EVENER" explain a kwh_per_km --lineup dem)" = demo ]
    [ "$(offers "$EVENER" explain --lineup demo a kwh_per_k)" = kwh_per_km ] # there is no cycle then
    [ "$(offers "$EVENER" explain --lineup=demo a why.drivet)" = why.drivetrain ]
    [ "$(offers "$EVENER" explain a b why.drivet)" = why.drivetrain ]
    [ "$(offers "$EVENER" limits tractor-6x2-central tractor-6x2-ea | sort | paste -sd ' ')" = "tractor-6x2-eaxle tractor-6x2-eaxle-day tractor-6x2-eaxle-defaults" ]
    [ "$(offers "$EVENER" limits a --group star)" = start ]
    [ "$(offers "$EVENER" limits a --group '' | paste -sd ' ')" = "all $("$EVENER" limits tractor-4x2-central --json | jq -r '[.groups[].group] | join(" ")')" ]
    [ "$(offers "$EVENER" keep k.yaml --truck tipper-8x4-c | sort | paste -sd ' ')" = "tipper-8x4-central tipper-8x4-central-day tipper-8x4-central-defaults" ]
    [ "$(offers "$EVENER" keep k.yaml --lineup=dem)" = --lineup=demo ]
    cd "$BATS_TEST_TMPDIR"
    touch tractor-mine.yaml
    [ "$(EVENER_PATH=$EVENER_SOURCE offers "$EVENER" drive tractor-4x2-c | sort | paste -sd ' ')" = "tractor-4x2-central tractor-4x2-central-day tractor-4x2-central-defaults" ]
    [ "$(EVENER_PATH=$EVENER_SOURCE offers "$EVENER" drive tractor-m)" = tractor-mine.yaml ]
}

@test "completion offers kinds behind new, names of that kind behind --like, words behind list" {
    cd "$EVENER_SOURCE"
    [ "$(offers "$EVENER" new '' | sort)" = "$("$EVENER" keys | awk 'NR > 1 { if (!NF) exit } /^  [a-z]/ { if (NR > 1) print $1 }' | sort)" ]
    [ "$(offers "$EVENER" new gearb)" = gearbox ]
    [ "$(offers "$EVENER" new motor mine.yaml --like '' | grep '^motor-' | sort)" = \
        "$("$EVENER" list --json | jq -r '.items[] | select(.kind == "motor") | .name' | sort)" ]
    [ -z "$(offers "$EVENER" new motor mine.yaml --like tractor-)" ]
    [ "$(offers "$EVENER" new truck mine.yaml --like tractor-4x2-c | sort | paste -sd ' ')" = "tractor-4x2-central tractor-4x2-central-day tractor-4x2-central-defaults" ]
    [ "$(offers "$EVENER" list '' | paste -sd ' ')" = "trucks cycles duties lineups rules prices studies parts" ]
    [ "$(offers "$EVENER" list --na)" = --names ]
}

@test "completion offers keys by one step, kinds among them where any path may stand" {
    [ "$(offers "$EVENER" keys batt | grep -v '^battery_' | paste -sd ' ')" = "battery battery." ]
    [ "$(offers "$EVENER" keys gearbox.ratios)" = gearbox.ratios ]
    [ "$(offers "$EVENER" keys truck drive_units.rear.gearb)" = drive_units.rear.gearbox. ]
    [ "$(offers "$EVENER" keys drive_units.)" = drive_units.NAME. ]
    [ "$(offers "$EVENER" keys motor.)" = "$("$EVENER" keys --paths motor | sed -E 's/^(motor\.[^.]*\.).*/\1/' | uniq)" ]
    [ -z "$(offers "$EVENER" keys no.such)" ]
    [ "$(offers "$EVENER" keys --pat)" = --paths ]
}

@test "completion offers keys to --set, with the names of the truck, of a cycle, of a lineup" {
    truck=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}/vehicles/trucks/tractor-4x2-central.yaml
    [ "$(offers "$EVENER" drive "$truck" c --set drive_units.)" = drive_units.rear. ]
    [ "$(offers "$EVENER" show "$truck" --set 'drive_units.rear.path[4].final_drive.r')" = \
        'drive_units.rear.path[4].final_drive.ratio=' ]
    [ "$(offers "$EVENER" show "$truck" --set drive_units.rear.p | sort | paste -sd ' ')" = \
        "$(printf 'drive_units.rear.path[%s].\n' 0 1 2 3 4 | paste -sd ' ')" ]
    [ "$(EVENER_PATH=${truck%/*/*/*} offers "$EVENER" drive tractor-4x2-central c --set drive_units.)" = drive_units.rear. ]
    [ "$(offers "$EVENER" drive --set drive_units.)" = drive_units.NAME. ]
    [ "$(offers "$EVENER" drive --set = battery.cap)" = battery.capacity_ah= ]
    [ "$(offers "$EVENER" drive --set=battery.cap)" = --set=battery.capacity_ah= ]
    [ "$(offers "$EVENER" drive --set "'battery.cap")" = battery.capacity_ah= ]
    [ "$(offers "$EVENER" drive --set cycle.na)" = cycle.name= ]
    [ "$(offers "$EVENER" cycle info c --set na)" = name= ]
    [ "$(offers "$EVENER" cycle info c --set cycle.na)" = cycle.name= ]
    [ "$(offers "$EVENER" compare l --set load_case.payl)" = load_case.payload_kg= ]
    [ "$(offers "$EVENER" compare l --set trucks.b.battery.cap)" = trucks.b.battery.capacity_ah= ]
}

@test "completion is registered for the program, and works in a bash without anything else" {
    run bash --norc --noprofile -c ". '$EVENER_MANUAL/evener'; complete -p evener"
    [ "$output" = "complete -F _evener evener" ]
}
