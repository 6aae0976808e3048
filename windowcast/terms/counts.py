"""What counts of mites come to: shares with the interval in which the truth may lie."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """Where a share may lie, from 0 to 1, both ends included."""

    low_frac: float
    high_frac: float

    def __post_init__(self) -> None:
        """Refuse ends out of order or out of 0 to 1."""
        if not 0 <= self.low_frac <= self.high_frac <= 1:
            raise ValueError(f"{self.low_frac} to {self.high_frac} is not an interval in 0 to 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class YardMean:
    """Mites per bee of a yard, from some of its colonies.

    ``rate_frac`` is the mean over the ``washed`` of its ``colonies``. ``spread_frac`` is the
    standard deviation between colonies and ``error_frac`` the standard error of the mean, both
    None where only one colony was washed. There is no ``interval`` where it stands for others.
    """

    rate_frac: float
    washed: int
    colonies: int
    spread_frac: float | None = None
    error_frac: float | None = None
    interval: Interval | None = None
