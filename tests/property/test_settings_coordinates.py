"""What must hold for every coordinate, however it is written."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.outcomes import value_or_refusal

from windowcast.settings.coordinates import decimal, latitude, longitude

seconds = st.integers(0, 90 * 3600 * 1000)  # of latitude, in thousandths
letters = st.sampled_from(["before", "after", "sign"])
marks = st.sampled_from(
    [("°", "'", '"'), (" ", " ", ""), (":", ":", ""), ("° ", "′ ", "″"), ("º", "’", "''")]
)


def signed(body: str, negative: bool, letter: str, pair: str) -> str:
    if letter == "sign":
        return f"-{body}" if negative else body
    name = pair[1] if negative else pair[0]
    return f"{name} {body}" if letter == "before" else f"{body}{name.lower()}"


@given(thousandths=seconds, negative=st.booleans(), letter=letters, mark=marks)
def test_degrees_minutes_and_seconds_are_read_as_they_were_meant(
    thousandths: int, negative: bool, letter: str, mark: tuple[str, str, str]
) -> None:
    degrees, rest = divmod(thousandths, 3600_000)
    minutes, milli = divmod(rest, 60_000)
    body = f"{degrees}{mark[0]}{minutes:02}{mark[1]}{milli / 1000:.3f}{mark[2]}"
    meant = thousandths / 3600_000 * (-1 if negative else 1)
    assert latitude(signed(body, negative, letter, "NS")) == pytest.approx(meant, abs=1e-10)


@given(ten_thousandths=st.integers(0, 180 * 60 * 10_000), negative=st.booleans(), letter=letters)
def test_degrees_and_minutes_are_read_as_they_were_meant(
    ten_thousandths: int, negative: bool, letter: str
) -> None:
    degrees, rest = divmod(ten_thousandths, 600_000)
    body = f"{degrees} {rest / 10_000:07.4f}"
    meant = ten_thousandths / 600_000 * (-1 if negative else 1)
    assert longitude(signed(body, negative, letter, "EW")) == pytest.approx(meant, abs=1e-10)


@given(micro=st.integers(-180_000_000, 180_000_000))
def test_decimal_degrees_return_to_the_microdegree(micro: int) -> None:
    assert decimal(longitude(decimal(micro / 1e6))) == decimal(micro / 1e6)
    assert longitude(decimal(micro / 1e6)) == pytest.approx(micro / 1e6, abs=1e-12)


@given(text=st.text() | st.text("0123456789 .,:°'\"NSEW+-−", max_size=45))
def test_any_text_is_a_coordinate_in_range_or_one_sentence(text: str) -> None:
    for read, most in ((latitude, 90), (longitude, 180)):
        value, refusal = value_or_refusal(read, text)
        assert value is not None or refusal is not None
        assert value is None or -most <= value <= most
        assert refusal is None or ("; " in refusal and "\n" not in refusal)


@given(text=st.text("0123456789 .:°'\"NSEW+-", max_size=20))
def test_no_text_is_both_a_latitude_and_a_longitude_by_its_letter(text: str) -> None:
    if any(letter in text for letter in "NSEW"):
        readings = [value_or_refusal(read, text)[0] for read in (latitude, longitude)]
        assert None in readings
