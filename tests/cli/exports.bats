#!/usr/bin/env bats
# The shared library exports the functions of the public headers, all of them and nothing else; each header stands alone.

setup() {
    source_root=${EVENER_SOURCE:-$BATS_TEST_DIRNAME/../..}
    [ -n "$EVENER_LIBRARY" ]
    headers=("$source_root"/include/evener/*.h)
}

# Functions that headers declare, a line for each declaration.
declared() {
    cat "$@" | grep -v '^#' | tr '\n' ' ' | sed 's,/\*[^*]*\*/,,g' | grep -oE 'EVN_API [^;]*;' |
        sed -E 's/^[^(]*[ *](evn_[a-z0-9_]+)\(.*/\1/' | sort
}

exported() {
    nm -D --defined-only "$1" | awk '{ print $NF }' | sort
}

@test "the library exports exactly what the public headers declare, each once" {
    declared "${headers[@]}" >"$BATS_TEST_TMPDIR/declared"
    exported "$EVENER_LIBRARY" >"$BATS_TEST_TMPDIR/exported"
    grep -qx evn_version "$BATS_TEST_TMPDIR/declared"
    diff "$BATS_TEST_TMPDIR/declared" "$BATS_TEST_TMPDIR/exported"
}

@test "every function of the public headers is marked for export" {
    declared "${headers[@]}" >"$BATS_TEST_TMPDIR/declared"
    printf '#include "%s"\n' "${headers[@]}" | cc -E -P -I "$source_root/include" - | tr '\n' ' ' | grep -oE '\<evn_[a-z0-9_]+\(' | tr -d '(' | sort -u >"$BATS_TEST_TMPDIR/all"
    diff "$BATS_TEST_TMPDIR/declared" "$BATS_TEST_TMPDIR/all"
}

@test "an additional symbol in a library is found" {
    echo 'int evn_planted(void); int evn_planted(void) { return 1; }' |
        cc -shared -fPIC -x c -o "$BATS_TEST_TMPDIR/planted.so" -
    exported "$BATS_TEST_TMPDIR/planted.so" | grep -qx evn_planted
}

# Whether a header, and nothing before it, is C17 and C++17.
stands_alone() {
    printf '#include "%s"\n' "$1" >"$BATS_TEST_TMPDIR/alone.c"
    cc -std=c17 -Wall -Wextra -Wpedantic -Wstrict-prototypes -Werror -I "$source_root/include" -fsyntax-only "$BATS_TEST_TMPDIR/alone.c"
    ! command -v c++ >/dev/null ||
        c++ -std=c++17 -Wall -Wextra -Werror -I "$source_root/include" -fsyntax-only -x c++ "$BATS_TEST_TMPDIR/alone.c"
}

@test "every public header stands alone in C and in C++" {
    [ "${#headers[@]}" -ge 7 ]
    for header in "${headers[@]}"; do
        stands_alone "$header"
    done
}

@test "a planted header that needs another before it is found" {
    printf '#include <stdbool.h>\nbool evn_planted(const evn_truck *);\n' >"$BATS_TEST_TMPDIR/planted.h"
    run stands_alone "$BATS_TEST_TMPDIR/planted.h"
    [ "$status" -ne 0 ]
}

@test "the public headers include each other and the C library only" {
    run grep -hE '^ *# *include' "${headers[@]}"
    [ "$(printf '%s\n' "${lines[@]}" | sort -u)" = "$(printf '#include "evener/causes.h"\n#include "evener/duty.h"\n#include "evener/evener.h"\n#include "evener/likeness.h"\n#include "evener/limits.h"\n#include "evener/logs.h"\n#include "evener/payback.h"\n#include "evener/rules.h"\n#include "evener/uncertainty.h"\n#include "evener/values.h"\n#include <stdbool.h>\n#include <stddef.h>\n#include <stdint.h>')" ]
}
