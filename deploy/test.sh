#!/usr/bin/env bash
# Check everything: style, types, who may import whom, and all tests. Any failure shows in the exit.
set -euo pipefail

# shellcheck source=deploy/environment.sh
source "$(dirname -- "${BASH_SOURCE[0]}")/environment.sh"

check_peers "$top/deploy/peers.txt"
install_package '[test]'

cd -- "$top"
failed=()
check() {
    printf '\n== %s\n' "$*"
    "$venv/bin/$1" "${@:2}" || failed+=("$1")
}

check ruff check .
check ruff format --check .
check mypy
check lint-imports
check pytest -n 2

if ((${#failed[@]})); then
    printf '\nfailed: %s\n' "${failed[*]}"
    exit 1
fi
printf '\nall passed\n'
