"""Waters drawn."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.beer.reading import read_water
from gyle.web.water_drawing import charge_bars, fullest_mg_L, ion_rule, small_bars

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
AMOUNT = st.floats(0.0, 1e4)


def percent(text: str | None) -> float:
    assert text is not None
    assert text.endswith("%")
    return float(text[:-1])


@given(source=AMOUNT, got=AMOUNT, low=AMOUNT, high=AMOUNT, wanted=st.none() | AMOUNT, limit=st.none() | AMOUNT)
def test_everything_lies_on_the_rule(
    source: float, got: float, low: float, high: float, wanted: float | None, limit: float | None
) -> None:
    rule = ion_rule(source=source, got=got, band=(min(low, high), max(low, high)), wanted=wanted, limit=limit)
    places = [rule.source, rule.got, rule.low, rule.way_x, *([rule.wanted] if rule.wanted else [])]
    assert all(0.0 <= percent(place) <= 100.0 for place in places)
    if limit is not None and rule.limit is not None:
        assert percent(rule.limit) + percent(rule.beyond) == pytest.approx(100.0, abs=0.02)
        if got <= limit:
            assert percent(rule.got) <= percent(rule.limit) + 0.01


def test_a_limit_far_off_is_not_drawn() -> None:
    assert ion_rule(source=5.0, got=9.0, band=(8.0, 10.0), wanted=None, limit=150.0).limit is None
    assert ion_rule(source=5.0, got=95.0, band=(90.0, 99.0), wanted=None, limit=150.0).limit is not None


def test_an_open_side_of_a_wish_reaches_to_the_end() -> None:
    least = ion_rule(source=5.0, got=60.0, band=(58.0, 62.0), wanted=None, wanted_span=(50.0, None))
    assert percent(least.wanted_low) + percent(least.wanted_width) == pytest.approx(100.0, abs=0.02)
    most = ion_rule(source=5.0, got=60.0, band=(58.0, 62.0), wanted=None, wanted_span=(None, 50.0))
    assert percent(most.wanted_low) == 0.0


def test_the_pieces_of_a_sum_of_charges_join() -> None:
    water = read_water(EXAMPLES / "water-hard.toml")
    cations, anions = charge_bars(water)
    for bar in (cations, anions):
        ends = [percent(piece.x) + percent(piece.width) for piece in bar.pieces]
        assert all(percent(after.x) >= end - 0.2 for end, after in zip(ends, bar.pieces[1:], strict=False))
    balance = water.balance
    assert percent(cations.end) / percent(anions.end) == pytest.approx(
        balance.cations_mEq_L / balance.anions_mEq_L, abs=0.001
    )
    assert anions.pieces[0].symbol == "alkalinity"


def test_small_bars_share_a_scale_and_mark_a_guess() -> None:
    hard, wished = (read_water(EXAMPLES / f"water-{name}.toml") for name in ("hard", "hoppy"))
    full = fullest_mg_L([hard, wished])
    assert full == pytest.approx(hard.bicarbonate_mg_L.centre)
    tall = {bar.symbol: bar for bar in small_bars(hard, full)}
    assert tall["HCO3"].y == 0.0
    assert {bar.symbol for bar in small_bars(wished, full) if bar.guessed} == {"HCO3"}
