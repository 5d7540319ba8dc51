"""A job: the parts of a file, and what is worked out of each, once, when it is first asked for."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import field, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from platewright.errors import BuildError, FileError, Mistake
from platewright.files.sections import Common
from platewright.files.shop_figures import Figure
from platewright.files.shop_file import NO_SHOP, ShopFile
from platewright.files.typed import Typed, fingerprint
from platewright.findings.limits import Load, SpringLoad
from platewright.kinds.kind import Kind
from platewright.kinds.making import NO_EXTRAS, Extras, make_bracket
from platewright.plate.bend import BendWay, Crease
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bracket
from platewright.plate.piece import Piece, pieces_of
from platewright.plate.stock import Stock
from platewright.shop.cutting import TorchPlan, torch_plan
from platewright.units import Unit, format_length
from platewright.values import dataclass

if TYPE_CHECKING:
    from platewright.findings.rules import Judgement
    from platewright.shop.guide import Guide
    from platewright.shop.scores import Suggestion
    from platewright.suspension.mounting import Mounting


_LONGEST_SOURCE = 60  # letters, at the foot of a template's page
#: What a bend's flat length is worked out from.
_BENT_BY = ("bend.groove", "bend.ligament", "bend.radius", "bend.k")


@dataclass(frozen=True, kw_only=True)
class Part:
    """One part of a job.

    First what its file says: `path` is the file and `at` the part's place in it ("part[2]"; "" when
    the file is one part), `shared` the keys that it has from the top of its file, `unit` the
    file's, `measurements` a value of the kind's declared class, `common` holds the sections that
    every kind shares, `extras` what the file adds to any kind, `mounting` its place in the travel
    of the suspension that it says it belongs to, `typed` every value as the file has it, `shop` the
    shop's own figures and `figures` which of them it takes.

    The rest is worked out: the bracket as drawn, its pieces, and for each piece, in their order,
    its mock-up, judgement, torch plan and tracing guide. All of it raises FileError, with the keys
    that disagree, when the measurements make no such thing.
    """

    path: str
    name: str
    kind: Kind
    measurements: Any
    stock: Stock
    bend: BendWay
    hand: str
    quantity: int
    unit: Unit
    note: str
    common: Common
    extras: Extras = NO_EXTRAS
    at: str = ""
    shared: frozenset[str] = frozenset()
    mounting: Mounting | None = None
    typed: tuple[Typed, ...] = field(default=(), compare=False)
    shop: ShopFile = field(default=NO_SHOP, compare=False)
    figures: tuple[Figure, ...] = field(default=(), compare=False)

    @cached_property
    def fingerprint(self) -> str:
        """The sign of what the file says of this part, for sheets and outputs.

        Remarks, blanks and the order of the keys do not change it; a setup that it names does, and
        what it takes from a shop file.
        """
        borrowed = (
            f"{each.key} = {each.value!r}, {each.measured_on}"
            for each in self.figures
            if each.counts
        )
        return fingerprint((*self._told, *borrowed))

    @property
    def fingerprint_without_shop(self) -> str:
        """The same, of its own file alone."""
        return fingerprint(self._told)

    @property
    def _told(self) -> tuple[str, ...]:
        told = (f"{each.key} = {each.words}" for each in self.typed)
        # a class renamed in here changes the sign of every sheet made before
        setup = (repr(self.mounting.travel.layout),) if self.mounting else ()
        return (f"part {self.name}", *told, *setup)

    @property
    def bracket(self) -> Bracket:
        """The bracket as drawn."""
        return self._built[0]

    @property
    def ligament(self) -> Suggestion | None:
        """What hands can fold over the longest bend, where the file gives no ligament."""
        return self._built[1]

    @cached_property
    def _built(self) -> tuple[Bracket, Suggestion | None]:
        score = self.bend.score
        lengths: list[float] = []
        if score and self.common.bend.ligament is None:
            # the bends as they are drawn: as long as they can be, whatever corners take
            try:
                root = self.kind.draw(self.measurements, self.stock, self.bend).root
            except BuildError as error:
                raise self._mistake(error) from error
            bends = (bend for panel in root.walk() for bend in panel.bends)
            lengths = [bend.panel.straight_edge(bend.base).length for bend in bends]
        if score is None or not lengths:
            return self._bracket(self.stock, self.bend), None
        from platewright.shop.scores import suggest_ligament

        ligament = suggest_ligament(
            self.stock.thickness, max(lengths), self.stock.material, self.common.limits.effort
        )
        return self._bracket(self.stock, replace(score, ligament=ligament.value)), ligament

    @cached_property
    def card(self) -> Bracket:
        """The mock-up in card: the same measurements, folded sharp."""
        try:
            return make_bracket(
                self.kind, self.measurements, self.common.card.stock, Crease(), self.extras
            )
        except BuildError as error:
            words = f"of the mock-up in card, whose bends take no width: {error.message}"
            raise self._mistake(BuildError(words, *error.keys)) from error

    def _bracket(self, stock: Stock, way: BendWay) -> Bracket:
        try:
            return make_bracket(self.kind, self.measurements, stock, way, self.extras)
        except BuildError as error:
            raise self._mistake(error) from error

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """The pieces to make: one, or for a pair the left and then the right."""
        detail = self.common.detail
        return pieces_of(
            self.name,
            self.hand,
            self.bracket,
            detail,
            quantity=self.quantity,
            note=self.note,
            fingerprint=self.fingerprint,
            bent_by=self._bent_by if self.bracket.root.bends else "",
        )

    @property
    def figures_used(self) -> tuple[Figure, ...]:
        """Its figures, with the ligament that hands can fold where no file gives one."""
        if self.ligament is None:
            return self.figures
        words = f"{format_length(self.ligament.value, self.unit)}, what hands can fold"
        return tuple(
            replace(each, value=self.ligament.value, words=words)
            if each.key == "bend.ligament"
            else each
            for each in self.figures
        )

    @property
    def _bent_by(self) -> str:
        """What its bends are worked out from, and where each figure of it comes from."""
        told: dict[str, list[str]] = {}
        for each in (each for each in self.figures_used if each.key in _BENT_BY):
            source = textwrap.shorten(each.source_words, _LONGEST_SOURCE, placeholder=" ...")
            told.setdefault(source, []).append(f"{each.label} {each.words}")
        return "; ".join(f"{', '.join(words)} ({source})" for source, words in told.items())

    @cached_property
    def mock_ups(self) -> tuple[Piece, ...]:
        """The same pieces in card; of a part in card they are the pieces themselves."""
        if self.stock.material.family == "card":
            return self.pieces
        return pieces_of(self.name, self.hand, self.card, fingerprint=self.fingerprint)

    @property
    def load(self) -> Load | None:
        """What it carries: as its file says, else the greatest force of its spring.

        A mock-up in card has a spring and yet carries nothing.
        """
        own, mounting = self.common.load, self.mounting
        force = mounting.travel.greatest_force if mounting else None
        if own is not None or mounting is None or force is None:
            return own
        if not self.stock.material.carries_load:
            return None
        return SpringLoad(force=force, setup=Path(mounting.on.setup).name)

    @cached_property
    def judgements(self) -> tuple[Judgement, ...]:
        """What is found about each piece.

        A weld that the file does not tell is the least, in its own unit's figures.
        """
        from platewright.findings.rules import judge, same_for_both_hands
        from platewright.shop.strength import least_fillet

        limits, mounting = self.common.limits, self.mounting
        if limits.weld_leg is None:
            limits = replace(limits, weld_leg=least_fillet(self.stock.thickness, self.unit))
        # the springback of the shop's own trial bend, where there is one
        read = next((f for f in self.figures if f.key == "bend.springback"), None)
        found: list[Judgement] = []
        for piece in self.pieces:
            if found and same_for_both_hands(limits):
                found.append(found[0].mirrored())
                continue
            try:
                judged = judge(
                    piece,
                    limits,
                    self.common.cutting,
                    self.load,
                    lean=mounting.lean if mounting else None,
                    suspension=mounting.must_change if mounting else (),
                    unit=self.unit,
                )
            except BuildError as error:
                raise self._mistake(BuildError(error.message, "load")) from error
            brakes = judged.brakes
            if read is not None:
                words = (
                    f"{read.words} ({read.source_words}): overbend by that, check with the gauge"
                )
                brakes = tuple(replace(row, springback=words) for row in brakes)
            found.append(replace(judged, ligament=self.ligament, brakes=brakes))
        return tuple(found)

    @property
    def kerf_from(self) -> str:
        """Where its kerf comes from, in words; "" where no file was read."""
        return next((f.source_words for f in self.figures if f.key == "cutting.kerf"), "")

    @cached_property
    def plans(self) -> tuple[TorchPlan, ...]:
        """How the torch runs round each piece, clear of the others."""
        thickness, cutting = self.stock.thickness, self.common.cutting
        boxes = [piece.blank.bounds for piece in self.pieces]
        return tuple(
            torch_plan(
                piece.blank, thickness, cutting, boxes[:index] + boxes[index + 1 :], self.kerf_from
            )
            for index, piece in enumerate(self.pieces)
        )

    @cached_property
    def guides(self) -> tuple[Guide | None, ...]:
        """The tracing guide of each piece, where the file asks for one."""
        cutting = self.common.cutting
        if cutting.guide is None:
            return (None,) * len(self.pieces)
        from platewright.shop.guide import tracing_guide

        kerf_from = self.kerf_from if cutting.guide.kerf is None else "this file"
        found = []
        for piece in self.pieces:
            # nicks and reliefs are too small to follow: they are cut when the guide is off
            blank = blank_of(piece.bracket).moved(piece.drawing_from_bracket)
            try:
                guide = tracing_guide(blank, cutting.guide, cutting.kerf, piece.straight_wall)
            except BuildError as error:
                raise self._mistake(error) from error
            found.append(replace(guide, kerf_from=kerf_from))
        return tuple(found)

    def place_of(self, key: str) -> str:
        """Where a key of this part stands in its file: "part[2].shelf", shared ones at the top."""
        own = self.at and key.partition(".")[0] not in self.shared
        return f"{self.at}.{key}" if own else key

    def _mistake(self, error: BuildError) -> FileError:
        first, *others = error.keys or ("",)
        key = ".".join(word for word in (self.at, first) if word)
        also = f" (see also {', '.join(others)})" if others else ""
        return FileError.of(self.path, error.message + also, key)


@dataclass(frozen=True, slots=True)
class Job:
    """The parts of one file, in its order; `path` as the user gave it."""

    path: str
    parts: tuple[Part, ...]


def worked_out(jobs: Iterable[Job]) -> tuple[Part, ...]:
    """Every part of every job with all worked out that making it needs, short of drawing.

    Raises FileError with the mistakes of all parts at once.
    """
    parts = tuple(part for job in jobs for part in job.parts)
    mistakes = list(named_alike(parts))
    for part in parts:
        try:
            _ = part.judgements, part.mock_ups, part.plans, part.guides
        except FileError as error:
            mistakes.extend(error.mistakes)
    if mistakes:
        raise FileError(tuple(mistakes))
    return parts


def named_alike(parts: Iterable[Part]) -> Iterator[Mistake]:
    """Parts that would write files of another: also one that is called as a hand of a pair."""
    taken: set[str] = set()
    for part in parts:
        # a pair's pieces are told by their hands; what a part writes bears these names
        hands = ("", "-left", "-right") if part.hand == "pair" else ("",)
        names = {f"{part.name}{hand}" for hand in hands}
        twice = sorted(name for name in names if name.lower() in taken)
        if twice:
            yield Mistake(
                file=part.path,
                key=".".join(word for word in (part.at, "name") if word),
                message=f"two parts are called {', '.join(twice)} and would write the same files; "
                "give each a name of its own",
            )
        taken |= {name.lower() for name in names}


def require_possible(parts: Iterable[Part]) -> None:
    """Refuse parts that cannot be made at all. Raises FileError saying why, for all of them."""
    from platewright.findings.words import finding_words

    mistakes = [
        Mistake(file=part.path, key=piece.name, message=finding_words(finding, part.unit))
        for part in parts
        for piece, judgement in zip(part.pieces, part.judgements, strict=True)
        for finding in judgement.findings
        if finding.severity == "impossible"
    ]
    if mistakes:
        raise FileError(tuple(mistakes))
