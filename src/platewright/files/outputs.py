"""Writing the outputs: all of them or none, and never over somebody else's file.

A call writes its files into a hidden folder beside their places, then swaps them in; what stood
there waits in the hidden folder until all are in. A call that is killed leaves that folder behind,
and the next one that writes there puts everything back by it.
"""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import sys
import tempfile
from collections.abc import Callable, Collection, Iterable, Mapping
from pathlib import Path
from typing import BinaryIO

from platewright.drawing.pdf import SIGNATURE as PDF_SIGNATURE
from platewright.drawing.svg import SIGNATURE as SVG_SIGNATURE
from platewright.errors import OutputError
from platewright.values import dataclass

if sys.platform != "win32":
    import fcntl

DXF_SIGNATURE = "Written by Platewright"
"""Begins the first comment of every DXF that is written."""

_HIDDEN = ".platewright-"
#: Release 0.1.0 set single files aside under this name.
_ONCE_ASIDE = ".platewright-old-"


def write_all(outputs: Mapping[Path, bytes], *, overwrite: bool = False) -> None:
    """Write every output, or nothing.

    A file that the tool did not write is left alone unless `overwrite`; a device, a pipe or a
    folder always. Raises OutputError, with everything as it was before.
    """
    held = contextlib.ExitStack()
    made: list[Path] = []
    stages: list[_WriteStage] = []
    path = next(iter(outputs), Path())
    try:
        folders = sorted({each.parent for each in outputs})
        for path in outputs:
            require_file(path)
        for folder in folders:
            made.extend(_make_folder(folder))
            _hold(folder, held)
            _sweep(folder)
        for path in outputs:
            _require_free(path, overwrite=overwrite)
        for folder in folders:
            stages.append(_stage_in(folder))
            for path in (each for each in outputs if each.parent == folder):
                stages[-1].write(path.name, outputs[path])
            stages[-1].seal()
        for stage in stages:
            for path in (stage.folder / name for name, _ in _listed(stage.hidden)):
                stage.swap_in(path)
        for stage in stages:
            _list_of(stage.hidden).unlink()  # from here on the new files are the ones to keep
    except BaseException as error:  # also when the user breaks off
        for stage in stages:
            _put_back(stage.hidden)
            stage.close()
        for folder in reversed(made):
            with contextlib.suppress(OSError):
                folder.rmdir()
        if isinstance(error, OSError | ValueError):
            raise OutputError(
                f"cannot write {path}: {_reason(error)}; nothing was written"
            ) from error
        raise
    else:
        for stage in stages:
            stage.close()
    finally:
        held.close()


def gathered(out: Path, named: Iterable[tuple[str, Mapping[str, bytes]]]) -> dict[Path, bytes]:
    """The outputs of several parts, each with its part's name, by the path to write them to.

    Raises OutputError when two would write one file, also where a system takes A for a.
    """
    found: dict[Path, bytes] = {}
    owners: dict[str, str] = {}
    for owner, outputs in named:
        for name, data in outputs.items():
            other = owners.setdefault(name.lower(), owner)
            if other != owner or out / name in found:
                raise OutputError(
                    f"{other} and {owner} would both write {name}; nothing was written. Give each "
                    "a name of its own"
                )
            found[out / name] = data
    return found


# --- where an output may go -------------------------------------------------------------------


def require_folder(folder: Path) -> None:
    """Refuse a place where no folder can be, before anything is worked out for it."""
    try:
        require_file(folder / "output")
    except OutputError:
        raise OutputError(
            f"{folder} is a folder of devices, none to write in; nothing was written"
        ) from None
    there = next((p for p in (folder, *folder.parents) if os.path.exists(p)), folder)
    if os.path.exists(there) and not os.path.isdir(there):
        raise OutputError(f"{there} is no folder to write in; nothing was written")


def require_file(path: Path) -> None:
    """Refuse what names no plain file, before anything is opened: a pipe would be waited for."""
    folder = os.path.realpath(path.parent)
    there = os.path.exists(path) and not os.path.isdir(path)
    if (
        folder == "/dev"
        or folder.startswith(("/proc/", "/sys/"))
        or "-" in (path.name, str(path.parent))
        or (there and not os.path.isfile(path))
    ):
        raise OutputError(
            f"{path} is no plain file, but a device, a pipe or the like; nothing was written. Give "
            "the name of a file"
        )


def _make_folder(folder: Path) -> list[Path]:
    """Make a folder and its parents; those made, outermost first."""
    missing = [p for p in (folder, *folder.parents) if not os.path.exists(p)]
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise OutputError(f"{folder} is no folder to write in; nothing was written") from None
    except OSError as error:
        reason = _reason(error)
        raise OutputError(
            f"cannot make the folder {folder}: {reason}; nothing was written"
        ) from error
    return missing[::-1]


def _hold(folder: Path, held: contextlib.ExitStack) -> None:
    """Wait until no other call writes in a folder: files of two never stand there mixed."""
    if sys.platform != "win32":
        with contextlib.suppress(OSError):  # a folder may be one to write in and not to read
            opened = os.open(folder, os.O_RDONLY)
            held.callback(os.close, opened)
            fcntl.flock(opened, fcntl.LOCK_EX)


def _require_free(path: Path, *, overwrite: bool) -> None:
    # a path that cannot be is taken for one that is not there; writing tells why
    if os.path.isdir(path):
        raise OutputError(f"{path} is a folder; nothing was written")
    if os.path.exists(path) and not path.stat().st_mode & 0o222:  # a rename would not ask
        raise OutputError(
            f"{path} is write-protected; nothing was written. Allow writing to it, or choose "
            "another name"
        )
    if not os.path.lexists(path) or overwrite:
        return
    if not os.path.exists(path):
        raise OutputError(
            f"{path} is a link to a file that is not there; nothing was written. Move it, choose "
            "another name, or add --overwrite"
        )
    if not is_own(path):
        raise OutputError(
            f"{path} was not written by Platewright; nothing was written. Move it, choose another "
            "folder with --out, or add --overwrite"
        )


# --- whose file it is -------------------------------------------------------------------------

_LOOK = 8192
_HEAD = 131_072
_LARGEST_TABLE = 2_000_000
MOST_SIGNS = 1000
"""Fingerprints that a DXF has room for in its head."""

_SIGN = rb" fingerprint ([0-9A-Z]{3}-[0-9A-Z]{3})\b"
#: How files begin that are written here: in a DXF its first comments, in an SVG its description,
#: in TOML its first remark.
_HEADS = (
    rb"\s*999\r?\n%(dxf)b; coordinates in (inches|millimetres)\r?\n"
    rb"(?:\s*999\r?\n[\w-]+%(sign)b\r?\n)*+\s*0\r?\nSECTION"
    rb'|<svg xmlns="http://www\.w3\.org/2000/svg"[^<>]*>\s*<title>[^<]*</title>\s*<desc>%(svg)b[.<]'
    rb"|# %(dxf)b\b"
    % {b"dxf": DXF_SIGNATURE.encode(), b"svg": SVG_SIGNATURE.encode(), b"sign": _SIGN}
)
#: The end of a PDF that was written in one go: a later program's additions would add a table.
_PDF_END = rb"startxref\s+(\d+)\s+%%EOF\s*\Z"
_PDF_TABLE = rb"xref\s+0 (\d+)\s*?\n(?=\d{10} )"
_PDF_INFO = rb"(?s)trailer\s(?!.*/Prev\b).*/Info (\d+) 0 R"
_PDF_STRING = rb"\((?:[^()\\]|\\.)*+\)"
_PDF_ENTRIES = (
    rb"(?s)\d+ 0 obj\s+<<(?:\s*/(?!Producer\b)\w+\s+(?:/\w+|%(text)b))*+\s*/Producer \(%(mark)b\)\s"
    % {b"text": _PDF_STRING, b"mark": PDF_SIGNATURE.encode()}
)


def is_own(path: Path) -> bool:
    """Whether a file carries the tool's own mark, where that sort of file has a place for it.

    A file that another program has saved since, or added to, is no longer ours. Raises OutputError
    when it cannot be read.
    """
    try:
        if not path.is_file():
            return False
        with path.open("rb") as file:
            head = file.read(_HEAD)
            return _pdf_is_own(file) if head.startswith(b"%PDF-") else bool(re.match(_HEADS, head))
    except OSError as error:
        raise OutputError(f"cannot look at {path}: {_reason(error)}") from error


def _pdf_is_own(file: BinaryIO) -> bool:
    """By the document information that the trailer names (ISO 32000-1, 7.5.4, 7.5.5 and 14.3.3)."""
    file.seek(max(0, file.seek(0, os.SEEK_END) - _LOOK))
    if not (end := re.search(_PDF_END, file.read())):
        return False
    file.seek(int(end[1]))
    table = file.read(_LARGEST_TABLE)
    head, info = re.match(_PDF_TABLE, table), re.search(_PDF_INFO, table)
    if not (head and info and int(info[1]) < int(head[1])):
        return False
    entry = table[head.end() + 20 * int(info[1]) :][:10]  # each is 20 bytes long
    file.seek(int(entry) if entry.isdigit() else 0)
    return bool(re.match(_PDF_ENTRIES, file.read(_HEAD)))


# --- what stands in a folder ------------------------------------------------------------------

_ENDINGS = (".dxf", ".pdf", ".svg")


def own_in(folder: Path) -> tuple[Path, ...]:
    """The drawings in a folder that carry the tool's mark; those that cannot be read are passed."""
    found = []
    with contextlib.suppress(OSError):
        for path in sorted(folder.iterdir()):
            with contextlib.suppress(OutputError):
                if path.suffix.lower() in _ENDINGS and is_own(path):
                    found.append(path)
    return tuple(found)


def out_of_date(
    written: Collection[Path], made_from: Mapping[str, str], replaced: Callable[[str], bool]
) -> tuple[Path, ...]:
    """The tool's own drawings beside those written that are no longer what their names say.

    Those whose name a call would have written, had it been asked (`replaced`), and those that show
    a part from another state of its file: `made_from` are the fingerprints by the parts' names.
    """
    return tuple(
        path
        for folder in sorted({each.parent for each in written})
        for path in own_in(folder)
        if path not in written and (replaced(path.name) or _is_older(path, made_from))
    )


def _is_older(path: Path, made_from: Mapping[str, str]) -> bool:
    """Whether a file shows one of some parts, and not as its file says it now."""
    try:
        data = path.read_bytes()
    except OSError:
        return False
    told: dict[str, set[str]] = {}
    for sign in re.finditer(_SIGN, data):
        if name := re.search(rb"[\w-]+\Z", data[max(0, sign.start() - 80) : sign.start()]):
            told.setdefault(name[0].decode(), set()).add(sign[1].decode())
    return any(name in told and now not in told[name] for name, now in made_from.items())


# --- the hidden folder ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _WriteStage:
    """A hidden folder in the folder where outputs go, and the lock that says it is in use."""

    hidden: Path
    lock: BinaryIO

    @property
    def folder(self) -> Path:
        return self.hidden.parent

    def write(self, name: str, data: bytes) -> None:
        """Write one of the new files safely to the disk."""
        new = self.hidden / "new" / name
        with new.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if (place := self.folder / name).exists():
            new.chmod(place.stat().st_mode & 0o777)

    def seal(self) -> None:
        """Write down what is to be swapped in, each by the number that its file keeps."""
        new = sorted((self.hidden / "new").iterdir())
        part = self.hidden / "part"
        part.write_bytes(b"\0".join(b"%d %b" % (p.stat().st_ino, os.fsencode(p.name)) for p in new))
        part.replace(_list_of(self.hidden))

    def swap_in(self, place: Path) -> None:
        """Put a new file in its place; what stood there waits."""
        if os.path.lexists(place):
            place.replace(self.hidden / "old" / place.name)
        (self.hidden / "new" / place.name).replace(place)

    def close(self) -> None:
        """Clear the hidden folder away."""
        self.lock.close()
        shutil.rmtree(self.hidden, ignore_errors=True)


def _stage_in(folder: Path) -> _WriteStage:
    while True:
        hidden = Path(tempfile.mkdtemp(prefix=_HIDDEN, dir=folder))
        lock = _locked(hidden)
        if lock is not None:  # else another call has just taken it for left over
            break
    for name in ("new", "old"):
        (hidden / name).mkdir()
    return _WriteStage(hidden, lock)


def _locked(hidden: Path) -> BinaryIO | None:
    """The lock of a hidden folder, None while another call holds it.

    The system lets go of it when a call ends, however it ends.
    """
    path = hidden / "lock"
    with contextlib.ExitStack() as stack, contextlib.suppress(OSError):
        if sys.platform == "win32":
            path.unlink(missing_ok=True)  # refused while it is open
        file = stack.enter_context(path.open("wb"))
        if sys.platform != "win32":
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        stack.pop_all()
        return file
    return None


def _list_of(hidden: Path) -> Path:
    return hidden / "names"


def _listed(hidden: Path) -> list[tuple[str, int]]:
    """Names of the files to swap in, each with its file's number; none before the list is whole."""
    try:
        lines = _list_of(hidden).read_bytes().split(b"\0")
    except OSError:
        return []
    return [(os.fsdecode(n), int(number)) for number, _, n in (s.partition(b" ") for s in lines)]


def _put_back(hidden: Path) -> None:
    """Undo what has been swapped in; a file that has come to a place since then stays."""
    for name, number in _listed(hidden):
        place, old = hidden.parent / name, hidden / "old" / name
        with contextlib.suppress(OSError):
            if os.path.lexists(place) and place.lstat().st_ino != number:
                continue
            if os.path.lexists(old):
                old.replace(place)
            else:
                place.unlink(missing_ok=True)


def _sweep(folder: Path) -> None:
    """Put back, and clear away, what a call that was killed has left in a folder."""
    with contextlib.suppress(OSError):
        for left in sorted(folder.glob(f"{_HIDDEN}*")):
            if left.is_dir() and not left.is_symlink():
                if (lock := _locked(left)) is not None:
                    _put_back(left)
                    _WriteStage(left, lock).close()
            elif left.name.startswith(_ONCE_ASIDE) and not os.path.lexists(
                place := folder / left.name.removeprefix(_ONCE_ASIDE)
            ):
                left.replace(place)
            else:
                left.unlink()


def _reason(error: OSError | ValueError) -> str:
    return (getattr(error, "strerror", None) or str(error)).lower()
