"""The nest of a page: one search at a time, in a worker of its own, watched and ended at will."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field
from typing import Any

from platewright.errors import OutputError
from platewright.page.folder import Folder
from platewright.page.made import Options, nested, write_nest
from platewright.page.work import DefectError, RefusedError, TooLongError, Worker

_LIMIT = 1800.0  # s


@dataclass(slots=True)
class NestSearch:
    """A search for a nest: how far it is, and what it came to."""

    number: int
    share: float = 0.0
    best: str = ""
    state: str = "running"
    error: str = ""
    messages: list[dict[str, Any]] = field(default_factory=list)
    found: dict[str, Any] = field(default_factory=dict)


class Nesting:
    """The searches of a folder; a further one waits for nobody: it is refused while one runs."""

    def __init__(self, folder: Folder) -> None:
        self._folder = folder
        self._worker = Worker(folder.root)
        self._lock = threading.Lock()
        self._search = NestSearch(0, state="done")

    def start(self, texts: list[tuple[str, str]], options: Options) -> NestSearch:
        """Begin to search. Raises OutputError while another search is under way."""
        with self._lock:
            if self._search.state == "running":
                raise OutputError("a nest is being searched for already: stop it first")
            self._search = search = NestSearch(self._search.number + 1)
        threading.Thread(target=self._run, args=(search, texts, options), daemon=True).start()
        return search

    def _run(self, search: NestSearch, texts: list[tuple[str, str]], options: Options) -> None:
        def told(said: dict[str, Any]) -> None:
            search.share, search.best = said["share"], said["best"]

        try:
            search.found = self._worker.ask(nested, texts, options, limit=_LIMIT, told=told)
            search.share, search.state = 1.0, "done"
        except RefusedError as error:
            search.messages = list(error.mistakes)
            search.error = self._folder.without_path(str(error))
        except TooLongError:
            search.error = "this took too long and was broken off"
        except DefectError:
            search.error = "this should not have happened; nothing was written"
        finally:
            if search.state == "running":
                search.state = "failed"

    def search(self, number: int) -> NestSearch | None:
        """The search of that number, None when it is no more the last one."""
        return self._search if number and number == self._search.number else None

    def stop(self) -> None:
        """End the search that is under way; the best that it found is kept."""
        self._worker.tell("stop")

    def write(self, search: NestSearch, *, overwrite: bool) -> Any:
        """Write what a search came to into the folder, as `nest` would. Raises RefusedError."""
        found = search.found
        given = (found["outputs"], found["made_from"], found["name"], overwrite)
        return self._worker.ask(write_nest, *given, limit=60.0)

    def close(self) -> None:
        """End whatever runs."""
        self._worker.close()
