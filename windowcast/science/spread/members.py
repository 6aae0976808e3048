"""Members of a block of yards: the forecast dressed, and the climate after it, to any horizon."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from windowcast.science.spread.continuation import (
    beyond_reach,
    extended_temp,
    handed_over,
    handover_share,
    past_draws,
    past_share,
    tilt_normals,
)
from windowcast.science.spread.dressing import (
    dressed_temp,
    lattice_draws,
    rho_of,
)
from windowcast.science.spread.frame import Frame
from windowcast.science.spread.rain import dressed_rain, generated_rain, rain_chance
from windowcast.science.spread.usual import ClimateAt, climate_at
from windowcast.terms.climate import Climate
from windowcast.terms.lead import LeadErrors, OutlookTilt
from windowcast.terms.outlook import Bools, Floats
from windowcast.terms.spread import SpreadPractice


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Believed:
    """What is known beside the forecast of each yard: its climate, the forecast's errors, outlooks.

    ``climates`` and ``errors`` hold one for each yard, ``tilts`` are for all of them.
    """

    climates: Sequence[Climate]
    errors: Sequence[LeadErrors]
    tilts: Sequence[OutlookTilt] = ()


def spread_members(
    weather: Mapping[str, Floats],
    frame: Frame,
    believed: Believed,
    members: int,
    practice: SpreadPractice,
) -> dict[str, Floats]:
    """Members of temperature, dew point and rain for a block of yards.

    Parameters
    ----------
    weather
        ``temp_c``, ``dewpoint_c``, ``rain_mm`` and ``rain_prob_frac`` of one forecast for each
        yard, shape (yard, 1, hour), NaN where not told; to go on to day 60, hours without a
        forecast stand at the end.
    frame
        Where the hours lie, from ``frame_of``.
    believed
        Climate, errors and outlooks.
    members
        How many members, at least 1.
    practice
        Coefficients.

    Returns
    -------
    dict
        The same names, float32, shape (yard, member, hour). Hours before ``now`` are as given, in
        every member. ``rain_prob_frac`` is then 1 in a member in which it rains and 0 in which it
        does not. After the last told temperature, temperature and rain are of the climate and the
        dew point is not told.

    Raises
    ------
    ValueError
        If shapes do not fit, or there is no member or no hour.

    Notes
    -----
    Rule of this project: see ``dressing`` and ``continuation``. The dew point moves with the
    temperature, so that humidity stays. Other arrays are left to the forecast.
    """
    _demand(weather, frame, believed, members)
    usual = climate_at(believed.climates, frame)
    beyond = beyond_reach(weather["temp_c"])
    warmth, wetness = _draws(frame, usual, beyond, believed, members, practice)
    rho = rho_of(frame, usual, believed.errors, practice)
    tilt = tilt_normals(believed.tilts, rho, usual, frame)
    # The dressing multiplies by sqrt(1 - rho^2); a tilt is in whole standard deviations.
    warmth = warmth + (tilt / np.sqrt(1.0 - rho**2))[:, np.newaxis]
    told = extended_temp(weather["temp_c"], beyond, usual, practice)
    temp = dressed_temp(told, warmth, usual, frame, believed.errors, practice)
    dewpoint = (weather["dewpoint_c"] + (temp - weather["temp_c"])).astype(np.float32)
    rain, wet = _rain(weather, frame, usual, rho, wetness, practice)
    follows = beyond & np.isnan(weather["rain_mm"][:, 0]) & ~frame.past
    follows = (follows & np.isnan(weather["rain_prob_frac"][:, 0]))[:, np.newaxis]
    after = generated_rain(wetness, usual, frame, practice).astype(np.float32)
    rain = np.where(follows, after, rain)
    wet = np.where(follows, after > 0.0, wet).astype(np.float32)
    made = {"temp_c": temp, "dewpoint_c": dewpoint, "rain_mm": rain, "rain_prob_frac": wet}
    return {
        name: np.where(frame.past, weather[name], array).astype(np.float32)
        for name, array in made.items()
    }


def _draws(
    frame: Frame,
    usual: ClimateAt,
    beyond: Bools,
    believed: Believed,
    members: int,
    practice: SpreadPractice,
) -> tuple[Floats, Floats]:
    """Draws of the lattice that pass over to those of past years where a climate has them."""
    draws = lattice_draws(frame, usual, members, practice)
    found: dict[tuple[int, int], tuple[Floats, Floats]] = {}
    nothing = np.full((members, frame.lead.size), np.nan)
    rows, near, places = [], [], frame.places
    for row, (climate, day) in enumerate(zip(believed.climates, frame.day, strict=True)):
        past, key = climate.past, (id(climate), int(day[0]))
        if key not in found:
            found[key] = past_draws(past, day, members, practice) if past else (nothing, nothing)
        rows.append(found[key])
        lat_deg, lon_deg = float(places.lat_deg[row]), float(places.lon_deg[row])
        near.append(past_share(past, lat_deg, lon_deg, practice) if past else 0.0)
    if not rows:
        return draws
    share = handover_share(frame, beyond, practice) * np.array(near)[:, np.newaxis]
    warmth, wetness = (
        handed_over(draw, np.stack([row[n] for row in rows]), share) for n, draw in enumerate(draws)
    )
    return warmth, wetness


def _rain(
    weather: Mapping[str, Floats],
    frame: Frame,
    usual: ClimateAt,
    rho: Floats,
    wetness: Floats,
    practice: SpreadPractice,
) -> tuple[Floats, Floats]:
    rain, prob = weather["rain_mm"], weather["rain_prob_frac"]
    chance = rain_chance(rain, prob, rho, usual, frame)
    return dressed_rain(rain, chance, wetness, usual, frame, practice)


def _demand(weather: Mapping[str, Floats], frame: Frame, believed: Believed, members: int) -> None:
    """Refuse what does not fit together."""
    shape = (frame.day.shape[0], 1, frame.hours.size)
    wrong = [
        name
        for name in ("temp_c", "dewpoint_c", "rain_mm", "rain_prob_frac")
        if weather[name].shape != shape
    ]
    if wrong:
        raise ValueError(f"{', '.join(wrong)} must have the shape (yard, 1, hour) = {shape}")
    if len(believed.errors) != shape[0]:
        raise ValueError("one table of errors for each yard")
    if members < 1 or not frame.hours.size:
        raise ValueError("at least one member and one hour")
