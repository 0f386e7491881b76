"""Water reports: units, forms of alkalinity, ranges, what is missing, and every fault in a sentence."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from water_reports import IONS, faults, only_fault, report

from gyle.beer.water_alkalinity import end_point_acid_mEq_L
from gyle.beer.water_substances import MAJOR
from gyle.errors import BadInput

CACO3 = 100.086 / 2
CAO = 56.077 / 2


def alkalinity(text: str) -> float:
    return report(IONS + text).alkalinity_mEq_L.centre


def figures(**values: float) -> str:
    return "".join(f"{key} = {value!r}\n" for key, value in values.items())


BALANCED = st.fixed_dictionaries(
    {
        "calcium": st.floats(5, 200),
        "magnesium": st.floats(1, 40),
        "sodium": st.floats(1, 80),
        "potassium": st.floats(0.5, 8),
        "sulfate": st.floats(2, 120),
        "chloride": st.floats(2, 80),
        "nitrate": st.floats(0.5, 40),
    }
)
PER_MEQ = {
    "calcium": 40.078 / 2, "magnesium": 24.305 / 2, "sodium": 22.990, "potassium": 39.098,
    "sulfate": 96.056 / 2, "chloride": 35.45, "nitrate": 62.004,
}  # fmt: skip
CATIONS = ("calcium", "magnesium", "sodium", "potassium")


def closing_alkalinity(ions: dict[str, float]) -> float:
    return sum(value / PER_MEQ[ion] * (1 if ion in CATIONS else -1) for ion, value in ions.items())


@given(ions=BALANCED)
def test_every_unit_of_an_ion_means_the_same(ions: dict[str, float]) -> None:
    plain = report(figures(**ions, alkalinity=150.0))
    texts = {
        "mmol/L": lambda ion, x: x / PER_MEQ[ion] / (2 if ion in ("calcium", "magnesium", "sulfate") else 1),
        "mEq/L": lambda ion, x: x / PER_MEQ[ion],
        "°dH": lambda ion, x: x / PER_MEQ[ion] * CAO / 10,
        "°fH": lambda ion, x: x / PER_MEQ[ion] * CACO3 / 10,
        "ppm as CaCO3": lambda ion, x: x / PER_MEQ[ion] * CACO3,
        "g/L": lambda ion, x: x / 1000,
    }
    for unit, turned in texts.items():
        lines = "".join(f'{ion} = "{turned(ion, value)!r} {unit}"\n' for ion, value in ions.items())
        other = report(lines + "alkalinity = 150.0\n")
        for ion in MAJOR:
            assert other.mg_L(ion) == pytest.approx(plain.mg_L(ion), rel=1e-3), (unit, ion)


@given(value=st.floats(1.5, 10))
def test_every_way_to_state_an_alkalinity_means_the_same(value: float) -> None:
    ways = {
        f'alkalinity = "{value!r} mEq/L"\n': 1e-9,
        f'alkalinity = "{value * CACO3!r} ppm as CaCO3"\n': 1e-9,
        f"alkalinity = {value * CACO3!r}\n": 1e-9,
        f'alkalinity = "{value * 61.017!r} mg/L as HCO3"\n': 1e-9,
        f'alkalinity = "{value * CACO3 / 10!r} °fH"\n': 1e-9,
        f'carbonate_hardness = "{value * CAO / 10!r} °dH"\n': 1e-9,
        f"bicarbonate = {value * 61.017!r}\n": 1e-9,
        f'bicarbonate = "{value!r} mmol/L"\n': 1e-9,
        # The acid of the end point: nothing of a hard water, 0.05 mEq/L of a soft one.
        f'acid_capacity = "{value!r} mmol/L"\n': 0.05 / value,
    }
    for text, slack in ways.items():
        assert alkalinity(text) == pytest.approx(value, rel=slack + 1e-9), text


@pytest.mark.source("mass fractions of N and S from the IUPAC 2021 abridged weights", provenance="memory")
def test_nitrogen_and_sulfur_reporting() -> None:
    water = report("nitrate_N = 10\nsulfate_S = 10\n")
    assert water.nitrate_mg_L.centre == pytest.approx(44.268, abs=0.005)
    assert water.sulfate_mg_L.centre == pytest.approx(29.962, abs=0.005)
    assert water.nitrate_mg_L.standing == "computed"
    for text in ('nitrate = "10 mg/L as N"', 'nitrate = "10 mg/L (as NO3-N)"', 'nitrate_N = "10 mg/L as N"'):
        assert report(text + "\n").nitrate_mg_L.centre == pytest.approx(44.268, abs=0.005)


def test_a_nitrate_stated_both_ways_is_compared() -> None:
    assert report(IONS + "alkalinity = 200\nnitrate_N = 2.26\n").notes == ()
    water = report(IONS + "alkalinity = 200\nnitrate_N = 5\n")
    assert water.nitrate_mg_L.centre == 10
    assert len(water.notes) == 1
    assert "nitrate_N says 5, 22.1 mg/L of nitrate, and nitrate says 10" in water.notes[0]


def test_decimal_commas_and_the_temperature_of_the_ph() -> None:
    water = report('calcium = "94,4 mg/l"\nph = "7,41 at 9,3 °C"\ntemperature = "11 °C"\nconductivity = "65,1 mS/m"\n')
    assert water.calcium_mg_L.centre == 94.4
    assert (water.ph.centre, water.ph_temperature_C, water.temperature_C) == (7.41, 9.3, 11)
    assert water.conductivity_uS_cm is not None
    assert water.conductivity_uS_cm.centre == pytest.approx(651)
    cold = report('calcium = 90\nconductivity = "500 µS/cm at 20 °C"\n')
    assert cold.conductivity_uS_cm is not None
    assert cold.conductivity_uS_cm.centre == pytest.approx(558)


@pytest.mark.parametrize(
    ("written", "centre", "season"),
    [
        ("{ value = 21, low = 12, high = 33 }", 21, 21 / 2.5631),
        ("{ low = 12, high = 33 }", 22.5, 21 / 2.5631),
        ("{ value = 21, min = 12, max = 33 }", 21, 21 / 3.258),
        ('"12-21-33 mg/L"', 21, 21 / 3.258),
        ('"12 – 21 – 33 mg/L"', 21, 21 / 3.258),
        ('"12,0 / 21,0 / 33,0 mg/l"', 21, 21 / 3.258),
        ('"12 to 33 mg/L"', 22.5, 21 / 3.258),
        ('"12...33"', 22.5, 21 / 3.258),
    ],
)
def test_ranges_become_spreads(written: str, centre: float, season: float) -> None:
    found = report(f"chloride = {written}\n").chloride_mg_L
    assert found.centre == centre
    assert found.each_time == pytest.approx(season)
    assert found.spread > 0


def test_less_than_is_anything_below() -> None:
    water = report('calcium = 80\niron = "< 0,02 mg/L"\nchlorine = "< 0.05 mg/L"\n')
    iron = water.ion_mg_L("iron")
    assert iron is not None
    assert iron.centre == 0.01
    assert iron.spread == pytest.approx(0.02 / math.sqrt(12))
    assert water.cautions == ()  # no chlorine was found


def test_bicarbonate_is_not_alkalinity_above_ph_8_3() -> None:
    low = report(IONS.replace("7.5", "8.2") + "bicarbonate = 244\n")
    high = report(IONS.replace("7.5", "9.3") + "bicarbonate = 244\n")
    assert low.alkalinity_mEq_L.centre == pytest.approx(3.999, abs=0.001)
    assert 4.4 < high.alkalinity_mEq_L.centre < 5.2
    assert high.bicarbonate_mg_L.centre == pytest.approx(244, rel=1e-6)
    assert high.alkalinity_mEq_L.spread > 2 * low.alkalinity_mEq_L.spread
    stated = report(IONS + "bicarbonate = 244\ncarbonate = 12\n")
    assert stated.alkalinity_mEq_L.centre == pytest.approx(3.999 + 2 * 12 / 60.008, abs=0.001)


@given(value=st.floats(0, 40))
def test_the_acid_of_the_end_point_is_between_nothing_and_its_definition(value: float) -> None:
    assert 0.0 <= end_point_acid_mEq_L(value) <= 0.0502
    assert end_point_acid_mEq_L(value) <= end_point_acid_mEq_L(value / 2)


def test_statements_of_one_alkalinity() -> None:
    """Within their rounding they agree; beyond it one sentence says which counts."""
    assert (
        report(IONS + 'acid_capacity = "4.0 mmol/L"\ncarbonate_hardness = "11.2 °dH"\nbicarbonate = 244\n').notes == ()
    )
    assert report(IONS + 'acid_capacity = "4.00 mmol/L"\nbicarbonate = 241\n').notes == ()  # 0.05 taken off
    two = report(IONS + 'acid_capacity = "4.00 mmol/L"\ncarbonate_hardness = "9.0 °dH"\n')
    assert two.alkalinity_mEq_L.centre == pytest.approx(4.0, abs=0.05)
    assert len(two.notes) == 1
    assert two.notes[0].startswith('carbonate_hardness says "9.0 °dH", 3.21 mEq/L, and acid_capacity says')
    assert two.notes[0].endswith("acid_capacity counts.")
    # Two that agree outvote a third.
    three = report(IONS + 'acid_capacity = "6.0 mmol/L"\nalkalinity = 200\nbicarbonate = 244\n')
    assert three.alkalinity_from == "alkalinity"
    assert three.alkalinity_mEq_L.centre == pytest.approx(4.0, abs=0.01)


def test_carbonate_hardness_that_ends_at_the_hardness() -> None:
    water = report('hardness = "12 °dH"\ncarbonate_hardness = "12 °dH"\n')
    assert any("the alkalinity may be higher" in note for note in water.notes)
    other = report('hardness = "12 °dH"\ncarbonate_hardness = "12 °dH"\nacid_capacity = "6.5 mmol/L"\n')
    assert other.alkalinity_mEq_L.centre == pytest.approx(6.5)
    assert any("ends at the total hardness" in note for note in other.notes)


@given(ions=BALANCED)
def test_a_report_that_balances_says_nothing_and_is_whole(ions: dict[str, float]) -> None:
    alk = closing_alkalinity(ions)
    assume(0.3 < alk < 12)
    water = report(figures(**ions, ph=7.6) + f'alkalinity = "{alk!r} mEq/L"\n')
    assert water.notes == water.supposed == ()
    assert water.imbalance_mEq_L == pytest.approx(0, abs=1e-6)
    assert water.estimated == ()


@given(ions=BALANCED, gone=st.sampled_from(["calcium", "sodium", "sulfate", "chloride", "alkalinity"]))
def test_one_missing_figure_is_what_the_balance_leaves(ions: dict[str, float], gone: str) -> None:
    alk = closing_alkalinity(ions)
    assume(0.5 < alk < 10)
    whole = {**ions, "alkalinity": alk}
    known = "".join(
        f'{key} = "{value!r} mEq/L"\n' if key == "alkalinity" else f"{key} = {value!r}\n"
        for key, value in whole.items()
        if key != gone
    )
    water = report(known + "ph = 7.6\n")
    assert water.estimated == (gone,)
    assert len(water.supposed) == 1
    assert f"what the charge balance leaves: {gone}" in water.supposed[0]
    if gone == "alkalinity":
        found, true, scale = water.alkalinity_mEq_L, alk, 1.0
    else:
        found, true, scale = getattr(water, f"{gone}_mg_L"), ions[gone], PER_MEQ[gone]
    assert abs(found.centre - true) <= 3 * found.spread + 0.05 * true
    assert found.spread / scale > 0.01  # wide: it carries every other figure's error
    for ion in set(MAJOR) - {gone}:
        assert water.mg_L(ion) == ions[ion]  # what is stated never changes


def test_little_ions_do_not_hide_an_imbalance() -> None:
    whole = report(IONS + 'alkalinity = "5.2 mEq/L"\n')
    without = report(IONS.replace("nitrate = 10\n", "").replace("potassium = 2\n", "") + 'alkalinity = "5.2 mEq/L"\n')
    assert without.estimated == ("potassium", "nitrate")
    assert without.imbalance_mEq_L == pytest.approx(whole.imbalance_mEq_L, abs=0.1)
    assert without.balance.tells


def test_hardness_tells_the_one_of_two_that_is_missing() -> None:
    water = report('hardness = "17.40 °dH"\ncalcium = 94.4\n')
    assert water.magnesium_mg_L.centre == pytest.approx(18.3, abs=0.3)
    assert water.magnesium_mg_L.standing == "computed"
    assert "magnesium" not in water.estimated
    both = report('hardness = "17.40 °dH"\n')
    assert both.calcium_mg_L.standing == both.magnesium_mg_L.standing == "estimated"
    made = both.calcium_mg_L.centre / PER_MEQ["calcium"] + both.magnesium_mg_L.centre / PER_MEQ["magnesium"]
    assert made == pytest.approx(both.hardness_mEq_L.centre)


def test_hardness_that_does_not_fit_is_told() -> None:
    text = IONS + 'alkalinity = "4.05 mEq/L"\n'
    assert report(text + 'hardness = "13.5 °dH"\n').notes == ()
    (note,) = report(text + 'hardness = "9 °dH"\n').notes
    assert 'hardness says "9 °dH", and calcium with magnesium make 13.5 °dH' in note
    small = report('hardness = "2 mmol/L"\ncalcium = 120\n')
    assert any("calcium alone makes 2.99 mmol/L" in note for note in small.notes)


def test_base_capacity_tells_the_ph_and_checks_it() -> None:
    text = IONS.replace("ph = 7.5\n", "") + 'acid_capacity = "4.10 mmol/L"\ntemperature = "10 °C"\n'
    water = report(text + 'base_capacity = "0.40 mmol/L"\n')
    assert water.ph.standing == "computed"
    assert 7.2 < water.ph.centre < 7.6
    assert water.supposed == ()
    odd = report(text + 'base_capacity = "0.40 mmol/L"\nph = 8.3\n')
    assert any("base_capacity says 0.4" in note for note in odd.notes)


def test_conductivity_that_does_not_fit_is_told() -> None:
    text = IONS + 'alkalinity = "4.05 mEq/L"\n'
    assert report(text + "conductivity = 500\n").notes == ()
    (note,) = report(text + "conductivity = 300\n").notes
    assert "more than the 300 measured" in note


def test_everything_missing_is_still_a_water() -> None:
    water = report("calcium = 40\n")
    assert set(water.estimated) == {*MAJOR, "alkalinity", "ph"} - {"calcium"}
    assert all("Not in the report" in said for said in water.supposed)
    assert not water.balance.tells


def test_lesser_substances() -> None:
    water = report('calcium = 80\nfluoride = 0.2\nsilicate = "5 mg/L as Si"\nphosphate_P = 0.5\nammonium_N = 0.1\n')
    assert water.mg_L("silicate") == pytest.approx(5 * 60.083 / 28.085)
    assert water.mg_L("phosphate") == pytest.approx(0.5 * 94.970 / 30.974)
    assert water.mg_L("ammonium") == pytest.approx(0.1 * 18.039 / 14.007)
    assert water.mg_L("iron") == 0
    assert water.ion_mg_L("iron") is None


# --- the charge balance -------------------------------------------------------------------------------------------


def note_of_balance(text: str) -> str:
    (note,) = (note for note in report(text).notes if "charge balance" in note)
    return note


def test_a_balance_forty_per_cent_off_is_told_and_carried() -> None:
    text = IONS + 'alkalinity = "2.24 mEq/L"\nhardness = "13.5 °dH"\n'
    water = report(text)
    assert water.balance.din_pct == pytest.approx(40, abs=0.5)
    note = note_of_balance(text)
    assert "off by +40" in note
    assert "question alkalinity first: 4.04 mEq/L instead of 2.24 mEq/L" in note
    assert water.alkalinity_mEq_L.centre == 2.24
    assert water.imbalance_mEq_L == pytest.approx(1.80, abs=0.02)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        # Nitrate as nitrogen: 60 mg/L printed as 13.6.
        (
            "calcium = 90\nmagnesium = 12\nsodium = 30\npotassium = 3\nsulfate = 40\nchloride = 40\nnitrate = 13.6\n"
            'hardness = "15.36 °dH"\nacid_capacity = "3.82 mmol/L"\ncarbonate_hardness = "10.71 °dH"\n'
            "conductivity = 640\n",
            "question nitrate first: 60.2 mg/L instead of 13.6 mg/L (stated as nitrogen)",
        ),
        # Alkalinity printed as bicarbonate without a word.
        (
            IONS + 'alkalinity = "246.5 mg/L"\nhardness = "13.50 °dH"\nconductivity = 480\n',
            "question alkalinity first",
        ),
        # A decimal mark lost in sodium.
        (
            IONS.replace("sodium = 12", "sodium = 120") + 'acid_capacity = "4.05 mmol/L"\nbicarbonate = 247\n'
            'hardness = "13.50 °dH"\nconductivity = 480\n',
            "question sodium first: 12 mg/L instead of 120 mg/L (a slip of the decimal mark)",
        ),
    ],
)
def test_the_figure_that_was_spoilt_is_the_one_questioned(text: str, says: str) -> None:
    assert says in note_of_balance(text)


def test_what_nothing_can_close_is_said() -> None:
    note = note_of_balance("calcium = 1000\nmagnesium = 200\nsodium = 4999\n")
    assert note.startswith("even with what is missing estimated")
    assert "no single figure can be the cause" in note


# --- cautions -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("nitrate = 62\n", "nitrate 62 mg/L is above the guide value for drinking water, 50 mg/L (WHO"),
        ("nitrite = 1\n", "nitrite 1 mg/L is above the guide value for drinking water, 0.5 mg/L (EU"),
        ('lead = "20 µg/L"\n', "lead 0.02 mg/L is above the guide value for drinking water, 0.01 mg/L (WHO"),
        ("sodium = 230\n", "sodium 230 mg/L is above the guide value for drinking water, 200 mg/L (EU"),
        ("nitrate_N = 15\n", "nitrate 66.4 mg/L is above"),
        ("ph = 5.5\n", "pH 5.5 is outside"),
        ("chloramine = 1.5\n", "standing and boiling do not remove it"),
        ('calcium = 2\nmagnesium = 1\nsodium = 120\nacid_capacity = "5 mmol/L"\n', "sodium softener"),
    ],
)
def test_cautions(text: str, says: str) -> None:
    assert any(says in caution for caution in report(text).cautions)


def test_a_clean_water_has_no_cautions() -> None:
    assert report(IONS + 'alkalinity = "4.05 mEq/L"\nchlorine = 0\n').cautions == ()


# --- faults -------------------------------------------------------------------------------------------------------


@pytest.mark.faults
@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("ph = 0\n", "ph is 0, which is not between 3 and 12 pH"),
        ("ph = 15\n", "ph is 15, which is not between 3 and 12 pH"),
        ("calcium = -5\n", 'calcium: "-5" cannot be a concentration: it must be at least 0 mg/L'),
        ("calcium = nan\n", "is no quantity"),
        ("calcium = inf\n", "is no quantity"),
        ('calcium = "nan mg/L"\n', "is not a concentration"),
        ('calcium = "100 g/L"\n', "which is 100000 mg/L and not between 0 and 5000 mg/L"),
        ('calcium = "4 mol/L"\n', "which is 160312 mg/L and not between 0 and 5000 mg/L"),
        ("nitrate_N = 4000\n", "17707 mg/L of nitrate and not between 0 and 5000 mg/L"),
        ("calcium = true\n", "a quantity was wanted"),
        ("calcium = [80]\n", "a quantity was wanted"),
        ('calcium = ""\n', "nothing is written"),
        ('calcium = "5 kg"\n', "is a mass, not a concentration"),
        ('calcium = "1,050 mg/L"\n', 'write "1.05 mg/L" or "1050 mg/L"'),
        ('calcium = "80 mg/L as Mg"\n', "stated as Mg; here it can be Ca"),
        ('nitrate_N = "8 mg/L as NO3"\n', "stated as NO3; here it can be N or NO3-N"),
        ('alkalinity = "80 mg/L as Na"\n', "here it can be CaCO3 or HCO3"),
        ('calcium = "33-21-12 mg/L"\n', "outside its own min and max"),
        ("calcium = { value = 5, low = 6 }\n", "outside its own low and high"),
        ("calcium = { value = 5, low = 4, max = 6 }\n", "two ranges"),
        ("calcium = { low = 5 }\n", "gives no value"),
        ("acid_capacity = -1\n", "cannot"),
        ('alkalinity = "999 mmol/L"\n', "which is 999 mEq/L and not between -10 and 60 mEq/L"),
        ("carbonate_hardness = 16\n", "has no unit"),
        ("hardness = 16\n", "has no unit"),
        ("carbonate = 5\n", "carbonate is stated without bicarbonate"),
        ('chlorine = "0.1 mmol/L"\n', "mg/L as Cl2 was wanted"),
        ('silicate = "1 mEq/L"\n', "and mg/L or mmol/L was wanted"),
        ('base_capacity = "5 mg/L"\n', "mmol/L was wanted"),
        ('conductivity = "lots"\n', "651 µS/cm"),
        ("conductivity = true\n", "651 µS/cm"),
        ("conductivity = nan\n", "651 µS/cm"),
        ('conductivity = "651 µS/cm at 15 °C"\n', "at 25 or 20 °C"),
        ('conductivity = "3 S/m"\n', "no water to brew with"),
        ('temperature = "90 °C"\ncalcium = 1\n', "temperature"),
        ('treated = "frozen"\ncalcium = 1\n', '"boiled" or "lime" was wanted'),
        ("sulphate = 20\n", "perhaps sulfate is meant"),
    ],
)
def test_one_clear_sentence_for_each_fault(text: str, says: str) -> None:
    fault = only_fault(text)
    assert fault.startswith("line 1: ")
    assert "\n" not in fault
    if says != "cannot":
        assert says in fault


@pytest.mark.faults
def test_an_alkalinity_in_three_forms_that_disagree() -> None:
    fault = only_fault(
        IONS + 'acid_capacity = "4 mmol/L"\nalkalinity = "300 ppm as CaCO3"\ncarbonate_hardness = "5 °dH"\n'
    )
    assert "stated in 3 ways of which no two agree" in fault
    for amount in ("4 mEq/L", "5.99 mEq/L", "1.78 mEq/L"):
        assert amount in fault


@pytest.mark.faults
def test_all_faults_of_a_report_come_together() -> None:
    found = faults('calcium = -1\nmagnesium = "x"\nph = 0\ncolour = 3\nhardness = 3\nconductivity = "?"\n')
    assert len(found) == 6
    assert {fault.split(":")[0] for fault in found} == {f"line {n}" for n in range(1, 7)}


VALUES = [
    '"3 °dH"', '"2.5 mmol/L"', '"7.4"', '"1-2-3 mg/L"', '"< 1 mg/L"', '"12 °C"', '"3 mg/L as N"', "true", "[]",
    "{ value = 3 }", "{ low = 1, high = 9 }", '"400 µS/cm"',
]  # fmt: skip
KEYS = [
    *MAJOR, "nitrate_N", "alkalinity", "acid_capacity", "carbonate_hardness", "bicarbonate", "carbonate", "ph",
    "temperature", "base_capacity", "hardness", "chlorine", "conductivity", "iron", "silicate",
]  # fmt: skip


@given(
    st.dictionaries(
        st.sampled_from(KEYS), st.integers(-5, 10**6) | st.floats(0, 300) | st.sampled_from(VALUES), max_size=8
    )
)
def test_any_report_is_read_or_refused_in_sentences(table: dict[str, object]) -> None:
    try:
        water = report("".join(f"{key} = {value}\n" for key, value in table.items()))
    except BadInput as error:
        sentences = error.faults
    else:
        assert all(math.isfinite(water.mg_L(ion)) for ion in MAJOR)
        assert math.isfinite(water.imbalance_mEq_L)
        sentences = (*water.notes, *water.supposed, *water.cautions)
    assert all(sentence and "\n" not in sentence for sentence in sentences)
