"""Outputs are written whole or not at all, and never over somebody else's file."""

import os
import socket
import threading
from pathlib import Path

import pytest
from click.testing import CliRunner

from platewright.cli.root import root
from platewright.drawing.items import Page
from platewright.drawing.pdf import pdf_bytes
from platewright.errors import OutputError
from platewright.files import outputs
from platewright.files.outputs import gathered, is_own, write_all

SAMPLES = Path(__file__).parents[2] / "samples"
OURS = (SAMPLES / "deck-zee.dxf").read_bytes()
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


@pytest.mark.parametrize("data", [OURS, THEIRS])
def test_a_write_protected_file_is_left_alone(tmp_path, data):
    protected = tmp_path / "b.dxf"
    protected.write_bytes(data)
    protected.chmod(0o444)
    with pytest.raises(OutputError, match=r"b\.dxf is write-protected; nothing was written"):
        write_all({tmp_path / "a.pdf": OURS, protected: OURS + b"new"}, overwrite=True)
    assert names(tmp_path) == {"b.dxf"}
    assert protected.read_bytes() == data


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
        write_all({target: OURS + b"new", tmp_path / "b.dxf": OURS})
    assert names(tmp_path) == {"a.pdf"}
    assert target.read_bytes() == OURS


def test_a_failed_rename_puts_back_what_stood_there(tmp_path, monkeypatch):
    first, second = tmp_path / "a.pdf", tmp_path / "b.dxf"
    write_all({first: OURS, second: OURS})
    real = Path.replace

    def broken(self, target):
        if Path(target) == second and self.parent.name == "new":
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

    monkeypatch.setattr(outputs.tempfile, "mkdtemp", denied)
    with pytest.raises(OutputError, match=r"cannot write .*a\.pdf: permission denied"):
        write_all({tmp_path / "a.pdf": OURS})
    assert names(tmp_path) == set()


# --- whose file it is -------------------------------------------------------------------------


@pytest.mark.parametrize("ending", ["pdf", "dxf", "svg"])
def test_every_sample_is_known_for_ours(ending):
    found = sorted(SAMPLES.glob(f"*.{ending}"))
    assert found
    assert all(is_own(path) for path in found)


#: What other programs write, with the word where words may stand.
NOT_OURS = {
    "title.pdf": b"%PDF-1.4\n1 0 obj\n<< /Title (a /Producer (Platewright sheets)) >>\nendobj\n",
    "word.dxf": b"  0\nSECTION\n  2\nTABLES\n  1\nWritten by Platewright; coordinates in inches\n",
    "comment.dxf": b"999\nbegun as Written by Platewright; coordinates in inches\n  0\nSECTION\n",
    "saved.svg": b'<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg">'
    b"<title>a</title><desc>Drawn by Platewright</desc></svg>",
    "text.svg": b'<svg xmlns="http://www.w3.org/2000/svg"><title>a</title><desc>By hand</desc>'
    b"<text>Drawn by Platewright</text></svg>",
    "letter.txt": b"Platewright makes brackets. Written by Platewright",
}


@pytest.mark.parametrize("name", NOT_OURS)
def test_a_word_in_its_text_makes_no_file_ours(tmp_path, name):
    path = tmp_path / name
    path.write_bytes(NOT_OURS[name])
    assert not is_own(path)
    with pytest.raises(OutputError, match="was not written by Platewright"):
        write_all({path: OURS})
    assert path.read_bytes() == NOT_OURS[name]


def test_a_pdf_that_names_us_in_its_title_alone_is_not_ours(tmp_path):
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(str(tmp_path / "a.pdf"))
    canvas.setTitle("x /Producer (Platewright sheets) y")
    canvas.setCreator("Platewright")
    canvas.save()
    assert not is_own(tmp_path / "a.pdf")


def test_a_sheet_that_somebody_has_added_to_is_no_longer_ours(tmp_path):
    # an update as ISO 32000-1, 7.5.6 has it: objects, a table and a trailer at the end
    data = pdf_bytes([Page(width=100, height=100, title="", items=())], title="a")
    path = tmp_path / "a.pdf"
    path.write_bytes(data)
    assert is_own(path)
    before = data[data.rindex(b"startxref") :].split()[1]
    size = data[data.rindex(b"/Size") :].split()[1]
    info = data[data.rindex(b"/Info") :].split()[1]
    added = b"xref\n0 1\n0000000000 65535 f \ntrailer\n<< /Info %b 0 R /Prev %b /Size %b >>\n" % (
        info, before, size,
    )  # fmt: skip
    path.write_bytes(data + added + b"startxref\n%d\n%%%%EOF\n" % len(data))
    assert not is_own(path)


def test_a_link_that_leads_nowhere_is_not_ours(tmp_path):
    (tmp_path / "a.dxf").symlink_to("gone.dxf")
    with pytest.raises(OutputError, match=r"a\.dxf is a link to a file that is not there"):
        write_all({tmp_path / "a.dxf": OURS})
    assert (tmp_path / "a.dxf").is_symlink()
    write_all({tmp_path / "a.dxf": OURS}, overwrite=True)
    assert names(tmp_path) == {"a.dxf"}
    assert not (tmp_path / "a.dxf").is_symlink()


# --- what is no file --------------------------------------------------------------------------


def devices(folder: Path) -> list[Path]:
    """Things in the file system that are no plain files."""
    os.mkfifo(folder / "pipe")
    (folder / "linked").symlink_to("/dev/zero")
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind(str(folder / "socket"))
    there = [folder / name for name in ("pipe", "linked", "socket")]
    always = (
        "/dev/stdout",
        "/dev/fd/1",
        "/proc/self/fd/1",
        "/dev/null",
        "/dev/zero",
        "/dev/new",
        "-",
    )
    return [*there, *map(Path, always)]


@pytest.mark.skipif(os.name == "nt", reason="no such files there")
@pytest.mark.parametrize("overwrite", [False, True])
def test_what_is_no_plain_file_is_refused_at_once(tmp_path, overwrite):
    for path in devices(tmp_path):
        with pytest.raises(OutputError, match="is no plain file"):
            write_all({tmp_path / "a.dxf": OURS, path: OURS}, overwrite=overwrite)
    assert names(tmp_path) == {"pipe", "linked", "socket"}


@pytest.mark.skipif(os.name == "nt", reason="no such files there")
@pytest.mark.parametrize(
    "words",
    [
        ["form", "zee", "-o"],
        ["start", "zee", "-o"],
        ["make", "none.toml", "--out"],
        ["nest", "none.toml", "--sheet", "24x48", "--out"],
        ["travel", "none.toml", "--out"],
        ["compare", "none.toml", "none.toml", "--out"],
        ["readings", str(SAMPLES.parent / "patterns" / "deck-zee.toml"), "--out"],
        ["coupon", "--thickness", "3/16 in", "--out"],
    ],
)
def test_a_command_writes_to_no_device(tmp_path, words):
    """Refused before a file is read or anything drawn."""
    os.mkfifo(tmp_path / "pipe")
    for name in (str(tmp_path / "pipe"), "/dev/stdout", "-"):
        done = CliRunner().invoke(root, [*words, name])
        assert done.exit_code == 2
        assert "nothing was written" in done.stderr
        assert "none.toml" not in done.stderr


@pytest.mark.skipif(not Path("/dev").exists(), reason="no such folder there")
def test_a_folder_of_devices_is_called_by_its_own_name():
    done = CliRunner().invoke(root, ["make", "none.toml", "--out", "/dev"])
    assert done.exit_code == 2
    assert done.stderr == "/dev is a folder of devices, none to write in; nothing was written\n"


# --- a call that was killed -------------------------------------------------------------------


def test_what_release_0_1_0_left_is_swept(tmp_path):
    (tmp_path / ".platewright-abcd1234").write_bytes(b"half")
    (tmp_path / ".platewright-old-a.dxf").write_bytes(THEIRS)
    (tmp_path / ".platewright-old-b.dxf").write_bytes(THEIRS)
    (tmp_path / "b.dxf").write_bytes(OURS)
    write_all({tmp_path / "c.dxf": OURS})
    assert names(tmp_path) == {"a.dxf", "b.dxf", "c.dxf"}
    assert (tmp_path / "a.dxf").read_bytes() == THEIRS


def test_what_a_running_call_has_under_way_is_left_alone(tmp_path):
    stage = outputs._stage_in(tmp_path)
    stage.write("a.dxf", OURS)
    stage.seal()
    write_all({tmp_path / "b.dxf": OURS})
    stage.swap_in(tmp_path / "a.dxf")
    stage.close()
    assert names(tmp_path) == {"a.dxf", "b.dxf"}


@pytest.mark.skipif(os.name == "nt", reason="no folder can be held there")
def test_of_two_calls_at_once_the_files_never_mix(tmp_path, monkeypatch):
    """The second comes when the first has half of its files in, and waits."""
    swap_in, flock = outputs._WriteStage.swap_in, outputs.fcntl.flock
    second = threading.Thread(target=write_all, args=[{tmp_path / n: OURS for n in ("a", "b")}])
    comes = threading.Event()

    def swap_in_slowly(stage, place):
        swap_in(stage, place)
        if second.ident is None:
            monkeypatch.setattr(outputs.fcntl, "flock", lambda *a: (comes.set(), flock(*a)))
            second.start()
            comes.wait()
            assert names(tmp_path) == {stage.hidden.name, "a"}

    monkeypatch.setattr(outputs._WriteStage, "swap_in", swap_in_slowly)
    write_all({tmp_path / name: OURS + b"0\n" for name in ("a", "b")})
    second.join()
    assert {path.read_bytes() for path in tmp_path.iterdir()} == {OURS}


def test_a_file_that_has_come_since_stays(tmp_path):
    (tmp_path / "a.dxf").write_bytes(OURS)
    stage = outputs._stage_in(tmp_path)
    stage.write("a.dxf", OURS + b"new")
    stage.seal()
    (tmp_path / "a.dxf").replace(stage.hidden / "old" / "a.dxf")
    stage.lock.close()
    (tmp_path / "a.dxf").write_bytes(THEIRS)
    write_all({tmp_path / "b.dxf": OURS})
    assert (tmp_path / "a.dxf").read_bytes() == THEIRS
    assert names(tmp_path) == {"a.dxf", "b.dxf"}
