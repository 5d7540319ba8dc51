"""What can go wrong with a part: each cause as a change of its dimensions.

A cause has one free size or two (how far a hole stands off, across and up), or none where it is
there or not. The first of causes that change the readings alike is the likeliest in a shop.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from platewright.drawing.printer import MOST_OFF
from platewright.geometry.plane import Point
from platewright.geometry.segment import Line
from platewright.measuring.dimensions import Measured, dimensions_of
from platewright.plate.blank import BlankBend
from platewright.plate.dimension import Dimension, swapped_hand
from platewright.readings.cause import (
    Cause,
    MadeOf,
    Remedy,
    Said,
    next_time,
    nominal_of,
    tape_words,
)
from platewright.readings.made import Departure, Departures, What
from platewright.readings.places import DimensionPlaces
from platewright.readings.reading import Reading, State
from platewright.readings.slips import slips_of
from platewright.units import Unit, format_angle, format_length
from platewright.values import dataclass


def causes_of(
    places: DimensionPlaces, readings: Sequence[Reading], kerf: float, made_of: MadeOf, unit: Unit
) -> tuple[Cause, ...]:
    """Every cause that is looked for, the likelier of like ones first.

    `kerf` is what the torch path allowed for, mm. Of `readings` come those that one of them
    was misread.
    """
    told = _Telling(places, unit)
    return (
        *told.scales(),
        told.kerf(kerf) if made_of == "plate" else told.cut_beside(),
        *told.allowances(made_of),
        *told.folds(made_of),
        *told.bend_lines(),
        *told.holes(),
        *told.edges(),
        told.mirrored(),
        *slips_of(places, readings, unit),
    )


@dataclass(frozen=True, slots=True)
class _Telling:
    """The causes of one piece, told in one unit."""

    places: DimensionPlaces
    unit: Unit

    def length(self, mm: float) -> str:
        """How much, whichever way."""
        return format_length(abs(mm), self.unit)

    def far(self, mm: float) -> str:
        """How far, whichever way, by a tape."""
        return tape_words(mm, self.unit)

    def value(self, mm: float) -> str:
        """A length for a file."""
        return file_length(mm, self.unit)

    # --- the whole part -----------------------------------------------------------------------

    def scales(self) -> Iterator[Cause]:
        """The print too large or too small: both ways, left to right, bottom to top."""
        both = {Departure("scale x"): 1.0, Departure("scale y"): 1.0}
        for name, words, way in (
            ("print scale", "", both),
            ("print scale across", ", left to right", {Departure("scale x"): 1.0}),
            ("print scale up", ", bottom to top", {Departure("scale y"): 1.0}),
        ):

            def said(size: Sequence[float], words: str = words) -> Said:
                percent = 100 * size[0]
                way = "large" if percent > 0 else "small"
                told = f"the print is {abs(percent):.2f} % too {way}{words}"
                again = "Print at 100 %, not fit to page, and check the bars before you cut"
                if abs(size[0]) > MOST_OFF:
                    # no printer is so far off by itself
                    return Said(told, next_time(again))
                own = "; if they are off at 100 %, measure the printer's own page"
                scale = Remedy(
                    words="The printer's scale, as the bars of its page read it",
                    where="shop file",
                    key="printer",
                    value=f"{1 + size[0]:.4f}",
                )
                return Said(told, (*next_time(again + own), scale))

            yield Cause(name=name, said=said, unit="", departs=(way,), usual=0.03)

    def kerf(self, allowed: float) -> Cause:
        """Metal missing at every cut edge."""

        def said(size: Sequence[float]) -> Said:
            missing = size[0]
            real = max(0.0, allowed + 2 * missing)
            value = self.value(real)
            inside, larger = ("inside", "larger") if missing > 0 else ("outside", "smaller")
            off = (
                f"every cut edge is {self.length(missing)} {inside} its line, and every hole as "
                f"much {larger} all round"
            )
            near = max(0.25 * allowed, 0.2)
            both = "Cut the torch path with the table's own kerf off, or the net line with it on"
            coupon = f"; if that was done, the kerf is {self.length(real)}: cut a coupon"
            for times, why, was in (
                (1, "not allowed for", "neither"),
                (-1, "allowed for twice", "both"),
            ):
                if allowed > 0 and abs(missing - times * allowed / 2) < near:
                    # the kerf is right then, and no other number is to be written
                    words = f"the kerf of {self.length(allowed)} was {why}: {off}"
                    look = f"{both}: look whether this cut had {was}{coupon}"
                    return Said(words, next_time(look))
            if real == 0:
                return Said(f"the torch ran beside its path: {off}", next_time(both))
            return Said(
                f"the kerf is {self.length(real)}, not {self.length(allowed)}: {off}",
                (
                    Remedy(words="The kerf", where="bracket file", key="cutting.kerf", value=value),
                    Remedy(words="The same for every part of that thickness", where="shop file",
                           key="kerf", value=value),
                    *next_time(both),
                ),
            )  # fmt: skip

        return Cause(name="kerf", said=said, departs=({Departure("edges"): 1.0},), usual=1.5)

    def cut_beside(self) -> Cause:
        """Card cut beside its lines."""

        def said(size: Sequence[float]) -> Said:
            side = "inside" if size[0] > 0 else "outside"
            words = f"the card was cut {self.far(size[0])} {side} its lines"
            return Said(words, next_time("Cut on the middle of the lines"))

        return Cause(name="cut beside the line", said=said, departs=({Departure("edges"): 1.0},))

    def mirrored(self) -> Cause:
        """Cut from the wrong face, or to the other hand: what is left stands right."""

        def said(_: Sequence[float]) -> Said:
            words = "it is the other hand: cut from the wrong face, or bent to it"
            face = "The word TOP of the template faces up on the plate"
            return Said(words, next_time(f'{face}; look at "hand" in the file as well'))

        shows = _of_other_hand(self.places)
        return Cause(name="cut from the wrong face", said=said, unit="", whole=True, shows=shows)

    # --- bends --------------------------------------------------------------------------------

    def allowances(self, made_of: MadeOf) -> Iterator[Cause]:
        """The bends use more flat or less: all alike, or one of them."""
        bends = [b for b in self.places.piece.blank.bends if b.allowance > 0]
        if made_of == "card" or not bends:
            return
        first = bends[0]
        if len(bends) > 1:
            # an angle's share of k, a groove's own width
            shares = {
                Departure("allowance", b.number): b.angle / first.angle if b.way.brake else 1.0
                for b in bends
            }
            yield self._allowance("bend allowance", "every bend", first, shares)
        for bend in bends:
            name = f"bend {bend.number}"
            one = {Departure("allowance", bend.number): 1.0}
            yield self._allowance(f"{name} allowance", name, bend, one)

    def _allowance(self, name: str, which: str, bend: BlankBend, way: Departures) -> Cause:
        thickness = self.places.thickness

        def said(size: Sequence[float]) -> Said:
            made = bend.way.using(size[0], bend.angle, thickness)
            more = "more" if size[0] > 0 else "less"
            words = f"{which} uses {self.length(size[0])} {more} of the flat than was reckoned"
            if made.brake is not None and bend.way.brake is not None:
                value = f"{made.brake.k:.3f}"
                words += f" (k {value}, not {bend.way.brake.k:.3g})"
                key, what = "bend.k", "k, if the die left the radius that the file has"
            else:
                assert made.score is not None
                value = self.value(made.score.groove)
                words += f" (a groove of {self.length(made.score.groove)})"
                key, what = "bend.groove", "The groove as it is ground; measure one"
            return Said(
                words,
                (
                    Remedy(words=what, where="bracket file", key=key, value=value),
                    Remedy(words="Better from a trial bend of the same plate: coupon makes its "
                           "strip", where="shop file", key=key, value=value),
                ),
            )  # fmt: skip

        return Cause(name=name, said=said, departs=(way,), usual=4.0)

    def folds(self, made_of: MadeOf) -> Iterator[Cause]:
        """Folded too far or not far enough: one bend, or all alike; pulled closed by a weld."""
        bends = self.places.piece.blank.bends
        ways = [
            (f"bend {bend.number} folded", f"bend {bend.number} is", bend.way.brake is None,
             {Departure("angle", bend.number): 1.0})
            for bend in bends
        ]  # fmt: skip
        if len(bends) > 1:
            every = {Departure("angle", bend.number): 1.0 for bend in bends}
            by_hand = all(bend.way.brake is None for bend in bends)
            ways.insert(0, ("all bends folded", "all bends are", by_hand, every))

        for name, which, by_hand, way in ways:

            def said(size: Sequence[float], which: str = which, by_hand: bool = by_hand) -> Said:
                enough = "too far" if size[0] > 0 else "not far enough"
                far = f"{format_angle(abs(size[0]))} {enough}"
                back = "Fold it back" if size[0] > 0 else "Fold it on"
                if by_hand:
                    do = f"{back} while the groove is open, and check with the card gauge"
                elif size[0] > 0:
                    do = "Set the brake to stop sooner, and check with the card gauge"
                else:
                    do = "Set the brake to bend on by what it springs back"
                return Said(f"{which} folded {far}", next_time(do))

            yield Cause(name=name, said=said, unit="rad", departs=(way,), usual=0.07)
        for name, which, by_hand, way in ways:
            if by_hand and made_of == "plate":

                def pulled(size: Sequence[float], which: str = which) -> Said:
                    return Said(
                        f"{which} pulled closed by {format_angle(abs(size[0]))} by the weld",
                        next_time(
                            "Tack both ends and the middle, clamp a stay across, weld in short "
                            "runs; or leave the fold that much open before you weld"
                        ),
                    )

                pull = name.replace(" folded", " pulled by the weld")
                yield Cause(name=pull, said=pulled, unit="rad", departs=(way,), sign=1,
                            usual=0.05)  # fmt: skip

    def bend_lines(self) -> Iterator[Cause]:
        """A bend's line beside where it should be, or askew."""
        for bend in self.places.piece.blank.bends:

            def beside(size: Sequence[float], bend: BlankBend = bend) -> Said:
                towards = bend.child if size[0] > 0 else bend.parent
                lies = f"lies {self.far(size[0])} too far towards the {towards}"
                scribe = "Scribe it from the holes' middles, and check both ends before you bend"
                return Said(f"the line of bend {bend.number} {lies}", next_time(scribe))

            def askew(size: Sequence[float], bend: BlankBend = bend) -> Said:
                rise = f"{self.far(size[0] * bend.line.length)} over its length"
                words = f"the line of bend {bend.number} runs askew by {format_angle(abs(size[0]))}"
                return Said(
                    f"{words}, {rise}", next_time("Measure both ends of it before you bend")
                )

            number = bend.number
            yield Cause(name=f"bend {number} displaced", said=beside,
                        departs=({Departure("shift", number): 1.0},))  # fmt: skip
            yield Cause(name=f"bend {number} askew", said=askew, unit="rad", usual=0.05,
                        departs=({Departure("turn", number): 1.0},))  # fmt: skip

    # --- holes and edges ----------------------------------------------------------------------

    def holes(self) -> Iterator[Cause]:
        """The holes of a panel set out together from a wrong edge, and each hole by itself."""
        panels = self.places.hole_panels
        for panel, count in Counter(panels).items():
            numbers = [i for i, each in enumerate(panels) if each == panel]
            yield from self._from_wrong_edge(panel, numbers)
            if count > 1:
                yield self._off(
                    f"holes of {panel} together", f"the holes of the {panel} stand", numbers,
                    f"Set out from a trimmed edge, or from a mark beside it: measure them again "
                    f"from an edge of the {panel} that is as drawn",
                )  # fmt: skip
        names = Counter(hole.what for hole in self.places.holes)
        for number, hole in enumerate(self.places.holes):
            name = hole.what if names[hole.what] == 1 else f"{hole.what} of {panels[number]}"
            do = "Punch its centre, and check it from two edges before you cut"
            yield self._off(f"{name} off", f"{name} stands", [number], do)

    def _off(self, name: str, words: str, numbers: Sequence[int], do: str) -> Cause:
        def said(size: Sequence[float]) -> Said:
            across, up = size
            ways = [
                f"{self.far(by)} too far {more if by > 0 else less}"
                for by, more, less in ((across, "right", "left"), (up, "up", "down"))
                if abs(by) > 0.2 * math.hypot(across, up)
            ]
            return Said(f"{words} {' and '.join(ways)}, as the blank is drawn", next_time(do))

        ways: tuple[What, What] = ("hole x", "hole y")
        departs = tuple({Departure(way, number): 1.0 for number in numbers} for way in ways)
        return Cause(name=name, said=said, departs=departs)

    def _from_wrong_edge(self, panel: str, numbers: Sequence[int]) -> Iterator[Cause]:
        """The holes as far from the edge over there as they should be from this one."""
        placed = self.places.piece.blank.panels[self.places.index[panel]]
        box, motion = placed.panel.contour.bounds, placed.blank_from_panel
        for words, along in (("side", True), ("end", False)):
            departs: dict[Departure, float] = {}
            for number in numbers:
                at = self.places.holes[number].centre
                own = motion.inverse().point(at)
                there = Point(own.x, box.ymin + box.ymax - own.y)
                if along:
                    there = Point(box.xmin + box.xmax - own.x, own.y)
                way = motion.point(there) - at
                departs[Departure("hole x", number)] = way.x
                departs[Departure("hole y", number)] = way.y

            def said(_: Sequence[float]) -> Said:
                return Said(
                    f"the holes of the {panel} were set out from the wrong edge: each stands as "
                    "far from the one over there as it should from this one",
                    next_time("Mark the edge that counts before you set out"),
                )

            name = f"holes of {panel} from the wrong {words}"
            yield Cause(name=name, said=said, unit="", departs=(departs,), whole=True)

    def edges(self) -> Iterator[Cause]:
        """One edge of the outline cut beside its line."""
        for index, name in edge_names(self.places).items():

            def said(size: Sequence[float], name: str = name) -> Said:
                side = "inside" if size[0] > 0 else "outside"
                words = f"the {name} is cut {self.far(size[0])} {side} its line"
                return Said(words, next_time("Check the line from the holes before you cut"))

            yield Cause(name=f"{name} off", said=said, departs=({Departure("edge", index): 1.0},))


def file_length(mm: float, unit: Unit) -> str:
    """A length for a file: to a thousandth of an inch or a hundredth of a mm."""
    return f"{mm / 25.4:.3f} in" if unit == "in" else f"{mm:.2f} mm"


def edge_names(places: DimensionPlaces) -> dict[int, str]:
    """The straight edges of the outline that panels have names for, by their index there."""
    found: dict[int, str] = {}
    segments = places.piece.blank.outline.segments
    for placed in places.piece.blank.panels:
        panel = placed.panel
        bent = {bend.edge for bend in panel.bends}
        bent |= {bend.base for bend in places.bends.values() if bend.panel.name == panel.name}
        for name, index in panel.edges:
            segment = panel.contour.segments[index]
            if name in bent or not isinstance(segment, Line):
                continue
            middle = segment.moved(placed.blank_from_panel).point_at(0.5)
            for number, edge in enumerate(segments):
                if isinstance(edge, Line) and edge.distance(middle) < 1e-6:
                    words = name if panel.name in name else f"{name} of the {panel.name}"
                    found.setdefault(number, words)
    return found


def _of_other_hand(places: DimensionPlaces) -> Callable[[Measured, State], float]:
    """What a tape shows more on the other hand, where left and right of the sheet are exchanged.

    What has no left and right in its words is the same on either.
    """
    by_words: dict[tuple[State, tuple[str, ...]], Measured] = {}
    for each in dimensions_of(places.piece):
        for state, tape in (("flat", each.on_blank), ("folded", each.on_part)):
            if tape is not None:
                by_words.setdefault((state, _called(each.dimension)), each)  # type: ignore[arg-type]

    def change(measured: Measured, state: State) -> float:
        called = _called(measured.dimension)
        other = by_words.get((state, tuple(swapped_hand(words) for words in called)), measured)
        return nominal_of(other, state) - nominal_of(measured, state)

    return change


def _called(each: Dimension) -> tuple[str, ...]:
    ends = (words for end in (each.start, each.end) for words in (end.panel, end.words))
    return each.what, *ends
