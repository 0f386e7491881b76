"""A plan: a recipe brewed on a brewhouse, every figure with its band, the day, the cautions, the misses."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import attrs
import numpy as np

from gyle import __version__
from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Aim, Recipe
from gyle.decide.fit import Check, checks
from gyle.decide.solve import Free, Solution, Targets, brewed, free_of, solve, targets_of
from gyle.decide.tolerances import TOLERANCE
from gyle.decide.wanted import outside, ratio_note, wanted_by
from gyle.errors import Infeasible
from gyle.line.amounts import Amounts
from gyle.line.beliefs import inputs_for
from gyle.line.brew import Brew, Step
from gyle.line.cautions import Caution, cautions
from gyle.line.day import CARBONATION_VOL, KEG_C
from gyle.line.ensemble import DRAWS
from gyle.line.figures import FIGURES, Band, band, figure
from gyle.line.words import worth_saying
from gyle.quantities import write
from gyle.science.water_ions import MOLAR_MASS

if TYPE_CHECKING:
    from gyle.decide.treatment import Treatment

__all__ = ["Miss", "Plan", "plan", "planned"]

# Most passes that move gravity, volume and bitterness so that the ensemble's mean meets the aim, not only its
# middle; two are usual.
MEAN_PASSES = 5


@attrs.frozen(kw_only=True)
class Miss:
    """An aim that stated amounts do not meet; of a range, `wanted` is its nearest end."""

    figure: str
    wanted: float
    got: float
    within_rounding: bool
    span: tuple[float, float] | None = None  # the range, where one is wanted; an open side is infinite


@attrs.frozen(kw_only=True, eq=False)
class Plan:
    """What a recipe on a brewhouse comes to."""

    recipe: Recipe
    brewhouse: Brewhouse
    amounts: Amounts
    brew: Brew
    figures: Mapping[str, Band]
    checks: tuple[Check, ...]
    misses: tuple[Miss, ...]
    treatment: Treatment | None = None
    notes: tuple[str, ...] = ()
    model: str = __version__

    @property
    def fits(self) -> bool:
        """Whether every vessel and the heat suffice."""
        return all(check.fits for check in self.checks)

    @property
    def short_of(self) -> tuple[str, ...]:
        """What does not fit, in sentences."""
        return tuple(check.sentence for check in self.checks if not check.fits)

    def cautions(self, system: str | None = None) -> list[Caution]:
        """Hazards where they are."""
        return cautions(self.recipe, self.brewhouse, self.brew, system=system)

    @property
    def steps(self) -> list[Step]:
        """What a brewer does, in order."""
        return [step for step in self.brew.steps if worth_saying(step)]


def planned(
    recipe: Recipe,
    brewhouse: Brewhouse,
    targets: Targets | None = None,
    *,
    start: Amounts | None = None,
    draws: int = DRAWS,
) -> tuple[Solution, Brew, Targets]:
    """Solve, then move gravity and volume until the ensemble's means meet the aims too.

    Returns
    -------
    tuple of Solution, Brew, Targets
        The amounts, the ensemble brewed with them, and the centre-line targets that gave them.
    """
    wanted = targets or targets_of(recipe)
    free = free_of(recipe, brewhouse)
    solution = solve(recipe, brewhouse, wanted, start=start)
    inputs = inputs_for(recipe, brewhouse, draws)
    brew = brewed(recipe, brewhouse, solution.amounts, inputs)
    moving = free.water is not None or free.grist or bool(free.hops)
    shifted = wanted
    for _ in range(MEAN_PASSES if moving else 0):
        off = {name: miss for name, (miss, near) in _off(wanted, free, brew).items() if abs(miss) > near}
        if not off:
            break
        shifted = attrs.evolve(shifted, **{name: getattr(shifted, name) + miss for name, miss in off.items()})
        solution = solve(recipe, brewhouse, shifted, start=solution.amounts)
        brew = brewed(recipe, brewhouse, solution.amounts, inputs)
    return solution, brew, shifted


def _off(wanted: Targets, free: Free, brew: Brew) -> dict[str, tuple[float, float]]:
    """By how much each target's mean is missed, and how near is near enough."""
    found: dict[str, tuple[float, float]] = {}
    if free.water is not None and wanted.volume_L is not None:
        volume = brew.noted("clear_L") if wanted.into == "keg" else brew.figures["fermenter.volume"]
        found["volume_L"] = (wanted.volume_L - float(volume.mean()), 0.002)
    if free.grist and wanted.gravity_sg is not None:
        found["gravity_sg"] = (wanted.gravity_sg - float(brew.figures["fermenter.original_gravity"].mean()), 1e-5)
    if free.hops and wanted.bitterness is not None:
        found["bitterness"] = (wanted.bitterness - float(brew.figures[wanted.measure].mean()), 0.005)
    return found


def plan(recipe: Recipe, brewhouse: Brewhouse, *, draws: int = DRAWS) -> Plan:
    """Brew a recipe as written on a brewhouse: stated amounts stay, the rest is solved.

    Parameters
    ----------
    recipe : Recipe
        The beer.
    brewhouse : Brewhouse
        Where it is brewed.
    draws : int
        Simulated brews.

    Returns
    -------
    Plan
        Figures with bands, the day, what does not fit.

    Raises
    ------
    Infeasible
        If an aimed gravity cannot be reached here, or the heat cannot boil it; the text says how far one can go.
    """
    solution, brew, _ = planned(recipe, brewhouse, draws=draws)
    treatment = None
    if brewhouse.water is not None and leaves_water_open(recipe):
        from gyle.decide.treated import treated  # with the optimiser behind it

        made = treated(recipe, brewhouse, solution, draws=draws, dilute=False)
        treatment, recipe, solution, brew = made.treatment, made.recipe, made.solution, made.brew
    finished_plan = attrs.evolve(finished(recipe, brewhouse, solution, brew), treatment=treatment)
    cold = next((check for check in finished_plan.checks if check.what == "heat" and not check.fits), None)
    if cold is not None:
        raise Infeasible(f"{brewhouse.name}: {cold.sentence}")
    return finished_plan


def leaves_water_open(recipe: Recipe) -> bool:
    """Whether a recipe asks for ions or a mash pH, and leaves open what is dosed for them."""
    asks = bool(wanted_by(recipe)) or recipe.aim("mash.ph") is not None
    stated = any(line.mineral is not None and line.at.stage in ("mash", "sparge") for line in recipe.others)
    return asks and not stated


def finished(recipe: Recipe, brewhouse: Brewhouse, solution: Solution, brew: Brew) -> Plan:
    """Put a solved and brewed recipe together with its checks, misses and notes."""
    figures = {name: band(values) for name, values in brew.figures.items() if figure(name) is not None}
    misses = tuple(_misses(recipe, brew, solution.centre))
    return Plan(
        recipe=recipe,
        brewhouse=brewhouse,
        amounts=solution.amounts,
        brew=brew,
        figures=figures,
        checks=tuple(checks(recipe, brewhouse, solution.centre)),
        misses=misses,
        notes=(*recipe.notes, *brewhouse.notes, *solution.notes, *_notes(recipe, brewhouse, brew, figures)),
    )


# What the solver leaves between an aim and the figure, by figure: closer than this is met.
_MET = {
    "fermenter.original_gravity": 5e-5,
    "glass.bitterness_tinseth": 0.1,
    "glass.bitterness": 0.1,
    "glass.bitterness_rager": 0.1,
    "glass.bitterness_garetz": 0.1,
    "glass.bitterness_ratio": 0.002,
    "mash.ph": 0.05,
    **{f"water.{ion}": miss for ion, miss in TOLERANCE.items()},
}
MET_BICARBONATE_MG_L = TOLERANCE["alkalinity"] * MOLAR_MASS["bicarbonate"]  # of a range


def _misses(recipe: Recipe, brew: Brew, centre: Brew) -> list[Miss]:
    """Aims met neither on the centre line nor by the ensemble's mean."""
    found = []
    aims = list(recipe.aims)
    if recipe.volume_L is not None:
        name = "fermenter.volume" if recipe.into == "fermenter" else "keg.volume"
        aims.append(Aim(figure=name, value=recipe.volume_L, half_digit=recipe.volume_half_digit))
    named = {aim.figure for aim in aims}
    aims += [
        Aim(figure=f"water.{ion}", value=amount)
        for ion, amount in recipe.wanted_ions_mg_L
        if f"water.{ion}" not in named
    ]
    for aim in aims:
        if aim.figure not in brew.figures:
            continue
        got = float(brew.figures[aim.figure].mean())
        middle = float(centre.figures[aim.figure].mean())
        tolerance = _MET.get(aim.figure, 0.005 * max(abs(aim.value), 1e-9))
        off = min(abs(got - aim.value), abs(middle - aim.value))
        if off > tolerance:
            found.append(Miss(figure=aim.figure, wanted=aim.value, got=got, within_rounding=off <= aim.half_digit))
    ranges = {f"water.{ion}": (low, high) for ion, low, high in recipe.wanted_ranges_mg_L}
    for name, span in ranges.items():
        if name in named or name not in brew.figures:
            continue
        got = float(brew.figures[name].mean())
        off = min(outside(got, *span), outside(float(centre.figures[name].mean()), *span))
        if off > _MET.get(name, MET_BICARBONATE_MG_L):
            nearest = min(span, key=lambda end: abs(end - got))
            found.append(Miss(figure=name, wanted=nearest, got=got, within_rounding=False, span=span))
    return found


def _notes(recipe: Recipe, brewhouse: Brewhouse, brew: Brew, figures: Mapping[str, Band]) -> list[str]:
    notes = []
    stood = [line.what for line in recipe.hops if line.at.stage in ("stand", "chill")]
    if stood and recipe.bitterness_by not in ("kinetic", "laboratory"):
        notes.append("the trade's function counts nothing for hops after the boil; bitterness by kinetics counts them")
    if figures["fermenter.final_gravity"].skewed:
        middle = write(figures["fermenter.final_gravity"].median, "gravity", digits=3)
        notes.append(
            f"final gravity leans upwards because a strong fermentation sometimes stops early: half of the brews"
            f" end below {middle}"
        )
    alpha = sum(
        float(np.mean(brew.noted(f"alpha_kg.{place}")))
        for place, line in enumerate(recipe.hops)
        if line.at.stage == "boil"
    )
    per_litre = alpha * 1e6 / max(figures["kettle.end.volume"].mean, 1e-9)
    if per_litre > 250.0:
        notes.append(
            f"{per_litre:.0f} mg/L of alpha acids is more than wort dissolves (about 250 mg/L), so bitterness may"
            " come out lower than either figure says"
        )
    if recipe.package.temperature_C is None:
        notes.append(f"no keg temperature is written: {write(KEG_C, 'temperature')} is taken")
    if recipe.package.carbonation_vol is None and recipe.package.pressure_bar is None:
        notes.append(f"no carbonation is written: {CARBONATION_VOL:g} volumes are taken")
    og = figures["fermenter.original_gravity"].mean
    head = brewhouse.fermenter_vessel_L / max(float(np.mean(brew.noted("fermenter_full_L"))), 1e-9) - 1.0
    wanted_head = 0.30 if og > 1.080 else 0.20
    if 0.0 < head < wanted_head:
        notes.append(
            f"the fermenter has {100.0 * head:.0f} % of head room where {100.0 * wanted_head:.0f} % is usual: fit a"
            " blow-off tube"
        )
    spare = figures["keg.left_over"].mean
    if spare > 0.2:
        notes.append(
            f"about {write(spare, 'volume')} of clear beer is left when the keg is full: bottles or a second keg"
        )
    if recipe.package.by != "force":
        notes.append(f"carbonation by {recipe.package.by} is read, but its sugar or gravity is not yet computed")
    if len(recipe.yeasts) > 1:
        notes.append(f"only {recipe.yeasts[0].what} is reckoned with; a second yeast changes no figure yet")
    notes.extend(_of_water(recipe, brewhouse))
    if brewhouse.water is not None:
        held = (figures[f"water.{ion}"].mean for ion in ("sulfate", "chloride"))
        notes.extend(ratio_note(recipe.sulfate_to_chloride, *held))
    return notes


def _of_water(recipe: Recipe, brewhouse: Brewhouse) -> tuple[str, ...]:
    """Where nobody states the water: what is taken in its place."""
    if brewhouse.water is not None:
        return (*brewhouse.water.notes, *brewhouse.water.supposed)
    aim = recipe.aim("mash.ph")
    held = "" if aim is None else f", and its mash pH of {aim.value:g} as held by whatever acid that takes"
    if recipe.wanted_ions_mg_L or recipe.wanted_ranges_mg_L:
        return (f"no water report is given: the wanted ions are taken as met{held}; --water tells what that takes",)
    return (f"no water report is given: a usual tap water is taken, of wide bands{held}",)


def figure_order(name: str) -> int:
    """Where a figure stands from water to glass."""
    names = list(FIGURES)
    known = figure(name)
    return names.index(known.name) if known else len(names)
