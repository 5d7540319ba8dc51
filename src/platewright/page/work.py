"""Work in a process of its own, that can be ended: no file can hang the page.

One worker does one thing at a time; of things that replace one another only the newest is done.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import sys
import threading
import time
from collections.abc import Callable
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from platewright.errors import BuildError, FileError, Mistake, OutputError, PlatewrightError

MEMORY = 4 * 2**30
"""Bytes that a worker may ask for, where the system can hold it to that."""

_START = 60.0  # s, at most, for a worker to load what it needs
_OUTDATED = 2.0  # s after which work is broken off that nobody waits for any more
_LOOK = 0.05  # s


class SupersededError(Exception):
    """Newer work has taken the place of this."""


class TooLongError(Exception):
    """The work took longer than it may, and was ended."""


class RefusedError(Exception):
    """What was asked for cannot be: (key, message, given, nearest) of every mistake."""

    def __init__(self, mistakes: tuple[dict[str, Any], ...]) -> None:
        self.mistakes = mistakes
        super().__init__("; ".join(str(each["message"]) for each in mistakes))


class DefectError(Exception):
    """Something that should not have happened."""


class Worker:
    """A process beside this one, in a folder, that is started again when it had to be ended."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._turn = threading.Condition()
        self._busy = False
        self._sending, self._life = threading.Lock(), threading.Lock()
        self._closed = False
        self._process: Any = None
        self._pipe: Connection | None = None

    def ask(
        self,
        task: Callable[..., Any],
        *given: Any,
        late: Callable[[], tuple[Any, ...]] = tuple,
        limit: float = 10.0,
        wanted: Callable[[], bool] = lambda: True,
        told: Callable[[Any], None] | None = None,
    ) -> Any:
        """What a task, a function of a module, answers within `limit` seconds.

        It is called with what is `given` and with what `late` says once its turn has come.
        `wanted` tells whether the answer still is; `told` is called with what the task tells on
        the way. Raises SupersededError, TooLongError, RefusedError, OutputError, DefectError.
        """
        with self._turn:
            while self._busy:
                if not wanted():
                    raise SupersededError
                self._turn.wait(_LOOK)
            if not wanted():
                raise SupersededError
            self._busy = True
        try:
            return self._answer(task, (*given, *late()), limit, wanted, told)
        except (EOFError, OSError):
            self._end()
            raise TooLongError from None  # it ran out of memory, or was ended from outside
        finally:
            with self._turn:
                self._busy = False
                self._turn.notify_all()

    def start(self) -> None:
        """Begin to load what the worker needs, without waiting for it."""
        threading.Thread(target=self._warm, daemon=True).start()

    def _warm(self) -> None:
        with contextlib.suppress(Exception):
            self.ask(_nothing, limit=_START)

    def _answer(
        self,
        task: Callable[..., Any],
        given: tuple[Any, ...],
        limit: float,
        wanted: Callable[[], bool],
        told: Callable[[Any], None] | None,
    ) -> Any:
        pipe = self._ready()
        with self._sending:
            pipe.send((task, given))
        begun = time.monotonic()
        while True:
            if pipe.poll(_LOOK):
                sort, answer = pipe.recv()
                if sort == "told":
                    if told is not None:
                        told(answer)
                    continue
                break
            spent = time.monotonic() - begun
            if spent > limit:
                self._end()
                raise TooLongError
            if spent > _OUTDATED and not wanted():
                self._end()
                raise SupersededError
        if sort == "refused":
            raise RefusedError(answer)
        if sort == "not written":
            raise OutputError(answer)
        if sort == "defect":
            raise DefectError(answer)
        return answer

    def _ready(self) -> Connection:
        with self._life:
            if self._pipe is not None and self._process.is_alive():
                return self._pipe
        self._end()
        context = multiprocessing.get_context("spawn")
        with self._life:
            if self._closed:
                raise TooLongError
            pipe, other = context.Pipe()
            self._process = context.Process(
                target=serve, args=(other, str(self._folder)), daemon=True
            )
            self._pipe = pipe
            self._process.start()
            other.close()
        if not pipe.poll(_START):
            self._end()
            raise TooLongError
        pipe.recv()
        return pipe

    def tell(self, word: str) -> None:
        """Send a word to the task that is under way."""
        with self._life:
            pipe = self._pipe
        if pipe is not None:
            with contextlib.suppress(OSError), self._sending:
                pipe.send(word)

    def close(self) -> None:
        """End the process, whatever it does; there will be no other."""
        self._closed = True
        self._end()

    def _end(self) -> None:
        with self._life:
            pipe, process = self._pipe, self._process
            self._pipe = self._process = None
        if process is not None:
            process.kill()
            process.join()
            process.close()
        if pipe is not None:
            pipe.close()


# --- inside the process -----------------------------------------------------------------------

_line: Connection | None = None


def serve(line: Connection, folder: str) -> None:
    """Do what is asked, one thing after another, until the other end is closed."""
    global _line
    _line = line
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the one who asks ends it
    os.chdir(folder)
    if sys.platform != "win32":
        import resource

        with contextlib.suppress(OSError, ValueError):
            resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    with contextlib.suppress(KeyboardInterrupt, EOFError, OSError):
        import platewright.page.made  # what most work needs is loaded before any is asked for

        del platewright
        line.send(("ready", None))
        while True:
            asked = line.recv()
            if not isinstance(asked, str):  # else a word to work that is done already
                line.send(answered(*asked))


def tell(said: Any) -> tuple[str, ...]:
    """Tell the one who asked how far the work is; the words that have come from there."""
    words = []
    if _line is not None:
        _line.send(("told", said))
        while _line.poll():
            words.append(str(_line.recv()))
    return tuple(words)


def answered(task: Callable[..., Any], given: tuple[Any, ...]) -> tuple[str, Any]:
    """How a task ended: "answer", "refused", "not written" or "defect", and with what."""
    try:
        return "answer", task(*given)
    except FileError as error:
        return "refused", tuple(mistake_json(each) for each in error.mistakes)
    except BuildError as error:
        return "refused", _refusal(error.message, *error.keys[:1])
    except OutputError as error:
        return "not written", str(error)
    except PlatewrightError as error:
        return "refused", _refusal(str(error))
    except (MemoryError, RecursionError):
        return "refused", _refusal("this is more than the page can work out")
    except Exception as error:
        return "defect", type(error).__name__


def mistake_json(mistake: Any) -> dict[str, Any]:
    """A mistake in a file without the file's name."""
    return {
        "key": mistake.key,
        "message": mistake.message,
        "given": mistake.given,
        "nearest": mistake.nearest,
    }


def _refusal(message: str, key: str = "") -> tuple[dict[str, Any], ...]:
    return (mistake_json(Mistake(file="", key=key, message=message)),)


def _nothing() -> None:
    """A task that does nothing."""
