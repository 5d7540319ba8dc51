"""From read jobs to everything that is made of them: pieces, plans, and the bytes of each output.

Pure: files are read before and written after.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from platewright.dxf import DxfPiece, dxf_bytes
from platewright.errors import OutputError
from platewright.files.job import Job, Part
from platewright.findings.judgement import Judgement
from platewright.plate.piece import Piece
from platewright.prepare import Prepared, prepared, require_possible
from platewright.sheets.check_sheet import check_pages
from platewright.sheets.pdf import pdf_bytes
from platewright.sheets.template import template_pages
from platewright.shop.cutting import TorchPlan, torch_plan
from platewright.shop.notes import dxf_notes


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeOptions:
    """What the caller chooses; None for `paper` goes by the part's unit."""

    paper: str | None = None
    dxf_version: str = "R2010"

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
    """One piece with its judgement, torch plan and the number of template pages that carry it."""

    piece: Piece
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
    _require_unique(each.part.name for each in parts)
    require_possible(parts)
    made = []
    for count, each in enumerate(parts, 1):
        progress(f"{count} of {len(parts)}: {each.part.name}")
        made.append(_make_part(each, options))
    return tuple(made)


def _require_unique(names: Iterable[str]) -> None:
    twice = sorted(name for name, count in Counter(names).items() if count > 1)
    if twice:
        raise OutputError(
            f"two parts are called {', '.join(twice)} and would write the same files; nothing was "
            "written. Give each a name of its own"
        )


def _make_part(ready: Prepared, options: MakeOptions) -> MadePart:
    part, pieces = ready.part, ready.pieces
    plans = [torch_plan(p.blank, part.stock.thickness, part.common.cutting) for p in pieces]
    paper = options.paper_for(part)
    template = template_pages(pieces, part.unit, paper)
    checks = check_pages(pieces, part.unit, options.check_paper_for(part))
    outputs = {
        f"{part.name}-template.pdf": pdf_bytes(
            template.pages, title=f"{part.name}: full-scale template", subject="Bracket template"
        ),
        f"{part.name}.dxf": dxf_bytes(
            list(_dxf_pieces(part, pieces, plans)), part.unit, options.dxf_version
        ),
        f"{part.name}-check.pdf": pdf_bytes(
            checks, title=f"{part.name}: check sheet", subject="Tape-measure checks"
        ),
    }
    counted = zip(pieces, ready.judgements, plans, template.pages_of_piece, strict=True)
    return MadePart(
        part=part,
        pieces=tuple(MadePiece(piece=p, judgement=j, torch=t, pages=n) for p, j, t, n in counted),
        check_page_count=len(checks),
        outputs=outputs,
    )


def _dxf_pieces(
    part: Part, pieces: tuple[Piece, ...], plans: list[TorchPlan]
) -> Iterator[DxfPiece]:
    for piece, plan in zip(pieces, plans, strict=True):
        yield DxfPiece(piece=piece, torch=plan, notes=dxf_notes(piece, plan, part.unit))


def named_outputs(made: Sequence[MadePart], out: Path) -> dict[Path, bytes]:
    """Every output by the path it is to be written to."""
    return {out / name: data for part in made for name, data in part.outputs.items()}
