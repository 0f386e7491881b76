"""Reading hops and whatever else goes in."""

from __future__ import annotations

from gyle.beer import tables
from gyle.beer.entries import ALPHA_LIMIT, own_hop
from gyle.beer.estimate import Estimate
from gyle.beer.mineral_reading import check_mineral_amount, mineral_in
from gyle.beer.recipe import Aim, HopLine, OtherLine
from gyle.beer.section import Section, shown
from gyle.beer.timing import Timing

__all__ = ["STATED_ALPHA_SPREAD", "hops_of", "others_of", "stated_alpha"]

STATED_ALPHA_SPREAD = 0.04  # relative, of a packet's own analysis. Provenance: ours.
MOST_HOPS_KG = 100.0
BITTERING = ("mash", "first wort", "boil", "stand")
_BITTERNESS_FIGURES = "glass.bitterness"

LIQUOR = ("mash", "sparge")  # where what goes in treats the water


def stated_alpha(section: Section) -> Estimate | None:
    """Return the alpha a line or a lot states, as a mass fraction."""
    alpha = section.quantity("alpha", "percent", low=0.0, high=100.0 * ALPHA_LIMIT)
    if alpha is None:
        return None
    centre = alpha.value / 100.0
    return Estimate(centre=centre, spread=STATED_ALPHA_SPREAD * centre, low=0.0, high=ALPHA_LIMIT, source="stated")


def _boil_bound(line: Section, at: Timing, boil_minutes: float, *, contradictions_stay: bool) -> Timing:
    """Return the timing, no earlier than the boil begins."""
    if at.stage != "boil" or at.minutes is None or at.minutes <= boil_minutes + 1e-9:
        return at
    line.note(
        f"{line.place}: {at.minutes:g} min before the end is earlier than a {boil_minutes:g} min boil begins"
        + ("." if contradictions_stay else "; it goes in as the boil begins.")
    )
    return at if contradictions_stay else Timing(stage="boil", minutes=boil_minutes)


def _hop(line: Section, boil_minutes: float, *, contradictions_stay: bool) -> HopLine | None:
    what = line.text("what", longest=80)
    if what is None:
        if "what" not in line:
            line.missing("what", 'what = "Northern Brewer"')
        return None
    line.place = f"{line.place} ({what})"
    alpha = stated_alpha(line)
    found = tables.hop(what)
    hop = found[0] if found else None
    if found is None:
        if alpha is not None:
            hop = own_hop(what, alpha)
            line.note(f"{what} is not in the table; its author's alpha is used.")
        elif "alpha" not in line:
            near = tables.near_names("hops", what)
            offer = f"perhaps {', '.join(near)}, or give" if near else "give"
            line.fault(f"{shown(what)} is no variety of the table; {offer} its alpha on this line", "what")
    elif found[1]:
        line.note(found[1])
    if alpha is None and hop is not None and "alpha" not in line:
        alpha = hop.alpha_fraction
        low, high = _percent(alpha.centre - 1.28 * alpha.spread), _percent(alpha.centre + 1.28 * alpha.spread)
        line.note(
            f"{what} says no alpha: the table's usual {_percent(alpha.centre)} % is taken, with {low} to "
            f"{high} % as its band."
        )
    at = line.at()
    if at is None and "at" not in line:
        line.missing("at", 'at = "boil 60 min"')
    mass = line.quantity("mass", "mass", low=0.0, high=MOST_HOPS_KG)
    rate = line.quantity("rate", "hop_rate", low=0.0, high=100.0)
    bitterness = line.quantity("bitterness", "bitterness", low=0.0, high=300.0)
    amounts = {"mass": mass, "rate": rate, "bitterness": bitterness}
    given = [key for key in amounts if key in line]
    if len(given) > 1:
        line.fault(f"{' and '.join(given)} are both given; keep one of them", given[1])
    form = line.choice("form", ("pellets", "whole", "wet"))
    vessel = line.choice("in", ("kettle", "hop vessel"))
    line.close()
    if at is None or hop is None or alpha is None:
        return None
    if bitterness is not None and at.stage not in BITTERING:
        line.fault(f"a bitterness cannot be met by hops added at {shown(at.text)}; give a mass or a rate", "at")
    at = _boil_bound(line, at, boil_minutes, contradictions_stay=contradictions_stay)
    amount = mass or rate or bitterness
    return HopLine(
        what=what,
        hop=hop,
        alpha_fraction=alpha,
        at=at,
        form=form or "pellets",
        mass_kg=mass.value if mass else None,
        rate_g_L=rate.value if rate else None,
        bitterness_ibu=bitterness.value if bitterness else None,
        half_digit=amount.half_digit if amount else 0.0,
        vessel=vessel or "kettle",
    )


def _percent(fraction: float) -> str:
    return f"{100.0 * max(fraction, 0.0):.2g}" if fraction < 0.1 else f"{100.0 * fraction:.3g}"


def hops_of(
    top: Section, boil_minutes: float, aims: tuple[Aim, ...], *, contradictions_stay: bool
) -> tuple[HopLine, ...]:
    """Return the hops of a recipe; faults and notes are kept in the page."""
    rows = top.rows("hops", "hops")
    lines = [_hop(row, boil_minutes, contradictions_stay=contradictions_stay) for row in rows]
    free: list[Section] = []
    bitter_aim = any(aim.figure.startswith(_BITTERNESS_FIGURES) for aim in aims) or _says_bitterness(top)
    for row, line in zip(rows, lines, strict=True):
        if line is None or any(key in row for key in ("mass", "rate", "bitterness")):
            continue
        if line.at.stage not in BITTERING:
            row.fault('it has no amount; write mass = "60 g" or rate = "3 g/L"')
        elif not bitter_aim:
            row.fault("it has no amount, and no bitterness is aimed at from which it could be solved")
        else:
            free.append(row)
    if len(free) > 1:
        names = " and ".join(row.place for row in free[:2])
        free[1].fault(f"{names} have no amount; only one of them can be solved for")
    return tuple(line for line in lines if line is not None)


def _says_bitterness(top: Section) -> bool:
    """Whether an aim for bitterness stands in the file, even one that could not be read."""
    aim = top.table.get("aim")
    return isinstance(aim, dict) and any("bitterness" in key for key in aim)


def others_of(top: Section, boil_minutes: float, *, contradictions_stay: bool) -> tuple[OtherLine, ...]:
    """Return whatever else goes in."""
    lines: list[OtherLine] = []
    for row in top.rows("other", "other"):
        what = row.text("what", longest=80)
        if what is None and "what" not in row:
            row.missing("what", 'what = "top-up water"')
        if what is not None:
            row.place = f"{row.place} ({what})"
        at = row.at()
        if at is None and "at" not in row:
            row.missing("at", 'at = "boil 15 min"')
        mass = row.quantity("mass", "mass", low=0.0, high=2000.0)
        volume = row.volume("volume", low=0.0, high=5000.0)
        count = row.quantity("count", "count", low=0.0, high=10000.0)
        rate = row.quantity("rate", "hop_rate", low=0.0, high=1000.0)
        given = [key for key in ("mass", "volume", "count", "rate") if key in row]
        if len(given) > 1:
            row.fault(f"{' and '.join(given)} are both given; keep one of them", given[1])
        elif not given:
            row.fault('it has no amount; write one of mass, volume, count and rate, such as mass = "5 g"')
        extract = row.quantity("extract", "percent", low=0.0, high=106.0)
        water = row.quantity("water", "percent", low=0.0, high=100.0)
        strength = row.quantity("strength", "percent", low=0.0, high=100.0)
        allergen = row.text("allergen", longest=80)
        row.close()
        mineral = mineral_in(row, what, strength) if what is not None else None
        if mineral is not None and len(given) == 1:
            check_mineral_amount(row, mineral, top, mass=mass, volume_L=volume, rate=rate)
        if what is None or at is None:
            continue
        if mineral is None and at.stage in LIQUOR and not (extract or water or "strength" in row):
            row.note(f"{what} is no salt, acid or lime known here: nothing is reckoned for it.")
        lines.append(
            OtherLine(
                what=what,
                at=_boil_bound(row, at, boil_minutes, contradictions_stay=contradictions_stay),
                mass_kg=mass.value if mass else None,
                volume_L=volume,
                count=count.value if count else None,
                rate_g_L=rate.value if rate else None,
                extract_fraction=extract.value / 100.0 if extract else 0.0,
                water_fraction=water.value / 100.0 if water else 0.0,
                strength_pct=strength.value if strength else None,
                allergen=allergen or "",
                mineral=mineral,
            )
        )
    return tuple(lines)
