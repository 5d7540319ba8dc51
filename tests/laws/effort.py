"""How many examples a law draws: its own number, scaled by the profile of tests/conftest.py."""

from typing import Any

from hypothesis import settings


def examples(count: int, **more: Any) -> settings:
    """Settings, or a decorator, that draw `count` examples where the profile draws a hundred."""
    scaled = round(count * settings.default.max_examples / 100)
    return settings(max_examples=max(5, scaled), **more)
