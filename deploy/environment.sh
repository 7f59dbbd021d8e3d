# Sourced by the scripts beside it: finds Python, makes `.venv`, and keeps it up to date.
# shellcheck shell=bash

top="$(cd -- "$(dirname -- "${BASH_SOURCE[0]}")/.." && pwd -P)"
venv="$top/.venv"

say() { printf '%s\n' "$*" >&2; }

# Print the first Python that is new enough, or say which package brings one.
find_python() {
    local candidate
    for candidate in ${PYTHON:+"$PYTHON"} python3 python3.14 python3.13 python3.12 python3.11; do
        if "$candidate" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
            command -v -- "$candidate"
            return 0
        fi
    done
    say "Python 3.11 or newer is needed, and none was found. On Debian or Ubuntu:"
    say "    sudo apt-get install python3 python3-venv"
    return 1
}

# Make `.venv` where it is absent, has lost its Python, is too old, or was moved with its folder
# (its programs name the place where they were made).
make_venv() {
    if "$venv/bin/python" -c 'import sys, pip; sys.exit(sys.version_info < (3, 11))' 2>/dev/null &&
        grep -qsF -- "$venv/bin/python" "$venv/bin/pip"; then
        return 0
    fi
    local python
    python="$(find_python)" || return 1
    # Debian leaves out of Python what an environment is made with.
    if ! "$python" -c 'import venv, ensurepip' 2>/dev/null; then
        say "$python cannot make an environment of its own. On Debian or Ubuntu:"
        say "    sudo apt-get install python3-venv"
        return 1
    fi
    say "making the environment in $venv"
    "$python" -m venv --clear -- "$venv"
}

# Print what an install depends on, as one hash: the stamp is out of date when it changes.
fingerprint() {
    {
        "$venv/bin/python" --version
        printf '%s\n' "$top"
        cat -- "$top/pyproject.toml" "$top/deploy/constraints.txt"
    } | sha256sum | cut -d ' ' -f 1
}

# Install the package, with the extras given as `[name]`, unless that was done before.
install_package() {
    local extras="${1:-}" stamp now
    stamp="$venv/installed${extras//[^a-z]/-}"
    make_venv || return 1
    now="$(fingerprint)"
    if [[ -x "$venv/bin/irrigate" && -f "$stamp" && "$(<"$stamp")" == "$now" ]]; then
        return 0
    fi
    say "installing irrigate$extras"
    "$venv/bin/python" -m pip install -qq --disable-pip-version-check \
        --constraint "$top/deploy/constraints.txt" --editable "$top$extras" || return 1
    printf '%s\n' "$now" | tee -- "$venv/installed" >"$stamp" # an extra brings the package itself
}

# Look for each program listed in the file; name all that are missing, and how to get them.
check_peers() {
    local list="$1" program package purpose
    local -a missing=()
    while IFS='|' read -r program package purpose || [[ -n "$program" ]]; do
        program="${program//[[:space:]]/}"
        package="${package//[[:space:]]/}"
        [[ -z "$program" || "$program" == \#* ]] && continue
        command -v -- "$program" >/dev/null && continue
        # Debian keeps servers where an ordinary user's path does not look.
        [[ -x "/usr/sbin/$program" ]] && continue
        say "missing: $program ($package), for$purpose"
        missing+=("$package")
    done <"$list"
    ((${#missing[@]} == 0)) && return 0
    say "On Debian or Ubuntu:"
    say "    sudo apt-get install ${missing[*]}"
    return 1
}
