"""`platewright kinds`: which brackets there are."""

from __future__ import annotations

import json

import click

from platewright.cli.refusals import refusing


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print the list as one JSON document.")
@refusing
def kinds(as_json: bool) -> None:
    """List the kinds of bracket, each with a sentence.

    `platewright start KIND` writes a file to fill in, `platewright form KIND` a form to take out
    to the vehicle.
    """
    from platewright.kinds.kind import catalogue

    found = catalogue().values()
    if as_json:
        listed = [{"kind": kind.name, "summary": kind.summary} for kind in found]
        click.echo(json.dumps({"kinds": listed}, indent=2, ensure_ascii=False))
        return
    width = max(len(kind.name) for kind in found)
    for kind in found:
        click.echo(f"{kind.name:<{width}}  {kind.summary}")
