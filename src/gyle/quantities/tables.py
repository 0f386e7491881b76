"""Every kind of quantity and its units; factors are exact unless a line says otherwise.

Sources: NIST Special Publication 811 (2008), Appendix B; the international yard and pound (1959); the
United States liquid gallon of 231 cubic inches; the imperial gallon of 4.546 09 L. The tests check each
factor against an independent library.

Plain gallons, quarts, pints, fluid ounces and barrels are those of the United States (a barrel is 31
gallons, the beer barrel); "imp gal", "imp pt" and so on are imperial. A plain pressure is a gauge pressure.
"""

from __future__ import annotations

from gyle.quantities.units import Kind, Unit

__all__ = ["KINDS"]

INF = float("inf")

LB_KG = 0.45359237
OZ_KG = LB_KG / 16
GRAIN_MG = LB_KG * 1e6 / 7000
GAL_L = 3.785411784
QT_L = GAL_L / 4
FL_OZ_L = GAL_L / 128
BBL_L = GAL_L * 31
IMP_GAL_L = 4.54609
PSI_BAR = LB_KG * 9.80665 / 0.0254**2 / 1e5
ATM_BAR = 1.01325
BTU_KJ = 1.05505585262  # International Table
KCAL_KJ = 4.184  # thermochemical, as in food labelling

# Both colour scales multiply one absorbance at 430 nm, by 25 and by 12.7 (ASBC Beer-10, EBC 9.6).
SRM_EBC = 25 / 12.7
# Hardness and alkalinity name equivalents of calcium; molar masses are the IUPAC 2021 abridged weights.
CACO3_MG_MEQ = 100.086 / 2
CAO_MG_MEQ = 56.077 / 2
# One volume of CO2 at 0 °C and 1 atm as a real gas (Span and Wagner 1996).
CO2_G_L_VOL = 1.9768

POSITIVE = (("", 0.0, INF),)


def _pressure_units() -> tuple[Unit, ...]:
    """Return gauge and absolute units: "bar", "barg", "bar(g)", "bar abs", "psia" and so on."""
    sizes = (
        ("bar", 1.0, 2, 3),
        ("mbar", 1e-3, 0, 3),
        ("kPa", 1e-2, 0, 3),
        ("hPa", 1e-3, 0, 3),
        ("Pa", 1e-5, 0, 3),
        ("psi", PSI_BAR, 1, 2),
        ("atm", ATM_BAR, 2, 3),
    )
    gauge = ("{}g", "{} g", "{}(g)", "{} (g)", "{} gauge", "{} (gauge)")
    absolute = ("{}a", "{} a", "{}(a)", "{} (a)", "{}(abs)", "{} (abs)", "{} absolute", "{}abs")
    return tuple(
        Unit(symbol, factor, 0.0, "gauge", tuple(a.format(symbol) for a in gauge), places, figures)
        for symbol, factor, places, figures in sizes
    ) + tuple(
        Unit(
            f"{symbol} abs",
            factor,
            0.0,
            "absolute",
            tuple(a.format(symbol) for a in absolute),
            places,
            figures,
        )
        for symbol, factor, places, figures in sizes
    )


def _equivalents(scale: str) -> tuple[Unit, ...]:
    """Return the units that state equivalents of charge as lime or chalk [mEq/L]."""
    chalk = ("ppm CaCO3", "mg/L as CaCO3", "mg/L CaCO3", "mg/L (as CaCO3)", "ppm (as CaCO3)")
    return (
        Unit("mEq/L", 1.0, 0.0, scale, ("meq/L",), 2),
        Unit("ppm as CaCO3", 1 / CACO3_MG_MEQ, 0.0, scale, chalk, 0),
        Unit("°dH", 10 / CAO_MG_MEQ, 0.0, scale, ("dH", "°d", "dGH", "dKH", "°dGH", "°dKH"), 1),
        Unit("°fH", 10 / CACO3_MG_MEQ, 0.0, scale, ("fH",), 1),
        Unit("°e", GRAIN_MG / IMP_GAL_L / CACO3_MG_MEQ, 0.0, scale, ("°Clark", "Clark", "°eH", "gr/imp gal"), 1),
        Unit("gr/gal", GRAIN_MG / GAL_L / CACO3_MG_MEQ, 0.0, scale, ("gpg",), 1),
    )


_COUNTED = ("pack", "packet", "sachet", "tablet", "capsule", "piece", "pod", "stick", "bottle", "keg", "drop")
_CURRENCIES = {
    "€": ("EUR", "euro", "euros"),
    "$": ("USD", "US$", "dollar", "dollars"),
    "£": ("GBP", "pound", "pounds"),
} | dict.fromkeys(("CHF", "SEK", "NOK", "DKK", "PLN", "CZK", "CAD", "AUD", "NZD", "JPY", "kr"), ())

_ALL = (
    Kind(
        name="mass",
        label="a mass",
        units=(
            Unit("kg", 1.0, places=2, figures=4),
            Unit("g", 1e-3, places=2),
            Unit("mg", 1e-6, places=1),
            Unit("lb", LB_KG, places=2),
            Unit("oz", OZ_KG, places=2),
        ),
        metric=(("kg", 1.0), ("g", 0.0)),
        us=(("lb", 1.0), ("oz", 0.1), ("g", 0.0)),
        limits=POSITIVE,
        compound=True,
    ),
    Kind(
        name="volume",
        label="a volume",
        units=(
            Unit("L", 1.0),
            Unit("mL", 1e-3),
            Unit("cL", 1e-2),
            Unit("hL", 100.0, places=2),
            Unit("gal", GAL_L, places=2),
            Unit("qt", QT_L, places=2),
            Unit("pt", GAL_L / 8, aliases=("pts",), places=2),
            Unit("fl oz", FL_OZ_L, places=2),
            Unit("cup", GAL_L / 16, aliases=("cups",), places=2),
            Unit("tbsp", FL_OZ_L / 2),
            Unit("tsp", FL_OZ_L / 6),
            Unit("bbl", BBL_L, places=2),
            Unit("imp gal", IMP_GAL_L, places=2),
            Unit("imp qt", IMP_GAL_L / 4, places=2),
            Unit("imp pt", IMP_GAL_L / 8, aliases=("imp pint", "imp pints", "imperial pint", "imperial pints")),
            Unit("imp fl oz", IMP_GAL_L / 160),
        ),
        metric=(("L", 1.0), ("mL", 0.0)),
        us=(("gal", 1.0), ("qt", 1.0), ("fl oz", 0.25), ("mL", 0.0)),
        shown=("L", "mL", "hL", "gal", "qt", "pt", "fl oz"),
        limits=POSITIVE,
        compound=True,
        takes_temperature=True,
    ),
    Kind(
        name="temperature",
        label="a temperature",
        units=(
            Unit("°C", 1.0, aliases=("C", "c")),
            Unit("°F", 5 / 9, -160 / 9, aliases=("F", "f"), places=0),
            Unit("K", 1.0, -273.15, aliases=("kelvin", "°K"), places=1, figures=4),
        ),
        metric=(("°C", -INF),),
        us=(("°F", -INF),),
        limits=(("", -273.15, INF),),
    ),
    Kind(
        name="temperature_difference",
        label="a temperature difference",
        units=(
            Unit("K", 1.0, aliases=("kelvin", "°K")),
            Unit("°C", 1.0, aliases=("C", "c")),
            Unit("°F", 5 / 9, aliases=("F", "f")),
        ),
        metric=(("°C", -INF),),
        us=(("°F", -INF),),
    ),
    Kind(
        name="pressure",
        label="a pressure",
        units=_pressure_units(),
        metric=(("bar", -INF),),
        us=(("psi", -INF),),
        shown=("bar", "mbar", "kPa", "psi", "bar abs", "psia"),
        limits=(("gauge", -1.1, INF), ("absolute", 0.0, INF)),
        takes_temperature=True,
    ),
    Kind(
        name="gravity",
        label="a gravity",
        units=(
            Unit("SG", 1.0, scale="SG", aliases=("sg",), places=3, figures=4, fixed=True),
            Unit("points", 1e-3, 1.0, "SG", ("point", "pts"), 0),
            Unit("°P", 1.0, scale="°P"),
            Unit("°Bx", 1.0, scale="°Bx"),
        ),
        metric=(("SG", -INF),),
        us=(("SG", -INF),),
        shown=("SG", "°P", "°Bx"),
        limits=(("SG", 0.95, 1.3), ("°P", -10.0, 70.0), ("°Bx", -10.0, 85.0)),
        takes_temperature=True,
        decimal_comma=True,
        prefix=True,
    ),
    Kind(
        name="gravity_difference",
        label="a difference of gravity",
        units=(
            Unit("SG", 1.0, scale="SG", aliases=("sg",), places=3, figures=4, fixed=True),
            Unit("points", 1e-3, 0.0, "SG", ("point", "pts")),
            Unit("°P", 1.0, scale="°P"),
            Unit("°Bx", 1.0, scale="°Bx"),
        ),
        metric=(("points", -INF),),
        us=(("points", -INF),),
        decimal_comma=True,
    ),
    Kind(
        name="colour",
        label="a colour",
        units=(
            Unit("EBC", 1.0, figures=2),
            Unit("SRM", SRM_EBC, figures=2),
            # The older glass scale, read as if it were SRM; the caller may correct dark malts.
            Unit("°L", SRM_EBC, aliases=("L", "ºL", "deg L"), figures=2),
        ),
        metric=(("EBC", -INF),),
        us=(("SRM", -INF),),
        limits=POSITIVE,
    ),
    Kind(
        name="time",
        label="a time",
        units=(
            Unit("min", 1.0, aliases=("m",), places=0),
            Unit("s", 1 / 60, places=0),
            Unit("h", 60.0, places=1),
            Unit("d", 1440.0, word="days"),
            Unit("week", 10080.0, word="weeks"),
        ),
        metric=(("d", 2.0), ("h", 3.0), ("min", 1.0), ("s", 0.0)),
        us=(("d", 2.0), ("h", 3.0), ("min", 1.0), ("s", 0.0)),
        shown=("min", "h", "s", "days", "weeks"),
        limits=POSITIVE,
        compound=True,
    ),
    Kind(
        name="concentration",
        label="a concentration",
        units=(
            # In water and beer a kilogram is taken as a litre: ppm is mg/L.
            Unit("mg/L", 1.0, scale="mg/L", aliases=("ppm", "mg/kg"), places=1, figures=2),
            Unit("g/L", 1e3, scale="mg/L", aliases=("g/kg",), places=2),
            Unit("µg/L", 1e-3, scale="mg/L", aliases=("ug/L", "ppb"), places=0),
            Unit("mmol/L", 1.0, scale="mmol/L", aliases=("mM",), places=2),
            Unit("mol/L", 1e3, scale="mmol/L", places=4),
            *_equivalents("mEq/L"),
        ),
        metric=(("mg/L", -INF),),
        us=(("mg/L", -INF),),
        shown=("mg/L", "g/L", "ppm", "mmol/L", "mEq/L", "ppm as CaCO3", "°dH", "°fH"),
        limits=(("mg/L", 0.0, INF), ("mmol/L", 0.0, INF), ("mEq/L", 0.0, INF)),
        takes_temperature=True,
    ),
    Kind(
        name="hardness",
        label="a hardness",
        units=(
            *_equivalents(""),
            # Calcium and magnesium carry two charges; plain mg/L of hardness means as CaCO3.
            Unit("mmol/L", 2.0, places=2),
            Unit("mg/L", 1 / CACO3_MG_MEQ, aliases=("ppm",), places=0),
        ),
        metric=(("°dH", -INF),),
        us=(("ppm as CaCO3", -INF),),
        limits=POSITIVE,
    ),
    Kind(
        name="alkalinity",
        label="an alkalinity",
        units=(
            *_equivalents(""),
            # Acid capacity binds one charge a molecule; plain mg/L of alkalinity means as CaCO3.
            Unit("mmol/L", 1.0, places=2),
            Unit("mg/L", 1 / CACO3_MG_MEQ, aliases=("ppm",), places=0),
        ),
        metric=(("mEq/L", -INF),),
        us=(("ppm as CaCO3", -INF),),
    ),
    Kind(
        name="power",
        label="a power",
        units=(
            Unit("kW", 1.0, places=2),
            Unit("W", 1e-3, aliases=("w", "watt", "watts"), places=0),
            Unit("BTU/h", BTU_KJ / 3600, places=0),
        ),
        metric=(("kW", -INF),),
        us=(("kW", -INF),),
        limits=POSITIVE,
    ),
    Kind(
        name="energy",
        label="an energy",
        units=(
            Unit("kWh", 1.0, aliases=("kW h",), places=2),
            Unit("Wh", 1e-3, aliases=("W h",), places=0),
            Unit("MJ", 1 / 3.6, places=2),
            Unit("kJ", 1 / 3600, places=0),
            Unit("kcal", KCAL_KJ / 3600, places=0),
            Unit("BTU", BTU_KJ / 3600, places=0),
        ),
        metric=(("kWh", -INF),),
        us=(("kWh", -INF),),
        limits=POSITIVE,
    ),
    Kind(
        name="food_energy",
        label="an energy per serving",
        units=(
            Unit("kcal/100 mL", 1.0, places=0),
            Unit("kJ/100 mL", 1 / KCAL_KJ, places=0),
            Unit("kcal/12 fl oz", 0.1 / (12 * FL_OZ_L), places=0),
        ),
        metric=(("kcal/100 mL", -INF),),
        us=(("kcal/12 fl oz", -INF),),
        limits=POSITIVE,
    ),
    Kind(
        name="flow",
        label="a flow",
        units=(
            Unit("L/h", 1.0, places=1),
            Unit("L/min", 60.0, places=1),
            Unit("mL/min", 0.06, places=0),
            Unit("gal/h", GAL_L, aliases=("gph",), places=2),
            Unit("gal/min", GAL_L * 60, aliases=("gpm",), places=2),
            Unit("qt/h", QT_L, places=1),
            Unit("imp gal/h", IMP_GAL_L, places=2),
        ),
        metric=(("L/h", -INF),),
        us=(("gal/h", -INF),),
        limits=POSITIVE,
        takes_temperature=True,
    ),
    Kind(
        name="percent",
        label="a percentage",
        units=(
            Unit("%", 1.0, aliases=("pct", "percent", "per cent", "% AA", "% alpha", "% alpha acids")),
            Unit("% ABV", 1.0, scale="by volume", aliases=("% vol", "% v/v", "% by volume", "ABV", "vol%")),
            Unit("% ABW", 1.0, scale="by mass", aliases=("% w/w", "% m/m", "% by mass", "% by weight", "ABW")),
        ),
        metric=(("%", -INF),),
        us=(("%", -INF),),
        shown=("%",),
        limits=(("", 0.0, INF), ("by volume", 0.0, 100.0), ("by mass", 0.0, 100.0)),
    ),
    Kind(
        name="bitterness",
        label="a bitterness",
        units=(Unit("IBU", 1.0, aliases=("IBUs", "BU", "EBU", "mg/L iso-alpha"), places=0),),
        metric=(("IBU", -INF),),
        us=(("IBU", -INF),),
        shown=("IBU",),
        limits=POSITIVE,
    ),
    Kind(
        name="pitch_rate",
        label="a pitch rate",
        units=(Unit("M/mL/°P", 1.0, aliases=("M/(mL °P)", "M/(mL·°P)", "M/mL°P"), places=2),),
        metric=(("M/mL/°P", -INF),),
        us=(("M/mL/°P", -INF),),
        limits=POSITIVE,
    ),
    Kind(
        name="cells",
        label="a number of yeast cells",
        units=(
            Unit("cells", 1.0, aliases=("cell",), places=0),
            Unit("M", 1e6, places=0, word="million"),
            Unit("billion", 1e9, aliases=("B", "B cells"), places=0, word="billion"),
        ),
        metric=(("billion", -INF),),
        us=(("billion", -INF),),
        shown=("billion", "million", "cells"),
        limits=POSITIVE,
    ),
    Kind(
        name="hop_rate",
        label="a rate by volume",
        units=(
            Unit("g/L", 1.0, places=2),
            Unit("g/hL", 0.01, places=0),
            Unit("kg/hL", 10.0, places=2),
            Unit("mg/L", 1e-3, places=0),
            Unit("oz/gal", OZ_KG * 1e3 / GAL_L, places=2),
            Unit("lb/bbl", LB_KG * 1e3 / BBL_L, places=2),
            Unit("lb/gal", LB_KG * 1e3 / GAL_L, places=2),
        ),
        metric=(("g/L", -INF),),
        us=(("oz/gal", -INF),),
        limits=POSITIVE,
    ),
    Kind(
        name="thickness",
        label="a mash thickness",
        units=(
            Unit("L/kg", 1.0, places=2),
            Unit("qt/lb", QT_L / LB_KG, places=2),
            Unit("gal/lb", GAL_L / LB_KG, places=3),
        ),
        metric=(("L/kg", -INF),),
        us=(("qt/lb", -INF),),
        limits=POSITIVE,
    ),
    Kind(
        name="carbonation",
        label="a carbonation",
        units=(
            Unit("vol", 1.0, aliases=("vols", "volume", "volumes", "vol CO2", "volumes of CO2", "volumes CO2")),
            Unit("g/L", 1 / CO2_G_L_VOL, aliases=("g/L CO2", "g/L of CO2"), places=1),
        ),
        metric=(("vol", -INF),),
        us=(("vol", -INF),),
        limits=POSITIVE,
        takes_temperature=True,
    ),
    Kind(
        name="length",
        label="a length",
        units=(
            Unit("m", 1.0, aliases=("metre", "metres", "meter", "meters"), places=1),
            Unit("km", 1e3, places=2),
            Unit("cm", 1e-2, places=1),
            Unit("mm", 1e-3, places=1),
            Unit("ft", 0.3048, aliases=("foot", "feet"), places=0),
            Unit("in", 0.0254, aliases=("inch", "inches"), places=2),
        ),
        metric=(("m", -INF),),
        us=(("ft", -INF),),
        shown=("m", "km", "cm", "mm", "ft", "in"),
        compound=True,
    ),
    Kind(
        name="count",
        label="a count",
        units=(
            Unit("", 1.0, places=2),
            *(Unit(name, 1.0, aliases=(f"{name}s",), word=f"{name}s") for name in _COUNTED),
        ),
        metric=(("", -INF),),
        us=(("", -INF),),
        shown=("packs", "tablets", "pieces"),
        limits=POSITIVE,
        bare="",
    ),
    Kind(
        name="ratio",
        label="a ratio",
        units=(Unit("", 1.0, places=2),),
        metric=(("", -INF),),
        us=(("", -INF),),
        limits=POSITIVE,
        bare="",
        decimal_comma=True,
    ),
    Kind(
        name="ph",
        label="a pH",
        units=(Unit("pH", 1.0, places=2, before=True),),
        metric=(("pH", -INF),),
        us=(("pH", -INF),),
        limits=(("", -1.0, 15.0),),
        takes_temperature=True,
        bare="pH",
        decimal_comma=True,
        prefix=True,
    ),
    Kind(
        name="money",
        label="an amount of money",
        units=tuple(
            Unit(symbol, 1.0, scale=symbol, aliases=names, places=2, figures=12, fixed=True)
            for symbol, names in ({"": ()} | _CURRENCIES).items()
        ),
        metric=(("", -INF),),
        us=(("", -INF),),
        shown=("€", "$", "£"),
        limits=tuple((symbol, 0.0, INF) for symbol in ("", *_CURRENCIES)),
        prefix=True,
    ),
)

KINDS: dict[str, Kind] = {kind.name: kind for kind in _ALL}
