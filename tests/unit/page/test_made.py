"""What leaves the page is what the command writes, byte for byte."""

import json
import time

import pytest
from click.testing import CliRunner

from platewright.cli.root import root

SEAT, PAIR, TRAVEL = "spring-seat.toml", "battery-tray.toml", "travel-four-link.toml"
ON_TRAVEL = ("spring-seat-travel.toml", "travel-trailing-arm.toml")


def command(page, monkeypatch, *args: str):
    monkeypatch.chdir(page.folder)
    return CliRunner().invoke(root, args)


def downloaded(page, files: list[dict]) -> dict[str, bytes]:
    found = {}
    for each in files:
        answer = page.client.get(each["address"])
        assert answer.status_code == 200
        assert len(answer.data) == each["bytes"]
        found[each["name"]] = answer.data
    return found


def written(folder) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.mark.parametrize(
    ("patterns", "options", "query"),
    [
        ((SEAT,), (), {}),
        ((PAIR,), ("--torch", "--svg"), {"torch": "1", "svg": "1"}),
        ((ON_TRAVEL[0], ON_TRAVEL[1]), ("--paper", "A3"), {"paper": "A3"}),
        (("hose-guide.toml",), ("--pattern", "card"), {"pattern": "card"}),
        (("lamp-tab.toml",), ("--dxf-version", "R12"), {"dxf_version": "R12"}),
    ],
)
def test_outputs_are_those_of_make(page, monkeypatch, tmp_path, patterns, options, query):
    names = [page.bring(each) for each in patterns]
    done = command(page, monkeypatch, "make", names[0], "--out", str(tmp_path / "made"), *options)
    assert done.exit_code == 0, done.output
    answer = page.get(f"api/outputs/{names[0]}", query_string=query)
    assert answer.status_code == 200, answer.json
    assert downloaded(page, answer.json["files"]) == written(tmp_path / "made")


def test_a_draft_is_made_as_the_saved_file_would_be(page, monkeypatch, tmp_path):
    name = page.bring(SEAT, "seat-two.toml")
    page.edit(name, "clearance", "5/8")
    page.edit(name, "name", "")  # named by its file
    before = downloaded(page, page.get(f"api/outputs/{name}").json["files"])
    page.post(f"api/save/{name}")
    command(page, monkeypatch, "make", name, "--out", str(tmp_path / "made"))
    assert before == written(tmp_path / "made")
    assert "seat-two.dxf" in before


def test_written_into_the_folder_they_are_those_of_make_and_old_ones_are_told(
    page, monkeypatch, tmp_path
):
    name = page.bring("lamp-tab.toml", "written.toml")
    page.edit(name, "name", "written")
    page.post(f"api/save/{name}")
    first = page.post(f"api/write/{name}", {"torch": True})
    assert first.status_code == 200, first.json
    command(page, monkeypatch, "make", name, "--out", str(tmp_path / "made"), "--torch")
    assert sorted(first.json["wrote"]) == sorted(written(tmp_path / "made"))
    for file, data in written(tmp_path / "made").items():
        assert (page.folder / file).read_bytes() == data
    foreign = page.folder / "written-check.pdf"
    foreign.write_bytes(b"not ours")
    answer = page.post(f"api/write/{name}")
    assert answer.status_code == 409
    assert "written-check.pdf was not written by Platewright" in answer.json["error"]
    assert str(page.folder) not in answer.json["error"]
    assert foreign.read_bytes() == b"not ours"
    assert page.post(f"api/write/{name}", {"overwrite": True}).status_code == 200
    assert foreign.read_bytes() != b"not ours"


def test_a_part_that_cannot_be_made_is_refused_in_the_commands_words(page, monkeypatch):
    name = page.bring(SEAT, "wrong.toml")
    text = (page.folder / name).read_text("utf-8").replace('"3 1/2"', '"1/4"')
    page.post(f"api/draft/{name}", {"text": text})
    page.post(f"api/save/{name}")
    answer = page.get(f"api/outputs/{name}")
    assert answer.status_code == 422
    done = command(page, monkeypatch, "make", name)
    assert done.exit_code == 2
    for each in answer.json["messages"]:
        assert f"{each['key']}: {each['message']}" in done.stderr


def test_pages_are_as_many_as_make_tells(page, monkeypatch, tmp_path):
    name = page.bring(SEAT)
    (part,) = page.get(f"api/pages/{name}").json["parts"]
    done = command(page, monkeypatch, "make", name, "--out", str(tmp_path))
    told = f"template {sum(part['template'])} pages, check sheet {part['check']} pages"
    assert told in done.stdout


def test_a_comparison_is_that_of_compare(page, monkeypatch, tmp_path):
    name = page.bring(SEAT, "old.toml")
    new = page.bring(SEAT, "new.toml")
    page.edit(new, "clearance", "5/8")
    page.edit(new, "left.reach", "6 1/2")
    page.post(f"api/save/{new}")
    answer = page.get(f"api/compare/{new}", query_string={"with": name}).json
    done = command(page, monkeypatch, "compare", name, new, "--out", str(tmp_path / "made"))
    assert "\n".join(answer["lines"]) in done.stdout
    assert downloaded(page, answer["files"]) == written(tmp_path / "made")
    page.edit(new, "clearance", "1/2")
    words = "\n".join(page.get(f"api/compare/{new}").json["lines"])
    assert "clearance: 5/8 in -> 1/2 in" in words


def test_a_setup_is_told_and_drawn_as_travel_does(page, monkeypatch, tmp_path):
    name = page.bring(TRAVEL)
    state = page.get(f"api/draft/{name}").json
    assert (state["sort"], state["good"]) == ("setup", True)
    done = command(page, monkeypatch, "travel", name, "--json")
    (told,) = json.loads(done.stdout)["setups"]
    assert state["travel"] == {k: v for k, v in told.items() if k != "name"}
    command(page, monkeypatch, "travel", name, "--out", str(tmp_path / "made"))
    (sheet,) = written(tmp_path / "made").values()
    assert page.get(f"out-setup/{name}").data == sheet


def test_a_setup_stands_at_any_height_as_its_readings_say(page):
    name = page.bring(TRAVEL)
    state = page.get(f"api/draft/{name}").json
    for reading in state["travel"]["readings"][::10]:
        at = page.get(f"api/setup/{name}?lift_mm={reading['lift_mm']}").json
        assert at["lift_mm"] == pytest.approx(reading["lift_mm"], abs=1e-6)
        words = dict(at["words"])
        assert float(words["spring, mm"]) == pytest.approx(reading["spring_mm"], abs=0.051)
        assert at["svg"].startswith("<svg ")
    beyond = page.get(f"api/setup/{name}?lift_mm=1e9").json
    assert beyond["lift_mm"] == pytest.approx(beyond["highest_mm"])
    for nonsense in ("nan", "inf", "x", ""):
        assert page.get(f"api/setup/{name}?lift_mm={nonsense}").status_code == 400
    changed = page.edit(name, "travel.ride", "-9")
    assert (changed["good"], len(changed["messages"])) == (False, 1)


def test_readings_mean_what_the_command_says(page, monkeypatch):
    name = page.bring(SEAT, "read.toml")
    page.edit(name, "name", "read")
    page.post(f"api/save/{name}")
    told = page.get(f"api/readings/{name}").json
    assert (told["file"], told["new"], told["diagnosis"]) == ("read-readings.toml", True, None)
    rows = [each["name"] for each in told["rows"] if each["state"] == "flat"]
    values = {rows[0]: "4 5/16", rows[1]: "4 5/16"}
    told = page.post(f"api/readings/{name}", {"values": {"flat": values}}).json
    assert told["messages"] == []
    page.post(f"api/save/{told['file']}")
    done = command(page, monkeypatch, "readings", name, told["file"])
    assert "\n".join(told["lines"]) == done.stdout.rstrip("\n")
    sheet = page.get(f"out-readings/{name}")
    assert sheet.data.startswith(b"%PDF-")
    told = page.post(f"api/readings/{name}", {"values": {"flat": {rows[0]: "44"}}}).json
    assert [each["key"] for each in told["messages"]] == [f"flat.{rows[0]}"]
    none = dict.fromkeys(rows[:2], "")
    told = page.post(f"api/readings/{name}", {"values": {"flat": none}}).json
    assert (told["messages"], told["diagnosis"]) == ([], None)


def wait_for(page, job: int) -> dict:
    for _ in range(600):
        told = page.get(f"api/nest/{job}").json
        if told["state"] != "running":
            return told
        time.sleep(0.1)
    raise AssertionError("the nest does not end")


def test_a_nest_is_that_of_the_command(page, monkeypatch, tmp_path):
    names = [page.bring("lamp-tab.toml"), page.bring("hose-guide.toml")]
    told = {"files": names, "sheets": ["600x1200"], "tries": 6}
    job = page.post("api/nest", told).json["job"]
    found = wait_for(page, job)
    assert found["state"] == "done", found
    args = ("nest", *names, "--sheet", "600x1200", "--tries", "6", "--out", str(tmp_path / "made"))
    done = command(page, monkeypatch, *args)
    assert done.exit_code == 0, done.output
    assert downloaded(page, found["files"]) == written(tmp_path / "made")
    assert "\n".join(found["lines"]) in done.stdout
    wrote = page.post(f"api/nest/{job}/write").json["wrote"]
    assert sorted(wrote) == sorted(written(tmp_path / "made"))
    assert page.get(f"api/nest/{job + 1}").status_code == 404


def test_a_nest_that_is_stopped_keeps_the_best_it_found(page):
    names = [page.bring(SEAT), page.bring(PAIR)]
    page.edit(names[0], "quantity", "9")
    told = {"files": names, "sheets": ["48x96"], "tries": 100_000}
    job = page.post("api/nest", told).json["job"]
    assert page.post("api/nest", told).status_code == 409
    while (now := page.get(f"api/nest/{job}").json)["state"] == "running" and not now["best"]:
        time.sleep(0.05)
    page.post(f"api/nest/{job}/stop")
    found = wait_for(page, job)
    assert found["state"] == "done"
    assert found["share"] == 1.0
    assert any(each["name"].endswith(".dxf") for each in found["files"])
    page.post(f"api/discard/{names[0]}")


@pytest.mark.parametrize(
    "told",
    [
        {"files": "x"}, {"files": ["x" * 200]}, {"sheets": [3]}, {"turn": "x"}, {"turn": 0},
        {"tries": 10**9}, {"grain": "oak"}, {"units": "ell"}, {"paper": "single"},
    ],
)  # fmt: skip
def test_options_that_are_none_are_refused(page, told):
    assert page.post("api/nest", {"files": [page.bring(SEAT)], **told}).status_code == 400


@pytest.mark.parametrize("query", ["paper=A9", "pattern=wood", "dxf_version=R99"])
def test_options_of_make_that_are_none_are_refused(page, query):
    assert page.get(f"api/outputs/{page.bring(SEAT)}?{query}").status_code == 400


def test_the_shops_own_figures_serve_as_they_do_for_the_command(page, monkeypatch, tmp_path):
    name = page.bring("rail-angle.toml", "borrowing.toml")
    assert "kerf" not in (page.folder / name).read_text("utf-8")
    without = page.get(f"api/outputs/{name}").json["files"]
    shop = page.folder / "shop.toml"
    shop.write_text(
        'units = "in"\npaper = "A3"\n[[kerf]]\nthickness = "3/16"\nkerf = "0.09"\n'
        'process = "plasma"\nmeasured_on = "a strip"\n',
        encoding="utf-8",
    )
    try:
        state = page.get(f"api/draft/{name}").json
        assert state["messages"] == []
        command(page, monkeypatch, "make", name, "--out", str(tmp_path / "made"))
        files = page.get(f"api/outputs/{name}").json["files"]
        assert downloaded(page, files) == written(tmp_path / "made")
        assert [each["bytes"] for each in files] != [each["bytes"] for each in without]
        told = {each["name"]: each["sort"] for each in page.get("api/folder").json["files"]}
        assert told["shop.toml"] == "shop"
        assert page.get("api/draft/shop.toml").json["good"]
        wrong = page.edit("shop.toml", "kerf[1].kerf", "9")
        assert [each["key"] for each in wrong["messages"]] == ["kerf[1].kerf"]
        shop.write_text("units = 3\n[tape]\n", encoding="utf-8")
        (message,) = page.get(f"api/draft/{name}").json["messages"]
        assert (message["key"], message["file"]) == ("units", "shop.toml")
        shop.unlink()
        (tmp_path / "elsewhere.toml").write_text('units = "in"\n', encoding="utf-8")
        shop.symlink_to(tmp_path / "elsewhere.toml")
        (message,) = page.get(f"api/draft/{name}").json["messages"]
        assert "is a link" in message["message"]
    finally:
        shop.unlink()
