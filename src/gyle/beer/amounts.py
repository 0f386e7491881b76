"""What a written quantity means to a recipe: volumes at 20 °C, gravities as SG, concentrations in mg/L."""

from __future__ import annotations

from gyle.errors import BadInput
from gyle.quantities import Quantity
from gyle.science.density import volume_at_20C_ratio
from gyle.science.extract import specific_gravity
from gyle.science.hydrometer import corrected_gravity

__all__ = ["MOLAR_MASS_G_MOL", "concentration_mg_L", "gravity_sg", "volume_L"]

GLASS_EXPANSION_PER_K = 25e-6  # conventional cubic expansion of glass (ISO 1768)
# IUPAC 2021 abridged standard atomic weights.
MOLAR_MASS_G_MOL = {
    "calcium": 40.078,
    "magnesium": 24.305,
    "sodium": 22.990,
    "potassium": 39.098,
    "sulfate": 96.06,
    "chloride": 35.45,
    "nitrate": 62.004,
    "bicarbonate": 61.016,
}
CHARGE = {"calcium": 2, "magnesium": 2, "sulfate": 2}


def volume_L(quantity: Quantity, extract_pct: float = 0.0) -> float:
    """Return a volume at 20 °C; one said to hold at another temperature shrinks to it [L].

    Raises
    ------
    OutOfRange
        If the temperature is none at which wort is liquid.
    """
    if quantity.at_C is None:
        return quantity.value
    return quantity.value * float(volume_at_20C_ratio(extract_pct, quantity.at_C))


def gravity_sg(quantity: Quantity) -> tuple[float, float]:
    """Return a gravity and half its last printed digit, both as SG at 20 °C.

    Raises
    ------
    OutOfRange
        If it lies outside the equations.
    """
    value, half = quantity.value, quantity.half_digit
    if quantity.basis in ("°P", "°Bx"):
        value = float(specific_gravity(quantity.value))
        half = float(specific_gravity(quantity.value + quantity.half_digit)) - value
    if quantity.at_C is not None:
        value = float(
            corrected_gravity(
                value,
                quantity.at_C,
                calibration_temperature_C=20.0,
                glass_expansion_per_K=GLASS_EXPANSION_PER_K,
            )
        )
    return value, half


def concentration_mg_L(quantity: Quantity, ion: str) -> float:
    """Return the concentration of an ion in mg/L, from mmol/L or mEq/L too.

    Raises
    ------
    BadInput
        If it was stated as something this substance cannot be stated as.
    """
    if quantity.basis in ("", "mg/L"):
        return quantity.value
    if ion not in MOLAR_MASS_G_MOL:
        raise BadInput(f"{quantity.text} is no concentration of {ion}; write it in mg/L")
    charge = CHARGE.get(ion, 1) if quantity.basis == "mEq/L" else 1
    return quantity.value * MOLAR_MASS_G_MOL[ion] / charge
