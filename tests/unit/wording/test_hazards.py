import numpy as np
import pytest

from windowcast.terms.outlook import Hazard
from windowcast.wording.hazards import hazard_words


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
