"""A cold `gyle plan` against a bare `import numpy`, both as whole processes."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from bench.timing import best_s

ROOT = Path(__file__).resolve().parents[1]
AIM = 6.0


def main() -> None:
    """Print the ratio."""
    recipe = str(ROOT / "examples" / "lantern-street" / "copper-beacon.toml")

    def run(*command: str) -> None:
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)

    bare = best_s(lambda: run(sys.executable, "-c", "import numpy"), repeats=7)
    cold = best_s(lambda: run(sys.executable, "-m", "gyle", "plan", recipe), repeats=7)
    print(f"  gyle plan over import numpy: {cold / bare:.1f} (aim at most {AIM:g})")
