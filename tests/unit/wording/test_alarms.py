from dataclasses import replace

import numpy as np
from support.mornings import fit

from windowcast.terms.advice import CAP_THUNDER
from windowcast.terms.outlook import Hazard
from windowcast.wording.alarms import alarms, watch
from windowcast.wording.view import Named


def hazard(code):
    first = np.datetime64("2027-01-12T15", "h")
    return Hazard(phenomenon=code[:2], significance=code[2:], first=first, count=3)


def test_a_run_tells_its_worst_alarm_first():
    risky = fit(
        ice=True,
        caps=(CAP_THUNDER,),
        hazards=tuple(map(hazard, ("WWY", "FFW", "TOA", "HWW"))),
    )
    assert alarms(risky) == (
        "thunder", "ice", "high wind warning", "flash flood warning", "tornado watch",
        "winter weather advisory",
    )  # fmt: skip


def test_the_same_hazard_told_twice_is_one_alarm():
    assert alarms(fit(hazards=(hazard("HWW"), hazard("HWW")))) == ("high wind warning",)


def test_alarms_of_several_yards_come_by_danger_and_not_by_their_number():
    calm = fit(hazards=(hazard("ASY"),))
    scores = [replace(calm, yard_key=key) for key in "abc"]
    scores.append(replace(fit(hazards=(hazard("SVW"), hazard("ASY"))), yard_key="d"))
    assert watch(scores) == (
        Named(phrase="severe thunderstorm warning", keys=("d",)),
        Named(phrase="air stagnation advisory", keys=("a", "b", "c", "d")),
    )


def test_a_quiet_run_has_no_alarms():
    assert alarms(fit()) == ()
    assert watch([fit()]) == ()
