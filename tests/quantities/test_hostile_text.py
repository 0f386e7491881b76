"""Whatever is written, there is a quantity or one sentence, never another error."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gyle.errors import BadInput
from gyle.quantities import Gravity, Quantity, kinds, read, read_gravity

PIECES = st.sampled_from(
    [
        *"0123456789.,'-+−–/°()@=≈~ \u00a0\u2009\t\n\x00",
        *["½", "¼", "¹¹", "e", "e9", "E-5", "×10^", "at", " at ", "per", "deg", "and", "to", "%"],
        *["kg", "g", "lb", "oz", "L", "mL", "gal", "°C", "°F", "K", "bar", "psi", "abs", "(g)", "SG", "°P"],
        *["EBC", "min", "h", "d", "mg/L", "as CaCO3", "°dH", "M/mL/°P", "billion", "vol", "pH", "€", "packs"],
        *["nan", "inf", "١", "\u202e", "\ud800", "💧", "İ", "ß", "ſ"],
    ]
)
TEXTS = st.one_of(
    st.text(max_size=60),
    st.lists(PIECES, max_size=12).map("".join),
    st.lists(PIECES, max_size=12).map(" ".join),
    st.text(st.characters(codec="utf-8"), max_size=250),
)
ANY_KIND = st.sampled_from(kinds())


def assert_one_sentence(error: BadInput) -> None:
    sentence = str(error)
    assert len(error.faults) == 1
    assert 10 < len(sentence) < 400
    assert sentence.isprintable()


@given(TEXTS, ANY_KIND)
def test_any_text_gives_a_quantity_or_one_sentence(text: str, kind: str) -> None:
    try:
        found = read(text, kind)
    except BadInput as error:
        assert_one_sentence(error)
    else:
        assert isinstance(found, Quantity)
        assert math.isfinite(found.value)
        assert found.half_digit >= 0
        assert found.text == text


@given(TEXTS, st.booleans())
def test_any_text_gives_a_gravity_or_one_sentence(text: str, allow_shorthand: bool) -> None:
    try:
        found = read_gravity(text, allow_shorthand=allow_shorthand)
    except BadInput as error:
        assert_one_sentence(error)
    else:
        assert isinstance(found, Gravity)
        assert -10 <= found.value <= 85


@given(st.one_of(st.floats(), st.integers(), st.integers(-(10**400), 10**400)), ANY_KIND)
def test_any_number_gives_a_quantity_or_one_sentence(number: float, kind: str) -> None:
    try:
        found = read(number, kind)
    except BadInput as error:
        assert_one_sentence(error)
    else:
        assert math.isfinite(found.value)


@pytest.mark.parametrize("text", ["9" * 10_000, "(" * 10_000, "1 " * 5_000, "½" * 10_000, "-" * 10_000 + "\n"])
@pytest.mark.parametrize("kind", kinds())
def test_long_text_is_quoted_in_part(text: str, kind: str) -> None:
    with pytest.raises(BadInput) as caught:
        read(text, kind)
    assert_one_sentence(caught.value)
    assert text[:40].strip() in str(caught.value)
    assert text[:42] not in str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "9" * 200,
        "1/" * 100,
        "(1" * 100,
        "1(" * 66,
        "½" * 200,
        "1 1" * 60,
        "1 kg " * 40,
        "- " * 100,
        "1e" * 100,
    ],
)
@pytest.mark.parametrize("kind", kinds())
def test_crowded_text_is_answered(text: str, kind: str) -> None:
    try:
        assert math.isfinite(read(text, kind).value)
    except BadInput as error:
        assert_one_sentence(error)
