#!/usr/bin/env bats
# The program speaks in the field's own terms: none of before is left in what it says. tests/cli/terms.py has the terms.

setup_file() {
    bats_require_minimum_version 1.5.0
    export root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    export EVENER_KEYS=$BATS_FILE_TMPDIR/keys # names that files bear are no names of before, whatever else was called so
    "$EVENER" keys --paths >"$EVENER_KEYS"
}

setup() {
    cd "$root" || return 1
    told=$BATS_TEST_TMPDIR/told
    mkdir "$told"
}

# no_term_of_before KIND FILE...
no_term_of_before() { /usr/bin/python3 tests/cli/terms.py "$@"; }

# The list of what changed names them all; it is the one file left out.
@test "no string of the program or the library in C holds a term of before" {
    mapfile -d '' files < <(find src -name '*.[ch]' ! -path src/core/renamed.c -print0)
    [ "${#files[@]}" -gt 300 ]
    no_term_of_before c "${files[@]}"
}

@test "no name of a published check holds a term of before" {
    no_term_of_before titles tests/published/*.c
    printf '%s\n' 'START_TEST(the_pack_is_full)' 'check_value(f, x_drawn, 1, "J", "drawn");' >"$told/t.c"
    run no_term_of_before titles "$told/t.c"
    [ "$status" -eq 1 ] && [[ ${lines[-1]} == "3 texts of 1 files: 2 terms of before" ]]
}

@test "no text of the page's scripts and frame holds a term of before" {
    mapfile -d '' files < <(find src/show/page/assets -name '*.js' -print0)
    [ "${#files[@]}" -gt 10 ]
    no_term_of_before js "${files[@]}"
    no_term_of_before prose src/show/page/assets/frame.html
}

@test "README.md holds no term of before" {
    no_term_of_before prose README.md
}

@test "the tour holds no term of before" {
    no_term_of_before prose src/cli/manual/tour.md
}

@test "the manual pages hold no term of before" {
    [ -s "$EVENER_MANUAL/man1/evener-drive.1" ]
    no_term_of_before prose "$EVENER_MANUAL"/man1/*.1
}

@test "help of every command holds no term of before" {
    "$EVENER" --help >"$told/evener"
    for command in drive range compare limits 'cycle info' show keys list new keep check diff; do
        # shellcheck disable=SC2086 # one word or two
        "$EVENER" help $command >"$told/${command// /-}"
    done
    [ "$(grep -cE '^  [a-z]+( [a-z]+)?  ' "$told/evener")" -gt 10 ]
    no_term_of_before prose "$told"/*
}

@test "reports, pictures and documents of a run hold no term of before, also of one that does not finish" {
    "$EVENER" drive tractor-6x4-two-eaxles hill --plot --trace "$told/run.csv" >"$told/drive.txt"
    "$EVENER" drive tractor-4x2-central urban-schedule --digits >"$told/digits.txt"
    "$EVENER" drive tractor-4x2-central urban-schedule --json >"$told/drive.json"
    run -1 "$EVENER" drive tractor-4x2-central hill --payload-kg 200000
    echo "$output" >"$told/stalled.txt"
    run -1 "$EVENER" drive tractor-4x2-central hill --start-soc 0.11
    [[ $output == *"ran out of"* ]]
    echo "$output" >"$told/empty.txt"
    printf 'name: flat\ninvented: true\nlength_m: 20000\nspeed: {place_m: [0], limit_km_h: [60]}\n' >"$told/flat.yaml"
    run -1 "$EVENER" drive "$root/tests/trucks/plain/tipper-8x4-eaxle.yaml" "$told/flat.yaml" --headwind-m-s=-30 --driver exact \
        --set drive_units.leading.motors.a.peak_torque_nm=4080 --set drive_units.leading.motors.b.peak_torque_nm=4080
    [[ ${output//$'\n'/ } == *"asked more than its battery gives"* ]]
    echo "$output" >"$told/weak.txt"
    run -2 "$EVENER" drive tractor-4x2-central hill --start-soc 0.99
    echo "$output" >"$told/refused.txt"
    no_term_of_before prose "$told"/*
}

@test "reports, pictures and documents of a comparison hold no term of before" {
    hump=$root/tests/vehicles/lineups/hump.yaml
    "$EVENER" compare "$hump" --plot --csv "$told/compare.csv" >"$told/compare.txt"
    "$EVENER" compare "$hump" --json --driver exact >"$told/compare.json"
    no_term_of_before prose "$told"/*
}

@test "what is told of trucks, cycles, keys and faults holds no term of before" {
    "$EVENER" show tractor-6x4-two-eaxles >"$told/show.txt"
    "$EVENER" show tractor-4x2-central --json >"$told/show.json"
    "$EVENER" cycle info hill >"$told/cycle.txt"
    "$EVENER" cycle info urban-schedule --json >"$told/cycle.json"
    "$EVENER" keys >"$told/keys.txt"
    "$EVENER" keys --faults >"$told/faults.txt"
    "$EVENER" keys --json >"$told/keys.json"
    for kind in truck cycle lineup kept load_case driving; do
        "$EVENER" keys "$kind" >"$told/keys-$kind.txt"
    done
    for kind in truck cycle lineup; do
        "$EVENER" new "$kind" "$told/new-$kind.yaml" >/dev/null
    done
    no_term_of_before prose "$told"/*
}

@test "what is told of kept results holds no term of before" {
    cp tests/trucks/four-speed.yaml "$told/truck.yaml"
    printf 'name: short\ninvented: true\nlength_m: 2500\nspeed: {place_m: [0], limit_km_h: [50]}\n' >"$told/road.yaml"
    "$EVENER" keep "$told/kept.yaml" --truck "$told/truck.yaml" --cycle "$told/road.yaml" >"$told/keep.txt" 2>&1
    sed -i 's/mass_kg: 4150/mass_kg: 4950/' "$told/truck.yaml"
    run -1 "$EVENER" check "$told/kept.yaml"
    [[ $output == *energy_balance.* ]]
    echo "$output" >"$told/check.txt"
    rm "$told/truck.yaml"
    no_term_of_before prose "$told"/*
}

@test "a term of before is found where one is, in each kind of file, and none where there is none" {
    printf '/* ledger */\nint ledger = 1; /* "the plan" */\nf("what it gave"\n  " back", "x"); // behind the plan\n' >"$told/a.c"
    printf 'const a = `drawn ${f("pack")} kWh`; // the ledger\nconst b = /"held_by/; const c = "fine";\n' >"$told/a.js"
    printf 'He follows the\nplan, at drawn_kwh.\n\n## Names that changed\n\nshifts, the ledger\n\n## On\n\n"behind_plan_s"\n' >"$told/a.md"
    run -1 no_term_of_before c "$told/a.c"
    [[ ${lines[0]} == *"a.c:3: 'gave back': what it gave back" && ${lines[1]} == "2 texts of 1 files: 1 terms of before" ]]
    run -1 no_term_of_before js "$told/a.js"
    [[ $output == *"a.js:1: 'pack': pack"* && $output == *"a.js:1: 'drawn': drawn … kWh"*"3 texts of 1 files: 2 terms of before" ]]
    run -1 no_term_of_before prose "$told/a.md"
    [[ $output == *"a.md:1: 'the plan'"* && $output == *"a.md:2: 'drawn_kwh'"* && $output == *"a.md:10: 'behind_plan_s'"* ]]
    [[ $output == *"1 texts of 1 files: 3 terms of before" ]]
    printf 'const char *a = "The target speed; a chart is drawn"; /* ledger */\n' >"$told/fine.c"
    no_term_of_before c "$told/fine.c"
}

@test "reports, pictures and documents of limits hold no term of before" {
    "$EVENER" limits tractor-6x4-two-eaxles --plot --csv "$told/limits.csv" >"$told/limits.txt"
    "$EVENER" limits tractor-4x2-central rigid-6x2-eaxle --start-grade-percent 10 >"$told/two.txt"
    "$EVENER" limits tipper-8x4-central --json >"$told/limits.json"
    no_term_of_before prose "$told"/*
}
