"""At which local times the morning runs by itself."""

from __future__ import annotations

from datetime import time
from pathlib import Path

import pytest
from support.configs import OUTFIT, document, told

from windowcast.settings.outfit import outfit_of

HERE = Path("here").absolute()
ZONED = 'zone = "America/Boise"\n' + OUTFIT


def read(run_at: str, outfit: str = ZONED) -> list[str]:
    return told(lambda: outfit_of(document(f"run_at = {run_at}\n{outfit}"), HERE))


def times(run_at: str, outfit: str = ZONED) -> tuple[time, ...]:
    return outfit_of(document(f"run_at = {run_at}\n{outfit}"), HERE).run_at


def test_times_are_sorted() -> None:
    assert times('["12:30", "6:00", 05:15:00]') == (time(5, 15), time(6), time(12, 30))


def test_without_a_time_nothing_is_due_and_no_zone_is_needed() -> None:
    assert times("[]", OUTFIT) == ()
    assert outfit_of(document(OUTFIT), HERE).run_at == ()


def test_times_need_the_clock_of_a_zone() -> None:
    assert read('["06:00"]', OUTFIT) == [
        'outfit.toml: zone: is missing; write zone = "America/Boise" with yours;'
        " run_at is read on its clock"
    ]


def test_a_zone_that_is_faulty_is_not_missing_too() -> None:
    (sentence,) = read('["06:00"]', 'zone = "Boise"\n' + OUTFIT)
    assert "is not a time zone" in sentence
    (sentence,) = read('["06:00"]', "zone =\n" + OUTFIT)
    assert sentence.startswith("outfit.toml:2: zone: has no value")


@pytest.mark.parametrize("at", ["00:00", "02:59", "23:01", "23:59"])
def test_the_hours_in_which_clocks_change_are_refused_with_the_reason(at: str) -> None:
    (sentence,) = read(f'["06:00", "{at}"]')
    assert f'outfit.toml:1: run_at[2]: "{at}" lies in the night' in sentence
    assert "a change of the clocks skips or repeats an hour" in sentence
    assert sentence.endswith('; write one from "03:00" to "23:00"')


@pytest.mark.parametrize("at", ["03:00", "23:00"])
def test_the_bounds_of_the_night_are_allowed(at: str) -> None:
    assert times(f'["{at}"]') == (time.fromisoformat(at),)


@pytest.mark.parametrize("twice", ['["06:00", "06:00"]', '["06:00", "07:00", 06:00:00]'])
def test_a_time_stands_at_most_once(twice: str) -> None:
    (sentence,) = read(twice)
    assert '"06:00" stands twice; keep one' in sentence


def test_a_night_time_that_stands_twice_is_told_once_each() -> None:
    assert len(read('["01:00", "01:00"]')) == 2


def test_up_to_eight_times_are_taken() -> None:
    eight = [f"{hour:02}:00" for hour in range(6, 14)]
    assert len(times(str(eight))) == 8
    (sentence,) = read(str([*eight, "14:00"]))
    assert 'run_at: a list has more than 8 entries; write run_at = ["06:00"]' in sentence


@pytest.mark.parametrize(
    ("run_at", "told_of"),
    [
        ('"06:00"', 'run_at: "06:00" is not a list; write run_at = ["06:00"]'),
        ("[6:30]", 'run_at: lacks quotes round text; write run_at = ["6:30"]'),
        ("[06:30, 12:00] # two", 'write run_at = ["06:30", "12:00"]'),
        ("[6]", "run_at[1]: 6 is not a time of day"),
        ('["6 am"]', '"6 am" is not a time of day'),
        ('["24:00"]', '"24:00" is not a time of day'),
        ("[2026-11-03]", "2026-11-03 is not a time of day"),
        ("[[]]", "a list is not a time of day"),
        ("{}", "a table is not a list"),
        ("true", "true is not a list"),
    ],
)
def test_what_is_no_list_of_times_is_one_fault(run_at: str, told_of: str) -> None:
    (sentence,) = read(run_at)
    assert told_of in sentence
    assert sentence.startswith("outfit.toml:1: ")
