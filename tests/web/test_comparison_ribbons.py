"""Two ribbons on one scale: each is as wide as its volume, and told in words beside it."""

from __future__ import annotations

import itertools
import re

import pytest

from gyle.share.ribbon import Moment, Ribbon, Stretch
from gyle.web.comparison_ribbons import HEIGHT_PX, ribbons_drawn
from gyle.web.line_view import COLUMNS


def ribbon(*litres: float, second_mash: bool = False) -> Ribbon:
    """A ribbon that steps down from station to station."""
    names = [
        ("water", ""),
        ("mash", ""),
        ("lauter", ""),
        ("kettle", ""),
        ("stand", ""),
        ("fermenter", ""),
        ("keg", ""),
        ("glass", ""),
    ]
    if second_mash:
        names[3:3] = [("mash", "2"), ("lauter", "2")]
    volumes = [*litres, *[litres[-1]] * (len(names) + 1 - len(litres))]
    return Ribbon(
        stretches=tuple(
            Stretch(
                station=station,
                part=part,
                moments=(
                    Moment(at=0.0, volume_L=volumes[place], colour_srm=None if station == "water" else 10.0),
                    Moment(at=1.0, volume_L=volumes[place + 1], colour_srm=None if station == "water" else 10.0),
                ),
            )
            for place, (station, part) in enumerate(names)
        )
    )


def heights(outline: str) -> list[float]:
    """How far apart the two edges are at the ends of a reach."""
    points = [(float(x), float(y)) for x, y in re.findall(r"(-?[0-9.]+) (-?[0-9.]+)", outline)]
    edges = {x: [y for at, y in points if at == x] for x in (0.0, 1000.0)}
    return [max(ys) - min(ys) for ys in edges.values()]


def test_both_are_drawn_to_one_scale() -> None:
    more, less = ribbons_drawn([("version 1", ribbon(40.0, 40.0, 30.0)), ("version 2", ribbon(20.0))], system="metric")
    assert heights(more.reaches[0].outline)[0] == pytest.approx(HEIGHT_PX, abs=0.2)
    assert heights(less.reaches[0].outline)[0] == pytest.approx(HEIGHT_PX / 2.0, abs=0.2)
    assert heights(more.reaches[1].outline)[1] == pytest.approx(0.75 * HEIGHT_PX, abs=0.2)


def test_every_station_has_its_reach_and_they_meet() -> None:
    (drawn,) = ribbons_drawn([("version 1", ribbon(38.0, 37.0, 28.0, 27.0, 24.0, 21.0, 20.0, 18.0))], system="metric")
    assert [reach.station for reach in drawn.reaches] == [key for key, _, _ in COLUMNS]
    ends = [heights(reach.outline) for reach in drawn.reaches]
    for (_, left), (right, _) in itertools.pairwise(ends):
        assert left == pytest.approx(right, abs=0.2)
    assert [tone.at_pct for tone in drawn.reaches[1].tones] == ["0%", "50%", "50%", "100%"]  # mash and lauter


def test_a_second_mash_shares_the_column_of_the_first() -> None:
    (drawn,) = ribbons_drawn([("version 1", ribbon(38.0, second_mash=True))], system="metric")
    assert len(drawn.reaches) == len(COLUMNS)
    assert len(drawn.reaches[1].tones) == 8


@pytest.mark.parametrize(
    ("system", "told"),
    [("metric", "40.0 L of water become 18.0 L of beer"), ("us", "10.6 gal of water become 4.8 gal of beer")],
)
def test_it_is_told_in_words_and_in_the_persons_units(system: str, told: str) -> None:
    (drawn,) = ribbons_drawn([("version 1", ribbon(40.0, 40.0, 18.0))], system=system)
    assert drawn.told == told
    assert drawn.reaches[-1].volume in told
