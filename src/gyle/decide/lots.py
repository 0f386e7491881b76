"""A store's own lots in place of the table's figures: alpha acids as bought, packs as sold, prices."""

from __future__ import annotations

import datetime
import math

import attrs

from gyle.beer.estimate import Estimate
from gyle.beer.ingredient import Fermentable
from gyle.beer.recipe import GristLine, Recipe
from gyle.beer.stock import Lot, Stock
from gyle.decide.changes import Change
from gyle.decide.plan import Plan
from gyle.decide.solve import brewed
from gyle.line.amounts import Amounts
from gyle.line.beliefs import inputs_for
from gyle.quantities import write
from gyle.science.hops import alpha_left_fraction

__all__ = ["aged", "cost_of", "pack_notes", "with_lots"]

STORE_C = 4.0
SEALED_FACTOR = 0.5  # sealed without air
MOST_PACKS = 20.0  # beyond it a pack more or less is a rounding


def aged(lot: Lot, lost_6_months_pct: float, today: datetime.date) -> tuple[Estimate, str]:
    """Alpha acids of a lot on the day, from the day it was analysed; packs are taken as sealed and cold."""
    assert lot.alpha_fraction is not None
    if lot.analysed is None or lot.analysed >= today:
        return lot.alpha_fraction, ""
    days = (today - lot.analysed).days
    left = float(
        alpha_left_fraction(float(days), STORE_C, lost_6_months_pct=lost_6_months_pct, storage_factor=SEALED_FACTOR)
    )
    belief = lot.alpha_fraction
    return (
        attrs.evolve(
            belief,
            centre=belief.centre * left,
            # How it was kept is not known: half of what is lost may be more or less.
            spread=math.hypot(belief.spread * left, belief.centre * 0.5 * (1.0 - left)),
            low=min(belief.low, belief.centre * left),
            source="analysed, then aged",
        ),
        f", {days} days after its analysis at {100 * belief.centre:.1f} %",
    )


def with_lots(
    recipe: Recipe, stock: Stock, *, today: datetime.date | None = None
) -> tuple[Recipe, list[Change], list[str]]:
    """Take each malt's acidity and each hop's alpha from the lot at hand."""
    changes: list[Change] = []
    grist = [_with_acidity(line, _lot(stock, line.what), changes) for line in recipe.grist]
    notes: list[str] = []
    hops = []
    for line in recipe.hops:
        lot = _lot(stock, line.what)
        if lot is None or lot.alpha_fraction is None:
            notes.append(f"{line.what} is not in the store: its stated or usual alpha acids are used")
            hops.append(line)
            continue
        alpha, since = aged(lot, line.hop.lost_6_months_pct, today or datetime.date.today())
        if alpha.centre != line.alpha_fraction.centre:
            changes.append(
                Change(
                    what=f"{line.what}, {line.at.text}",
                    before=f"{100 * line.alpha_fraction.centre:.1f} % alpha acids",
                    after=f"{100 * alpha.centre:.1f} % alpha acids",
                    why=f"the lot at hand{' ' + lot.lot if lot.lot else ''}{since}",
                )
            )
        hops.append(attrs.evolve(line, alpha_fraction=alpha, form=lot.form or line.form))
    return attrs.evolve(recipe, grist=tuple(grist), hops=tuple(hops)), changes, list(dict.fromkeys(notes))


def _with_acidity(line: GristLine, lot: Lot | None, changes: list[Change]) -> GristLine:
    """Take a malt's acidity from the lot at hand, where it states one."""
    malt = lot.acidity_on(line.ingredient) if lot is not None else line.ingredient
    before, after = _acidity_words(line.ingredient), _acidity_words(malt)
    if lot is not None and before != after:
        why = f"the lot at hand{' ' + lot.lot if lot.lot else ''}"
        changes.append(Change(what=line.what, before=before, after=after, why=why))
    return attrs.evolve(line, ingredient=malt)


def _acidity_words(malt: Fermentable) -> str:
    ph, buffering = malt.distilled_ph.centre, malt.buffering_mEq_kg.centre
    return f"pH {ph:.2f} in distilled water, buffering {buffering:.3g} mEq/kg"


def _lot(stock: Stock, what: str) -> Lot | None:
    return stock.lot(what)


def cost_of(recipe: Recipe, amounts: Amounts, stock: Stock) -> tuple[float | None, str]:
    """Price of everything weighed out, or None where a price is missing; and the currency."""
    total, currency = 0.0, ""
    lines = [
        *((line.what, kg) for line, kg in zip(recipe.grist, amounts.grist_kg, strict=True)),
        *((hop.what, kg) for hop, kg in zip(recipe.hops, amounts.hops_kg, strict=True)),
    ]
    for what, kg in lines:
        lot = _lot(stock, what)
        if lot is None or lot.price_per_kg is None:
            return None, currency
        currency = currency or lot.currency
        if lot.currency != currency:
            return None, currency
        total += lot.price_per_kg * kg * recipe.gyles
    return total, currency


def pack_notes(plan: Plan, stock: Stock) -> list[str]:
    """What is short in the store, and what whole packs would do to the beer."""
    notes = []
    gyles = plan.recipe.gyles
    lines = [
        *((line.what, kg * gyles) for line, kg in zip(plan.recipe.grist, plan.amounts.grist_kg, strict=True)),
        *((hop.what, kg * gyles) for hop, kg in zip(plan.recipe.hops, plan.amounts.hops_kg, strict=True)),
    ]
    needed: dict[str, float] = {}
    for what, kg in lines:
        needed[what] = needed.get(what, 0.0) + kg
    for what, kg in needed.items():
        lot = _lot(stock, what)
        if lot is None:
            continue
        if lot.mass_kg is not None and lot.mass_kg < kg - 1e-9:
            notes.append(f"{what}: {write(kg, 'mass')} is needed and {write(lot.mass_kg, 'mass')} is in the store")
        if lot.pack_kg:
            notes.append(_whole_packs(plan, what, kg, lot.pack_kg))
    return notes


def _whole_packs(plan: Plan, what: str, kg: float, pack_kg: float) -> str:
    """Weighed out against the whole packs below and above, by the figure each would give."""
    exact = kg / pack_kg
    text = f"{what}: {write(kg, 'mass')} is {exact:.1f} packs of {write(pack_kg, 'mass')}"
    fewer = int(exact)
    counts = [count for count in (fewer, fewer + 1) if count > 0 and abs(count - exact) > 0.02]
    if not counts or exact > MOST_PACKS:
        return text
    hop = any(line.what == what for line in plan.recipe.hops)
    figure, kind = ("glass.bitterness", "bitterness") if hop else ("fermenter.original_gravity", "gravity")
    inputs = inputs_for(plan.recipe, plan.brewhouse, draws=1)
    parts = []
    for count in counts:
        ratio = count * pack_kg / kg
        amounts = attrs.evolve(
            plan.amounts,
            grist_kg=tuple(
                one * (ratio if line.what == what else 1.0)
                for line, one in zip(plan.recipe.grist, plan.amounts.grist_kg, strict=True)
            ),
            hops_kg=tuple(
                one * (ratio if line.what == what else 1.0)
                for line, one in zip(plan.recipe.hops, plan.amounts.hops_kg, strict=True)
            ),
        )
        got = float(brewed(plan.recipe, plan.brewhouse, amounts, inputs).figures[figure][0])
        parts.append(f"{count} whole would give {write(got, kind)}")
    exactly = float(brewed(plan.recipe, plan.brewhouse, plan.amounts, inputs).figures[figure][0])
    return f"{text}; {' and '.join(parts)} where {write(exactly, kind)} is planned"
