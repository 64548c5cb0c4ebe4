#!/usr/bin/env bats
# Help and reports stay within the reader's columns: 80 where nothing says otherwise, and as many as COLUMNS or the terminal
# says, down to 60. Characters are counted, not bytes. EVENER is the program.
# shellcheck disable=SC2154 # run sets stderr

bats_require_minimum_version 1.5.0

setup() {
    [ -x "$EVENER" ]
    root=$(cd "${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}" && pwd)
    cd "$root"
    export LC_ALL=C.UTF-8
    long='Grünholt Überland Gelenkzug für Langholz und Schwergut, mit sehr langem Namen, vier Achsen, zwei davon getrieben'
    word=Donaudampfschifffahrtsgesellschaftskapitänsmützenhersteller_und_Zubehörlieferant_in_einem_einzigen_Wort
    here=$BATS_TEST_TMPDIR
    asked=() # commands, in the order of the files that hold what they told
}

# fits COLUMNS: no line of the input is wider, and there are some.
fits() {
    local lines
    lines=$(cat)
    [ -n "$lines" ] && ! LC_ALL=C.UTF-8 grep -nE "^.{$(($1 + 1)),}" <<<"$lines"
}

# in_columns COLUMNS COMMAND...: what the program tells is kept in the file $told, and fits: `teardown` looks at all that a test
# kept. It tells nothing where the command line is wrong.
in_columns() {
    asked+=("evener ${*:2}")
    told=$here/told-$1-${#asked[@]}
    COLUMNS=$1 "$EVENER" "${@:2}" >"$told" 2>/dev/null || [ $? -le 2 ]
    [ -s "$told" ] || { echo "${asked[-1]}" && false; }
}

# In 80 and in 60 columns; and, once a command in a test, where nothing says how many there are, to the byte as in 80: that is
# asked in one place (show/look.c), before anything is read.
in_all_columns() {
    for columns in 80 60; do
        in_columns "$columns" "$@"
    done
    narrow=$told
    [[ ${without-} != *" $1 "* ]] || return 0
    without+=" $1 "
    (unset COLUMNS && "$EVENER" "$@" >"$here/without" 2>/dev/null) || [ $? -le 2 ]
    cmp "$here/without" "$here/told-80-$((${#asked[@]} - 1))" || { echo "${asked[-1]}, without COLUMNS" && false; }
}

teardown() {
    local columns kept wide=0
    for columns in 80 60; do
        kept=("$here/told-$columns"-*)
        [ -e "${kept[0]}" ] || continue
        LC_ALL=C.UTF-8 grep -HnE "^.{$((columns + 1)),}" "${kept[@]}" && wide=1
    done
    [ "$wide" -eq 0 ] || { printf '%s\n' "${asked[@]}" | cat -n && false; }
}

# numbers of the input, each once: no number is cut or left out.
numbers() { grep -oE '[0-9]+(\.[0-9]+)?' "$1" | sort -u; }

# Words and tables of a comparison, without its pictures, whose axes are as wide as they are.
without_pictures() { sed '/^Ranked/,/^At the common/{/^At the common/!d}; /^Along the route/,$d' "$1"; }

# A truck, a cycle and a lineup with long names, and units and axles with longer ones than any shipped.
invent() {
    "$EVENER" show vehicles/trucks/tractor-6x4-two-eaxles.yaml --flat --set "name=\"$long\"" |
        sed "s/^    leading:/    leading_axle_of_the_two_behind_the_cab:/; s/^  leading:/  leading_axle_of_the_two_behind_the_cab:/" \
            >"$here/long.yaml"
    sed "s/^name: .*/name: \"$word\"/; s|table: |table: $root/cycles/scenarios/|" cycles/scenarios/hill.yaml >"$here/word.yaml"
    # Of each truck's data each is driven once more over it: no longer than a hump needs with a stop on it.
    cat >"$here/short.yaml" <<TEXT
name: "$word"
invented: true
length_m: 900
speed: {place_m: [0, 700], limit_km_h: [70, 40]}
stops: {place_m: [450], wait_s: [10]}
road: {place_m: [100, 200, 350, 450, 550, 650], grade_percent: [0, 5, 5, -5, -5, 0]}
TEXT
    cat >"$here/lineup.yaml" <<TEXT
name: "$long"
invented: true
cycle: {use: short.yaml}
trucks:
  plain: {use: $root/vehicles/trucks/tractor-4x2-central.yaml}
  the_layout_with_the_longest_name_of_all_of_them: {use: long.yaml}
  the_layout_with_the_longest_name_but_for_another: {use: $root/vehicles/trucks/tractor-4x2-eaxle.yaml}
TEXT
}

@test "every page of help fits into 80 columns, and into 60 but for examples" {
    "$EVENER" --help | fits 80
    COLUMNS=60 "$EVENER" --help | fits 60
    while read -r command; do
        # shellcheck disable=SC2086 # one or two words
        "$EVENER" $command --help | fits 80
        # shellcheck disable=SC2086
        COLUMNS=60 "$EVENER" $command --help | sed '/^Examples$/,$d' | grep -v '^Usage: ' | fits 60
    done < <("$EVENER" help | awk '/^Commands$/ { on = 1; next } /^$/ { on = 0 } on && /^  [a-z]/ { print $1 ($2 == "info" ? " info" : "") }' | grep -vx help)
}

@test "drive: each shipped truck, and invented names, with pictures" {
    for truck in vehicles/trucks/*.yaml; do
        in_all_columns drive "$truck" hill --driver exact --payload-kg 5000
    done
    invent
    in_all_columns drive "$here/long.yaml" "$here/word.yaml" --plot
    in_all_columns drive "$here/long.yaml" hill --collective /dev/null
    LC_ALL=C in_all_columns drive "$here/long.yaml" hill --plot
}

@test "drive tells the same numbers in 60 columns as in 200" {
    invent
    for columns in 60 200; do
        COLUMNS=$columns "$EVENER" drive "$here/long.yaml" hill >"$here/$columns"
    done
    diff <(numbers "$here/60") <(numbers "$here/200")
}

@test "compare: lineups of two and of three, and invented names" {
    in_all_columns compare tests/vehicles/lineups/hump.yaml --plot
    in_all_columns compare tipper-back --beside tipper-back-defaults
    invent
    in_all_columns compare "$here/lineup.yaml" --plot
    COLUMNS=200 "$EVENER" compare "$here/lineup.yaml" --plot >"$here/wide"
    without_pictures "$narrow" >"$here/60"
    without_pictures "$here/wide" >"$here/200"
    [ "$(wc -l <"$here/200")" -gt 60 ]
    diff <(numbers "$here/60") <(numbers "$here/200")
}

@test "range: a day and a cycle, long names, done and not done, with all digits; the same numbers" {
    invent
    in_all_columns range "$here/long.yaml" "$here/short.yaml" --start-soc 0.08 --digits
    in_all_columns range "$here/long.yaml" cycles/duties/hill-rounds.yaml --start-soc 0.37 --payloads-kg 12000,0
    for columns in 60 200; do
        COLUMNS=$columns "$EVENER" range "$here/long.yaml" "$here/short.yaml" --start-soc 0.08 >"$here/$columns"
    done
    diff <(numbers "$here/60") <(numbers "$here/200")
}

@test "limits: one truck, several, invented names, with pictures; the same numbers" {
    for truck in vehicles/trucks/*.yaml; do
        in_all_columns limits "$truck" --only-forces
    done
    in_all_columns limits tipper-8x4-central tipper-8x2-eaxle tipper-8x4-two-eaxles --start-grade-percent 15 --start-surface soil
    in_all_columns limits tests/trucks/ideal.yaml # whose figures are beyond
    invent
    in_all_columns limits "$here/long.yaml" --plot --digits
    in_all_columns limits "$here/long.yaml" vehicles/trucks/tractor-4x2-central.yaml tests/trucks/four-speed.yaml --plot
    for columns in 60 200; do
        COLUMNS=$columns "$EVENER" limits "$here/long.yaml" tractor-4x2-central >"$here/$columns"
    done
    diff <(numbers "$here/60") <(numbers "$here/200")
}

# columns_fit COLUMNS: the same where signs take two columns in a terminal, and accents of their own none.
columns_fit() {
    /usr/bin/python3 -c '
import sys, unicodedata
lines = sys.stdin.read().splitlines()
def columns(text):
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)
too_wide = [line for line in lines if columns(line) > int(sys.argv[1])]
print("\n".join(too_wide))
sys.exit(len(lines) < 10 or len(too_wide) > 0)' "$1"
}

@test "names of signs that take two columns, or none, stand within the width" {
    local wide=大型車両比較中央駆動大型車両試験一号幅広文字大型車両比較中央駆動大型車両試験 accents='Übergröße à e̊ n̊ o̊ long name'
    "$EVENER" show vehicles/trucks/tractor-6x4-two-eaxles.yaml --flat --set "name=\"$wide\"" --set "short_name=\"$wide\"" |
        sed "s/^    leading:/    ${wide:0:24}:/; s/^  leading:/  ${wide:0:24}:/" >"$here/wide.yaml"
    cat >"$here/lineup.yaml" <<TEXT
name: "$wide"
invented: true
cycle: {use: $root/tests/vehicles/routes/hump.yaml}
trucks:
  plain: {use: $root/vehicles/trucks/tractor-4x2-central.yaml, short_name: "$accents"}
  wide: {use: wide.yaml}
TEXT
    for columns in 60 80; do
        for command in "drive $here/wide.yaml hill --plot" "compare $here/lineup.yaml --plot" "show $here/wide.yaml" \
            "limits $here/wide.yaml --plot" "limits $here/wide.yaml tractor-4x2-central --plot"; do
            # shellcheck disable=SC2086 # words of a command line
            COLUMNS=$columns "$EVENER" $command >"$here/told"
            grep -q "${wide:0:6}" "$here/told"
            columns_fit "$columns" <"$here/told" || { echo "evener $command" && false; }
        done
    done
}

@test "a name is not cut where its column is as wide, or a column less" {
    for digits in "" --digits; do
        # shellcheck disable=SC2086 # one word or none
        COLUMNS=60 "$EVENER" compare tests/vehicles/lineups/hump.yaml $digits >"$here/told"
        grep -Eq '^ +central drive$' "$here/told" # above the values
        [ "$(grep -Ec ' central drive +electric axle$' "$here/told")" -eq 2 ]
        run ! grep -q '…' "$here/told"
    done
    printf 'extends: %s\nshort_name: two electric axles\n' "$PWD/tests/trucks/plain/tractor-4x2-eaxle.yaml" >"$here/hot.yaml"
    COLUMNS=60 "$EVENER" compare tests/trucks/plain/tractor-4x2-central.yaml "$here/hot.yaml" --cycle pass-road >"$here/told"
    grep -Eq '^ +two electric axles$' "$here/told" # above "winding temperature"
    grep -q '^  kWh .* two ele… axles$' "$here/told" # above bars, which are narrower
}

@test "show: each shipped truck, and invented names; the same numbers" {
    for truck in vehicles/trucks/*.yaml; do
        in_all_columns show "$truck"
    done
    invent
    in_all_columns show "$here/long.yaml" --set body.mass_kg=4000 --set 'drive_units.trailing.gearbox.ratios[0]=7.123456'
}

@test "cycle info, list, keys" {
    for cycle in cycles/reference/*.yaml cycles/scenarios/*.yaml; do
        in_all_columns cycle info "$cycle"
    done
    invent
    in_all_columns cycle info "$here/word.yaml"
    in_all_columns list
    in_all_columns list motor
    in_all_columns keys
    in_all_columns keys --faults
    in_all_columns keys --results
    in_all_columns keys mass_kg
    for kind in truck cycle lineup kept; do
        in_all_columns keys "$kind"
    done
}

@test "check, keep and diff, of what moved, of what could not be driven, of long names" {
    invent
    "$EVENER" keep "$here/kept.yaml" --truck "$here/long.yaml" --cycle "$here/word.yaml" --all
    in_all_columns check "$here/kept.yaml"
    sed -i 's/mass_kg: 23500/mass_kg: 12345/' "$here/long.yaml"
    in_all_columns check "$here/kept.yaml"
    [ "$(grep -c ' x$' "$told")" -gt 5 ]
    in_all_columns keep "$here/kept.yaml"
    "$EVENER" drive "$here/long.yaml" "$here/word.yaml" --json >"$here/a.json"
    "$EVENER" drive "$here/long.yaml" hill --json --payload-kg 9999 >"$here/b.json" || true
    in_all_columns diff "$here/a.json" "$here/b.json"
    sed -i 's/mass_kg: 12345/mass_kg: 9912345/' "$here/long.yaml"
    in_all_columns check "$here/kept.yaml"
}

@test "findings are one line each in a file, and broken on a terminal" {
    run --separate-stderr "$EVENER" drive hill tractor-4x2-central
    [ "$(wc -l <<<"$stderr")" -eq 1 ]
    for columns in 80 60; do
        script -qec "stty cols $columns; NO_COLOR=1 $EVENER drive hill tractor-4x2-central" /dev/null </dev/null >"$here/seen" || true
        tr -d '\r' <"$here/seen" | fits "$columns"
        grep -q 'swapped?' "$here/seen"
        folder=$here/a_folder_with_a_name_that_is_longer_than_the_whole_line_of_a_terminal_of_eighty_columns
        mkdir -p "$folder"
        cp cycles/scenarios/hill.yaml "$folder"
        script -qec "stty cols $columns; NO_COLOR=1 $EVENER show $folder/hill.yaml" /dev/null </dev/null >"$here/seen" || true
        grep -qF " $folder/hill.yaml" "$here/seen" # a path stays whole
    done
}

@test "what programs read is not broken to the width" {
    for command in 'show tractor-4x2-central --flat' 'show tractor-4x2-central --json' 'show tractor-4x2-central --paths' \
        'list --json' 'list --names' 'keys --paths' 'keys --json' 'drive tractor-4x2-central hill --json' 'drive tractor-4x2-central hill --trace -' \
        'limits tractor-4x2-central --json' \
        'new truck -'; do
        # shellcheck disable=SC2086 # several words
        cmp <(COLUMNS=60 "$EVENER" $command 2>/dev/null) <(COLUMNS=200 "$EVENER" $command 2>/dev/null)
    done
}

@test "COLUMNS that is no number of columns is as if it were not there" {
    for columns in '' 0 -3 wide 1e3 9999999; do
        cmp <(COLUMNS=$columns "$EVENER" list) <(env -u COLUMNS "$EVENER" list)
    done
    [ "$(COLUMNS=120 "$EVENER" list | wc -l)" -lt "$("$EVENER" list | wc -l)" ]
}

@test "what is told of sites fits, in short and in full, of one truck and of several" {
    in_all_columns site tipper-8x4-central tipper-8x2-eaxle tipper-8x4-two-eaxles --rules eu-96-53 --rut-mm 120
    in_all_columns site tipper-8x4-central tipper-8x2-eaxle --rules eu-96-53 --all
    in_all_columns site tractor-6x4-two-eaxles --rules eu-96-53 --clearance-mm 300
    in_all_columns site tractor-6x4-two-eaxles --all
}

@test "what is told of the dearer truck fits, with draws and all digits" {
    in_all_columns payback motorway --prices fleet --annual-km 90000 --own-batteries --draws 64 --energy-percent 2
    in_all_columns payback demo --prices fleet --annual-km 90000 --own-batteries --digits
}
