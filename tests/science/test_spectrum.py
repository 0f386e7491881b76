"""The spectrum of beer and the colour seen."""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import OutOfRange
from gyle.science import spectrum

with warnings.catch_warnings(), np.printoptions():  # it turns printing to an old style, for everyone
    warnings.simplefilter("ignore")  # it says which drawing features it goes without
    import colour


@pytest.mark.source("CIE 015, Colorimetry", provenance="computed-with-colour-science")
def test_tables_are_those_of_the_commission() -> None:
    observer = spectrum._observer()
    functions = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    daylight = colour.SDS_ILLUMINANTS["D65"]
    expected = np.array([functions[nm] * daylight[nm] for nm in observer.wavelength_nm])
    np.testing.assert_allclose(observer.weights, expected / expected[:, 1].sum(), rtol=1e-9, atol=1e-12)
    np.testing.assert_array_equal(observer.wavelength_nm, np.arange(380.0, 781.0, 5.0))


@pytest.mark.source("IEC 61966-2-1", provenance="computed-with-colour-science")
@pytest.mark.parametrize("depth", [0.0, 2.0, 10.0, 24.0, 60.0, 130.0, 200.0])
def test_screen_colour_agrees(depth: float) -> None:
    xyz = spectrum.xyz_of_beer(depth, path_cm=1.0)
    expected = np.round(255.0 * np.clip(colour.XYZ_to_sRGB(xyz), 0.0, 1.0))
    assert np.abs(spectrum.srgb_of_beer(depth, path_cm=1.0) - expected).max() <= 1.0


@pytest.mark.source("ASTM E308 at 1 nm", provenance="computed-with-colour-science")
def test_five_nanometres_are_fine_enough() -> None:
    shape = colour.SpectralShape(380, 780, 1)
    functions = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
    daylight = colour.SDS_ILLUMINANTS["D65"].copy().align(shape)
    through = spectrum.transmission(shape.wavelengths, 8.0, path_cm=5.0)
    weights = functions.values * daylight.values[:, None]
    fine = through @ weights / weights[:, 1].sum()
    np.testing.assert_allclose(spectrum.xyz_of_beer(8.0, path_cm=5.0), fine, atol=3e-4)


@given(st.floats(0.0, 60.0), st.floats(0.1, 8.0))
def test_only_colour_times_path_matters(srm: float, path: float) -> None:
    one = spectrum.xyz_of_beer(srm, path_cm=path)
    other = spectrum.xyz_of_beer(srm * path, path_cm=1.0)
    np.testing.assert_allclose(one, other, rtol=1e-9)


def test_dark_beer_thin_is_pale_beer_thick() -> None:
    np.testing.assert_array_equal(spectrum.srgb_of_beer(10.0, path_cm=5.0), spectrum.srgb_of_beer(50.0, path_cm=1.0))


def test_water_is_white_and_everything_darkens() -> None:
    np.testing.assert_array_equal(spectrum.srgb_of_beer(0.0, path_cm=5.0), [255.0, 255.0, 255.0])
    xyz = spectrum.xyz_of_beer(np.linspace(0.0, 80.0, 161), path_cm=3.0)
    assert abs(xyz[0, 1] - 1.0) < 1e-12
    assert (np.diff(xyz, axis=0) < 0).all()
    screen = spectrum.srgb_of_beer(np.linspace(0.0, 80.0, 161), path_cm=3.0)
    assert ((screen >= 0.0) & (screen <= 255.0) & (screen == np.round(screen))).all()
    assert (np.diff(screen, axis=0) <= 0).all()


def test_beer_is_redder_than_blue() -> None:
    red, green, blue = spectrum.srgb_of_beer([3.0, 8.0, 20.0], path_cm=4.0).T
    assert (red > green).all()
    assert (green > blue).all()


@pytest.mark.source("deLange, ASBC annual meeting, 2007: clear beer at 700 nm", provenance="retrieved")
def test_the_average_beer_is_clear() -> None:
    assert 0.0 < spectrum.normalised_absorbance(700.0) <= 0.039
    assert (np.diff(spectrum.normalised_absorbance(np.arange(380.0, 781.0))) < 0).all()


@pytest.mark.source("deLange, second published pair of exponentials", provenance="memory")
def test_the_other_published_spectrum_looks_the_same() -> None:
    observer = spectrum._observer()
    beyond = 430.0 - observer.wavelength_nm
    other = 0.018747 * np.exp(beyond / 13.374) + 0.98226 * np.exp(beyond / 80.514)
    for depth in (10.0, 25.0):
        xyz = 10.0 ** (-depth / 12.7 * other) @ observer.weights
        screen = np.round(255.0 * np.clip(colour.XYZ_to_sRGB(xyz), 0.0, 1.0))
        assert np.abs(screen - spectrum.srgb_of_beer(depth, path_cm=1.0)).max() <= 5.0


def test_shapes() -> None:
    assert spectrum.srgb_of_beer(10.0, path_cm=5.0).shape == (3,)
    assert spectrum.xyz_of_beer([[4.0], [8.0]], path_cm=[1.0, 2.0, 5.0]).shape == (2, 3, 3)
    assert spectrum.transmission([430.0, 550.0], [[4.0], [8.0]], path_cm=1.0).shape == (2, 2)


def test_nonsense_is_refused() -> None:
    for call in (
        lambda: spectrum.normalised_absorbance(300.0),
        lambda: spectrum.transmission(np.nan, 10.0, path_cm=1.0),
        lambda: spectrum.transmission(430.0, -1.0, path_cm=1.0),
        lambda: spectrum.xyz_of_beer(np.nan, path_cm=1.0),
        lambda: spectrum.srgb_of_beer(10.0, path_cm=-1.0),
        lambda: spectrum.srgb_of_beer(600.0, path_cm=1.0),
    ):
        with pytest.raises(OutOfRange, match="not between"):
            call()
