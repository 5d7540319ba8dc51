from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laws.effort import examples
from laws.strategies_files import GOOD, KINDS, TOY, document, documents
from platewright import measure
from platewright.errors import FileError
from platewright.files.job import Job
from platewright.files.reader import read_job
from platewright.files.sections import Common
from platewright.files.starter import starter
from platewright.kinds.kind import catalogue
from platewright.units import Unit, format_exact

UNITS: list[Unit] = ["in", "mm"]


def job_or_mistakes(text: str) -> Job | None:
    try:
        return read_job(text, "any.toml", KINDS)
    except FileError as error:
        lines = str(error).split("\n")
    assert len(lines) >= 1
    assert all(line.isprintable() and line.startswith("any.toml: ") for line in lines)
    return None


@given(st.text(max_size=200))
@examples(60)
def test_any_text_is_a_job_or_mistakes(text: str) -> None:
    assert job_or_mistakes(text) is None


@given(documents)
@examples(100)
def test_any_document_is_a_job_or_mistakes(values: dict[str, Any]) -> None:
    job = job_or_mistakes(document(values))
    assert job is None or job.parts


@given(documents)
@examples(60)
def test_any_parts_are_a_job_or_mistakes(values: dict[str, Any]) -> None:
    job = job_or_mistakes(document({"units": "in", "part": [values, {"kind": "toy", **values}]}))
    assert job is None or len(job.parts) == 2


@given(st.integers(0, len(GOOD)), st.integers(0, 12), st.text(max_size=6))
@examples(100)
def test_a_spoilt_file_is_a_job_or_mistakes(place: int, cut: int, put: str) -> None:
    job = job_or_mistakes(GOOD[:place] + put + GOOD[place + cut :])
    assert job is None or len(job.parts) == 1


@given(st.floats(25.4, 508), st.floats(-25400, 25400), st.sampled_from(UNITS))
@examples(60)
def test_written_lengths_read_back_to_the_same_bits(width: float, shift: float, unit: Unit) -> None:
    lines = f'width = "{format_exact(width, unit)}"\nshift = "{format_exact(shift, unit)}"'
    text = GOOD.replace('width = "5 1/2"', lines).replace("long = 2", "long = 1")
    (part,) = read_job(text.replace("long = 1", 'long = "1 in"'), "any.toml", KINDS).parts
    assert (part.measurements.width, part.measurements.shift) == (width, shift)


@given(st.permutations([line for line in GOOD.split("[stock]")[0].splitlines() if line]))
@examples(20)
def test_the_order_of_keys_is_no_matter(lines: list[str]) -> None:
    text = "\n".join(lines) + "\n[stock]" + GOOD.split("[stock]")[1]
    (part,) = read_job(text, "any.toml", KINDS).parts
    (expected,) = read_job(GOOD, "any.toml", KINDS).parts
    assert part == expected


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("name", [*catalogue(), TOY.name])
def test_the_starter_of_every_kind_reads_without_mistakes(name: str, unit: Unit) -> None:
    kind = (catalogue() | KINDS)[name]
    (part,) = read_job(starter(kind, unit), "starter.toml", {name: kind}).parts
    assert isinstance(part.measurements, kind.measurements)
    assert part.unit == unit


@pytest.mark.parametrize("name", [*catalogue(), TOY.name])
def test_no_kind_measures_under_a_name_that_every_part_has(name: str) -> None:
    shared = {key for key, _ in measure.fields_of(Common)} | {"part"}
    own = {key for key, _ in measure.fields_of((catalogue() | KINDS)[name].measurements)}
    assert not shared & own
