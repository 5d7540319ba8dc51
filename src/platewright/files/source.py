"""The edge where files are read: from a path to text, and words for what cannot be read."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

from platewright.errors import FileError, Mistake

#: No job file of honest work comes near this size, in bytes.
LARGEST_FILE = 500_000


def read_text(path: Path | str) -> str:
    """The text of a file. Raises FileError where there is none to be had."""
    try:
        data = _read_bytes(Path(path))
    except FileNotFoundError:
        if Path(path).is_symlink():
            raise _refusal(path, "a link to a file that is not there") from None
        raise _refusal(path, "no such file", _sibling(Path(path))) from None
    except PermissionError:
        raise _refusal(path, "you may not read this file") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise _refusal(path, f"cannot be read: {reason}") from None
    return _decoded(path, data)


def _read_bytes(path: Path) -> bytes:
    if path.is_dir():
        raise _refusal(path, "this is a folder, not a file")
    if path.exists() and not path.is_file():
        raise _refusal(path, "this is a device, not a file")
    with path.open("rb") as file:
        return file.read(LARGEST_FILE + 1)


def _decoded(path: Path | str, data: bytes) -> str:
    if len(data) > LARGEST_FILE:
        raise _refusal(path, f"larger than {LARGEST_FILE // 1000} kB: no job file")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise _refusal(path, f"line {line} is no UTF-8 text: save it as plain UTF-8") from None


def _refusal(path: Path | str, message: str, near: str | None = None) -> FileError:
    return FileError((Mistake(file=str(path), key="", message=message, nearest=near),))


def _sibling(path: Path) -> str | None:
    """A file beside a path, with a name that is near; the ending alone makes none near."""
    try:
        names = {each.stem: each.name for each in path.parent.iterdir()}
    except (OSError, ValueError):
        return None
    return next((names[stem] for stem in get_close_matches(path.stem, names, n=1)), None)
