"""Settings that all tests share.

At the bench the laws draw few examples, new ones each time, so that the whole suite takes minutes.
`HYPOTHESIS_PROFILE=deep` draws many times more, the same ones each time, so that its verdict is
about the change; `.ci/run` does. `quick` is for while something is being written. Nothing is judged
by time.
"""

import os

from hypothesis import HealthCheck, settings

# what tests start may keep what it compiles, or some sixty processes compile all of it again
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

slow = [HealthCheck.too_slow, HealthCheck.data_too_large]
settings.register_profile("bench", deadline=None, suppress_health_check=slow, max_examples=14)
bench = settings.get_profile("bench")
settings.register_profile("quick", parent=bench, max_examples=10)
settings.register_profile("ci", parent=bench, derandomize=True)
settings.register_profile("deep", parent=bench, max_examples=200, derandomize=True)
settings.load_profile(
    os.environ.get("HYPOTHESIS_PROFILE") or ("ci" if os.environ.get("CI") else "bench")
)
