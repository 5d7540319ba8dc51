"""Reading several job files in one call."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from platewright.errors import FileError, Mistake
from platewright.files import reader
from platewright.files.job import Job


def load_all(paths: Iterable[Path]) -> tuple[Job, ...]:
    """Every job; the mistakes of all files are told together. Raises FileError."""
    jobs: list[Job] = []
    mistakes: list[Mistake] = []
    for path in paths:
        try:
            jobs.append(reader.load_job(path))
        except FileError as error:
            mistakes.extend(error.mistakes)
    if mistakes:
        raise FileError(tuple(mistakes))
    return tuple(jobs)
