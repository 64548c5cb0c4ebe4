#!/usr/bin/env bats
# The page that --page writes, and that page in a browser. Browser and npm are not everywhere: without them the looks
# are skipped, and the file alone is tested.

setup_file() {
    export root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    export pages=$BATS_FILE_TMPDIR/pages
    CHROMIUM=$(command -v chromium || command -v chromium-browser || command -v google-chrome || true)
    export CHROMIUM
    mkdir -p "$pages"
    has_pages || return 0
    make_pages
    [ -n "$CHROMIUM" ] && bring_packages && node "$root/tests/page/look.mjs" "$pages" >"$pages/looks.log" 2>&1
    true
}

setup() {
    bats_require_minimum_version 1.5.0
    here=$BATS_TEST_TMPDIR
    cd "$root" || return 1
}

has_pages() { ! "$EVENER" drive none.yaml none.yaml --page "$pages/probe.html" 2>&1 | grep -q 'built without pages'; }

# Packages stay in the build folder from one run of the tests to the next.
bring_packages() {
    local kept=${EVENER_BUILD:-$pages}/page-tests
    mkdir -p "$kept"
    if ! cmp -s "$root/tests/page/package-lock.json" "$kept/fetched"; then
        cp "$root"/tests/page/package*.json "$kept/"
        (cd "$kept" && npm ci --ignore-scripts --no-audit --no-fund --loglevel=error) || return 1
        cp "$kept/package-lock.json" "$kept/fetched"
    fi
    ln -sfn "$kept" "$pages/packages"
}

make_pages() {
    cd "$root" || return 1
    local central=tests/vehicles/trucks/tractor-4x2-central.yaml two=tests/vehicles/trucks/tractor-4x2-two-eaxles.yaml
    local hill=cycles/scenarios/hill.yaml
    printf '%s\n' 'name: Flat' 'invented: true' 'length_m: 3000' 'speed: {place_m: [0], limit_km_h: [40]}' >"$pages/flat.yaml"
    "$EVENER" compare "$central" "$two" --cycle "$hill" --page "$pages/compare.html" --json >"$pages/compare.json"
    "$EVENER" drive "$two" "$hill" --page "$pages/drive.html" --trace "$pages/drive.csv" --json >"$pages/drive.json"
    "$EVENER" drive "$two" "$hill" --page "$pages/loads.html" --collective "$pages/loads.csv" --json >"$pages/loads.json"
    "$EVENER" drive tipper-8x4-two-eaxles tipper-back --page "$pages/back.html" --json >"$pages/back.json"
    "$EVENER" drive tipper-8x4-two-eaxles tipper-back --start-soc 0.94 --page "$pages/full.html" --json >"$pages/full.json"
    local family # how sure their differences are, no look asks of them
    for family in "rigid-6x2-central rigid-6x2-eaxle rigid-6x4-two-eaxles" \
        "tipper-8x4-central tipper-8x2-eaxle tipper-8x4-two-eaxles" "tractor-6x4-central tractor-6x2-eaxle tractor-6x4-two-eaxles"; do
        # shellcheck disable=SC2086 # three names
        "$EVENER" compare $family --cycle "$hill" --uncertainty off --page "$pages/${family%%-*}.html" --json >"$pages/${family%%-*}.json"
    done
    "$EVENER" drive tests/trucks/friction-brakes.yaml "$hill" --page "$pages/held.html" --json >"$pages/held.json"
    "$EVENER" drive "$central" "$hill" --set brakes.distribution=ideal --page "$pages/ideal.html" >/dev/null
    "$EVENER" compare --uncertainty off tests/trucks/single-speed.yaml tests/trucks/cooled.yaml tests/trucks/retarder.yaml --cycle "$hill" \
        --page "$pages/parts.html" --json >"$pages/parts.json"
    "$EVENER" limits tipper-8x4-central tipper-8x2-eaxle tipper-8x4-two-eaxles --start-grade-percent 15 --start-surface soil \
        --page "$pages/limits.html" --json >"$pages/limits.json" || [ $? -eq 1 ] # not all of them do what is demanded
    local trucks=tests/vehicles/trucks
    "$EVENER" compare $trucks/tractor-4x2-central.yaml $trucks/tractor-6x4-central.yaml $trucks/tractor-6x4-eaxle.yaml \
        $trucks/tractor-6x4-two-eaxles.yaml --cycle "$hill" --uncertainty first-order --payload-kg 80000 --page "$pages/stalled.html" \
        --json >"$pages/stalled.json" || [ $? -eq 1 ] # two of them stall
    "$EVENER" compare $trucks/*.yaml --cycle sort-1 --uncertainty first-order --page "$pages/twelve.html" --json >"$pages/twelve.json"
    "$EVENER" site tipper-8x4-central tipper-8x2-eaxle tractor-6x2-central --page "$pages/site.html" --json >"$pages/site.json"
    "$EVENER" site tipper-8x4-central vehicles/trucks/defaults/tipper-8x4-central-defaults.yaml --page "$pages/twins.html" >/dev/null # other losses, the same frame
    "$EVENER" limits "$two" --page "$pages/able.html" --json >"$pages/able.json"
    "$EVENER" compare tipper-back --beside tipper-back-defaults --page "$pages/beside.html" --json >"$pages/beside.json"
    "$EVENER" drive tipper-8x4-two-eaxles cycles/scenarios/quarry-descent.yaml --page "$pages/down.html" --json >"$pages/down.json"
    "$EVENER" compare tests/vehicles/lineups/demo.yaml --why --uncertainty off --set trucks.electric_axle.auxiliaries.power_kw=7 \
        --set trucks.electric_axle.body.drag_area_m2=5.6 --page "$pages/why.html" --json >"$pages/why.json"
    "$EVENER" drive "$central" "$pages/flat.yaml" --page "$pages/flat.html" --json >"$pages/flat.json"
    "$EVENER" drive "$central" cycles/duties/hill-rounds.yaml --page "$pages/day.html" --json >"$pages/day.json"
    "$EVENER" compare tests/vehicles/lineups/hill-rounds.yaml --page "$pages/days.html" >/dev/null
    # Names of sixty letters, with blanks and without; identifiers of trucks that have no short name.
    printf '%s\n' 'name: Names of sixty letters' 'invented: true' "cycle: {use: $root/tests/vehicles/routes/hump.yaml}" trucks: \
        "  battery_electric_tractor_with_a_central_drive_and_two_motors: {use: $root/tests/trucks/four-speed.yaml}" \
        "  Langernameabcdefghijabcdefghijabcdefghijabcdefghijabcdefghij: {use: $root/tests/trucks/single-speed.yaml}" >"$pages/names.yaml"
    "$EVENER" compare "$pages/names.yaml" --uncertainty off --page "$pages/names.html" --json >"$pages/names.json"
    make_named
    make_payback
    make_assess
    "$EVENER" keys --results --json >"$pages/results.json"
    "$EVENER" drive tests/vehicles/trucks/tractor-4x2-central.yaml "$hill" --page "$pages/central.html" --json >"$pages/central.json"
    "$EVENER" drive "$two" cycles/reference/urban-schedule-heavy.yaml --page "$pages/city.html" --json >"$pages/city.json"
    "$EVENER" drive "$central" "$hill" --set 'name="<script>touched=1</script>"' \
        --set 'cycle.name="</title><img src=x onerror=touched=2>"' --page "$pages/hostile.html" >/dev/null
}

# Three trucks with names as wide as files allow: forty capitals, with blanks and without. The first takes neither least nor most.
make_named() {
    printf '%s\n' 'name: Wide names' 'invented: true' "cycle: {use: $root/tests/vehicles/routes/hump.yaml}" 'load_case: {payload_kg: 9000}' trucks: \
        "  b: {use: $root/tests/trucks/single-speed.yaml, short_name: 'KARNHOLT SINGLE ELECTRIC AXLE ABCDE, 8X2'}" \
        "  a: {use: $root/tests/trucks/four-speed.yaml, short_name: 'KARNHOLT CENTRAL DRIVE, FOUR SPEEDS, 8X4'}" \
        "  c: {use: $root/tests/trucks/retarder.yaml, short_name: 'KARNHOLTMITEINEMLANGENNAMENOHNELUECKEN42'}" >"$pages/wide.yaml"
    "$EVENER" compare "$pages/wide.yaml" --page "$pages/wide.html" --json >"$pages/wide.json"
}

# Two trucks over a day of six kilometres, with prices of which two err.
make_payback() {
    printf '%s\n' 'name: A short day' 'invented: true' 'day:' '  - leg: {name: out, cycle: {use: flat.yaml}, payload_kg: 8000}' \
        '  - leg: {name: home, cycle: {use: flat.yaml}, direction: back}' 'working_days_per_year: 200' 'demands: {reserve_soc: 0.1}' >"$pages/short.yaml"
    local truck="use: $root/tests/trucks/ideal.yaml, battery: {resistance_ohm: 0.1, mass_kg: 2000}"
    printf '%s\n' 'name: Heavier but sleeker' 'invented: true' 'duty: {use: short.yaml}' trucks: "  plain: {$truck}" \
        "  sleek: {$truck, body: {drag_area_m2: 4.6}, axles: {rear: {mass_kg: 1290}}}" >"$pages/pair.yaml"
    sed -e 's/^years: .*/years: 5/' -e '/^  final_drive:/s/, per_kg: [0-9.]*//' -e '/^uncertain/,$d' "$root/vehicles/prices/fleet.yaml" >"$pages/prices.yaml"
    printf '%s\n' 'uncertain:' '  energy: {of: [energy.depot.tariff.price_per_kwh], relative: 0.3, source: invented}' \
        '  axles: {of: [parts.axle.per_kg], half_width: 3, source: invented}' >>"$pages/prices.yaml"
    "$EVENER" payback "$pages/pair.yaml" --prices "$pages/prices.yaml" --annual-km 90000 --draws 256 --energy-percent 3 \
        --page "$pages/payback.html" --json >"$pages/payback.json"
}

# The same day with more demands: a truck that passes all but what is not known, one that is marginal, one that fails; five of them
# are more than stand side by side. The sleek one of two costs least and fails a rule.
make_assess() {
    local demands='demands: {reserve_soc: 0.1, abilities: {start_grade_percent: 10}, spare_percent: 2'
    local rules='rules: {name: own, invented: true, clauses: {gross: {limits: mass, most_kg: 18000, status: own, source: invented}}}}'
    sed "s|^demands: .*|$demands, payback_years: 6, $rules|" "$pages/short.yaml" >"$pages/asked.yaml"
    sed "s|^demands: .*|$demands, $rules|" "$pages/short.yaml" >"$pages/ruled.yaml"
    local truck="use: $root/tests/trucks/ideal.yaml, battery: {resistance_ohm: 0.1, mass_kg: 2000}"
    printf '%s\n' 'name: Three on a short day' 'invented: true' 'duty: {use: asked.yaml}' trucks: "  plain: {$truck}" \
        "  fuller: {$truck, body: {mass_kg: 6000}}" "  heavy: {$truck, body: {mass_kg: 7000}}" >"$pages/three.yaml"
    { cat "$pages/three.yaml" && printf '%s\n' "  fourth: {$truck}" "  fifth: {$truck, body: {mass_kg: 6700}}"; } >"$pages/five.yaml"
    "$EVENER" assess "$pages/three.yaml" --page "$pages/assess.html" --json >"$pages/assess.json"
    "$EVENER" assess "$pages/five.yaml" --page "$pages/assess-many.html" --json >"$pages/assess-many.json"
    "$EVENER" assess tipper-assess --only-standing --page "$pages/assess-tipper.html" --json >"$pages/assess-tipper.json" || [ $? -eq 1 ]
    sed -e 's/short.yaml/ruled.yaml/' -e 's/drag_area_m2: 4.6/mass_kg: 6200, drag_area_m2: 3/' "$pages/pair.yaml" >"$pages/ruled-pair.yaml"
    "$EVENER" compare "$pages/ruled-pair.yaml" --uncertainty off --page "$pages/standing.html" --json >"$pages/standing.json" || [ $? -eq 1 ]
    "$EVENER" payback "$pages/ruled-pair.yaml" --prices "$pages/prices.yaml" --own-batteries --page "$pages/standing-costs.html" \
        --json >"$pages/standing-costs.json" || [ $? -eq 1 ]
}

needs_pages() { [ -e "$pages/compare.html" ] || skip "built without pages"; }

# What look.mjs found; with the whole of it where it was not fine.
look() {
    needs_pages
    [ -n "$CHROMIUM" ] || skip "there is no Chromium here"
    [ -e "$pages/packages/fetched" ] || skip "the packages for it could not be fetched"
    cat "$pages/looks.log"
    cat "$pages/looks/$1"
    [ "$(cat "$pages/looks/$1")" = fine ]
}

@test "a comparison draws every chart, complains of nothing and asks for nothing" {
    look compare_draws_every_chart_and_asks_for_nothing
}

@test "a run draws every chart, complains of nothing and asks for nothing" {
    look drive_draws_every_chart_and_asks_for_nothing
}

@test "limits draw every chart, complain of nothing and ask for nothing" {
    look limits_draw_every_chart_and_ask_for_nothing
}

@test "each figure of limits is that of the JSON document, with what binds it and what would next, without scripts" {
    look figures_of_limits_are_those_of_the_document
}

@test "pages of limits are whole in a window 375 pixels wide" {
    look pages_of_limits_are_whole_on_a_narrow_screen
}

@test "no serious barrier to access in a page of limits, in light and in dark" {
    look pages_of_limits_have_no_serious_barrier
}

@test "braking is told as the document has it" {
    look braking_is_told_as_the_document_has_it
}

@test "the wheel force says that its adhesion is that of the level, and judges no grade by it" {
    look wheel_force_is_told_as_of_the_level
}

@test "what stands beside the braking says that it is no target and no verdict" {
    look the_yardsticks_of_braking_say_what_they_are
}

@test "charts of braking are whole on a narrow screen" {
    look charts_of_braking_are_whole_on_a_narrow_screen
}

@test "load collectives are those of the JSON document and of the CSV file" {
    look load_collectives_are_those_of_the_document
}

@test "all trucks are ranked first with their intervals, those of the JSON document, also 390 pixels wide and in the dark" {
    look trucks_are_ranked_with_their_intervals
}

@test "a pointer over the route strip shows values of all panels" {
    look hover_shows_values_of_all_panels
}

@test "a pointer shows the values that the trace has at that place" {
    look hover_shows_the_values_of_the_trace_at_that_place
}

@test "dragging over a stretch zooms, and the buttons go back" {
    look dragging_zooms_and_the_buttons_go_back
}

@test "without scripts the answer, who finished and every row are those of the JSON document" {
    look without_scripts_the_answer_is_that_of_the_document
}

@test "without scripts the answer says that the lowest is overloaded, and which heat limited a truck beside what did longer" {
    look without_scripts_loads_and_heat_stand_in_the_answer
}

@test "without scripts a page of a site has each truck's frame as a drawing, and all figures of the document" {
    look without_scripts_a_site_has_frames_and_all_figures
}

@test "without scripts a page of payback tells first which to buy at each distance, that prices are invented, and all figures of the document" {
    look without_scripts_payback_has_the_figures_of_the_document
}

@test "without scripts a page of verdicts has the table first, each verdict by word and sign, and every number of the document" {
    look without_scripts_verdicts_are_those_of_the_document
}

@test "without scripts a page of verdicts is whole on a phone without moving sideways, on paper, and for a finger" {
    look without_scripts_verdicts_are_whole_on_a_phone_and_on_paper
}

@test "without scripts no truck that fails a demand is told as the best without that word beside it" {
    look without_scripts_who_fails_is_told_beside_who_leads
}

@test "charts of payback draw the numbers of the JSON document" {
    look charts_of_payback_are_those_of_the_document
}

@test "charts of payback: no text over text or on bars, cut or beyond the window, no small target; at four widths, in the dark, on paper" {
    look charts_of_payback_are_sound_at_every_width
}

@test "without scripts trucks that look alike share a drawing, captioned with the names of both" {
    look without_scripts_trucks_that_look_alike_share_a_drawing
}

@test "without scripts losses and limits are those of the JSON document" {
    look without_scripts_losses_and_limits_are_those_of_the_document
}

@test "without scripts facts of trucks are those of the JSON document" {
    look without_scripts_facts_of_trucks_are_those_of_the_document
}

@test "without scripts no text lies over another, is cut or reaches beyond the window, 390 and 1440 pixels wide" {
    look without_scripts_pages_are_whole
}

@test "names of sixty letters, with blanks and without, lie on no number of the energy's bars and widen no table, 390 pixels wide" {
    look long_names_have_room
}

@test "bars stand on the side of zero that their values say and have room, beside names of forty capitals, four widths and on paper" {
    look bars_stand_on_their_side
}

@test "on paper what is folded is told, also without scripts" {
    look on_paper_what_is_folded_is_told_without_scripts
    look tables_beside_charts_are_folded_and_printed
}

@test "without scripts the page tells in the order of the terminal, with loads beyond what is permitted" {
    look without_scripts_it_is_told_in_the_order_of_the_terminal
}

@test "without scripts nothing is held against a truck that stalled" {
    look without_scripts_nothing_is_held_against_one_that_stalled
}

@test "which datum to measure next is that of the JSON document" {
    look what_to_measure_next_is_that_of_the_document
}

@test "limits, and the place furthest below the target speed, are those of the JSON document" {
    look the_limits_are_told_as_the_document_has_them
}

@test "a truck that keeps within the margin of its target speed is told as such" {
    look a_truck_that_keeps_within_the_margin_is_told_as_such
}

@test "lines of the energy balance are alike by the rule of the terminal" {
    look lines_are_alike_by_the_rule_of_the_terminal
}

@test "labels of the energy flow of a run stand apart" {
    look flows_of_runs_have_labels_apart
}

@test "labels of the energy flows of comparisons stand apart" {
    look flows_of_comparisons_have_labels_apart
}

@test "marks of the elevation stand where their numbers say, on a level road too" {
    look marks_stand_where_they_say
}

@test "axes end at a value of few decimals" {
    look axes_end_at_few_decimals
}

@test "the hottest winding is that of the JSON document" {
    look the_hottest_winding_is_that_of_the_document
}

@test "peaks of temperatures, with ranges and limits, are those of the JSON document" {
    look peaks_of_temperatures_are_those_of_the_document
}

@test "what a truck does not model or have is left out, and the differences add up" {
    look what_a_truck_does_not_model_or_have_is_left_out
}

@test "how axles share friction braking is told as the file has it" {
    look how_axles_share_friction_is_told_as_the_file_has_it
}

@test "names of trucks bear no verb and begin no sentence" {
    look names_of_trucks_bear_no_verb_and_begin_no_sentence
}

@test "durations are told as in the terminal" {
    look durations_are_told_as_the_shared_list_has_them
}

@test "tables and CSV files hold the numbers of the JSON document" {
    look tables_and_csv_files_hold_the_numbers_of_the_document
}

@test "the CSV file of a run has every row of its trace" {
    look the_csv_of_the_run_has_every_row_of_the_trace
}

@test "no serious barrier to access, in light and in dark" {
    look nothing_is_inaccessible_in_light_or_dark
}

@test "the reader's colour scheme changes page and charts" {
    look the_scheme_of_the_reader_changes_page_and_charts
}

@test "it fits a window 360 pixels wide" {
    look it_fits_a_window_of_360_pixels
}

@test "two trucks side by side are seen in a window 390 pixels wide" {
    look two_trucks_side_by_side_are_seen_at_390_pixels
}

@test "likeness on the page is that of the JSON document, with the tolerances, also 390 pixels wide" {
    look likeness_is_that_of_the_document
}

@test "why: bridge, largest lines and tables are those of the JSON document, also 390 pixels wide" {
    look bridge_and_causes_are_those_of_the_document
}

@test "beside another lineup: the page has what each truck uses with both sets of data and the lines that moved, also 390 pixels wide" {
    look beside_is_that_of_the_document
}

@test "on paper it is light, and no chart is cut" {
    look on_paper_it_is_light_and_no_chart_is_cut
}

@test "printed before scripts came, a page has its charts all the same" {
    look on_paper_charts_are_there_at_once
    look what_is_packed_is_unpacked_at_once
}

@test "on paper no sheet is blank, no chart is parted, and no heading from its chart" {
    look on_paper_no_sheet_is_blank_and_no_chart_parted
}

@test "on paper the route is whole on its sheet" {
    look on_paper_the_route_is_whole_on_its_sheet
}

@test "on a phone no word of a table's head is broken, over a cycle and over days" {
    look no_word_of_a_tables_head_is_broken_on_a_phone
}

@test "on paper flows and temperatures of more than three trucks are small and those of the JSON document" {
    look on_paper_many_trucks_have_their_flows_and_temperatures
}

@test "hostile names stay text" {
    look hostile_names_stay_text
}

@test "how the page was made tells the load case and the driving that were asked for" {
    look how_it_was_made_tells_what_was_asked
}

@test "its policy forbids any network" {
    look the_policy_forbids_any_network
}

@test "charts of comparisons: no text over text or on bars, cut or beyond the window, no small target; at four widths, in the dark, on paper" {
    look charts_of_comparisons_are_sound_at_every_width
}

@test "charts of runs: no text over text or on bars, cut or beyond the window, no small target; at four widths, in the dark, on paper" {
    look charts_of_runs_are_sound_at_every_width
}

@test "charts of three trucks that differ in what they model are sound, widest, narrowest and on paper" {
    look charts_of_three_trucks_are_sound
}

@test "charts of runs downhill are sound, widest, narrowest and on paper" {
    look charts_of_descents_are_sound
}

@test "charts of days, of one truck and of several, are sound, widest, narrowest and on paper" {
    look charts_of_days_are_sound
}

@test "bands of a day are as long as its legs and stops, and its flow begins with what the charger brought" {
    look days_are_those_of_the_document
}

@test "flows of energy sum up, are those of the JSON document, and as thick as they say" {
    look energy_flows_sum_and_are_those_of_the_document
}

@test "on a phone a flow of energy is a list from the largest down" {
    look energy_flows_are_ranked_lists_on_a_phone
}

@test "losses of all trucks stand over one axis" {
    look losses_of_all_trucks_stand_over_one_axis
}

@test "panels of the route share left and right edges at every zoom" {
    look panels_of_the_route_share_their_edges
}

@test "marks of stops stand on the road" {
    look stops_stand_on_the_road
}

@test "limits are bars by place, of the limits and at the places of the JSON document" {
    look limits_stand_where_they_act
}

@test "only a drag of ten pixels zooms the route; buttons and keys do too" {
    look only_a_drag_zooms
}

@test "all that is to be touched is at least 44 pixels high and wide for a finger, on pages of all kinds" {
    look targets_suit_a_finger
}

@test "a finger scrolls over the route, and zooms it only where it was asked to" {
    look a_finger_scrolls
}

@test "on a phone the answer of three trucks is open, and what goes beyond it is folded and printed" {
    look on_a_phone_the_answer_is_open_and_the_rest_folded
}

@test "a browser that goes while it looks is replaced" {
    look a_browser_that_goes_is_replaced
}

@test "checks for text over text, cut text, overflow and small targets find each where it is planted" {
    look checks_of_boxes_find_what_is_planted
}

# ------------------------------------------------------------------------------------------------ the file alone

@test "a page of three trucks over 350 km stays under 1 MB, with how sure as well" {
    needs_pages
    "$EVENER" compare vehicles/lineups/motorway.yaml --uncertainty off --page "$here/motorway.html" >/dev/null
    # What how sure adds hangs on the trucks and their data, not on the road: a short one tells it.
    for asked in off first-order; do
        "$EVENER" compare vehicles/lineups/motorway.yaml --set "cycle.use=$root/cycles/reference/sort-1.yaml" --uncertainty "$asked" \
            --page "$here/$asked.html" >/dev/null
    done
    added=$(($(stat -c %s "$here/first-order.html") - $(stat -c %s "$here/off.html")))
    [ "$added" -gt 10000 ]
    [ "$(($(stat -c %s "$here/motorway.html") + added))" -lt 1000000 ]
}

@test "a page of twelve trucks stays under 1 MB, with how sure as well" {
    needs_pages
    jq -e '.uncertainty.pairs | length > 0' "$pages/twelve.json" >/dev/null
    [ "$(stat -c %s "$pages/twelve.html")" -lt 1000000 ]
}

# The next of best_against_next, and who all are held against, each with its interval; static.mjs holds the page against these sentences.
@test "the short answer of several trucks says against whom it is how sure, the next too, on whom the lowest hangs" {
    needs_pages
    said='def tenth: . * 10 | round / 10 | tostring | if contains(".") then . else . + ".0" end;
        . as $d | ([.trucks[] | {(.name): .short_name}] | add) as $short | .uncertainty.best_against_next as $b |
        .uncertainty.pairs[] | select(.truck == $b.truck) | .common.told as $told |
        "against \($short[.other])\(if .other == $b.other then ", the next," else "" end) 90 % interval \($told.low_percent | tenth) to \($told.high_percent | tenth) % by"'
    jq -r "$said" "$pages/twelve.json" >"$here/said.txt"
    cat "$here/said.txt"
    [ "$(wc -l <"$here/said.txt")" -eq 2 ]
    while read -r words; do
        jq -e --arg words "$words" '.answer.brief[1] | contains($words)' "$pages/twelve.json"
    done <"$here/said.txt"
}

@test "all findings of a comparison stand in its page, those of one truck and those of none" {
    needs_pages
    jq -e '[.findings[].text | startswith("payload_kg is 80000 kg")] | any and (all | not)' "$pages/stalled.json"
    jq -r '.findings[].text | sub("^[-a-z0-9_]+: "; "") | gsub("(?<n>[0-9]) degC"; "\(.n) °C")' "$pages/stalled.json" >"$here/texts.txt"
    while read -r text; do
        grep -qF "$text</li>" "$pages/stalled.html"
    done <"$here/texts.txt"
    grep -qF "To be noted, $(wc -l <"$here/texts.txt") findings" "$pages/stalled.html"
}

@test "results are the same bytes with a page and without" {
    needs_pages
    "$EVENER" drive tests/vehicles/trucks/tractor-4x2-two-eaxles.yaml cycles/scenarios/hill.yaml --json >"$here/plain.json"
    cmp "$here/plain.json" "$pages/drive.json"
}

@test "payback with a page tells the same, and a truck that does no day or no demand has one too" {
    needs_pages
    ask=(payback "$pages/pair.yaml" --prices "$pages/prices.yaml" --annual-km 90000 --own-batteries)
    "$EVENER" "${ask[@]}" --json >"$here/plain.json"
    "$EVENER" "${ask[@]}" --json --page "$here/one.html" | cmp - "$here/plain.json"
    [ "$(stat -c %s "$here/one.html")" -lt 600000 ]
    grep -q 'Invented prices:' "$here/one.html"
    run -2 "$EVENER" "${ask[@]}" --csv "$here/same" --page "$here/same"
    run -2 "$EVENER" "${ask[@]}" --page "$pages/prices.yaml"
    sed 's/^currency: .*/currency: "<i>"/; s/^name: .*/name: "<i>prices"/' "$pages/prices.yaml" >"$pages/hostile-prices.yaml"
    "$EVENER" payback "$pages/pair.yaml" --prices "$pages/hostile-prices.yaml" --own-batteries --draws 16 --page "$here/hostile.html" >/dev/null
    run -1 grep -c '<i>' "$here/hostile.html"
    run -1 "$EVENER" "${ask[@]}" --set trucks.sleek.battery.capacity_ah=3 --page "$here/empty.html"
    grep -q 'sleek: no costs, since its battery runs empty before the day ends' "$here/empty.html"
    sed 's/reserve_soc: 0.1/reserve_soc: 0.1, steepest_start_percent: 30/' "$pages/short.yaml" >"$pages/steep.yaml"
    sed 's/short.yaml/steep.yaml/; s/rear: {mass_kg: 1290}}/rear: {mass_kg: 1290}}, drive_units: {rear: {motors: {a: {peak_torque_nm: 1500}}}}/' "$pages/pair.yaml" >"$pages/steep-pair.yaml"
    run -1 "$EVENER" payback "$pages/steep-pair.yaml" --prices "$pages/prices.yaml" --own-batteries --page "$here/unmet.html"
    grep -q 'class="caution unmet">sleek cannot be bought for this duty: steepest start' "$here/unmet.html"
}

@test "assess with a page tells the same, has no scripts, and writes all of its files or none" {
    needs_pages
    ask=(assess "$pages/three.yaml")
    "$EVENER" "${ask[@]}" --json >"$here/plain.json"
    "$EVENER" "${ask[@]}" --json --page "$here/one.html" --csv "$here/one.csv" --junit "$here/one.xml" | cmp - "$here/plain.json"
    [ -s "$here/one.csv" ] && [ -s "$here/one.xml" ]
    run -1 grep -c '<script' "$here/one.html"
    [ "$(stat -c %s "$here/one.html")" -lt 100000 ]
    run -2 "$EVENER" "${ask[@]}" --csv "$here/same" --page "$here/same"
    run -2 "$EVENER" "${ask[@]}" --page "$pages/asked.yaml"
    "$EVENER" "${ask[@]}" --only-standing --page "$here/standing.html"
    grep -q 'only what needs no day' "$here/standing.html"
    sed 's|^name: .*|name: "<i>three"|; s/  heavy: {/&short_name: "<i>heavy", /' "$pages/three.yaml" >"$pages/hostile-three.yaml"
    "$EVENER" assess "$pages/hostile-three.yaml" --page "$here/hostile.html" >/dev/null
    run -1 grep -c '<i>' "$here/hostile.html"
    grep -q '&#60;i&#62;three' "$here/hostile.html"
}

@test "the same page twice is the same bytes" {
    needs_pages
    for i in 1 2; do
        "$EVENER" drive vehicles/trucks/rigid-6x2-central.yaml cycles/reference/sort-1.yaml --page "$here/page.html" >/dev/null
        mv "$here/page.html" "$here/$i"
    done
    cmp "$here/1" "$here/2"
}

@test "a truck that stalls, and one that stands on a cycle, have pages" {
    needs_pages
    run -1 "$EVENER" drive vehicles/trucks/tractor-4x2-central.yaml cycles/scenarios/hill.yaml --payload-kg 200000 \
        --page "$here/stalled.html"
    grep -q '"status":"stalled"' "$here/stalled.html"
    run -1 "$EVENER" compare vehicles/trucks/tractor-4x2-central.yaml vehicles/trucks/tractor-6x4-two-eaxles.yaml \
        --cycle cycles/scenarios/hill.yaml --payload-kg 200000 --page "$here/none.html"
    [ -s "$here/none.html" ]
}

@test "of many trucks that stop, how far each came and what stopped it stands above the fold that says why" {
    needs_pages
    local trucks=tests/vehicles/trucks
    "$EVENER" compare $trucks/tractor-*.yaml --cycle cycles/scenarios/hill.yaml --uncertainty off --payload-kg 130000 --page "$here/stop.html" \
        --json >"$here/stop.json" 2>/dev/null || [ $? -eq 1 ]
    jq -e '[.reached[] | select(.finished | not)] | length >= 5' "$here/stop.json"
    sed -n '/class="how-far"/,/<\/ul>/p' "$here/stop.html" | sed -n 's/.*: \([0-9.]* of [0-9.]*\)&#160;km\(.*\)<\/li>/\1\2/p' >"$here/told"
    [ "$(<"$here/told")" = "$(jq -r '.reached[] | select(.finished | not) | "\(.distance_km) \(.of_km) \(.doubt != null) \(.reason | if contains("driven tyres carry") then "adhesion" elif contains("the winding of") then "winding temperature" elif contains("motors give") then "motor torque" else "?" end)"' "$here/stop.json" |
        while read -r km of doubt cause; do [ "$doubt" = true ] && doubt=", in doubt" || doubt=; printf '%.2f of %.2f, %s%s\n' "$km" "$of" "$cause" "$doubt"; done)" ]
    [ "$(grep -n -m1 'class="how-far"' "$here/stop.html" | cut -d: -f1)" -lt "$(grep -n -m1 'Truck by truck' "$here/stop.html" | cut -d: -f1)" ]
    grep -qE ', (adhesion|winding temperature|motor torque)' "$here/told"
    # units by their signs on the page, in what was found too
    run ! grep -q 'degC' <(perl -0pe 's/<script.*?<\/script>//gs' "$here/stop.html")
}

@test "a page is written whole or not at all" {
    needs_pages
    mkdir "$here/shut"
    echo old >"$here/old.html"
    run -4 "$EVENER" drive vehicles/trucks/tractor-4x2-central.yaml none.yaml --page "$here/old.html"
    [ "$(cat "$here/old.html")" = old ]
    run -4 "$EVENER" drive vehicles/trucks/tractor-4x2-central.yaml cycles/scenarios/hill.yaml --page "$here/none/page.html"
    [[ $output == *"page.html"* ]]
    run -4 "$EVENER" drive vehicles/trucks/tractor-4x2-central.yaml cycles/scenarios/hill.yaml --page /dev/full
    [ -z "$(ls "$here/shut")" ]
}

@test "a page does not overwrite what is read" {
    needs_pages
    cp vehicles/lineups/demo.yaml "$here/demo.yaml"
    run -2 "$EVENER" drive vehicles/trucks/tractor-4x2-central.yaml cycles/scenarios/hill.yaml \
        --page cycles/scenarios/hill.yaml
    [[ $output == *"--page would overwrite the input"* ]]
}

@test "a device may take the page and other outputs" {
    needs_pages
    run -0 "$EVENER" drive vehicles/trucks/tractor-4x2-central.yaml cycles/scenarios/hill.yaml \
        --page /dev/null --trace /dev/null
}

@test "without the chart library --page says so and exits with 2" {
    cc=$(command -v cc || command -v gcc)
    mkdir -p "$here/show/page"
    cp src/show/page/assets.h "$here/show/page/"
    printf '%s\n' '#include "show/page/assets.h"' '#include <stdio.h>' \
        'int main(void) { return evn_assets_get() != NULL || puts(evn_assets_missing()) < 0; }' >"$here/main.c"
    "$cc" -I"$here" -o "$here/without" "$here/main.c" src/show/page/assets/assets_none.c
    [[ $("$here/without") == *npm* ]]
}
