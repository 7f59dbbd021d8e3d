"""The command line, as ``irrigate`` or ``python -m irrigate``."""

from __future__ import annotations

from irrigate.cli.main import main

if __name__ == "__main__":
    main()
