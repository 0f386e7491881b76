"""When and where something goes in: the one grammar of `at`."""

from __future__ import annotations

import attrs

__all__ = ["STAGES", "Timing"]

STAGES = (
    "mash",
    "sparge",
    "first wort",
    "boil",
    "stand",
    "chill",
    "pitch",
    "ferment",
    "dry",
    "keg",
    "bottle",
)


@attrs.frozen(kw_only=True)
class Timing:
    """One place in the beer's way.

    Which fields are set depends on the stage: ``boil`` has `minutes` before its end; ``stand`` has
    `temperature_C` and `minutes`; ``ferment`` has `day` or `points_above_final`; ``dry`` has `day`,
    `points_above_final` or `stable_days`, and `contact_days`; ``mash`` has `mash` (1 or 2).
    """

    stage: str = attrs.field(validator=attrs.validators.in_(STAGES))
    minutes: float | None = None
    temperature_C: float | None = None
    day: float | None = None
    points_above_final: float | None = None
    stable_days: float | None = None
    contact_days: float | None = None
    mash: int = 1

    @property
    def text(self) -> str:
        """The timing as a file writes it."""
        parts: list[str] = [self.stage]
        if self.stage == "mash" and self.mash != 1:
            parts.append(str(self.mash))
        if self.stage == "stand" and self.temperature_C is not None:
            parts.append(f"{self.temperature_C:g} °C")
        if self.minutes is not None:
            parts.append(f"{self.minutes:g} min")
        if self.day is not None:
            parts.append(f"day {self.day:g}")
        if self.points_above_final is not None:
            parts.append(f"{self.points_above_final:g} points above final")
        if self.stable_days is not None:
            parts.append(f"stable {self.stable_days:g} days")
        if self.contact_days is not None:
            parts.append(f"{self.contact_days:g} days")
        return " ".join(parts)
