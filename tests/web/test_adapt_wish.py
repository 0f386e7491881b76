"""What the adapt page is asked, read; and a sentence beside each field that cannot be used."""

from __future__ import annotations

from urllib.parse import parse_qsl

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.books import brewhouses, stock
from gyle.books.store import Store
from gyle.web.adapt_wish import LONGEST, AdaptForm, adapt_wish, brewhouse_choices, water_choices
from gyle.web.beer_state import beer_state, recipe_of

from .adapt_cases import read_wish

HOSTILE = '"><script>document.title="taken"</script>'
FIELDS = [field.name for field in attrs.fields(AdaptForm)]


def faults_of(store: Store, **asked: str) -> dict[str, str]:
    recipe = recipe_of(store, beer_state(store, "copper-beacon").text)
    wish, faults = adapt_wish(store, recipe, AdaptForm(**asked), system="metric")
    assert (wish is None) == bool(faults)
    return faults


@given(st.fixed_dictionaries({}, optional={name: st.text(st.characters(exclude_categories=["Cs"])) for name in FIELDS}))
def test_an_address_asks_what_the_form_asked(sent: dict[str, str]) -> None:
    form = AdaptForm.of(sent)
    asked = dict(parse_qsl(form.query({"version": "4"}).removeprefix("?"), keep_blank_values=True))
    assert asked.pop("version") == "4"
    assert AdaptForm.of(asked) == form


@pytest.mark.parametrize(
    ("system", "typed", "litres"),
    [
        ("metric", "19", 19.0),
        ("metric", "19,5", 19.5),
        ("us", "5", 18.927),
        ("us", "19 L", 19.0),
        ("metric", "5 gal", 18.927),
    ],
)
def test_a_bare_volume_is_in_the_persons_unit(store: Store, system: str, typed: str, litres: float) -> None:
    _, wish = read_wish(store, "copper-beacon", system=system, to="lantern-street-28", volume=typed)
    assert wish.volume_L == pytest.approx(litres, abs=0.001)


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("to", "no-such-shed", "no brewhouse no-such-shed"),
        ("to", HOSTILE, "no such brewhouse"),
        ("to", "x" * 10_000, "10,000 characters"),
        ("volume", "nan", "not a volume"),
        ("volume", "-5 L", "-5 L"),
        ("volume", "0", "more than 0"),
        ("volume", "1e308 L", "volume"),
        ("volume", "5 kg", "a mass"),
        ("volume", "12 hL", "not even a tenth of it fits the fermenter of 25 L"),
        ("volume", "9" * (LONGEST + 1), f"at most {LONGEST}"),
        ("into", "bath", "fermenter or keg"),
        ("instead", HOSTILE, "is not understood"),
        ("instead", "amber malt for oats", "not in Copper Beacon"),
        ("water", "no-such-water", "no water no-such-water"),
        ("water", "../water-hard", "no such water"),
        ("choose", "y" * (LONGEST + 1), f"at most {LONGEST}"),
    ],
)
def test_what_cannot_be_used_is_told_beside_its_field(store: Store, field: str, typed: str, said: str) -> None:
    faults = faults_of(store, **{"to": "lantern-street-28", field: typed})
    assert list(faults) == [field]
    assert said in faults[field]
    assert faults[field].endswith(".")
    assert "--" not in faults[field]


def test_every_fault_is_told_at_once(store: Store) -> None:
    assert set(faults_of(store, volume="much", into="bath")) == {"to", "volume", "into"}


def test_the_water_of_the_brewhouse_counts_unless_another_is_chosen(store: Store) -> None:
    text = brewhouses.brewhouse(store, "lantern-street-28").text
    own = brewhouses.add_brewhouse(store, text.replace("gyle = 1", 'gyle = 1\nwater = "water-soft"', 1), name="Soft")
    _, wish = read_wish(store, "copper-beacon", to=own.slug)
    assert wish.water is None
    assert wish.house.water is not None
    _, other = read_wish(store, "copper-beacon", to=own.slug, water="water-hard")
    assert other.water is not None
    assert other.house.water is not None
    assert other.house.water.alkalinity_mEq_L.centre > wish.house.water.alkalinity_mEq_L.centre
    _, bought = read_wish(store, "copper-beacon", to=own.slug, water="reverse osmosis")
    assert bought.house.water is not None
    assert bought.house.water.alkalinity_mEq_L.centre < wish.house.water.alkalinity_mEq_L.centre


def test_a_blend_is_made_of_the_waters_in_the_books(store: Store) -> None:
    _, wish = read_wish(store, "copper-beacon", to="lantern-street-28", water="water-blend")
    assert wish.house.water is not None


def test_lots_are_those_in_the_store(store: Store) -> None:
    assert stock.stock(store) is not None
    _, wish = read_wish(store, "copper-beacon", to="lantern-street-28", lots="yes")
    assert wish.stock is not None
    assert wish.stock_text
    _, without = read_wish(store, "copper-beacon", to="lantern-street-28")
    assert without.stock is None


def test_what_can_be_chosen_is_what_is_in_the_books(store: Store) -> None:
    assert [one.value for one in brewhouse_choices(store)] == ["kitchen-bag", "lantern-street-28", "lantern-street-48"]
    values = [one.value for one in water_choices(store)]
    assert "water-hard" in values
    assert "reverse osmosis" in values
