import pytest

from platewright.errors import OutputError
from platewright.sheets.paper import A4, LETTER, PAPER_NAMES, Paper, paper_named


def test_papers_are_found_by_name_whatever_the_capitals():
    assert paper_named(" a4 ") is A4
    assert paper_named("Letter") is LETTER
    assert PAPER_NAMES == ("letter", "legal", "tabloid", "a4", "a3", "single")


@pytest.mark.parametrize("name", ["a5", "", "single"])
def test_an_unknown_paper_is_refused_with_the_known_ones(name):
    with pytest.raises(OutputError, match="letter, legal, tabloid, a4, a3"):
        paper_named(name)


def test_turning_paper():
    assert (A4.turned.width, A4.turned.height) == (297, 210)
    assert A4.turned.upright == A4
    assert A4.upright is A4


def test_the_printable_part_leaves_what_printers_do_not_reach():
    room = LETTER.printable
    # common practice: many printers leave 1/4 in blank
    assert room.xmin >= 6.35
    assert LETTER.width - room.xmax >= 6.35


def test_paper_smaller_than_its_margins_is_refused():
    with pytest.raises(OutputError, match="all margin"):
        _ = Paper("slip", 20, 200).printable
