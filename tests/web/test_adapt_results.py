"""Adaptations and the text they would be kept as: what is shown is what that text comes to."""

from __future__ import annotations

import threading
import tomllib
from collections.abc import Callable

import attrs
import pytest

from gyle.beer.reading import recipe_from_text
from gyle.books.store import Store
from gyle.decide.plan import plan
from gyle.errors import BadInput, Infeasible
from gyle.web import adapt_results
from gyle.web.adapt_results import Adaptations, Adapted, elsewhere_name
from gyle.web.adapt_wish import AdaptWish
from gyle.web.beer_state import recipe_of

from .adapt_cases import adapted, read_wish, smaller, stuck


@pytest.mark.parametrize("case", [stuck, smaller])
def test_the_text_comes_to_the_figures_that_were_shown(case: Callable[[], Adapted]) -> None:
    found = case()
    again = plan(recipe_from_text(found.text(), resolve=lambda _: found.wish.house), found.wish.house)
    for name, band in found.plan.figures.items():
        assert again.figures[name].mean == pytest.approx(band.mean, rel=1e-9, abs=1e-9), name


def test_the_text_keeps_the_authors_comments_and_names_the_brewhouse() -> None:
    text = stuck().text()
    assert "# a wheat wine" in text
    assert tomllib.loads(text)["for_brewhouse"] == "lantern-street-28"
    assert tomllib.loads(text)["boil"]["held_back"]


def test_the_whole_text_needs_no_other_file() -> None:
    found = adapted("quiet-harbour", to="kitchen-bag", volume="6", water="water-soft")
    whole = found.text(whole=True)
    written = tomllib.loads(whole)["for_brewhouse"]
    assert written["name"] == "Kitchen bag"
    assert "water" not in written
    alone = recipe_from_text(whole)
    assert alone.for_brewhouse is not None
    dry = plan(alone, alone.for_brewhouse)
    for name in ("fermenter.volume", "fermenter.original_gravity", "glass.bitterness_tinseth"):
        assert dry.figures[name].mean == pytest.approx(found.plan.figures[name].mean, rel=1e-6), name


def test_amounts_are_written_in_the_persons_units() -> None:
    assert tomllib.loads(smaller("us").text())["hops"][0]["mass"].endswith("oz")
    assert tomllib.loads(smaller().text())["hops"][0]["mass"].endswith("g")


def test_why_it_does_not_fit_is_told_although_the_result_does() -> None:
    found = stuck()
    assert found.plan.fits
    assert any("26 L is the most here" in one for one in found.short_of)
    assert found.taken is not None
    assert found.taken.recommended
    assert smaller().short_of == ()
    assert smaller().taken is None


def test_a_name_for_elsewhere_says_where() -> None:
    assert elsewhere_name(stuck()) == "Copper Beacon for Lantern Street 28"
    once_more = attrs.evolve(stuck(), source=attrs.evolve(stuck().source, name="Copper Beacon for Lantern Street 48"))
    assert elsewhere_name(once_more) == "Copper Beacon for Lantern Street 28"


def test_what_is_asked_for_twice_at_once_is_made_once(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    state, wish = read_wish(store, "quiet-harbour", to="kitchen-bag", volume="6")
    recipe = recipe_of(store, state.text)
    begun, go_on, made = threading.Event(), threading.Event(), []

    def slowly(*_: object, compared: object) -> object:
        made.append(threading.current_thread().name)
        begun.set()
        assert go_on.wait(30)
        return smaller()

    smaller()
    monkeypatch.setattr(adapt_results, "_adapted", slowly)
    kept, found = Adaptations(), []
    threads = [
        threading.Thread(target=lambda: found.append(kept.of(state.text, recipe, wish, system="metric")))
        for _ in range(3)
    ]
    threads[0].start()
    assert begun.wait(30)
    assert kept.known(state.text, recipe, wish, system="metric") is None
    for thread in threads[1:]:
        thread.start()
    go_on.set()
    for thread in threads:
        thread.join(30)
    assert found == [smaller()] * 3
    assert len(made) == 1
    assert kept.known(state.text, recipe, wish, system="metric") is smaller()
    assert kept.known(state.text, recipe, wish, system="us") is None
    assert kept.known(state.text, recipe, attrs.evolve(wish, volume_L=6.5), system="metric") is None


def test_a_refusal_is_told_each_time_and_not_kept(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    state, wish = read_wish(store, "copper-beacon", to="lantern-street-28")
    recipe, tries = recipe_of(store, state.text), []

    def refused(*_: object, compared: object) -> object:
        tries.append(1)
        raise Infeasible("no way out was found")

    monkeypatch.setattr(adapt_results, "_adapted", refused)
    kept = Adaptations()
    for _ in range(2):
        with pytest.raises(Infeasible):
            kept.of(state.text, recipe, wish, system="metric")
        assert kept.known(state.text, recipe, wish, system="metric") is None
    assert len(tries) == 2


def test_only_the_last_few_are_kept(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    state, wish = read_wish(store, "quiet-harbour", to="kitchen-bag", volume="6")
    recipe = recipe_of(store, state.text)
    smaller()
    monkeypatch.setattr(adapt_results, "_adapted", lambda *_, **__: smaller())
    kept = Adaptations(kept=2)

    def other(volume_L: float) -> AdaptWish:
        return attrs.evolve(wish, volume_L=volume_L)

    for volume_L in (6.0, 7.0, 8.0):
        kept.of(state.text, recipe, other(volume_L), system="metric")
    assert kept.known(state.text, recipe, other(6.0), system="metric") is None
    assert kept.known(state.text, recipe, other(8.0), system="metric") is smaller()


def test_the_recommended_way_out_is_known_by_its_name_too(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    found = stuck()
    assert found.taken is not None
    state, wish = read_wish(store, "copper-beacon", to="lantern-street-28")
    recipe = recipe_of(store, state.text)
    monkeypatch.setattr(adapt_results, "_adapted", lambda *_, **__: found)
    kept = Adaptations()
    kept.of(state.text, recipe, wish, system="metric")
    named = attrs.evolve(wish, choose=found.taken.name.upper())
    assert kept.known(state.text, recipe, named, system="metric") is found
    assert kept.known(state.text, recipe, attrs.evolve(wish, choose="smaller volume"), system="metric") is None


def test_another_way_out_of_the_same_wish_compares_nothing_again(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """The ways out were compared already, and what comes of one does not depend on that."""
    state, wish = read_wish(store, "copper-beacon", to="lantern-street-28")
    recipe, known = recipe_of(store, state.text), stuck()
    real, found_before = adapt_results._adapted, []

    def counted(*asked: object, compared: object) -> object:
        found_before.append(compared)
        return known if compared is None else real(*asked, compared=compared)  # type: ignore[arg-type]

    monkeypatch.setattr(adapt_results, "_adapted", counted)
    monkeypatch.setattr("gyle.decide.adapt.ways_out", lambda *_, **__: pytest.fail("compared once more"))
    kept = Adaptations()
    kept.of(state.text, recipe, wish, system="metric")
    other = kept.of(state.text, recipe, attrs.evolve(wish, choose="smaller volume"), system="metric")
    assert found_before == [None, known.found.options]
    assert other.taken is not None
    assert other.taken.name == "smaller volume"
    alone = adapted("copper-beacon", to="lantern-street-28", choose="smaller volume")
    assert other.text() == alone.text()
    for name, band in alone.plan.figures.items():
        assert other.plan.figures[name].mean == pytest.approx(band.mean, rel=1e-9, abs=1e-9), name
    # Nothing of it serves another wish.
    kept.of(state.text, recipe, attrs.evolve(wish, volume_L=18.0), system="metric")
    assert found_before[-1] is None


def test_a_way_out_that_is_none_is_refused_in_the_words_of_a_page(store: Store) -> None:
    state, wish = read_wish(store, "quiet-harbour", to="kitchen-bag", volume="6", choose="wider kettle")
    with pytest.raises(BadInput) as refused:
        Adaptations().of(state.text, recipe_of(store, state.text), wish, system="metric")
    assert str(refused.value).startswith('"wider kettle" is not one of the ways out')
