"""The mash's proton balance at the aimed pH, made ready for the choice of salts and acids."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from gyle.decide.salt_problem import Acid, CHARGE_mEq_mg, Dilution, ProtonBalance, Salt, Volumes, Water

__all__ = ["proton_balance"]


def proton_balance(
    source: Water,
    volumes: Volumes,
    *,
    grist_mEq: float,
    source_mEq_L: float,
    calcium_release: float,
    magnesium_release: float,
    slack_mEq: float,
    tolerance_mEq: float | None = None,
    dilution: Dilution | None = None,
    dilution_mEq_L: float = 0.0,
    salts: Iterable[Salt] = (),
    acids: Iterable[Acid] = (),
    taken_up_mEq_per_unit: Mapping[str, float] | None = None,
) -> ProtonBalance:
    """Put together what the mash holds beyond the aimed pH, linear in every dose.

    Parameters
    ----------
    source : Water
        The source water; its calcium and magnesium count.
    volumes : Volumes
        Of these the mash liquor.
    grist_mEq : float
        What the grist takes up of acid to come to the aimed pH [mEq]; negative if it gives acid off. Acid malt and
        first wort belong here.
    source_mEq_L, dilution_mEq_L : float
        What a litre of the source and of the second water takes up of acid to the aimed pH [mEq/L]: alkalinity less
        what its carbonate keeps, without calcium and magnesium.
    calcium_release, magnesium_release : float
        Acid set free in the mash by a milliequivalent of calcium and of magnesium [mEq/mEq].
    slack_mEq, tolerance_mEq : float
        As in `ProtonBalance`.
    dilution : Dilution or None
        The second water.
    salts, acids : iterable of Salt, of Acid
        What may be dosed into the mash.
    taken_up_mEq_per_unit : mapping of str to float or None
        For salts whose alkalinity does not count in full in the mash (bicarbonate keeps part of its carbonic acid,
        lime and chalk dissolve in part): what a unit takes up of acid [mEq], in place of its alkalinity.

    Returns
    -------
    ProtonBalance
        Ready for a `Problem`.
    """
    release = {
        "calcium": calcium_release * CHARGE_mEq_mg["calcium"],
        "magnesium": magnesium_release * CHARGE_mEq_mg["magnesium"],
    }

    def freed(ions: Mapping[str, float]) -> float:
        return sum(release[ion] * ions.get(ion, 0.0) for ion in release)

    instead, salts, acids = taken_up_mEq_per_unit or {}, tuple(salts), tuple(acids)
    per_unit = {
        salt.name: instead.get(salt.name, salt.alkalinity_mEq_per_unit) - freed(salt.ions_mg_per_unit) for salt in salts
    }
    per_unit |= {acid.name: -acid.mEq_per_mL - freed(acid.brings_mg_per_mL) for acid in acids}
    first = source_mEq_L - freed(source.ions_mg_L)
    second = 0.0 if dilution is None else dilution_mEq_L - freed(dilution.water.ions_mg_L)
    return ProtonBalance(
        start_mEq=grist_mEq + volumes.mash_L * first,
        dilution_mEq=0.0 if dilution is None else volumes.mash_L * (second - first),
        per_unit_mEq=per_unit,
        slack_mEq=slack_mEq,
        tolerance_mEq=tolerance_mEq,
    )
