"""What must always hold of members, whatever the forecast, the place and the block."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from support.spreads import CLIMATE, NAMES, NOW, PRACTICE, winters

from windowcast.science.spread.climate import climate_of_days
from windowcast.science.spread.frame import Places, frame_of
from windowcast.science.spread.lattice import TEMPERATURE, normal_field
from windowcast.science.spread.lead import run_chance
from windowcast.science.spread.members import Believed, spread_members
from windowcast.terms.lead import CONTINENTAL_ERRORS, MARITIME_ERRORS
from windowcast.times import hour_index

STATION = climate_of_days(winters(), PRACTICE)
LAT = st.floats(-90.0, 90.0)
LON = st.floats(-180.0, 180.0)


@st.composite
def blocks(draw):
    """A block of yards with some weather, holes in it, and climates and errors of either kind."""
    yards, hours = draw(st.integers(1, 5)), draw(st.integers(1, 90))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    where = Places(
        lat_deg=np.array(draw(st.lists(LAT, min_size=yards, max_size=yards))),
        lon_deg=np.array(draw(st.lists(LON, min_size=yards, max_size=yards))),
        issued=NOW - rng.integers(0, 40, yards),
    )
    shape = (yards, 1, hours)
    temp = rng.normal(5.0, 8.0, shape)
    weather = {
        "temp_c": temp, "dewpoint_c": temp - 2.0,
        "rain_mm": np.maximum(rng.normal(-1.0, 2.0, shape), 0.0),
        "rain_prob_frac": np.round(rng.random(shape), 1),
    }  # fmt: skip
    for name in NAMES:
        lost = rng.random(shape) < 0.1
        lost |= np.arange(hours) >= rng.integers(0, hours + 1, (yards, 1, 1))
        weather[name] = np.where(lost, np.nan, weather[name]).astype(np.float32)
    choice = rng.integers(0, 2, yards)
    known = Believed(
        climates=[(CLIMATE, STATION)[n] for n in choice],
        errors=[(CONTINENTAL_ERRORS, MARITIME_ERRORS)[n] for n in choice],
    )
    now = NOW + draw(st.integers(-5, 20))
    return weather, where, hour_index(NOW, hours), now, known


def members_of(block, rows=None, count=11):
    weather, where, hours, now, known = block
    rows = list(range(where.lat_deg.size)) if rows is None else rows
    part = Places(
        lat_deg=where.lat_deg[rows], lon_deg=where.lon_deg[rows], issued=where.issued[rows]
    )
    some = Believed(
        climates=[known.climates[n] for n in rows], errors=[known.errors[n] for n in rows]
    )
    on = frame_of(part, hours, now, PRACTICE)
    return spread_members({k: v[rows] for k, v in weather.items()}, on, some, count, PRACTICE)


@settings(max_examples=60, deadline=None)
@given(blocks())
def test_a_yard_alone_equals_the_yard_in_a_block_bit_for_bit(block):
    together = members_of(block)
    for row in range(block[1].lat_deg.size):
        alone = members_of(block, [row])
        assert all(alone[n].tobytes() == together[n][[row]].tobytes() for n in NAMES)


@settings(max_examples=40, deadline=None)
@given(blocks())
def test_the_same_input_gives_the_same_bytes(block):
    one, two = members_of(block), members_of(block)
    assert all(one[name].tobytes() == two[name].tobytes() for name in NAMES)


@settings(max_examples=60, deadline=None)
@given(blocks())
def test_the_past_is_told_alike_and_the_future_within_reason(block):
    weather, _, hours, now, _ = block
    made = members_of(block)
    for name in NAMES:
        told = np.broadcast_to(weather[name], made[name].shape)[..., hours < now]
        assert np.array_equal(made[name][..., hours < now], told, equal_nan=True)
    future = {name: made[name][..., hours >= now] for name in NAMES}
    assert not (future["rain_mm"] < 0.0).any()
    assert np.isin(future["rain_prob_frac"][~np.isnan(future["rain_prob_frac"])], (0, 1)).all()
    assert (np.nan_to_num(np.abs(future["temp_c"])) < 90.0).all()
    wet = future["rain_prob_frac"] == 1.0
    assert ((future["rain_mm"] > 0.0) == wet).all()


@settings(max_examples=60, deadline=None)
@given(blocks())
def test_told_rain_keeps_its_mean_in_every_hour(block):
    weather, _, hours, now, _ = block
    rain, told = members_of(block)["rain_mm"], weather["rain_mm"][:, 0]
    some = (np.nan_to_num(told) > 0.0) & (hours >= now)
    mean = rain.mean(axis=1, dtype=float)
    assert np.allclose(mean[some], told[some], rtol=1e-4)


@settings(max_examples=60, deadline=None)
@given(blocks())
def test_a_gap_inside_the_forecast_is_never_filled(block):
    weather, _, hours, _, _ = block
    told = np.isfinite(weather["temp_c"][:, 0])
    last = np.where(told.any(axis=1), hours.size - 1 - np.argmax(told[:, ::-1], axis=1), -1)
    inside = np.arange(hours.size) <= last[:, np.newaxis]
    made = np.isfinite(members_of(block)["temp_c"])
    assert (made == (told | ~inside)[:, np.newaxis])[..., hours >= block[3]].all()


@settings(max_examples=60, deadline=None)
@given(LAT, LON, st.integers(-50_000, 50_000))
def test_normals_are_finite_anywhere_on_any_day(lat, lon, day):
    normals = normal_field([lat], [lon], np.array([[day, day + 1]]), 3, TEMPERATURE)
    assert np.isfinite(normals).all()
    assert (np.abs(normals) < 40.0).all()


@given(st.lists(st.floats(0.0, 1.0), max_size=12), st.integers(1, 6))
def test_longer_runs_are_rarer_and_more_days_give_more_chances(chances, days):
    whole = run_chance(chances, days)
    assert -1e-12 <= whole <= 1.0 + 1e-12
    assert run_chance(chances, days + 1) <= whole + 1e-12
    assert run_chance(chances[:-1], days) <= whole + 1e-12
