"""The one folder that a page works in: its files read and written, and nothing outside it."""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import stat
from pathlib import Path

from platewright.errors import OutputError, PlatewrightError
from platewright.files.outputs import write_all
from platewright.files.source import LARGEST_FILE
from platewright.values import dataclass

_MOST_FILES = 500
_NAME = re.compile(r"[^\W_][^/\\:*?\"<>|\x00-\x1f\x7f]{0,99}\.toml", re.IGNORECASE)
#: Names that some systems keep for devices.
_DEVICES = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)

#: What sort of file it is by the first line that tells; each sort has one of its own.
_SORTS = (
    ("readings", re.compile(r"^[ \t]*made_of[ \t]*=", re.MULTILINE)),
    ("setup", re.compile(r"^[ \t]*\[[ \t]*travel[ \t]*\][ \t]*\+?", re.MULTILINE)),
    ("bracket", re.compile(r"^[ \t]*(kind[ \t]*=|\[\[[ \t]*part[ \t]*\]\])", re.MULTILINE)),
    (
        "shop",
        re.compile(
            r"^[ \t]*\[\[?[ \t]*(tape|hands|kerf|printer|rack|remnant)[ \t]*\]", re.MULTILINE
        ),
    ),
    ("remnant", re.compile(r"^[ \t]*outline[ \t]*=", re.MULTILINE)),
)


class NoSuchFileError(PlatewrightError):
    """A name that is none of this folder's files."""


@dataclass(frozen=True, slots=True)
class FoundFile:
    """A file of the folder: its name and what sort of file it is."""

    name: str
    sort: str


@dataclass(frozen=True, slots=True)
class Folder:
    """A folder whose TOML files may be read and written; `root` is followed to its end once."""

    root: Path

    @classmethod
    def at(cls, path: Path) -> Folder:
        """The folder of that path."""
        return cls(Path(os.path.realpath(path)))

    def files(self) -> tuple[FoundFile, ...]:
        """The folder's TOML files by name, links and what is no plain file left out."""
        found: list[FoundFile] = []
        with contextlib.suppress(OSError), os.scandir(self.root) as entries:
            for entry in sorted(entries, key=lambda each: each.name.lower())[: 20 * _MOST_FILES]:
                if not _NAME.fullmatch(entry.name) or len(found) >= _MOST_FILES:
                    continue
                with contextlib.suppress(NoSuchFileError):
                    found.append(FoundFile(entry.name, self.sort_of(self.read(entry.name))))
        return tuple(found)

    @staticmethod
    def sort_of(text: str) -> str:
        """Which sort of file a text is: "bracket", "setup", "remnant" or "other"."""
        return next((sort for sort, told in _SORTS if told.search(text)), "other")

    def require_name(self, name: str) -> None:
        """Refuse what is no plain name of a TOML file. Raises NoSuchFileError."""
        if not _NAME.fullmatch(name) or _DEVICES.fullmatch(name) or not name.isprintable():
            raise NoSuchFileError(
                "no name for a file: letters, digits, blanks, - and _, and .toml at the end"
            )

    def there(self, name: str) -> bool:
        """Whether anything of that name is in the folder, also a link that leads nowhere."""
        self.require_name(name)
        return os.path.lexists(self.root / name)

    def read(self, name: str) -> str:
        """The text of a file. Raises NoSuchFileError; a link is none of the folder's files."""
        self.require_name(name)
        flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
        path = self.root / name
        try:
            if path.is_symlink():
                raise NoSuchFileError("this is a link, not a file of this folder")
            with open(os.open(path, flags | getattr(os, "O_BINARY", 0)), "rb") as file:
                if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
                    raise NoSuchFileError("this is no plain file")
                data = file.read(LARGEST_FILE + 1)
        except FileNotFoundError:
            raise NoSuchFileError("no such file in this folder") from None
        except OSError:
            raise NoSuchFileError("this file cannot be read") from None
        if len(data) > LARGEST_FILE:
            raise NoSuchFileError(f"larger than {LARGEST_FILE // 1000} kB: no job file")
        try:
            return data.decode("utf-8").removeprefix("\ufeff")
        except UnicodeDecodeError:
            raise NoSuchFileError("no UTF-8 text: save it as plain UTF-8") from None

    def on_disk(self, name: str) -> str | None:
        """The text of a file, None when there is nothing of that name. Raises NoSuchFileError."""
        return self.read(name) if self.there(name) else None

    def write(self, name: str, text: str) -> None:
        """Write a file whole or not at all. Raises OutputError."""
        self.require_name(name)
        if (self.root / name).is_symlink():
            raise OutputError("this is a link, not a file of this folder; nothing was written")
        self.write_all({name: text.encode()}, overwrite=True)

    def write_all(self, outputs: dict[str, bytes], *, overwrite: bool) -> None:
        """Write outputs into the folder, all or none. Raises OutputError without the path."""
        try:
            write_all({self.root / n: data for n, data in outputs.items()}, overwrite=overwrite)
        except OutputError as error:
            raise OutputError(self.without_path(str(error))) from None

    def without_path(self, words: str) -> str:
        """Words with the folder's own place taken out of them."""
        return words.replace(f"{self.root}{os.sep}", "").replace(str(self.root), "this folder")


def sign_of(text: str | None) -> str:
    """A sign of a text, by which a caller tells which one was seen; of none "none"."""
    return "none" if text is None else hashlib.sha256(text.encode()).hexdigest()[:16]
