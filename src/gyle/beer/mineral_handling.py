"""What to mind in handling the acids, bases and salts that can hurt; the maker's own words come first."""

from __future__ import annotations

__all__ = ["HANDLING"]

_FIRST = "The maker's label and safety data sheet come first."
_ACID = (
    "Acid: food grade only; goggles and gloves; acid into water, never the reverse. Never let it meet "
    "hypochlorite (chlorine gas) or metabisulfite (sulfur dioxide)."
)
_STRONG_ACID = (
    "Strong acid: food grade only; goggles and gloves. Dilute it before measuring, always acid into water, "
    "never water into acid, which boils and spits. Never let it meet hypochlorite (chlorine gas) or "
    "metabisulfite (sulfur dioxide); rinse a splash with much water at once."
)

# By the hazard that a row of the table names.
HANDLING = {
    "": "",
    "acid": f"{_ACID} {_FIRST}",
    "dry acid": (
        "Dry acid: food grade only; keep its dust out of the eyes and wash it off the hands. Never let it meet "
        f"hypochlorite (chlorine gas) or metabisulfite (sulfur dioxide). {_FIRST}"
    ),
    "strong acid": f"{_STRONG_ACID} {_FIRST}",
    "strong hydrochloric acid": f"{_STRONG_ACID} Its fumes hurt the lungs: open it in moving air. {_FIRST}",
    "strong sulfuric acid": (
        f"{_STRONG_ACID} It heats strongly as it is diluted: pour it slowly into cold water and stir. {_FIRST}"
    ),
    "lime": (
        "Lime burns eyes and skin, and the eyes deeply: goggles and gloves; raise no dust and breathe none; keep it "
        "from acids; it warms the water. If it gets into an eye, rinse with water for many minutes and get medical "
        f"help at once. {_FIRST}"
    ),
    "alkaline": f"Strongly alkaline: keep it and its dust out of the eyes and off wet skin. {_FIRST}",
    "warms": (
        "Calcium chloride heats the water it dissolves in: strew it into plenty of cool water, never water onto it; "
        f"keep it out of the eyes and its pot tightly closed, since it draws water. {_FIRST}"
    ),
}
