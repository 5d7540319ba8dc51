"""Writing the outputs: all of them or none, and never over somebody else's file."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path

from platewright.errors import OutputError

#: Every output carries this word near its head or its end; a file without it is not ours.
_MARK = b"Platewright"
_LOOK = 8192


def write_all(outputs: Mapping[Path, bytes], *, overwrite: bool = False) -> None:
    """Write every output, or nothing.

    Each is written beside its place under a temporary name; only when all are safely on the disk
    are they renamed. A file that the tool did not write is left alone unless `overwrite`.
    Raises OutputError, with everything as it was before.
    """
    made: list[Path] = []
    try:
        for folder in sorted({path.parent for path in outputs}):
            made.extend(_make_folder(folder))
        for path in outputs:
            _require_free(path, overwrite=overwrite)
        staged = _stage(outputs)
        _swap_in(staged)
    except BaseException:  # also when the user breaks off
        _remove_folders(made)
        raise


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


def _remove_folders(made: list[Path]) -> None:
    for folder in reversed(made):
        with contextlib.suppress(OSError):
            folder.rmdir()


def _require_free(path: Path, *, overwrite: bool) -> None:
    # these two take a path that cannot be for one that is not there; writing tells why
    if os.path.isdir(path):
        raise OutputError(f"{path} is a folder; nothing was written")
    if os.path.exists(path) and not overwrite and not is_own(path):
        raise OutputError(
            f"{path} was not written by Platewright; nothing was written. Move it, choose another "
            "folder with --out, or add --overwrite"
        )


def is_own(path: Path) -> bool:
    """Whether a file carries the tool's own mark. Raises OutputError when it cannot be read."""
    try:
        with path.open("rb") as file:
            head = file.read(_LOOK)
            size = file.seek(0, os.SEEK_END)
            file.seek(max(0, size - _LOOK))
            return _MARK in head or _MARK in file.read()
    except OSError as error:
        raise OutputError(f"cannot look at {path}: {_reason(error)}") from error


def _stage(outputs: Mapping[Path, bytes]) -> dict[Path, Path]:
    """Write each output under a temporary name beside its place."""
    staged: dict[Path, Path] = {}
    path = Path()
    try:
        for path, data in outputs.items():
            handle, name = tempfile.mkstemp(prefix=".platewright-", dir=path.parent)
            staged[path] = Path(name)
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            staged[path].chmod(_usual_mode(path))
    except BaseException as error:
        _discard(staged.values())
        _tell(path, error)
        raise
    return staged


def _tell(path: Path, error: BaseException) -> None:
    """Raises OutputError for what the system refuses; anything else is for the caller to raise."""
    if isinstance(error, OSError):
        raise OutputError(f"cannot write {path}: {_reason(error)}; nothing was written") from error


def _usual_mode(path: Path) -> int:
    """The mode a plainly written file would have: that of the file replaced, or by the umask."""
    if path.exists():
        return path.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _swap_in(staged: Mapping[Path, Path]) -> None:
    """Rename all into place; put everything back when one cannot be."""
    kept: dict[Path, Path | None] = {}
    path = Path()
    try:
        for path, new in staged.items():
            kept[path] = _set_aside(path)
            new.replace(path)
    except BaseException as error:
        _put_back(kept, staged)
        _tell(path, error)
        raise
    _discard(old for old in kept.values() if old is not None)


def _set_aside(path: Path) -> Path | None:
    """A second name for what stands at a place, so that it can be put back."""
    if not path.exists():
        return None
    aside = path.with_name(f".platewright-old-{path.name}")
    aside.unlink(missing_ok=True)
    path.replace(aside)
    return aside


def _put_back(kept: Mapping[Path, Path | None], staged: Mapping[Path, Path]) -> None:
    for path, old in kept.items():
        with contextlib.suppress(OSError):
            if old is not None:
                old.replace(path)
            elif not staged[path].exists():
                path.unlink(missing_ok=True)
    _discard(staged.values())


def _discard(paths: Iterable[Path]) -> None:
    for path in paths:
        with contextlib.suppress(OSError):
            path.unlink(missing_ok=True)


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()
