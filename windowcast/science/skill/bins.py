"""Bins of chances."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from windowcast.terms.outlook import Floats

# Written out: 3 x 0.2 is more than 0.6, and 30 of 50 members must not fall below it.
FIVE_BINS = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)


def bin_of(chance: Floats, edges: Sequence[float]) -> NDArray[np.intp]:
    """The bin of each chance.

    Parameters
    ----------
    chance
        Told chances, any shape. [0-1]
    edges
        Ends of the bins, rising from 0 to 1.

    Returns
    -------
    ndarray
        Number of the bin from 0 on, shape of ``chance``.

    Raises
    ------
    ValueError
        If the edges do not rise from 0 to 1.

    Notes
    -----
    Rule of this project: a chance on an edge belongs to the bin above, 1 to the last one.
    """
    ends = np.asarray(edges, np.float64)
    if ends.ndim != 1 or ends.size < 2 or ends[0] != 0.0 or ends[-1] != 1.0:
        raise ValueError("edges of bins must lead from 0 to 1")
    if not np.all(np.diff(ends) > 0.0):
        raise ValueError("edges of bins must rise")
    return np.asarray(np.searchsorted(ends[1:-1], chance, side="right"), np.intp)
