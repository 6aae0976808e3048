import pytest

from windowcast.sources.wire.units import TO_SI, bare, conversion, known, plausible


@pytest.mark.parametrize(
    ("code", "kind", "written", "inside"),
    [
        # anchors: 35 F = 1.67 °C (house); 0 K = -273.15 °C; NIST SP 811 for the others
        ("wmoUnit:degC", "temperature", 1.67, 1.67),
        ("wmoUnit:degF", "temperature", 35.0, 5 / 3),
        ("wmoUnit:K", "temperature", 273.15, 0.0),
        ("uc:[degF]", "temperature", 212.0, 100.0),
        ("wmoUnit:km_h-1", "speed", 36.0, 10.0),
        ("unit:m_s-1", "speed", 3.1, 3.1),
        ("wmoUnit:kt", "speed", 1.0, 0.514444),
        ("[mi_i]/h", "speed", 1.0, 0.44704),
        ("wmoUnit:mm", "depth", 2.0, 2.0),
        ("unit:m", "depth", 0.00127, 1.27),
        ("cm", "depth", 1.0, 10.0),
        ("wmoUnit:in", "depth", 1.0, 25.4),
        ("wmoUnit:kg_m-2", "depth", 1.0, 1.0),
        ("wmoUnit:percent", "share", 35.0, 0.35),
        ("%", "share", 100.0, 1.0),
        ("wmoUnit:degree_(angle)", "angle", 290.0, 290.0),
        ("http://codes.wmo.int/common/unit/m", "height", 823.0, 823.0),
        ("wmoUnit:ft", "height", 1000.0, 304.8),
        ("wmoUnit:km", "height", 0.8, 800.0),
    ],
)
def test_a_unit_is_converted(code: str, kind: str, written: float, inside: float) -> None:
    convert = conversion(code, kind)
    assert convert is not None
    assert convert(written) == pytest.approx(inside, abs=1e-6)


@pytest.mark.parametrize(
    ("code", "kind"),
    [
        ("wmoUnit:hPa", "temperature"),
        ("wmoUnit:percent", "temperature"),
        ("wmoUnit:degC", "speed"),
        ("wmoUnit:km_h-1", "depth"),
        ("", "depth"),
        ("wmoUnit:", "share"),
        ("DEGC", "temperature"),
    ],
)
def test_a_unit_of_another_kind_has_no_conversion(code: str, kind: str) -> None:
    assert conversion(code, kind) is None


def test_a_namespace_is_taken_off_once() -> None:
    assert bare("wmoUnit:degC") == "degC"
    assert bare("unit:unit:m") == "unit:m"


def test_a_sentence_can_list_the_units_of_every_kind() -> None:
    assert {kind: known(kind).split(", ")[0] for kind in TO_SI} == {
        "temperature": "degC", "speed": "km_h-1", "depth": "mm", "share": "percent",
        "angle": "degree_(angle)", "height": "m",
    }  # fmt: skip


def test_a_sentence_can_say_what_an_hour_can_hold() -> None:
    assert plausible("temp_c", "temperature") == "-60 to 55 °C"
    assert plausible("rain_prob_frac", "share") == "0 to 100 %"
    assert plausible("wind_from_deg", "angle") == "0 to 360°"
