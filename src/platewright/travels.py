"""From setup files to travels and their sheets."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from platewright.drawing.pdf import pdf_bytes
from platewright.errors import FileError, Mistake
from platewright.files.outputs import gathered
from platewright.files.setup import SetupFile, load_setup, travel_of
from platewright.files.shop_file import NO_SHOP, ShopFile, WhichShop, shop_for
from platewright.sheets.travel_sheet import travel_pages
from platewright.suspension.travel import Travel
from platewright.suspension.warning import warnings
from platewright.values import dataclass


@dataclass(frozen=True, slots=True)
class Travelled:
    """A setup file, the travel worked out from it, and the shop that prints its sheet."""

    file: SetupFile
    travel: Travel
    shop: ShopFile = NO_SHOP

    @property
    def must_change(self) -> bool:
        """Whether a warning says that something must be changed."""
        return any(warning.weight == "change" for warning in warnings(self.travel))


def travels(paths: Iterable[Path], which: WhichShop = None) -> tuple[Travelled, ...]:
    """Every setup's travel; the mistakes of all files are told together. Raises FileError."""
    found: list[Travelled] = []
    mistakes: list[Mistake] = []
    for path in paths:
        try:
            setup = load_setup(path)
            found.append(Travelled(setup, travel_of(setup), shop_for(path, which)))
        except FileError as error:
            mistakes.extend(error.mistakes)
    if mistakes:
        raise FileError(tuple(mistakes))
    return tuple(found)


def named_sheets(
    found: Sequence[Travelled], out: Path, paper: str | None = None
) -> dict[Path, bytes]:
    """Each setup's sheet by the path it is to be written to.

    Raises OutputError when two setups would write the same file.
    """
    sheets = []
    for each in found:
        name, sign = each.file.name, each.file.fingerprint
        pages = travel_pages(
            each.travel,
            name=name,
            note=each.file.note,
            paper=paper or each.shop.figures.paper,
            fingerprint=sign,
            printer=each.shop.printer,
        )
        pdf = pdf_bytes(
            pages,
            title=f"{name}: suspension travel",
            subject="Suspension travel",
            made_from={name: sign},
        )
        sheets.append((name, {f"{name}-travel.pdf": pdf}))
    return gathered(out, sheets)
