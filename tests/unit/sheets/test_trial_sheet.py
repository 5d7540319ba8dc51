"""The trial bend's sheet."""

import math

import pytest

from platewright.drawing.items import bounds, words
from platewright.plate.bend import Brake, ScoreFold
from platewright.sheets.trial_sheet import notes_of, trial_pages
from platewright.shop.trial_bend import TrialStrip

WAYS = [Brake(4.7625, 0.44), ScoreFold(2.794, 1.2)]


def strip(way=WAYS[0], thickness=4.7625, degrees=90, unit="in"):
    return TrialStrip(thickness=thickness, way=way, angle=math.radians(degrees), unit=unit)


@pytest.mark.parametrize("paper", ["letter", "A4", "legal", "A3"])
@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(("thickness", "degrees"), [(1.5, 30), (4.7625, 90), (25.4, 135)])
def test_it_is_one_page(way, thickness, degrees, paper):
    (page,) = trial_pages(strip(way, thickness, degrees), paper)
    assert page.bounds.holds(bounds(page.items))


def test_a_brake_strip_says_what_to_scribe_bend_and_read():
    (page,) = trial_pages(strip(), "letter")
    told = " ".join(words(page.items))
    for each in ("OUTSIDE", "marks to the die", "leg A", "radius gauge", "kick up", "4 in"):
        assert each in told
    assert "--bend brake --units in --thickness 3/16 --radius 3/16 --angle 90 --legs A B" in told
    assert "fingerprint" in told


def test_a_score_strip_says_where_to_grind():
    (page,) = trial_pages(strip(WAYS[1], unit="mm"), "A4")
    told = " ".join(words(page.items))
    assert "plate folds away from its score" in told
    assert "--bend score --units mm --thickness 4.7625 --groove 2.794 --angle 90" in told


def test_an_open_bend_is_read_with_a_straightedge_not_a_square():
    for degrees, tool in ((45, "straightedge"), (90, "square's blade")):
        (page,) = trial_pages(strip(degrees=degrees), "letter")
        assert tool in " ".join(words(page.items))


def test_the_dxf_s_words_name_the_face_and_the_sheet():
    (page,) = trial_pages(strip(), "letter")
    told = " ".join(notes_of(strip()))
    assert "OUTSIDE the bend" in told
    sign = next(word for word in told.split() if word.count("-") == 1 and len(word) == 8)
    assert sign.rstrip(",") in " ".join(words(page.items))
