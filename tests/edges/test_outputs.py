"""Outputs are written whole or not at all, and never over somebody else's file."""

from pathlib import Path

import pytest

from platewright.errors import OutputError
from platewright.files import outputs
from platewright.files.outputs import gathered, is_own, write_all

OURS = b"%PDF Platewright sheets"
THEIRS = b"a drawing by hand"


def names(folder: Path) -> set[str]:
    return {p.name for p in folder.iterdir()}


def test_all_are_written_and_nothing_else_is_left(tmp_path):
    write_all({tmp_path / "a.pdf": OURS, tmp_path / "b.dxf": OURS + b"2"})
    assert names(tmp_path) == {"a.pdf", "b.dxf"}
    assert (tmp_path / "b.dxf").read_bytes() == OURS + b"2"


@pytest.mark.parametrize(
    "second", [("a-torch", {"a-torch.dxf": OURS}), ("A", {"A-TORCH.dxf": OURS})]
)
def test_two_parts_that_would_write_one_file_are_refused(tmp_path, second):
    first = ("a", {"a.dxf": OURS, "a-torch.dxf": OURS})
    assert set(gathered(tmp_path, [first])) == {tmp_path / "a.dxf", tmp_path / "a-torch.dxf"}
    with pytest.raises(OutputError, match=r"a and (a-torch|A) would both write"):
        gathered(tmp_path, [first, second])


def test_a_missing_folder_is_made(tmp_path):
    write_all({tmp_path / "deep" / "er" / "a.pdf": OURS})
    assert (tmp_path / "deep" / "er" / "a.pdf").read_bytes() == OURS


def test_own_file_is_replaced(tmp_path):
    target = tmp_path / "a.pdf"
    write_all({target: OURS})
    write_all({target: OURS + b" again"})
    assert target.read_bytes() == OURS + b" again"
    assert names(tmp_path) == {"a.pdf"}


def test_another_file_is_left_alone_and_nothing_is_written(tmp_path):
    (tmp_path / "b.dxf").write_bytes(THEIRS)
    with pytest.raises(OutputError, match=r"b\.dxf was not written by Platewright"):
        write_all({tmp_path / "a.pdf": OURS, tmp_path / "b.dxf": OURS})
    assert names(tmp_path) == {"b.dxf"}
    assert (tmp_path / "b.dxf").read_bytes() == THEIRS


def test_another_file_is_replaced_when_asked(tmp_path):
    (tmp_path / "b.dxf").write_bytes(THEIRS)
    write_all({tmp_path / "b.dxf": OURS}, overwrite=True)
    assert (tmp_path / "b.dxf").read_bytes() == OURS


def test_a_folder_in_the_place_of_a_file_is_refused(tmp_path):
    (tmp_path / "a.pdf").mkdir()
    with pytest.raises(OutputError, match="is a folder"):
        write_all({tmp_path / "a.pdf": OURS}, overwrite=True)


def test_a_path_too_long_for_the_system_is_refused(tmp_path):
    with pytest.raises(OutputError, match=r"cannot make the folder .* nothing was written"):
        write_all({tmp_path / ("x" * 300) / "a.pdf": OURS})
    with pytest.raises(OutputError, match=r"cannot write .* nothing was written"):
        write_all({tmp_path / "new" / ("x" * 300): OURS})
    assert names(tmp_path) == set()


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_breaking_off_leaves_everything_as_it_was(tmp_path, monkeypatch, step):
    def break_off(*_):
        raise KeyboardInterrupt

    (tmp_path / "old.pdf").write_bytes(OURS)
    owner = outputs.os if step == "fsync" else outputs.Path
    monkeypatch.setattr(owner, step, break_off)
    with pytest.raises(KeyboardInterrupt):
        write_all({tmp_path / "new" / "a.pdf": OURS, tmp_path / "old.pdf": OURS + b"2"})
    assert names(tmp_path) == {"old.pdf"}
    assert (tmp_path / "old.pdf").read_bytes() == OURS


def test_a_file_in_the_place_of_the_folder_is_refused(tmp_path):
    (tmp_path / "out").write_bytes(THEIRS)
    with pytest.raises(OutputError, match="is no folder to write in"):
        write_all({tmp_path / "out" / "a.pdf": OURS})
    assert names(tmp_path) == {"out"}


def test_a_full_disk_leaves_everything_as_it_was(tmp_path, monkeypatch):
    target = tmp_path / "a.pdf"
    write_all({target: OURS})
    calls = []

    def full(_handle):
        calls.append(1)
        if len(calls) == 2:
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(outputs.os, "fsync", full)
    with pytest.raises(OutputError, match=r"no space left on device; nothing was written"):
        write_all({target: b"Platewright new", tmp_path / "b.dxf": OURS})
    assert names(tmp_path) == {"a.pdf"}
    assert target.read_bytes() == OURS


def test_a_failed_rename_puts_back_what_stood_there(tmp_path, monkeypatch):
    first, second = tmp_path / "a.pdf", tmp_path / "b.dxf"
    write_all({first: OURS, second: OURS})
    real = Path.replace

    def broken(self, target):
        if (
            Path(target) == second
            and self.name.startswith(".platewright-")
            and "old" not in self.name
        ):
            raise OSError(5, "Input/output error")
        return real(self, target)

    monkeypatch.setattr(Path, "replace", broken)
    with pytest.raises(OutputError, match="nothing was written"):
        write_all({first: OURS + b"new", second: OURS + b"new"})
    assert names(tmp_path) == {"a.pdf", "b.dxf"}
    assert first.read_bytes() == OURS
    assert second.read_bytes() == OURS


def test_a_made_folder_goes_again_when_writing_fails(tmp_path, monkeypatch):
    def full(_handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(outputs.os, "fsync", full)
    with pytest.raises(OutputError):
        write_all({tmp_path / "new" / "a.pdf": OURS})
    assert names(tmp_path) == set()


def test_a_folder_without_permission_is_refused(tmp_path, monkeypatch):
    def denied(**_kwargs):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(outputs.tempfile, "mkstemp", denied)
    with pytest.raises(OutputError, match=r"cannot write .*a\.pdf: permission denied"):
        write_all({tmp_path / "a.pdf": OURS})
    assert names(tmp_path) == set()


def test_the_mark_is_found_at_the_end_of_a_long_file(tmp_path):
    long = tmp_path / "long.pdf"
    long.write_bytes(b"x" * 50_000 + b"Platewright")
    assert is_own(long)
    long.write_bytes(b"x" * 50_000)
    assert not is_own(long)
