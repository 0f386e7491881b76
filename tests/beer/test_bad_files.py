"""Bad files: one clear sentence for each fault, all of them together, and never anything but our own errors."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gyle.beer.reading import (
    brewhouse_from_text,
    kind_of,
    read_brewhouse,
    read_recipe,
    read_stock,
    read_water,
    recipe_from_text,
)
from gyle.beer.toml_text import toml_text
from gyle.errors import BadInput, StoreError

pytestmark = pytest.mark.faults
EXAMPLES = Path(__file__).parents[2] / "examples" / "lantern-street"
READERS: tuple[Callable[[Path], Any], ...] = (read_recipe, read_brewhouse, read_stock, read_water, kind_of)
GRIST = '[[grist]]\nwhat = "pale ale malt"\nmass = "4 kg"\n'
HEAD = 'name = "x"\n'


def faults(text: str, **options: Any) -> tuple[str, ...]:
    with pytest.raises(BadInput) as error:
        recipe_from_text(text, **options)
    return error.value.faults


def only(text: str) -> str:
    found = faults(text)
    assert len(found) == 1, found
    return found[0]


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "is empty"),
        (b"\n  \n", "is empty"),
        (b"\x7fELF\x00\x01\x02", "binary"),
        (b'name = "caf\xe9"\n', "not UTF-8"),
        (b"#" * 1_000_001, "larger than 1 MB"),
        (b"a = \n", "line 1"),
        (b'name = "a"\nname = "b"\n', "line 2: a key stands here a second time"),
        (b'[boil]\ntime = "1 h"\n[boil]\n', "line 3: a table is opened here a second time"),
        (b'name = "a\n', "line 1"),
        (b"x = " + b"[" * 3000, "deep"),
        (b"x = " + b"9" * 5000, "number too long"),
        (b"volume = 21 L\n", "line 1"),
        (b"x = [1, 2\n", "bracket"),
        (b"x = 2025-13-45\n", "line 1"),
    ],
)
def test_a_file_that_is_no_text_of_ours(tmp_path: Path, read: Callable[[Path], Any], content: bytes, says: str) -> None:
    path = tmp_path / "beer.toml"
    path.write_bytes(content)
    with pytest.raises(BadInput) as error:
        read(path)
    assert says in str(error.value)
    assert len(error.value.faults) == 1
    assert "beer.toml" in str(error.value)


@pytest.mark.parametrize("read", READERS)
def test_a_file_that_is_no_file(tmp_path: Path, read: Callable[[Path], Any]) -> None:
    with pytest.raises(BadInput, match=r"there is no file gone\.toml"):
        read(tmp_path / "gone.toml")
    with pytest.raises(BadInput, match="is a folder"):
        read(tmp_path)
    with pytest.raises(BadInput, match="no name can hold"):
        read(tmp_path / "a\0b")
    (tmp_path / "plain").write_text("x")
    with pytest.raises(BadInput, match="there is no file"):
        read(tmp_path / "plain" / "below.toml")
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(BadInput, match="no ordinary file"):
        read(tmp_path / "pipe")


def test_a_file_the_system_does_not_let_us_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "beer.toml"
    path.write_text("x = 1")

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("builtins.open", refuse)
    with pytest.raises(StoreError, match=r"beer\.toml cannot be read: permission denied"):
        read_recipe(path)


def test_the_wrong_kind_of_file() -> None:
    with pytest.raises(BadInput, match=r"copper-beacon\.toml is a recipe, and a brewhouse was wanted"):
        read_brewhouse(EXAMPLES / "copper-beacon.toml")
    with pytest.raises(BadInput, match=r"is a brewhouse, and a recipe was wanted"):
        read_recipe(EXAMPLES / "kitchen-bag.toml")
    with pytest.raises(BadInput, match=r"is a stock file, and a water report was wanted"):
        read_water(EXAMPLES / "lantern-street-stock.toml")


def test_every_fault_is_reported_with_its_line() -> None:
    found = faults(
        'gyle = 2\nname = "x"\nvolume = "21 kg"\nvolme = "3 L"\n'
        '[[grist]]\nwhat = "pale ale mallt"\nmass = "4 kg"\n'
        '[[grist]]\nwhat = "wheat malt"\nmass = "-4 kg"\n'
        '[[mash]]\ntemperature = "66 °C"\ntime = "60 min"\n'
        '[[mash]]\ntemperature = "166 °C"\ntime = "10 min"\n'
        '[[hops]]\nwhat = "Cascade"\nmass = "20 g"\n'
        '[aim]\noriginal_gravty = "1.050"\n'
    )
    text = "\n".join(found)
    assert len(found) == 8
    assert all("\n" not in one for one in found)
    for where in (
        "line 1:",
        "line 3:",
        "line 4:",
        "grist 1 (pale ale mallt), line 6:",
        "grist 2 (wheat malt), line 10:",
        "mash rest 2, line 15:",
        "hops (Cascade), line 17:",
        "aim, line 21:",
    ):
        assert where in text, where
    assert "perhaps volume is meant" in text
    assert "pale ale malt" in text
    assert "perhaps original_gravity is meant" in text


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (HEAD + 'volume = "20 L"\n', "at least one [[grist]]"),
        (HEAD + "grist = []\n", "at least one [[grist]]"),
        (HEAD + '[[grist]]\nmass = "4 kg"\n', "what is missing"),
        (HEAD + '[grist]\nwhat = "pale ale malt"\n', "[[grist]] above each"),
        (HEAD + 'grist = "malt"\n', "[[grist]] above each"),
        (HEAD + '[[grist]]\nwhat = 3\nmass = "4 kg"\n', "a text was wanted"),
        (HEAD + '[[grist]]\nwhat = "pale ale malt"\nmass = 4\n', "kg, g, mg, lb or oz"),
        (HEAD + '[[grist]]\nwhat = "pale ale malt"\nmass = "0 kg"\n', "more than nothing"),
        (HEAD + '[[grist]]\nwhat = "pale ale malt"\nmass = "5000 kg"\n', "between 0 and 2000 kg"),
        (HEAD + '[[grist]]\nwhat = "pale ale malt"\nmass = nan\n', "write a number"),
        (HEAD + '[[grist]]\nwhat = "pale ale malt"\nmass = inf\n', "write a number"),
        (HEAD + '[[grist]]\nwhat = "pale ale malt"\nmass = true\n', "a mass such as"),
        (HEAD + '[[grist]]\nwhat = "pale ale malt"\nmass = ["4 kg"]\n', "a mass such as"),
        (HEAD + '[[grist]]\nwhat = "pale ale malt"\nmass = "4 kg"\nshare = "4 %"\n', "both given"),
        (HEAD + '[[grist]]\nwhat = "pale ale malt"\nmass = "4 kg"\nmash = 3\n', "1 or 2 was wanted"),
        (HEAD + '[[grist]]\nwhat = "crystal malt 60"\nmass = "4 kg"\n', "EBC or"),
        (HEAD + '[[grist]]\nwhat = "moon dust"\nmass = "4 kg"\n', "its own extract and colour"),
        (HEAD + GRIST + '[[grist]]\nwhat = "wheat malt"\nshare = "4 %"\n', "all lines one or the other"),
        (HEAD + '[[grist]]\nwhat = "wheat malt"\n[[grist]]\nwhat = "rye malt"\n', "at most one"),
        (HEAD + GRIST + '[boil]\ntime = "60 °C"\n', "boil, line 6: time"),
        (HEAD + GRIST + '[boil]\ntime = "60000 min"\n', "between 0 and 600 min"),
        (HEAD + GRIST + '[aim]\noriginal_gravity = "1.500"\n', "original_gravity"),
        (HEAD + GRIST + '[aim]\noriginal_gravity = "0.990"\n', "between 1.005 and 1.2"),
        (HEAD + GRIST + '[aim]\nalcohol = "5 % w/w"\n', "by volume"),
        (HEAD + GRIST + '[aim]\nbitterness = "40 IBU"\nbitterness_by = "taste"\n', '"tinseth"'),
        (HEAD + GRIST + "[aim]\ncolour = 20\n", "EBC"),
        (HEAD + GRIST + '[[hops]]\nwhat = "Cascade"\nmass = "9 g"\nat = "boil"\n', "boil 60 min"),
        (HEAD + GRIST + '[[hops]]\nwhat = "Moonflower"\nmass = "9 g"\nat = "boil 5 min"\n', "its alpha on this"),
        (HEAD + GRIST + '[[hops]]\nwhat = "Cascade"\nat = "dry day 3 3 days"\n', "it has no amount"),
        (HEAD + GRIST + '[[hops]]\nwhat = "Cascade"\nat = "boil 60 min"\n', "no bitterness is aimed at"),
        (HEAD + GRIST + '[[hops]]\nwhat = "Cascade"\nalpha = "60 %"\nmass = "9 g"\nat = "boil 5 min"\n', "30 %"),
        (HEAD + GRIST + '[[hops]]\nwhat = "Cascade"\nalpha = 6.1\nmass = "9 g"\nat = "boil 5 min"\n', "%"),
        (HEAD + GRIST + '[yeast]\nwhat = "moon yeast"\n', "its attenuation on this line"),
        (HEAD + GRIST + '[yeast]\nwhat = "lager yeast"\npacks = 2\npitch = "1 M/mL/°P"\n', "keep one"),
        (HEAD + GRIST + '[[fermentation]]\ntime = "9 days"\n', "temperature is missing"),
        (HEAD + GRIST + '[[fermentation]]\ntemperature = "90 °C"\n', "between -2 and 45"),
        (HEAD + GRIST + '[[fermentation]]\ntemperature = "18 °C"\nuntil = "done"\n', '"stable 3 days"'),
        (HEAD + GRIST + '[package]\nby = "magic"\n', '"force", "priming" or "closed early"'),
        (HEAD + GRIST + '[package]\ninto = "bucket"\n', "keg 19 L"),
        (HEAD + GRIST + '[package]\npressure = "2 bar abs"\n', "a gauge value is wanted"),
        (HEAD + GRIST + "[water]\ncalcium = -5\n", "calcium"),
        (HEAD + GRIST + "[water]\nsulphate = 5\n", "perhaps sulfate is meant"),
        (HEAD + GRIST + '[[other]]\nwhat = "ginger"\nat = "boil 5 min"\n', "it has no amount"),
        ('volume = "5 L"\nvolume_into_keg = "5 L"\n' + HEAD + GRIST, "both given"),
        ("gyles = 1.5\n" + HEAD + GRIST, "a whole number"),
        ('volume = "0.01 L"\n' + HEAD + GRIST, "between 0.5 and 5000 L"),
        ('volume = "20 L at 400 °C"\n' + HEAD + GRIST, "volume"),
    ],
)
def test_one_fault_one_sentence(text: str, says: str) -> None:
    sentence = only(text)
    assert says in sentence
    assert "\n" not in sentence
    assert "Error" not in sentence


def test_two_hops_without_amount_are_too_many() -> None:
    hop = '[[hops]]\nwhat = "Cascade"\nat = "boil 60 min"\n'
    assert "only one of them" in only(HEAD + GRIST + hop + hop + '[aim]\nbitterness = "40 IBU"\n')


def test_shares_that_do_not_add_up() -> None:
    share = '[[grist]]\nwhat = "{}"\nshare = "{} %"\n'
    assert "add to 95 %" in only(HEAD + share.format("pale ale malt", 80) + share.format("wheat malt", 15))
    assert "has none left" in only(HEAD + share.format("wheat malt", 100) + '[[grist]]\nwhat = "rye malt"\n')


@pytest.mark.parametrize("name", ["../secret", "/etc/passwd", "sub/shed", "..", "c:\\shed", "a\tb/c"])
def test_a_path_outside_is_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / "secret.toml").write_text('kind = "bag in pot"\n')
    inner = tmp_path / "inner"
    inner.mkdir()
    (inner / "beer.toml").write_text(toml_text({"name": "x", "for_brewhouse": name}) + GRIST, encoding="utf-8")
    with pytest.raises(BadInput, match="a path outside") as error:
        read_recipe(inner / "beer.toml")
    assert len(error.value.faults) == 1


def test_a_link_outside_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "secret.toml").write_text('kind = "bag in pot"\n')
    inner = tmp_path / "inner"
    inner.mkdir()
    (inner / "shed.toml").symlink_to(tmp_path / "secret.toml")
    (inner / "beer.toml").write_text(f'for_brewhouse = "shed"\n{HEAD}{GRIST}', encoding="utf-8")
    with pytest.raises(BadInput, match="there is no brewhouse"):
        read_recipe(inner / "beer.toml")


def test_faults_of_the_brewhouse_beside_are_reported_too(tmp_path: Path) -> None:
    (tmp_path / "shed.toml").write_text('kind = "bucket"\n[kettle]\nvessel = "20 kg"\n', encoding="utf-8")
    (tmp_path / "beer.toml").write_text(f'for_brewhouse = "shed"\n{HEAD}{GRIST}', encoding="utf-8")
    with pytest.raises(BadInput) as error:
        read_recipe(tmp_path / "beer.toml")
    assert len(error.value.faults) == 2
    assert all("shed.toml" in fault for fault in error.value.faults)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('kind = "bucket"\n', '"unstated" was wanted'),
        ('kind = "bag in pot"\n[kettle]\nvessel = "0 L"\n', "between 1 and 5000 L"),
        ('kind = "bag in pot"\n[kettle]\nboil_off = { spread = "1 L/h" }\n', "gives no value"),
        ('kind = "bag in pot"\n[kettle]\nboil_off = { value = "3 L/h", sprad = "1 L/h" }\n', "perhaps spread"),
        ('kind = "bag in pot"\n[kettle]\nboil_off = "3 kg"\n', "boil_off"),
        ('kind = "bag in pot"\n[kettle]\nboiloff = "3 L/h"\n', "perhaps boil_off is meant"),
        ('kind = "bag in pot"\n[mash]\ndrain = "sieve"\n', '"gravity basket"'),
        ('kind = "bag in pot"\n[mash]\nheated = 1\n', "true or false"),
        ('kind = "bag in pot"\n[mash]\nloss = "fast"\n', "W/K"),
        ('kind = "bag in pot"\n[habit]\nvolume = "20 L"\ngravity = "1.050"\n', "brewhouse_efficiency is missing"),
        ('kind = "bag in pot"\nkettle = 3\n', "write [kettle]"),
        ('kind = "bag in pot"\naltitude = nan\n', "altitude"),
    ],
)
def test_faults_of_a_brewhouse(text: str, says: str) -> None:
    with pytest.raises(BadInput) as error:
        brewhouse_from_text(text)
    assert len(error.value.faults) == 1
    assert says in str(error.value)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('calcium = "5 kg"\n', "calcium"),
        ('calcium = 20\nchlorine = "0.1 mmol/L"\n', "mg/L"),
        ("calcium = 20\ncarbonate_hardness = 16\n", "carbonate_hardness"),
        ("calcium = { low = 5 }\n", "gives no value"),
        ("calcium = { value = 5, low = 6 }\n", "outside its own low and high"),
        ("calcium = 20\nph = 17\n", "ph"),
        ("calcium = 20\nsulphate = 20\n", "perhaps sulfate is meant"),
        ('calcium = 20\nbase_capacity = "5 mg/L"\n', "mmol/L was wanted"),
    ],
)
def test_faults_of_a_water(tmp_path: Path, text: str, says: str) -> None:
    (tmp_path / "w.toml").write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as error:
        read_water(tmp_path / "w.toml")
    assert len(error.value.faults) == 1
    assert says in str(error.value)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('[[have]]\nmass = "5 kg"\n', "what is missing"),
        ('[[have]]\nwhat = "Cascade"\nprice = "5 €"\n', "32 €/kg"),
        ('[[have]]\nwhat = "Cascade"\nprice = 5\n', "32 €/kg"),
        ('[[have]]\nwhat = "Cascade"\nprice = "5 €/0 kg"\n', "for nothing"),
        ('[[have]]\nwhat = "Cascade"\nanalysed = "May"\n', "2025-03-14"),
        ('[[instrument]]\nname = "hydrometer"\n', "error is missing"),
        ('[[instrument]]\nname = "hydrometer"\nerror = "-1 SG"\n', "not below zero"),
        ('[[instrument]]\nname = "hydrometer"\nerror = "1 SG"\noffset = "1 K"\n', "in one unit"),
    ],
)
def test_faults_of_a_stock(tmp_path: Path, text: str, says: str) -> None:
    (tmp_path / "s.toml").write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as error:
        read_stock(tmp_path / "s.toml")
    assert len(error.value.faults) == 1
    assert says in str(error.value)


def survives(path: Path) -> None:
    for read in READERS:
        try:
            read(path)
        except (BadInput, StoreError) as error:
            faults = error.faults if isinstance(error, BadInput) else (str(error),)
            assert faults
            assert all(fault and "\n" not in fault for fault in faults)


QUICK = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@QUICK
@given(st.binary(max_size=200) | st.text(max_size=200).map(lambda t: t.encode("utf-8", "replace")))
def test_any_bytes_are_survived(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "any.toml"
    path.write_bytes(content)
    survives(path)


TEXTS = st.sampled_from(
    ["", " ", "x", "4 kg", "-4 kg", "48 %", "1e400 kg", "66 °C", "60 min", "21 L at 900 °C", "1.102", "boil 60 min",
     "pale ale malt", "Cascade", "lager yeast", "mash 1", "stable 3 days", "keg 19 L", "3 L/h", "shed", "€", "5 €/kg",
     "6 points above final", "crystal malt 9 L", "11.8 °P", "99 °Bx", "0 °P", "stated", "NaN", "inf", "1,5 kg (3 lb)"]
) | st.text(max_size=12)  # fmt: skip
SCALARS = st.one_of(
    TEXTS,
    st.integers(-(10**30), 10**30),
    st.floats(),
    st.booleans(),
    st.just([]),
    st.lists(st.integers(), max_size=2),
    st.dictionaries(st.sampled_from(["value", "spread", "low", "high", "from", "x"]), TEXTS, max_size=3),
    st.dates(),
)
KEYS = st.sampled_from(
    ["what", "mass", "share", "at", "alpha", "rate", "bitterness", "temperature", "time", "vessel", "power", "boil_off",
     "mash", "volume", "extract", "colour", "moisture", "pitch", "packs", "until", "from", "ramp", "pressure", "by",
     "into", "carbonation", "original_gravity", "final_gravity", "fermenter", "kettle.end.volume", "calcium", "count",
     "liquor", "liquor_from", "thickness", "drain", "to", "minutes", "error", "offset", "price", "pack", "analysed",
     "trub", "stand", "loss", "value", "attenuation", "bitterness_by", "in", "brewhouse_efficiency", "gravity", "rate"]
)  # fmt: skip
TABLES = st.dictionaries(KEYS, SCALARS, max_size=5)
FILES = st.dictionaries(
    st.sampled_from(
        [
            "gyle",
            "name",
            "for_brewhouse",
            "volume",
            "aim",
            "grist",
            "mash",
            "sparge",
            "boil",
            "hops",
            "other",
            "yeast",
            "fermentation",
            "package",
            "water",
            "notes",
            "printed",
            "kind",
            "altitude",
            "kettle",
            "chill",
            "fermenter",
            "keg",
            "habit",
            "learned",
            "calcium",
            "ph",
            "alkalinity",
            "have",
            "instrument",
            "tap_water",
            "bitterness_by",
        ]
    ),
    SCALARS | TABLES | st.lists(TABLES, min_size=1, max_size=3),
    max_size=6,
)


@settings(
    max_examples=250, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)
@given(FILES)
def test_any_values_under_our_keys_are_survived(tmp_path: Path, content: dict[str, Any]) -> None:
    import tomlkit

    path = tmp_path / "any.toml"
    try:
        text = tomlkit.dumps(content)
    except Exception:  # what the library cannot write is no TOML
        return
    path.write_text(text, encoding="utf-8", errors="replace")
    survives(path)


@pytest.mark.parametrize("name", ["copper-beacon", "signal-lamp", "slack-water", "lantern-street-48"])
@QUICK
@given(cut=st.integers(0, 5000), put=st.sampled_from(['"', "[", "=", "\n", "}", "x", "9", "\\", "'", "#", " = ", "°"]))
def test_a_slip_of_the_pen_is_survived(tmp_path: Path, name: str, cut: int, put: str) -> None:
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    cut %= len(text)
    path = tmp_path / "slip.toml"
    path.write_text(text[:cut] + put + text[cut + 1 :], encoding="utf-8")
    survives(path)
