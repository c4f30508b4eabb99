"""Entry point of ``retrofit`` and ``python -m retrofit``: hands over to the command line."""

from __future__ import annotations

import sys

from retrofit.cli import main

__all__ = ["main"]

if __name__ == "__main__":
    sys.exit(main())
