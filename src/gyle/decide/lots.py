"""A store's own lots in place of the table's figures: alpha acids as bought, packs as sold, prices."""

from __future__ import annotations

import attrs

from gyle.beer.recipe import Recipe
from gyle.beer.stock import Lot, Stock
from gyle.decide.changes import Change
from gyle.decide.plan import Plan
from gyle.line.amounts import Amounts
from gyle.quantities import write

__all__ = ["cost_of", "pack_notes", "with_lots"]


def with_lots(recipe: Recipe, stock: Stock) -> tuple[Recipe, list[Change], list[str]]:
    """Take each hop's alpha from the lot at hand."""
    changes: list[Change] = []
    notes: list[str] = []
    hops = []
    for line in recipe.hops:
        lot = _lot(stock, line.what)
        if lot is None or lot.alpha_fraction is None:
            notes.append(f"{line.what} is not in the store: its stated or usual alpha acids are used")
            hops.append(line)
            continue
        if lot.alpha_fraction.centre != line.alpha_fraction.centre:
            changes.append(
                Change(
                    what=f"{line.what}, {line.at.text}",
                    before=f"{100 * line.alpha_fraction.centre:.1f} % alpha acids",
                    after=f"{100 * lot.alpha_fraction.centre:.1f} % alpha acids",
                    why=f"the lot at hand{' ' + lot.lot if lot.lot else ''}",
                )
            )
        hops.append(attrs.evolve(line, alpha_fraction=lot.alpha_fraction, form=lot.form or line.form))
    return attrs.evolve(recipe, hops=tuple(hops)), changes, list(dict.fromkeys(notes))


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
    """How whole packs compare with what is weighed, by what they would do to the beer."""
    notes = []
    needed: dict[str, float] = {}
    for hop, kg in zip(plan.recipe.hops, plan.amounts.hops_kg, strict=True):
        needed[hop.what] = needed.get(hop.what, 0.0) + kg * plan.recipe.gyles
    for line, kg in zip(plan.recipe.grist, plan.amounts.grist_kg, strict=True):
        needed[line.what] = needed.get(line.what, 0.0) + kg * plan.recipe.gyles
    for what, kg in needed.items():
        lot = _lot(stock, what)
        if lot is None:
            continue
        if lot.mass_kg is not None and lot.mass_kg < kg - 1e-9:
            notes.append(f"{what}: {write(kg, 'mass')} is needed and {write(lot.mass_kg, 'mass')} is in the store")
        if lot.pack_kg:
            packs = kg / lot.pack_kg
            notes.append(f"{what}: {packs:.1f} packs of {write(lot.pack_kg, 'mass')}")
    return notes
