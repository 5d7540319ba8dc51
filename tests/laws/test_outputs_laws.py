"""A call that is killed at any moment leaves, after the next one, all of it or nothing of it."""

import os
import tempfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platewright.files import outputs
from platewright.files.outputs import write_all

SAMPLES = Path(__file__).parents[2] / "samples"
OURS = (SAMPLES / "deck-zee.dxf").read_bytes()
NAMES = ("a.dxf", "b.dxf", "c.dxf")


def killed(folder: Path, wanted: frozenset[str], step: int) -> bool:
    """Write in a child process that ends at its step-th act on the disk; whether it did."""
    child = os.fork()
    if child:
        return os.waitpid(child, 0)[1] != 0
    count = 0

    def counted(act):
        def wrapped(*args, **kwargs):
            nonlocal count
            count += 1
            if count == step:
                os._exit(9)
            return act(*args, **kwargs)

        return wrapped

    try:
        for owner, name in (
            (outputs.os, "fsync"), (Path, "replace"), (Path, "unlink"), (Path, "mkdir"),
            (outputs.shutil, "rmtree"), (outputs.tempfile, "mkdtemp"), (os, "unlink"),
            (os, "rmdir"),
        ):  # fmt: skip
            setattr(owner, name, counted(getattr(owner, name)))
        write_all({folder / name: OURS + b"new" for name in wanted})
    finally:
        os._exit(0)


@pytest.mark.skipif(os.name == "nt", reason="there a process cannot be split")
@given(
    st.frozensets(st.sampled_from(NAMES)),
    st.frozensets(st.sampled_from(NAMES), min_size=1),
    st.integers(1, 24),
)
def test_a_killed_call_is_undone_or_done(before: frozenset[str], wanted: frozenset[str], step: int):
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for each in before:
            (folder / each).write_bytes(OURS)
        was_killed = killed(folder, wanted, step)
        write_all({folder / "next.dxf": OURS})
        found = {path.name: path.read_bytes() for path in folder.iterdir()}
        assert found.pop("next.dxf") == OURS
        undone = dict.fromkeys(before, OURS)
        done = undone | dict.fromkeys(wanted, OURS + b"new")
        assert found == done or (was_killed and found == undone)
