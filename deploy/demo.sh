#!/usr/bin/env bash
# Run the demo: makes its environment on the first run, and leaves with the demo's exit code.
set -euo pipefail

# shellcheck source=deploy/environment.sh
source "$(dirname -- "${BASH_SOURCE[0]}")/environment.sh"

install_package
exec "$venv/bin/irrigate" demo "$@"
