"""The command line: parse, call, print."""

from __future__ import annotations

from gyle.cli.program import main

__all__ = ["main"]
