"""What a report asks for when it is wished for."""

from __future__ import annotations

from pathlib import Path

import pytest

from gyle.beer.reading import read_water, water_from_text
from gyle.errors import BadInput
from gyle.share.water_wishes import wished_by

EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"


def test_what_a_report_states_is_wished_for_and_nothing_else() -> None:
    wished = wished_by(read_water(EXAMPLES / "water-hoppy.toml"))
    assert wished == {"calcium": 110, "magnesium": 8, "sodium": 15, "sulfate": 180, "chloride": 50}
    assert wished_by(read_water(EXAMPLES / "water-hard.toml"))["bicarbonate"] == pytest.approx(349, abs=2)


def test_a_report_of_a_ph_alone_asks_for_no_water() -> None:
    with pytest.raises(BadInput, match="states none of"):
        wished_by(water_from_text('name = "pH"\nph = "7.4"\n'))
