"""Every public object of the equations' modules says what it takes, gives, rests on, and shows itself at work."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from types import FunctionType

import pytest
from numpydoc.validate import validate

import gyle.science

# One line says what an equation returns and "See Also" would repeat the module's list: neither is asked for.
NOT_ASKED_FOR = {"ES01", "SA01"}
SECTIONS = ("Parameters", "Returns", "Raises", "Notes", "References", "Examples")
PROVENANCE = re.compile(
    r"Provenance: (?P<word>retrieved|computed-with-[A-Za-z][\w-]*|memory|common-practice|ours)(?P<more>[ ,;(].*)?\.$"
)


def public_objects() -> dict[str, object]:
    found = {}
    for module_info in pkgutil.iter_modules(gyle.science.__path__):
        module = importlib.import_module(f"gyle.science.{module_info.name}")
        for name in getattr(
            module, "__all__", ()
        ):  # that it exists, and its names too, is tested with the public names
            thing = getattr(module, name, None)
            if inspect.isfunction(thing) or inspect.isclass(thing):
                found[f"{module_info.name}.{name}"] = thing
    return found


OBJECTS = public_objects()
FUNCTIONS = {name: thing for name, thing in OBJECTS.items() if isinstance(thing, FunctionType)}


def section(thing: object, title: str) -> str:
    """The text of a section, up to the next title."""
    text = inspect.getdoc(thing) or ""
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^\w[\w ]*\n-+\n|\Z)", text, re.MULTILINE | re.DOTALL)
    return found[1] if found else ""


def references(thing: object) -> list[str]:
    """The entries of the References section, each on one line."""
    return [
        " ".join(entry.split()) for entry in re.split(r"^\.\. \[\d+\]", section(thing, "References"), flags=re.M)[1:]
    ]


@pytest.mark.parametrize("name", OBJECTS)
def test_numpydoc_finds_no_fault(name: str) -> None:
    faults = validate(f"gyle.science.{name}")["errors"]
    assert [(code, words) for code, words in faults if code not in NOT_ASKED_FOR] == []


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_function_has_every_section_in_order(name: str) -> None:
    text = inspect.getdoc(FUNCTIONS[name]) or ""
    titles = re.findall(r"^(\w[\w ]*)\n-+$", text, re.MULTILINE)
    assert tuple(titles) == SECTIONS


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_reference_ends_with_its_provenance(name: str) -> None:
    entries = references(FUNCTIONS[name])
    assert entries
    assert [entry for entry in entries if not PROVENANCE.search(entry)] == []


@pytest.mark.parametrize("name", FUNCTIONS)
def test_references_are_numbered_and_those_spoken_of_exist(name: str) -> None:
    numbers = re.findall(r"^\.\. \[(\d+)\]", section(FUNCTIONS[name], "References"), re.MULTILINE)
    assert numbers == [str(number) for number in range(1, len(numbers) + 1)]
    assert set(re.findall(r"\[(\d+)\]_", section(FUNCTIONS[name], "Notes"))) <= set(numbers)


@pytest.mark.parametrize("name", OBJECTS)
def test_an_example_shows_a_result(name: str) -> None:
    examples = section(OBJECTS[name], "Examples")
    assert name not in FUNCTIONS or f"{name.split('.')[1]}(" in examples
    assert re.search(r"^>>> .*\n(?:\.\.\. .*\n)*(?!>>>|\.\.\.)\S", examples, re.MULTILINE)
