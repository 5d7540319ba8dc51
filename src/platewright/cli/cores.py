"""Several files worked out on all cores, where that pays: the same answers in the same order."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

    from platewright.files.job import Job

T = TypeVar("T")

#: Files from which other processes pay: one that begins as a copy costs little, one that must load
#: everything anew about as much as it takes to make three files, or to check ten.
MAKING, CHECKING = (2, 10), (6, 40)

Read = Callable[[Path], "Job"]
"""From a file to its job, as the call reads it."""


@contextmanager
def shared_out(
    jobs: Sequence[Job], read: Read, answer: Callable[[tuple[Job]], T], worth: tuple[int, int]
) -> Iterator[Iterator[T | None]]:
    """The answer to each job in turn, or None where the caller has to find it.

    A process that begins as a copy has the jobs with all that is worked out of them; another reads
    its own again, for a part holds functions, which cannot be sent. The first of each round is left
    to the caller, and so is each that such a process hands nothing back of. `answer` is a function
    of a module, with some of its arguments given, and what it gives can be sent.
    """
    copied = sys.platform == "linux"
    workers = min(_cores(), len(jobs))
    if workers < 2 or len(jobs) < worth[0 if copied else 1]:
        yield iter([None] * len(jobs))
        return
    with _others(jobs, workers, None if copied else read, answer) as others:
        yield (
            _received(others[index % workers - 1]) if index % workers else None
            for index in range(len(jobs))
        )


def _received(other: Connection) -> Any:
    with suppress(EOFError, OSError):
        return other.recv()
    return None


def _cores() -> int:
    """How many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


@contextmanager
def _others(
    jobs: Sequence[Job],
    workers: int,
    read: Read | None,
    answer: Callable[[tuple[Job]], Any],
) -> Iterator[list[Connection]]:
    """Processes that answer all but the first of each round, ended when no longer wanted."""
    import multiprocessing

    context: Any = multiprocessing.get_context("spawn" if read else "fork")
    shared = [Path(job.path) for job in jobs] if read else jobs
    begun: list[tuple[Any, Connection]] = []
    for number in range(1, workers):
        ours, theirs = context.Pipe(duplex=False)
        copies = [] if read else [*(other for _, other in begun), ours]
        given = (shared[number::workers], read, answer, theirs, copies)
        process = context.Process(target=_answer_each, args=given, daemon=True)
        process.start()
        theirs.close()
        begun.append((process, ours))
    try:
        yield [ours for _, ours in begun]
    finally:
        for process, ours in begun:
            ours.close()
            process.terminate()
            process.join()


def _answer_each(
    shared: Sequence[Any],
    read: Read | None,
    answer: Callable[[tuple[Job]], Any],
    to: Connection,
    copies: Sequence[Connection],
) -> None:
    """In the other process: the answer to each file, sent as soon as it is wanted.

    `copies` are listening ends that a copied process has too: with them open it would not learn
    that nobody listens any longer.
    """
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever called hears of it
    for copy in copies:
        copy.close()
    for each in shared:
        try:
            found = answer((read(each) if read else each,))
        except Exception:  # told in the words of whoever finds it again
            found = None
        try:
            to.send(found)
        except OSError:  # nobody listens any longer
            return
