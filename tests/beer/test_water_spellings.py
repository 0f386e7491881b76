"""Reports typed as they are printed: forms, languages, ranges, what is not detected, and names of keys."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from water_reports import IONS, faults, only_fault, report

from gyle.beer.page import Page
from gyle.beer.section import Section
from gyle.beer.water import Reported, Water
from gyle.beer.water_names import FORMULA, form_named, key_named, key_offer
from gyle.beer.water_reading import water_of
from gyle.beer.water_spellings import spelled
from gyle.errors import BadInput

NOTED = "What is not detected is taken as 0"
FRENCH = "°F and °f can only be French degrees of hardness here"


def figure(water: Water, key: str) -> Reported:
    named = {
        "hardness": water.hardness_mEq_L,
        "ph": water.ph,
        "base_capacity": water.base_capacity_mmol_L,
        "conductivity": water.conductivity_uS_cm,
        "chlorine": water.chlorine_mg_L,
    }
    if key in ("alkalinity", "acid_capacity", "bicarbonate", "carbonate_hardness"):
        return water.alkalinity_mEq_L
    found = named[key] if key in named else water.ion_mg_L(key.partition("_")[0])
    assert found is not None
    return found


def read(key: str, written: str) -> Reported:
    return figure(report(f'{key} = "{written}"\n'), key)


@pytest.mark.parametrize(
    ("key", "printed", "plain"),
    [
        ("nitrate", "1.4 mg/L NO3-N", "1.4 mg/L as N"),
        ("nitrate", "1.4 mg/L as NO3-N", "1.4 mg/L as N"),
        ("nitrate", "1.4 mg/l N", "1.4 mg/L as N"),
        ("nitrate", "1.4 mg N/l", "1.4 mg/L as N"),
        ("nitrate", "1,4 mg/l N-NO3", "1.4 mg/L as N"),
        ("nitrate", "1.4 mg/L nitrate-N", "1.4 mg/L as N"),
        ("nitrate", "1.4 mg/L as nitrogen", "1.4 mg/L as N"),
        ("nitrate_N", "1.4 mg/L NO3-N", "1.4 mg/L"),
        ("nitrate_N", "1.4 mg/l N", "1.4 mg/L"),
        ("nitrate", "0.1 mmol/L as N", "0.1 mmol/L"),
        ("sulfate", "11 ppm SO4-S", "11 mg/L as S"),
        ("sulfate", "11 mg/L sulfate-S", "11 mg/L as S"),
        ("sulfate", "33 mg/L sulfates", "33 mg/L"),
        ("sulfate", "33 mg/l SO₄²⁻", "33 mg/L"),
        ("sulfate", "33 mg/l SO42-", "33 mg/L"),
        ("sulfate", "33 mg/L (as SO4)", "33 mg/L"),
        ("sulfate", "33 mg(SO4)/L", "33 mg/L"),
        ("sulfate", "33 mg·L⁻¹", "33 mg/L"),
        ("sulfate", "33 mg l-1", "33 mg/L"),
        ("sulfate", "33 g/m³", "33 mg/L"),
        ("sulfate", "33 mg/dm3", "33 mg/L"),
        ("calcium", "109 mg Ca/l", "109 mg/L"),
        ("calcium", "109 mg/l Ca", "109 mg/L"),
        ("calcium", "109 mg/l Ca²⁺", "109 mg/L"),
        ("calcium", "109 mg/l Ca2+", "109 mg/L"),
        ("calcium", "80 mg/L calcium", "80 mg/L"),
        ("calcium", "200 mg CaCO3/L", "200 ppm as CaCO3"),
        ("calcium", "5 mval/l", "5 mEq/L"),
        ("calcium", "20 °f", "20 °fH"),
        ("silicate", "9,1 mg/l SiO2", "9.1 mg/L"),
        ("silicate", "9,1 mg/l Si", "9.1 mg/L as Si"),
        ("iron", "20 µg/l Fe", "0.020 mg/L"),
        ("bicarbonate", "244 mg/l HCO3", "244 mg/L"),
        ("bicarbonate", "244 mg/l HCO3-", "244 mg/L"),
        ("alkalinity", "244 mg/l HCO3", "244 mg/L as HCO3"),
        ("alkalinity", "200 mg/l als CaCO3", "200 ppm as CaCO3"),
        ("alkalinity", "20 °F", "20 °fH"),
        ("acid_capacity", "0,58 mmol/l bis pH 4,3", "0.58 mmol/L"),
        ("acid_capacity", "0.58 mmol/L to pH 4.3", "0.58 mmol/L"),
        ("acid_capacity", "0.58 mmol/L (pH 4.3)", "0.58 mmol/L"),
        ("acid_capacity", "0,58 mmol/l (KS 4,3)", "0.58 mmol/L"),
        ("acid_capacity", "0,58 mval/l", "0.58 mEq/L"),
        ("base_capacity", "0,40 mmol/l bis pH 8,2", "0.40 mmol/L"),
        ("hardness", "15 °f", "15 °fH"),
        ("hardness", "15 °F", "15 °fH"),
        ("hardness", "15 ° fH", "15 °fH"),
        ("hardness", "12 °Clark", "12 °e"),
        ("hardness", "14,2 Grad dH", "14.2 °dH"),
        ("hardness", "2,5 mmol/l als CaCO3", "2.5 mmol/L"),
        ("hardness", "5,0 mmol(eq)/l", "5.0 mEq/L"),
        ("ph", "7,52 (12,4 °C)", "7.52 at 12.4 °C"),
        ("ph", "7,52 bei 12,4 °C", "7.52 at 12.4 °C"),
        ("ph", "7.52 @ 12.4 °C", "7.52 at 12.4 °C"),
        ("conductivity", "651 µS/cm (25 °C)", "651 µS/cm"),
        ("conductivity", "651 µS/cm bei 20 °C", "651 µS/cm at 20 °C"),
        ("sulfate", "33 (12-61) mg/L", "12-33-61 mg/L"),
        ("sulfate", "33 mg/L (12–61)", "12-33-61 mg/L"),
        ("sulfate", "33 mg/L (12 - 61 mg/L)", "12-33-61 mg/L"),
        ("sulfate", "33 mg/L SO4 (12 bis 61)", "12-33-61 mg/L"),
        ("sulfate", "33 mg/L (min 12, max 61)", "12-33-61 mg/L"),
        ("sulfate", "12 bis 61 mg/l", "12 to 61 mg/L"),
        ("sulfate", "12 mg/L - 61 mg/L", "12 to 61 mg/L"),
        ("nitrate", "1.4 (1.0-2.0) mg/L NO3-N", "1.0-1.4-2.0 mg/L as N"),
        ("alkalinity", "118 (110-130) ppm as CaCO3", "110-118-130 ppm as CaCO3"),
        ("ph", "8.3 (range 7.9 - 8.8)", "7.9-8.3-8.8"),
        ("ph", "8.3 (7.9-8.8)", "7.9-8.3-8.8"),
        ("nitrite", "n.n. (< 0,02 mg/l)", "< 0.02 mg/L"),
    ],
)
def test_what_is_printed_means_what_is_plain(key: str, printed: str, plain: str) -> None:
    first, second = read(key, printed), read(key, plain)
    assert first.centre == pytest.approx(second.centre, rel=1e-12)
    assert first.spread == pytest.approx(second.spread, rel=1e-12)
    assert first.each_time == pytest.approx(second.each_time, rel=1e-12)


def test_a_table_of_values_is_spelled_as_one_value_is() -> None:
    found = report('nitrate = { value = "1.4 mg/L NO3-N", min = "1,0 mg/l NO3-N", max = "2.0 mg NO3-N/l" }\n')
    assert found.nitrate_mg_L == read("nitrate", "1.0-1.4-2.0 mg/L as N")
    mixed = faults('nitrate = { value = "1.4 mg/L NO3-N", min = "5 mg/L NO3", max = 7 }\n')
    assert ["is not a concentration" in fault for fault in mixed] == [True, True]


def test_conductivity_may_have_a_range_and_a_limit() -> None:
    ranged = read("conductivity", "480 (450-520) µS/cm at 20 °C")
    assert ranged.centre == pytest.approx(480 * 1.116)
    assert ranged.each_time == pytest.approx(70 * 1.116 / 3.258)
    assert read("conductivity", "< 10 µS/cm").centre == 5.0


def test_a_ph_keeps_its_temperature_beside_its_range() -> None:
    water = report('ph = "8,3 (7,9-8,8) bei 12,4 °C"\n')
    assert water.ph_temperature_C == 12.4
    assert water.ph.centre == 8.3
    assert water.ph.each_time == pytest.approx(0.9 / 3.258)


def test_french_degrees_are_told_once_and_only_where_they_were_guessed() -> None:
    water = report(IONS + 'hardness = "24 °F"\nalkalinity = "20.3 °f"\n')
    assert [note.startswith(FRENCH) for note in water.notes] == [True]
    assert report(IONS + 'hardness = "24 °fH"\nalkalinity = "20.3 °fH"\n').notes == ()
    assert "is a temperature, not a concentration" in only_fault('sodium = "54 °F"\n')


@pytest.mark.parametrize(
    "written", ["n.n.", "n. n.", "nicht nachweisbar", "n.d.", "ND", "not detected", "< BG", "<BG", "< LOQ", "bdl"]
)
def test_what_is_not_detected_is_nothing_with_a_small_spread(written: str) -> None:
    water = report(f'calcium = 80\nnitrite = "{written}"\nsulfate = "{written}"\nchlorine = "{written}"\n')
    nitrite = water.ion_mg_L("nitrite")
    assert nitrite is not None
    assert (nitrite.centre, nitrite.spread) == (0.0, 0.02)
    assert (water.sulfate_mg_L.centre, water.sulfate_mg_L.spread) == (0.0, 0.5)
    assert [note.startswith(NOTED) for note in water.notes].count(True) == 1
    assert water.cautions == ()


def test_nitrogen_that_is_not_detected_is_as_little_nitrate() -> None:
    assert report('nitrate_N = "n.n."\n').nitrate_mg_L.spread == pytest.approx(0.5)


def test_carbonate_that_is_not_there_or_part_of_the_alkalinity_is_no_fault() -> None:
    for text in ('carbonate = "n.n."\n', "carbonate = 0\n", "carbonate = 6\n"):
        water = report(IONS + 'alkalinity = "4.05 mEq/L"\n' + text)
        assert water.alkalinity_mEq_L.centre == pytest.approx(4.05)
    assert "without bicarbonate" in only_fault("carbonate = 6\n")


# --- refused, in one sentence -------------------------------------------------------------------------------------


@pytest.mark.faults
@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('chloride = "1.4 mg/L NO3-N"', "stated as NO3-N; here it can be Cl; nitrate_N takes NO3-N"),
        ('nitrite = "1.4 mg/L as NO3-N"', "here it can be NO2 or N or NO2-N; nitrate_N takes NO3-N"),
        ('sodium = "1.4 mg/l N"', "stated as N; here it can be Na; nitrate_N takes N"),
        ('nitrate_N = "8 mg/L NO3"', "stated as NO3; here it can be N or NO3-N; nitrate takes NO3"),
        ('calcium = "8 mg/L Mg"', "stated as Mg; here it can be Ca; magnesium takes Mg"),
        ('hardness = "109 mg/l Ca"', "stated as Ca; here it can be CaCO3; calcium takes Ca"),
        ('alkalinity = "8 mg/l CO3"', "stated as CO3; here it can be CaCO3 or HCO3; carbonate takes CO3"),
        ('base_capacity = "8 mmol/l HCO3"', "here it can be the figure alone; bicarbonate takes HCO3"),
        ('acid_capacity = "0.6 mmol/L to pH 8.2"', "titrated to pH 8.2, and pH 4.3 was wanted"),
        ('acid_capacity = "0.6 mmol/L to pH 4.5"', "and pH 4.3 was wanted; alkalinity takes pH 4.5"),
        ('base_capacity = "0.6 mmol/L bis pH 4,3"', "titrated to pH 4.3, and pH 8.2 was wanted"),
        ('calcium = "0.6 mmol/L bis pH 4,3"', "no end point was wanted; acid_capacity takes pH 4.3"),
        ('nitrite = "-"', "which is no figure; leave the line out if it was not measured"),
        ('nitrite = "n.b."', "leave the line out if it was not measured"),
        ('ph = "k.A."', "leave the line out if it was not measured"),
        ('ph = "n.n."', "is not a pH"),
        ('conductivity = "n.n."', '"651 µS/cm" at 25 or 20 °C was wanted'),
        ('calcium = "109 mg"', "is a mass, not a concentration"),
        ('calcium = "8 mg/L foo"', "is not a concentration"),
        ('calcium = "33 (40-61) mg/L"', "outside its own min and max"),
        ('calcium = "33 mg/L (12-61 g/L)"', "is a range where one value is wanted"),
        ('alkalinity = "2 mmol/L as CaCO3"', "is not an alkalinity"),
        ('hardness = "15 °C"', "is a temperature, not a hardness"),
    ],
)
def test_what_makes_no_sense_is_one_sentence(text: str, says: str) -> None:
    fault = only_fault(text + "\n")
    assert fault.startswith("line 1: ")
    assert says in fault


# --- names of keys ------------------------------------------------------------------------------------------------

MEANT = {
    "potassium": ["kalium", "Kalium", "K", "K+", "Kalium (K)", "kalium_mg_l"],
    "sodium": ["natrium", "Na", "Na+"],
    "calcium": ["Ca", "Ca2+", "kalzium"],
    "magnesium": ["Mg"],
    "chloride": ["Cl", "Cl-", "chlorid", "chlorures"],
    "sulfate": ["SO4", "SO42-", "SO4_2-", "sulfat", "sulfates", "sulphate"],
    "nitrate": ["NO3", "NO3-", "nitrat", "nitrates"],
    "nitrate_N": ["NO3-N", "NO3_N", "N-NO3", "nitrat_n", "nitrate-N"],
    "sulfate_S": ["SO4-S", "SO4_S", "SO4S", "sulfat-S"],
    "bicarbonate": ["HCO3", "HCO3-", "hydrogencarbonat", "bicarbonates"],
    "carbonate": ["CO3", "CO32-"],
    "acid_capacity": ["saeurekapazitaet", "säurekapazität", "saurekapazitat", "Säurekapazität bis pH 4,3", "ks43",
                      "KS 4,3", "KS4.3", "m_wert"],
    "base_capacity": ["basekapazitaet", "Basekapazität", "basekapazitaet_bis_ph_8_2", "kb82"],
    "hardness": ["gesamthaerte", "Gesamthärte", "total_hardness", "gesamthaerte_dh", "TH"],
    "carbonate_hardness": ["karbonathaerte", "Karbonathärte", "temporary_hardness"],
    "conductivity": ["leitfaehigkeit", "Leitfähigkeit", "EC", "leitfaehigkeit_25C"],
    "alkalinity": ["total_alkalinity", "TAC", "alkalinity_total"],
    "ph": ["pH", "PH", "ph-Wert"],
    "silicate": ["SiO2", "silica", "kieselsaeure"],
    "iron": ["Fe", "eisen", "fer"],
}  # fmt: skip


@pytest.mark.parametrize(("key", "name"), [(key, name) for key, names in MEANT.items() for name in names])
def test_names_of_other_languages_are_offered_and_never_read(key: str, name: str) -> None:
    fault = only_fault(f'"{name}" = 3\ncalcium = 20\n')
    assert f"{name} is not a key of this table; perhaps {key} is meant" in fault


def test_every_name_offers_a_key_that_there_is() -> None:
    table = report("calcium = 1\n")  # a report is read
    assert table.calcium_mg_L.centre == 1
    listed = only_fault("zzz = 1\n").partition("known here: ")[2].split(", ")
    for key in {*FORMULA, *MEANT, "temperature", "chlorine", "chloramine"}:
        assert key in listed
        assert key_named(key) == key


def test_the_keys_that_there_are_are_told_once() -> None:
    found = faults("qqqq = 1\nkalium = 2\nwwww = 3\nxxxx = 4\ncalcium = 5\n")
    assert [" known here: " in fault for fault in found] == [True, False, False, False]
    assert found[1].endswith("perhaps potassium is meant")
    assert found[2] == "line 3: wwww is not a key of this table either"


def test_a_unit_is_asked_for_where_a_bare_number_would_mean_another() -> None:
    assert key_offer("TAC") == "perhaps alkalinity is meant, with its unit"
    assert key_offer("kalium") == "perhaps potassium is meant"
    assert key_offer("remarks") == ""


@pytest.mark.parametrize("formula", sorted(set(FORMULA.values())))
def test_a_formula_means_itself(formula: str) -> None:
    assert form_named(formula) == form_named(formula.casefold()) == formula


# --- text that means harm -----------------------------------------------------------------------------------------

PIECES = st.sampled_from(
    [
        *"0123456789.,'-+−–—/°()[]@=≈~<≤;:^ \u00a0\u2009\t\x00\x1b\x9b",
        *["12", "8.3", "7,52", "mg/L", "mg/l", "mg", "mmol/l", "mval/l", "ppm", "µg/L", "°f", "°F", "°dH", "°C"],
        *["NO3-N", "SO₄²⁻", "Ca", "HCO3", "CaCO3", "N", " as ", " als ", " bis ", " to ", " bei ", " at ", "pH 4,3"],
        *["n.n.", "< BG", "range ", "min ", "max ", "µS/cm", "K S 4,3", "\u202e", "💧", "İ", "ß", "٣", "²", "l-1"],
    ]
)
TEXTS = st.one_of(
    st.text(max_size=60),
    st.lists(PIECES, max_size=14).map("".join),
    st.lists(PIECES, max_size=14).map(" ".join),
    st.sampled_from(["(", "((1-", "1 as ", "<", "9", "mg N/l ", "1-2 "]).map(lambda piece: piece * 3000),
    st.sampled_from(["(", "((1-", "1 as ", "<", "9", "mg N/l ", "1-2 "]).map(lambda piece: (piece * 200)[:200]),
)
KEYS = st.sampled_from(
    ["calcium", "nitrate", "nitrate_N", "silicate", "iron", "chlorine", "bicarbonate", "alkalinity", "acid_capacity",
     "base_capacity", "hardness", "carbonate_hardness", "ph", "conductivity"]
)  # fmt: skip


@given(key=KEYS, text=TEXTS)
def test_any_text_is_a_figure_or_one_sentence(key: str, text: str) -> None:
    page = Page({key: text}, "", "w")
    water = water_of(Section(page, page.data))
    for sentence in (*page.faults, *water.notes):
        assert "\n" not in sentence
        assert len(sentence) < 600
    assert len(page.faults) <= 1
    if page.faults:
        with pytest.raises(BadInput):
            page.settle()


@given(name=st.text(max_size=80) | st.sampled_from(["(", "+", "é", "a"]).map(lambda piece: piece * 100_000))
def test_any_key_is_offered_one_or_none(name: str) -> None:
    assert key_offer(name) == "" or key_offer(name).startswith("perhaps ")


@given(TEXTS, st.sampled_from(["concentration", "hardness", "alkalinity", "ph", "conductivity"]))
def test_a_spelling_leaves_nothing_but_texts(text: str, kind: str) -> None:
    value = spelled(text, kind).value
    texts = value.values() if isinstance(value, dict) else [value]
    assert all(isinstance(one, str) for one in texts)
