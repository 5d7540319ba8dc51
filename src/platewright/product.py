"""From read jobs to everything that is made of them: the bytes of each output.

Pure: files are read before and written after.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TypeVar

from platewright.drawing.flow import Strip, bullets, heading
from platewright.drawing.items import Page
from platewright.drawing.pdf import pdf_bytes, signs
from platewright.drawing.view import view_svg
from platewright.dxf import DxfPiece, dxf_bytes
from platewright.errors import FileError, Mistake, OutputError
from platewright.files.job import Job, Part, require_possible, worked_out
from platewright.files.outputs import gathered
from platewright.plate.piece import Piece
from platewright.sheets.blank_svg import blank_svg
from platewright.sheets.card_sheet import card_pages, card_pair, card_strips
from platewright.sheets.check_sheet import check_pages
from platewright.sheets.gauge_sheet import gauge_insets, gauge_pages
from platewright.sheets.openings import opening_strips
from platewright.sheets.page_count import usual_paper
from platewright.sheets.paper import SINGLE, PaperChoice, paper_for
from platewright.sheets.section import Section, SectionInput
from platewright.sheets.template import (
    PAGE_SETS,
    PAIR_SETS,
    PageSet,
    PairSet,
    Template,
    template_pages,
)
from platewright.sheets.typed_table import figure_strips, typed_strips
from platewright.shop.notes import cutting_lines, dxf_notes, piece_title, torch_notes
from platewright.units import Unit
from platewright.values import dataclass

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeOptions:
    """What the caller chooses; None for `paper` goes by the part's unit.

    `pattern` is "card", "plate" or "both"; `torch` and `svg` ask for files of their own. Those of
    them that are `standing`, by name, are made again unasked.
    """

    paper: str | None = None
    dxf_version: str = "R2010"
    pattern: str = "both"
    torch: bool = False
    svg: bool = False
    standing: frozenset[str] = frozenset()

    def paper_for(self, part: Part) -> PaperChoice:
        """The paper of a part's template, for the shop's printer where that was measured."""
        usual = usual_paper(part)  # refuses what no paper holds, whichever is chosen
        return paper_for(part.shop.printer, self.paper or usual)

    def check_paper_for(self, part: Part) -> str:
        """The paper of a part's check sheet: a plotter's single sheet is for templates alone."""
        usual = part.shop.figures.paper or ("letter" if part.unit == "in" else "A4")
        return self.paper if self.paper and self.paper != SINGLE else usual


@dataclass(frozen=True, slots=True, kw_only=True)
class MadePart:
    """A part with its outputs by file name, and how many pages its sheets take.

    `template_pages` are those that carry each piece.
    """

    part: Part
    outputs: Mapping[str, bytes]
    template_pages: tuple[int, ...]
    check_pages: int


def possible_parts(jobs: Sequence[Job]) -> tuple[Part, ...]:
    """Every part of every job, worked out.

    Raises FileError with the mistakes of all parts at once, or for a part that cannot be made at
    all.
    """
    parts = worked_out(jobs)
    require_possible(parts)
    return parts


def make_parts(
    jobs: Sequence[Job], options: MakeOptions, progress: Callable[[str], None]
) -> tuple[MadePart, ...]:
    """Everything for every part of every job.

    Raises FileError with the mistakes of all parts at once, or for a part that cannot be made at
    all, that would write the files of another, or that the chosen paper does not hold.
    """
    parts = possible_parts(jobs)
    made = []
    for count, part in enumerate(parts, 1):
        progress(f"{count} of {len(parts)}: {part.name}")
        try:
            made.append(_made(part, options))
        except OutputError as error:
            mistake = Mistake(file=part.path, key=part.name, message=str(error))
            raise FileError((mistake,)) from error
    return tuple(made)


def _made(part: Part, options: MakeOptions) -> MadePart:
    wanted = _wanted(part, options.pattern)
    template = template_pages(
        part.pieces, part.unit, options.paper_for(part), *_page_sets(part, wanted)
    )
    checks = check_pages(
        part.pieces,
        part.judgements,
        part.unit,
        options.check_paper_for(part),
        _more_sections(part),
    )
    return MadePart(
        part=part,
        outputs=dict(_outputs(part, template, checks, wanted, options)),
        template_pages=template.pages_of_piece,
        check_pages=len(checks),
    )


def _wanted(part: Part, pattern: str) -> frozenset[str]:
    """Which of the "card" and "plate" patterns are printed of a part.

    Without bends the two are one, and a part of card has no other.
    """
    if part.stock.material.family == "card":
        return frozenset(("card",))
    bent = any(piece.blank.bends for piece in part.pieces)
    both = ("card", "plate") if bent else ("plate",)
    return frozenset(both if pattern == "both" else (pattern,))


def _page_sets(
    part: Part, wanted: Collection[str]
) -> tuple[tuple[PageSet, ...], Mapping[PageSet, PairSet]]:
    """The card pattern, the plate's own pages, the guide and the spring's spacer, as wanted."""

    def card_set(piece: Piece, unit: Unit, paper: PaperChoice) -> tuple[Page, ...]:
        if "card" not in wanted:
            return ()
        card = _beside(part, piece, part.mock_ups)
        loose = tuple(gauge_insets(piece)) if "plate" in wanted else ()
        return card_pages(card, unit, paper, piece.bracket, loose)

    def card_both(left: Piece, right: Piece, unit: Unit, paper: PaperChoice) -> tuple[Page, ...]:
        if "card" not in wanted:
            return ()
        loose = tuple(gauge_insets(left)) if "plate" in wanted else ()
        finished = (left.bracket, right.bracket)
        cards = (part.mock_ups[0], part.mock_ups[1])
        return card_pair(cards, unit, paper, finished, loose)

    def guide_set(piece: Piece, unit: Unit, paper: PaperChoice) -> tuple[Page, ...]:
        guide = _beside(part, piece, part.guides)
        if guide is None:
            return ()
        from platewright.sheets.guide_sheet import guide_pages

        return guide_pages(piece, guide, unit, paper)

    def spacer_set(piece: Piece, _unit: Unit, paper: PaperChoice) -> tuple[Page, ...]:
        if part.mounting is None or piece is not part.pieces[0]:
            return ()
        from platewright.sheets.spacer import spacer_pages

        return spacer_pages(part.mounting.travel, part.name, paper, part.fingerprint)

    gauge_sets = () if "card" in wanted else (gauge_pages,)  # else on the card pattern's pages
    plate_sets = (*PAGE_SETS, *gauge_sets) if "plate" in wanted else ()
    page_sets = (card_set, *plate_sets, guide_set, spacer_set)
    return page_sets, {**PAIR_SETS, card_set: card_both}


def _more_sections(part: Part) -> tuple[Section, ...]:
    """What the check sheet tells besides: holes, card, cutting, place, what the file said."""

    def card_section(given: SectionInput) -> tuple[Strip, ...]:
        card = _beside(part, given.piece, part.mock_ups)
        return card_strips(card, given.piece, given.unit, given.width)

    def cutting_section(given: SectionInput) -> tuple[Strip, ...]:
        lines = cutting_lines(_beside(part, given.piece, part.plans), given.unit)
        return (*heading("Cutting", given.width), *bullets(lines, given.width))

    def opening_section(given: SectionInput) -> tuple[Strip, ...]:
        punched = _beside(part, given.piece, part.plans).punched
        return opening_strips(given.piece, punched, given.unit, given.width)

    def set_up_section(given: SectionInput) -> tuple[Strip, ...]:
        if part.mounting is None:
            return ()
        from platewright.sheets.travel_sheet import set_up_strips

        return set_up_strips(part.mounting, part.stock.thickness, given.unit, given.width)

    def typed_section(given: SectionInput) -> tuple[Strip, ...]:
        if given.piece is not part.pieces[0]:  # once for both hands
            return ()
        return (
            *typed_strips(part.typed, given.unit, given.width),
            *figure_strips(part.figures_used, given.width),
        )

    return (opening_section, card_section, cutting_section, set_up_section, typed_section)


def _beside(part: Part, piece: Piece, each: Sequence[T]) -> T:
    """What is worked out of that piece, out of what is worked out of each."""
    return each[part.pieces.index(piece)]


def _outputs(
    part: Part,
    template: Template,
    checks: tuple[Page, ...],
    wanted: Collection[str],
    options: MakeOptions,
) -> Iterator[tuple[str, bytes]]:
    """Every output of a part by its file's name."""
    name, unit, version = part.name, part.unit, options.dxf_version
    yield (
        f"{name}-template.pdf",
        pdf_bytes(
            template.pages,
            title=f"{name}: full-scale template",
            subject="Bracket template",
            made_from=made_from(part),
        ),
    )
    worked = list(zip(part.pieces, part.plans, part.guides, strict=True))
    drawn = [
        DxfPiece(piece=piece, torch=plan, guide=guide, notes=dxf_notes(piece, plan, unit, guide))
        for piece, plan, guide in worked
    ]
    yield f"{name}.dxf", dxf_bytes(drawn, unit, version)
    if options.torch or f"{name}-torch.dxf" in options.standing:
        run = [
            DxfPiece(piece=piece, torch=plan, notes=torch_notes(piece, plan, unit))
            for piece, plan, _ in worked
        ]
        yield f"{name}-torch.dxf", dxf_bytes(run, unit, version, torch_only=True)
    yield (
        f"{name}-check.pdf",
        pdf_bytes(
            checks,
            title=f"{name}: check sheet",
            subject="Tape-measure checks",
            made_from=made_from(part),
        ),
    )
    for piece in part.pieces:
        sign = " ".join(signs({piece.name: piece.fingerprint}))
        view = view_svg(piece.bracket, piece_title(piece), made_from=sign)
        yield f"{piece.name}-view.svg", view.encode()
    there_are = _wanted(part, "both")
    for what, pieces in (("card", part.mock_ups), ("plate", part.pieces)):
        for piece in pieces if what in there_are else ():
            file = f"{piece.name}-{what}.svg"
            if (options.svg and what in wanted) or file in options.standing:
                yield file, blank_svg(piece, what).encode()


def made_from(part: Part) -> dict[str, str]:
    """The fingerprint of a part by each of the names that it goes by."""
    return dict.fromkeys((part.name, *(piece.name for piece in part.pieces)), part.fingerprint)


def replaced_by(parts: Iterable[Part]) -> Callable[[str], bool]:
    """Whether a file is called as some outputs of these parts are, asked for or not."""
    names = "|".join(re.escape(part.name) for part in parts)
    hands = r"(-left|-right)?-(view|card|plate)\.svg"
    ends = rf"-template\.pdf|-check\.pdf|(-torch)?\.dxf|{hands}"
    named = re.compile(rf"({names})({ends})", re.IGNORECASE)
    return lambda file: bool(named.fullmatch(file))


def named_outputs(made: Sequence[MadePart], out: Path) -> dict[Path, bytes]:
    """Every output by the path it is to be written to.

    Raises OutputError when two parts would write the same file.
    """
    return gathered(out, ((each.part.name, each.outputs) for each in made))
