"""Salts, acids and waters for the tests, from molar masses alone."""

from __future__ import annotations

from gyle.decide.salt_problem import Acid, Problem, Salt, Volumes, Water, Wish
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
