"""Salts, acids and waters for the tests, from molar masses alone."""

from __future__ import annotations

from gyle.decide.salt_problem import Acid, CHARGE_mEq_mg, Problem, ProtonBalance, Salt, Volumes, Water, Wish
from gyle.science.water_ions import CHARGE, MOLAR_MASS

WATER_MASS = 18.015
MAIN = ("calcium", "magnesium", "sodium", "chloride", "sulfate")
TOLERANCE = {"calcium": 10.0, "magnesium": 5.0, "sodium": 10.0, "chloride": 10.0, "sulfate": 20.0, "alkalinity": 0.4}


def salt(
    name, cations, anions, *, waters=0, alkalinity_mmol=0.0, extra_mass=0.0, most=40.0, step=0.1, places=("mash",)
):
    """A salt from its formula: how many of each ion, crystal water, alkalinity and mass that brings no ion."""
    ions = {**cations, **anions}
    mass = sum(count * MOLAR_MASS[ion] for ion, count in ions.items()) + waters * WATER_MASS + extra_mass
    return Salt(
        name=name,
        ions_mg_per_unit={ion: 1000.0 * count * MOLAR_MASS[ion] / mass for ion, count in ions.items()},
        alkalinity_mEq_per_unit=1000.0 * alkalinity_mmol / mass,
        step_units=step,
        most_units=most,
        places=places,
    )


def shelf(*, places=("mash",), step=0.1):
    """Seven salts by name."""
    kept = {"places": places, "step": step}
    salts = (
        salt("gypsum", {"calcium": 1}, {"sulfate": 1}, waters=2, **kept),
        salt("calcium chloride dihydrate", {"calcium": 1}, {"chloride": 2}, waters=2, **kept),
        salt("Epsom salt", {"magnesium": 1}, {"sulfate": 1}, waters=7, **kept),
        salt("sodium chloride", {"sodium": 1}, {"chloride": 1}, **kept),
        salt("sodium bicarbonate", {"sodium": 1}, {}, alkalinity_mmol=1.0, extra_mass=61.017, **kept),
        salt("magnesium chloride hexahydrate", {"magnesium": 1}, {"chloride": 2}, waters=6, **kept),
        salt("sodium sulfate", {"sodium": 2}, {"sulfate": 1}, **kept),
    )
    return {one.name: one for one in salts}


FOUR = ("gypsum", "calcium chloride dihydrate", "Epsom salt", "sodium chloride")


def lactic(*, places=("mash",), most=30.0):
    """Lactic acid, 88 % by mass, as it is at pH 5.4."""
    return Acid(
        name="lactic acid 88 %",
        mEq_per_mL=11.45,
        brings_mg_per_mL={"lactate": 11.45 * 91.6},
        step_mL=0.1,
        most_mL=most,
        places=places,
    )


def water(*amounts, alkalinity=0.0):
    """A water of the five main ions [mg/L] and its alkalinity [mEq/L]."""
    return Water(ions_mg_L=dict(zip(MAIN, amounts, strict=True)), alkalinity_mEq_L=alkalinity)


def wanted(*amounts, **more):
    """Wishes for the five main ions, and others by name."""
    asked = {**dict(zip(MAIN, amounts, strict=True)), **more}
    return tuple(Wish(what=what, low=x, high=x, tolerance=TOLERANCE[what]) for what, x in asked.items())


def problem(source, litres, wishes, **more):
    """A problem with one place and the four common salts."""
    more.setdefault("salts", tuple(shelf()[name] for name in FOUR))
    return Problem(source=source, volumes=Volumes(mash_L=litres), wishes=wishes, **more)


def charge_mEq_L(one):
    """The charge of a water's ions less its alkalinity; no salt changes it."""
    ions = one.ions_mg_L.items()
    total = sum(CHARGE[ion] * amount / MOLAR_MASS[ion] for ion, amount in ions if ion in (*MAIN, "potassium"))
    return total - one.alkalinity_mEq_L


def proton_balance(
    source,
    volumes,
    *,
    grist_mEq,
    source_mEq_L,
    calcium_release,
    magnesium_release,
    slack_mEq,
    tolerance_mEq=None,
    dilution=None,
    dilution_mEq_L=0.0,
    salts=(),
    acids=(),
    taken_up_mEq_per_unit=None,
):
    """What a mash holds beyond its aimed pH, linear in every dose, from round numbers instead of a recipe.

    What a litre of the source and of the second water takes up of acid is given without their calcium and
    magnesium. `taken_up_mEq_per_unit` stands for the alkalinity of salts that does not count in full.
    """
    release = {
        "calcium": calcium_release * CHARGE_mEq_mg["calcium"],
        "magnesium": magnesium_release * CHARGE_mEq_mg["magnesium"],
    }

    def freed(ions):
        return sum(each * ions.get(ion, 0.0) for ion, each in release.items())

    instead = taken_up_mEq_per_unit or {}
    per_unit = {
        one.name: instead.get(one.name, one.alkalinity_mEq_per_unit) - freed(one.ions_mg_per_unit) for one in salts
    }
    per_unit |= {one.name: -one.mEq_per_mL - freed(one.brings_mg_per_mL) for one in acids}
    first = source_mEq_L - freed(source.ions_mg_L)
    second = 0.0 if dilution is None else dilution_mEq_L - freed(dilution.water.ions_mg_L)
    return ProtonBalance(
        start_mEq=grist_mEq + volumes.mash_L * first,
        dilution_mEq=0.0 if dilution is None else volumes.mash_L * (second - first),
        per_unit_mEq=per_unit,
        slack_mEq=slack_mEq,
        tolerance_mEq=tolerance_mEq,
    )
