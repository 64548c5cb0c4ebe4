#!/usr/bin/env bats
# What is installed can be used: the program, its data, the library through pkg-config.

setup_file() {
    export staging="$BATS_FILE_TMPDIR/staging"
    DESTDIR="$staging" meson install -C "$EVENER_BUILD" --no-rebuild --quiet
    export pc
    pc=$(find "$staging" -name evener.pc)
}

@test "the program, its data and the headers are installed" {
    [ -n "$(find "$staging" -path '*/bin/evener' -perm -100)" ]
    [ -n "$(find "$staging" -path '*/share/evener/vehicles/trucks/tractor-4x2-central.yaml')" ]
    [ -n "$(find "$staging" -path '*/share/evener/cycles/reference/urban-schedule.yaml')" ]
    for header in "$EVENER_SOURCE"/include/evener/*.h; do
        [ -n "$(find "$staging" -path "*/include/evener/${header##*/}")" ]
    done
}

@test "manual pages and the completion for bash are installed" {
    [ -n "$(find "$staging" -path '*/share/man/man1/evener.1')" ]
    [ -n "$(find "$staging" -path '*/share/man/man1/evener-drive.1')" ]
    [ -n "$(find "$staging" -path '*/share/bash-completion/completions/evener')" ]
}

@test "the pkg-config file names libraries, not this machine's paths" {
    grep -q '^Libs: ' "$pc"
    run grep -E '^(Libs|Libs.private|Cflags):.*([^}]/[a-z0-9_/.-]*\.(so|a)|-L/|-I/)' "$pc"
    [ "$status" -eq 1 ]
}

# Builds a C file as a user would, against what is installed.
build_with_pkg_config() {
    export PKG_CONFIG_PATH="${pc%/*}" PKG_CONFIG_SYSROOT_DIR="$staging"
    local flags library
    read -ra flags < <(pkg-config --cflags --libs evener)
    cc -std=c17 -Wall -Wextra -Werror -o "$2" "$1" "${flags[@]}"
    library=$(find "$staging" -name 'libevener.so.*' -type f)
    export LD_LIBRARY_PATH="${library%/*}"
}

@test "a program builds with pkg-config against the shared library and runs" {
    cat >"$BATS_TEST_TMPDIR/user.c" <<'TEXT'
#include <evener/evener.h>
#include <stdio.h>

int main(void)
{
    return puts(evn_version()) < 0;
}
TEXT
    build_with_pkg_config "$BATS_TEST_TMPDIR/user.c" "$BATS_TEST_TMPDIR/user"
    run "$BATS_TEST_TMPDIR/user"
    [ "$status" -eq 0 ]
    [ "$output" = "$(pkg-config --modversion evener)" ]
}

@test "the example in C drives a truck of the installed data and compares it with its variant" {
    build_with_pkg_config "$EVENER_SOURCE/tests/example/drive_and_compare.c" "$BATS_TEST_TMPDIR/example"
    data=$(find "$staging" -path '*/share/evener' -type d)
    run "$BATS_TEST_TMPDIR/example" "$data/vehicles/trucks/tractor-4x2-central.yaml" "$data/cycles/scenarios/hill.yaml"
    echo "$output"
    [ "$status" -eq 0 ]
    [ "${#lines[@]}" -eq 7 ]
    [[ ${lines[0]} =~ ^travel\ time:\ [67][0-9]{2}\.[0-9]\ s$ ]]
    [[ ${lines[1]} =~ ^mean\ speed:\ [56][0-9]\.[0-9]\ km/h$ ]]
    [[ ${lines[4]} =~ ^energy\ consumption:\ 1\.[0-9]{2}\ kWh/km$ ]]
    [[ ${lines[5]} =~ ^as_it_is:\ finished,\ 1\.[0-9]{3}\ kWh/km$ ]]
    [[ ${lines[6]} =~ ^ratio_4_1:\ finished,\ 1\.[0-9]{3}\ kWh/km$ ]]
    [ "${lines[5]#*: }" != "${lines[6]#*: }" ]
    # The numbers of the program itself.
    "$EVENER" drive "$data/vehicles/trucks/tractor-4x2-central.yaml" "$data/cycles/scenarios/hill.yaml" \
        --payload-kg 18000 --json >"$BATS_TEST_TMPDIR/drive.json"
    told=0
    while IFS=$'\t' read -r label digits unit value; do
        [ "${lines[told]}" = "$(printf '%s: %.*f %s' "$label" "$digits" "$value" "$unit")" ]
        told=$((told + 1))
    done < <(jq -r '. as $all | .headline[:5][] | [.label, .digits, .unit, $all[.key]] | @tsv' "$BATS_TEST_TMPDIR/drive.json")
    [ "$told" -eq 5 ]
}

@test "the example in C says what is wrong with a file, and where" {
    build_with_pkg_config "$EVENER_SOURCE/tests/example/drive_and_compare.c" "$BATS_TEST_TMPDIR/example"
    data=$(find "$staging" -path '*/share/evener' -type d)
    printf 'name: planted\nwheels: 4\n' >"$BATS_TEST_TMPDIR/planted.yaml"
    run "$BATS_TEST_TMPDIR/example" "$BATS_TEST_TMPDIR/planted.yaml" "$data/cycles/scenarios/hill.yaml"
    echo "$output"
    [ "$status" -eq 2 ]
    [[ $output == *"planted.yaml:2:1: error: no key 'wheels'"* ]]
}

@test "the installed headers serve C++ too" {
    command -v c++ || skip "no C++ compiler here"
    export PKG_CONFIG_PATH="${pc%/*}" PKG_CONFIG_SYSROOT_DIR="$staging"
    read -ra flags < <(pkg-config --cflags evener)
    for header in "$EVENER_SOURCE"/include/evener/*.h; do
        echo "#include <evener/${header##*/}>"
    done | c++ -std=c++17 -Wall -Wextra -Werror "${flags[@]}" -fsyntax-only -x c++ -
}
