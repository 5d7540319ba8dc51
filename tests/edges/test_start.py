"""Starting: the kinds, a file to fill in, a form to take along."""

from __future__ import annotations

import json
import re

import pypdfium2
import pytest
from click.testing import CliRunner

from platewright.cli.root import root
from platewright.files.reader import load_job
from platewright.kinds.kind import catalogue
from platewright.measure import lettered
from platewright.suspension.setup import Setup


def run(*args):
    return CliRunner().invoke(root, [str(arg) for arg in args])


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def test_every_kind_is_listed_with_its_sentence():
    listed = run("kinds").output
    for kind in catalogue().values():
        assert f"{kind.name} " in listed
        assert kind.summary in listed


def test_the_list_as_json():
    listed = json.loads(run("kinds", "--json").output)["kinds"]
    assert [each["kind"] for each in listed] == list(catalogue())


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("kind", list(catalogue()))
def test_the_file_that_start_writes_is_read_back(kind, unit, tmp_path):
    done = run("start", kind, "--units", unit, "-o", "mine.toml")
    assert done.exit_code == 0
    assert "platewright make mine.toml" in done.output
    (part,) = load_job(tmp_path / "mine.toml").parts
    assert (part.kind.name, part.unit) == (kind, unit)


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_setup_that_start_writes_is_worked_out(unit, tmp_path):
    done = run("start", "travel", "--units", unit, "-o", "axle.toml")
    assert done.exit_code == 0
    assert "platewright travel axle.toml" in done.output
    done = run("travel", "axle.toml")
    assert done.exit_code == 0, done.output
    assert "Where the upper mount belongs" in done.output


def test_without_a_file_it_comes_to_the_screen(tmp_path):
    done = run("start", "seat")
    assert done.exit_code == 0
    assert done.output.startswith("# Seat: A plate on a wall")
    assert list(tmp_path.iterdir()) == []


def test_start_never_writes_over_a_file(tmp_path):
    (tmp_path / "mine.toml").write_text("mine")
    done = run("start", "seat", "-o", "mine.toml")
    assert done.exit_code == 2
    assert "mine.toml is there already; nothing was written" in done.output
    assert (tmp_path / "mine.toml").read_text() == "mine"
    assert run("start", "seat", "-o", "mine.toml").exit_code == 2


@pytest.mark.parametrize("command", ["start", "form"])
def test_a_kind_that_there_is_not_is_refused_with_a_hint(command):
    done = run(command, "saet")
    assert done.exit_code == 2
    assert "Did you mean seat?" in done.output
    assert ", ".join(catalogue()) in done.output
    assert "travel, the setup of a suspension" in done.output


def test_the_kind_may_be_written_large():
    assert run("start", "SEAT").exit_code == 0


def test_the_form_and_the_file_carry_the_same_letters(tmp_path):
    run("form", "seat", "-o", "form.pdf")
    run("form", "seat", "-o", "again.pdf")
    assert (tmp_path / "form.pdf").read_bytes() == (tmp_path / "again.pdf").read_bytes()
    file = run("start", "seat").output
    pdf = pypdfium2.PdfDocument(tmp_path / "form.pdf")
    printed = "\n".join(page.get_textpage().get_text_range() for page in pdf)
    rows = re.findall(r"^# ([A-Z]{1,2})  (\w[\w ]*\w)( \*)?$", file, re.MULTILINE)
    assert len(rows) == len(lettered(catalogue()["seat"].measurements))
    for letter, label, star in rows:
        assert f"\n{letter}{star}" in printed
        assert label in printed


def test_the_setups_form_and_file_carry_the_same_letters(tmp_path):
    assert run("form", "travel", "-o", "form.pdf").exit_code == 0
    file = run("start", "travel").output
    pdf = pypdfium2.PdfDocument(tmp_path / "form.pdf")
    printed = "\n".join(page.get_textpage().get_text_range() for page in pdf)
    rows = re.findall(r"^# ([A-Z]{1,2})  (\w[\w -]*\w)( \*)?$", file, re.MULTILINE)
    assert len(rows) == len(lettered(Setup))
    for letter, label, star in rows:
        assert f"\n{letter}{star}" in printed
        assert label.split()[0] in printed


@pytest.mark.parametrize(
    ("args", "size"),
    [
        ((), (612, 792)),
        (("--units", "mm"), (595.28, 841.89)),
        (("--paper", "A3"), (841.89, 1190.55)),
    ],
)
def test_the_form_is_on_the_paper_asked_for(args, size, tmp_path):
    done = run("form", "stepped", *args)
    assert done.exit_code == 0
    pdf = pypdfium2.PdfDocument(tmp_path / "stepped-form.pdf")
    assert done.output == f"wrote stepped-form.pdf, {len(pdf)} page{'s' * (len(pdf) > 1)}\n"
    for page in pdf:
        assert page.get_size() == pytest.approx(size, abs=0.1)


def test_a_form_never_goes_over_somebody_elses_file(tmp_path):
    (tmp_path / "mine.pdf").write_text("mine")
    assert run("form", "stepped", "-o", "mine.pdf").exit_code == 2
    assert (tmp_path / "mine.pdf").read_text() == "mine"
    assert run("form", "stepped", "-o", "mine.pdf", "--overwrite").exit_code == 0
