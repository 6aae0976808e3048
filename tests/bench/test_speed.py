"""How long the main job takes: ``pytest tests/bench`` (outside the default run).

Each figure stands beside its aim, and where it makes sense beside a plain NumPy pass over the same
arrays: what a machine must at least do to look at every number once. Needs the group ``bench``.
"""

from __future__ import annotations

import math
import resource
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from time import perf_counter
from typing import Any

import numpy as np
import pytest
from support.nws_payloads import NO_WEATHER, body, grid, hourly_layers

from windowcast.advise import scored
from windowcast.morning import BLOCK_YARDS, Desk, run_morning
from windowcast.science.sun import sun_times
from windowcast.sources.wire.intervals import read_interval
from windowcast.sources.wire.nws_grid import read_grid
from windowcast.terms.outlook import VARIABLES, Answer, Batch, Floats, Origin, outlook_of
from windowcast.terms.practice import Practice
from windowcast.terms.yard import Crew, Place, Yard
from windowcast.times import Hours, as_hour, hour_index, local_date

TZ = "America/Boise"
NOW = datetime(2027, 1, 12, 13, tzinfo=UTC)
CREW = Crew(name="A", start=time(8), end=time(17), weekdays=frozenset(range(6)))

YARDS, MEMBERS, HOURS = 1000, 50, 384
MEMBERS_WITHIN_S, MEMBERS_WITHIN_GB = 10.0, 2.0
FORTY_WITHIN_S = 0.5
HELP_WITHIN_S = 0.6


def yards(count: int) -> list[Yard]:
    """Yards on a lattice 20 km wide, each with its own sunrise."""
    side = math.ceil(math.sqrt(count))
    return [
        Yard(
            key=f"yard-{n}",
            name=f"Yard {n}",
            lat_deg=43.0 + 0.18 * (n // side) / side,
            lon_deg=-116.0 - 0.25 * (n % side) / side,
            elev_m=800.0,
            tz=TZ,
            doubles=12,
        )
        for n in range(count)
    ]


# --- 1,000 yards x 50 members x 384 hours ---------------------------------------------------


def weather(shape: tuple[int, int, int], seed: int) -> dict[str, Floats]:
    """Winter weather with a daily course, nothing told of what the score does not read."""
    random = np.random.default_rng(seed)
    untold = np.broadcast_to(np.float32(np.nan), shape)
    course = 5.0 + 5.0 * np.sin(np.arange(shape[-1]) * 2 * np.pi / 24.0)
    told = {
        "temp_c": course + random.normal(0.0, 3.0, shape),
        "wind_mps": random.gamma(2.0, 1.6, shape),
        "rain_mm": np.maximum(random.normal(-1.0, 1.0, shape), 0.0),
        "rain_prob_frac": random.uniform(0.0, 1.0, shape),
        "cloud_frac": random.uniform(0.0, 1.0, shape),
        "sun_wm2": random.uniform(0.0, 600.0, shape),
    }
    return {n: told[n].astype(np.float32) if n in told else untold for n in VARIABLES}


def blocks(hours: Hours) -> list[Batch]:
    """The thousand yards in blocks as the morning takes them, all held in memory at once."""
    everybody = yards(YARDS)
    built = []
    for begin in range(0, YARDS, BLOCK_YARDS):
        some = tuple(everybody[begin : begin + BLOCK_YARDS])
        arrays = weather((len(some), MEMBERS, HOURS), seed=begin)
        empty = outlook_of("", hours[:0], {}, Origin(name="synthetic"))
        built.append(Batch(yards=some, hours=hours, arrays=arrays, outlooks=(empty,) * len(some)))
    return built


def plain_pass(batches: Sequence[Batch]) -> float:
    """Each array compared with a threshold and multiplied in, nothing else."""
    total = 0.0
    for batch in batches:
        product = np.ones(batch.arrays["temp_c"].shape)
        for name in ("temp_c", "wind_mps", "rain_mm", "rain_prob_frac", "cloud_frac", "sun_wm2"):
            values = batch.arrays[name].astype(np.float64)
            product = product * np.where(values > 1.0, values, 0.5)
        total += float(product.sum())
    return total


def seconds(work: Callable[[], Any]) -> float:

    began = perf_counter()
    work()
    return perf_counter() - began


def peak_gb() -> float:
    """The most memory that this process ever held; kilobytes on Linux."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6


def test_a_thousand_yards_of_fifty_members_are_scored_in_ten_seconds(benchmark: Any) -> None:
    hours = hour_index(as_hour(NOW), HOURS)
    days = [local_date(NOW, TZ) + timedelta(days=n) for n in range(HOURS // 24)]
    batches, practice = blocks(hours), Practice()

    def score() -> float:
        return sum(
            float(scored(batch, days, [CREW], practice, NOW).score.sum()) for batch in batches
        )

    total = benchmark.pedantic(score, rounds=1, iterations=1)
    plain_s = min(seconds(lambda: plain_pass(batches)) for _ in range(3))
    benchmark.extra_info["plain NumPy pass, s"] = round(plain_s, 3)
    benchmark.extra_info["times the plain pass"] = round(benchmark.stats["min"] / plain_s, 1)
    benchmark.extra_info["peak, GB"] = round(peak_gb(), 2)
    print(f"\n{benchmark.stats['min']:.2f} s; {benchmark.extra_info}")
    assert 0.0 < total < YARDS * MEMBERS * len(days)
    assert benchmark.stats["min"] < MEMBERS_WITHIN_S
    assert peak_gb() < MEMBERS_WITHIN_GB


# --- 40 yards from bytes to a morning -------------------------------------------------------


def answer(number: int) -> bytes:
    """A grid of 192 hours for one yard, shifted a little from its neighbours'."""
    start = NOW - timedelta(hours=3)
    hour = np.arange(192)
    course = 5.0 + 5.0 * np.sin((hour + number) * 2 * np.pi / 24.0)
    layers = hourly_layers(
        start,
        temp_c=np.round(course, 4).tolist(),
        dewpoint_c=np.round(course - 3.0, 4).tolist(),
        wind_kmh=np.round(6.0 + 4.0 * np.cos(hour / 7.0), 3).tolist(),
        wind_from_deg=((hour * 5 + number) % 360).tolist(),
        cloud_percent=((hour * 3) % 101).tolist(),
        rain_prob_percent=((hour * 2) % 101).tolist(),
        rain_mm=np.where(hour % 40 < 6, 0.3, 0.0).tolist(),
        mentions=[[NO_WEATHER]] * 192,
    )
    return body(grid(start=start, issued=NOW - timedelta(hours=1), layers=layers, x=number))


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """A source whose answers are in, as bytes; reading them is part of the job."""

    bodies: dict[str, bytes]
    name: str = "nws"
    reach_h: int = 192

    def outlooks(self, yards: Sequence[Yard], now: datetime) -> Answer:
        told = {yard.key: read_grid(self.bodies[yard.key]) for yard in yards}
        return Answer(
            outlooks={
                key: outlook_of(
                    key,
                    one.hours,
                    one.arrays,
                    Origin(name=self.name, issued_at=one.updated_at),
                    one.hazards,
                )
                for key, one in told.items()
            },
            places={key: Place(tz=TZ, elev_m=one.elev_m) for key, one in told.items()},
        )


def forget() -> None:
    """A morning starts with nothing remembered of an earlier one."""
    for remembered in (sun_times, read_interval):
        remembered.cache_clear()


def test_forty_yards_are_read_and_ranked_in_half_a_second(benchmark: Any) -> None:
    everybody = yards(40)
    bodies = {yard.key: answer(number) for number, yard in enumerate(everybody)}
    desk = Desk(
        outfit="Vellamoor Bees",
        tz=TZ,
        yards=tuple(everybody),
        crews=(CREW,),
        practice=Practice(),
        sources=(Answered(bodies=bodies),),
    )
    morning = benchmark.pedantic(run_morning, (desk, NOW), setup=forget, rounds=5)
    assert not morning.blind
    assert len(morning.advice) == 40
    assert benchmark.stats["min"] < FORTY_WITHIN_S


@pytest.mark.parametrize("arguments", [["--help"], ["--version"], ["morning", "--help"]])
def test_help_is_there_at_once(benchmark: Any, arguments: list[str]) -> None:
    command = [sys.executable, "-m", "windowcast", *arguments]
    done = benchmark.pedantic(
        subprocess.run, (command,), {"capture_output": True, "check": True}, rounds=5
    )
    assert done.stdout
    assert benchmark.stats["min"] < HELP_WITHIN_S
