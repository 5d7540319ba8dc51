"""Drafts: what is being changed on the page and is not saved yet, one for each file."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from typing import Any

from platewright.errors import OutputError
from platewright.page.folder import Folder, NoSuchFileError, sign_of
from platewright.page.made import readings_of
from platewright.page.state import draft_state, starter_text
from platewright.page.work import DefectError, TooLongError, Worker

_MOST_DRAFTS = 200
_MOST_EDITS = 2000
_MOST_STEPS = 100
_MOST_REMEMBERED = 5_000_000  # letters of all steps of a draft, about


class ConflictError(Exception):
    """The file on the disk is not the one that the draft began from; `told` says what differs."""

    def __init__(self, told: dict[str, Any]) -> None:
        self.told = told
        super().__init__(told["error"])


@dataclass(slots=True)
class Draft:
    """The text of a file as the page has it.

    `saved` is the file's text as it was last read or written, None for one that is not written
    yet; `before` the last text that made a bracket; `pending` are edits to be made yet; a
    `revision` counts changes, `replaced` those that put another text in the whole one's place.
    """

    name: str
    text: str
    saved: str | None
    before: str | None = None
    pending: list[Mapping[str, Any]] = field(default_factory=list)
    revision: int = 0
    replaced: int = 0
    earlier: list[str] = field(default_factory=list)
    later: list[str] = field(default_factory=list)
    last_keys: tuple[str, ...] = ()
    lock: threading.Lock = field(default_factory=threading.Lock)


class Drafts:
    """The drafts of a folder, worked out by a worker."""

    def __init__(self, folder: Folder, worker: Worker) -> None:
        self._folder = folder
        self._worker = worker
        self._drafts: dict[str, Draft] = {}
        self._lock = threading.Lock()

    def names(self) -> dict[str, bool]:
        """The files that are open, and whether each has changes that are not saved."""
        with self._lock:
            drafts = list(self._drafts.values())
        return {each.name: each.text != each.saved or bool(each.pending) for each in drafts}

    def draft(self, name: str) -> Draft:
        """The draft of a file, begun from the file when there is none. Raises NoSuchFileError."""
        self._folder.require_name(name)
        with self._lock:
            if name in self._drafts:
                return self._drafts[name]
        text = self._folder.read(name)
        return self._keep(Draft(name, text, text))

    def _keep(self, draft: Draft) -> Draft:
        with self._lock:
            if draft.name not in self._drafts and len(self._drafts) >= _MOST_DRAFTS:
                clean = next((n for n, d in self._drafts.items() if d.text == d.saved), None)
                if clean is None:
                    raise OutputError("too many files are open: save some first")
                del self._drafts[clean]
            return self._drafts.setdefault(draft.name, draft)

    def text_of(self, name: str) -> str:
        """What the page has of a file, or else what the file says. Raises NoSuchFileError."""
        with self._lock:
            draft = self._drafts.get(name)
        return draft.text if draft else self._folder.read(name)

    def begin(self, name: str, kind: str, unit: str) -> Draft:
        """A new draft of a kind, from its starter file. Raises OutputError for a name in use."""
        self._require_free(name)
        text = self._worker.ask(starter_text, kind, unit)
        return self._keep(Draft(name, text, None))

    def _require_free(self, name: str) -> None:
        with self._lock:
            taken = name.lower() in {each.lower() for each in self._drafts}
        taken = taken or name.lower() in {each.name.lower() for each in self._folder.files()}
        if taken or self._folder.there(name):
            raise OutputError(f"{name} is there already: choose another name")

    # --- changing ---------------------------------------------------------------------------------

    def change(
        self,
        name: str,
        *,
        number: int = 1,
        text: str | None = None,
        edits: Sequence[Mapping[str, Any]] = (),
        back: int = 0,
    ) -> dict[str, Any]:
        """Change a draft, by a whole text, by edits or a step `back` (or on, -1); its state then.

        Of changes that wait only the newest is worked out, with the edits of all of them. Raises
        SupersededError for the others.
        """
        draft = self.draft(name)
        with draft.lock:
            changes = text is not None or bool(edits) or bool(back)
            if text is not None:
                self._replace(draft, text)
            elif back:
                self._step(draft, back)
            else:
                if len(draft.pending) + len(edits) > _MOST_EDITS:
                    raise OutputError("too many changes at once")
                draft.pending.extend({"part": number, **each} for each in edits)
            draft.revision += changes
            mine = draft.revision
        return self._state(draft, number, mine, changes=changes)

    def _replace(self, draft: Draft, text: str) -> None:
        if text != draft.text:
            _remember(draft, draft.text, ())
        draft.text = text
        draft.pending.clear()
        draft.replaced += 1

    def _step(self, draft: Draft, back: int) -> None:
        taken, given = (draft.earlier, draft.later) if back > 0 else (draft.later, draft.earlier)
        if taken:
            given.append(draft.text)
            draft.text = taken.pop()
            draft.pending.clear()
            draft.replaced += 1
            draft.last_keys = ()

    def _state(self, draft: Draft, number: int, mine: int, *, changes: bool) -> dict[str, Any]:
        taken: list[Mapping[str, Any]] = []
        began: list[Any] = []

        def late() -> tuple[Any, ...]:
            with draft.lock:
                taken[:] = draft.pending
                began[:] = [draft.replaced, draft.text]
                return draft.name, draft.text, list(taken), draft.saved, draft.before, number

        try:
            told: dict[str, Any] = self._worker.ask(
                draft_state, late=late, wanted=lambda: not changes or draft.revision == mine
            )
        except (TooLongError, DefectError):
            with draft.lock:  # what could not be worked out may not stand in the way of the next
                if began and draft.replaced == began[0]:
                    del draft.pending[: len(taken)]
            raise
        text = told.pop("text")
        with draft.lock:
            if draft.replaced == began[0]:
                del draft.pending[: len(taken)]
                if text != draft.text:
                    keys = tuple(str(edit.get("key", "")) for edit in taken)
                    _remember(draft, draft.text, keys if all(keys) else ())
                draft.text = text
            if told["good"]:
                draft.before = text
        disk = self._disk(draft)
        return told | {
            "name": draft.name,
            "revision": mine,
            "unsaved": text != draft.saved,
            "new": draft.saved is None,
            "disk": disk,
            "can_undo": bool(draft.earlier),
            "can_redo": bool(draft.later),
        }

    def _disk(self, draft: Draft) -> str:
        """How the file on the disk stands to what was read of it: "same", "changed" or "gone"."""
        try:
            now = self._folder.on_disk(draft.name)
        except NoSuchFileError:
            return "changed"
        if now == draft.saved:
            return "same"
        return "gone" if now is None else "changed"

    # --- readings ---------------------------------------------------------------------------------

    def readings(
        self, name: str, which: tuple[int, int, str], values: Mapping[str, Any]
    ) -> dict[str, Any]:
        """The readings of a piece of a draft, those in `values` changed, and what they mean.

        They stand in a draft of their own, of the readings file: `file` of what is told. `which`
        is as for `readings_of`, `values` are words by state and row.
        """
        text = self.settled(name).text
        edits = [
            {"key": f'{state}."{row}"', "value": value, "keep": True}
            for state, rows in values.items()
            if isinstance(rows, Mapping)
            for row, value in rows.items()
        ]
        told: dict[str, Any] = self._worker.ask(readings_of, name, text, which, None, ())
        file = told["file"]
        try:
            draft = self.draft(file)
        except NoSuchFileError:
            if self._folder.there(file):
                raise
            draft = self._keep(Draft(file, told["text"], None))
        while True:  # a lock is never held while a worker is waited for: its task may want it
            before = draft.text
            told = self._worker.ask(readings_of, name, text, which, before, edits)
            with draft.lock:
                if draft.text == before:
                    draft.text = told.pop("text")
                    draft.revision += bool(edits)
                    break
        return told | {
            "unsaved": draft.text != draft.saved,
            "new": draft.saved is None,
            "disk": self._disk(draft),
        }

    # --- saving -----------------------------------------------------------------------------------

    def save(self, name: str, seen: str | None = None) -> dict[str, Any]:
        """Write a draft to its file.

        A file that has changed on the disk since is written over only when `seen` is the sign of
        just what stands there now. Raises ConflictError, OutputError.
        """
        draft = self.settled(name)
        with draft.lock:
            now = self._folder.on_disk(name)
            unseen = now not in (draft.saved, draft.text) and seen != sign_of(now)
            if not unseen:
                if now != draft.text:
                    self._folder.write(name, draft.text)
                draft.saved = draft.text
        if unseen:
            raise ConflictError(self._difference(draft, now))
        return {"saved": True, "name": name}

    def save_as(self, name: str, other: str) -> dict[str, Any]:
        """Write a draft to a file that is not there yet, and go on with that one."""
        draft = self.settled(name)
        self._require_free(other)
        with draft.lock:
            text = draft.text
            self._folder.write(other, text)
        with self._lock:
            self._drafts[other] = Draft(other, text, text, before=draft.before)
            self._drafts.pop(name, None)
        return {"saved": True, "name": other}

    def discard(self, name: str) -> dict[str, Any]:
        """Give a draft up: what stands on the disk is taken instead, if anything does."""
        draft = self.draft(name)
        now = self._folder.on_disk(name)
        if now is None:
            with self._lock:
                self._drafts.pop(name, None)
            return {"discarded": True, "name": None}
        with draft.lock:
            self._replace(draft, now)
            draft.saved = now
            draft.revision += 1
        return {"discarded": True, "name": name}

    def difference(self, name: str) -> dict[str, Any]:
        """What differs between a draft and its file on the disk."""
        draft = self.settled(name)
        return self._difference(draft, self._folder.on_disk(name))

    def settled(self, name: str) -> Draft:
        """A draft with all its edits made."""
        draft = self.draft(name)
        if draft.pending:
            self._state(draft, 1, draft.revision, changes=False)
        return draft

    def _difference(self, draft: Draft, now: str | None) -> dict[str, Any]:
        if now is None:
            words, lines = f"{draft.name} is no longer in the folder", []
        else:
            words = f"{draft.name} was changed on the disk while you worked on it"
            try:
                lines = self._worker.ask(line_changes, now, draft.text, limit=5.0)
            except TooLongError:
                lines = []
        return {"error": words, "name": draft.name, "lines": lines, "seen": sign_of(now)}


def _remember(draft: Draft, text: str, keys: tuple[str, ...]) -> None:
    """Keep a text to step back to; typing on in one field is one step."""
    if not (keys and keys == draft.last_keys):
        draft.earlier.append(text)
        del draft.earlier[: -max(1, min(_MOST_STEPS, _MOST_REMEMBERED // (len(text) + 1)))]
    draft.later.clear()
    draft.last_keys = keys


def line_changes(old: str, new: str) -> list[dict[str, str]]:
    """The lines of two texts, those that only one of them has marked "disk" or "mine"."""
    one, other = old.splitlines(), new.splitlines()
    told: list[dict[str, str]] = []

    def tell(sign: str, lines: Iterable[str]) -> None:
        told.extend({"in": sign, "text": line} for line in lines)

    for sort, a, b, c, d in SequenceMatcher(None, one, other).get_opcodes():
        if sort == "equal":
            tell("both", one[a:b])
        else:
            tell("disk", one[a:b])
            tell("mine", other[c:d])
    return told
