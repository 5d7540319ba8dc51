"""Everything Platewright can complain about, in one tree.

::

    PlatewrightError
    ├── UnitError        a text that is no length, angle, count or size
    ├── GeometryError    a shape that cannot be (a gap, a zero radius, a vanished offset)
    │   └── FlattenError   a drawn panel that its bends leave nothing of
    ├── FileError        a bracket file with one or more Mistakes
    ├── BuildError       measurements that are each allowed but make no bracket together
    ├── NestError        parts that do not go on the stock that is given
    └── OutputError      an output that may not or cannot be written

Exceptions hold data; the command line turns them into words.
"""

from __future__ import annotations

from platewright.values import dataclass


class PlatewrightError(Exception):
    """The root: catch this to catch whatever the library refuses."""


class UnitError(PlatewrightError):
    """A text or number that cannot be read as the quantity it should be."""


class GeometryError(PlatewrightError):
    """A shape that cannot exist as asked."""


class FlattenError(GeometryError):
    """A drawn panel that cannot be laid flat: at an edge, or "" for the whole of it."""

    def __init__(self, message: str, panel: str, edge: str = "") -> None:
        self.panel = panel
        self.edge = edge
        super().__init__(message)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mistake:
    """One thing wrong in a file.

    `file` is the path as the user gave it, `key` the dotted path of the key ("bolts.spacing"),
    `given` what stood there (None for a missing key), `message` what is wrong and what is allowed,
    `nearest` the key or choice that may have been meant.
    """

    file: str
    key: str
    message: str
    given: str | None = None
    nearest: str | None = None

    def __str__(self) -> str:
        place = f"{self.file}: {self.key}" if self.key else self.file
        given = f" (given: {self.given})" if self.given is not None else ""
        hint = f"; did you mean {self.nearest!r}?" if self.nearest else ""
        return f"{place}: {self.message}{given}{hint}"


class FileError(PlatewrightError):
    """A file with mistakes; all of them at once, in file order."""

    def __init__(self, mistakes: tuple[Mistake, ...]) -> None:
        self.mistakes = mistakes
        super().__init__("\n".join(str(mistake) for mistake in mistakes))

    @classmethod
    def of(cls, file: object, message: str, key: str = "", nearest: str | None = None) -> FileError:
        """The error of one mistake, with nothing that was given."""
        return cls((Mistake(file=str(file), key=key, message=message, nearest=nearest),))


class BuildError(PlatewrightError):
    """Measurements that make no bracket together; `keys` name the ones that disagree."""

    def __init__(self, message: str, *keys: str) -> None:
        self.message = message
        self.keys = keys
        super().__init__(message)


class NestError(PlatewrightError):
    """Parts that do not go on the stock that is given, or stock that cannot be."""


class OutputError(PlatewrightError):
    """An output that may not or cannot be written; nothing was written."""
