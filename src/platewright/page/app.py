"""The page's addresses, who may use them, and what they answer (Flask's door).

Every address begins with the page's key: /KEY/... Whatever changes anything is a POST, carries
JSON and the header ``X-Page-Key: KEY``, and is refused to a caller who may only look (`can_write`
is False). What is refused below /api answers with its status and ``{"error": "words for a
person"}``; where keys of the file are at fault ``"messages"`` are beside it, as in a state. What
else is refused answers with a page in words.

Pages (templates/, each given `base` "/KEY", `key`, `can_write`, `lan`, and at the bench `phone`,
the address for the network and whether it may write there, None where it is not let in)::

    GET  /                           folder.html    folder
    GET  /bracket/NAME?part=1        bracket.html   name, state, form
    GET  /setup/NAME                 setup.html     name, state, form
    GET  /shop/NAME                  shop.html      name, state, form
    GET  /readings/NAME              to the page of the bracket that they are of, at the readings
    GET  /nest                       nest.html      folder
    GET  /static/FILE

The folder::

    GET  /api/folder                 {"folder": its own name, "can_write", "lan", "kinds": [{"name",
                                     "summary"}], "files": [{"name", "sort": "bracket" | "setup" |
                                     "remnant" | "shop" | "readings" | "other", "open", "unsaved"}]}
    POST /api/new                    {"name": "a.toml", "units": "in", "kind": "seat" | "travel" |
                                     "shop"} -> {"name"}: a draft, on no disk until it is saved; 409

A draft; NAME is the file's name with its .toml, PART counts from 1::

    GET  /api/form/NAME?part=        the form: {"id", "title", "summary", "sections": [{"key",
                                     "label", "how", "optional", "fields": [FIELD]}],
                                     "features": [FIELD of rows]}
         FIELD                       {"key", "name", "label", "how", "quantity", "letter", "star",
                                     "optional", "allowed", "choices", "default"}, of a table or of
                                     rows also "columns": [FIELD]; of rows and lists "least",
                                     "most". Keys of columns are "hole[].size".
    GET  /api/draft/NAME?part=       STATE
    POST /api/draft/NAME             {"serial": n, "part": 1, and one of "text": whole TOML;
                                     "edits": [{"key": "left.reach", "value": "6 1/2"},
                                     {"add_row": "hole", "values": {}}, {"remove_row": "hole[2]"}];
                                     "undo": true; "redo": true} -> STATE, or {"serial",
                                     "superseded": true} when a newer draft has come: wait for that.
                                     A value of null or "" takes the key out. Values may be words,
                                     numbers, yes or no, lists, lists of lists.
    GET  /api/text/NAME              {"text", "saved": text on the disk or null}
    GET  /api/difference/NAME        {"lines": [{"in": "both" | "disk" | "mine", "text"}], "seen"}
    POST /api/save/NAME              {"seen": sign or null} -> {"saved": true, "name"}; 409 with
                                     {"error", "lines", "seen"} when the file changed on the disk:
                                     save again with that "seen" to keep mine, discard to take it
    POST /api/save-as/NAME           {"name": "b.toml"} -> {"saved": true, "name"}; 409
    POST /api/discard/NAME           -> {"discarded": true, "name": NAME, or null: it is no more}
    STATE                            {"serial", "name", "sort", "revision", "took_ms",
      "unsaved", "new", "disk": "same" | "changed" | "gone", "can_undo", "can_redo",
      "typed": {key: as typed}, "rows": {key of rows or of a table: how many},
      "refused_edits": [{"key", "message"}],
      "messages": [{"key", "message", "given", "nearest", "other_part", "file": another
                   file that is at fault, or ""}], "good": no messages,
      "unit", "form": id of its form, and for a bracket
      "parts": [name], "part", "kind", "fingerprint",
      "shown": what the rest is of: "draft", "before" (the last good draft) or null (nothing),
      "stock": {"words", "thickness_mm", "material"}, "panels": [{"name", "edges": [name],
                  "bent": [those that are bends]}],
      "pieces": [{"name", "hand", "title", "blank", "mass", "bends": [words], "picture":
                  picture.picture(piece), "root_on_blank", "dimensions": [as in --json],
                  "findings": [{"severity", "rule", "place", "figures", "change", "source",
                                "words"}]}], the right hand of a pair, which is the mirror image,
                  without picture and dimensions,
      "changed": [as with --set, of the first piece against the file on the disk],
      "changed_lines": [words],
      "figures": [{"key", "label", "words", "source": "file" | "shop" | ..., "source_words"}],
      or for a setup "travel": as `travel --json`, "lines": [words]}
    GET  /api/pages/NAME?part=       {"parts": [{"name", "template": [pages of each piece],
                                     "check": pages}]}: of what `make` would make now

Readings, typed into the check sheet's rows; `made_of` is "plate" or "card", pieces count from 0::

    GET  /api/readings/NAME?part=&piece=&made_of=
    POST /api/readings/NAME          {"part", "piece", "made_of", "values": {"flat" | "folded":
                                     {row's name: what the tape shows, "" for none}}}
      both ->                        {"file": readings file, "rows": [{"state", "name", "words",
                                     "told": value and tolerance, "critical", "angle"}], "typed":
                                     {"flat": {name: words}, "folded": {...}}, "messages": [{"key":
                                     'flat.A to B', ...}], "diagnosis": as `readings --json` or
                                     null, "lines": [words], "unsaved", "new", "disk"}
                                     POST /api/save/FILE saves it, as any draft.
    GET  /out-readings/NAME?part=&piece=&made_of=    the sheet of it, PDF

Out, of the draft as it stands, by the same code as the commands; PARAMS are `paper`, `pattern`,
`dxf_version`, `torch=1`, `svg=1`::

    GET  /api/outputs/NAME?PARAMS    {"files": [{"name", "address", "bytes"}]}
    GET  /out/NAME/FILE?PARAMS       the file itself; `download=1` to be kept instead of opened
    POST /api/write/NAME             {PARAMS, "overwrite": false} -> {"wrote": [names],
                                     "out_of_date": [names]}; 409
    GET  /api/compare/NAME?with=     against the file on the disk, or `with` another of the folder:
                                     {"lines": [words], "compare": as --json, "files": [{"name",
                                     "address"}]}
    GET  /api/setup/NAME?lift_mm=    {"lift_mm", "lowest_mm", "highest_mm", "figures": {key: value},
                                     "words": [[what, value]], "svg": the side view there,
                                     "plots": svg of the curves}
    GET  /out-setup/NAME             the travel sheet, PDF

The nest, one job at a time::

    POST /api/nest                   {"files": [NAME], "sheets": ["24x48"], "remnants": [size or
                                     NAME], "gap", "margin", "grain", "turn", "tries", "seed",
                                     "name", "units", "paper", "dxf_version", "torch"} -> {"job"}
    GET  /api/nest/JOB               {"state": "running" | "done" | "failed", "share", "best",
                                     "error", "lines": [words], "files": [{"name", "address"}]}
    POST /api/nest/JOB/stop          ends the search, keeps the best found
    POST /api/nest/JOB/write         {"overwrite": false} -> as /api/write
    GET  /out-nest/JOB/FILE
"""

from __future__ import annotations

import hmac
import time
from collections.abc import Mapping
from typing import Any
from urllib.parse import quote

from flask import (
    Flask,
    Response,
    abort,
    redirect,
    render_template,
    request,
    send_from_directory,
)
from werkzeug.exceptions import HTTPException

from platewright.errors import OutputError
from platewright.kinds.kind import catalogue
from platewright.page.asked import DOOR, body, door_of_request, numbered, part_asked
from platewright.page.door import LARGEST_BODY, Door
from platewright.page.drafts import ConflictError, Drafts
from platewright.page.folder import Folder, NoSuchFileError
from platewright.page.form import bracket_form, setup_form, shop_form
from platewright.page.nesting import Nesting
from platewright.page.out import nest_addresses, out_addresses, readings_addresses, setup_addresses
from platewright.page.state import form_key
from platewright.page.work import DefectError, RefusedError, SupersededError, TooLongError, Worker
from platewright.units import Unit

KEY_HEADER = "X-Page-Key"
_HEADERS = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; "
    "img-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}


def make_app(folder: Folder, doors: tuple[Door, ...], quick: Worker, slow: Worker) -> Flask:
    """The page of a folder: `quick` works drafts out, `slow` what takes longer."""
    app = Flask(__name__, static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = LARGEST_BODY
    app.config["MAX_FORM_MEMORY_SIZE"] = LARGEST_BODY
    app.json.sort_keys = False  # type: ignore[attr-defined]
    drafts = Drafts(folder, quick)
    nesting = Nesting(folder)
    app.extensions["platewright"] = nesting
    _guard(app, doors)
    _refuse_in_words(app, folder)
    lan = next((door for door in doors if door.lan), None)
    phone = (f"http://{min(lan.hosts)}/{lan.key}/", lan.can_write) if lan else None
    _draft_addresses(app, folder, drafts, phone)
    out_addresses(app, folder, drafts, slow)
    readings_addresses(app, folder, drafts, slow)
    setup_addresses(app, drafts, slow)
    nest_addresses(app, folder, drafts, nesting)
    return app


# --- who may come in ----------------------------------------------------------------------------


def _guard(app: Flask, doors: tuple[Door, ...]) -> None:
    @app.before_request
    def enter() -> None:
        door = _door(doors)
        request.environ[DOOR] = door
        if request.method in ("GET", "HEAD"):
            return
        given = request.headers.get(KEY_HEADER, "")
        origin = request.headers.get("Origin")
        if not hmac.compare_digest(given.encode(), door.key.encode()):
            abort(403, "the key of the page is missing: load the page again")
        if origin is not None and origin.partition("://")[2] not in door.hosts:
            abort(403, "this does not come from the page itself")
        if not door.can_write:
            abort(403, "this page may only be looked at")
        if request.content_length and not request.is_json:
            abort(415, "JSON is asked for")

    @app.after_request
    def protect(answer: Response) -> Response:
        for name, value in _HEADERS.items():
            answer.headers.setdefault(name, value)
        door = request.environ.get("platewright.door")
        if door is not None and door.lan:
            # browsers heed it only of an address that is safe from the network, and complain else
            del answer.headers["Cross-Origin-Opener-Policy"]
        return answer

    @app.url_value_preprocessor
    def without_key(_endpoint: str | None, values: dict[str, Any] | None) -> None:
        if values is not None:
            values.pop("key", None)


def _door(doors: tuple[Door, ...]) -> Door:
    """The door that a request has the key of, for the host that it names."""
    key = request.path.split("/")[1].encode()
    found = [door for door in doors if hmac.compare_digest(key, door.key.encode())]
    if not any(request.host in door.hosts for door in doors):
        abort(421, "no page of this host")
    if not found or request.host not in found[0].hosts:
        abort(404)
    return found[0]


# --- how it says no -----------------------------------------------------------------------------


def _refuse_in_words(app: Flask, folder: Folder) -> None:
    def no(words: str, status: int, **more: Any) -> Any:
        words = folder.without_path(words)
        if request.method == "POST" or request.path.split("/")[2:3] == ["api"]:
            return {"error": words, **more}, status
        door = request.environ.get(DOOR)
        told = [f"{each['key']}: {each['message']}" for each in more.get("messages", ())]
        base = f"/{door.key}" if door else ""
        return render_template("refused.html", words=words, more=told, base=base), status

    @app.errorhandler(RefusedError)
    def refused(error: RefusedError) -> Any:
        first = error.mistakes[0]["message"] if error.mistakes else "refused"
        return no(str(first), 422, messages=list(error.mistakes))

    @app.errorhandler(ConflictError)
    def conflict(error: ConflictError) -> Any:
        return error.told, 409

    @app.errorhandler(NoSuchFileError)
    def missing(error: NoSuchFileError) -> Any:
        return no(str(error), 404)

    @app.errorhandler(OutputError)
    def not_written(error: OutputError) -> Any:
        return no(str(error), 409)

    @app.errorhandler(TooLongError)
    def too_long(_: TooLongError) -> Any:
        return no("this took too long and was broken off", 503)

    @app.errorhandler(SupersededError)
    def superseded(_: SupersededError) -> Any:
        return {"serial": body().get("serial"), "superseded": True}

    @app.errorhandler(HTTPException)
    def plain(error: HTTPException) -> Any:
        own = error.code in (403, 415, 421) and error.description
        words = {404: "there is nothing here", 405: "not that way", 413: "far too large"}
        return no(own or words.get(error.code or 0, "this cannot be answered"), error.code or 500)

    @app.errorhandler(DefectError)
    @app.errorhandler(Exception)
    def defect(_: Exception) -> Any:
        return no("this should not have happened; nothing was written", 500)


# --- drafts -------------------------------------------------------------------------------------


def _draft_addresses(
    app: Flask, folder: Folder, drafts: Drafts, phone: tuple[str, bool] | None
) -> None:
    def listing() -> dict[str, Any]:
        door, opened = door_of_request(), drafts.names()
        found = {each.name: each.sort for each in folder.files()}
        for name in opened:
            found.setdefault(name, folder.sort_of(drafts.text_of(name)))
        return {
            "folder": folder.root.name,
            "can_write": door.can_write,
            "lan": door.lan,
            "kinds": [{"name": k.name, "summary": k.summary} for k in catalogue().values()],
            "files": [
                {"name": n, "sort": sort, "open": n in opened, "unsaved": opened.get(n, False)}
                for n, sort in sorted(found.items(), key=lambda each: each[0].lower())
            ],
        }

    def form(name: str) -> dict[str, Any]:
        kind, unit = form_key(name, drafts.draft(name).text, part_asked())
        if kind == "travel":
            return setup_form(unit)
        if kind == "shop":
            return shop_form(unit)
        if kind not in catalogue():
            return {"id": f"{kind} {unit}", "title": kind, "summary": "", "sections": [],
                    "features": []}  # fmt: skip
        return bracket_form(kind, unit)

    def state(name: str, **change: Any) -> dict[str, Any]:
        begun = time.perf_counter()
        told = drafts.change(name, **change)
        return told | {
            "serial": body().get("serial"),
            "took_ms": round(1000 * (time.perf_counter() - begun), 1),
        }

    def page(template: str, **given: Any) -> str:
        door = door_of_request()
        return render_template(
            template,
            base=f"/{door.key}",
            key=door.key,
            can_write=door.can_write,
            lan=door.lan,
            phone=None if door.lan else phone,
            **given,
        )

    @app.get("/<key>/")
    def folder_page() -> str:
        return page("folder.html", folder=listing())

    @app.get("/<key>/<any(bracket, setup, shop):sort>/<name>")
    def file_page(sort: str, name: str) -> Any:
        told = state(name, number=part_asked())
        if told["sort"] != sort:
            return redirect(f"/{door_of_request().key}/{told['sort']}/{quote(name)}")
        return page(f"{sort}.html", name=name, state=told, form=form(name))

    @app.get("/<key>/nest")
    def nest_page() -> str:
        return page("nest.html", folder=listing())

    @app.get("/<key>/static/<path:file>")
    def static_file(file: str) -> Any:
        answer = send_from_directory(f"{app.root_path}/static", file)
        answer.headers["Cache-Control"] = "no-cache"
        return answer

    @app.get("/<key>/api/folder")
    def api_folder() -> Any:
        return listing()

    @app.post("/<key>/api/new")
    def api_new() -> Any:
        told = body()
        unit: Unit = "mm" if told.get("units") == "mm" else "in"
        draft = drafts.begin(str(told.get("name", "")), str(told.get("kind", "")), unit)
        return {"name": draft.name}, 201

    @app.get("/<key>/api/form/<name>")
    def api_form(name: str) -> Any:
        return form(name)

    @app.get("/<key>/api/draft/<name>")
    def api_state(name: str) -> Any:
        return state(name, number=part_asked())

    @app.post("/<key>/api/draft/<name>")
    def api_change(name: str) -> Any:
        told = body()
        text, edits = told.get("text"), told.get("edits") or []
        if not (text is None or isinstance(text, str)) or not isinstance(edits, list):
            abort(400)
        if not all(
            isinstance(each, Mapping) and isinstance(each.get("values") or {}, Mapping)
            for each in edits
        ):
            abort(400)
        back = 1 if told.get("undo") else -1 if told.get("redo") else 0
        number = numbered(told.get("part"))
        return state(name, number=number, text=text, edits=edits, back=back)

    @app.get("/<key>/api/text/<name>")
    def api_text(name: str) -> Any:
        draft = drafts.draft(name)
        return {"text": draft.text, "saved": draft.saved}

    @app.get("/<key>/api/difference/<name>")
    def api_difference(name: str) -> Any:
        return drafts.difference(name)

    @app.post("/<key>/api/save/<name>")
    def api_save(name: str) -> Any:
        seen = body().get("seen")
        return drafts.save(name, seen if isinstance(seen, str) else None)

    @app.post("/<key>/api/save-as/<name>")
    def api_save_as(name: str) -> Any:
        return drafts.save_as(name, str(body().get("name", "")))

    @app.post("/<key>/api/discard/<name>")
    def api_discard(name: str) -> Any:
        return drafts.discard(name)
