"""Hops in hot wort: what goes in, and what time at temperature does to it, wherever the wort is hot."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from gyle.line.brew import Brew
from gyle.line.content import Array, Content
from gyle.science.isomerisation import degradation_rate_1_min, isomerisation_rate_1_min, step

__all__ = ["COLD_C", "OTHER_MATTER_MIN", "add_hops", "cooled", "held_hot"]

COLD_C = 45.0  # below this nothing worth counting happens to alpha acids
OTHER_MATTER_MIN = 8.0  # non-iso bitter matter dissolves with this time constant; ours


def add_hops(brew: Brew, content: Content, hop: dict[str, Any], *, share: ArrayLike = 1.0) -> Content:
    """Add one hop line; `share` is the part of its resins the wort can reach."""
    place = int(hop["addition"])
    mass = np.atleast_1d(np.asarray(hop["mass_kg"], dtype=np.float64))
    alpha = mass * brew.inputs[f"lot.{hop['lot']}.alpha"] * np.asarray(share, dtype=np.float64)
    latent = alpha * brew.inputs["model.other_bitter_matter"]
    brew.note(f"alpha_kg.{place}", alpha)
    return content.changed(
        {
            f"hop.{place}.alpha": content[f"hop.{place}.alpha"] + alpha,
            f"hop.{place}.latent": content[f"hop.{place}.latent"] + latent,
            "hop matter": content["hop matter"] + mass - alpha - latent,
        }
    )


def held_hot(brew: Brew, content: Content, *, temperature_C: Array, minutes: ArrayLike) -> Content:
    """Let hot wort act on its hops at one temperature."""
    if not content.species.hops:
        return content
    inputs = brew.inputs
    k1 = (
        isomerisation_rate_1_min(
            temperature_C, rate_100C=inputs["model.k_iso"], activation_kJ_mol=inputs["model.iso_activation"]
        )
        * inputs["brewhouse.isomerisation"]
    )
    k2 = degradation_rate_1_min(temperature_C) * inputs["model.k_degradation"]
    hot = temperature_C > COLD_C
    time = np.where(hot, minutes, 0.0)
    alpha, iso, latent = content.part("alpha"), content.part("iso"), content.part("latent")
    after = step(alpha, iso, k1=k1, k2=k2, minutes=time)
    given = latent * -np.expm1(-time / OTHER_MATTER_MIN)
    return content.with_parts(
        {
            "alpha": after.alpha,
            "iso": after.iso,
            "lost": content.part("lost") + (alpha + iso - after.alpha - after.iso),
            "latent": latent - given,
            "bitter": content.part("bitter") + given,
        }
    )


def cooled(
    brew: Brew, content: Content, *, to_C: Array, rate_1_min: Array, sink_C: Array, parts: int = 6
) -> tuple[Content, Array]:
    """Cool wort by Newton's law while its hops go on working; return it and the minutes taken."""
    start = content.temperature_C
    target = np.minimum(to_C, start)

    def minutes_to(end_C: Array) -> Array:
        minutes: Array = np.log(np.maximum((start - sink_C) / np.maximum(end_C - sink_C, 0.5), 1.0)) / rate_1_min
        return minutes

    if brew.mean(start) > COLD_C:
        # Only the hot part matters, and it is cut into steps of equal time.
        hot_minutes = minutes_to(np.maximum(target, np.minimum(start, COLD_C)))
        for part in range(parts):
            middle = sink_C + (start - sink_C) * np.exp(-rate_1_min * hot_minutes * ((part + 0.5) / parts))
            content = held_hot(brew, content, temperature_C=middle, minutes=hot_minutes / parts)
    return content.at(target), minutes_to(target)
