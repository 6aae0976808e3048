import numpy as np
import pytest

from windowcast.terms.outlook import Hazard
from windowcast.wording.hazards import danger, hazard_words


@pytest.mark.parametrize(
    ("phenomenon", "significance", "words"),
    [
        ("HW", "W", "high wind warning"),
        ("WW", "Y", "winter weather advisory"),
        ("WS", "A", "winter storm watch"),
        ("QQ", "W", "hazard QQ warning"),
        ("HW", "Z", "high wind Z"),
        ("HW", "", "high wind"),
        ("\x1b[31mVERY-LONG", "W", "hazard [31mVER… warning"),
    ],
)
def test_an_official_hazard_reads_as_services_call_it(phenomenon, significance, words):
    hazard = Hazard(
        phenomenon=phenomenon,
        significance=significance,
        first=np.datetime64("2027-01-12T15", "h"),
        count=3,
    )
    assert hazard_words(hazard) == words


def test_warnings_come_by_danger_then_watches_advisories_statements_and_the_rest():
    ordered = ["TOW", "SVW", "EWW", "HWW", "BZW", "ISW", "WSW", "FFW", "FAW", "QQW", "TOA",
               "WSA", "TOY", "FLS", "QQS", "TOO"]  # fmt: skip
    first = np.datetime64("2027-01-12T15", "h")
    hazards = [
        Hazard(phenomenon=code[:2], significance=code[2:], first=first, count=1) for code in ordered
    ]
    assert sorted(reversed(hazards), key=danger) == hazards
