"""Outlooks and batches made by hand for tests."""

from datetime import UTC, datetime, time

import numpy as np

from windowcast.terms.outlook import Origin, outlook_of, stack
from windowcast.terms.yard import Crew, Yard
from windowcast.times import as_hour, hour_index

ISSUED = datetime(2027, 1, 12, 10, tzinfo=UTC)
CREW = Crew(name="A", start=time(8), end=time(17), weekdays=frozenset(range(7)))


def yard(key="kiln", tz="America/Los_Angeles", **changes):
    place = {"lat_deg": 43.9, "lon_deg": -119.6, "elev_m": 1300.0, "doubles": 24}
    return Yard(key=key, name=key.title(), tz=tz, **(place | changes))


def outlook(key="kiln", first=datetime(2027, 1, 12, 8, tzinfo=UTC), count=48, origin=None, **told):
    """A calm dry outlook at 6 °C; keywords replace arrays by a number or a list."""
    arrays = {"temp_c": 6.0, "wind_mps": 1.0, "wind_from_deg": 270.0, "rain_mm": 0.0,
              "rain_prob_frac": 0.0, "cloud_frac": 1.0, "thunder": 0.0,
              "freezing_rain": 0.0} | {k: v for k, v in told.items() if k != "hazards"}  # fmt: skip
    return outlook_of(
        key,
        hour_index(as_hour(first), count),
        {
            name: np.broadcast_to(np.asarray(value, float), (count,))
            for name, value in arrays.items()
        },
        origin or Origin(name="nws", issued_at=ISSUED),
        told.get("hazards", ()),
    )


def batch(*pairs, hours=None):
    """A batch of (yard, outlook) pairs on the hours of the first, or on given hours."""
    yards, outlooks = zip(*pairs, strict=True)
    return stack(yards, outlooks, outlooks[0].hours if hours is None else hours)
