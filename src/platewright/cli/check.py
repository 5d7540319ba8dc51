"""`platewright check`: what is wrong or risky about brackets."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from platewright.cli.choosing import files_argument, setups_option
from platewright.cli.refusals import EXIT_CHANGE, refusing

if TYPE_CHECKING:
    from platewright.files.job import Part


@click.command()
@files_argument
@setups_option
@click.option("--json", "as_json", is_flag=True, help="Print the findings as one JSON document.")
@refusing
def check(files: tuple[Path, ...], setups: tuple[Path, ...], as_json: bool) -> None:
    """List what is wrong or risky about the brackets in each FILE, worst first.

    Each finding names its place, what was measured, the limit, where the limit comes from and what
    to change. Exit code 0: nothing, or notes alone; 1: something must be changed; 2: a file that
    cannot be read. A finding is a screen: none found is no approval.
    """
    from platewright.files.job import worked_out
    from platewright.files.reader import load_all
    from platewright.findings.rules import must_change
    from platewright.sheets.tiling import usual_paper

    parts = worked_out(load_all(files, setups))
    for part in parts:
        usual_paper(part)  # refuses what no template holds, as `make` does
    if as_json:
        click.echo(json.dumps(_json_of(parts), indent=2, ensure_ascii=False))
    else:
        click.echo("\n".join(line for part in parts for line in _lines_of(part)))
    if any(must_change(found.findings) for part in parts for found in part.judgements):
        raise SystemExit(EXIT_CHANGE)


def _json_of(parts: Iterable[Part]) -> dict[str, Any]:
    from platewright.cli.dimensions_json import measured_json
    from platewright.cli.judgement_json import findings_json
    from platewright.measure import lettered

    return {
        "parts": [
            {
                "name": piece.name,
                "hand": piece.hand,
                "fingerprint": part.fingerprint,
                "findings": findings_json(found, part.unit),
                **measured_json(piece, letters),
                "card": measured_json(card, letters),
            }
            for part in parts
            for letters in (lettered(part.kind.measurements),)
            for piece, card, found in zip(part.pieces, part.mock_ups, part.judgements, strict=True)
        ]
    }


def _lines_of(part: Part) -> Iterator[str]:
    from platewright.cli.report import findings_by_hand
    from platewright.shop.notes import piece_title

    told = findings_by_hand(part.judgements, part.unit)
    for piece, lines in zip(part.pieces, told, strict=True):
        yield piece_title(piece)
        yield from lines or ("  nothing found",)
