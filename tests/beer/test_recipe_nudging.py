"""Nudges: a sensible step, in the author's own unit, never below nothing and never beyond the boil."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.nudging import nudged, nudged_at
from gyle.beer.reading import read_brewhouse
from gyle.beer.recipe_edits import Nudge, edited
from gyle.beer.timing_text import read_at
from gyle.errors import BadInput
from gyle.quantities import read

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
COPPER = (EXAMPLES / "copper-beacon.toml").read_text(encoding="utf-8")
HOUSE = read_brewhouse(EXAMPLES / "lantern-street-48.toml")


def house(_: str) -> Brewhouse:
    return HOUSE


@pytest.mark.parametrize(
    ("text", "kind", "steps", "after"),
    [
        ("45 g", "mass", 1, "50 g"),
        ("45 g", "mass", -1, "40 g"),
        ("19 g", "mass", 1, "20 g"),
        ("20 g", "mass", 1, "25 g"),
        ("20 g", "mass", -1, "19 g"),
        ("200 g", "mass", 1, "210 g"),
        ("0.5 g", "mass", -1, "0.0 g"),
        ("4.9 kg", "mass", 1, "4.95 kg"),
        ("1.25 oz", "mass", 1, "1.50 oz"),
        ("17 lb 8 oz", "mass", 1, "17 lb 12 oz"),
        ("4 lb 15 oz", "mass", 1, "5 lb"),
        ("66 °C", "temperature", 1, "66.5 °C"),
        ("66 °C", "temperature", -2, "65 °C"),
        ("152 °F", "temperature", 1, "153 °F"),
        ("18 °C (64 °F)", "temperature", 1, "18.5 °C"),
        ("75 min", "time", 5, "80 min"),
        ("1 h 15 min", "time", -5, "70 min"),
        ("3 min", "time", -5, "0 min"),
        ("14 days", "time", 1, "15 days"),
        ("8.6 % AA", "percent", 1, "9.1 % AA"),
        ("5,5 %", "percent", 1, "6,0 %"),
        ("1.050", "gravity", -1, "1.049"),
        ("1.049", "gravity", 1, "1.050"),
        ("11.4 °P", "gravity", 1, "11.5 °P"),
        ("31.5 L at 76 °C", "volume", 1, "32.0 L at 76 °C"),
        ("2 packs", "count", 1, "3 packs"),
        ("75", "wish", 1, "80"),
        ("2.3 vol", "carbonation", -1, "2.2 vol"),
    ],
)
def test_a_step_suits_the_amount(text: str, kind: str, steps: int, after: str) -> None:
    assert nudged(text, kind, steps, bare="mg/L" if kind == "wish" else None) == after


@pytest.mark.parametrize(
    ("text", "part", "steps", "after"),
    [
        ("boil 60 min", "minutes", 5, "boil 65 min"),
        ("boil 60 min", "minutes", 500, "boil 75 min"),
        ("boil 3 min", "minutes", -5, "boil 0 min"),
        ("boil 1 h 5 min", "minutes", 1, "boil 66 min"),
        ("boil 90 min", "minutes", 1, "boil 90 min"),
        ("stand 85 °C 25 min", "minutes", -5, "stand 85 °C 20 min"),
        ("stand 85 °C 25 min", "temperature", 1, "stand 85.5 °C 25 min"),
        ("stand 176 °F 20 min", "temperature", -1, "stand 175 °F 20 min"),
        ("stand at 80 °C (176 °F) for 20 min", "temperature", 2, "stand at 81 °C for 20 min"),
        ("dry 6 points above final 4 days", "points", 1, "dry 7 points above final 4 days"),
        ("dry 6 points above final 4 days", "contact", -1, "dry 6 points above final 3 days"),
        ("dry day 2 4 days", "day", -5, "dry day 1 4 days"),
        ("dry stable 3 days", "stable", 1, "dry stable 4 days"),
        ("ferment day 3", "day", 1, "ferment day 4"),
    ],
)
def test_a_timing_moves_by_one_of_its_numbers(text: str, part: str, steps: int, after: str) -> None:
    assert nudged_at(text, part, steps, boil_minutes=75.0) == after


@given(
    st.integers(0, 200),
    st.integers(-300, 300),
    st.sampled_from(["boil {} min", "stand 80 °C {} min", "dry day 2 {} days"]),
)
def test_no_nudge_leaves_the_boil_or_the_calendar(minutes: int, steps: int, form: str) -> None:
    part = "contact" if form.startswith("dry") else "minutes"
    done = read_at(nudged_at(form.format(minutes), part, steps, boil_minutes=90.0))
    if done.stage == "boil":
        assert done.minutes is not None
        assert 0.0 <= done.minutes <= max(90.0, minutes)
    assert (done.minutes or 0.0) >= 0.0
    assert (done.contact_days or 0.0) >= 0.0


@given(st.integers(0, 5000), st.integers(-50, 50), st.sampled_from(["g", "oz", "kg", "lb", "mg"]))
def test_an_amount_never_falls_below_nothing_and_keeps_its_unit(tenths: int, steps: int, unit: str) -> None:
    text = f"{tenths / 10} {unit}"
    before, after = read(text, "mass"), read(nudged(text, "mass", steps), "mass")
    assert after.unit == unit
    assert after.value >= 0.0
    assert (after.value >= before.value) if steps >= 0 else (after.value <= before.value)
    assert read(nudged(text, "mass", steps, above_zero=True), "mass").value > 0.0 or tenths == 0


def test_a_nudge_is_an_edit() -> None:
    done = edited(COPPER, Nudge("hops.1.amount", 1), resolve=house)
    assert done is not None
    assert done.said == "East Kent Golding 45 g → 50 g"
    assert edited(COPPER, Nudge("hops.1.amount", 0), resolve=house) is None
    back = edited(done.text, Nudge("hops.1.amount", -1), resolve=house)
    assert back is not None
    assert back.text == COPPER
    cool = edited(COPPER, Nudge("hops.1.at", -1, "temperature"), resolve=house)
    assert cool is not None
    assert cool.recipe.hops[1].at.temperature_C == 84.5
    grist = edited(COPPER, Nudge("grist.2.amount", -1000), resolve=house)
    assert grist is not None
    assert sum(line.share or 0.0 for line in grist.recipe.grist) == pytest.approx(1.0)
    assert min(line.share or 0.0 for line in grist.recipe.grist) == pytest.approx(0.001)
    ends = edited(COPPER, Nudge("fermentation.0.end", 1), resolve=house)
    assert ends is not None
    assert ends.recipe.fermentation[0].stable_days == 4.0


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (Nudge("hops.0.amount", 1), "type an amount first"),
        (Nudge("hops.0.at", 1, "temperature"), "has no temperature to nudge"),
        (Nudge("hops.0.at", 1, "moon"), "has no moon to nudge"),
        (Nudge("hops.0.what", 1), "no single number"),
        (Nudge("mash.0.by", 1), "no single number"),
        (Nudge("hops.0.at", 10**9), "whole number up to 1000"),
        (Nudge("hops.9.at", 1), "no place"),
        (Nudge("mash.0.temperature", 1000), "not between 25 and 100"),
    ],
)
def test_what_cannot_be_nudged_is_told(edit: Nudge, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        edited(COPPER, edit, resolve=house)
