"""The ribbon's volumes are those of the figures, and what joins and leaves adds up."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.decide.plan import plan
from gyle.share.ribbon import Stretch, ribbon

CARDS = ("copper-beacon", "signal-lamp", "ropewalk", "slack-water")


def balance(stretch: Stretch) -> float:
    """What goes out less what comes in and joins, and what leaves."""
    sides = sum(side.volume_L.mean if side.joins else -side.volume_L.mean for side in stretch.sides)
    return stretch.moments[-1].volume_L - stretch.moments[0].volume_L - sides


@pytest.mark.parametrize("card", CARDS)
def test_the_fermenter_holds_what_the_figure_says(
    card: str, cards: Mapping[str, Recipe], houses: Mapping[str, Brewhouse]
) -> None:
    found = plan(cards[card], houses["lantern-street-48"], draws=128)
    drawn = ribbon(found)
    fermenter, keg = drawn.of("fermenter"), drawn.of("keg")
    assert fermenter is not None
    assert keg is not None
    assert fermenter.moments[-1].volume_L == pytest.approx(found.figures["fermenter.volume"].mean, abs=1e-6)
    assert keg.moments[-1].volume_L == pytest.approx(found.figures["keg.volume"].mean, abs=1e-6)
    assert balance(fermenter) == pytest.approx(0.0, abs=0.05)
    assert balance(keg) == pytest.approx(0.0, abs=0.06)
    assert "less, as it fermented" in [side.words for side in keg.sides]
