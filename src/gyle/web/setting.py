"""What a person has set for this browser: units and paper, kept in two cookies and nowhere else."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

if TYPE_CHECKING:
    from starlette.requests import Request

__all__ = ["PAPERS", "UNITS", "Setting", "setting_of"]

UNITS = {"metric": "metric", "us": "US customary"}
PAPERS = {"auto": "as the device", "light": "light", "dark": "dark"}


@attrs.frozen(kw_only=True)
class Setting:
    """Units a page is written in and the paper it is printed on."""

    units: str = "metric"
    paper: str = "auto"


def setting_of(request: Request) -> Setting:
    """Read the setting of a request; what is not understood is the usual one."""
    units = request.cookies.get("units", "metric")
    paper = request.cookies.get("paper", "auto")
    return Setting(units=units if units in UNITS else "metric", paper=paper if paper in PAPERS else "auto")
