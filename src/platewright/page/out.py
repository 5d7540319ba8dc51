"""The addresses by which something leaves the page: outputs, readings, suspensions, nests.

What they answer is told in `app`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any
from urllib.parse import quote, urlencode

from flask import Flask, Response, abort, redirect, request

from platewright.dxf import VERSIONS
from platewright.page.asked import body, door_of_request, numbered
from platewright.page.drafts import Drafts
from platewright.page.folder import Folder, NoSuchFileError
from platewright.page.made import (
    Options,
    compared,
    outputs,
    readings_sheet,
    setup_at,
    setup_sheet,
    whose_readings,
    write_outputs,
)
from platewright.page.nesting import Nesting, NestSearch
from platewright.page.work import Worker
from platewright.sheets.paper import PAPER_NAMES, PAPERS

MAKE_LIMIT = 120.0
"""Seconds that the outputs of a file may take."""

_MOST_LOOKED_AT = 40  # brackets, for the one that readings are of

#: A browser's own viewer of a PDF or a picture brings styles of its own.
_FILE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'"


# --- out ----------------------------------------------------------------------------------------


def out_addresses(app: Flask, folder: Folder, drafts: Drafts, slow: Worker) -> None:
    """Outputs and comparisons of a draft."""

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
        return {"parts": made(name, request.args)["parts"]}

    @app.get("/<key>/api/outputs/<name>")
    def api_outputs(name: str) -> Any:
        return {"files": _listed(made(name, request.args)["outputs"], f"out/{quote(name)}")}

    @app.get("/<key>/out/<name>/<file>")
    def out_file(name: str, file: str) -> Response:
        return _file(made(name, request.args)["outputs"], file)

    @app.post("/<key>/api/write/<name>")
    def api_write(name: str) -> Any:
        told = body()
        text, overwrite = drafts.settled(name).text, told.get("overwrite") is True
        given = (name, text, _make_options(told), overwrite)
        return slow.ask(write_outputs, *given, limit=MAKE_LIMIT)

    @app.get("/<key>/api/compare/<name>")
    def api_compare(name: str) -> Any:
        other = request.args.get("with", "")
        found = compared_with(name, other)
        listed = _listed(found.pop("outputs"), f"out-compare/{quote(name)}", {"with": other})
        return {**found, "files": listed}

    @app.get("/<key>/out-compare/<name>/<file>")
    def out_compare(name: str, file: str) -> Response:
        return _file(compared_with(name, request.args.get("with", ""))["outputs"], file)


def _listed(
    found: Mapping[str, bytes], where: str, asked: Mapping[str, str] | None = None
) -> list[dict[str, Any]]:
    query = urlencode(request.args.to_dict() if asked is None else asked)
    base = f"/{door_of_request().key}/{where}"
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


def readings_addresses(app: Flask, folder: Folder, drafts: Drafts, slow: Worker) -> None:
    """Readings, typed into the rows of the check sheet."""

    def which(told: Mapping[str, Any]) -> tuple[int, int, str]:
        piece = numbered(told.get("piece", 0), least=0)
        return (
            numbered(told.get("part")),
            piece,
            "card" if told.get("made_of") == "card" else "plate",
        )

    @app.get("/<key>/api/readings/<name>")
    def api_readings(name: str) -> Any:
        return drafts.readings(name, which(request.args), {})

    @app.post("/<key>/api/readings/<name>")
    def api_read(name: str) -> Any:
        told = body()
        values = told.get("values") or {}
        if not isinstance(values, Mapping) or len(values) > 2:
            abort(400)
        return drafts.readings(name, which(told), values)

    @app.get("/<key>/readings/<name>")
    def readings_page(name: str) -> Any:
        folder.require_name(name)
        files = [each.name for each in folder.files() if each.sort == "bracket"]
        files.sort(key=lambda each: (not name.startswith(each.removesuffix(".toml")), -len(each)))
        texts = [(each, drafts.text_of(each)) for each in files[:_MOST_LOOKED_AT]]
        found = slow.ask(whose_readings, name, texts, limit=MAKE_LIMIT)
        if not found:
            raise NoSuchFileError(f"{name}: no bracket of this folder has a part with such a file")
        query = f"part={found['part']}&piece={found['piece']}&made_of={found['made_of']}"
        return redirect(f"/{door_of_request().key}/bracket/{quote(found['name'])}?{query}#read")

    @app.get("/<key>/out-readings/<name>")
    def out_readings(name: str) -> Response:
        file = drafts.readings(name, which(request.args), {})["file"]
        given = (name, drafts.settled(name).text, file, drafts.draft(file).text)
        found = slow.ask(readings_sheet, *given, limit=MAKE_LIMIT)["outputs"]
        return _file(found, next(iter(found)))


# --- setups -------------------------------------------------------------------------------------


def setup_addresses(app: Flask, drafts: Drafts, slow: Worker) -> None:
    """A suspension at any height, and its sheet."""

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
        return slow.ask(setup_at, name, text, lift)

    @app.get("/<key>/out-setup/<name>")
    def out_setup(name: str) -> Response:
        found = slow.ask(setup_sheet, name, drafts.settled(name).text, limit=MAKE_LIMIT)["outputs"]
        return _file(found, next(iter(found)))


# --- nests --------------------------------------------------------------------------------------


def nest_addresses(app: Flask, folder: Folder, drafts: Drafts, nesting: Nesting) -> None:
    """The search for a nest, watched, ended and written."""

    def searched(number: int) -> NestSearch:
        found = nesting.search(number)
        if found is None:
            abort(404)
        return found

    @app.post("/<key>/api/nest")
    def api_nest() -> Any:
        told = body()
        names = _words(told, "files")
        for name in names:
            folder.require_name(name)
        search = nesting.start([(n, drafts.text_of(n)) for n in names], _nest_options(told))
        return {"job": search.number}, 202

    @app.get("/<key>/api/nest/<int:number>")
    def api_search(number: int) -> Any:
        search = searched(number)
        found = search.found.get("outputs", {})
        return {
            "state": search.state,
            "share": search.share,
            "best": search.best,
            "error": search.error,
            "messages": search.messages,
            "lines": search.found.get("lines", []),
            "files": _listed(found, f"out-nest/{number}"),
        }

    @app.post("/<key>/api/nest/<int:number>/stop")
    def api_stop(number: int) -> Any:
        searched(number)
        nesting.stop()
        return {"stopping": True}

    @app.post("/<key>/api/nest/<int:number>/write")
    def api_write_nest(number: int) -> Any:
        search = searched(number)
        if search.state != "done":
            abort(404)
        return nesting.write(search, overwrite=body().get("overwrite") is True)

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
