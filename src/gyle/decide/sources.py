"""Where a figure comes from: its equations, their references, and the inputs that move it most."""

from __future__ import annotations

import importlib
import inspect
import re

import attrs

from gyle.errors import BadInput
from gyle.line.brew import Brew
from gyle.line.figures import FIGURES, figure

__all__ = ["Equation", "Mover", "Sources", "sources"]

MOVERS = 3


@attrs.frozen(kw_only=True)
class Equation:
    """One equation behind a figure."""

    name: str
    does: str
    references: tuple[str, ...]


@attrs.frozen(kw_only=True)
class Mover:
    """An input and what it does to a figure: its share of the figure's variance and the push of one spread."""

    name: str
    source: str
    share: float
    push: float  # change of the figure for one standard deviation of the input


@attrs.frozen(kw_only=True)
class Sources:
    """All of that for one figure."""

    figure: str
    words: str
    equations: tuple[Equation, ...]
    movers: tuple[Mover, ...]


def _equation(dotted: str) -> Equation:
    module, name = dotted.split(".")
    text = inspect.getdoc(getattr(importlib.import_module(f"gyle.science.{module}"), name)) or ""
    summary = text.splitlines()[0] if text else ""
    _, _, after = text.partition("References\n----------\n")
    block = re.split(r"\n\S[^\n]*\n-{3,}\n", after)[0]
    entries = re.split(r"\.\. \[\d+\] ", block)
    references = tuple(" ".join(entry.split()) for entry in entries if entry.strip())
    return Equation(name=dotted, does=summary, references=references)


def _movers(brew: Brew, name: str) -> tuple[Mover, ...]:
    """Inputs by the share of variance a straight line through their draws explains."""
    values = brew.figures[name]
    if values.size == 1 or values.std() == 0.0:
        return ()
    y = values - values.mean()
    found = []
    for key, draws in brew.inputs.used().items():
        spread = float(draws.std())
        if spread == 0.0 or draws.size != values.size or key not in brew.inputs.beliefs:
            continue
        slope = float((y * (draws - draws.mean())).mean()) / spread
        share = slope**2 / float(values.var())
        found.append(Mover(name=key, source=brew.inputs.beliefs[key].source, share=share, push=slope))
    return tuple(sorted(found, key=lambda mover: -mover.share)[:MOVERS])


def sources(brew: Brew, name: str) -> Sources:
    """Explain a figure of a brew.

    Raises
    ------
    BadInput
        If there is no such figure; near names are offered.
    """
    known = figure(name)
    if known is None or name not in brew.figures:
        import difflib

        near = difflib.get_close_matches(name, list(brew.figures) or list(FIGURES), n=3, cutoff=0.5)
        hint = f"; near names are {', '.join(near)}" if near else ""
        raise BadInput(f"{name[:60]!r} is not a figure of this plan{hint}")
    return Sources(
        figure=name,
        words=known.words,
        equations=tuple(_equation(dotted) for dotted in known.equations),
        movers=_movers(brew, name),
    )
