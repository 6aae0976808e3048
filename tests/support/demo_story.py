"""The demo's week of January weather, made up by hand for the inland Northwest.

Monday night to Tuesday of the week after, four grid cells. Times are hours of the local clock
(UTC-8), temperatures whole °F and wind whole knots, as a forecaster draws them; hours between two
told ones lie on a straight line.

- Tuesday 12: high pressure, an inversion. The bench is warm at eight, the calm floor thaws at ten
  and has an advisory for stagnant air; an east wind blows through the gap and reaches the plain.
  In the early afternoon the wind turns north.
- Wednesday 13: the cold air behind that turn; frost all day.
- Thursday 14: warm air slides over the cold: freezing rain under an advisory.
- Friday 15: the front: rain, a gale, a slight chance of thunder, a warning for wind in the gap.
- Saturday 16: mild and sunny, 57 °F on the floor: a morning, then bees fly. Windy in the gap.
- Sunday 17: dull, calm, low 40s; the river is up and the floor is under a flood warning.
- Monday 18: clear, from frost at dawn to 51 °F.
- Tuesday 19: dry, and too windy everywhere but on the sheltered floor.
"""

from __future__ import annotations

from dataclasses import dataclass

DAYS = ("2027-01-11", "2027-01-12", "2027-01-13", "2027-01-14", "2027-01-15", "2027-01-16",
        "2027-01-17", "2027-01-18", "2027-01-19")  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One 2.5 km cell; each row of ``temp_f``, ``wind_kt`` is a day of ``DAYS``, "hour:value"."""

    name: str
    x: int
    y: int
    lat_deg: float
    lon_deg: float
    elev_m: float
    rain_share: float
    temp_f: tuple[str, ...]
    wind_kt: tuple[str, ...]
    warned: tuple[tuple[str, str, str], ...]  # from, to (local), phenomenon.significance


ADVISED_ICE = ("2027-01-14T04", "2027-01-14T22", "WW.Y")

FLOOR = Cell(
    name="floor", x=61, y=40, lat_deg=45.962, lon_deg=-119.641, elev_m=128.0, rain_share=1.0,
    temp_f=(
        "22:32",
        "0:31 6:29 8:31 10:35 12:40 14:43 15:44 16:42 18:36 21:33",
        "0:30 6:24 9:24 12:28 14:30 18:25 21:22",
        "0:21 6:24 9:28 12:31 15:32 18:32 21:33",
        "0:35 6:42 9:45 12:48 15:50 18:49 21:46",
        "0:43 6:40 8:41 9:43 12:52 14:57 15:57 18:49 21:42",
        "0:39 6:37 9:39 12:43 14:45 16:44 18:42 21:39",
        "0:37 3:34 7:34 8:35 10:39 12:46 14:50 15:51 16:49 18:44 21:40",
        "0:38 6:39 9:41 12:45 15:46 18:43",
    ),
    wind_kt=(
        "22:2",
        "0:2 12:3 14:5 18:7",
        "0:8 12:9 18:5",
        "0:4 12:6 21:10",
        "0:15 6:20 15:22 21:12",
        "0:7 8:4 12:5 15:5 21:3",
        "0:3 12:3 21:3",
        "0:2 12:3 13:5 18:3",
        "0:4 6:8 8:9 12:10 15:11 18:8",
    ),
    warned=(
        ("2027-01-11T22", "2027-01-12T16", "AS.Y"),
        ADVISED_ICE,
        ("2027-01-15T20", "2027-01-17T18", "FL.W"),
    ),
)  # fmt: skip

BENCH = Cell(
    name="bench", x=57, y=45, lat_deg=46.074, lon_deg=-119.782, elev_m=432.0, rain_share=1.3,
    temp_f=(
        "22:35",
        "0:35 6:37 8:39 10:41 12:44 14:45 16:43 18:39 21:34",
        "0:30 6:21 9:20 12:24 14:26 18:22 21:20",
        "0:19 6:25 9:29 12:32 15:33 18:34 21:35",
        "0:36 6:39 9:42 12:44 15:46 18:44 21:42",
        "0:40 6:38 8:40 9:42 12:49 14:54 15:54 18:46 21:42",
        "0:38 6:35 8:36 10:38 12:40 14:42 16:41 18:39 21:36",
        "0:34 6:31 8:32 10:36 12:42 14:46 15:47 18:41 21:37",
        "0:36 6:35 9:37 12:40 15:41 18:39",
    ),
    wind_kt=(
        "22:4",
        "0:4 10:5 14:7 18:9",
        "0:10 12:11 18:7",
        "0:5 12:8 21:12",
        "0:17 6:23 15:25 21:15",
        "0:8 8:5 12:6 15:6 21:4",
        "0:4 12:5 21:4",
        "0:3 12:4 13:6 18:4",
        "0:8 6:12 8:14 15:16 18:11",
    ),
    warned=(
        ADVISED_ICE,
        ("2027-01-15T04", "2027-01-15T20", "WI.Y"),
    ),
)  # fmt: skip

GAP = Cell(
    name="gap", x=68, y=44, lat_deg=46.051, lon_deg=-119.478, elev_m=305.0, rain_share=0.9,
    temp_f=(
        "22:33",
        "0:33 6:33 8:35 10:38 12:42 14:44 16:41 18:37 21:33",
        "0:30 6:23 9:22 12:26 14:28 18:24 21:21",
        "0:20 6:24 9:28 12:31 15:32 18:33 21:35",
        "0:36 6:41 9:44 12:47 15:49 18:47 21:44",
        "0:42 6:40 8:42 9:44 12:51 14:55 15:55 18:47 21:41",
        "0:39 6:36 8:37 10:39 12:42 14:43 16:42 18:40 21:38",
        "0:36 6:33 8:34 10:38 12:44 14:48 15:49 18:43 21:39",
        "0:37 6:37 9:39 12:42 15:43 18:41",
    ),
    wind_kt=(
        "22:13",
        "0:14 8:15 12:14 15:15 18:13",
        "0:13 12:14 18:9",
        "0:10 12:15 21:18",
        "0:25 6:32 15:34 21:20",
        "0:16 8:14 12:14 15:15 18:12 21:6",
        "0:5 12:6 21:5",
        "0:5 12:5 13:8 18:6",
        "0:10 6:16 8:18 15:20 18:14",
    ),
    warned=(
        ADVISED_ICE,
        ("2027-01-15T02", "2027-01-15T22", "HW.W"),
    ),
)  # fmt: skip

PLAIN = Cell(
    name="plain", x=53, y=41, lat_deg=45.988, lon_deg=-119.886, elev_m=251.0, rain_share=1.0,
    temp_f=(
        "22:33",
        "0:33 6:32 8:34 9:36 10:37 12:42 14:44 15:44 16:42 18:37 21:33",
        "0:30 6:23 9:23 12:27 14:29 18:24 21:21",
        "0:20 6:24 9:28 12:31 15:32 18:33 21:34",
        "0:36 6:41 9:44 12:47 15:49 18:48 21:45",
        "0:42 6:40 8:42 9:44 12:52 14:56 15:56 18:48 21:42",
        "0:39 6:36 8:37 10:40 12:42 14:44 16:43 18:41 21:38",
        "0:36 6:33 8:34 10:38 12:45 14:49 15:50 18:43 21:39",
        "0:37 6:38 9:40 12:43 15:44 18:42",
    ),
    wind_kt=(
        "22:8",
        "0:9 12:9 14:10 18:9",
        "0:9 12:11 18:7",
        "0:5 12:8 21:12",
        "0:17 6:24 15:26 21:14",
        "0:8 8:5 12:6 15:7 21:4",
        "0:4 12:4 21:4",
        "0:3 12:4 13:6 18:4",
        "0:7 6:12 8:13 15:15 18:10",
    ),
    warned=(
        ADVISED_ICE,
        ("2027-01-15T04", "2027-01-15T20", "WI.Y"),
    ),
)  # fmt: skip

CELLS = (FLOOR, BENCH, GAP, PLAIN)

# The same in every cell, one row a day: where the wind comes from (it holds until the next told
# hour), cover of the sky in percent, how far the dew point lies below the air in F°.
WIND_FROM_DEG = (
    "22:100",
    "0:100 10:110 14:330",
    "0:20 18:40",
    "0:80 18:140",
    "0:200 6:220",
    "0:240 12:230",
    "0:180 12:200",
    "0:100 13:270",
    "0:290 12:300",
)
SKY_PERCENT = (
    "22:25",
    "0:20 9:15 14:30 20:60",
    "0:35 12:20 21:50",
    "0:80 6:95",
    "0:100 18:85",
    "0:50 6:15 15:10 21:40",
    "0:80 6:90 15:85",
    "0:35 8:10 16:15",
    "0:45 12:55",
)
DEWPOINT_BELOW_DF = (
    "22:3",
    "0:2 9:3 14:9 21:8",
    "0:7 14:11 21:8",
    "0:6 9:4 15:1",
    "0:1 18:5",
    "0:5 8:4 14:14 21:6",
    "0:3 14:7",
    "0:2 8:2 15:14 21:5",
    "0:5 12:12",
)

# Six-hour periods of the service by the local hour at which they begin: chance of rain in
# percent, rain in inches, ice and new snow in inches. A period not told is dry at 3 percent.
PERIODS = {
    "2027-01-13T22": (10, 0.00, 0.00, 0.0),
    "2027-01-14T04": (60, 0.03, 0.02, 0.3),
    "2027-01-14T10": (85, 0.12, 0.08, 0.2),
    "2027-01-14T16": (90, 0.16, 0.04, 0.0),
    "2027-01-14T22": (95, 0.22, 0.00, 0.0),
    "2027-01-15T04": (95, 0.26, 0.00, 0.0),
    "2027-01-15T10": (85, 0.19, 0.00, 0.0),
    "2027-01-15T16": (55, 0.06, 0.00, 0.0),
    "2027-01-15T22": (15, 0.00, 0.00, 0.0),
    "2027-01-17T04": (10, 0.00, 0.00, 0.0),
    "2027-01-17T10": (15, 0.00, 0.00, 0.0),
    "2027-01-19T04": (10, 0.00, 0.00, 0.0),
    "2027-01-19T10": (15, 0.00, 0.00, 0.0),
}

# What the sky does in words: from, to (local), weather, coverage, intensity; as the service writes.
# Above freezing it is plain rain, and on the bench snow.
FREEZING_RAIN = "freezing_rain"
MENTIONS = (
    ("2027-01-12T00", "2027-01-12T09", "freezing_fog", "patchy", None),
    ("2027-01-14T04", "2027-01-14T20", FREEZING_RAIN, "likely", "light"),
    ("2027-01-14T20", "2027-01-15T16", "rain", "definite", "moderate"),
    ("2027-01-15T11", "2027-01-15T16", "thunderstorms", "slight_chance", None),
    ("2027-01-15T16", "2027-01-15T22", "rain_showers", "chance", "light"),
)
