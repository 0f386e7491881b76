"""Generated recipes and brewhouses: any that a file can say."""

from __future__ import annotations

import attrs
from hypothesis import strategies as st

from gyle.beer import tables
from gyle.beer.brewhouse import KINDS, Brewhouse, Habit
from gyle.beer.estimate import Estimate
from gyle.beer.hop_reading import STATED_ALPHA_SPREAD
from gyle.beer.kinds import default_brewhouse, traits
from gyle.beer.recipe import (
    Aim,
    FermentationStep,
    GristLine,
    HopLine,
    OtherLine,
    Packaging,
    Recipe,
    Rest,
    Sparge,
    YeastLine,
)
from gyle.beer.timing import Timing


def number(low: float, high: float, places: int = 1) -> st.SearchStrategy[float]:
    """A number as it may be printed, with so many decimals at most."""
    ten = 10**places
    return st.integers(round(low * ten), round(high * ten)).map(lambda n: float(f"{n / ten:.{places}f}"))


def maybe(of: st.SearchStrategy[float]) -> st.SearchStrategy[float | None]:
    return st.none() | of


PROSE = st.text(st.characters(codec="utf-8", exclude_characters="\r\0"), min_size=1, max_size=60).filter(str.strip)
WORDS = st.text(
    st.characters(codec="utf-8", categories=["L", "N", "P"], exclude_characters="#"), min_size=1, max_size=12
)


def _ingredient(name: str):  # type: ignore[no-untyped-def]
    found = tables.fermentable(name)
    assert found is not None
    return found[0]


MASHED = [name for name in tables.fermentable_names() if _ingredient(name).mashed]
KETTLE = [name for name in tables.fermentable_names() if not _ingredient(name).mashed]


@st.composite
def grist(draw: st.DrawFn) -> tuple[GristLine, ...]:
    names = draw(st.lists(st.sampled_from(MASHED), min_size=1, max_size=4)) + draw(
        st.lists(st.sampled_from(KETTLE), max_size=2)
    )
    kettle_at = st.builds(Timing, stage=st.just("boil"), minutes=number(0, 60))
    ats = [draw(kettle_at if name in KETTLE else st.just(Timing(stage="mash")) | kettle_at) for name in names]
    if draw(st.booleans()):
        shares = [1] * len(names)
        for _ in range(100 - len(names)):
            shares[draw(st.integers(0, len(names) - 1))] += 1
        return tuple(
            GristLine(what=n, ingredient=_ingredient(n), at=a, share=s / 100.0, half_digit=0.5 / 100.0)
            for n, a, s in zip(names, ats, shares, strict=True)
        )
    return tuple(
        GristLine(what=n, ingredient=_ingredient(n), at=a, mass_kg=draw(number(1, 900, 3)), half_digit=0.0005)
        for n, a in zip(names, ats, strict=True)
    )


@st.composite
def hop_line(draw: st.DrawFn) -> HopLine:
    name = draw(st.sampled_from(tables.hop_names()))
    found = tables.hop(name)
    assert found is not None
    alpha = found[0].alpha_fraction
    if draw(st.booleans()):
        centre = draw(st.integers(1, 290)) / 10.0 / 100.0
        alpha = Estimate(centre=centre, spread=STATED_ALPHA_SPREAD * centre, low=0.0, high=0.3, source="stated")
    boiled = st.builds(Timing, stage=st.just("boil"), minutes=number(0, 60))
    stood = st.builds(Timing, stage=st.just("stand"), temperature_C=number(40, 99), minutes=number(0, 90, 0))
    dry = st.builds(Timing, stage=st.just("dry"), points_above_final=number(0, 40), contact_days=maybe(number(1, 9)))
    at = draw(boiled | stood | dry)
    line = HopLine(
        what=name,
        hop=found[0],
        alpha_fraction=alpha,
        at=at,
        form=draw(st.sampled_from(["pellets", "whole", "wet"])),
        vessel=draw(st.sampled_from(["kettle", "hop vessel"])),
    )
    kinds = ["mass", "rate"] + ([] if at.stage == "dry" else ["bitterness"])
    match draw(st.sampled_from(kinds)):
        case "mass":
            return attrs.evolve(line, mass_kg=draw(st.integers(1, 900)) * 1e-3, half_digit=0.5 * 1e-3)
        case "rate":
            return attrs.evolve(line, rate_g_L=draw(number(0.1, 20)), half_digit=0.05)
        case _:
            return attrs.evolve(line, bitterness_ibu=draw(number(1, 100, 0)), half_digit=0.5)


@st.composite
def other_line(draw: st.DrawFn) -> OtherLine:
    line = OtherLine(
        what=draw(WORDS),
        at=draw(st.sampled_from([Timing(stage=stage) for stage in ("mash", "sparge", "pitch", "keg")])),
        extract_fraction=draw(st.integers(0, 100)) / 100.0,
        water_fraction=draw(st.integers(0, 100)) / 100.0,
        strength_pct=draw(maybe(number(1, 99))),
        allergen=draw(st.just("") | WORDS),
    )
    key = draw(st.sampled_from(["mass_kg", "volume_L", "count", "rate_g_L"]))
    return attrs.evolve(line, **{key: draw(number(1, 50, 2))})


@st.composite
def rests(draw: st.DrawFn) -> tuple[Rest, ...]:
    found = []
    for mash in (1, 2):
        for first in [True] * draw(st.integers(2 - mash, 1)) + [False] * draw(st.integers(0, 2)):
            if mash == 2 and not first and not any(rest.mash == 2 for rest in found):
                continue
            rest = Rest(
                temperature_C=draw(number(40, 80)),
                minutes=draw(number(1, 120, 0)),
                by=draw(st.sampled_from(["heat", "infusion", "decoction"])),
                mash=mash,
                liquor_from="mash 1" if mash == 2 and first and draw(st.booleans()) else None,
            )
            key = draw(st.sampled_from([None, "liquor_L", "thickness_L_kg"])) if first else None
            found.append(attrs.evolve(rest, **{key: draw(number(2, 18))}) if key else rest)
    return tuple(found)


@st.composite
def yeast_line(draw: st.DrawFn) -> YeastLine:
    name = draw(st.sampled_from(tables.yeast_names()))
    found = tables.yeast(name)
    assert found is not None
    line = YeastLine(
        what=name, yeast=found[0], attenuation=draw(st.none() | st.integers(60, 95).map(lambda n: n / 100.0))
    )
    key = draw(st.sampled_from([None, "pitch_M_mL_P", "packs", "mass_kg", "cells"]))
    if key is None:
        return line
    amount = draw(st.integers(1, 900)) * 1e9 if key == "cells" else draw(number(0.1, 4, 2))
    return attrs.evolve(line, **{key: amount})


@st.composite
def steps(draw: st.DrawFn) -> tuple[FermentationStep, ...]:
    found = []
    for _ in range(draw(st.integers(1, 3))):
        days = draw(maybe(st.integers(1, 40).map(float)))
        found.append(
            FermentationStep(
                temperature_C=draw(number(0, 40)),
                days=days,
                stable_days=draw(number(1, 9)) if days is None else None,
                from_points_above_final=draw(maybe(number(0, 30))),
                ramp_hours=draw(maybe(st.integers(1, 72).map(float))),
                pressure_bar=draw(maybe(number(0, 2, 2))),
            )
        )
    return tuple(found)


AIMS = {
    "fermenter.original_gravity": (1.010, 1.190, 3, "{:.3f}"),
    "fermenter.final_gravity": (0.990, 1.050, 3, "{:.3f}"),
    "fermenter.alcohol": (1, 20, 1, "{:.1f} %"),
    "glass.bitterness_tinseth": (1, 120, 0, "{:.0f} IBU"),
    "glass.bitterness": (1, 120, 0, "{:.0f} IBU"),
    "glass.bitterness_ratio": (0.1, 2, 2, "{:.2f}"),
    "glass.colour": (2, 200, 0, "{:.0f} EBC"),
    "mash.ph": (5, 6, 2, "{:.2f}"),
    "kettle.end.volume": (5, 60, 1, "{:.1f} L"),
    "mash.2.ph": (5, 6, 2, "{:.2f}"),
    "water.calcium": (5, 200, 0, "{:.0f} mg/L"),
}


@st.composite
def aims(draw: st.DrawFn) -> tuple[Aim, ...]:
    found = []
    for figure in draw(st.lists(st.sampled_from(sorted(AIMS)), unique=True, max_size=4)):
        low, high, places, form = AIMS[figure]
        value = draw(number(low, high, places))
        text = form.format(value) if draw(st.booleans()) else ""
        found.append(Aim(figure=figure, value=value, half_digit=0.5 * 10.0**-places, text=text))
    return tuple(found)


@st.composite
def brewhouses(draw: st.DrawFn) -> Brewhouse:
    kind = draw(st.sampled_from(KINDS))
    kettle = draw(number(8, 300))
    of = traits(
        kind,
        {
            "kettle_vessel_L": kettle,
            "mash_vessel_L": draw(st.just(kettle) | number(8, 300)),
            "fermenter_vessel_L": draw(number(8, 300)),
            "drain": draw(st.sampled_from(["gravity basket", "hung bag", "squeezed bag", "lauter tun"])),
            "sparge": draw(st.sampled_from(["hand", "none", "continuous", "batch"])),
            "heat": draw(st.sampled_from(["electric", "gas", "induction"])),
            "chill_by": draw(st.sampled_from(["counterflow", "immersion", "none"])),
            "stand_chill_by": draw(st.sampled_from(["counterflow", "immersion", "none"])),
            "altitude_m": draw(number(0, 2000, 0)),
            "mash_heated": draw(st.booleans()),
            "recirculated": draw(st.booleans()),
        },
    )
    if of.mash_vessel_L != of.kettle_vessel_L:
        of = attrs.evolve(of, same_vessel=False)
    figures = {}
    for name, low, high in (("trub_L", 0.2, 3), ("left_behind_L", 0.2, 3), ("tap_water_C", 5, 25)):
        if draw(st.booleans()):
            plain = getattr(default_brewhouse(of, "x"), name)
            figures[name] = attrs.evolve(
                plain,
                centre=(centre := draw(number(low, high))),
                spread=draw(number(0, 1, 2)),
                each_time=draw(number(0, 1, 2)),
                low=min(plain.low, centre),
                high=max(plain.high, centre),
                source=draw(st.sampled_from(["stated", "stated, from 3 gyles"])),
            )
    return default_brewhouse(
        of,
        draw(WORDS),
        figures,
        grain_limit_kg=draw(maybe(number(1, 40))),
        sparge_tanks=draw(st.none() | st.integers(1, 6)),
        chill_to_C=draw(maybe(number(5, 30))),
        keg_vessel_L=draw(number(5, 50)),
        thickness_L_kg=draw(maybe(number(2, 5))),
        habit=draw(
            st.none()
            | st.builds(
                Habit,
                brewhouse_efficiency=st.integers(40, 95).map(lambda n: n / 100.0),
                gravity_sg=number(1.030, 1.100, 3),
                volume_L=number(5, 60),
            )
        ),
    )


@st.composite
def recipes(draw: st.DrawFn) -> Recipe:
    volume = draw(maybe(number(1, 300)))
    return Recipe(
        name=draw(WORDS),
        grist=draw(grist()),
        rests=draw(rests()),
        boil_minutes=draw(number(60, 180, 0)),
        held_back_L=draw(maybe(number(1, 30))),
        gyles=draw(st.integers(1, 3)),
        hops=tuple(draw(st.lists(hop_line(), max_size=3))),
        others=tuple(draw(st.lists(other_line(), max_size=2))),
        yeasts=tuple(draw(st.lists(yeast_line(), min_size=1, max_size=2))),
        fermentation=draw(steps()),
        package=Packaging(
            carbonation_vol=draw(number(0, 5)),
            pressure_bar=draw(maybe(number(0, 3, 2))),
            temperature_C=draw(maybe(number(0, 20))),
            by=draw(st.sampled_from(["force", "priming", "closed early"])),
            into=draw(st.sampled_from([(), (("keg", 19.0),), (("keg", 9.5), ("bottle", 0.33))])),
        ),
        sparge=draw(
            st.builds(Sparge, volume_L=maybe(number(1, 30)), temperature_C=maybe(number(20, 90)), squeeze=st.booleans())
        ),
        volume_L=volume,
        volume_half_digit=0.05 if volume is not None else 0.0,
        into=draw(st.sampled_from(["fermenter", "keg"])) if volume is not None else "fermenter",
        aims=draw(aims()),
        printed=draw(aims()),
        bitterness_by=draw(st.sampled_from(["tinseth", "kinetic", "rager"])),
        wanted_ions_mg_L=draw(st.sampled_from([(), (("calcium", 75.0),), (("calcium", 50.5), ("sulfate", 90.0))])),
        for_brewhouse=draw(st.none() | brewhouses()),
        prose=draw(st.just("") | PROSE),
    )
