import pytest
from reportlab.pdfbase.pdfmetrics import stringWidth

from platewright.drawing.lettering import (
    CAP_HEIGHT,
    fitted,
    printable,
    shortened,
    text_width,
    wrap,
)

ALL_LATIN = bytes(code for code in range(32, 256) if code != 127).decode("cp1252", "ignore")


@pytest.mark.parametrize(("weight", "face"), [("regular", "Helvetica"), ("bold", "Helvetica-Bold")])
def test_widths_are_those_of_the_printed_face(weight, face):
    for character in printable(ALL_LATIN):
        expected = stringWidth(character, face, 1 / CAP_HEIGHT)
        assert text_width(character, 1.0, weight) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("written", "printed"),
    [
        ("⌀ 3/16", "Ø 3/16"),
        ("3⅛", "3 1/8"),
        ("-⅛", "-1/8"),
        ("10⁴ mm⁴, 5 mm²", "10^4 mm^4, 5 mm²"),
        ("d₀", "d0"),
        ("½ ¼ ° ± × •", "½ ¼ ° ± × •"),
        ("5′ 3″", "5' 3\""),
        ("≤ 2 − 1", "<= 2 - 1"),
        ("Grüße, Łódź", "Grüße, ?ódz"),
        ("鋼", "?"),
        ("two\nlines\tand", "two lines and"),
        ("zero\u200bwidth\u202e", "zerowidth"),
        ("", ""),
    ],
)
def test_what_the_faces_lack_is_spelled_out(written, printed):
    assert printable(written) == printed


def test_wrapping_breaks_at_spaces_and_keeps_line_ends():
    text = "measure the blank flat\non the bench"
    lines = wrap(text, text_width("measure the blank", 2.5), 2.5)
    assert lines == ("measure the blank", "flat", "on the bench")


def test_a_word_wider_than_the_line_is_broken():
    lines = wrap("aaaaaaaaaa b", text_width("aaaa", 2), 2)
    assert lines == ("aaaa", "aaaa", "aa b")


def test_nothing_wraps_to_one_empty_line():
    assert wrap("", 10, 2) == ("",)


def test_text_is_made_to_fit_by_size_or_by_shortening():
    width = text_width("a long name for a part", 3) / 2
    assert fitted("a long name for a part", width, 3) == pytest.approx(1.5)
    assert fitted("short", 1000, 3) == 3
    cut = shortened("a long name for a part", width, 3)
    assert cut.endswith("…")
    assert text_width(cut, 3) <= width
    assert shortened("short", 1000, 3) == "short"


def test_a_long_key_is_broken_after_its_points_and_bars():
    key = "four_link.lower_length"
    whole = text_width(key, 1.8)
    assert wrap(key, whole * 0.8, 1.8) == ("four_link.lower_", "length")
    assert wrap(key, whole * 0.45, 1.8) == ("four_link.", "lower_", "length")
    assert "".join(wrap(key, whole * 0.1, 1.8)) == key
