"""The pH of a mash as the balance of the protons that malts, liquor, salts and acids give and take.

Each malt pulls toward its own pH in distilled water, with its mass times its buffering; the liquor
takes acid, calcium and magnesium free some from the malt, acids bring some. The sum falls steadily
with pH, so there is one root. pH is that of a cooled sample. `mash_ph_slope` is Kolbach's rule as this
balance has it, to set beside his.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gyle.errors import OutOfRange
from gyle.science.acid_demand import charge_and_slope, water_and_slope
from gyle.science.acids import ACIDS, protons_and_slope
from gyle.science.carbonate_constants import Real
from gyle.science.ranges import within

__all__ = ["hardness_acid_mEq_L", "hot_ph", "mash_acid_demand_mEq", "mash_ph", "mash_ph_slope"]

Array = NDArray[np.float64]

LOWEST_PH, HIGHEST_PH = -1.0, 15.0
NEUTRAL = 7.0
CLOSE = 1e-10
MOST_STEPS = 100


class _Mash(NamedTuple):
    """A mash that has been checked, ready to be balanced at any pH: arrays, or plain numbers for one alone."""

    pull: Real  # sum of mass, buffering and own pH [mEq]
    buffering: Real  # sum of mass and buffering [mEq/pH]
    liquor_L: Real
    fixed: Real  # alkalinity and strong base, less strong acid and what hardness frees [mEq]
    carbon_mmol: Real  # what stays
    weak: tuple[tuple[str, Real], ...]

    def plain(self) -> _Mash:
        """Give the same with plain numbers, which are worked through faster."""
        pull, buffering, liquor, fixed, carbon = (float(part) for part in self[:5])
        return _Mash(pull, buffering, liquor, fixed, carbon, tuple((name, float(each)) for name, each in self.weak))

    def at(self, ph: Real) -> tuple[Real, Real]:
        """Give the protons still to be brought to reach a pH [mEq], and the slope of that."""
        charge, charge_slope = charge_and_slope(ph)
        water, water_slope = water_and_slope(ph)
        value = self.pull - self.buffering * ph + self.fixed - self.carbon_mmol * charge - self.liquor_L * water
        slope = -self.buffering - self.carbon_mmol * charge_slope - self.liquor_L * water_slope
        for name, amount in self.weak:
            given, given_slope = protons_and_slope(ACIDS[name].pk, ACIDS[name].protons, ph)
            value = value - amount * given
            slope = slope - amount * given_slope
        return value, slope


def _mash(
    malt_kg: ArrayLike,
    malt_ph: ArrayLike,
    malt_buffering_mEq_kg: ArrayLike,
    liquor_L: ArrayLike,
    alkalinity_mEq_L: ArrayLike,
    carbon_mmol_L: ArrayLike,
    co2_lost_share: ArrayLike,
    freed_mEq_L: ArrayLike,
    acids_mmol: tuple[tuple[str, ArrayLike], ...],
    strong_acid_mEq: ArrayLike,
    base_mEq: ArrayLike,
) -> _Mash:
    mass = within(malt_kg, 0.0, 1e6, what="malt [kg]")
    own = within(malt_ph, 0.0, 12.0, what="pH of a malt")
    each = within(malt_buffering_mEq_kg, 0.0, 5000.0, what="buffering of a malt [mEq/(kg pH)]")
    liquor = within(liquor_L, 0.0, 1e7, what="mash liquor [L]")
    alkalinity = within(alkalinity_mEq_L, -1000.0, 1000.0, what="alkalinity [mEq/L]")
    carbon = within(carbon_mmol_L, 0.0, 1000.0, what="inorganic carbon [mmol/L]")
    kept = 1.0 - within(co2_lost_share, 0.0, 1.0, what="share of CO2 lost")
    freed = within(freed_mEq_L, 0.0, 1000.0, what="acid freed by hardness [mEq/L]")
    acid = within(strong_acid_mEq, 0.0, 1e9, what="strong acid [mEq]")
    base = within(base_mEq, 0.0, 1e9, what="base [mEq]")
    weak = tuple(
        (name, array)
        for name, amount in acids_mmol
        if (array := within(amount, 0.0, 1e9, what=f"{name} acid [mmol]")).any()
    )
    if not (mass.ndim and own.ndim and each.ndim):
        raise OutOfRange("malts stand along the first axis: give a list, of one entry for a single malt")
    buffering = mass * each
    return _Mash(
        np.asarray((buffering * own).sum(axis=0)),
        np.asarray(buffering.sum(axis=0)),
        liquor,
        liquor * (alkalinity - freed) + base - acid,
        liquor * carbon * kept,
        weak,
    )


def hardness_acid_mEq_L(
    calcium_mEq_L: ArrayLike,
    magnesium_mEq_L: ArrayLike,
    *,
    calcium_release: ArrayLike,
    magnesium_release: ArrayLike,
    calcium_ceiling_mEq_L: ArrayLike,
) -> Array:
    """Give the acid that calcium and magnesium of the liquor free from the malt.

    Parameters
    ----------
    calcium_mEq_L, magnesium_mEq_L : array_like of float, broadcasting
        Hardness of the liquor with its salts [mEq/L]; 0 to 1000.
    calcium_release, magnesium_release : array_like of float, broadcasting
        Acid freed by each equivalent; 0 to 1. In the mash about 0.20 (standard deviation 0.06) for calcium
        and half that for magnesium; in cast-out wort 1/3.5 and 1/7.
    calcium_ceiling_mEq_L : array_like of float, broadcasting
        Calcium beyond which no more acid is freed, 7.5 to 10 [mEq/L]; 0 to 1000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Acid freed for each litre of liquor [mEq/L].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    k_Ca min(Ca, ceiling) + k_Mg Mg. That malt phosphate precipitates with calcium explains the
    direction; measurements do not clearly show the reaction, so the numbers are empirical.

    References
    ----------
    .. [1] Kolbach, Monatsschr. Brauerei 6, 49, 1953 (cast-out wort). Provenance: memory.
    .. [2] Lewis and Wahnon, J. Am. Soc. Brew. Chem. 42, 159, 1984. Provenance: retrieved (abstract).
    .. [3] Mash value and ceiling after Barth and Zaman, J. Am. Soc. Brew. Chem. 73, 240, 2015. Provenance: ours.

    Examples
    --------
    >>> ceiling = 10.0
    >>> float(hardness_acid_mEq_L(5.0, 1.0, calcium_release=0.20, magnesium_release=0.10,
    ...                           calcium_ceiling_mEq_L=ceiling).round(2))
    1.1
    """
    calcium = within(calcium_mEq_L, 0.0, 1000.0, what="calcium [mEq/L]")
    magnesium = within(magnesium_mEq_L, 0.0, 1000.0, what="magnesium [mEq/L]")
    most = within(calcium_ceiling_mEq_L, 0.0, 1000.0, what="ceiling of calcium [mEq/L]")
    per_calcium = within(calcium_release, 0.0, 1.0, what="acid freed by calcium [mEq/mEq]")
    per_magnesium = within(magnesium_release, 0.0, 1.0, what="acid freed by magnesium [mEq/mEq]")
    return np.asarray(per_calcium * np.minimum(calcium, most) + per_magnesium * magnesium)


def mash_ph(
    malt_kg: ArrayLike,
    malt_ph: ArrayLike,
    *,
    malt_buffering_mEq_kg: ArrayLike,
    liquor_L: ArrayLike,
    alkalinity_mEq_L: ArrayLike,
    carbon_mmol_L: ArrayLike,
    co2_lost_share: ArrayLike,
    freed_mEq_L: ArrayLike,
    lactic_mmol: ArrayLike = 0.0,
    phosphoric_mmol: ArrayLike = 0.0,
    citric_mmol: ArrayLike = 0.0,
    strong_acid_mEq: ArrayLike = 0.0,
    base_mEq: ArrayLike = 0.0,
) -> Array:
    """Find the pH of a mash, read cool.

    Parameters
    ----------
    malt_kg : array_like of float, (malts, ...)
        Mass of each malt, as is [kg]; 0 to 1e6. Wort used as liquor is one more entry: its dissolved
        extract.
    malt_ph : array_like of float, (malts, ...)
        Value of pH of each in distilled water (of the wort, for wort); 0 to 12.
    malt_buffering_mEq_kg : array_like of float, (malts, ...)
        Buffering of each [mEq/(kg pH)]; 0 to 5000.
    liquor_L : array_like of float, broadcasting
        Mash liquor at 20 °C [L]; 0 to 1e7.
    alkalinity_mEq_L : array_like of float, broadcasting
        Alkalinity of the liquor with its salts, before acid [mEq/L]; -1000 to 1000.
    carbon_mmol_L : array_like of float, broadcasting
        Total inorganic carbon of the liquor with its salts [mmol/L]; 0 to 1000.
    co2_lost_share : array_like of float, broadcasting
        Share of the carbon that leaves as gas; 0 to 1. About 0.2 in a closed infusion, 0.7 stirred.
    freed_mEq_L : array_like of float, broadcasting
        Acid freed by hardness, from `hardness_acid_mEq_L` [mEq/L]; 0 to 1000.
    lactic_mmol, phosphoric_mmol, citric_mmol : array_like of float, broadcasting
        Molecules of weak acid added, 0 if none [mmol]; 0 to 1e9.
    strong_acid_mEq, base_mEq : array_like of float, broadcasting
        Hydrochloric and sulfuric acid, and effective lime added, 0 if none [mEq]; 0 to 1e9.

    Returns
    -------
    ndarray of float64, broadcast shape without the malts' axis
        Value of pH at room temperature.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range, or malts are not along a first axis.

    Notes
    -----
    The root of `mash_acid_demand_mEq`, by Newton's method kept between brackets. Without a measured
    lot the pH is known to about 0.1 (one standard deviation).

    References
    ----------
    .. [1] deLange, MBAA Tech. Quarterly 52(1), 2015. Provenance: retrieved (abstract).
    .. [2] Troester, The effect of brewing water and grist composition on the pH of the mash, 2009.
       Provenance: retrieved (abstract).

    Examples
    --------
    >>> mash_ph([5.0], [5.75], malt_buffering_mEq_kg=[45.0], liquor_L=20.0, alkalinity_mEq_L=2.0,
    ...         carbon_mmol_L=2.139, co2_lost_share=[0.0, 1.0], freed_mEq_L=0.0).round(3)
    array([5.88 , 5.928])
    """
    acids = (("lactic", lactic_mmol), ("phosphoric", phosphoric_mmol), ("citric", citric_mmol))
    mash = _mash(
        malt_kg, malt_ph, malt_buffering_mEq_kg, liquor_L, alkalinity_mEq_L, carbon_mmol_L, co2_lost_share,
        freed_mEq_L, acids, strong_acid_mEq, base_mEq,
    )  # fmt: skip
    parts = (mash.pull, mash.liquor_L, mash.fixed, mash.carbon_mmol, *(amount for _, amount in mash.weak))
    shape = np.broadcast_shapes(*(np.shape(part) for part in parts))
    if shape == ():
        return np.asarray(_root(mash.plain()))
    own = np.where(mash.buffering > 0.0, mash.pull / np.where(mash.buffering > 0.0, mash.buffering, 1.0), NEUTRAL)
    ph = np.array(np.broadcast_to(own, shape), dtype=np.float64)
    low, high = np.full(shape, LOWEST_PH), np.full(shape, HIGHEST_PH)
    for _ in range(MOST_STEPS):
        value, slope = mash.at(ph)
        low, high = np.where(value >= 0.0, ph, low), np.where(value <= 0.0, ph, high)
        with np.errstate(divide="ignore", invalid="ignore"):
            new = ph - value / slope
        new = np.where((new >= low) & (new <= high), new, 0.5 * (low + high))
        moved = np.abs(new - ph)
        ph = new
        if not (moved > CLOSE).any():
            break
    return np.asarray(ph)


def _root(mash: _Mash) -> float:
    """Find the pH of one mash alone, as `mash_ph` does for many."""
    ph = mash.pull / mash.buffering if mash.buffering > 0.0 else NEUTRAL
    low, high = LOWEST_PH, HIGHEST_PH
    for _ in range(MOST_STEPS):
        value, slope = mash.at(ph)
        low, high = (ph if value >= 0.0 else low), (ph if value <= 0.0 else high)
        new = ph - value / slope if slope != 0.0 else math.inf
        new = new if low <= new <= high else 0.5 * (low + high)
        moved, ph = abs(new - ph), new
        if moved <= CLOSE:
            break
    return float(ph)


def mash_acid_demand_mEq(
    ph: ArrayLike,
    malt_kg: ArrayLike,
    *,
    malt_ph: ArrayLike,
    malt_buffering_mEq_kg: ArrayLike,
    liquor_L: ArrayLike,
    alkalinity_mEq_L: ArrayLike,
    carbon_mmol_L: ArrayLike,
    co2_lost_share: ArrayLike,
    freed_mEq_L: ArrayLike,
    lactic_mmol: ArrayLike = 0.0,
    phosphoric_mmol: ArrayLike = 0.0,
    citric_mmol: ArrayLike = 0.0,
    strong_acid_mEq: ArrayLike = 0.0,
    base_mEq: ArrayLike = 0.0,
) -> Array:
    """Give the acid that a mash still needs to reach a pH.

    Parameters
    ----------
    ph : array_like of float, broadcasting
        Value of pH wanted, read cool; 0 to 12.
    malt_kg : array_like of float, (malts, ...)
        Mass of each malt, as is [kg]; 0 to 1e6.
    malt_ph : array_like of float, (malts, ...)
        Value of pH of each in distilled water; 0 to 12.
    malt_buffering_mEq_kg : array_like of float, (malts, ...)
        Buffering of each [mEq/(kg pH)]; 0 to 5000.
    liquor_L : array_like of float, broadcasting
        Mash liquor at 20 °C [L]; 0 to 1e7.
    alkalinity_mEq_L : array_like of float, broadcasting
        Alkalinity of the liquor with its salts, before acid [mEq/L]; -1000 to 1000.
    carbon_mmol_L : array_like of float, broadcasting
        Total inorganic carbon of the liquor with its salts [mmol/L]; 0 to 1000.
    co2_lost_share : array_like of float, broadcasting
        Share of the carbon that leaves as gas; 0 to 1.
    freed_mEq_L : array_like of float, broadcasting
        Acid freed by hardness, from `hardness_acid_mEq_L` [mEq/L]; 0 to 1000.
    lactic_mmol, phosphoric_mmol, citric_mmol : array_like of float, broadcasting
        Molecules of weak acid added already, 0 if none [mmol]; 0 to 1e9.
    strong_acid_mEq, base_mEq : array_like of float, broadcasting
        Hydrochloric and sulfuric acid, and effective lime added already, 0 if none [mEq]; 0 to 1e9.

    Returns
    -------
    ndarray of float64, broadcast shape without the malts' axis
        Acid [mEq]; negative where the mash would lie below the pH. At one pH it is linear in every
        mass, volume and dose.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range, or malts are not along a first axis.

    Notes
    -----
    sum m beta (own pH - p) + V (Alk - (1 - lost) C charge(p) - Kw / h + h) - V freed - acids + base.

    References
    ----------
    .. [1] deLange, MBAA Tech. Quarterly 52(1), 2015. Provenance: retrieved (abstract).

    Examples
    --------
    >>> float(mash_acid_demand_mEq(5.4, [5.0], malt_ph=[5.75], malt_buffering_mEq_kg=[45.0], liquor_L=20.0,
    ...                            alkalinity_mEq_L=2.0, carbon_mmol_L=2.139, co2_lost_share=1.0,
    ...                            freed_mEq_L=0.0).round(1))
    118.8
    """
    acids = (("lactic", lactic_mmol), ("phosphoric", phosphoric_mmol), ("citric", citric_mmol))
    mash = _mash(
        malt_kg, malt_ph, malt_buffering_mEq_kg, liquor_L, alkalinity_mEq_L, carbon_mmol_L, co2_lost_share,
        freed_mEq_L, acids, strong_acid_mEq, base_mEq,
    )  # fmt: skip
    return np.asarray(mash.at(within(ph, 0.0, 12.0, what="pH"))[0])


def mash_ph_slope(liquor_L_kg: ArrayLike, malt_buffering_mEq_kg: ArrayLike) -> Array:
    """Give how much an equivalent of alkalinity raises the mash pH, by the mash's thickness.

    Parameters
    ----------
    liquor_L_kg : array_like of float, any shape
        Liquor for each kilogram of malt [L/kg]; 0 to 100.
    malt_buffering_mEq_kg : array_like of float, broadcasting
        Mean buffering of the malts [mEq/(kg pH)]; above 0 to 5000.

    Returns
    -------
    ndarray of float64, broadcast shape
        Rise of pH for each mEq/L that loses its carbon dioxide [L/mEq].

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Thickness over buffering. At 4 L/kg and 45 mEq/kg, 10 °dH raise the pH by 0.32: Kolbach's 0.3.

    References
    ----------
    .. [1] deLange, MBAA Tech. Quarterly 52(1), 2015. Provenance: retrieved (abstract).

    Examples
    --------
    >>> mash_ph_slope([2.5, 4.0], 45.0).round(3)
    array([0.056, 0.089])
    """
    thickness = within(liquor_L_kg, 0.0, 100.0, what="liquor [L/kg]")
    return np.asarray(thickness / within(malt_buffering_mEq_kg, 1e-6, 5000.0, what="buffering [mEq/(kg pH)]"))


def hot_ph(ph: ArrayLike, temperature_C: ArrayLike, *, room_temperature_C: ArrayLike, slope_per_C: ArrayLike) -> Array:
    """Convert the pH of mash or wort read cool to that at a temperature.

    Parameters
    ----------
    ph : array_like of float, any shape
        Value of pH read cool; 0 to 14.
    temperature_C : array_like of float, broadcasting
        Temperature wanted [°C]; 0 to 100.
    room_temperature_C : array_like of float, broadcasting
        Temperature of the reading [°C]; 0 to 100.
    slope_per_C : array_like of float, broadcasting
        Change for each degree, about -0.0082 (standard deviation 0.002) [1/°C]; -0.05 to 0.05.

    Returns
    -------
    ndarray of float64, broadcast shape
        Value of pH at the temperature: the acids are stronger, the wort is truly more acid.

    Raises
    ------
    OutOfRange
        If a value is not a number or outside its range.

    Notes
    -----
    Lower by 0.35 at 65 °C and 0.45 at 78 °C. A meter's temperature compensation corrects its electrode
    and not this.

    References
    ----------
    .. [1] Briggs, Boulton, Brookes and Stevens, Brewing: Science and Practice, 2004, 4.3, citing Hopkins
       and Krause. Provenance: retrieved (quotation).

    Examples
    --------
    >>> hot_ph(5.40, [65.0, 78.0], room_temperature_C=22.0, slope_per_C=-0.0082).round(2)
    array([5.05, 4.94])
    """
    cool = within(ph, 0.0, 14.0, what="pH")
    warmer = within(temperature_C, 0.0, 100.0, what="temperature [°C]") - within(
        room_temperature_C, 0.0, 100.0, what="temperature of the reading [°C]"
    )
    return np.asarray(cool + within(slope_per_C, -0.05, 0.05, what="slope of pH [1/°C]") * warmer)
