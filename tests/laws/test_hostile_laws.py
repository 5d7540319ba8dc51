"""Whatever a file says: words or outputs, whole, and `check` and `make` agree about it."""

import re
import tempfile
from pathlib import Path
from random import Random

from hypothesis import given
from hypothesis import strategies as st

from laws.effort import examples
from laws.mutations import BRACKETS, SHOP, TEXTS, mutated, tried, tried_shop
from platewright.diagnoses import diagnosed_from, measurings
from platewright.errors import FileError
from platewright.files.reader import read_job
from platewright.files.readings import readings_text
from platewright.files.setup import no_setups, read_setup
from platewright.kinds.kind import catalogue
from platewright.report.readings import diagnosed_text

KINDS = catalogue()


@given(st.sampled_from(sorted(TEXTS)), st.integers(0, 10**9))
@examples(150)
def test_a_spoilt_pattern_is_a_job_or_mistakes(name: str, seed: int) -> None:
    text = mutated(TEXTS[name], Random(seed))
    told = ""
    try:
        assert (
            read_job(text, name, KINDS, no_setups).parts
            if name in BRACKETS
            else (read_setup(text, name).setup)
        )
    except FileError as error:
        told = str(error)
    assert all(line.isprintable() for line in told.split("\n"))


@given(st.integers(0, 10**9))
@examples(40)
def test_a_spoilt_readings_file_is_an_answer_or_mistakes(seed: int) -> None:
    job = read_job(TEXTS["winch-angle.toml"], "winch-angle.toml", KINDS, no_setups)
    blank = re.compile(r'^("[A-G].*?= )""', re.MULTILINE)
    text = blank.sub(r'\1"70.5"', readings_text(measurings(job)[0]))
    told = ""
    try:
        assert diagnosed_text(diagnosed_from(job, mutated(text, Random(seed)), "read.toml"), ())
    except FileError as error:
        told = str(error)
    assert all(line.isprintable() for line in told.split("\n"))


@given(st.sampled_from(BRACKETS), st.integers(0, 10**9))
@examples(12)
def test_check_and_make_agree_about_a_spoilt_pattern(name: str, seed: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        assert tried(mutated(TEXTS[name], Random(seed)), Path(folder)).wrong == ()


@given(st.integers(0, 10**9))
@examples(12)
def test_a_spoilt_shop_file_is_used_or_refused_and_only_added_to(seed: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        assert tried_shop(mutated(SHOP, Random(seed)), Path(folder)).wrong == ()
