"""Who may come in, and what nobody gets: keys, hosts, other folders, devices, endless work."""

import json
import os
import re
import sys
import time

import pytest

from platewright.files.source import LARGEST_FILE
from platewright.page.app import KEY_HEADER
from platewright.page.door import LARGEST_BODY

from .conftest import KEY, LAN_KEY, WRITING_KEY

LAN = {"HTTP_HOST": "192.0.2.7:8000"}
WRITING = {"HTTP_HOST": "192.0.2.8:8000"}
SEAT = "spring-seat.toml"


@pytest.fixture(autouse=True)
def seat(page):
    page.bring(SEAT)


def addresses(page, method):
    """Every address of the page that answers to a method, with names filled in."""
    for rule in page.client.application.url_map.iter_rules():
        if method in rule.methods:
            path = re.sub(r"<int:\w+>", "1", rule.rule)
            path = re.sub(r"<any\((\w+).*?>", r"\1", path)
            path = path.replace("<key>/", "").replace("<name>", SEAT)
            yield re.sub(r"<[\w:]+>", "x", path).removeprefix("/")


def test_another_key_opens_nothing(page):
    for path in addresses(page, "GET"):
        for key in ("x", KEY[:-1], KEY + "x", KEY.upper(), "%00", LAN_KEY):
            answer = page.client.get(f"/{key}/{path}")
            assert answer.status_code == 404, path
            assert KEY not in answer.text


def test_a_change_needs_the_key_in_its_head(page):
    for path in addresses(page, "POST"):
        for head in ({}, {KEY_HEADER: "x"}, {KEY_HEADER: LAN_KEY}):
            answer = page.client.post(f"/{KEY}/{path}", json={}, headers=head)
            assert answer.status_code == 403, path


def test_a_change_from_another_origin_is_refused(page):
    for origin in ("http://evil.example", "null", "http://localhost:1", "http://192.0.2.7:8000"):
        answer = page.post("api/save/" + SEAT, headers={"Origin": origin})
        assert answer.status_code == 403
    assert page.post("api/save/" + SEAT, headers={"Origin": "http://localhost"}).status_code == 200


def test_a_form_of_another_page_cannot_change_anything(page):
    head = {KEY_HEADER: KEY}
    for sort in ("text/plain", "application/x-www-form-urlencoded"):
        answer = page.client.post(
            f"/{KEY}/api/save/{SEAT}", data='{"seen": null}', content_type=sort, headers=head
        )
        assert answer.status_code == 415


@pytest.mark.parametrize("host", ["evil.example", "localhost:81", "127.0.0.1", "127.0.0.1:80"])
def test_another_host_is_refused_so_that_no_name_can_be_bent_to_this_machine(page, host):
    answer = page.client.get(f"/{KEY}/api/folder", headers={"Host": host})
    assert answer.status_code == 421
    assert SEAT not in answer.text


def test_each_door_has_its_own_key_and_host(page):
    assert page.client.get(f"/{LAN_KEY}/api/folder", environ_overrides=LAN).status_code == 200
    assert page.client.get(f"/{KEY}/api/folder", environ_overrides=LAN).status_code == 404
    assert page.client.get(f"/{LAN_KEY}/api/folder").status_code == 404
    assert page.client.get(f"/{WRITING_KEY}/api/folder", environ_overrides=LAN).status_code == 404


def test_a_phone_may_look_and_change_nothing(page):
    head = {KEY_HEADER: LAN_KEY}
    before = {path.name: path.read_bytes() for path in page.folder.iterdir()}
    for path in addresses(page, "POST"):
        answer = page.client.post(
            f"/{LAN_KEY}/{path}", json={"text": "x"}, headers=head, environ_overrides=LAN
        )
        assert answer.status_code == 403
        assert answer.json["error"] == "this page may only be looked at"
    folder = page.client.get(f"/{LAN_KEY}/api/folder", environ_overrides=LAN).json
    assert (folder["can_write"], folder["lan"]) == (False, True)
    answer = page.client.get(f"/{LAN_KEY}/api/draft/{SEAT}", environ_overrides=LAN)
    assert answer.json["good"]
    assert {path.name: path.read_bytes() for path in page.folder.iterdir()} == before


def test_a_phone_that_was_let_write_may(page):
    told = {"edits": [{"key": "clearance", "value": "5/8"}]}
    answer = page.client.post(
        f"/{WRITING_KEY}/api/draft/{SEAT}",
        json=told,
        headers={KEY_HEADER: WRITING_KEY},
        environ_overrides=WRITING,
    )
    assert answer.json["typed"]["clearance"] == "5/8"
    page.post(f"api/discard/{SEAT}")


def test_every_answer_keeps_the_browser_to_this_page(page):
    for path in (*addresses(page, "GET"), "nowhere", "static/no.js"):
        head = page.get(path).headers
        policy = head["Content-Security-Policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "http" not in policy
        assert head["X-Content-Type-Options"] == "nosniff"
        assert head["Referrer-Policy"] == "no-referrer"
        assert "script-src 'self'" in policy or "script-src" not in policy
        assert "Access-Control-Allow-Origin" not in head


OUTSIDE = [
    "../secret.toml", "..", ".", "", "/etc/passwd", "..%2fsecret.toml", "a/../../secret.toml",
    "..\\secret.toml", "C:secret.toml", ".hidden.toml", "con.toml", "nul.x.toml", "x.txt",
    "seat.toml\0", "seat\n.toml", "~root.toml", "$HOME.toml", "x" * 300 + ".toml", "no-such.toml",
]  # fmt: skip


@pytest.mark.parametrize("name", OUTSIDE)
def test_no_name_leads_out_of_the_folder(page, name):
    secret = page.folder.parent / "secret.toml"
    secret.write_text('kind = "seat"\nnote = "hush"\n', encoding="utf-8")
    for path in ("api/draft", "api/text", "api/form", "api/outputs", "api/setup", "bracket"):
        answer = page.client.get(f"/{KEY}/{path}/{name}")
        assert answer.status_code in (400, 404, 308), path
        assert "hush" not in answer.text
        assert "secret" not in answer.text.replace(name, "")
    for told in ({"name": name, "kind": "tab"}, {"name": name}):
        path = "api/new" if "kind" in told else f"api/save-as/{SEAT}"
        before = sorted(os.listdir(page.folder)), sorted(os.listdir(page.folder.parent))
        if name != "no-such.toml":
            assert page.post(path, told).status_code == 404
        assert (sorted(os.listdir(page.folder)), sorted(os.listdir(page.folder.parent))) == before
    answer = page.get(f"api/compare/{SEAT}", query_string={"with": name or "x"})
    assert answer.status_code == 404


@pytest.mark.skipif(sys.platform == "win32", reason="making links and pipes needs rights there")
def test_links_pipes_and_folders_are_none_of_the_folders_files(page):
    secret = page.folder.parent / "secret.toml"
    secret.write_text('kind = "seat"\nnote = "hush"\n', encoding="utf-8")
    (page.folder / "link.toml").symlink_to(secret)
    (page.folder / "lost.toml").symlink_to("nowhere.toml")
    (page.folder / "zero.toml").symlink_to("/dev/zero")
    os.mkfifo(page.folder / "pipe.toml")
    (page.folder / "folder.toml").mkdir()
    names = ("link.toml", "lost.toml", "zero.toml", "pipe.toml", "folder.toml")
    listed = {each["name"] for each in page.get("api/folder").json["files"]}
    assert not listed & {*names}
    for name in names:
        answer = page.get(f"api/draft/{name}")
        assert answer.status_code == 404
        assert "hush" not in answer.text
        assert page.post("api/new", {"name": name, "kind": "tab"}).status_code == 409
        assert page.post(f"api/save-as/{SEAT}", {"name": name}).status_code == 409
    assert secret.read_text(encoding="utf-8").endswith('note = "hush"\n')


@pytest.mark.skipif(sys.platform == "win32", reason="making links needs rights there")
def test_a_bracket_cannot_name_a_setup_outside_the_folder(page):
    travel = page.bring("travel-trailing-arm.toml")
    real = page.folder.parent / "elsewhere.toml"
    (page.folder / travel).rename(real)
    (page.folder / "linked-setup.toml").symlink_to(real)
    page.bring("spring-seat-travel.toml", "on-travel.toml")
    text = (page.folder / "on-travel.toml").read_text(encoding="utf-8")
    for setup in ("linked-setup.toml", "../elsewhere.toml", str(real), "/dev/zero"):
        changed = text.replace("travel-trailing-arm.toml", setup)
        assert changed != text
        answer = page.post("api/draft/on-travel.toml", {"text": changed})
        (message,) = [each for each in answer.json["messages"] if "travel" in each["key"]]
        assert "no setup file in this folder" in message["message"]
    page.bring("travel-trailing-arm.toml")
    assert page.post("api/draft/on-travel.toml", {"text": text}).json["messages"] == []


@pytest.mark.parametrize("remnant", ["/etc/passwd", "../secret.toml", "/dev/zero", "x/y.toml"])
def test_a_nest_takes_no_remnant_from_outside(page, remnant):
    told = {"files": [SEAT], "sheets": ["24x48"], "remnants": [remnant]}
    job = page.post("api/nest", told).json["job"]
    while (answer := page.get(f"api/nest/{job}").json)["state"] == "running":
        time.sleep(0.02)
    assert answer["state"] == "failed"
    assert "no such remnant" in answer["error"]


def test_a_file_that_is_too_large_or_no_text_is_not_read(page):
    (page.folder / "large.toml").write_bytes(b"#" * (LARGEST_FILE + 1))
    (page.folder / "latin.toml").write_bytes(b"kind = '\xe9'")
    assert "larger than" in page.get("api/draft/large.toml").json["error"]
    assert "UTF-8" in page.get("api/draft/latin.toml").json["error"]


def test_a_body_that_is_too_large_is_not_read(page):
    answer = page.post(f"api/draft/{SEAT}", {"text": "x" * LARGEST_BODY})
    assert answer.status_code == 413
    assert answer.json == {"error": "far too large"}


@pytest.mark.parametrize(
    "told",
    [
        [],
        "x",
        {"text": 3},
        {"edits": "x"},
        {"edits": [3]},
        {"edits": [{}] * 3000},
        {"part": "x"},
        {"text": "\ud800"},
        {"edits": [{"key": "note", "value": "\ud800"}]},
        {"edits": [{"add_row": "hole", "values": 3}]},
    ],
)
def test_a_request_that_makes_no_sense_is_refused_or_does_nothing(page, told):
    answer = page.post(f"api/draft/{SEAT}", told)
    assert answer.status_code in (200, 400, 409)
    assert page.get(f"api/text/{SEAT}").json["saved"] == page.get(f"api/text/{SEAT}").json["text"]


DEEP = "[" * 5000 + "]" * 5000
HOSTILE = {
    "deep": f"kind = {DEEP}",
    "names": "a" + ".a" * 5000 + " = 1",
    "digits": "kind = " + "9" * 9000,
    "nothing": "",
    "zero": 'kind = "\0"',
    "no toml": "= = =",
    "unknown": 'kind = "submarine"',
    "no kind": 'units = "in"',
    "many parts": "[[part]]\n" * 3000,
    "many holes": 'kind = "tab"\nunits = "in"\n' + '[[hole]]\nsize = "1/4"\n' * 5000,
    "part as word": 'part = "x"',
    "kind as list": "kind = [1]",
    "nan": 'kind = "tab"\nwidth = nan\nlength = inf\n',
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_a_hostile_text_is_answered_in_words_without_paths_or_code(page, text):
    answer = page.post("api/draft/" + page.bring("lamp-tab.toml"), {"text": text})
    assert answer.status_code == 200, answer.text[:500]
    assert not answer.json["good"]
    assert answer.json["messages"]
    assert answer.json["shown"] in (None, "before")
    told = json.dumps(answer.json["messages"])
    assert str(page.folder) not in told
    assert "Traceback" not in told
    for path in ("api/outputs", "api/setup", "api/readings", "api/form", "out-setup", "bracket"):
        answer = page.get(f"{path}/lamp-tab.toml")
        assert answer.status_code in (200, 422), (path, answer.text[:300])
        assert str(page.folder) not in answer.text
    page.post("api/discard/lamp-tab.toml")


def test_what_should_not_happen_is_owned_up_to_without_a_word_of_code(page, monkeypatch):
    def broken(*_: object) -> None:
        raise RuntimeError(f"at {page.folder} line 3")

    monkeypatch.setattr("platewright.page.app.form_key", broken)
    answer = page.get(f"api/form/{SEAT}")
    assert answer.status_code == 500
    assert answer.json == {"error": "this should not have happened; nothing was written"}


def test_a_person_who_comes_to_the_wrong_place_is_told_so_in_a_page(page):
    answer = page.get("bracket/no-such.toml")
    assert (answer.status_code, answer.mimetype) == (404, "text/html")
    assert "No such file in this folder." in answer.text
    assert f'href="/{KEY}/"' in answer.text
    answer = page.client.get("/old-key/bracket/spring-seat.toml")
    assert (answer.status_code, answer.mimetype) == (404, "text/html")
    assert "platewright open" in answer.text
    assert KEY not in answer.text
    assert page.get("api/draft/no-such.toml").json == {"error": "no such file in this folder"}


def test_each_sort_of_file_has_its_page_and_another_leads_there(page):
    setup = page.bring("travel-four-link.toml")
    page.post("api/new", {"name": "shop.toml", "kind": "shop"})
    for name, sort, seen in (
        (SEAT, "bracket", "clearance"),
        (setup, "setup", "travel.ride"),
        ("shop.toml", "shop", "kerf[].kerf"),
    ):
        for asked in ("bracket", "setup", "shop"):
            answer = page.get(f"{asked}/{name}")
            if asked == sort:
                assert f'data-key="{seen}"' in answer.text
            else:
                assert (answer.status_code, answer.location) == (302, f"/{KEY}/{sort}/{name}")
    page.post("api/discard/shop.toml")
