"""Laws of what is measured: the file's numbers come back, and every row is true of the part."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from laws.strategies_bracket import seat_brackets
from laws.strategies_kinds import kind_brackets
from platewright.findings.case import Case, Context
from platewright.findings.whole import not_as_asked
from platewright.measuring.dimensions import dimensions_of
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bracket
from platewright.plate.folded import folded
from platewright.plate.piece import Piece, pieces_of
from platewright.sheets.rows import flat_rows, folded_rows

# a bracket shrinks slowly and its rows tell more than a smaller one would
some = settings(
    deadline=None,
    suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)
kinds = st.one_of(kind_brackets(), seat_brackets().map(lambda pair: pair[1]))


@st.composite
def pieces(draw: st.DrawFn) -> Piece:
    """A piece of any kind, of either hand."""
    hand = draw(st.sampled_from(["as drawn", "mirrored"]))
    return pieces_of("generated", hand, draw(kinds))[0]


@some
@given(kinds)
def test_every_number_of_the_file_is_on_the_part_or_told(bracket: Bracket) -> None:
    told = {
        (fault.measured.value, fault.limit.value)
        for fault in not_as_asked(Case(bracket, blank_of(bracket), Context()))
        if fault.measured and fault.limit
    }
    flat, model = folded(bracket, 0.0), folded(bracket)
    for each in bracket.dimensions:
        if each.key and each.asked is not None:
            comes = (flat if each.when == "flat" else model).value(each)
            assert comes == pytest.approx(each.asked, abs=1e-6) or (comes, each.asked) in told


@some
@given(pieces())
def test_every_fit_critical_key_that_a_tape_finds_has_its_row(piece: Piece) -> None:
    rows = {
        each.dimension
        for table in (flat_rows(piece), folded_rows(piece))
        for row in table.rows
        for each in row.told
    }
    tellers = {each.dimension: each for each in dimensions_of(piece)}
    for each in tellers.values():
        if each.critical and (each.on_blank or each.on_part):
            told = {each.told_on_blank, each.told_on_part} - {None}
            also = {tellers[t].told_on_blank for t in told if t}
            assert (told | also) & rows


@some
@given(pieces())
def test_every_fit_critical_key_is_found_by_a_tape(piece: Piece) -> None:
    """All but what is drawn to the middle of the thickness, and what is too short to measure.

    Nor is a body's side that overhangs the plate, in the air: there the centre is measured from.
    """
    found: dict[str, bool] = {}
    plate, measured_from_centre = piece.bracket.root, False
    for each in dimensions_of(piece):
        told = each.dimension
        if told.start.words == "seat's centre" and told.critical:
            measured_from_centre |= bool(each.on_part)
        if told.key == "clearance" and not plate.contour.contains(told.start.at):
            found["the centre"] = False
            continue
        if told.key and told.critical and "middle" not in (told.start.face, told.end.face):
            measured = bool(each.on_blank or each.on_part) or (told.asked or 0.0) < 0.1
            found[told.key] = found.get(told.key, False) or measured
    if "the centre" in found:
        found["the centre"] = measured_from_centre
    assert all(found.values()), found


@some
@given(pieces())
def test_a_row_is_told_once_and_its_letters_stand_apart(piece: Piece) -> None:
    for table in (flat_rows(piece), folded_rows(piece)):
        told = [(row.letters, row.words) for row in table.rows]
        assert len(set(told)) == len(told)
        assert len({letter for letter, _ in table.places}) == len(table.places)
        names = [row.name for row in table.rows]
        assert "" not in names
        assert len(set(names)) == len(names)
