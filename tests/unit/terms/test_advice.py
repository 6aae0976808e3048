"""The words that a notice speaks in."""

from __future__ import annotations

from windowcast.terms import advice


def test_verdicts_and_codes_are_the_ones_in_the_printed_document() -> None:
    assert advice.VERDICTS == ("good", "workable", "poor", "blind")
    assert (advice.GOOD, advice.WORKABLE, advice.POOR, advice.BLIND) == advice.VERDICTS
    assert advice.PART_CODES == ("temperature", "rain", "wind", "light", "flight")
    assert advice.CAPS == ("thunder", "warning", "rain_untold")


def test_a_part_is_compared_by_value() -> None:
    part = advice.Part(code=advice.WIND, value=3.0, unit="m/s", credit=1.0)
    assert part == advice.Part(code="wind", value=3.0, unit="m/s", credit=1.0)
    assert part != advice.Part(code="wind", value=3.0, unit="m/s", credit=0.9)
