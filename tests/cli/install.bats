#!/usr/bin/env bats
# What is installed can be used: the program, its data, the library through pkg-config.

setup_file() {
    export staging="$BATS_FILE_TMPDIR/staging"
    DESTDIR="$staging" meson install -C "$EVENER_BUILD" --no-rebuild --quiet
    export pc
    pc=$(find "$staging" -name evener.pc)
}

@test "the program, its data and the header are installed" {
    [ -n "$(find "$staging" -path '*/bin/evener' -perm -100)" ]
    [ -n "$(find "$staging" -path '*/share/evener/vehicles/trucks/tractor-4x2-central.yaml')" ]
    [ -n "$(find "$staging" -path '*/share/evener/cycles/reference/urban-schedule.yaml')" ]
    [ -n "$(find "$staging" -path '*/include/evener/evener.h')" ]
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

@test "a program builds with pkg-config against the shared library and runs" {
    cat >"$BATS_TEST_TMPDIR/user.c" <<'TEXT'
#include <evener/evener.h>
#include <stdio.h>

int main(void)
{
    return puts(evn_version()) < 0;
}
TEXT
    export PKG_CONFIG_PATH="${pc%/*}" PKG_CONFIG_SYSROOT_DIR="$staging"
    read -ra flags < <(pkg-config --cflags --libs evener)
    cc -o "$BATS_TEST_TMPDIR/user" "$BATS_TEST_TMPDIR/user.c" "${flags[@]}"
    library=$(find "$staging" -name 'libevener.so.*' -type f)
    run env LD_LIBRARY_PATH="${library%/*}" "$BATS_TEST_TMPDIR/user"
    [ "$status" -eq 0 ]
    [ "$output" = "$(pkg-config --modversion evener)" ]
}

@test "the public header serves C++ too" {
    command -v c++ || skip "no C++ compiler here"
    echo '#include <evener/evener.h>' | c++ -std=c++17 -Wall -Wextra -Werror -I "$EVENER_SOURCE/include" -fsyntax-only -x c++ -
}
