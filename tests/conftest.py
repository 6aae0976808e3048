"""How every test runs: Hypothesis without a stop-watch, and the same examples in every CI run."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

# A busy machine must not fail a test, and a change must not fail for what another one drew. New
# examples are drawn on every run at a desk.
settings.register_profile(
    "house",
    deadline=None,
    derandomize=bool(os.environ.get("CI")),
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("house")
