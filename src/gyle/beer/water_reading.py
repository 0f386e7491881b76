"""Reading a water report in any of the units reports are written in."""

from __future__ import annotations

from typing import Any

from gyle.beer.amounts import concentration_mg_L
from gyle.beer.entries import BAND_WIDTH
from gyle.beer.estimate import Estimate
from gyle.beer.section import Section
from gyle.beer.water import IONS, Water
from gyle.errors import BadInput
from gyle.quantities import Quantity

__all__ = ["water_of"]

# What a single figure of a report leaves open: laboratory and season. Provenance: ours.
USUAL_RELATIVE_SPREAD = 0.03
USUAL_PH_SPREAD = 0.1
# The key, the kind of quantity, the unit of a bare number; the first one stated is the alkalinity.
_ALKALINITIES = (("acid_capacity", "mmol/L"), ("alkalinity", "mg/L"), ("carbonate_hardness", None))
_AGREE = 0.05  # relative; two statements of one alkalinity this near agree


def _value(section: Section, key: str, quantity: Quantity | None) -> float | None:
    """Return a quantity of a report in the unit its field is kept in."""
    if quantity is None:
        return None
    if quantity.kind != "concentration":
        return quantity.value
    if key == "base_capacity":
        if quantity.basis == "mmol/L":
            return quantity.value
        section.fault(f"base_capacity is {quantity.text}, and mmol/L was wanted", key)
        return None
    try:
        return concentration_mg_L(quantity, key)
    except BadInput as error:
        section.fault(f"{key}: {error}", key)
        return None


def _estimate(top: Section, key: str, kind: str, *, low: float, high: float, bare: str | None) -> Estimate | None:
    """Return a figure written bare or as { value, low, high }."""
    written: Any = top.raw(key)
    if written is None:
        return None

    def number(section: Section, name: str, value: Any) -> float | None:
        quantity = section.quantity_of(value, name, kind, low=low, high=high, bare=bare)
        return _value(section, key, quantity)

    if not isinstance(written, dict):
        centre = number(top, key, written)
        if centre is None:
            return None
        spread = USUAL_PH_SPREAD if kind == "ph" else USUAL_RELATIVE_SPREAD * abs(centre)
        return Estimate(centre=centre, spread=spread, low=min(low, centre), source="report")
    inner = Section(top.page, written, (*top.address, key), key)
    ends = {name: number(inner, name, inner.raw(name)) for name in ("low", "high") if name in inner}
    centre = number(inner, "value", inner.raw("value")) if "value" in inner else None
    inner.close(also=("value", "low", "high"))
    if centre is None and len(ends) == 2 and None not in ends.values() and "value" not in inner:
        centre = sum(end for end in ends.values() if end is not None) / 2.0
    if centre is None:
        if "value" not in inner:
            top.fault(f"{key} gives no value; write {key} = {{ value = ..., low = ..., high = ... }}", key)
        return None
    least, most = ends.get("low"), ends.get("high")
    least = centre if least is None else least
    most = centre if most is None else most
    if not least <= centre <= most:
        top.fault(f"{key} has its value outside its own low and high", key)
        return None
    spread = max((most - least) / BAND_WIDTH, 0.01 * abs(centre))
    return Estimate(centre=centre, each_time=spread, low=min(low, centre), source="report")


def _alkalinity(top: Section, bicarbonate: Estimate | None) -> tuple[Estimate | None, str]:
    found: list[tuple[str, Estimate]] = []
    for key, bare in _ALKALINITIES:
        estimate = _estimate(top, key, "alkalinity", low=-10.0, high=60.0, bare=bare)
        if estimate is not None:
            found.append((key, estimate))
    if not found:
        return None, "bicarbonate" if bicarbonate is not None else ""
    first_key, first = found[0]
    for key, other in found[1:]:
        if abs(other.centre - first.centre) > _AGREE * max(abs(first.centre), 0.2):
            top.note(
                f"{key} says {other.centre:.3g} mEq/L of alkalinity and {first_key} {first.centre:.3g}; "
                f"{first_key} counts."
            )
    return first, first_key


def water_of(top: Section, *, otherwise_named: str = "water") -> Water:
    """Return the water of a table; its faults are kept in the page."""
    top.number("gyle", low=1, high=1, wanted="the format number 1")
    name = top.text("name", longest=120) or otherwise_named
    ions = {f"{ion}_mg_L": _estimate(top, ion, "concentration", low=0.0, high=5000.0, bare="mg/L") for ion in IONS}
    alkalinity, taken_from = _alkalinity(top, ions["bicarbonate_mg_L"])
    temperature = top.quantity("temperature", "temperature", low=-2.0, high=60.0)
    water = Water(
        name=name,
        **ions,
        alkalinity_mEq_L=alkalinity,
        alkalinity_from=taken_from,
        hardness_mEq_L=_estimate(top, "hardness", "hardness", low=0.0, high=100.0, bare=None),
        base_capacity_mmol_L=_estimate(top, "base_capacity", "concentration", low=0.0, high=50.0, bare="mmol/L"),
        ph=_estimate(top, "ph", "ph", low=3.0, high=12.0, bare=None),
        temperature_C=temperature.value if temperature else None,
        chlorine_mg_L=_estimate(top, "chlorine", "concentration", low=0.0, high=20.0, bare="mg/L"),
        chloramine_mg_L=_estimate(top, "chloramine", "concentration", low=0.0, high=20.0, bare="mg/L"),
        notes=(),
    )
    top.close()
    return water
