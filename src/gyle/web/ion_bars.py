"""The water's ions as small bars: what there is, and where the wish stands."""

from __future__ import annotations

import attrs

from gyle.decide.plan import Plan

__all__ = ["IonBar", "ion_bars"]

IONS = (
    ("calcium", "Ca"),
    ("magnesium", "Mg"),
    ("sodium", "Na"),
    ("sulfate", "SO4"),
    ("chloride", "Cl"),
    ("bicarbonate", "HCO3"),
)
BAR_PX = 46.0
FLOOR_PX = 58.0
LEAST_FULL_MG_L = 100.0


@attrs.frozen(kw_only=True)
class IonBar:
    """One ion's bar; places are texts a drawing takes."""

    ion: str
    symbol: str
    x: str
    x2: str
    middle: str
    y: float
    h: float
    wanted_y: float | None


def ion_bars(plan: Plan) -> tuple[IonBar, ...]:
    """Bars for the ions of the liquor; none where nobody states a water and nothing is wished."""
    wanted = dict(plan.recipe.wanted_ions_mg_L)
    if plan.brewhouse.water is None and not wanted:
        return ()
    now = {ion: plan.figures[f"water.{ion}"].mean for ion, _ in IONS if f"water.{ion}" in plan.figures}
    full = max([LEAST_FULL_MG_L, *now.values(), *wanted.values()])
    bars = []
    for number, (ion, symbol) in enumerate(IONS):
        height = BAR_PX * now.get(ion, 0.0) / full
        left = 100.0 * (number + 0.11) / len(IONS)
        bars.append(
            IonBar(
                ion=ion,
                symbol=symbol,
                x=f"{left:.1f}%",
                x2=f"{left + 13.0:.1f}%",
                middle=f"{left + 6.5:.1f}%",
                y=round(FLOOR_PX - height, 1),
                h=round(height, 1),
                wanted_y=round(FLOOR_PX - BAR_PX * wanted[ion] / full, 1) if ion in wanted else None,
            )
        )
    return tuple(bars)
