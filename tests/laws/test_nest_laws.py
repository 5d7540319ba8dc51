"""Laws of nesting, judged on fine polygons by somebody else's geometry."""

from __future__ import annotations

from hypothesis import given, reject

from laws.effort import examples
from laws.strategies_nest import judge, lattice_parts, lattice_sheets, parts, rules, sheets
from platewright.errors import NestError
from platewright.nest.layout import Nest, NestPart, NestRules, Sheet
from platewright.nest.nest import nest

modest = examples(40)
few = examples(12)


def nested_or_assumed(wanted: list[NestPart], stock: list[Sheet], how: NestRules) -> Nest:
    """A nest; examples whose parts are larger than every sheet are let go."""
    try:
        return nest(wanted, stock, how)
    except NestError as error:
        if "fits none of the stock" not in str(error):
            raise
        reject()


@modest
@given(parts(), sheets(), rules)
def test_parts_keep_their_gap_stay_on_the_sheet_and_are_all_there(wanted, stock, how):
    judge(nested_or_assumed(wanted, stock, how), wanted, how)


@modest
@given(lattice_parts(), lattice_sheets, rules)
def test_parts_on_a_lattice_do_so_too(wanted, stock, how):
    judge(nested_or_assumed(wanted, stock, how), wanted, how)


@few
@given(parts(), sheets(), rules)
def test_the_same_seed_gives_the_same_nest(wanted, stock, how):
    first = nested_or_assumed(wanted, stock, how)
    assert nest(wanted, stock, how) == first


@few
@given(parts(), sheets(), rules)
def test_no_fewer_sheets_than_the_bare_area_needs(wanted, stock, how):
    found = nested_or_assumed(wanted, stock, how)
    assert len(found.sheets) >= found.least


@few
@given(parts(), sheets(), rules)
def test_the_holes_of_a_part_are_cut_before_its_outline(wanted, stock, how):
    for nested in nested_or_assumed(wanted, stock, how).sheets:
        for laid in nested.laid:
            inside = [cut.inside for cut in laid.torch.cuts]
            assert inside == sorted(inside, reverse=True)
