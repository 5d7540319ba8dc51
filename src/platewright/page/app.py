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
      "stock": {"words", "thickness_mm", "material"}, "panels": [{"name", "edges": [name]}],
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
import math
import time
from collections.abc import Mapping
from typing import Any, cast
from urllib.parse import quote, urlencode

from flask import Flask, Response, abort, jsonify, render_template, request, send_from_directory
from werkzeug.exceptions import HTTPException

from platewright.dxf import VERSIONS
from platewright.errors import OutputError
from platewright.kinds.catalogue import catalogue
from platewright.page.door import LARGEST_BODY, Door
from platewright.page.drafts import ConflictError, Drafts
from platewright.page.folder import Folder, NoSuchFileError
from platewright.page.form import bracket_form, setup_form, shop_form
from platewright.page.made import (
    Options,
    compared,
    outputs,
    readings_sheet,
    setup_at,
    setup_sheet,
    write_outputs,
)
from platewright.page.nesting import Nesting, Search
from platewright.page.state import form_key
from platewright.page.work import (
    DefectError,
    RefusedError,
    SupersededError,
    TooLongError,
    Worker,
)
from platewright.sheets.paper import PAPER_NAMES, PAPERS
from platewright.units import Unit

KEY_HEADER = "X-Page-Key"
MAKE_LIMIT = 120.0
"""Seconds that the outputs of a file may take."""

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
#: A browser's own viewer of a PDF or a picture brings styles of its own.
_FILE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'"


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
    _out_addresses(app, folder, drafts, slow)
    _readings_addresses(app, drafts, slow)
    _setup_addresses(app, drafts, slow)
    _nest_addresses(app, folder, drafts, nesting)
    return app


# --- who may come in ----------------------------------------------------------------------------


def _guard(app: Flask, doors: tuple[Door, ...]) -> None:
    @app.before_request
    def enter() -> None:
        door = _door(doors)
        request.environ["platewright.door"] = door
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


def _here() -> Door:
    return cast("Door", request.environ["platewright.door"])


# --- how it says no -----------------------------------------------------------------------------


def _refuse_in_words(app: Flask, folder: Folder) -> None:
    def no(words: str, status: int, **more: Any) -> Any:
        words = folder.without_path(words)
        if request.method == "POST" or request.path.split("/")[2:3] == ["api"]:
            return jsonify({"error": words, **more}), status
        door = request.environ.get("platewright.door")
        told = [f"{each['key']}: {each['message']}" for each in more.get("messages", ())]
        base = f"/{door.key}" if door else ""
        return render_template("refused.html", words=words, more=told, base=base), status

    @app.errorhandler(RefusedError)
    def refused(error: RefusedError) -> Any:
        first = error.mistakes[0]["message"] if error.mistakes else "refused"
        return no(str(first), 422, messages=list(error.mistakes))

    @app.errorhandler(ConflictError)
    def conflict(error: ConflictError) -> Any:
        return jsonify(error.told), 409

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
        return jsonify({"serial": _body().get("serial"), "superseded": True})

    @app.errorhandler(HTTPException)
    def plain(error: HTTPException) -> Any:
        own = error.code in (403, 415, 421) and error.description
        words = {404: "there is nothing here", 405: "not that way", 413: "far too large"}
        return no(own or words.get(error.code or 0, "this cannot be answered"), error.code or 500)

    @app.errorhandler(DefectError)
    @app.errorhandler(Exception)
    def defect(_: Exception) -> Any:
        return no("this should not have happened; nothing was written", 500)


def _body() -> dict[str, Any]:
    body = request.get_json(silent=True) if request.is_json else None
    return body if isinstance(body, dict) else {}


def _number(value: object, least: int = 1) -> int:
    """The number of a part or a piece, the least where none is said."""
    try:
        return min(max(int(cast("Any", value)), least), 500)
    except (TypeError, ValueError, OverflowError):
        return least


# --- drafts -------------------------------------------------------------------------------------


def _draft_addresses(
    app: Flask, folder: Folder, drafts: Drafts, phone: tuple[str, bool] | None
) -> None:
    def listing() -> dict[str, Any]:
        door, opened = _here(), drafts.names()
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
        kind, unit = form_key(name, drafts.draft(name).text, _part())
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
            "serial": _body().get("serial"),
            "took_ms": round(1000 * (time.perf_counter() - begun), 1),
        }

    def page(template: str, **given: Any) -> str:
        door = _here()
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

    @app.get("/<key>/bracket/<name>")
    def bracket_page(name: str) -> str:
        return page("bracket.html", name=name, state=state(name, number=_part()), form=form(name))

    @app.get("/<key>/setup/<name>")
    def setup_page(name: str) -> str:
        return page("setup.html", name=name, state=state(name), form=form(name))

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
        return jsonify(listing())

    @app.post("/<key>/api/new")
    def api_new() -> Any:
        told = _body()
        unit: Unit = "mm" if told.get("units") == "mm" else "in"
        draft = drafts.begin(str(told.get("name", "")), str(told.get("kind", "")), unit)
        return jsonify({"name": draft.name}), 201

    @app.get("/<key>/api/form/<name>")
    def api_form(name: str) -> Any:
        return jsonify(form(name))

    @app.get("/<key>/api/draft/<name>")
    def api_state(name: str) -> Any:
        return jsonify(state(name, number=_part()))

    @app.post("/<key>/api/draft/<name>")
    def api_change(name: str) -> Any:
        told = _body()
        text, edits = told.get("text"), told.get("edits") or []
        if not (text is None or isinstance(text, str)) or not isinstance(edits, list):
            abort(400)
        if not all(isinstance(each, Mapping) for each in edits):
            abort(400)
        back = 1 if told.get("undo") else -1 if told.get("redo") else 0
        number = _number(told.get("part"))
        return jsonify(state(name, number=number, text=text, edits=edits, back=back))

    @app.get("/<key>/api/text/<name>")
    def api_text(name: str) -> Any:
        draft = drafts.draft(name)
        return jsonify({"text": draft.text, "saved": draft.saved})

    @app.get("/<key>/api/difference/<name>")
    def api_difference(name: str) -> Any:
        return jsonify(drafts.difference(name))

    @app.post("/<key>/api/save/<name>")
    def api_save(name: str) -> Any:
        seen = _body().get("seen")
        return jsonify(drafts.save(name, seen if isinstance(seen, str) else None))

    @app.post("/<key>/api/save-as/<name>")
    def api_save_as(name: str) -> Any:
        return jsonify(drafts.save_as(name, str(_body().get("name", ""))))

    @app.post("/<key>/api/discard/<name>")
    def api_discard(name: str) -> Any:
        return jsonify(drafts.discard(name))


# --- out ----------------------------------------------------------------------------------------


def _out_addresses(app: Flask, folder: Folder, drafts: Drafts, slow: Worker) -> None:
    def made(name: str, told: Mapping[str, Any]) -> dict[str, Any]:
        text, options = drafts.settled(name).text, _make_options(told)
        found: dict[str, Any] = slow.ask(outputs, name, text, options, limit=MAKE_LIMIT)
        return found

    def compared_with(name: str, other: str) -> dict[str, Any]:
        text = drafts.settled(name).text
        given = (name, text, other or name, folder.read(other or name))
        found: dict[str, Any] = slow.ask(compared, *given, limit=MAKE_LIMIT)
        return found

    @app.get("/<key>/api/pages/<name>")
    def api_pages(name: str) -> Any:
        return jsonify({"parts": made(name, request.args)["parts"]})

    @app.get("/<key>/api/outputs/<name>")
    def api_outputs(name: str) -> Any:
        return jsonify(
            {"files": _listed(made(name, request.args)["outputs"], f"out/{quote(name)}")}
        )

    @app.get("/<key>/out/<name>/<file>")
    def out_file(name: str, file: str) -> Response:
        return _file(made(name, request.args)["outputs"], file)

    @app.post("/<key>/api/write/<name>")
    def api_write(name: str) -> Any:
        told = _body()
        text, overwrite = drafts.settled(name).text, told.get("overwrite") is True
        given = (name, text, _make_options(told), overwrite)
        return jsonify(slow.ask(write_outputs, *given, limit=MAKE_LIMIT))

    @app.get("/<key>/api/compare/<name>")
    def api_compare(name: str) -> Any:
        other = request.args.get("with", "")
        found = compared_with(name, other)
        listed = _listed(found.pop("outputs"), f"out-compare/{quote(name)}", {"with": other})
        return jsonify({**found, "files": listed})

    @app.get("/<key>/out-compare/<name>/<file>")
    def out_compare(name: str, file: str) -> Response:
        return _file(compared_with(name, request.args.get("with", ""))["outputs"], file)


def _listed(
    found: Mapping[str, bytes], where: str, asked: Mapping[str, str] | None = None
) -> list[dict[str, Any]]:
    query = urlencode(request.args.to_dict() if asked is None else asked)
    base = f"/{_here().key}/{where}"
    return [
        {
            "name": name,
            "address": f"{base}/{quote(name)}" + (f"?{query}" if query else ""),
            "bytes": len(data),
        }
        for name, data in found.items()
    ]


_TYPES = {
    ".pdf": "application/pdf",
    ".dxf": "image/vnd.dxf",
    ".svg": "image/svg+xml",
    ".toml": "application/toml",
}


def _file(found: Mapping[str, bytes], name: str) -> Response:
    if name not in found:
        abort(404)
    ending = name[name.rfind(".") :].lower()
    answer = Response(found[name], mimetype=_TYPES.get(ending, "application/octet-stream"))
    kept = request.args.get("download") == "1" or ending not in (".pdf", ".svg")
    answer.headers.set("Content-Disposition", "attachment" if kept else "inline", filename=name)
    answer.headers["Content-Security-Policy"] = _FILE_POLICY
    return answer


def _make_options(told: Mapping[str, Any]) -> Options:
    """The options of `make` that a request tells; what is no choice of it is refused."""
    version, pattern = told.get("dxf_version") or "R2010", told.get("pattern") or "both"
    paper = told.get("paper") or None
    if (
        version not in VERSIONS
        or pattern not in ("card", "plate", "both")
        or (paper is not None and str(paper).lower() not in PAPER_NAMES)
    ):
        abort(400)
    return tuple(
        {
            "dxf_version": version,
            "paper": paper,
            "pattern": pattern,
            "svg": told.get("svg") in ("1", True),
            "torch": told.get("torch") in ("1", True),
        }.items()
    )


# --- readings -----------------------------------------------------------------------------------


def _readings_addresses(app: Flask, drafts: Drafts, slow: Worker) -> None:
    def which(told: Mapping[str, Any]) -> tuple[int, int, str]:
        piece = _number(told.get("piece", 0), least=0)
        return (
            _number(told.get("part")),
            piece,
            "card" if told.get("made_of") == "card" else "plate",
        )

    @app.get("/<key>/api/readings/<name>")
    def api_readings(name: str) -> Any:
        return jsonify(drafts.readings(name, which(request.args), {}))

    @app.post("/<key>/api/readings/<name>")
    def api_read(name: str) -> Any:
        told = _body()
        values = told.get("values") or {}
        if not isinstance(values, Mapping) or len(values) > 2:
            abort(400)
        return jsonify(drafts.readings(name, which(told), values))

    @app.get("/<key>/out-readings/<name>")
    def out_readings(name: str) -> Response:
        file = drafts.readings(name, which(request.args), {})["file"]
        given = (name, drafts.settled(name).text, file, drafts.draft(file).text)
        found = slow.ask(readings_sheet, *given, limit=MAKE_LIMIT)["outputs"]
        return _file(found, next(iter(found)))


# --- setups -------------------------------------------------------------------------------------


def _setup_addresses(app: Flask, drafts: Drafts, slow: Worker) -> None:
    @app.get("/<key>/api/setup/<name>")
    def api_setup(name: str) -> Any:
        text = drafts.settled(name).text
        told = request.args.get("lift_mm")
        try:
            lift = None if told is None else float(told)
        except ValueError:
            abort(400)
        if lift is not None and not math.isfinite(lift):
            abort(400)
        return jsonify(slow.ask(setup_at, name, text, lift))

    @app.get("/<key>/out-setup/<name>")
    def out_setup(name: str) -> Response:
        found = slow.ask(setup_sheet, name, drafts.settled(name).text, limit=MAKE_LIMIT)["outputs"]
        return _file(found, next(iter(found)))


# --- nests --------------------------------------------------------------------------------------


def _nest_addresses(app: Flask, folder: Folder, drafts: Drafts, nesting: Nesting) -> None:
    def searched(number: int) -> Search:
        found = nesting.search(number)
        if found is None:
            abort(404)
        return found

    @app.post("/<key>/api/nest")
    def api_nest() -> Any:
        told = _body()
        names = _words(told, "files")
        for name in names:
            folder.require_name(name)
        search = nesting.start([(n, drafts.text_of(n)) for n in names], _nest_options(told))
        return jsonify({"job": search.number}), 202

    @app.get("/<key>/api/nest/<int:number>")
    def api_search(number: int) -> Any:
        search = searched(number)
        found = search.found.get("outputs", {})
        return jsonify(
            {
                "state": search.state,
                "share": search.share,
                "best": search.best,
                "error": search.error,
                "messages": search.messages,
                "lines": search.found.get("lines", []),
                "files": _listed(found, f"out-nest/{number}"),
            }
        )

    @app.post("/<key>/api/nest/<int:number>/stop")
    def api_stop(number: int) -> Any:
        searched(number)
        nesting.stop()
        return jsonify({"stopping": True})

    @app.post("/<key>/api/nest/<int:number>/write")
    def api_write_nest(number: int) -> Any:
        search = searched(number)
        if search.state != "done":
            abort(404)
        return jsonify(nesting.write(search, overwrite=_body().get("overwrite") is True))

    @app.get("/<key>/out-nest/<int:number>/<file>")
    def out_nest(number: int, file: str) -> Response:
        return _file(searched(number).found.get("outputs", {}), file)


def _words(told: Mapping[str, Any], name: str) -> tuple[str, ...]:
    """A list of short words that a request tells."""
    found = told.get(name) or []
    if not isinstance(found, list) or len(found) > 200:
        abort(400)
    if not all(isinstance(each, str) and len(each) <= 120 for each in found):
        abort(400)
    return tuple(found)


def _nest_options(told: Mapping[str, Any]) -> Options:
    """The options of `nest` that a request tells, the command's own where it tells none."""

    def word(name: str) -> str | None:
        found = told.get(name)
        return str(found)[:60] if found not in (None, "") else None

    try:
        turn, tries, seed = (
            float(word("turn") or 90),
            int(word("tries") or 80),
            int(word("seed") or 1),
        )
    except ValueError:
        abort(400)
    units, grain = word("units"), word("grain") or "any"
    version, paper = word("dxf_version") or "R2010", word("paper")
    if (
        not 1 <= turn <= 360
        or not 1 <= tries <= 100_000
        or not 0 <= seed < 2**63
        or units not in (None, "in", "mm")
        or grain not in ("any", "drawn", "across")
        or version not in VERSIONS
        or (paper is not None and paper.lower() not in PAPERS)
    ):
        abort(400)
    return tuple(
        {
            "sheets": _words(told, "sheets"),
            "remnants": _words(told, "remnants"),
            "gap": word("gap"),
            "margin": word("margin"),
            "grain": grain,
            "turn": turn,
            "tries": tries,
            "seed": seed,
            "name": word("name") or "nest",
            "units": units,
            "paper": paper,
            "dxf_version": version,
            "torch": told.get("torch") is True,
        }.items()
    )


def _part() -> int:
    return _number(request.args.get("part"))
