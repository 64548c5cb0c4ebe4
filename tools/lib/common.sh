# shellcheck shell=bash
# What the scripts in tools/ share: where the tree is, how they speak, what must be installed, how the build is set up.

set -euo pipefail

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
tool=${0##*/}

say() { printf '%s\n' "$*"; }
fail() {
    printf '%s: %s\n' "$tool" "$*" >&2
    exit 1
}

# ------------------------------------------------------------------------------------- what is here, what is missing

have() { command -v "$1" >/dev/null 2>&1; }
# The distribution's own Python, whose modules apt installs; another one may come first in PATH.
has_python() { /usr/bin/python3 -c "import $1" >/dev/null 2>&1; }
is_debian() { grep -qs '^ID=debian' /etc/os-release; }
have_module() { have pkg-config && pkg-config --exists "$1"; }

# The version in SUNDIALS' header; nothing where the header is missing.
sundials_version() {
    have cc || return 0
    printf '#include <sundials/sundials_config.h>\nevener SUNDIALS_VERSION\n' | cc -E -P - 2>/dev/null |
        sed -n 's/^evener "\(.*\)"$/\1/p' || true
}

at_least() { [ "$(printf '%s\n%s\n' "$1" "$2" | sort -V | head -n 1)" = "$2" ]; }

too_old() {
    fail "SUNDIALS $1 is too old: evener needs 6.0 or later. Debian 12 and 13 and Ubuntu 24.04 have it," \
        "Debian 11 and Ubuntu 22.04 do not."
}

# Prints the Debian packages whose work nothing on this machine does yet. Words: build, test, format, ci.
missing_packages() {
    local for=" $* "
    if [[ $for == *" build "* ]]; then
        { have cc && echo '#include <stdlib.h>' | cc -E - >/dev/null 2>&1; } || printf '%s\n' gcc libc6-dev
        have meson || echo meson
        have ninja || echo ninja-build
        have pkg-config || echo pkg-config
        [ -n "$(sundials_version)" ] || echo libsundials-dev
        have_module yaml-0.1 || echo libyaml-dev
        have_module cminpack || echo libcminpack-dev
        have_module jansson || echo libjansson-dev
        have_module expat || echo libexpat1-dev
        have_module proj || echo libproj-dev # distances on the ellipsoid
        have_module smartcols || echo libsmartcols-dev
        have_module sqlite3 || echo libsqlite3-dev
        have_module nlopt || echo libnlopt-dev
        have npm || echo npm # the page's chart library comes with it
    fi
    if [[ $for == *" test "* ]]; then
        have_module check || echo check
        have bats || echo bats
        have jq || echo jq
        has_python yaml || echo python3-yaml
        has_python jsonschema || echo python3-jsonschema
        # Ubuntu has no browser in its packages: there the looks at the page are skipped.
        have chromium || have chromium-browser || have google-chrome || ! is_debian || echo chromium
    fi
    if [[ $for == *" format "* ]]; then
        have clang-format-19 || echo clang-format-19
    fi
    if [[ $for == *" ci "* ]]; then
        { have clang && echo 'int main(void) { return 0; }' |
            clang -fsanitize=address,undefined -x c -o /dev/null - >/dev/null 2>&1; } || printf '%s\n' clang libclang-rt-dev
        have llvm-symbolizer || echo llvm
        have shellcheck || echo shellcheck
    fi
}

# --------------------------------------------------------------------------------------------------- installing it

# Runs a command as root, saying so when it has to ask.
as_root() {
    if [ "$(id -u)" -eq 0 ]; then
        "$@"
    else
        sudo "$@"
    fi
}

must_become_root() {
    [ "$(id -u)" -ne 0 ] || return 0
    local by_hand="apt-get install --no-install-recommends $*"
    have sudo || fail "installing needs root and there is no sudo here. As root: $by_hand"
    sudo -n true 2>/dev/null && return 0
    { : </dev/tty; } 2>/dev/null || fail "installing needs root and sudo cannot ask for a password here. As root: $by_hand"
    say "sudo will ask for your password."
}

apt_log=
run_apt() {
    as_root env DEBIAN_FRONTEND=noninteractive LC_ALL=C apt-get -q -o DPkg::Lock::Timeout=300 "$@" \
        </dev/null >>"$apt_log" 2>&1
}

# The version of SUNDIALS that apt would install, as far as its lists are here.
offered_sundials() {
    LC_ALL=C apt-cache policy libsundials-dev 2>/dev/null | sed -n -e 's/^ *Candidate: *//p' | sed -e 's/^[0-9]*://' -e '/none/d'
}

# Before 235 MB are fetched: does this system's SUNDIALS do?
refuse_old_sundials() {
    local offered
    offered=$(offered_sundials)
    [ -z "$offered" ] || at_least "$offered" 6.0 || too_old "$offered (all that apt offers here)"
}

say_sizes() {
    local sizes
    sizes=$(LC_ALL=C apt-get install --assume-no --no-install-recommends -o Debug::NoLocking=1 "$@" 2>/dev/null \
        </dev/null | sed -n -e 's/^Need to get \(.*\) of archives\.$/\1 to download/p' \
        -e 's/^After this operation, \(.*\) of additional disk space will be used\.$/\1 on the disk/p') || true
    [ -z "$sizes" ] || say "In all: $(printf '%s' "$sizes" | paste -sd, | sed 's/,/, /')."
}

# Sees to it that the machine has what is needed for the given jobs (see missing_packages).
install_missing() {
    local found packages
    found=$(sundials_version)
    [ -z "$found" ] || at_least "$found" 6.0 || too_old "$found"
    mapfile -t packages < <(missing_packages "$@")
    [ "${#packages[@]}" -gt 0 ] || return 0

    say "Not on this machine yet: ${packages[*]}"
    have apt-get || fail "there is no apt-get here, so nothing can be installed from here: this script knows Debian 12," \
        "Debian 13 and Ubuntu 24.04. Install the like of these packages by other means and run it again."
    if [[ " ${packages[*]} " == *" libsundials-dev "* ]]; then
        refuse_old_sundials
        say "They are to be installed with apt: 235 to 315 MB to download and 1.1 to 1.4 GB on the disk, most of it because"
        say "the SUNDIALS package for developers depends on MPI and other solvers. It takes a minute or two."
    else
        say "They are to be installed with apt."
    fi
    must_become_root "${packages[@]}"
    apt_log=$(mktemp "${TMPDIR:-/tmp}/evener-apt.XXXXXX")
    run_apt update || say "apt-get update did not succeed; going on with the package lists that are here."
    rm -f "$apt_log"
    [[ " ${packages[*]} " != *" libsundials-dev "* ]] || refuse_old_sundials
    say_sizes "${packages[@]}"
    if ! run_apt install -y --no-install-recommends "${packages[@]}"; then
        tail -n 12 "$apt_log" >&2
        fail "apt-get could not install the packages; its whole output is in $apt_log"
    fi
    rm -f "$apt_log"
    mapfile -t packages < <(missing_packages "$@")
    [ "${#packages[@]}" -eq 0 ] || fail "still missing after the installation: ${packages[*]}"
}

# --------------------------------------------------------------------------------------------------- the build folder

# True where the folder was set up, to the end, for this tree: a tree that was moved or copied needs a new set-up.
is_set_up() {
    [ -f "$1/build.ninja" ] && [ -f "$1/meson-info/meson-info.json" ] || return 1
    /usr/bin/python3 -c 'import json, os, sys
sys.exit(not os.path.samefile(json.load(open(sys.argv[1]))["directories"]["source"], sys.argv[2]))' \
        "$1/meson-info/meson-info.json" "$root" 2>/dev/null
}

# Runs a Meson command whose many lines matter only when it fails.
quietly() {
    local output
    output=$("$@" 2>&1 </dev/null) && return 0
    printf '%s\n' "$output" >&2
    fail "this failed: $*"
}

# compile_in FOLDER [TARGET...]: what is built by default, or these targets only. A folder that was set up before a target
# was written learns of it first.
compile_in() {
    [ $# -eq 1 ] || ! have ninja || quietly ninja -C "$1" build.ninja
    meson compile -C "$@" </dev/null || fail "the build failed"
}

# set_up_in FOLDER [MESON OPTIONS]: sets up where needed.
set_up_in() {
    local folder=$1
    shift
    if ! is_set_up "$folder"; then
        local wipe=()
        [ ! -f "$folder/meson-private/coredata.dat" ] || wipe=(--wipe)
        quietly meson setup "${wipe[@]}" "$@" "$folder" "$root"
    elif [ $# -gt 0 ]; then
        quietly meson configure "$@" "$folder"
    fi
}

# A build without the page, because npm or its packages could not be had then: another try.
retry_page() {
    ! have npm || ! grep -q assets_none.c "$1/build.ninja" || quietly meson setup --reconfigure "$1" "$root"
    ! grep -qs 'could not be fetched' "$1/src/show/page/assets/assets.c" || rm -f "$1/src/show/page/assets/assets.c"
}

# build_in FOLDER [MESON OPTIONS]: sets up where needed, then compiles.
build_in() {
    set_up_in "$@"
    retry_page "$1"
    compile_in "$1"
}

knows_all_tests() {
    grep -q '"evener:unit"' "$1/meson-info/intro-tests.json" && grep -q '"evener:cli"' "$1/meson-info/intro-tests.json"
}

# A build that was set up while Check or bats were missing does not know their tests yet.
learn_all_tests() {
    knows_all_tests "$1" && return 0
    quietly meson setup --reconfigure "$1" "$root"
    knows_all_tests "$1" || fail "the build does not know its tests"
    compile_in "$1"
}
