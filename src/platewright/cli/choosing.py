"""Options that several commands share, and what their words mean."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import click

if TYPE_CHECKING:
    from platewright.files.shop_file import WhichShop
    from platewright.kinds.kind import Kind
    from platewright.units import Unit

SETUP = "travel"
"""What names the setup of a suspension where otherwise a kind of bracket is named."""

SHOP = "shop"
"""What names the shop file where otherwise a kind of bracket is named."""

READINGS = "-readings.toml"
"""How the names of readings files end."""

Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]


def _brackets(
    _context: click.Context, _parameter: click.Parameter, files: tuple[Path, ...]
) -> tuple[Path, ...]:
    """The files without a folder's own shop file and readings, which `*.toml` names as well."""
    from platewright.files.shop_file import is_shop_file

    def passed_over(path: Path) -> bool:
        if path.name.endswith(READINGS):
            from platewright.files.readings import is_readings_file

            return is_readings_file(path)
        return is_shop_file(path)

    return tuple(each for each in files if not passed_over(each)) or files


files_argument: Decorator = click.argument(
    "files",
    callback=_brackets,
    nargs=-1,
    required=True,
    metavar="FILE...",
    # whether one can be read is told by the reader, with all other mistakes
    type=click.Path(path_type=Path, readable=False),
)

setups_option: Decorator = click.option(
    "--setup",
    "setups",
    type=click.Path(path_type=Path, readable=False),
    multiple=True,
    metavar="FILE",
    help="A suspension's setup that a bracket FILE names though it lies outside its folder. May be "
    "given again.",
)


def shop_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """`--shop FILE` and `--no-shop`; what they mean together is `shop_of`."""
    with_file = click.option(
        "--shop",
        type=click.Path(path_type=Path, readable=False),
        metavar="FILE",
        help="The shop's own figures, used where a bracket file has none.  [default: shop.toml "
        "beside it, if there is one]",
    )
    without = click.option(
        "--no-shop", is_flag=True, help="Leave a shop.toml beside the bracket file unread."
    )
    return with_file(without(command))


def shop_of(shop: Path | None, no_shop: bool) -> WhichShop:
    """The shop file that the two options ask for. Raises UsageError for both at once."""
    if shop is not None and no_shop:
        raise click.UsageError("--shop and --no-shop: give one of the two")
    return None if no_shop else shop or "beside"


set_option: Decorator = click.option(
    "--set",
    "tried",
    multiple=True,
    metavar="KEY=VALUE",
    help='Try another value without touching the file, such as --set "wall_gap=1 1/8" or --set '
    '"left.reach=6", and tell the distances that change. May be given again.',
)

units_option: Decorator = click.option(
    "--units",
    type=click.Choice(("in", "mm")),
    default="in",
    show_default=True,
    help="Unit of numbers that carry none.",
)

overwrite_option: Decorator = click.option(
    "--overwrite", is_flag=True, help="Write over files that Platewright did not make."
)

#: Told here so that `--help` need not load the rooms that own them; a test keeps them equal.
PAPER_NAMES = ("letter", "legal", "tabloid", "A4", "A3", "single")
DXF_VERSIONS = ("R2010", "R2000", "R12")
PATTERNS = ("card", "plate", "both")

dxf_version_option: Decorator = click.option(
    "--dxf-version",
    type=click.Choice(DXF_VERSIONS, case_sensitive=False),
    default="R2010",
    show_default=True,
    help="Older tables may need R2000 or R12.",
)


def paper_option(words: str, *, single: bool = False) -> Decorator:
    """`--paper`, told in these words; `single` is one sheet as large as what it holds."""
    names = PAPER_NAMES if single else PAPER_NAMES[:-1]
    return click.option("--paper", type=click.Choice(names, case_sensitive=False), help=words)


def warn_out_of_date(paths: Iterable[Path]) -> None:
    """Name loudly what stands in the folder from before and was not made again."""
    for path in paths:
        click.echo(f"OUT OF DATE, not made again: {path}", err=True)


def unit_of(words: str) -> Unit:
    """The unit that a choice of `units_option` names."""
    return cast("Unit", words)


def is_setup(name: str) -> bool:
    """Whether a name asks for the setup of a suspension instead of a kind."""
    return name.lower() == SETUP


def kind_of(name: str) -> Kind:
    """The kind of that name. Raises BadParameter with those there are."""
    from platewright.kinds.kind import catalogue

    kinds = catalogue()
    if name.lower() in kinds:
        return kinds[name.lower()]
    near = get_close_matches(name.lower(), (*kinds, SETUP), n=1)
    hint = f" Did you mean {near[0]}?" if near else ""
    known = ", ".join(kinds)
    raise click.BadParameter(
        f"no kind is called {name!r}. There are: {known}; and {SETUP}, the setup of a suspension."
        f"{hint}"
    )
