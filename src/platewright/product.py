"""From read jobs to everything that is made of them: pieces, plans, and the bytes of each output.

Pure: files are read before and written after.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from platewright.drawing.flow import Strip, bullets, heading
from platewright.drawing.items import Page
from platewright.drawing.pdf import pdf_bytes
from platewright.drawing.view import view_svg
from platewright.dxf import DxfPiece, dxf_bytes
from platewright.errors import OutputError
from platewright.files.job import Job, Part
from platewright.files.outputs import gathered
from platewright.findings.judgement import Judgement
from platewright.plate.piece import Piece
from platewright.prepare import prepared, require_possible
from platewright.sheets.blank_svg import blank_svg
from platewright.sheets.card_sheet import card_pages, card_strips
from platewright.sheets.check_sheet import check_pages
from platewright.sheets.gauge_sheet import gauge_pages
from platewright.sheets.section import Section, SectionInput
from platewright.sheets.template import PAGE_SETS, Template, template_pages
from platewright.shop.cutting import TorchPlan
from platewright.shop.notes import cutting_lines, dxf_notes, piece_title, torch_notes
from platewright.units import Unit
from platewright.work import Work, worked


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeOptions:
    """What the caller chooses; None for `paper` goes by the part's unit.

    `pattern` is "card", "plate" or "both"; `torch` and `svg` ask for files of their own.
    """

    paper: str | None = None
    dxf_version: str = "R2010"
    pattern: str = "both"
    torch: bool = False
    svg: bool = False

    def paper_for(self, part: Part) -> str:
        """The paper of a part's sheets."""
        return self.paper or _usual_paper(part)

    def check_paper_for(self, part: Part) -> str:
        """The paper of a part's check sheet: a plotter's single sheet is for templates alone."""
        return _usual_paper(part) if self.paper in (None, "single") else self.paper_for(part)


def _usual_paper(part: Part) -> str:
    return "letter" if part.unit == "in" else "A4"


@dataclass(frozen=True, slots=True, kw_only=True)
class MadePiece:
    """One piece with its judgement, torch plan and the number of template pages that carry it.

    `card` is the same piece in card.
    """

    piece: Piece
    card: Piece
    judgement: Judgement
    torch: TorchPlan
    pages: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MadePart:
    """One part of a file: its pieces, and its outputs by file name."""

    part: Part
    pieces: tuple[MadePiece, ...]
    check_page_count: int
    outputs: Mapping[str, bytes]


def make_parts(
    jobs: Sequence[Job], options: MakeOptions, progress: Callable[[str], None]
) -> tuple[MadePart, ...]:
    """Everything for every part of every job.

    Raises FileError with the mistakes of all parts at once, or for a part that cannot be made at
    all; OutputError when two parts would write the same file.
    """
    parts = prepared(jobs)
    _require_unique(
        name for each in parts for name in {each.part.name, *(piece.name for piece in each.pieces)}
    )
    require_possible(parts)
    works = worked(parts, options.pattern)
    made = []
    for count, work in enumerate(works, 1):
        progress(f"{count} of {len(parts)}: {work.part.name}")
        made.append(_make_part(work, options))
    return tuple(made)


def _require_unique(names: Iterable[str]) -> None:
    twice = sorted(name for name, count in Counter(map(str.lower, names)).items() if count > 1)
    if twice:
        raise OutputError(
            f"two parts are called {', '.join(twice)} and would write the same files; nothing was "
            "written. Give each a name of its own"
        )


def _make_part(work: Work, options: MakeOptions) -> MadePart:
    template = _template(work, options.paper_for(work.part))
    checks = check_pages(
        work.pieces,
        work.ready.judgements,
        work.part.unit,
        options.check_paper_for(work.part),
        _more_sections(work),
    )
    return MadePart(
        part=work.part,
        pieces=tuple(_made_pieces(work, template)),
        check_page_count=len(checks),
        outputs=dict(_outputs(work, template, checks, options)),
    )


def _made_pieces(work: Work, template: Template) -> Iterator[MadePiece]:
    counted = zip(
        work.pieces, work.ready.judgements, work.plans, template.pages_of_piece, strict=True
    )
    for piece, judgement, plan, pages in counted:
        card = work.mock_ups[piece.name]
        yield MadePiece(piece=piece, card=card, judgement=judgement, torch=plan, pages=pages)


def _outputs(
    work: Work, template: Template, checks: tuple[Page, ...], options: MakeOptions
) -> Iterator[tuple[str, bytes]]:
    """Every output of a part by its file's name."""
    name, unit, version = work.part.name, work.part.unit, options.dxf_version
    yield (
        f"{name}-template.pdf",
        pdf_bytes(template.pages, title=f"{name}: full-scale template", subject="Bracket template"),
    )
    yield f"{name}.dxf", dxf_bytes(_dxf_pieces(work), unit, version)
    if options.torch:
        yield f"{name}-torch.dxf", dxf_bytes(_torch_pieces(work), unit, version, torch_only=True)
    yield (
        f"{name}-check.pdf",
        pdf_bytes(checks, title=f"{name}: check sheet", subject="Tape-measure checks"),
    )
    for piece in work.pieces:
        yield f"{piece.name}-view.svg", view_svg(piece.bracket, piece_title(piece)).encode()
    if options.svg:
        yield from _svgs(work)


def _template(work: Work, paper: str) -> Template:
    """The card pattern, the plate's own pages, the guide and the spring's spacer, as wanted."""

    def card_set(piece: Piece, unit: Unit, paper: str) -> tuple[Page, ...]:
        card = work.cards.get(piece.name)
        return card_pages(card, unit, paper, piece.bracket) if card else ()

    def guide_set(piece: Piece, unit: Unit, paper: str) -> tuple[Page, ...]:
        guide = work.guides.get(piece.name)
        if guide is None:
            return ()
        from platewright.sheets.guide_sheet import guide_pages

        return guide_pages(piece, guide, unit, paper)

    def spacer_set(piece: Piece, _unit: Unit, paper: str) -> tuple[Page, ...]:
        mounting = work.part.mounting if piece is work.pieces[0] else None
        if mounting is None:
            return ()
        from platewright.sheets.spacer import spacer_pages

        return spacer_pages(mounting.travel, work.part.name, paper)

    plate_sets = (*PAGE_SETS, gauge_pages) if work.plate else ()
    page_sets = (card_set, *plate_sets, guide_set, spacer_set)
    return template_pages(work.pieces, work.part.unit, paper, page_sets)


def _more_sections(work: Work) -> tuple[Section, ...]:
    """What the check sheet tells besides: the place on the vehicle, the card, the cutting."""

    def set_up_section(matter: SectionInput) -> tuple[Strip, ...]:
        mounting, thickness = work.part.mounting, work.part.stock.thickness
        if mounting is None:
            return ()
        from platewright.sheets.travel_sheet import set_up_strips

        return set_up_strips(mounting, thickness, matter.unit, matter.width)

    def card_section(matter: SectionInput) -> tuple[Strip, ...]:
        card = work.mock_ups[matter.piece.name]
        return card_strips(card, matter.piece, matter.unit, matter.width)

    def cutting_section(matter: SectionInput) -> tuple[Strip, ...]:
        plan = work.plans[work.pieces.index(matter.piece)]
        lines = cutting_lines(plan, matter.unit)
        return (*heading("Cutting", matter.width), *bullets(lines, matter.width))

    return (card_section, cutting_section, set_up_section)


def _dxf_pieces(work: Work) -> list[DxfPiece]:
    found = []
    for piece, plan in zip(work.pieces, work.plans, strict=True):
        guide = work.guides.get(piece.name)
        notes = dxf_notes(piece, plan, work.part.unit, guide)
        found.append(DxfPiece(piece=piece, torch=plan, guide=guide, notes=notes))
    return found


def _torch_pieces(work: Work) -> list[DxfPiece]:
    return [
        DxfPiece(piece=piece, torch=plan, notes=torch_notes(piece, plan, work.part.unit))
        for piece, plan in zip(work.pieces, work.plans, strict=True)
    ]


def _svgs(work: Work) -> Iterator[tuple[str, bytes]]:
    for card in work.cards.values():
        yield f"{card.name}-card.svg", blank_svg(card, "card").encode()
    for piece in work.pieces if work.plate else ():
        yield f"{piece.name}-plate.svg", blank_svg(piece, "plate").encode()


def named_outputs(made: Sequence[MadePart], out: Path) -> dict[Path, bytes]:
    """Every output by the path it is to be written to.

    Raises OutputError when two parts would write the same file.
    """
    return gathered(out, ((each.part.name, each.outputs) for each in made))
