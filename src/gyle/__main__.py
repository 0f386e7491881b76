"""`python -m gyle` is `gyle`."""

from __future__ import annotations

import sys

from gyle.cli import main

if __name__ == "__main__":
    sys.exit(main())
