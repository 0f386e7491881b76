"""What laboratories and other languages call the things of a water report, and their formulas."""

from __future__ import annotations

import difflib
import functools
import re
import unicodedata

__all__ = ["FORMULA", "form_named", "key_named", "key_offer"]

LONGEST_KEY = 60

# What laboratories and other languages call what stands under a key here. These are never read as keys: a
# thing has one spelling, and the fault of an unknown key says which.
_CALLED = {
    "calcium": "Ca, kalzium",
    "magnesium": "Mg",
    "sodium": "Na, natrium",
    "potassium": "K, kalium",
    "sulfate": "SO4, sulfat, sulphat, sulphate, sulfates",
    "sulfate_S": "SO4-S, SO4S, S-SO4, sulfat-S, sulfate-S, sulphate-S",
    "chloride": "Cl, chlorid, chlorure, chlorures, chlorides",
    "nitrate": "NO3, nitrat, nitrates",
    "nitrate_N": "NO3-N, NO3N, N-NO3, nitrat-N, nitrate-N, nitrat-stickstoff, nitratstickstoff, nitrate nitrogen",
    "nitrite": "NO2, nitrit, nitrites",
    "nitrite_N": "NO2-N, NO2N, N-NO2, nitrit-N, nitrite-N, nitritstickstoff, nitrite nitrogen",
    "ammonium": "NH4",
    "ammonium_N": "NH4-N, NH4N, N-NH4, ammonium-N, ammoniumstickstoff, ammonium nitrogen",
    "phosphate": "PO4, phosphat, phosphates, ortho-phosphat, orthophosphate",
    "phosphate_P": "PO4-P, PO4P, P-PO4, phosphat-P, phosphate-P",
    "fluoride": "F, fluorid, fluorure, fluorures, fluorides",
    "silicate": "SiO2, silicat, silikat, silica, silice, kieselsäure",
    "iron": "Fe, eisen, fer",
    "manganese": "Mn, mangan, manganèse",
    "copper": "Cu, kupfer, cuivre",
    "zinc": "Zn, zink",
    "lead": "Pb, blei, plomb",
    "bicarbonate": "HCO3, hydrogencarbonat, hydrogenkarbonat, hydrogencarbonate, bicarbonat, bicarbonates, "
    "hydrogénocarbonates",
    "carbonate": "CO3, carbonat, karbonat, carbonates",
    "acid_capacity": "säurekapazität, säurekapazität bis pH 4.3, säurekapazität KS 4.3, KS 4.3, KS, SBV, "
    "säurebindungsvermögen, m-Wert, m-Alkalität",
    "base_capacity": "basekapazität, basenkapazität, basekapazität bis pH 8.2, basekapazität KB 8.2, KB 8.2, KB",
    "alkalinity": "total alkalinity, alkalinity total, alkalität, gesamtalkalität, alcalinité, TAC, alk",
    "hardness": "gesamthärte, härte, wasserhärte, summe erdalkalien, total hardness, hardness total, GH, dureté, "
    "dureté totale, TH, titre hydrotimétrique",
    "carbonate_hardness": "karbonathärte, carbonathärte, temporary hardness, KH, dureté temporaire",
    "conductivity": "leitfähigkeit, elektrische leitfähigkeit, conductivité, electrical conductivity, EC",
    "ph": "pH, pH-Wert, pH value",
    "temperature": "temperatur, température, wassertemperatur",
    "chlorine": "Cl2, chlor, chlore, freies chlor, free chlorine",
    "chloramine": "chloramin, chloramines, monochloramine",
}
# A bare number under these means one unit that another sheet's number may not have.
_WITH_UNIT = frozenset({"alkalinity", "hardness", "carbonate_hardness", "conductivity"})
FORMULA = {
    "calcium": "Ca", "magnesium": "Mg", "sodium": "Na", "potassium": "K", "sulfate": "SO4", "sulfate_S": "SO4-S",
    "chloride": "Cl", "nitrate": "NO3", "nitrate_N": "NO3-N", "nitrite": "NO2", "nitrite_N": "NO2-N",
    "ammonium": "NH4", "ammonium_N": "NH4-N", "phosphate": "PO4", "phosphate_P": "PO4-P", "fluoride": "F",
    "silicate": "SiO2", "iron": "Fe", "manganese": "Mn", "copper": "Cu", "zinc": "Zn", "lead": "Pb",
    "bicarbonate": "HCO3", "carbonate": "CO3", "chlorine": "Cl2",
}  # fmt: skip
_ELEMENTS = {
    "n": "N", "nitrogen": "N", "stickstoff": "N", "azote": "N", "s": "S", "sulfur": "S", "sulphur": "S",
    "schwefel": "S", "soufre": "S", "p": "P", "phosphorus": "P", "phosphor": "P", "si": "Si", "silicon": "Si",
    "caco3": "CaCO3", "calciumcarbonat": "CaCO3", "calciumcarbonate": "CaCO3",
}  # fmt: skip

_WORDS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss"})
_CHARGE = re.compile(r"[ ^_]?[1-3]?[-+]+$")
_ELEMENT_APART = re.compile(r"[-_ ](?=[nsp]$)")
_ASIDE = re.compile(r"[(\[].*")
_UNIT_OF_KEY = re.compile(r"(?:in)?(?:mgl|ugl|ppm|mmoll|mvall|meql|uscm|dh|fh|caco3)$")


def _letters(text: str) -> str:
    """Return a name without case, accents and spaces; an element set apart stays so: sulfate-S is not sulfates."""
    apart = _ELEMENT_APART.sub("_", unicodedata.normalize("NFKD", text.casefold()))
    return re.sub("[^a-z0-9_]", "", re.sub("_(?![nsp]$)", "", apart))


@functools.cache
def _keys() -> dict[str, str]:
    """Return the key of every name, with ä as "ae" and as "a"."""
    names = {name: key for key, called in _CALLED.items() for name in (key, *called.split(", "))}
    return {
        form: key
        for name, key in names.items()
        for form in (_letters(name), _letters(name.casefold().translate(_WORDS)))
    }


def key_named(name: str) -> str:
    """Return the key a name stands under, such as "potassium" for "Kalium"; empty if none is known."""
    short = unicodedata.normalize("NFC", name[:LONGEST_KEY].strip()).casefold()
    for text in (short, _CHARGE.sub("", short), _ASIDE.sub("", short)):
        letters = _letters(text.translate(_WORDS)), _letters(text)
        for word in (*letters, *(_UNIT_OF_KEY.sub("", one) for one in letters)):
            if word in _keys():
                return _keys()[word]
    return ""


def key_offer(name: str) -> str:
    """Return what to say of a key that a report may not have: the one that is meant, if that is known."""
    key = key_named(name)
    if not key and len(name) <= LONGEST_KEY:
        near = difflib.get_close_matches(_letters(name.casefold().translate(_WORDS)), _keys(), n=1, cutoff=0.85)
        key = _keys()[near[0]] if near else ""
    return f"perhaps {key} is meant{', with its unit' if key in _WITH_UNIT else ''}" if key else ""


def form_named(name: str) -> str:
    """Return the formula of what a figure is stated as: "NO3-N" of "N-NO3", "SO4" of "SO4^2-"; else empty."""
    return _ELEMENTS.get(_letters(name)) or FORMULA.get(key_named(name), "")
