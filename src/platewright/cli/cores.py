"""Several files made on all cores, where that pays: the same bytes in the same order."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from platewright.product import MadePart, MakeOptions, make_parts, possible_parts

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

    from platewright.files.job import Job

#: Files from which other processes pay: one that begins as a copy costs little, one that must load
#: everything anew about as much as it takes to make three files.
_WORTH_COPYING, _WORTH_LOADING = 2, 10

Read = Callable[[Path], "Job"]
"""From a file to its job, as the call reads it."""


def make_on_all_cores(
    jobs: Sequence[Job], read: Read, options: MakeOptions, progress: Callable[[str], None]
) -> tuple[MadePart, ...]:
    """What `make_parts` makes, told and refused in its words.

    Every job is shared out by its path to a process that reads it again; a job of which such a
    process hands nothing back is made here.
    """
    copied = sys.platform == "linux"
    workers = min(_cores(), len(jobs))
    if workers < 2 or len(jobs) < (_WORTH_COPYING if copied else _WORTH_LOADING):
        return make_parts(jobs, options, progress)
    parts = possible_parts(jobs)
    told = iter([f"{count} of {len(parts)}: {part.name}" for count, part in enumerate(parts, 1)])
    made: list[MadePart] = []
    paths = [Path(job.path) for job in jobs]
    with _others(paths, workers, read, options, "fork" if copied else "spawn") as others:
        for index, job in enumerate(jobs):
            # this process makes the first of each round
            other = others[index % workers - 1] if index % workers else None
            found: list[Any] | None = None
            if other:
                with suppress(EOFError, OSError):
                    found = other.recv()
            if found is None:
                made.extend(make_parts((job,), options, lambda _: progress(next(told))))
                continue
            for part, (outputs, pages, check_pages) in zip(job.parts, found, strict=True):
                progress(next(told))
                made.append(
                    MadePart(
                        part=part, outputs=outputs, template_pages=pages, check_pages=check_pages
                    )
                )
    return tuple(made)


def _cores() -> int:
    """How many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


@contextmanager
def _others(
    paths: Sequence[Path], workers: int, read: Read, options: MakeOptions, method: str
) -> Iterator[list[Connection]]:
    """Processes that make all but the first of each round, ended when they are no longer wanted."""
    import multiprocessing

    context: Any = multiprocessing.get_context(method)
    begun: list[tuple[Any, Connection]] = []
    for number in range(1, workers):
        ours, theirs = context.Pipe(duplex=False)
        copies = [*(other for _, other in begun), ours] if method == "fork" else []
        given = (paths[number::workers], read, options, theirs, copies)
        process = context.Process(target=_make_each, args=given, daemon=True)
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


def _make_each(
    paths: Sequence[Path],
    read: Read,
    options: MakeOptions,
    to: Connection,
    copies: Sequence[Connection],
) -> None:
    """In the other process: what is made of each file, sent as soon as it is wanted.

    `copies` are listening ends that a copied process has too: with them open it would not learn
    that nobody listens any longer.
    """
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever called hears of it
    for copy in copies:
        copy.close()
    for path in paths:
        try:
            made = make_parts((read(path),), options, lambda _line: None)
        except Exception:  # told in the words of whoever makes it again
            made = None
        try:
            to.send(made and [(dict(m.outputs), m.template_pages, m.check_pages) for m in made])
        except OSError:  # nobody listens any longer
            return
