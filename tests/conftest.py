"""Settings that all tests share.

A CI run draws the same examples every time, so that its verdict is about the change; at the bench
the examples stay random, so that new ones are met. Nothing is judged by time.
"""

import os

from hypothesis import HealthCheck, settings

slow = [HealthCheck.too_slow, HealthCheck.data_too_large]
settings.register_profile("bench", deadline=None, suppress_health_check=slow)
settings.register_profile("ci", parent=settings.get_profile("bench"), derandomize=True)
settings.register_profile("quick", parent=settings.get_profile("bench"), max_examples=15)
settings.load_profile(
    os.environ.get("HYPOTHESIS_PROFILE") or ("ci" if os.environ.get("CI") else "bench")
)
