"""Whole mashes, lauters and boils, put together from the equations of several modules."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from gyle.science.density import volume_at_20C_ratio
from gyle.science.extract import (
    degrees_plato,
    gravity_points_per_kg_L,
    solution_kg_L,
    specific_gravity,
    specific_gravity_of_extract,
)
from gyle.science.lautering import (
    HYDROLYSIS_WATER_KG_KG,
    mash_masses,
    retained_L,
    trade_absorption_L_kg,
)
from gyle.science.sparging import batch_lauter_efficiency, left_in_bed_with_bypass
from gyle.science.wort import (
    anhydrous_fraction,
    blend_two_runs,
    dilution_kg,
    evaporation_for_extract_kg,
    extract_addition_kg,
)

WATER_KG_L = 0.998203


class Density(NamedTuple):
    """A density of wort at 20 °C and what hangs on it."""

    name: str

    def kg_L(self, extract_pct: float) -> float:
        if self.name == "program":
            return float(solution_kg_L(extract_pct))
        w = extract_pct / 100.0
        powers = (0.998203, 0.3851761, 0.1353705, 0.0409299, -0.0039643, 0.0134853, -0.0172890)
        return float(np.polynomial.polynomial.polyval(w, powers))

    def sg(self, extract_pct: float) -> float:
        if self.name == "program":
            return float(specific_gravity(extract_pct))
        return self.kg_L(extract_pct) / self.kg_L(0.0)

    def plato(self, sg: float) -> float:
        return float(brentq(lambda p: self.sg(p) - sg, 0.0, 45.0, xtol=1e-12))

    def of_volume(self, volume_L: float, sg: float) -> Wort:
        plato = self.plato(sg)
        mass = volume_L * self.kg_L(plato)
        return Wort(mass * plato / 100.0, mass * (1.0 - plato / 100.0), self)

    def held(self, extract_kg: float, volume_L: float) -> Wort:
        """Wort that fills a volume with a mass of extract."""
        plato = brentq(lambda p: volume_L * self.kg_L(p) * p / 100.0 - extract_kg, 0.0, 45.0, xtol=1e-13)
        return Wort(extract_kg, volume_L * self.kg_L(plato) - extract_kg, self)


class Wort(NamedTuple):
    """Extract and water; the test's own bookkeeping, in floats."""

    extract_kg: float
    water_kg: float
    density: Density

    @property
    def mass_kg(self) -> float:
        return self.extract_kg + self.water_kg

    @property
    def plato(self) -> float:
        return 100.0 * self.extract_kg / self.mass_kg

    @property
    def sg(self) -> float:
        return self.density.sg(self.plato)

    @property
    def volume_L(self) -> float:
        return self.mass_kg / self.density.kg_L(self.plato)

    def plus(self, extract_kg: float, water_kg: float) -> Wort:
        return Wort(self.extract_kg + extract_kg, self.water_kg + water_kg, self.density)

    def split(self, share: float) -> tuple[Wort, Wort]:
        """Take a share; the rest comes second."""
        taken = Wort(self.extract_kg * share, self.water_kg * share, self.density)
        return taken, self.plus(-taken.extract_kg, -taken.water_kg)


def _mash(into: Wort, grist_kg: float, conversion: float) -> Wort:
    made = mash_masses(
        grist_kg,
        into.water_kg,
        moisture=0.045,
        potential_db=0.805,
        conversion=conversion,
        hydrolysis_water_kg_kg=HYDROLYSIS_WATER_KG_KG,
        extract_in_kg=into.extract_kg,
    )
    return Wort(float(made.extract_kg), float(made.water_kg), into.density)


def _liquor(volume_L: float, density: Density) -> Wort:
    return Wort(0.0, volume_L * WATER_KG_L, density)


def _drain(mash: Wort, held_L: float) -> tuple[Wort, Wort]:
    return mash.split(1.0 - held_L / mash.volume_L)


def _trickle(run: Wort, bed: Wort, sparge_L: float, *, bypass: float, tanks: int) -> tuple[Wort, Wort]:
    held_L = bed.volume_L
    share = float(left_in_bed_with_bypass(sparge_L, held_L, bypass=bypass, tanks=tanks))
    after = bed.density.held(bed.extract_kg * share, held_L)
    out = bed.plus(-after.extract_kg, sparge_L * WATER_KG_L - after.water_kg)
    return run.plus(out.extract_kg, out.water_kg), after


def _mash_and_batches(liquors_L: list[float], density: Density) -> tuple[Wort, float]:
    """Six kilograms, drained and refilled; the kettle and the extract dissolved."""
    held_L = float(retained_L(6.0, 1.25, dead_space_L=0.0))
    mash = _mash(_liquor(liquors_L[0], density), 6.0, 0.97)
    dissolved = mash.extract_kg
    kettle, bed = _drain(mash, held_L)
    for liquor_L in liquors_L[1:]:
        run, bed = _drain(bed.plus(0.0, liquor_L * WATER_KG_L), held_L)
        kettle = kettle.plus(run.extract_kg, run.water_kg)
    return kettle, dissolved


SUCROSE, PROGRAM = Density("sucrose polynomial"), Density("program")
BOTH = pytest.mark.parametrize("density", [SUCROSE, PROGRAM], ids=["sucrose", "program"])
BALANCE = pytest.mark.source("exact mass balance of lautering", provenance="computed-with-numpy")
POTENTIAL = 0.955 * 0.805


def _close(density: Density, tight: float, loose: float) -> float:
    """Tolerance: tight on the density the values were made with, loose on the program's own."""
    return tight if density is SUCROSE else loose


@BALANCE
@BOTH
def test_first_wort_volume(density: Density) -> None:
    mash = _mash(_liquor(3.0, density), 1.0, 0.97)
    assert mash.volume_L == pytest.approx(3.482, abs=_close(density, 0.0005, 0.001))
    assert mash.plato == pytest.approx(19.825, abs=0.001)


@BALANCE
@BOTH
@pytest.mark.parametrize(
    ("liquors_L", "lauter", "volume_L", "plato"),
    [
        ([30.0], 0.77195, 25.388, 12.951),
        ([18.0, 12.0], 0.86191, 25.388, 14.377),
        ([18.0, 6.0, 6.0], 0.88918, 25.389, 14.806),
        ([17.3016, 12.6984], 0.86208, 25.388, None),
    ],
)
def test_stirred_batches(
    liquors_L: list[float], lauter: float, volume_L: float, plato: float | None, density: Density
) -> None:
    kettle, dissolved = _mash_and_batches(liquors_L, density)
    assert kettle.extract_kg / dissolved == pytest.approx(lauter, abs=_close(density, 2e-5, 1e-4))
    assert kettle.volume_L == pytest.approx(volume_L, abs=_close(density, 0.0006, 0.003))
    if plato is not None:
        assert kettle.plato == pytest.approx(plato, abs=_close(density, 0.0006, 0.002))


@BALANCE
def test_no_sparge_mash_efficiency() -> None:
    kettle, _ = _mash_and_batches([30.0], SUCROSE)
    assert kettle.extract_kg / (6.0 * POTENTIAL) == pytest.approx(0.74880, abs=1e-5)


@BALANCE
def test_equal_drains_agree_with_the_closed_form() -> None:
    kettle, dissolved = _mash_and_batches([17.3016, 12.6984], SUCROSE)
    closed = batch_lauter_efficiency(kettle.volume_L, 7.5, drains=2)
    assert kettle.extract_kg / dissolved == pytest.approx(float(closed), abs=2e-5)


@BALANCE
@BOTH
@pytest.mark.parametrize(
    ("tanks", "bypass", "expected"),
    [(1, 0.4, (0.38289, 0.86255, 25.388, 14.387)), (4, 0.15, (0.08326, 0.97011, 25.390, 16.071))],
)
def test_trickled_sparge(
    tanks: int, bypass: float, expected: tuple[float, float, float, float], density: Density
) -> None:
    left, lauter, volume_L, plato = expected
    mash = _mash(_liquor(18.0, density), 6.0, 0.97)
    run, bed = _drain(mash, 7.5)
    kettle, after = _trickle(run, bed, 12.0, bypass=bypass, tanks=tanks)
    assert after.extract_kg / bed.extract_kg == pytest.approx(left, abs=1e-5)
    assert kettle.extract_kg / mash.extract_kg == pytest.approx(lauter, abs=_close(density, 2e-5, 1e-4))
    assert kettle.volume_L == pytest.approx(volume_L, abs=_close(density, 0.0006, 0.003))
    assert kettle.plato == pytest.approx(plato, abs=_close(density, 0.0006, 0.003))


def _single_kettle(grist_kg: float, liquor_L: float, density: Density) -> Wort:
    strike_L = min(max(14.0, 2.8 * grist_kg), liquor_L)
    run, bed = _drain(_mash(_liquor(strike_L, density), grist_kg, 0.95), 1.25 * grist_kg)
    return _trickle(run, bed, liquor_L - strike_L, bypass=0.4, tanks=1)[0]


@BALANCE
@BOTH
@pytest.mark.parametrize(
    ("grist_kg", "liquor_L", "og", "efficiency"),
    [(5.0, 32.89, 1.0527, 0.8908), (8.0, 35.22, 1.0738, 0.7819), (12.0, 38.32, 1.0919, 0.6497)],
)
def test_efficiency_falls_with_the_grist(
    grist_kg: float, liquor_L: float, og: float, efficiency: float, density: Density
) -> None:
    needed = brentq(lambda v: _single_kettle(grist_kg, v, density).volume_L - 29.0, 20.0, 60.0)
    kettle = _single_kettle(grist_kg, needed, density)
    assert needed == pytest.approx(liquor_L, abs=0.006)
    assert kettle.plus(0.0, -4.0 * WATER_KG_L).sg == pytest.approx(og, abs=0.0003)
    assert kettle.extract_kg / (grist_kg * POTENTIAL) == pytest.approx(efficiency, abs=0.001)


@BALANCE
@BOTH
def test_double_mash_without_sparge(density: Density) -> None:
    first = _mash(_liquor(22.0, density), 5.0, 0.95)
    onward, _ = _drain(first, 6.25)
    second = _mash(onward, 5.0, 0.95)
    kettle, _ = _drain(second, 6.25)
    assert onward.plato == pytest.approx(14.198, abs=0.01)
    assert onward.volume_L == pytest.approx(18.112, abs=_close(density, 0.0006, 0.003))
    assert second.plato == pytest.approx(27.824, abs=0.01)
    assert kettle.volume_L == pytest.approx(14.240, abs=_close(density, 0.0006, 0.01))
    assert kettle.extract_kg == pytest.approx(4.4246, abs=_close(density, 0.0001, 0.002))
    assert kettle.extract_kg / (10.0 * POTENTIAL) == pytest.approx(0.57554, abs=0.0005)
    f1, f2 = 1.0 - 6.25 / first.volume_L, 1.0 - 6.25 / second.volume_L
    assert (f1, f2) == pytest.approx((0.74346, 0.69497), abs=0.0005)
    dissolved = 5.0 * POTENTIAL * 0.95
    assert kettle.extract_kg == pytest.approx((dissolved * f1 + dissolved) * f2, abs=1e-9)


@BALANCE
@BOTH
def test_double_mash_with_hand_sparge(density: Density) -> None:
    first = _mash(_liquor(20.0, density), 6.0, 0.95)
    onward, bed_1 = _trickle(*_drain(first, 7.5), 4.0, bypass=0.4, tanks=1)
    second = _mash(onward, 6.0, 0.93)
    kettle, bed_2 = _trickle(*_drain(second, 7.5), 4.0, bypass=0.4, tanks=1)
    assert onward.plato == pytest.approx(16.214, abs=0.02)
    assert onward.volume_L == pytest.approx(19.336, abs=_close(density, 0.001, 0.003))
    assert second.plato == pytest.approx(30.503, abs=0.02)
    assert kettle.volume_L == pytest.approx(18.632, abs=_close(density, 0.001, 0.01))
    assert kettle.plato == pytest.approx(27.657, abs=0.02)
    assert kettle.sg == pytest.approx(1.1180, abs=0.0003)
    beds = (bed_1.extract_kg, bed_2.extract_kg)
    assert beds == pytest.approx((1.0450, 1.8763), abs=_close(density, 0.001, 0.003))
    assert kettle.extract_kg / (12.0 * POTENTIAL) == pytest.approx(0.6233, abs=0.001)
    unconverted = 12.0 * POTENTIAL - 6.0 * POTENTIAL * (0.95 + 0.93)
    assert kettle.extract_kg + sum(beds) + unconverted == pytest.approx(12.0 * POTENTIAL, abs=1e-9)
    water_in = 28.0 * WATER_KG_L + 12.0 * 0.045 - HYDROLYSIS_WATER_KG_KG * 6.0 * POTENTIAL * 1.88
    assert kettle.water_kg + bed_1.water_kg + bed_2.water_kg == pytest.approx(water_in, abs=1e-9)


@BALANCE
@BOTH
def test_parti_gyle(density: Density) -> None:
    strong, bed = _drain(_mash(_liquor(30.0, density), 10.0, 0.95), 12.0)
    weak, _ = _drain(bed.plus(0.0, 24.0 * WATER_KG_L), 12.0)
    assert strong.volume_L == pytest.approx(22.731, abs=_close(density, 0.005, 0.005))
    assert strong.plato == pytest.approx(19.493, abs=0.001)
    assert weak.volume_L == pytest.approx(23.995, abs=0.005)
    assert weak.plato == pytest.approx(6.838, abs=0.005)
    target = density.of_volume(18.0, 1.0750)
    shares = blend_two_runs(
        strong.extract_kg,
        strong.mass_kg,
        second_extract_kg=weak.extract_kg,
        second_wort_kg=weak.mass_kg,
        target_extract_kg=target.extract_kg,
        target_wort_kg=target.mass_kg,
    )
    a, c = float(shares.first), float(shares.second)
    assert (a * strong.volume_L, c * weak.volume_L) == pytest.approx((16.087, 1.914), abs=_close(density, 0.005, 0.02))
    rest = strong.split(a)[1].plus(*weak.split(c)[1][:2])
    assert rest.volume_L == pytest.approx(28.724, abs=_close(density, 0.005, 0.02))
    assert rest.sg == pytest.approx(1.0395, abs=0.0002)


KETTLE = pytest.mark.source("exact mass balance of the kettle", provenance="computed-with-numpy")


@KETTLE
@BOTH
def test_boiling_off_four_litres(density: Density) -> None:
    after = density.of_volume(28.0, 1.0600).plus(0.0, -4.0 * WATER_KG_L)
    assert after.volume_L == pytest.approx(24.002, abs=0.002)
    assert after.sg == pytest.approx(1.06993, abs=0.0001)


@KETTLE
@BOTH
def test_boiling_to_a_gravity_and_missing_extract(density: Density) -> None:
    wort = density.of_volume(28.0, 1.0600)
    target = density.of_volume(24.0, 1.0740)
    off = float(evaporation_for_extract_kg(wort.extract_kg, wort.water_kg, target_pct=target.plato))
    assert off == pytest.approx(5.321, abs=_close(density, 0.005, 0.01))
    assert wort.plus(0.0, -off).volume_L == pytest.approx(22.672, abs=_close(density, 0.005, 0.01))
    short = float(extract_addition_kg(wort.extract_kg, target.extract_kg, dry_fraction=1.0))
    assert short == pytest.approx(0.2561, abs=_close(density, 0.0005, 0.002))


@KETTLE
@BOTH
def test_diluting(density: Density) -> None:
    boiled = density.of_volume(28.0, 1.0660).plus(0.0, -4.0 * WATER_KG_L)
    assert boiled.sg == pytest.approx(1.0769, abs=0.0001)
    water = float(dilution_kg(boiled.extract_kg, boiled.water_kg, target_pct=density.plato(1.0740)))
    assert water == pytest.approx(0.950, abs=_close(density, 0.003, 0.005))
    assert boiled.plus(0.0, water).volume_L == pytest.approx(24.953, abs=_close(density, 0.003, 0.005))
    strong = density.of_volume(20.0, 1.1200)
    water = float(dilution_kg(strong.extract_kg, strong.water_kg, target_pct=density.plato(1.0800)))
    assert water / WATER_KG_L == pytest.approx(10.134, abs=_close(density, 0.01, 0.02))
    assert strong.plus(0.0, water).volume_L == pytest.approx(30.124, abs=_close(density, 0.01, 0.02))


@KETTLE
@BOTH
@pytest.mark.parametrize(
    ("dry_fraction", "volume_L", "sg"),
    [
        (0.9995, 20.622, 1.09603),
        (float(anhydrous_fraction(180.156, crystal_water=1.0)), 20.656, 1.09421),
        (0.80, 20.697, 1.09202),
    ],
    ids=["sucrose", "dextrose monohydrate", "liquid extract"],
)
def test_a_kilogram_of_late_sugar(dry_fraction: float, volume_L: float, sg: float, density: Density) -> None:
    after = density.of_volume(20.0, 1.0800).plus(dry_fraction, 1.0 - dry_fraction)
    assert after.volume_L == pytest.approx(volume_L, abs=0.003)
    assert after.sg == pytest.approx(sg, abs=0.0002)


@pytest.mark.source("ratio of the densities of water", provenance="computed-with-CoolProp")
def test_cooling_shrinks_a_kettle() -> None:
    assert 25.0 * float(volume_at_20C_ratio(0.0, 99.0)) == pytest.approx(24.02, abs=0.05)


@pytest.mark.source("definition through the sucrose density", provenance="computed-with-numpy")
def test_litre_degrees_of_malt_and_points_of_sugar() -> None:
    assert 0.800 * float(gravity_points_per_kg_L(degrees_plato(1.0400))) == pytest.approx(308.1, abs=0.5)
    pound_in_gallon_g_L = 453.59237 / 3.785411784
    points = 1000.0 * (float(specific_gravity_of_extract(pound_in_gallon_g_L)) - 1.0)
    assert points == pytest.approx(46.12, abs=0.1)


@pytest.mark.source("exact mass balance of lautering", provenance="computed-with-numpy")
@given(
    retention=st.floats(0.8, 1.6),
    liquor=st.floats(2.3, 5.0),
    conversion=st.floats(0.85, 1.0),
)
def test_trade_absorption_is_what_the_balance_gives(retention: float, liquor: float, conversion: float) -> None:
    """Water in less cold wort out agrees with the short form to 0.02 L/kg over usual mashes."""
    mash = _mash(_liquor(liquor, SUCROSE), 1.0, conversion)
    run, _ = _drain(mash, retention)
    short = trade_absorption_L_kg(retention, mash.extract_kg, hot_reading_L_kg=0.0)
    assert liquor - run.volume_L == pytest.approx(float(short), abs=0.02)
