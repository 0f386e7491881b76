"""Run every benchmark, or those named: `python -m bench [plan] [edit] [kernels] [salts]`."""

from __future__ import annotations

import importlib
import sys

BENCHES = ("plan", "edit", "kernels", "cold", "adapt", "carbonate", "salts", "shelf", "page")


def main(names: list[str]) -> None:
    """Run the benches by name."""
    for name in names or list(BENCHES):
        print(f"\n{name}")
        importlib.import_module(f"bench.{name}").main()


if __name__ == "__main__":
    main(sys.argv[1:])
