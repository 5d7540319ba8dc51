"""Reading a draft as a command would: with the setup and shop files of its folder alone."""

from __future__ import annotations

import os
import stat
from pathlib import Path
from typing import Any

from platewright.errors import FileError
from platewright.files.job import Job
from platewright.files.reader import read_job
from platewright.files.setup import Setups, setups_beside
from platewright.files.shop_file import SHOP_NAME, ShopFile, shop_for
from platewright.page.form import KINDS
from platewright.values import dataclass


def setups_inside(name: str, used: dict[str, object]) -> Setups:
    """Setup files that a bracket file of this folder may name: plain files that lie in it.

    How each that is asked for stands is put into `used`, by its path.
    """
    beside = setups_beside(Path(name))

    def travel_at(path: str) -> Any:
        used[path] = _stands(path)
        if not inside(path):
            raise FileError.of(path, "no setup file in this folder")
        return beside(path)

    return travel_at


def shop_inside(name: str) -> ShopFile:
    """The shop's figures for a bracket file of this folder. Raises FileError."""
    if os.path.lexists(SHOP_NAME) and not inside(SHOP_NAME):
        words = f"{SHOP_NAME} is a link: the page reads no file outside this folder"
        raise FileError.of(SHOP_NAME, words)
    return shop_for(Path(name), "beside")


def inside(path: str) -> bool:
    """Whether a path, followed to its end, is a plain file below the folder one stands in."""
    try:
        real = Path(os.path.realpath(path))
        return real.is_relative_to(os.path.realpath(".")) and stat.S_ISREG(real.stat().st_mode)
    except (OSError, ValueError):
        return False


@dataclass(frozen=True, slots=True)
class _Kept:
    """A job that was read, and how the other files stood that it was read with."""

    job: Job
    stood: tuple[tuple[str, object], ...]


_MOST_KEPT = 24
_kept: dict[tuple[str, str], _Kept] = {}


def read(name: str, text: str) -> Job:
    """The job of a text, with what has been worked out of its parts.

    It is read once, as long as the setup and the shop file that it was read with stay as they are.
    Raises FileError.
    """
    known = _kept.pop((name, text), None)
    if known is None or any(_stands(path) != how for path, how in known.stood):
        used = {SHOP_NAME: _stands(SHOP_NAME)}
        job = read_job(text, name, KINDS, setups_inside(name, used), (), shop_inside(name))
        known = _Kept(job, tuple(used.items()))
    _kept[name, text] = known
    if len(_kept) > _MOST_KEPT:
        del _kept[next(iter(_kept))]
    return known.job


def _stands(path: str) -> object:
    """How a file stands on the disk, None where there is none."""
    try:
        own, end = os.lstat(path), os.stat(path)
    except (OSError, ValueError):
        return None
    return own.st_mode, own.st_ino, end.st_ino, end.st_mtime_ns, end.st_size
