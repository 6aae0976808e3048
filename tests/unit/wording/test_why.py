import json
from dataclasses import dataclass
from datetime import timedelta

import numpy as np
import pytest
from support.mornings import DAY, fit, poor, yard

from windowcast.terms.advice import PART_CODES, HourScore, Part, WindowScore
from windowcast.terms.outlook import Hazard, Origin
from windowcast.terms.practice import Practice, WindPractice
from windowcast.terms.yard import Yard
from windowcast.units import f_to_c, mph_to_mps
from windowcast.wording.account import day_sentences, standing
from windowcast.wording.why import why_document_text, why_schema, why_text
from windowcast.wording.why_document import WhyDocument

ORIGIN = Origin(name="nws", detail="grid BOI 59,84")
UNITS = ("C", "mm", "m/s", "lit", "flight")


@dataclass(frozen=True)
class Laid:
    yard: Yard
    score: WindowScore
    hours: tuple[HourScore, ...]


def hour(number, *, temp_f=42.0, credits=(1.0,) * 5, score=1.0, usable=True, **changes):
    values = (f_to_c(temp_f), 0.0, mph_to_mps(5), 1.0, 0.0)
    parts = tuple(
        Part(code=code, value=value, unit=unit, credit=credit)
        for code, value, unit, credit in zip(PART_CODES, values, UNITS, credits, strict=True)
    )
    facts = {
        "hour": fit().start + timedelta(hours=number), "parts": parts, "score": score,
        "usable": usable, "working": True, "origin": ORIGIN,
    }  # fmt: skip
    return HourScore(**(facts | changes))


def account(score=None, hours=None, **place):
    shown = hours if hours is not None else tuple(hour(n) for n in range(4))
    return Laid(yard=yard("kiln", **place), score=score or fit(), hours=shown)


def text(*args, units="us", practice=None, **kwargs):
    return why_text(account(*args, **kwargs), practice or Practice(), units)


def test_the_opening_says_which_day_and_how_it_came_out():
    assert text().splitlines()[0] == "kiln (Kiln), Tue 12 Jan 2027: good, score 0.900"
    assert "Hours are MST." in text()
    assert "Told by nws (grid BOI 59,84)." in text()


def test_every_working_hour_has_each_value_with_its_credit():
    rows = [line for line in text().splitlines() if line.endswith("in the run")]
    assert len(rows) == 4
    assert " ".join(rows[0].split()) == (
        "08:00 42.0 1.000 0.000 1.000 5.0 1.000 100 % 1.000 0 % 1.000 1.000 in the run"
    )


def test_values_follow_the_outfits_units():
    shown = text(units="si")
    assert "air °C" in shown
    assert "5.6 1.000" in shown
    assert "8.0 1.000" in shown  # 5 mph in km/h


def test_hours_outside_work_are_left_out():
    shown = text(hours=(hour(0), hour(1, working=False)))
    assert "09:00  " not in shown
    assert "08:00  " in shown


def test_a_day_without_work_says_so():
    assert "No crew works in daylight on this day" in text(poor(), hours=())


def test_a_chance_of_rain_reads_as_percent_and_the_untold_as_a_dash():
    chance = Part(code="rain", value=0.4, unit="chance", credit=0.6)
    untold = Part(code="rain", value=None, unit="chance", credit=0.7)
    shown = text(hours=(hour(0, parts=(chance,) * 5), hour(1, parts=(untold,) * 5)))
    assert "40 % 0.600" in shown
    assert "- 0.700" in shown


@pytest.mark.parametrize(
    ("credits", "words"),
    [
        ((0.599, 1.0, 1.0, 1.0, 1.0), "no: air"),
        ((1.0, 0.0, 0.0, 1.0, 1.0), "no: rain and wind"),
        ((None, 1.0, None, 1.0, None), "no: air and wind"),
        ((0.6, 0.1, 0.1, 1.0, 0.1), "no: past"),
    ],
)
def test_an_hour_that_does_not_count_says_why(credits, words):
    late = hour(8, credits=credits, usable=False)
    assert standing(late, fit(), Practice()) == words


def test_a_usable_hour_outside_the_run_is_usable():
    assert standing(hour(6), fit(), Practice()) == "usable"
    assert standing(hour(4), fit(), Practice()) == "usable"
    assert standing(hour(3), fit(), Practice()) == "in the run"


def test_the_score_is_traced_to_its_best_hours():
    start = fit().start
    scores = tuple((start + timedelta(hours=n), s) for n, s in enumerate((0.7, 0.9, 1.0, 0.8)))
    told = day_sentences(account(fit(score=0.95, hour_scores=scores)), Practice())
    assert told[0] == (
        "Best run: 08:00-12:00, 4 hours. The day's score is the mean of its best 2 hours,"
        " 09:00 0.900 and 10:00 1.000: 0.950."
    )
    assert told[1] == "Good is from 0.75, workable from 0.45. The day is good."


def test_a_run_without_hour_scores_still_tells_the_score():
    told = day_sentences(account(fit(hour_scores=())), Practice())
    assert told[0].endswith("The day's score is 0.900.")


def test_a_short_run_and_no_run_score_nothing():
    short = fit(hours=(9, 10), verdict="poor", score=0.0)
    assert (
        "shorter than 2 hours, so the day scores 0" in day_sentences(account(short), Practice())[0]
    )
    assert day_sentences(account(poor()), Practice())[0].startswith("No hour is usable")


def test_caps_hazards_and_costs_are_named():
    fire = Hazard(
        phenomenon="FW", significance="W", first=np.datetime64("2027-01-12T15", "h"), count=3
    )
    capped = fit(verdict="workable", caps=("warning", "thunder", "rain_untold"), hazards=(fire,))
    told = day_sentences(account(capped), Practice())
    assert "At most workable: thunder is told inside the run." in told
    assert "At most workable: an official warning touches the run." in told
    assert "At most workable: rain is not told for every hour of the run." in told
    assert "Official: fire weather warning." in told
    assert told[-1] == "What costs most over the working hours: air."


def test_thresholds_come_with_grade_and_source():
    shown = text()
    assert " common practice (no source)\n   temperature.best_low = 40 °F" in shown
    assert " published: Vicens & Bosch 2000" in shown
    assert "ours (uncalibrated): rule of this project, not published" in shown


def test_a_threshold_of_the_outfits_own_is_marked():
    shown = text(practice=Practice(wind=WindPractice(calm_to_mps=2.2352)))
    assert "wind.calm_to = 5 mph (yours; default 8 mph)" in shown


def test_lines_keep_to_a_hundred_columns_whatever_the_name():
    shown = text(name="養蜂場" * 60, tz=None)
    assert max(map(len, shown.splitlines())) <= 100
    assert "Hours are UTC." in shown


def test_the_document_holds_every_hour_in_si():
    told = json.loads(why_document_text(account(), Practice()))
    assert WhyDocument.model_validate(told).day == DAY
    first = told["hours"][0]
    assert first["hour"] == "2027-01-12T08:00:00-07:00"
    assert first["parts"][0] == {
        "code": "temperature", "value": 5.555556, "unit": "C", "credit": 1.0,
    }  # fmt: skip
    assert (first["standing"], first["source"]) == ("in the run", "nws")
    assert told["start"] == "2027-01-12T08:00:00-07:00"


def test_the_document_of_a_lost_day_has_nulls():
    untold = hour(0, credits=(None,) * 5, score=None, usable=False, working=False, origin=None)
    told = json.loads(why_document_text(account(poor(), (untold,)), Practice()))
    assert (told["start"], told["end"]) == (None, None)
    assert told["hours"][0]["score"] is None
    assert told["hours"][0]["source"] is None
    assert told["hours"][0]["standing"] == "no: not at work"


def test_the_schema_names_every_threshold_field():
    fields = why_schema()["$defs"]["ThresholdDocument"]["required"]
    assert set(fields) == {"key", "value", "default", "says", "grade", "source"}
