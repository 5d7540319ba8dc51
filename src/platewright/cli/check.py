"""`platewright check`: what is wrong or risky about brackets."""

from __future__ import annotations

import json
from pathlib import Path

import click

from platewright.cli.refusals import EXIT_CHANGE, refusing


@click.command()
@click.argument(
    "files", nargs=-1, required=True, metavar="FILE...", type=click.Path(path_type=Path)
)
@click.option("--json", "as_json", is_flag=True, help="Print the findings as one JSON document.")
@refusing
def check(files: tuple[Path, ...], as_json: bool) -> None:
    """List what is wrong or risky about the brackets in each FILE, worst first.

    Each finding names its place, what was measured, the limit, where the limit comes from and what
    to change. Exit code 0: nothing, or notes alone; 1: something must be changed; 2: a file that
    cannot be read. A finding is a screen: none found is no approval.
    """
    from platewright.cli.report import findings_json, findings_lines
    from platewright.files.jobs import load_all
    from platewright.findings.rules import must_change
    from platewright.prepare import prepared
    from platewright.shop.notes import piece_title

    judged = [
        (each.part.unit, piece, judgement)
        for each in prepared(load_all(files))
        for piece, judgement in zip(each.pieces, each.judgements, strict=True)
    ]
    if as_json:
        parts = [
            {"name": piece.name, "hand": piece.hand, "findings": findings_json(found, unit)}
            for unit, piece, found in judged
        ]
        click.echo(json.dumps({"parts": parts}, indent=2, ensure_ascii=False))
    else:
        for unit, piece, found in judged:
            click.echo(piece_title(piece))
            click.echo("\n".join(findings_lines(found, unit)) or "  nothing found")
    if any(must_change(found.findings) for _, _, found in judged):
        raise SystemExit(EXIT_CHANGE)
