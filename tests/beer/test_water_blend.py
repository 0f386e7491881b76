"""Blends: totals add, pH comes out, parts and their wishes are kept, faults name their file."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from water_reports import EXAMPLES, report, report_file

from gyle.beer.water import Part
from gyle.beer.water_blend import MOST_CARBON_MMOL_L, blend, bought_water, bought_waters, bounded, carbon_of
from gyle.beer.water_guides import LIME_CAUTION
from gyle.beer.water_prepared import prepared
from gyle.beer.water_substances import MAJOR
from gyle.errors import BadInput

HARD, SOFT = (report_file(EXAMPLES / f"water-{name}.toml") for name in ("hard", "soft"))
RO = bought_water("reverse osmosis")


def blend_file(folder: Path, text: str) -> Path:
    path = folder / "blend.toml"
    path.write_text(text, encoding="utf-8")
    return path


def refused(path: Path) -> tuple[str, ...]:
    with pytest.raises(BadInput) as error:
        report_file(path)
    return error.value.faults


@given(share=st.floats(0.01, 0.99))
def test_totals_add_and_charge_is_kept(share: float) -> None:
    mixed = blend([Part(water=HARD, share=share), Part(water=SOFT, share=1 - share)])
    for ion in MAJOR:
        assert mixed.mg_L(ion) == pytest.approx(share * HARD.mg_L(ion) + (1 - share) * SOFT.mg_L(ion))
    for take in ("alkalinity_mEq_L", "hardness_mEq_L"):
        parts = [getattr(water, take).centre for water in (HARD, SOFT)]
        assert getattr(mixed, take).centre == pytest.approx(share * parts[0] + (1 - share) * parts[1], rel=0.005)
    assert mixed.imbalance_mEq_L == pytest.approx(
        share * HARD.imbalance_mEq_L + (1 - share) * SOFT.imbalance_mEq_L, abs=1e-9
    )
    assert mixed.carbon_mmol_L == pytest.approx(share * HARD.carbon_mmol_L + (1 - share) * SOFT.carbon_mmol_L, rel=1e-6)
    assert 6.5 < mixed.ph.centre < 8.7
    assert mixed.residual_chlorine_mg_L == pytest.approx((1 - share) * 0.21)


def test_a_blend_of_one_water_is_that_water() -> None:
    alone = blend([Part(water=HARD, share=1.0)])
    for ion in MAJOR:
        assert getattr(alone, f"{ion}_mg_L").spread == getattr(HARD, f"{ion}_mg_L").spread
    assert alone.estimated == ()


@pytest.mark.parametrize("name", ["reverse osmosis", "RO", "Reverse Osmosis water", "distilled", "deionised water"])
def test_waters_that_can_be_bought(name: str) -> None:
    water = bought_water(name)
    assert water is not None
    assert water.name in bought_waters()
    assert abs(water.imbalance_mEq_L) < 0.02
    assert all(getattr(water, f"{ion}_mg_L").spread > 0 for ion in MAJOR)
    assert water.hardness_mEq_L.centre < 0.1
    assert bought_water("well") is None


def test_the_example_is_cut_with_reverse_osmosis_water() -> None:
    water = report_file(EXAMPLES / "water-blend.toml")
    assert RO is not None
    assert [part.share for part in water.parts] == pytest.approx([0.4, 0.6])
    assert water.calcium_mg_L.centre == pytest.approx(0.4 * 94.4 + 0.6 * RO.mg_L("calcium"))
    assert water.name == "Hard water, cut"
    assert not water.untreated


def test_wishes_to_treat_are_carried(tmp_path: Path) -> None:
    for name in ("hard", "soft"):
        text = (EXAMPLES / f"water-{name}.toml").read_text(encoding="utf-8")
        (tmp_path / f"water-{name}.toml").write_text(text, encoding="utf-8")
    water = report_file(
        blend_file(
            tmp_path,
            '[[blend]]\nof = "water-hard"\nshare = "70 %"\ntreated = "boiled"\n'
            '[[blend]]\nof = "water-soft.toml"\nshare = "30 %"\n',
        )
    )
    assert [part.treated for part in water.parts] == ["boiled", ""]
    assert water.untreated
    assert not prepared(water).untreated
    assert prepared(water).alkalinity_mEq_L.centre < 0.5 * water.alkalinity_mEq_L.centre
    assert any(note.startswith("Soft water: cations") for note in water.notes)
    path = tmp_path / "limed.toml"
    path.write_text('treated = "lime"\ncalcium = 90\n', encoding="utf-8")
    assert report_file(path).treated == "lime"


def test_a_blend_of_a_blend(tmp_path: Path) -> None:
    (tmp_path / "inner.toml").write_text(
        '[[blend]]\nof = "RO"\nshare = "50 %"\n[[blend]]\nof = "distilled"\n', encoding="utf-8"
    )
    water = report_file(blend_file(tmp_path, '[[blend]]\nof = "inner"\nshare = "50 %"\n[[blend]]\nof = "distilled"\n'))
    assert RO is not None
    assert water.sodium_mg_L.centre == pytest.approx(0.25 * RO.mg_L("sodium") + 0.75 * 0.05)


def test_figures_of_a_blend_have_limits() -> None:
    mixed = blend([Part(water=HARD, share=0.5), Part(water=SOFT, share=0.5)])
    assert bounded(mixed) == mixed
    for ion in MAJOR:
        figure = getattr(mixed, f"{ion}_mg_L")
        assert 0.0 <= figure.low <= figure.centre <= figure.high < 1e5
    assert 3.0 <= mixed.ph.low < mixed.ph.centre < mixed.ph.high <= 12.0
    assert mixed.alkalinity_mEq_L.high < 6.0


def test_bicarbonate_of_a_blend_counts_no_carbonate() -> None:
    alone = blend([Part(water=SOFT, share=1.0)])
    assert alone.ph.centre == pytest.approx(8.36, abs=0.2)
    assert alone.bicarbonate_mg_L.centre < 61.017 * alone.alkalinity_mEq_L.centre


def test_what_was_limed_keeps_its_caution() -> None:
    limed = prepared(report('calcium = 90\nph = 7.4\nalkalinity = "4.5 mEq/L"\ntreated = "lime"\n'))
    mixed = blend([Part(water=limed, share=0.5), Part(water=SOFT, share=0.5)])
    assert LIME_CAUTION in mixed.cautions
    assert any("chlorine" in caution for caution in mixed.cautions)


@pytest.mark.faults
def test_a_part_that_contradicts_itself_still_mixes() -> None:
    odd = report('alkalinity = "8 mEq/L"\nph = 3.5\ncalcium = 90\n')
    assert odd.carbon_mmol_L > MOST_CARBON_MMOL_L == carbon_of(odd)
    mixed = blend([Part(water=odd, share=0.5), Part(water=HARD, share=0.5)])
    assert 3.0 <= mixed.ph.centre <= 7.0


@pytest.mark.faults
@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("blend = []\n", "blend is empty"),
        ("blend = 3\n", "write [[blend]]"),
        ('[[blend]]\nshare = "50 %"\n', "of is missing"),
        ('[[blend]]\nof = "nowhere"\n', 'there is no water "nowhere" beside this file'),
        ('[[blend]]\nof = "../other"\n', "there is no water"),
        ('[[blend]]\nof = "blend.toml"\n', "leads back to this blend"),
        ('[[blend]]\nof = "RO"\nshare = "60 %"\n[[blend]]\nof = "distilled"\nshare = "60 %"\n', "add to 120 %"),
        ('[[blend]]\nof = "RO"\nshare = "100 %"\n[[blend]]\nof = "distilled"\n', "nothing is left"),
        ('[[blend]]\nof = "RO"\n[[blend]]\nof = "distilled"\n', "2 waters of the blend have no share"),
        ('[[blend]]\nof = "RO"\nshare = "120 %"\n', "share"),
        ('[[blend]]\nof = "RO"\nshare = "-5 %"\n', "share"),
        ('[[blend]]\nof = "RO"\nshare = nan\n', "share"),
        ('[[blend]]\nof = "RO"\ntreated = "frozen"\n', '"boiled" or "lime" was wanted'),
        ('calcium = 80\n[[blend]]\nof = "RO"\n', "calcium is not a key of this table"),
    ],
)
def test_faults_of_a_blend(tmp_path: Path, text: str, says: str) -> None:
    (fault,) = refused(blend_file(tmp_path, text))
    assert says in fault
    assert "\n" not in fault


@pytest.mark.faults
def test_faults_of_a_part_name_its_file(tmp_path: Path) -> None:
    (tmp_path / "tap.toml").write_text("calcium = -1\nph = 0\n", encoding="utf-8")
    found = refused(blend_file(tmp_path, '[[blend]]\nof = "tap"\n'))
    assert len(found) == 2
    assert all("tap.toml: line" in fault for fault in found)
    (tmp_path / "tap.toml").write_text("calcium = \n", encoding="utf-8")
    (fault,) = refused(blend_file(tmp_path, '[[blend]]\nof = "tap"\n'))
    assert "tap.toml, line 1" in fault


@pytest.mark.faults
def test_blends_that_lead_in_a_circle(tmp_path: Path) -> None:
    for name, other in (("a", "b"), ("b", "c"), ("c", "a")):
        (tmp_path / f"{name}.toml").write_text(f'[[blend]]\nof = "{other}"\n', encoding="utf-8")
    found = refused(tmp_path / "a.toml")
    assert len(found) == 1
    assert "leads back" in found[0]
