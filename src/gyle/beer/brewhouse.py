"""A set of vessels with their volumes, losses, heat and habits; each figure an estimate with a spread."""

from __future__ import annotations

import attrs

from gyle.beer.estimate import Estimate
from gyle.beer.water import Water

__all__ = ["KINDS", "Brewhouse", "Habit"]

KINDS = ("electric all-in-one", "bag in pot", "mash tun and kettle", "unstated")


@attrs.frozen(kw_only=True)
class Habit:
    """What a brewer knows instead of single losses: brewhouse efficiency at one gravity and volume."""

    brewhouse_efficiency: float
    gravity_sg: float
    volume_L: float


@attrs.frozen(kw_only=True)
class Brewhouse:
    """Vessels and habits. Volumes are at 20 °C; a vessel's own volume is its brim."""

    name: str
    kind: str = attrs.field(validator=attrs.validators.in_(KINDS))
    altitude_m: float
    ambient_C: Estimate
    tap_water_C: Estimate
    # mash
    mash_vessel_L: float
    grain_limit_kg: float | None
    drain: str  # "gravity basket", "hung bag", "squeezed bag", "lauter tun"
    sparge: str  # "hand", "none", "continuous", "batch"
    mash_heated: bool
    recirculated: bool
    retention_L_kg: Estimate
    sparge_bypass: Estimate
    sparge_tanks: int
    conversion: Estimate  # share of the potential that dissolves when all starch is reached
    thermometer_K: Estimate  # how far the mash thermometer is off
    mash_dead_L: Estimate  # under the false bottom, never drained
    mash_loss_W_K: Estimate
    mash_heat_capacity_kJ_K: Estimate
    thickness_L_kg: float  # liquor for the first mash where nobody says
    # kettle
    kettle_vessel_L: float
    same_vessel: bool  # mash vessel is the kettle
    heat: str  # "electric", "gas", "induction"
    power_kW: Estimate | None  # None: not known
    heat_efficiency: Estimate
    kettle_loss_W_K: Estimate
    kettle_heat_capacity_kJ_K: Estimate
    boil_off_L_h: Estimate
    left_behind_L: Estimate
    trub_L: Estimate
    hop_held_mL_g: Estimate
    # chill
    chill_by: str  # "counterflow", "immersion", "none"
    chill_to_C: float
    chill_minutes: Estimate
    stand_chill_by: str  # "counterflow", "immersion", "none"
    stand_chill_rate_1_min: Estimate
    chill_water_C: Estimate
    # fermenter and keg
    fermenter_vessel_L: float
    fermenter_left_behind_L: Estimate
    dry_hop_held_mL_g: Estimate
    keg_vessel_L: float
    # hops and fermentation habits
    hop_survival_hot: Estimate
    hop_survival_ferment: Estimate
    isomerisation: Estimate  # factor on the rate constant
    hop_utilisation: Estimate  # log factor, whatever the hop model leaves out on this brewhouse
    colour_factor: Estimate
    water: Water | None = None  # what comes from its tap, ready to be used; None: nobody said
    water_name: str = ""  # what its file calls that water; alone where the file knows no waters
    habit: Habit | None = None
    notes: tuple[str, ...] = ()

    def stated(self, figure: str) -> bool:
        """Whether the brewer stated the figure, rather than its kind."""
        value = getattr(self, figure)
        return isinstance(value, Estimate) and not value.source.startswith("kind")
