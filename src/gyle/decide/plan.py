"""A plan: a recipe brewed on a brewhouse, every figure with its band, the day, the cautions, the misses."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import attrs

from gyle import __version__
from gyle.beer.brewhouse import Brewhouse
from gyle.beer.recipe import Recipe
from gyle.decide.fit import Check, checks
from gyle.decide.misses import Miss, misses
from gyle.decide.plan_notes import notes
from gyle.decide.solve import Free, Solution, Targets, brewed, nearby, searched, targets_of
from gyle.decide.start import Start, nearly_alike, start_from
from gyle.decide.wanted import wanted_by
from gyle.errors import Infeasible
from gyle.line.amounts import Amounts
from gyle.line.beliefs import inputs_for
from gyle.line.brew import Brew, Step
from gyle.line.cautions import Caution, cautions
from gyle.line.ensemble import DRAWS
from gyle.line.figures import FIGURES, Band, bands, figure
from gyle.line.words import worth_saying

if TYPE_CHECKING:
    from gyle.decide.treatment import Treatment

__all__ = ["Miss", "Plan", "plan", "planned"]

# Most passes that move gravity, volume and bitterness so that the ensemble's mean meets the aim, not only its
# middle; two or three are usual. A mean within this share of its aim is met: at most a hundredth of the last digit
# that is shown of anything, and mostly far less, so that a plan does not tell where its search began. A step is
# trusted to leave a fortieth of a miss.
MEAN_PASSES = 8
NEAR = 2e-6
STEP_LEAVES = 1.0 / 40.0


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
    middle: Targets | None = None  # what the centre line comes to where the means meet the aims
    notes: tuple[str, ...] = ()
    model: str = __version__

    def slim(self) -> Plan:
        """The plan as it may be kept: without what every vessel held after each move, four fifths of its memory.

        A ribbon, dip-sticks and the pH of a sparge are read off that, so they are drawn before, or off the plan made
        whole again. Sources, cautions, the day and a search that starts here need none of it.
        """
        return attrs.evolve(self, brew=self.brew.slim())

    def whole(self) -> Plan:
        """The plan with what every vessel held: brewed once more if it was kept slim, to the same last digit."""
        if self.brew.kept:
            return self
        return attrs.evolve(self, brew=brewed(self.recipe, self.brewhouse, self.amounts, self.brew.inputs))

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
        """What a brewer does, in the order it is begun."""
        said = [step for step in self.brew.steps if worth_saying(step)]
        return sorted(said, key=lambda step: float(step.start_min.mean()))


def planned(
    recipe: Recipe,
    brewhouse: Brewhouse,
    targets: Targets | None = None,
    *,
    start: Amounts | Start | None = None,
    draws: int = DRAWS,
    chemistry: bool = True,
) -> tuple[Solution, Brew, Targets]:
    """Solve on the centre line, then move the amounts until the ensemble's means meet the aims too.

    Parameters
    ----------
    recipe, brewhouse : Recipe, Brewhouse
        The beer and where it is brewed.
    targets : Targets, optional
        What must come out, in the place of the recipe's own aims.
    start : Amounts or Start, optional
        Where the search begins; it ends at the same amounts, as far as the means are met (within `NEAR`).
    draws : int
        Simulated brews.
    chemistry : bool
        Whether minerals and pH are followed; without them the brew tells its figures and keeps no contents.

    Returns
    -------
    tuple of Solution, Brew, Targets
        The amounts, the ensemble brewed with them, and the centre-line targets that give them.
    """
    wanted = targets or targets_of(recipe)
    search = nearby(recipe, brewhouse, wanted, start) if isinstance(start, Start) else None
    if search is None:
        search = searched(recipe, brewhouse, wanted, start=None if isinstance(start, Start) else start)
    inputs = inputs_for(recipe, brewhouse, draws)
    free = search.candidates.free
    # Minerals and contents are followed once the amounts are likely to be the last.
    whole = chemistry and not search.moved
    for _ in range(MEAN_PASSES):
        amounts = search.amounts
        brew = brewed(recipe, brewhouse, amounts, inputs, chemistry=whole, keep=whole)
        missed = search.missed(_counted(wanted, free, brew))
        far = search.furthest(missed)
        if far <= NEAR or not search.nudge(missed):
            break
        whole = chemistry and far * STEP_LEAVES <= NEAR
    else:
        if isinstance(start, Start):  # it led astray
            return planned(recipe, brewhouse, targets, draws=draws, chemistry=chemistry)
    if chemistry and not whole:
        brew = brewed(recipe, brewhouse, amounts, inputs)
    centre = brewed(recipe, brewhouse, amounts, search.candidates.inputs, chemistry=chemistry)
    return Solution(amounts=amounts, centre=centre), brew, _middle(wanted, free, centre)


def _counted(wanted: Targets, free: Free, brew: Brew) -> dict[str, float]:
    """The mean of what each target counts, where something is open that moves it."""
    found = {}
    if free.water is not None and wanted.volume_L is not None:
        volume = brew.noted("clear_L") if wanted.into == "keg" else brew.figures["fermenter.volume"]
        found["volume_L"] = float(volume.mean())
    if free.grist and wanted.gravity_sg is not None:
        found["gravity_sg"] = float(brew.figures["fermenter.original_gravity"].mean())
    if free.hops and wanted.bitterness is not None:
        found["bitterness"] = float(brew.figures[wanted.measure].mean())
    return found


def _middle(wanted: Targets, free: Free, centre: Brew) -> Targets:
    """What the centre line comes to where the means meet the aims."""
    counted: dict[str, Any] = {**_counted(wanted, free, centre)}
    return attrs.evolve(wanted, **counted)


def plan(recipe: Recipe, brewhouse: Brewhouse, *, draws: int = DRAWS, start: Plan | None = None) -> Plan:
    """Brew a recipe as written on a brewhouse: stated amounts stay, the rest is solved.

    Parameters
    ----------
    recipe : Recipe
        The beer.
    brewhouse : Brewhouse
        Where it is brewed.
    draws : int
        Simulated brews.
    start : Plan, optional
        The plan of nearly the same beer, such as before an edit: it is found sooner from there. Where the search
        began leaves no trace that is shown: means meet their aims within `NEAR` either way, and amounts, means and
        the ends of bands lie within 0.005 % or a thousandth of the band's width of those found anew, mostly a
        hundred times nearer; so too after many edits, each from the plan before it.

    Returns
    -------
    Plan
        Figures with bands, the day, what does not fit.

    Raises
    ------
    Infeasible
        If an aimed gravity cannot be reached here, or the heat cannot boil it; the text says how far one can go.
    """
    begun = None
    if start is not None and nearly_alike(recipe, start.recipe):
        begun = start_from(recipe, before=start.recipe, had=start.amounts, middle=start.middle)
    treats = brewhouse.water is not None and leaves_water_open(recipe)
    # What is dissolved in a liquor moves no volume and no gravity: it is followed once it is known.
    solution, brew, middle = planned(recipe, brewhouse, start=begun, draws=draws, chemistry=not treats)
    treatment = None
    if treats:
        from gyle.decide.treated import treated  # with the optimiser behind it

        made = treated(recipe, brewhouse, solution, draws=draws, dilute=False)
        treatment, recipe, solution, brew = made.treatment, made.recipe, made.solution, made.brew
    whole = attrs.evolve(finished(recipe, brewhouse, solution, brew), treatment=treatment, middle=middle)
    cold = next((check for check in whole.checks if check.what == "heat" and not check.fits), None)
    if cold is not None:
        raise Infeasible(f"{brewhouse.name}: {cold.sentence}")
    return whole


def leaves_water_open(recipe: Recipe) -> bool:
    """Whether a recipe asks for ions or a mash pH, and leaves open what is dosed for them."""
    asks = bool(wanted_by(recipe)) or recipe.aim("mash.ph") is not None
    stated = any(line.mineral is not None and line.at.stage in ("mash", "sparge") for line in recipe.others)
    return asks and not stated


def finished(recipe: Recipe, brewhouse: Brewhouse, solution: Solution, brew: Brew) -> Plan:
    """Put a solved and brewed recipe together with its checks, misses and notes."""
    figures = bands({name: values for name, values in brew.figures.items() if figure(name) is not None})
    missed = tuple(misses(recipe, brew, solution.centre))
    return Plan(
        recipe=recipe,
        brewhouse=brewhouse,
        amounts=solution.amounts,
        brew=brew,
        figures=figures,
        checks=tuple(checks(recipe, brewhouse, solution.centre)),
        misses=missed,
        notes=(*recipe.notes, *brewhouse.notes, *solution.notes, *notes(recipe, brewhouse, brew, figures)),
    )


def figure_order(name: str) -> int:
    """Where a figure stands from water to glass."""
    names = list(FIGURES)
    known = figure(name)
    return names.index(known.name) if known else len(names)
