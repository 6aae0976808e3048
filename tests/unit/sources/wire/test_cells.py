import pytest
from support.nws_payloads import polygon

from windowcast.sources.wire.cells import km_outside


def ring(lat: float, lon: float) -> list[tuple[float, float]]:
    return [(x, y) for x, y in polygon(lat, lon)["coordinates"][0]]


@pytest.mark.parametrize(
    ("lat", "lon"), [(43.61, -116.2), (43.6205, -116.2), (43.61, -116.2150), (43.6, -116.186)]
)
def test_a_place_inside_its_cell_lies_0_km_outside(lat: float, lon: float) -> None:
    assert km_outside(ring(43.61, -116.2), lat, lon) == 0.0


@pytest.mark.parametrize(
    ("lat", "lon", "km"),
    [
        # a degree of latitude is 111.195 km on this sphere; the cell reaches 1.25 km each way
        (43.61 + 4.25 / 111.195, -116.2, 3.0),
        (43.61 - 4.25 / 111.195, -116.2, 3.0),
        (43.61, -116.2 + 4.25 / 80.51, 3.0),
        (44.61, -116.2, 109.9),
        (43.61 + 4.25 / 111.195, -116.2 + 5.25 / 80.51, 5.0),  # 3 km north and 4 km east
    ],
)
def test_a_place_outside_is_as_far_as_the_nearest_edge(lat: float, lon: float, km: float) -> None:
    assert km_outside(ring(43.61, -116.2), lat, lon) == pytest.approx(km, abs=0.05)


def test_a_cell_across_the_date_line_holds_its_places() -> None:
    across = [(179.99, 52.0), (179.99, 51.98), (-179.99, 51.98), (-179.99, 52.0), (179.99, 52.0)]
    assert km_outside(across, 51.99, 179.999) == 0.0
    assert km_outside(across, 51.99, -179.999) == 0.0


def test_a_polygon_that_is_one_point_is_as_far_as_that_point() -> None:
    assert km_outside([(-116.2, 43.61)] * 4, 43.62, -116.2) == pytest.approx(1.112, abs=0.001)
