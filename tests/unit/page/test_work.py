"""Work that can be ended: limits, what is outdated, what goes wrong."""

import os
import threading
import time

import pytest

from platewright.errors import BuildError
from platewright.files.source import read_toml
from platewright.page import work
from platewright.page.work import (
    DefectError,
    RefusedError,
    SupersededError,
    TooLongError,
    Worker,
)


@pytest.fixture(scope="module")
def worker(tmp_path_factory):
    found = Worker(tmp_path_factory.mktemp("folder"))
    yield found
    found.close()


def test_a_task_stands_in_the_folder_and_answers(worker, tmp_path_factory):
    assert worker.ask(os.path.basename, "a/b") == "b"
    assert os.path.samefile(worker.ask(os.getcwd), tmp_path_factory.getbasetemp() / "folder0")


def test_what_takes_too_long_is_ended_and_the_next_is_answered(worker):
    with pytest.raises(TooLongError):
        worker.ask(time.sleep, 600, limit=0.2)
    assert worker.ask(abs, -2) == 2


def test_a_worker_that_dies_is_replaced(worker):
    with pytest.raises(TooLongError):
        worker.ask(os._exit, 3)
    assert worker.ask(abs, -2) == 2


def test_mistakes_come_back_with_their_words_and_no_path(worker):
    with pytest.raises(RefusedError) as caught:
        worker.ask(read_toml, "= 1", "name.toml")
    (mistake,) = caught.value.mistakes
    assert mistake["message"].startswith("not readable as TOML")
    assert "file" not in mistake


def test_a_defect_comes_back_without_its_words(worker):
    with pytest.raises(DefectError) as caught:
        worker.ask(int, "secret")
    assert str(caught.value) == "ValueError"


def test_more_memory_than_there_is_for_it_is_refused(worker):
    with pytest.raises(RefusedError):
        worker.ask(bytes, 2**46)
    assert worker.ask(abs, -2) == 2


def test_work_that_is_outdated_before_its_turn_is_not_done(worker):
    begun = threading.Event()
    first = threading.Thread(target=lambda: (begun.set(), worker.ask(time.sleep, 0.5)))
    first.start()
    begun.wait()
    time.sleep(0.1)
    with pytest.raises(SupersededError):
        worker.ask(abs, -2, wanted=lambda: False)
    assert worker.ask(abs, -2, late=lambda: ()) == 2
    first.join()


def test_long_work_that_nobody_waits_for_any_more_is_broken_off(worker, monkeypatch):
    monkeypatch.setattr(work, "_OUTDATED", 0.3)
    with pytest.raises(SupersededError):
        worker.ask(
            time.sleep, 600, limit=600.0, wanted=iter([True, True, *[False] * 9999]).__next__
        )


def test_an_error_keeps_its_key():
    from platewright.page.work import answered

    def disagree():
        raise BuildError("too short", "left.reach", "right.reach")

    sort, told = answered(disagree, ())
    assert sort == "refused"
    assert told[0]["key"] == "left.reach"
