"""Thunder, ice and official hazards that touch the work, the worst first."""

from __future__ import annotations

from collections.abc import Sequence

from windowcast.terms.advice import CAP_THUNDER, WindowScore
from windowcast.wording.hazards import danger, hazard_words
from windowcast.wording.view import Named, named

THUNDER, ICE = "thunder", "ice"
_THUNDER_RANK, _ICE_RANK = (-2, 0), (-1, 0)


def alarms(score: WindowScore) -> tuple[str, ...]:
    """What touches a yard's run and must be watched, the worst first."""
    ranks = _ranks(score)
    return tuple(sorted(ranks, key=lambda phrase: (ranks[phrase], phrase)))


def _ranks(score: WindowScore) -> dict[str, tuple[int, int]]:
    told = {THUNDER: _THUNDER_RANK} if CAP_THUNDER in score.caps else {}
    told |= {ICE: _ICE_RANK} if score.ice else {}
    return told | {hazard_words(hazard): danger(hazard) for hazard in score.hazards}


def watch(scores: Sequence[WindowScore]) -> tuple[Named, ...]:
    """The alarms of some yard-days with the yards, the worst first."""
    ranks: dict[str, tuple[int, int]] = {}
    groups: dict[str, list[WindowScore]] = {}
    for score in scores:
        for phrase, rank in _ranks(score).items():
            ranks[phrase] = rank
            groups.setdefault(phrase, []).append(score)
    ordered = sorted(groups, key=lambda phrase: (ranks[phrase], phrase))
    return tuple(named(phrase, groups[phrase]) for phrase in ordered)
