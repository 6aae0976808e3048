"""Thresholds: their defaults as the trade says them, and the orders that they must keep.

The defaults in °F and mph are the trade's; their values in SI are computed by hand here.
"""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import pytest

from windowcast.terms.practice import (
    AgePractice,
    CautionPractice,
    DayPractice,
    FlightPractice,
    Practice,
    RainPractice,
    TemperaturePractice,
    WindPractice,
)
from windowcast.terms.threshold import GRADES, key_of, provenance_of, threshold
from windowcast.units import KINDS, quantity

SECTIONS = [item.default_factory for item in fields(Practice)]
NAN = float("nan")


@pytest.mark.parametrize(
    ("name", "temp_c"),
    [
        ("none_low_c", 0.0),
        ("edge_low_c", 1.67),
        ("best_low_c", 4.44),
        ("best_high_c", 7.78),
        ("edge_high_c", 10.56),
        ("none_high_c", 12.78),
    ],
)
def test_the_temperatures_of_the_trade_in_c(name: str, temp_c: float) -> None:
    assert getattr(TemperaturePractice(), name) == pytest.approx(temp_c, abs=0.005)


def test_the_other_defaults_in_si() -> None:
    practice = Practice()
    assert practice.temperature.edge_credit == 0.6
    assert practice.rain == RainPractice(wet_from_mm=0.2, likely_from_frac=0.6, untold_credit=0.7)
    assert practice.wind.calm_to_mps == pytest.approx(3.57632)
    assert practice.wind.none_from_mps == pytest.approx(6.7056)
    assert practice.wind.swing_deg == 60.0
    assert practice.flight.cost == 0.4
    assert practice.day == DayPractice(min_run_h=2.0, good_from=0.75, workable_from=0.45)
    assert practice.age.silent_to_h == 12.0
    assert practice.age.demote_after_h == 24.0
    assert practice.age.unusable_after_h == 48.0
    assert practice.age.future_to_h == pytest.approx(1 / 6)


@pytest.mark.parametrize("section", SECTIONS)
def test_every_threshold_has_default_unit_source_and_grade(section: Any) -> None:
    told = list(provenance_of(section))
    assert len(told) == len(fields(section))
    for name, key, provenance in told:
        assert getattr(section(), name) == quantity(provenance.default, provenance.kind)
        assert provenance.kind in {*KINDS, "number"}
        assert provenance.grade in GRADES
        assert provenance.source
        assert provenance.says
        assert name.startswith(key)


@pytest.mark.parametrize("section", SECTIONS)
def test_no_two_thresholds_of_a_section_share_a_key(section: Any) -> None:
    keys = [key for _, key, _ in provenance_of(section)]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("best_low_c", "best_low"),
        ("full_over_dc", "full_over"),
        ("wet_from_mm", "wet_from"),
        ("none_from_mps", "none_from"),
        ("full_sun_wm2", "full_sun"),
        ("min_run_h", "min_run"),
        ("swing_deg", "swing"),
        ("cost", "cost"),
    ],
)
def test_a_key_is_a_name_without_its_unit(name: str, key: str) -> None:
    assert key_of(name) == key


def test_the_unit_inside_is_told_beside_a_threshold() -> None:
    units = {name: provenance.unit for name, _, provenance in provenance_of(WindPractice)}
    assert units == {"calm_to_mps": "m/s", "none_from_mps": "m/s", "swing_deg": "deg"}


def test_a_grade_that_does_not_exist_is_refused() -> None:
    with pytest.raises(ValueError, match="'hearsay' is not a grade"):
        threshold("1 h", "duration", says="x", source="y", grade="hearsay")


@pytest.mark.parametrize(
    ("section", "changes", "sentence"),
    [
        (TemperaturePractice, {"none_low_c": 1.7}, "none_low must be colder than edge_low"),
        (TemperaturePractice, {"edge_low_c": 4.5}, "edge_low must be colder than best_low"),
        (TemperaturePractice, {"best_low_c": 7.8}, "best_low must be colder than best_high"),
        (TemperaturePractice, {"best_high_c": 10.6}, "best_high must be colder than edge_high"),
        (TemperaturePractice, {"edge_high_c": 12.8}, "edge_high must be colder than none_high"),
        (TemperaturePractice, {"best_low_c": NAN}, "edge_low must be colder than best_low"),
        (TemperaturePractice, {"edge_credit": 1.01}, "edge_credit must be from 0 to 1"),
        (TemperaturePractice, {"edge_credit": -0.01}, "edge_credit must be from 0 to 1"),
        (RainPractice, {"wet_from_mm": 0.0}, "wet_from must be more than 0 mm"),
        (RainPractice, {"wet_from_mm": NAN}, "wet_from must be more than 0 mm"),
        (RainPractice, {"likely_from_frac": 60.0}, "likely_from must be from 0 to 1"),
        (RainPractice, {"untold_credit": 1.1}, "untold_credit must be from 0 to 1"),
        (WindPractice, {"calm_to_mps": 6.8}, "calm_to must be at least 0 and less than none_from"),
        (WindPractice, {"calm_to_mps": -0.1}, "calm_to must be at least 0"),
        (WindPractice, {"swing_deg": 0.0}, "swing must be more than 0 deg and at most 180 deg"),
        (WindPractice, {"swing_deg": 180.1}, "swing must be more than 0 deg and at most 180 deg"),
        (FlightPractice, {"cost": 1.0}, "cost must be less than 1"),
        (FlightPractice, {"cost": -0.1}, "cost must be from 0 to 1"),
        (FlightPractice, {"dark_factor": 1.1}, "dark_factor must be from 0 to 1"),
        (FlightPractice, {"overcast_factor": NAN}, "overcast_factor must be from 0 to 1"),
        (FlightPractice, {"cloud_from_frac": 1.0}, "cloud_from must be less than 100 %"),
        (FlightPractice, {"full_over_dc": 0.0}, "full_over must be more than 0"),
        (FlightPractice, {"full_sun_wm2": NAN}, "full_sun must be more than 0"),
        (FlightPractice, {"none_from_mps": 0.0}, "none_from must be more than 0"),
        (FlightPractice, {"wind_over_mps": -1.0}, "wind_over must be more than 0"),
        (DayPractice, {"min_run_h": 2.5}, "min_run must be a whole number of hours from 1 to 12"),
        (DayPractice, {"min_run_h": 0.0}, "min_run must be a whole number of hours from 1 to 12"),
        (DayPractice, {"min_run_h": 13.0}, "min_run must be a whole number of hours from 1 to 12"),
        (DayPractice, {"workable_from": 0.75}, "workable_from must be more than 0 and less than"),
        (DayPractice, {"workable_from": 0.0}, "workable_from must be more than 0 and less than"),
        (DayPractice, {"good_from": 1.01}, "less than good_from, at most 1"),
        (AgePractice, {"silent_to_h": 0.0}, "must rise in this order"),
        (CautionPractice, {"still_to_mps": -0.1}, "must not be negative"),
        (CautionPractice, {"still_to_mps": float("nan")}, "must not be negative"),
        (CautionPractice, {"hives_measured": 20.5}, "whole number"),
        (CautionPractice, {"hives_measured": -1.0}, "whole number"),
        (AgePractice, {"silent_to_h": 24.1}, "must rise in this order"),
        (AgePractice, {"demote_after_h": 48.1}, "must rise in this order"),
        (AgePractice, {"stale_after_h": 48.1}, "must not be longer than unusable_after"),
        (AgePractice, {"stale_after_h": 0.0}, "must not be longer than unusable_after"),
        (AgePractice, {"future_to_h": -0.1}, "future_to must not be negative"),
        (AgePractice, {"future_to_h": NAN}, "future_to must not be negative"),
    ],
)
def test_thresholds_out_of_order_are_refused(
    section: Any, changes: dict[str, float], sentence: str
) -> None:
    with pytest.raises(ValueError, match=sentence):
        section(**changes)


@pytest.mark.parametrize(
    ("section", "changes"),
    [
        (TemperaturePractice, {"best_low_c": 6.0, "best_high_c": 6.0}),
        (RainPractice, {"likely_from_frac": 1.0, "untold_credit": 0.0}),
        (WindPractice, {"calm_to_mps": 0.0, "swing_deg": 180.0}),
        (FlightPractice, {"cost": 0.0, "cloud_from_frac": 0.0}),
        (DayPractice, {"min_run_h": 1.0, "good_from": 1.0}),
        (DayPractice, {"min_run_h": 12.0}),
        (
            AgePractice,
            {
                "silent_to_h": 24.0,
                "demote_after_h": 24.0,
                "stale_after_h": 24.0,
                "unusable_after_h": 24.0,
            },
        ),
        (AgePractice, {"future_to_h": 0.0}),
    ],
)
def test_the_last_values_that_are_allowed(section: Any, changes: dict[str, float]) -> None:
    built = section(**changes)
    assert {name: getattr(built, name) for name in changes} == changes
