"""`platewright open`: a local page, the measuring form come alive, on the files of a folder."""

from __future__ import annotations

import webbrowser
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote

import click

from platewright.cli.refusals import refusing

if TYPE_CHECKING:
    from platewright.page.serving import Addresses

_NEEDED = ("flask", "waitress", "tomlkit")
_INSTALL = "pip install 'platewright[page]'"


@click.command("open")
@click.argument(
    "place",
    metavar="[FILE | FOLDER]",
    default=Path(),
    type=click.Path(path_type=Path, readable=False),
)
@click.option(
    "--lan",
    is_flag=True,
    help="Let a phone on the same network in, by an address of its own; it may only look.",
)
@click.option("--write", is_flag=True, help="With --lan: the phone may change files too.")
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=0,
    metavar="NUMBER",
    help="Port to listen on.  [default: any that is free]",
)
@click.option("--no-browser", is_flag=True, help="Print the address and open no browser.")
@refusing
def open_page(place: Path, lan: bool, write: bool, port: int, no_browser: bool) -> None:
    """Open the page of a FOLDER, or of one FILE in its folder, in the browser.

    The page works on the files themselves: what it does, the commands do. It is served on this
    machine alone, by an address that nobody can guess, until Ctrl-C ends it.
    """
    missing = [name for name in _NEEDED if find_spec(name) is None]
    if missing:
        raise click.UsageError(
            f"the page needs {', '.join(missing)}, not installed here. Install it by: {_INSTALL}"
        )
    if write and not lan:
        raise click.UsageError("--write goes with --lan: on this machine the page may always write")
    from platewright.errors import FileError, Mistake
    from platewright.files.source import read_text
    from platewright.page.folder import Folder
    from platewright.page.serving import serve

    folder, page = place, ""
    if not place.is_dir():
        sort = Folder.sort_of(read_text(place))
        if place.is_symlink() or place.suffix.lower() != ".toml":
            words = "the page opens plain files that end in .toml, and no links"
            raise FileError((Mistake(file=str(place), key="", message=words),))
        page = f"{sort if sort in ('setup', 'shop') else 'bracket'}/{quote(place.name)}"
        folder = place.parent

    def ready(at: Addresses) -> None:
        click.echo(f"the page is at {at.own}\nCtrl-C ends it")
        if at.lan is not None:
            may = "may change files" if write else "may only look"
            click.echo(
                f"WARNING: whoever on this network has this address {may}:\n{at.lan}", err=True
            )
        if not no_browser:
            webbrowser.open(at.own)

    serve(folder, page, port=port, lan=lan, write=write, ready=ready)
