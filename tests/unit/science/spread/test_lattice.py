"""The lattice of normals: even, independent where it must be, shared where it should be."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import kstest

from windowcast.science.distance import distance_km
from windowcast.science.spread.lattice import (
    CELLS,
    RAIN,
    TEMPERATURE,
    cell_places,
    cells_round,
    hashed_uniforms,
    normal_field,
    solar_days,
)
from windowcast.times import hour_index

DAY = 20_800
MEMBERS = 4000
FOUR_ERRORS = 4.0 / np.sqrt(MEMBERS)


def drawn(lat_deg, lon_deg, days=(DAY,), members=MEMBERS, stream=TEMPERATURE):
    lat = np.atleast_1d(np.asarray(lat_deg, float))
    day = np.broadcast_to(np.asarray(days), (lat.size, len(days)))
    return normal_field(lat, np.atleast_1d(lon_deg), day, members, stream)


def east_of(lat_deg, lon_deg, km):
    """A place so many km to the east, or to the west at less than 0."""
    chord = np.sin(km / 2.0 / 6371.0) / np.cos(np.deg2rad(lat_deg))
    return lon_deg + np.rad2deg(2.0 * np.arcsin(chord))


def correlation(one, other):
    return float(np.corrcoef(one.ravel(), other.ravel())[0, 1])


def test_uniforms_of_neighbouring_keys_are_even_and_independent():
    grid = hashed_uniforms(0, np.arange(200)[:, np.newaxis], np.arange(500))
    assert kstest(grid.ravel(), "uniform").pvalue > 0.001
    for one, other in ((grid[1:], grid[:-1]), (grid[:, 1:], grid[:, :-1])):
        assert abs(correlation(one, other)) < 4.0 / np.sqrt(one.size)


def test_keys_in_another_order_are_another_number():
    assert hashed_uniforms(1, 2) != hashed_uniforms(2, 1)
    assert hashed_uniforms(-1, 2) != hashed_uniforms(1, 2)


def test_uniforms_are_the_same_on_every_machine():
    """Computed with Python's whole numbers from the published mixing function."""

    def mixed(word):
        word = (word + 0x9E3779B97F4A7C15) % 2**64
        for shift, factor in ((30, 0xBF58476D1CE4E5B9), (27, 0x94D049BB133111EB)):
            word = (word ^ (word >> shift)) * factor % 2**64
        return word ^ (word >> 31)

    state = mixed(mixed(mixed(7)) ^ mixed(2**64 - 3))
    assert hashed_uniforms(7, -3)[0] == ((state >> 12) + 0.5) / 2**52


def test_the_mixing_function_is_the_published_one():
    """First output of SplitMix64 from the seed 0, as its authors' and other programs print it."""
    state = 0xE220A8397B1DCDAF
    second = (state + 0x9E3779B97F4A7C15) % 2**64
    for shift, factor in ((30, 0xBF58476D1CE4E5B9), (27, 0x94D049BB133111EB)):
        second = (second ^ (second >> shift)) * factor % 2**64
    assert hashed_uniforms(0)[0] == (((second ^ (second >> 31)) >> 12) + 0.5) / 2**52


def test_cells_stand_for_equal_areas_everywhere():
    lat, lon = cell_places()
    assert lat.size == CELLS
    assert np.sum(lat > 30.0) == CELLS // 4
    assert ((lon >= -180.0) & (lon < 180.0)).all()


@pytest.mark.parametrize("place", [(44.0, -112.0), (0.0, 180.0), (90.0, 0.0), (-89.9, 17.0)])
def test_normals_have_mean_0_and_variance_1_everywhere(place):
    normals = drawn(*place)
    assert abs(normals.mean()) < FOUR_ERRORS
    assert normals.var() == pytest.approx(1.0, abs=FOUR_ERRORS * np.sqrt(2.0))


@pytest.mark.parametrize("lat", [-70.0, 0.0, 31.0, 48.0])
@pytest.mark.parametrize("lon", [-179.95, -112.0, 179.95])
def test_near_yards_share_their_weather_and_far_ones_do_not(lat, lon):
    here = drawn(lat, lon)
    near, far = east_of(lat, lon, 10.0), east_of(lat, lon, 500.0)
    assert distance_km(lat, lon, lat, far) == pytest.approx(500.0, abs=0.5)
    day = DAY - 1 if near > 180.0 else DAY
    assert correlation(here, drawn(lat, near, [day])) > 0.999
    day = DAY - 1 if far > 180.0 else DAY
    assert correlation(here, drawn(lat, far, [day])) == pytest.approx(0.36, abs=0.08)


def test_no_yard_has_to_be_in_view_of_another():
    lat, lon = np.array([44.0, 12.0, 89.0]), np.array([-112.0, 179.9, 3.0])
    days = np.array([[DAY, DAY + 1], [DAY + 1, DAY + 2], [DAY - 40, DAY - 39]])
    block = normal_field(lat, lon, days, 20, TEMPERATURE)
    for row in range(3):
        alone = normal_field(lat[[row]], lon[[row]], days[[row]], 20, TEMPERATURE)
        assert alone.tobytes() == block[[row]].tobytes()


def test_days_members_and_streams_are_independent():
    normals = drawn(44.0, -112.0, [DAY, DAY + 1])[0]
    other = drawn(44.0, -112.0, stream=RAIN)[0, :, 0]
    for one, two in (
        (normals[:, 0], normals[:, 1]), (normals[1:, 0], normals[:-1, 0]), (normals[:, 0], other),
    ):  # fmt: skip
        assert abs(correlation(one, two)) < FOUR_ERRORS


def test_more_members_leave_the_first_as_they_were():
    assert drawn(44.0, -112.0, members=5).tobytes() == drawn(44.0, -112.0)[:, :5].tobytes()


def test_beyond_180_degrees_the_date_differs_and_the_weather_does_not():
    west, east = drawn(52.0, -179.99, [DAY]), drawn(52.0, 179.99, [DAY, DAY + 1])
    assert correlation(west[..., 0], east[..., 1]) > 0.999
    assert abs(correlation(west[..., 0], east[..., 0])) < FOUR_ERRORS


def test_180_east_is_180_west():
    assert drawn(52.0, 180.0).tobytes() == drawn(52.0, -180.0).tobytes()


def test_across_the_pole_days_overlap_by_half_and_so_do_their_draws():
    here, beyond = drawn(89.99, 0.0), drawn(89.99, -180.0, [DAY - 1, DAY])
    shared = [correlation(here[..., 0], beyond[..., day]) for day in (0, 1)]
    assert min(shared) > 0.35
    assert sum(shared) == pytest.approx(1.0, abs=0.1)


def test_no_yard_and_no_day_give_nothing():
    assert normal_field([], [], np.empty((0, 3), np.int64), 4, TEMPERATURE).shape == (0, 4, 3)
    assert normal_field([44.0], [-112.0], np.empty((1, 0), np.int64), 4, RAIN).shape == (1, 4, 0)


def test_weights_are_scaled_to_variance_1_over_cells_in_rising_order():
    cell, weight, days_on = cells_round([44.0, -3.0], [-112.0, 20.0])
    assert (weight**2).sum(axis=1) == pytest.approx([1.0, 1.0])
    assert all((np.diff(row[w > 0.0]) > 0).all() for row, w in zip(cell, weight, strict=True))
    assert not days_on.any()


def test_the_solar_day_turns_at_solar_midnight():
    hours = hour_index(np.datetime64("2027-01-12T06"), 3)
    day, clock_h = solar_days(hours, [-105.0])
    assert day[0].astype("datetime64[D]").tolist() == [
        np.datetime64(f"2027-01-{n}").astype(object) for n in (11, 12, 12)
    ]
    assert clock_h[0].tolist() == [23.5, 0.5, 1.5]
