"""The zone of this machine's clock."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from gyle.web import local_zone as module
from gyle.web.local_zone import local_zone


@pytest.fixture(autouse=True)
def nothing_says_it(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Neither the environment nor a file names a zone."""
    monkeypatch.delenv("TZ", raising=False)
    monkeypatch.setattr(module, "LOCALTIME", tmp_path / "localtime")
    monkeypatch.setattr(module, "TIMEZONE", tmp_path / "timezone")


def test_the_environment_comes_first(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TZ", ":Europe/Dublin")
    assert local_zone() == "Europe/Dublin"


def test_the_link_of_the_clock_names_it(tmp_path: Path) -> None:
    (tmp_path / "localtime").symlink_to("/usr/share/zoneinfo/Europe/Lisbon")
    assert local_zone() == "Europe/Lisbon"


def test_a_written_name_does(tmp_path: Path) -> None:
    (tmp_path / "timezone").write_text("Asia/Tokyo\n", encoding="ascii")
    assert local_zone() == "Asia/Tokyo"


@pytest.mark.parametrize("name", ["Nowhere/At All", "../../etc/passwd", "/etc/passwd", "\0"])
def test_a_name_no_calendar_knows_is_passed_over(tmp_path: Path, name: str) -> None:
    (tmp_path / "timezone").write_text(name, encoding="ascii")
    assert local_zone() != name


def test_without_any_name_the_hours_from_utc_are_kept() -> None:
    here = datetime.now().astimezone()
    assert abs((datetime.now(ZoneInfo(local_zone())).utcoffset() or here.utcoffset()) - here.utcoffset()).seconds < 3600  # type: ignore[operator]


@pytest.mark.parametrize(("hours", "name"), [(0, "UTC"), (2, "Etc/GMT-2"), (-5, "Etc/GMT+5")])
def test_a_zone_of_whole_hours_counts_westwards(monkeypatch: pytest.MonkeyPatch, hours: int, name: str) -> None:
    class Clock(datetime):
        @classmethod
        def now(cls, tz: object = None) -> Clock:
            return cls(2026, 11, 25, tzinfo=ZoneInfo(f"Etc/GMT{-hours:+d}") if hours else ZoneInfo("UTC"))

        def astimezone(self, tz: object = None) -> Clock:
            return self

    monkeypatch.setattr(module, "datetime", Clock)
    assert local_zone() == name
