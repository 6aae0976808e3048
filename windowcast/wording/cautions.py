"""Cautions as sentences. Points that belong together share one, so that a notice has at most eight.

The points are those of any crew with hot acid and trucks; the label on the package and the law of
the place come first.
"""

from __future__ import annotations

from collections.abc import Collection

from windowcast.planning.cautions import (
    BEES,
    DOSE,
    EYES,
    FATIGUE,
    FIRE_WEATHER,
    FIRST_AID,
    HOT_METAL,
    ICE,
    LABEL,
    MASK,
    OTHERS,
    PARTNER,
    POWER,
    SOFT_LANE,
    STILL_AIR,
    SWING,
    SYMPTOMS,
    UPWIND,
)

SENTENCES = {
    LABEL: "The label in hand and local law come first.",
    DOSE: "Doses differ by hive kind: never mix them up.",
    MASK: "Respirator and cartridges as the label says, no beard under the seal.",
    EYES: "Goggles, acid-proof gloves, long sleeves; water for the eyes at hand.",
    SYMPTOMS: "Cough, sore eyes: stop, leave; harm can show late.",
    FIRST_AID: "Acid in eyes or swallowed: label's first aid, poison centre.",
    PARTNER: "Two people, known route, check-in time.",
    OTHERS: "Tell neighbours; keep others out as long as the label says.",
    FATIGUE: "Vapour adds up over many hives, more than anybody measured: rest.",
    UPWIND: "Strong wind or gusts: stay upwind, check with smoke.",
    SWING: "The wind turns: change sides.",
    STILL_AIR: "Still air: let vapour clear from hollows before you step in.",
    ICE: "Ice or frost on lanes: slow down or walk.",
    SOFT_LANE: "Soft lanes: walk in.",
    POWER: "Keep batteries and plugs off wet ground.",
    HOT_METAL: "Hot pans scorch dry grass and melt plastic: extinguisher at hand.",
    FIRE_WEATHER: "Fire weather: ask whether hot work is allowed.",
    BEES: "Bees fly: no treating in heavy flight.",
}
GROUPS = (
    (LABEL, DOSE),
    (MASK, EYES),
    (SYMPTOMS, FIRST_AID),
    (PARTNER, OTHERS, FATIGUE),
    (UPWIND, SWING, STILL_AIR),
    (ICE, SOFT_LANE, POWER),
    (HOT_METAL, FIRE_WEATHER),
    (BEES,),
)


def caution_sentences(codes: Collection[str]) -> tuple[str, ...]:
    """What to say aloud, at most one entry for each group of points, label and law first."""
    told = [[SENTENCES[code] for code in group if code in codes] for group in GROUPS]
    return tuple(" ".join(group) for group in told if group)
