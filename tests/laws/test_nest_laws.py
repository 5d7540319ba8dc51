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


def require_sound(wanted: list[NestPart], stock: list[Sheet], how: NestRules) -> None:
    """Parts keep their gap, stay on the sheet and are all there; holes are cut before outlines."""
    found = nested_or_assumed(wanted, stock, how)
    judge(found, wanted, how)
    assert len(found.sheets) >= found.least  # what the bare area needs
    assert found.turned_down == 0
    for nested in found.sheets:
        for laid in nested.laid:
            inside = [cut.inside for cut in laid.torch.cuts]
            assert inside == sorted(inside, reverse=True)


@modest
@given(parts(), sheets(), rules)
def test_a_nest_is_sound(wanted, stock, how):
    require_sound(wanted, stock, how)


@modest
@given(lattice_parts(), lattice_sheets, rules)
def test_parts_on_a_lattice_make_one_too(wanted, stock, how):
    require_sound(wanted, stock, how)


@few
@given(parts(), sheets(), rules)
def test_the_same_seed_gives_the_same_nest(wanted, stock, how):
    first = nested_or_assumed(wanted, stock, how)
    assert nest(wanted, stock, how) == first
