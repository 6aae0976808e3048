# shellcheck shell=sh
# Sourced by deploy/demo and deploy/test. ready TOP demo|dev leaves an environment with windowcast
# in TOP/.venv: made on the first run, kept while pyproject.toml and the place stay the same.

oldest=11 # of Python 3; pyproject.toml says the same

say() {
    printf '%s\n' "$*" >&2
}

# The words of a failed step are kept back until it fails.
quietly() {
    if ! output=$("$@" 2>&1); then
        printf '%s\n' "$output" >&2
        return 1
    fi
}

new_enough() {
    "$1" -c "import sys; sys.exit(sys.version_info < (3, $oldest))" 2>/dev/null
}

with_venv() {
    "$1" -c 'import ensurepip, venv' 2>/dev/null
}

version_of() {
    "$1" -c 'import sys; print("%d.%d" % sys.version_info[:2])' 2>/dev/null
}

# Prints a Python that can make an environment, or says what is missing and how to get it.
find_python() {
    bare='' old=''
    if [ -n "${PYTHON:-}" ]; then
        set -- "$PYTHON"
    else
        set -- python3 python3.14 python3.13 python3.12 python3.11 python
    fi
    for python; do
        if ! command -v "$python" >/dev/null 2>&1; then
            continue
        elif ! new_enough "$python"; then
            old=${old:-$(version_of "$python" || true)}
        elif with_venv "$python"; then
            printf '%s\n' "$python"
            return 0
        else
            bare=${bare:-$(version_of "$python")}
        fi
    done
    if [ -n "$bare" ]; then
        say "Python $bare is here without its venv module; on Debian or Ubuntu: apt install python$bare-venv"
    elif [ -n "$old" ]; then
        say "Python $old is too old; windowcast needs 3.$oldest or newer (PYTHON=/path/to/python3 names one)"
    else
        say "no working ${PYTHON:-python3} was found; windowcast needs Python 3.$oldest or newer (on Debian or Ubuntu: apt install python3 python3-venv)"
    fi
    return 1
}

# What an environment was made from: another place, project file or Python makes it anew.
made_from() {
    printf '%s %s %s' "$1" "$(cksum <"$1/pyproject.toml")" "$(version_of "$1/.venv/bin/python")"
}

# Half-made environments, and those whose Python has gone, are made anew.
usable() {
    new_enough "$1/.venv/bin/python" && "$1/.venv/bin/python" -c 'import pip' 2>/dev/null
}

make_environment() {
    python=$(find_python) || return 1
    say "setting up $1/.venv (once; it takes a minute or two)"
    quietly "$python" -m venv --clear "$1/.venv"
}

ready() {
    stamp="$1/.venv/windowcast-$2"
    if ! usable "$1"; then
        make_environment "$1" || return 1
    elif [ "$(cat "$stamp" 2>/dev/null)" = "$(made_from "$1")" ]; then
        return 0
    fi
    rm -f "$stamp"
    install_into "$1" "$2" || {
        say "the packages could not be installed: is there a network, and an index that pip may use?"
        return 1
    }
    made_from "$1" >"$stamp"
    [ "$2" = demo ] || cp "$stamp" "$1/.venv/windowcast-demo" # the one holds the other
}

# Dependency groups need pip 25.1, newer than what a system's venv brings.
install_into() (
    cd -- "$1" || exit 1
    set -- "$2" ./.venv/bin/python -m pip --disable-pip-version-check
    kind=$1
    shift
    quietly "$@" install --upgrade 'pip>=25.1' || exit 1
    if [ "$kind" = dev ]; then
        quietly "$@" install --editable . --group dev
    else
        quietly "$@" install --editable .
    fi
)
