"""Waters, salts and acids out of a hat, and the books of what they brought."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from hypothesis import assume
from hypothesis import strategies as st
from numpy.typing import NDArray

from gyle.beer.mineral import Mineral, mineral_of, minerals
from gyle.beer.page import Page, parsed
from gyle.beer.reading import read_water
from gyle.beer.recipe import OtherLine, Recipe
from gyle.beer.section import Section
from gyle.beer.timing import Timing
from gyle.beer.water import Water
from gyle.beer.water_blend import bought_water
from gyle.beer.water_reading import water_of
from gyle.errors import BadInput
from gyle.line.amounts import Amounts
from gyle.line.brew import Brew
from gyle.line.content import MINERALS, WATER_KG_L
from gyle.line.day import HOT_SIDE, mash_numbers

Array = NDArray[np.float64]

_STREET = Path(__file__).parents[2] / "examples" / "lantern-street"
HARD, SOFT = (read_water(_STREET / f"water-{name}.toml") for name in ("hard", "soft"))
PALE = "calcium = 80\nmagnesium = 10\nsodium = 12\npotassium = 2\nsulfate = 30\nchloride = 20\nnitrate = 10\n"


def report(text: str) -> Water:
    """A water by its report."""
    page = Page(parsed(text, "w"), text, "w")
    water = water_of(Section(page, page.data))
    page.settle()
    return water


def stated(
    *, alkalinity_mEq_L: float, ph: float = 7.5, calcium_mg_L: float = 40.0, magnesium_mg_L: float = 5.0
) -> Water:
    """A plain water of a stated alkalinity and hardness."""
    return report(
        f"calcium = {calcium_mg_L}\nmagnesium = {magnesium_mg_L}\nsodium = 10\npotassium = 1\nsulfate = 20\n"
        f'chloride = 20\nnitrate = 2\nph = {ph}\nacid_capacity = "{alkalinity_mEq_L + 0.05} mmol/l"\n'
    )


def bought(name: str) -> Water:
    water = bought_water(name)
    assert water is not None
    return water


# Odd, but what a report may say: soda springs, softened and limed water, acid moorland water, brine, one figure alone.
STRANGE = tuple(
    report(text)
    for text in (
        f'{PALE}ph = 6.1\nacid_capacity = "38 mmol/l"\n',
        "calcium = 0\nmagnesium = 0\nsodium = 180\npotassium = 2\nsulfate = 30\nchloride = 20\nnitrate = 10\n"
        'ph = 8.3\nacid_capacity = "7 mmol/l"\n',
        f'{PALE}ph = 10.4\nacid_capacity = "0.9 mmol/l"\n',
        f'{PALE}ph = 4.6\nacid_capacity = "0.06 mmol/l"\n',
        "calcium = 400\nmagnesium = 500\nsodium = 4000\npotassium = 200\nsulfate = 2700\nchloride = 4800\n"
        'nitrate = 1\nph = 8.1\nacid_capacity = "2.4 mmol/l"\n',
        'hardness = "12 °dH"\n',
        f'{PALE}phosphate = 5\nph = 7.8\nacid_capacity = "3 mmol/l"\n',
    )
)
BOUGHT = tuple(bought(name) for name in ("reverse osmosis", "distilled"))


@st.composite
def _reported(draw: st.DrawFn) -> Water:
    ions = {
        ion: draw(st.floats(0.0, most))
        for ion, most in (
            ("calcium", 300.0),
            ("magnesium", 100.0),
            ("sodium", 300.0),
            ("potassium", 30.0),
            ("sulfate", 800.0),
            ("chloride", 400.0),
            ("nitrate", 80.0),
        )
    }
    lines = [f"{ion} = {round(value, 2)}" for ion, value in ions.items()]
    lines += [f'acid_capacity = "{draw(st.floats(0.06, 12.0)):.2f} mmol/l"', f"ph = {draw(st.floats(6.0, 9.0)):.2f}"]
    try:
        return report("\n".join(lines))
    except BadInput:
        assume(False)
        raise


def waters() -> st.SearchStrategy[Water | None]:
    """Any water a brewhouse may have, or none that anybody stated."""
    return st.one_of(st.none(), st.sampled_from((HARD, SOFT, *BOUGHT, *STRANGE)), _reported())


def stages(mashes: int) -> st.SearchStrategy[Timing]:
    """Wherever a salt or an acid may go in."""
    plain = [Timing(stage=stage) for stage in ("mash", "sparge", "first wort", "chill", "pitch", "keg", "bottle")]
    return st.one_of(
        st.sampled_from([*plain, *(Timing(stage="mash", mash=mash) for mash in range(2, mashes + 1))]),
        st.builds(Timing, stage=st.just("boil"), minutes=st.floats(0.0, 120.0)),
        st.builds(Timing, stage=st.just("stand"), temperature_C=st.floats(50.0, 100.0), minutes=st.floats(0.0, 30.0)),
        st.builds(Timing, stage=st.just("ferment"), day=st.floats(1.0, 10.0)),
    )


@st.composite
def mineral_lines(draw: st.DrawFn, mashes: int = 1, *, most: float = 2.0) -> OtherLine:
    """A salt, acid or base at any stage, up to so many times what a litre, or twenty, should be given."""
    mineral = draw(st.sampled_from(minerals()))
    at = draw(stages(mashes))
    grams_L = draw(st.floats(0.0, most)) * mineral.most_g_L
    if draw(st.booleans()):
        return dosed(mineral, at, rate_g_L=grams_L)
    return dosed(mineral, at, grams=20.0 * grams_L)


def mineral(what: str) -> Mineral:
    found = mineral_of(what)
    assert found is not None
    return found


def dosed(
    what: Mineral | str, at: Timing | None = None, *, grams: float | None = None, rate_g_L: float | None = None
) -> OtherLine:
    """A line of a recipe that doses so many grams, or grams a litre, of a mineral as it is weighed; in the mash."""
    found = mineral(what) if isinstance(what, str) else what
    by_volume = found.density_kg_L is not None and grams is not None
    return OtherLine(
        what=found.name,
        mineral=found,
        at=at or Timing(stage="mash"),
        mass_kg=None if by_volume or grams is None else grams / 1000.0,
        volume_L=grams / 1000.0 / (found.density_kg_L or 1.0) if by_volume and grams is not None else None,
        rate_g_L=rate_g_L,
    )


def acid(mmol: float, solution: str) -> OtherLine:
    """So many millimoles of an acid out of a bottle, into the mash."""
    found = mineral(solution)
    return dosed(found, grams=mmol * found.molar_mass_g_mol / 1000.0 / found.strength_fraction.centre)


def _grams(line: OtherLine, recipe: Recipe, amounts: Amounts) -> float:
    """Grams of a mineral that all gyles together are given; the mash's where nothing is sparged."""
    assert line.mineral is not None
    mashes = mash_numbers(recipe)
    sparge_L = sum(amounts.sparge_L[: len(mashes)])
    mash_L = amounts.liquor_L[line.at.mash - 1] if line.at.mash <= len(amounts.liquor_L) else 0.0
    unmashed = not any(one.ingredient.group != "sugar" and one.at.stage in ("mash", "sparge") for one in recipe.grist)
    if line.rate_g_L is None:
        return 1000.0 * (line.mass_kg or (line.volume_L or 0.0) * (line.mineral.density_kg_L or 1.0))
    gyles = recipe.gyles if line.at.stage in HOT_SIDE else 1
    litres = {"mash": mash_L, "sparge": sparge_L if sparge_L > 1e-3 else amounts.liquor_L[0]}.get(
        line.at.stage, (recipe.volume_L or 0.0) / gyles
    )
    if unmashed and line.at.stage in ("mash", "sparge"):
        litres = amounts.liquor_L[0] + amounts.sparge_L[0]
    return line.rate_g_L * litres * gyles


def brought_mmol(brew: Brew, recipe: Recipe, amounts: Amounts) -> Array:
    """What all liquor, water and doses of all gyles brought of each total (12, draws), by the report and the labels."""
    each_litre = np.stack(
        np.broadcast_arrays(*(brew.inputs[f"water.total.{row.removeprefix('~')}"] for row in MINERALS))
    )
    plain_kg = sum(line.mass_kg or 0.0 for line in recipe.others if line.what == "water")
    total: Array = each_litre * (brew.noted("water_used_L") * recipe.gyles + plain_kg / WATER_KG_L)
    for line in recipe.others:
        if line.mineral is None:
            continue
        amount = _grams(line, recipe, amounts) / (line.mineral.density_kg_L or 1.0)
        works = {"calcium hydroxide": "lime", "calcium carbonate": "chalk"}.get(line.mineral.key, "")
        mashed = line.at.stage == "mash" or (line.at.stage == "sparge" and not sum(amounts.sparge_L) > 1e-3)
        share = brew.inputs[f"model.{works}_works"] if works == "chalk" or (works and mashed) else np.ones(1)
        strength = brew.inputs[f"mineral.{line.mineral.slug}.strength"]
        total = total + line.mineral.totals_mmol(amount * share, strength)
    return total
