import pytest

from windowcast.terms.practice import Practice, WindPractice
from windowcast.terms.threshold import GRADES, provenance_of
from windowcast.wording.scale import SI, US
from windowcast.wording.thresholds import amount, thresholds


@pytest.mark.parametrize(
    ("value", "kind", "us", "si"),
    [
        (1.6666666666666667, "temperature", "35 °F", "1.667 °C"),
        (6.0, "temperature difference", "10.8 °F", "6 °C"),
        (3.57632, "speed", "8 mph", "12.875 km/h"),
        (2.54, "depth", "0.1 in", "2.54 mm"),
        (0.6, "fraction", "60 %", "60 %"),
        (2.0, "duration", "2 h", "2 h"),
        (60.0, "angle", "60 deg", "60 deg"),
        (300.0, "irradiance", "300 W/m2", "300 W/m2"),
        (0.75, "number", "0.75", "0.75"),
    ],
)
def test_a_threshold_reads_in_the_outfits_unit(value, kind, us, si):
    assert amount(value, kind, US) == us
    assert amount(value, kind, SI) == si


def test_every_threshold_of_a_section_has_grade_and_source():
    told = thresholds(Practice(), ("wind",), US)
    assert [item.key for item in told] == [
        f"wind.{key}" for _, key, _ in provenance_of(WindPractice)
    ]
    assert all(item.grade in GRADES and item.source and item.says for item in told)
    assert [item.default for item in told] == [None] * 3


def test_a_threshold_that_the_outfit_changed_shows_both():
    own = Practice(wind=WindPractice(calm_to_mps=2.2352))
    calm = thresholds(own, ("wind",), US)[0]
    assert (calm.value, calm.default) == ("5 mph", "8 mph")
