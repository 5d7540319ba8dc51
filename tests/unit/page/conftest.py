"""A page of a folder of its own, with its workers, for the tests of a module."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from platewright.page.app import KEY_HEADER, make_app
from platewright.page.door import Door
from platewright.page.folder import Folder
from platewright.page.work import Worker

PATTERNS = Path(__file__).parents[3] / "patterns"
KEY, LAN_KEY, WRITING_KEY = "own-key", "lan-key", "writing-key"


@dataclass(frozen=True)
class Page:
    """A page served to a test: `folder` is where its files are."""

    folder: Path
    client: FlaskClient

    def get(self, path: str, **more: Any) -> Any:
        return self.client.get(f"/{KEY}/{path}", **more)

    def post(self, path: str, told: object = None, **more: Any) -> Any:
        headers = {KEY_HEADER: KEY, **more.pop("headers", {})}
        return self.client.post(f"/{KEY}/{path}", json=told or {}, headers=headers, **more)

    def bring(self, pattern: str, name: str | None = None) -> str:
        """Put a pattern into the folder; its name there."""
        shutil.copy(PATTERNS / pattern, self.folder / (name or pattern))
        return name or pattern

    def edit(self, name: str, key: str, value: object, **more: Any) -> Any:
        told = {"edits": [{"key": key, "value": value}], **more}
        answer = self.post(f"api/draft/{name}", told)
        assert answer.status_code == 200, answer.json
        return answer.json


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    folder = tmp_path_factory.mktemp("shop")
    doors = (
        Door(key=KEY, hosts=frozenset(("localhost", "127.0.0.1:8000")), can_write=True),
        Door(key=LAN_KEY, hosts=frozenset(("192.0.2.7:8000",)), can_write=False, lan=True),
        Door(key=WRITING_KEY, hosts=frozenset(("192.0.2.8:8000",)), can_write=True, lan=True),
    )
    workers = Worker(folder), Worker(folder)
    app = make_app(Folder.at(folder), doors, *workers)
    yield Page(folder, app.test_client())
    for each in (*workers, app.extensions["platewright"]):
        each.close()
