#!/usr/bin/env bats
# How sure the differences of a comparison are: one rule in all media, by first order, by draws and where nobody asked.
# EVENER is the program.
# shellcheck disable=SC2154 # run sets stderr

bats_require_minimum_version 1.5.0

names() {
    [ -x "$EVENER" ]
    root=$(cd "${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}" && pwd)
    hump=$root/tests/vehicles/lineups/hump.yaml
    demo=$root/tests/vehicles/lineups/demo.yaml
    central=$root/tests/vehicles/trucks/tractor-4x2-central.yaml
    eaxle=$root/tests/vehicles/trucks/tractor-4x2-eaxle.yaml
    road=$root/tests/vehicles/routes/hump.yaml
    export LC_ALL=C.UTF-8
}

# What several tests look at is driven once: document, CSV file and page of the hump.
setup_file() {
    names
    cd "$BATS_FILE_TMPDIR"
    page=()
    if has_pages; then page=(--page page.html); fi
    "$EVENER" compare "$hump" --json --csv r.csv "${page[@]}" >hump.json
}

setup() {
    names
    cd "$BATS_TEST_TMPDIR"
}

# The text with line breaks as blanks.
flat() { tr -s ' \n' ' ' <<<"$1"; }

# The build says itself whether it has a page.
has_pages() { ! "$EVENER" drive none.yaml none.yaml --page probe.html 2>&1 | grep -q 'built without pages'; }

# interrupted_after SECONDS COMMAND...: sends it an interrupt once it has worked so long. Counted in its own time on processors, so
# that it is as far however busy the machine is.
interrupted_after() {
    local worked=0 ticks
    env --default-signal=INT "${@:2}" &
    ticks=$(($1 * $(getconf CLK_TCK)))
    while [ "$worked" -lt "$ticks" ] && sleep 0.02; do
        worked=$(sed 's/.*) //' "/proc/$!/stat" 2>/dev/null | awk '{ print $12 + $13 }')
        [ -n "$worked" ] || break # it ended by itself
    done
    kill -INT $! 2>/dev/null
    wait $!
}

# A file that says that the motors' losses are hardly known: no difference can be told then.
hardly_known() {
    cat >wide.yaml <<'TEXT'
name: Hardly known
invented: true
uncertain:
  gears: {of: [trucks.electric_axle.drive_units.rear.gearbox.efficiencies], relative: 0.1, shape: rectangular, source: invented}
TEXT
    cat >narrow-gears.yaml <<TEXT
name: Known gears
invented: true
cycle: {use: $road}
load_case: {payload_kg: 22800}
trucks:
  central: {use: $central}
  electric_axle: {use: $eaxle, drive_units: {rear: {gearbox: {efficiencies: [0.9, 0.9]}}}}
TEXT
}

# Whether what a document says of each pair follows from itself: ends by the normal distribution about the logarithm of the
# ratio with the slopes in quadrature, the word from the ends, shares that sum up to one and fall.
follows_from_itself='
    [.uncertainty.pairs[] | .own, .common | select(.first_order != null) | . as $b |
     ([.shares[].slope_percent | . * .] | add | sqrt) as $s |
     ($b.first_order.standard_percent - $s | fabs) < 1e-9 and
     (1 + $b.first_order.percent / 100 | log) as $x | (1.6448536269514722 * $s / (100 + $b.first_order.percent)) as $reach |
     ($b.first_order.low_percent - 100 * (($x - $reach | exp) - 1) | fabs) < 1e-6 and
     ($b.first_order.high_percent - 100 * (($x + $reach | exp) - 1) | fabs) < 1e-6 and
     ($b.told.apart == (if $b.told.high_percent < 0 then "lower" elif $b.told.low_percent > 0 then "higher" else "cannot_be_told_apart" end)) and
     ([$b.shares[].share] | (add - 1 | fabs) < 1e-9 and . == (sort | reverse)) and
     ([$b.shares[] | .half_high_percent - .half_low_percent <= $b.told.high_percent - $b.told.low_percent + 1e-9] | all)
    ] | length > 0 and all'

@test "a short route tells it unasked, by first order; terminal, JSON and CSV tell the same" {
    COLUMNS=200 "$EVENER" compare "$hump" >page.txt
    cp "$BATS_FILE_TMPDIR/hump.json" out.json
    cp "$BATS_FILE_TMPDIR/r.csv" .
    jq -e "$follows_from_itself" out.json
    jq -e '.uncertainty | .state == "found" and .method == "first_order" and .work <= .work_unasked and .partial == false and .draws_done == 0' out.json
    jq -e '.trucks[1].common.percent.kwh_per_km == .uncertainty.pairs[0].common.told.percent' out.json
    jq -e '.answer.common.leading == ["electric_axle"] and .uncertainty.best_against_next == {truck: "electric_axle", other: "central"}' out.json
    page=$(flat "$(<page.txt)")
    told=$(jq -r '.uncertainty.pairs[0].common.told | "\(.low_percent) \(.high_percent)"' out.json)
    # shellcheck disable=SC2086 # two numbers
    [[ $page == *"$(printf '(90 %% interval %+.1f to %+.1f %% by first order; probability that it is lower ' $told)"* ]]
    for basis in own common; do
        told=$(jq -r ".uncertainty.pairs[0].$basis.told | \"\(.low_percent) \(.high_percent)\"" out.json)
        # shellcheck disable=SC2086 # two numbers
        [[ $page == *"$(printf '%+.1f to %+.1f' $told)"* ]]
    done
    head -1 r.csv | grep -q ',percent,interval_low_percent,interval_high_percent,probability_lower,apart,apart_by$'
    grep '^electric_axle,.*,common,' r.csv | grep -q ',lower,first_order$'
    grep '^central,.*,common,' r.csv | grep -q ',,,,,,$'
    # The five data that bring most, in their order.
    jq -r '.uncertainty as $u | $u.pairs[0].common.shares[:5][] | $u.data[.datum].label' out.json >labels.txt
    [ "$(wc -l <labels.txt)" -eq 5 ]
    at=${page#*What to measure next}
    while read -r label; do
        [[ $at == *"$label"* ]]
        at=${at#*"$label"}
    done <labels.txt
}

@test "where nobody can tell no truck is called the lowest, in any medium" {
    hardly_known
    run --separate-stderr "$EVENER" compare narrow-gears.yaml --uncertain wide.yaml --csv r.csv
    [ "$status" -eq 0 ]
    page=$(flat "$output")
    [[ $page == *"At the common speed, not like for like, central drive (1."*" kWh/km) and electric axle (1."*" kWh/km) cannot be told apart in energy consumption: that of electric axle is "*"; at own speeds they cannot be told apart either."* ]]
    [[ $page != *"the lowest energy"* && $page != *"are the layouts' doing"* && $page == *" not apart"* ]]
    "$EVENER" compare narrow-gears.yaml --uncertain wide.yaml --json >out.json
    jq -e "$follows_from_itself" out.json
    jq -e '[.answer.own.leading, .answer.common.leading] | all(length == 2)' out.json
    jq -e '.uncertainty.pairs[0].common | .told.apart == "cannot_be_told_apart" and .shares[0].share > 0.9' out.json
    jq -e '.uncertainty as $u | $u.data[$u.pairs[0].common.shares[0].datum] | (.file | endswith("wide.yaml")) and .line == 4 and .by_default == false and .shape == "rectangular"' out.json
    grep '^electric_axle,.*,common,' r.csv | grep -q ',cannot_be_told_apart,first_order$'
    # The same trucks with what is usual for the keys: then it can be told.
    "$EVENER" compare narrow-gears.yaml --json | jq -e '.answer.common.leading == ["central"]'
}

@test "--uncertainty off: no interval, and half a percentage point is the rule of thumb" {
    run --separate-stderr "$EVENER" compare "$hump" --uncertainty off --csv r.csv
    [[ $(flat "$output") == *"Not asked how sure this is (--uncertainty off): --uncertainty first-order or --draws 256 asks. Two trucks less than 0.5 percentage points apart are not told apart (common practice, no source)."* ]]
    [[ $output != *interval* && $output != *"How sure:"* && $(flat "$output") == *"uncertainty of a few per cent of their own"* ]]
    run ! grep -q interval r.csv
    "$EVENER" compare "$hump" --uncertainty off --json | jq -e '.uncertainty | .state == "off" and (has("pairs") | not)'
    printf 'name: Close\ninvented: true\ncycle: {use: %s}\ntrucks:\n  a: {use: %s}\n  b: {use: %s, auxiliaries: {power_kw: 5.4}}\n' "$road" "$central" "$central" >close.yaml
    "$EVENER" compare close.yaml --uncertainty off --json >out.json
    jq -e '.trucks[1].common.percent.kwh_per_km | fabs | . > 0.05 and . < 0.5' out.json
    jq -e '.answer.common.leading | length == 2' out.json
    "$EVENER" compare close.yaml --uncertainty off >page.txt
    [[ $(flat "$(<page.txt)") == *"At the common speed, not like for like, central drive (a) ("*") and central drive (b) ("*") cannot be told apart in energy consumption: "* ]]
}

@test "a long route says how to ask, counted and not timed" {
    printf 'name: Long\ninvented: true\ncycle: {use: %s}\ntrucks:\n  a: {use: %s}\n  b: {use: %s}\n' "$root/cycles/scenarios/delivery-day.yaml" "$central" "$eaxle" >long.yaml
    "$EVENER" compare long.yaml --json >out.json
    "$EVENER" compare long.yaml >page.txt
    jq -e '.uncertainty | .state == "too_much" and .work > .work_unasked and (has("pairs") | not)' out.json
    [[ $(flat "$(<page.txt)") == *"To compute how sure this is takes many runs ($(jq '.uncertainty.work | round' out.json) uncertain data x trucks x km, and unasked at most 1000 are driven); --uncertainty first-order or --draws 256 computes it, --uncertainty off goes without."* ]]
    # said once, in the answer; the ranking's rows have the word of it
    [ "$(flat "$(<page.txt)" | grep -o 'was not computed' | wc -l)" -eq 1 ]
    [[ $(flat "$(<page.txt)") == *" not computed "* && $(flat "$(<page.txt)") != *"not found"* ]]
    # the figures stay, and no medium gives a word
    jq -e '.trucks[1].common.percent.kwh_per_km | fabs > 2' out.json
    jq -e '[.. | objects | select(has("leading")) | .leading] | length > 0 and all(length == 0)' out.json
    [[ $(flat "$(<page.txt)") == *" by the data as they are stated; how sure that is was not computed, and none is called the lowest."* ]]
    [[ $(flat "$(<page.txt)") != *"the lowest "*" is that of"* && $(flat "$(<page.txt)") != *"cannot be told apart in"* ]]
}

@test "draws: their number and seed are told; the same bytes at any number of threads, others with another seed" {
    "$EVENER" compare "$hump" --draws 20 --threads 1 >one.txt
    "$EVENER" compare "$hump" --draws 20 --threads 3 >three.txt
    cmp one.txt three.txt
    page=$(flat "$(<one.txt)")
    [[ $page == *" % by 20 draws, mean "*" %; probability that it is lower "* ]]
    [[ $page == *"At the common speed by 20 draws (seed 0) of "*"all trucks in the same draw"*"Standard errors of sampling: at most "* ]]
    [[ $page == *"Where trucks limit the common speed it is that of trucks 4 % heavier"* ]]
    "$EVENER" compare "$hump" --draws 20 --seed 7 --json >seven.json
    "$EVENER" compare "$hump" --draws 20 --json >none.json
    jq -e "$follows_from_itself" none.json
    jq -e '.uncertainty | .method == "draws" and .draws_asked == 20 and .draws_done == 20 and .seed == 0' none.json
    jq -e '.uncertainty.pairs[0] | .common.told.by == "draws" and .own.told.by == "first_order" and .own.draws == null and .common.draws.draws == 20' none.json
    jq -e '.uncertainty.pairs[0].common.draws | .low_error_percent > 0 and .low_percent < .mean_percent and .mean_percent < .high_percent' none.json
    jq -e --slurpfile other seven.json '.uncertainty.pairs[0].common | .draws.mean_percent != $other[0].uncertainty.pairs[0].common.draws.mean_percent and .first_order == $other[0].uncertainty.pairs[0].common.first_order' none.json
}

@test "exit 2: what does not fit together is refused before anything is driven" {
    hardly_known
    for case in "--draws 18|no multiple of 4" "--draws 8|16" "--draws 16 --uncertainty off|another --uncertainty than draws" \
        "--draws 16 --uncertainty first-order|another --uncertainty than draws" "--seed 3|--seed without draws" \
        "--uncertain wide.yaml --uncertainty off|--uncertain with --uncertainty off" "--uncertainty maybe|first-order"; do
        # shellcheck disable=SC2086 # some words
        run -2 --separate-stderr "$EVENER" compare "$hump" ${case%%|*}
        [[ $stderr == *"${case#*|}"* ]]
        [ -z "$output" ]
    done
    sed 's/efficiencies\]/efficiences]/' wide.yaml >wrong.yaml
    run -2 --separate-stderr "$EVENER" compare narrow-gears.yaml --uncertain wrong.yaml
    [[ $stderr == *"wrong.yaml:4:"*"efficiencies"* ]]
    [ -z "$output" ]
    run -2 --separate-stderr "$EVENER" compare "$hump" --draws 16 --seed -1
    [[ $stderr == *"a whole number from 0 to 9007199254740991 was expected"* ]]
}

@test "what a lineup states wrongly is told unasked too, not taken for too much work" {
    sed "s#\.\./trucks/#$root/tests/vehicles/trucks/#; s#\.\./routes#$root/tests/vehicles/routes#" "$hump" >stated.yaml
    printf 'uncertain:\n  air: {of: [body.drag_aera_m2], half_width: 0.1}\n' >>stated.yaml
    run -2 --separate-stderr "$EVENER" compare stated.yaml
    [[ $stderr == *"stated.yaml:"*"no key 'drag_aera_m2' in body"* ]]
    [[ $output != *"nan"* ]]
}

@test "trucks that are the same have nothing to measure next" {
    run --separate-stderr "$EVENER" compare "$central" "$central" --cycle "$road" --uncertainty first-order
    [[ $(flat "$output") == *" cannot be told apart"* ]]
    [[ $output != *"What to measure next"* ]]
}

@test "an interrupt leaves what was found by then, marked as partial, and no file" {
    run --separate-stderr interrupted_after 5 "$EVENER" compare "$hump" --draws 16384 --csv r.csv
    [ "$status" -eq 3 ]
    [ ! -e r.csv ]
    [[ $(flat "$output") == *" Partial: stopped after "*" of 16384 draws"* ]]
    [[ $output != *"Ask for more: --draws"* ]] # all that were asked for would do
    [[ $output == *"Side by side at their own speeds"* ]]
    [[ $output != *"by 0 draws"* ]]
}

@test "an interrupt before any interval says by what trucks are told apart, and tells of no draws" {
    run --separate-stderr interrupted_after 1 "$EVENER" compare "$demo" --draws 16384
    [ "$status" -eq 3 ]
    [[ $output != *"by 0 draws"* && $output != *"too narrow"* && $output != *"on which the intervals rest"* ]]
    run --separate-stderr interrupted_after 1 "$EVENER" compare "$demo" --draws 16384 --json
    [ "$status" -eq 3 ]
    # Whatever it came to: found where anything is told, and none leads where nothing is.
    jq -e '.uncertainty | (.pairs // []) as $p | if any($p[]; .common.told or .own.told) then .state == "found"
           else .state == "not_found" and (.why_not | length) > 0 end' <<<"$output"
    jq -e '(.uncertainty.pairs // []) as $p | .answer as $a
           | all("own", "common"; . as $b | (any($p[]; .[$b].told) or ($a[$b].leading | length) < 2))' <<<"$output"
}

@test "--beside is held to the same rule, on each side by its own data" {
    hardly_known
    "$EVENER" compare narrow-gears.yaml --beside "$hump" --json >out.json
    jq -e '.beside | .answer == "other" and (.here.close or .there.close | not)' out.json
    "$EVENER" compare narrow-gears.yaml --beside "$hump" --uncertain wide.yaml --json >out.json
    jq -e '.beside | .answer == "open" and .here.close and (.there.close | not) and .trucks[1].against_first == "open"' out.json
    "$EVENER" compare narrow-gears.yaml --beside "$hump" --uncertain wide.yaml >page.txt
    [[ $(flat "$(<page.txt)") == *": at the common speed not both tell which truck is lowest. Here "*" cannot be told apart; there electric axle is "*"In one of them the two cannot be told apart: these data do not decide."* ]]
}

@test "the picture stands behind the ranking and ranks the trucks by what the document says, within the window, in letters that it has" {
    cp "$BATS_FILE_TMPDIR/hump.json" out.json
    for columns in 60 80 140; do
        COLUMNS=$columns "$EVENER" compare "$hump" --plot >told.txt
        [ "$(grep -oE '^(Ranking|Ranked|At the common|Along the)' told.txt | tr '\n' ' ')" = 'Ranking Ranked At the common Along the ' ]
        sed -n '/^Ranked/,/^At the common/p' told.txt >picture.txt
        [ "$(wc -L <picture.txt)" -le "$columns" ]
        grep -q "^  electric axle .*├─*●─*┤ *│ *$(jq -r '.trucks[1].common.percent.kwh_per_km' out.json | xargs printf '%.1f')" picture.txt
        grep -q '^  central drive  *●  0.0$' picture.txt
    done
    LC_ALL=C "$EVENER" compare "$hump" --plot | sed -n '/^Ranked/,/^At the common/p' >plain.txt
    run ! grep -qP '[^\x00-\x7f]' plain.txt
    grep -q '^  electric axle .*\[-*o-*\] *: ' plain.txt
    "$EVENER" compare "$hump" --plot --uncertainty off | sed -n '/^Ranked/,/^At the common/p' >bare.txt
    run ! grep -q '├' bare.txt
    grep -q 'not asked how sure' bare.txt
}

@test "the page tells the same intervals, sentences and data as the document" {
    has_pages || skip "built without pages"
    cp "$BATS_FILE_TMPDIR/hump.json" out.json
    cp "$BATS_FILE_TMPDIR/page.html" .
    sed -n '/<section id="sure"/,/<\/section>/p' page.html | sed 's/<[^>]*>/ /g; s/&#160;/ /g; s/−/-/g' | tr -s ' \n' ' ' >sure.txt
    interval=$(jq -r '.uncertainty.pairs[0].common.told | "\(.low_percent) \(.high_percent)"' out.json)
    # shellcheck disable=SC2086 # two numbers
    [[ $(<sure.txt) == *" Difference against central drive at the common speed "*" $(printf '%.1f to %.1f' $interval) "*" lower by first order "* ]]
    [[ $(<sure.txt) == *" What the data bring into the difference of electric axle against central drive at the common speed, by first order "* ]]
    [[ $(<sure.txt) == *"By first order: each of $(jq '.uncertainty.data | length' out.json) uncertain data moved"* ]]
    [[ $(<sure.txt) == *" All uncertain data ($(jq '.uncertainty.data | length' out.json)) "* ]]
}

@test "why a truck did not finish in some draws is told to its end, and of changes of single data at which speeds" {
    printf 'name: Small\ninvented: true\nuncertain:\n  charge: {of: [trucks.central.battery.capacity_ah], relative: 0.5, source: invented}\n' >small.yaml
    long=$(printf 'ä%.0s' {1..170})
    "$EVENER" compare "$hump" --uncertain small.yaml --draws 16 --start-soc 0.08 --set "trucks.central.name=$long" --json >out.json 2>said.txt || true
    jq -e --arg name "$long" '.uncertainty.failed_by_truck[0].reason | startswith("the usable charge of " + $name) and contains("; expected ")' out.json
    [[ $(<said.txt) == *" changes of one datum by its standard uncertainty, at the common speed, central does not finish: "* ]]
    [[ $(<said.txt) == *" changes of one datum by its standard uncertainty, at own speeds, central does not finish: "* ]]
}

@test "which draws and changes failed is told in the page beside how sure it is, as the document has it; nothing where none did" {
    has_pages || skip "built without pages"
    printf 'name: Small\ninvented: true\nuncertain:\n  charge: {of: [trucks.central.battery.capacity_ah], relative: 0.5, source: invented}\n' >small.yaml
    "$EVENER" compare "$hump" --uncertain small.yaml --draws 16 --start-soc 0.08 --page failed.html --json >out.json 2>/dev/null || true
    sed -n '/<section id="sure"/,/<\/section>/p' failed.html >sure.html
    jq -r '.findings[] | select(.fault == "draws_failed") | .text | sub("^[-a-z0-9_]+: "; "")' out.json >texts.txt
    count=$(wc -l <texts.txt)
    [ "$count" -ge 3 ]
    [ "$(grep -o "To be noted, $count findings" sure.html | wc -l)" -eq 1 ]
    [ "$(sed -n '/To be noted/,/<\/details>/p' sure.html | grep -c '</li>')" -eq "$count" ]
    while read -r text; do
        grep -qF "$text</li>" sure.html
    done <texts.txt
    sed -n '/<section id="sure"/,/<\/section>/p' "$BATS_FILE_TMPDIR/page.html" >sound.html
    [ -s sound.html ]
    run ! grep -q 'To be noted' sound.html
}

@test "a truck that often does not finish is called neither lower nor higher, in any medium and on no basis" {
    printf 'name: Small\ninvented: true\nuncertain:\n  charge: {of: [trucks.central.battery.capacity_ah], relative: 0.5, source: invented}\n' >small.yaml
    "$EVENER" compare "$hump" --uncertain small.yaml --draws 32 --start-soc 0.08 --set trucks.central.auxiliaries.power_kw=9 --csv r.csv --json >out.json 2>said.txt || true
    jq -e '.uncertainty.pairs[0] | .common.told.high_percent < 0 and .own.told.high_percent < 0' out.json # else anything would do
    jq -e '.uncertainty.pairs[0] | [.common, .own] | all(.told.apart == "cannot_be_told_apart" and .told.fails_often)' out.json
    jq -e '[.answer.own.leading, .answer.common.leading] | all(length == 2)' out.json
    run ! grep -q ',lower,' r.csv
    COLUMNS=120 "$EVENER" compare "$hump" --uncertain small.yaml --draws 32 --start-soc 0.08 --set trucks.central.auxiliaries.power_kw=9 >page.txt 2>said.txt || true
    draws=$(jq '.uncertainty.pairs[0].common.told.draws' out.json)
    [ "$draws" -lt 30 ]
    page=$(flat "$(<page.txt)")
    [[ $page == *" cannot be told apart in energy consumption: "*"; of the $draws of 32 draws in which both finish: in the others central drive does not); at own speeds they cannot be told apart either."* ]]
    [[ $page != *"the lowest energy"* && $page == *"% not apart"* ]]
}

@test "fewer draws than tell a word say so" {
    "$EVENER" compare "$hump" --draws 16 >page.txt
    page=$(flat "$(<page.txt)")
    [[ $page == *" cannot be told apart in energy consumption: "*" hangs on the draws: 16 are fewer than the 20 that tell a word. Ask for more: --draws 64."* ]]
}

@test "where the first truck stalls, How sure says against which one the others are held, and has no row for it" {
    cat >stuck.yaml <<TEXT
name: Stuck
invented: true
cycle: {use: $road}
load_case: {payload_kg: 22800}
trucks:
  stuck: {use: $central, battery: {discharge_limit_kw: 1}}
  central: {use: $central}
  electric_axle: {use: $eaxle}
TEXT
    page=()
    if has_pages; then page=(--page page.html); fi
    COLUMNS=120 run --separate-stderr "$EVENER" compare stuck.yaml --uncertainty first-order "${page[@]}"
    [ "$status" -eq 1 ]
    against=$(sed -n '/^Ranking/,/^$/p' <<<"$output" | tr '\n' ' ' | sed 's/.* % against //; s/ *$//')
    [ -n "$against" ]
    [[ $against != *stuck* ]]
    [[ $output == *"How sure: energy consumption against $against"* ]]
    rows=$(sed -n '/^  own speeds, %/,/^$/p' <<<"$output")
    [ "$(wc -l <<<"$rows")" -eq 2 ]
    [[ $rows != *stuck* && $rows == *"lower"* ]]
    [ -e page.html ] || return 0
    grep -q "Difference against $against at own speeds" page.html
    sed -n '/<section id="sure"/,/<\/section>/p' page.html | grep -q 'colspan="4" class="words">not computed: one of them did not finish'
}
