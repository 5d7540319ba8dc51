"""What a person changes and saves: the file stays theirs, and nobody's work is written over."""

import threading
import tomllib

import pytest

from platewright.page import drafts as drafts_module
from platewright.page.app import KEY_HEADER

from .conftest import KEY, PATTERNS

SEAT = "spring-seat.toml"


def text_on_disk(page, name: str) -> str:
    return (page.folder / name).read_bytes().decode()


def test_a_change_is_told_at_once_and_touches_no_file_until_it_is_saved(page):
    name = page.bring(SEAT, "a.toml")
    before = text_on_disk(page, name)
    state = page.edit(name, "wall_gap", "1 1/8", serial=7)
    assert (state["serial"], state["good"], state["shown"], state["unsaved"]) == (
        7,
        True,
        "draft",
        True,
    )
    # the middle of the body stands half of 6 1/2 in beyond the gap
    assert (
        "bolt hole 1 to wall edge, square to it, flat and folded: 4 1/4 in -> 4 3/8 in *"
        in state["changed_lines"]
    )
    changed = {each["words"]: each for each in state["changed"]}
    hole = changed["bolt hole 1 to wall edge, square to it"]
    assert hole["old_value_on_blank_mm"] == pytest.approx(4.25 * 25.4)
    assert hole["new_value_on_blank_mm"] == pytest.approx(4.375 * 25.4)
    assert text_on_disk(page, name) == before
    assert page.post(f"api/save/{name}").json == {"saved": True, "name": name}
    assert text_on_disk(page, name) == before.replace(
        'wall_gap       = "1" ', 'wall_gap       = "1 1/8" '
    )
    state = page.get(f"api/draft/{name}").json
    assert (state["unsaved"], state["disk"], state["changed"]) == (False, "same", [])


def test_a_wrong_value_says_so_at_its_key_and_the_last_good_one_stays_in_sight(page):
    name = page.bring(SEAT, "b.toml")
    good = page.edit(name, "clearance", "5/8")
    state = page.edit(name, "clearance", "-1/2")
    (message,) = state["messages"]
    assert message["key"] == "clearance"
    assert "cannot be negative" in message["message"]
    assert (state["good"], state["shown"]) == (False, "before")
    assert state["pieces"] == good["pieces"]
    assert state["typed"]["clearance"] == "-1/2"
    state = page.edit(name, "bolts.size", "banana")
    assert {each["key"] for each in state["messages"]} == {"clearance", "bolts.size"}
    assert page.edit(name, "clearance", "5/8")["good"] is False
    assert page.edit(name, "bolts.size", "3/8")["good"] is True


def test_measurements_that_do_not_agree_are_told_at_their_key(page):
    name = page.bring(SEAT, "c.toml")
    place = [{"edge": "no such edge", "distance": "1"}, {"edge": "wall edge", "distance": "1"}]
    values = {"size": "1/4", "measured_from": place}
    told = {"edits": [{"add_row": "hole", "values": values}]}
    state = page.post(f"api/draft/{name}", told).json
    (message,) = state["messages"]
    assert message["key"].startswith("hole[1].measured_from[1]")
    assert state["rows"]["hole"] == 1


def test_steps_back_and_on(page):
    name = page.bring(SEAT, "d.toml")
    for value in ("5", "5/8", "5/16"):
        page.edit(name, "clearance", value)
    page.edit(name, "wall_gap", "2")
    back = page.post(f"api/draft/{name}", {"undo": True}).json
    assert (back["typed"]["wall_gap"], back["typed"]["clearance"]) == ("1", "5/16")
    back = page.post(f"api/draft/{name}", {"undo": True}).json  # typing on in a field is one step
    assert back["typed"]["clearance"] == "1/2"
    assert (back["unsaved"], back["can_undo"], back["can_redo"]) == (False, False, True)
    on = page.post(f"api/draft/{name}", {"redo": True}).json
    assert on["typed"]["clearance"] == "5/16"
    assert page.edit(name, "wall_gap", "3")["can_redo"] is False


def test_the_whole_text_may_be_written_and_is_kept_as_it_was_written(page):
    name = page.bring("lamp-tab.toml", "e.toml")
    text = "# mine\r\n" + text_on_disk(page, name).replace("\n", "\r\n") + "\t\r\n# end"
    page.post(f"api/draft/{name}", {"text": text})
    assert page.get(f"api/text/{name}").json["text"] == text
    page.post(f"api/save/{name}")
    assert text_on_disk(page, name) == text
    page.edit(name, "quantity", "3")
    page.post(f"api/save/{name}")
    assert tomllib.loads(text_on_disk(page, name))["quantity"] == 3
    assert text_on_disk(page, name).count("\r\n") >= text.count("\r\n") - 1


def test_a_new_file_is_on_no_disk_until_it_is_saved_and_then_reads_as_its_command_writes_it(page):
    from click.testing import CliRunner

    from platewright.cli.root import root

    for kind in ("seat", "zee", "travel", "shop"):
        name = f"new {kind}.toml"
        answer = page.post("api/new", {"name": name, "kind": kind, "units": "mm"})
        assert (answer.status_code, answer.json) == (201, {"name": name})
        assert not (page.folder / name).exists()
        state = page.get(f"api/draft/{name}").json
        assert (state["good"], state["new"], state["unsaved"]) == (True, True, True)
        assert (
            page.post(
                "api/new", {"name": name.upper().replace("TOML", "toml"), "kind": kind}
            ).status_code
            == 409
        )
        page.post(f"api/save/{name}")
        written = CliRunner().invoke(root, ["start", kind, "--units", "mm"]).stdout
        assert text_on_disk(page, name) == written
    assert page.post("api/new", {"name": "z.toml", "kind": "boat"}).status_code == 422


def test_a_file_changed_on_the_disk_is_not_written_over_unseen(page):
    name = page.bring(SEAT, "f.toml")
    mine = page.edit(name, "clearance", "5/8")
    assert mine["disk"] == "same"
    other = text_on_disk(page, name).replace('"3/16"', '"1/4"')
    (page.folder / name).write_text(other, encoding="utf-8", newline="")
    assert page.get(f"api/draft/{name}").json["disk"] == "changed"
    answer = page.post(f"api/save/{name}")
    assert answer.status_code == 409
    told = answer.json
    assert [line for line in told["lines"] if line["in"] != "both"] == [
        {"in": "disk", "text": 'clearance      = "1/2"      # room between the body and a gusset'},
        {"in": "mine", "text": 'clearance      = "5/8"      # room between the body and a gusset'},
        {"in": "disk", "text": 'thickness = "1/4"'},
        {"in": "mine", "text": 'thickness = "3/16"'},
    ]
    assert text_on_disk(page, name) == other
    # it changes once more while the person looks: what is there now has not been seen either
    (page.folder / name).write_text(other + "# more\n", encoding="utf-8", newline="")
    again = page.post(f"api/save/{name}", {"seen": told["seen"]})
    assert again.status_code == 409
    assert text_on_disk(page, name) == other + "# more\n"
    assert page.post(f"api/save/{name}", {"seen": again.json["seen"]}).status_code == 200
    assert '"5/8"' in text_on_disk(page, name)


def test_what_is_on_the_disk_may_be_taken_instead(page):
    name = page.bring(SEAT, "g.toml")
    page.edit(name, "clearance", "5/8")
    other = text_on_disk(page, name).replace('"3/16"', '"1/4"')
    (page.folder / name).write_text(other, encoding="utf-8", newline="")
    page.post(f"api/discard/{name}")
    state = page.get(f"api/draft/{name}").json
    assert (state["typed"]["stock.thickness"], state["typed"]["clearance"]) == ("1/4", "1/2")
    assert (state["unsaved"], state["disk"]) == (False, "same")


def test_a_file_that_is_gone_is_written_anew_only_when_that_was_seen(page):
    name = page.bring(SEAT, "h.toml")
    page.edit(name, "clearance", "5/8")
    (page.folder / name).unlink()
    assert page.get(f"api/draft/{name}").json["disk"] == "gone"
    answer = page.post(f"api/save/{name}")
    assert answer.status_code == 409
    assert "no longer" in answer.json["error"]
    assert not (page.folder / name).exists()
    assert page.post(f"api/save/{name}", {"seen": answer.json["seen"]}).status_code == 200
    assert (page.folder / name).exists()


def test_save_as_goes_on_with_the_other_file_and_leaves_the_first(page):
    name = page.bring(SEAT, "i.toml")
    before = text_on_disk(page, name)
    page.edit(name, "clearance", "5/8")
    assert page.post(f"api/save-as/{name}", {"name": "f.toml"}).status_code == 409
    assert page.post(f"api/save-as/{name}", {"name": "i2.toml"}).json["name"] == "i2.toml"
    assert text_on_disk(page, name) == before
    assert '"5/8"' in text_on_disk(page, "i2.toml")
    assert page.get(f"api/draft/{name}").json["unsaved"] is False
    assert page.get("api/draft/i2.toml").json["unsaved"] is False


def test_a_save_that_fails_leaves_the_file_and_the_draft(page, monkeypatch):
    name = page.bring(SEAT, "j.toml")
    before = text_on_disk(page, name)
    page.edit(name, "clearance", "5/8")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr("os.fsync", full)
        answer = page.post(f"api/save/{name}")
    assert answer.status_code == 409
    assert "no space left" in answer.json["error"]
    assert str(page.folder) not in answer.json["error"]
    assert text_on_disk(page, name) == before
    assert page.get(f"api/draft/{name}").json["typed"]["clearance"] == "5/8"
    assert not [path for path in page.folder.iterdir() if path.name.startswith(".")]


def test_a_draft_outlives_a_reload_of_the_page(page):
    name = page.bring(SEAT, "k.toml")
    page.edit(name, "clearance", "5/8")
    told = {each["name"]: each for each in page.get("api/folder").json["files"]}[name]
    assert (told["sort"], told["open"], told["unsaved"]) == ("bracket", True, True)
    assert page.get(f"api/draft/{name}").json["typed"]["clearance"] == "5/8"


def test_a_burst_of_typing_is_worked_out_for_its_end_and_loses_nothing(page, monkeypatch):
    name = page.bring(SEAT, "l.toml")
    page.get(f"api/draft/{name}")
    asked = []
    draft_state = drafts_module.draft_state
    ask = drafts_module.Worker.ask

    def counted(self, task, *given, **more):
        answer = ask(self, task, *given, **more)
        if task is draft_state:
            asked.append(answer["typed"]["note"])
        return answer

    monkeypatch.setattr(drafts_module.Worker, "ask", counted)
    word = "the quick brown fox jumps over a lazy dog"
    answers = [None] * len(word)

    def press(index: int) -> None:
        # each key press of one field sends the whole of it; another field changes once
        edits = [{"key": "note", "value": word[: index + 1]}]
        if index == 3:
            edits.append({"key": "clearance", "value": "5/8"})
        client = page.client.application.test_client()
        told = {"serial": index, "edits": edits}
        answers[index] = client.post(
            f"/{KEY}/api/draft/{name}", json=told, headers={KEY_HEADER: KEY}
        ).json

    threads = []
    for index in range(len(word)):
        threads.append(threading.Thread(target=press, args=(index,)))
        threads[-1].start()
        if index == 0:
            threads[0].join()
    for thread in threads:
        thread.join()
    assert all(each["serial"] == index for index, each in enumerate(answers))
    done = [each for each in answers if not each.get("superseded")]
    assert len(done) == len(asked) <= len(word) // 2
    state = page.get(f"api/draft/{name}").json
    assert state["typed"]["clearance"] == "5/8"
    assert state["typed"]["note"] in {word[: n + 1] for n in range(len(word))}


def test_an_edit_that_hangs_is_dropped_and_the_draft_goes_on(page, monkeypatch):
    name = page.bring(SEAT, "m.toml")
    page.edit(name, "clearance", "5/8")
    monkeypatch.setattr(drafts_module, "draft_state", _hang)
    ask = drafts_module.Worker.ask
    monkeypatch.setattr(
        drafts_module.Worker, "ask", lambda *given, **more: ask(*given, **{**more, "limit": 0.3})
    )
    answer = page.post(f"api/draft/{name}", {"edits": [{"key": "note", "value": "x"}]})
    assert answer.status_code == 503
    monkeypatch.undo()
    state = page.get(f"api/draft/{name}").json
    assert (state["good"], state["typed"]["clearance"]) == (True, "5/8")
    assert "note" not in state["typed"]


def _hang(*_: object) -> None:
    import time

    time.sleep(600)


def test_parts_of_one_file_are_changed_each_by_itself(page):
    one = (PATTERNS / "lamp-tab.toml").read_text("utf-8")
    raw = tomllib.loads(one)
    shared = f'units = "{raw["units"]}"\n'
    own = one.replace(shared, "")
    assert own != one or "units" in raw
    text = _several(one)
    name = "parts.toml"
    (page.folder / name).write_text(text, encoding="utf-8", newline="")
    state = page.get(f"api/draft/{name}?part=2").json
    assert (len(state["parts"]), state["part"], state["good"]) == (2, 2, True)
    state = page.edit(name, "quantity", "7", part=2)
    assert state["typed"]["quantity"] == 7
    assert page.get(f"api/draft/{name}?part=1").json["typed"].get("quantity") != 7
    state = page.edit(name, "quantity", "-7", part=2)
    assert [(each["key"], each["other_part"]) for each in state["messages"]] == [
        ("quantity", False)
    ]
    state = page.get(f"api/draft/{name}?part=1").json
    assert [(each["key"], each["other_part"]) for each in state["messages"]] == [
        ("part[2].quantity", True)
    ]


def _several(text: str) -> str:
    """Two parts of one text, each under a head of its own."""
    lines = []
    for line in text.splitlines():
        if line.startswith("[["):
            line = line.replace("[[", "[[part.")
        elif line.startswith("["):
            line = line.replace("[", "[part.", 1)
        lines.append(line)
    body = "\n".join(line for line in lines if not line.startswith("name"))
    return f'[[part]]\nname = "one"\n{body}\n[[part]]\nname = "two"\n{body}\n'


def _a_defect(*_):
    raise ZeroDivisionError


def test_a_change_that_brings_out_a_defect_does_not_stand_in_the_way_of_the_next(page, monkeypatch):
    name = page.bring(SEAT, "defect.toml")
    with monkeypatch.context() as broken:
        broken.setattr(drafts_module, "draft_state", _a_defect)
        told = {"edits": [{"key": "wall_gap", "value": "3"}]}
        assert page.post(f"api/draft/{name}", told).status_code == 500
    state = page.edit(name, "clearance", "5/8")
    assert state["typed"]["wall_gap"] == "1"
    assert state["typed"]["clearance"] == "5/8"
