"""Holes, ports and edge distances from outside, each with its source beside it."""

import pytest

from platewright.findings.holes import aisc_edge, least_edge, least_spacing
from platewright.kinds.seat import Bolts, bolt_points
from platewright.shop.hardware import (
    BOLTS,
    PORTS,
    THREAD_ALLOWANCE,
    clearance_hole,
    parse_bolt_size,
)

INCH = 25.4

ISO_273 = [
    # fine, medium, coarse, mm: ISO 273, read (BS 4186 differs at M12 to M16)
    ("M6", 6.4, 6.6, 7),
    ("M8", 8.4, 9, 10),
    ("M10", 10.5, 11, 12),
    ("M12", 13, 13.5, 14.5),
    ("M16", 17, 17.5, 18.5),
    # ISO 273, memory
    ("M3", 3.2, 3.4, 3.6),
    ("M20", 21, 22, 24),
    ("M24", 25, 26, 28),
    ("M30", 31, 33, 35),
]


@pytest.mark.parametrize(("name", "fine", "medium", "coarse"), ISO_273)
def test_iso_273(name: str, fine: float, medium: float, coarse: float) -> None:
    bolt = parse_bolt_size(name, "mm")
    found = tuple(clearance_hole(bolt, fit) for fit in ("close", "normal", "loose"))
    assert found == (fine, medium, coarse)


B18_2_8 = [
    ("1/4", "normal", 9 / 32),  # ASME B18.2.8, read
    ("5/16", "normal", 11 / 32),  # ASME B18.2.8, read
    ("3/8", "normal", 13 / 32),  # ASME B18.2.8, read
    ("7/16", "normal", 15 / 32),  # ASME B18.2.8, read
    ("1/2", "normal", 9 / 16),  # ASME B18.2.8, memory
    ("5/8", "normal", 11 / 16),  # ASME B18.2.8, memory
    ("3/4", "normal", 13 / 16),  # ASME B18.2.8, memory
    ("3/8", "close", 25 / 64),  # ASME B18.2.8, memory
    ("1/2", "close", 17 / 32),  # ASME B18.2.8, memory
    ("3/8", "loose", 0.422),  # ASME B18.2.8, read
    ("1/2", "loose", 0.609),  # ASME B18.2.8, read
    ("1", "normal", 1 + 3 / 32),  # ASME B18.2.8, memory
]


@pytest.mark.parametrize(("name", "fit", "inches"), B18_2_8)
def test_asme_b18_2_8(name: str, fit: str, inches: float) -> None:
    # the table prints three decimals
    assert clearance_hole(parse_bolt_size(name, "in"), fit) / INCH == pytest.approx(
        inches, abs=0.0005
    )


NPT = [
    # outside diameter, inches: ASME B1.20.1, read
    ("1/8 NPT", 0.405),
    ("1/4 NPT", 0.540),
    ("3/8 NPT", 0.675),
    ("1/2 NPT", 0.840),
    ("3/4 NPT", 1.050),
    # ASME B1.20.1, memory
    ("1 NPT", 1.315),
]
G = [
    # major diameter, mm: ISO 228-1, read
    ("G 1/8", 9.728),
    ("G 1/4", 13.157),
    ("G 3/8", 16.662),
    ("G 1/2", 20.955),
    # ISO 228-1, memory
    ("G 3/4", 26.441),
]


@pytest.mark.parametrize(("name", "mm"), [(n, d * INCH) for n, d in NPT] + G)
def test_port_thread(name: str, mm: float) -> None:
    assert PORTS[name].diameter == pytest.approx(mm, rel=1e-12)


def test_port_hole_lets_the_thread_pass() -> None:
    # common practice, no published source: 1/32 in over the thread
    assert pytest.approx(INCH / 32) == THREAD_ALLOWANCE
    assert PORTS["1/4 NPT"].hole == pytest.approx((0.540 + 1 / 32) * INCH)


WASHERS = [
    ("3/8", 0.812),  # ASME B18.21.1 type A narrow: memory
    ("1/2", 1.062),  # ASME B18.21.1 type A narrow: memory
    ("3/4", 1.469),  # ASME B18.21.1 type A narrow: memory
    ("M10", 20 / INCH),  # ISO 7089: memory
    ("M12", 24 / INCH),  # ISO 7089: memory
]


@pytest.mark.parametrize(("name", "narrow"), WASHERS)
def test_washers(name: str, narrow: float) -> None:
    assert BOLTS[name].narrow_washer == pytest.approx(narrow * INCH)


HEXES = [
    ("3/8", 9 / 16 * INCH),  # ASME B18.2.1, memory
    ("1/2", 3 / 4 * INCH),  # ASME B18.2.1, memory
    ("M8", 13),  # ISO 4014, memory
    ("M10", 16),  # ISO 4014, memory
]


@pytest.mark.parametrize(("name", "mm"), HEXES)
def test_hex_across_flats(name: str, mm: float) -> None:
    assert BOLTS[name].across_flats == pytest.approx(mm)


AISC_J3_4 = [
    # bolt and least edge distance, inches: AISC 360-16 Table J3.4, read
    (1 / 2, 3 / 4),
    (5 / 8, 7 / 8),
    (3 / 4, 1),
    (7 / 8, 1 + 1 / 8),
    (1, 1 + 1 / 4),
    # AISC 360-16 Table J3.4, memory
    (1 + 1 / 8, 1 + 1 / 2),
    (1 + 1 / 4, 1 + 5 / 8),
    (1 + 1 / 2, 1.25 * 1.5),
]


@pytest.mark.parametrize(("bolt", "distance"), AISC_J3_4)
def test_aisc_edge_distance(bolt: float, distance: float) -> None:
    rule = aisc_edge(bolt * INCH)
    assert rule is not None
    assert rule.distance == pytest.approx(distance * INCH)


@pytest.mark.parametrize(
    ("bolt", "distance"),
    # mm: AISC 360-16 Table J3.4M, memory
    [(16, 22), (20, 26), (22, 28), (24, 30), (27, 34), (30, 38), (36, 46), (42, 52.5)],
)
def test_aisc_metric_edge_distance(bolt: float, distance: float) -> None:
    rule = aisc_edge(bolt)
    assert rule is not None
    assert rule.distance == pytest.approx(distance)
    assert rule.source == "AISC 360-16 Table J3.4M"


@pytest.mark.parametrize("bolt", [3 / 8 * INCH, 12, 14])
def test_aisc_has_no_row_below_half_an_inch_or_16_mm(bolt: float) -> None:
    # AISC 360-16 Table J3.4, read; J3.4M, memory
    assert aisc_edge(bolt) is None


def test_en_1993_distances() -> None:
    # EN 1993-1-8 Table 3.3, read: end and edge 1.2 d0, spacing 2.2 and 2.4 d0
    assert least_edge(10, None).distance == pytest.approx(12)
    assert least_spacing(10, 0).distance == pytest.approx(24)
    assert "EN 1993-1-8 Table 3.3" in least_spacing(10, 0).source


@pytest.mark.parametrize(
    ("bolt", "hole", "distance", "source"),
    # 2 2/3 d: AISC 360-16 J3.3, memory; 2.4 d0: EN 1993-1-8 Table 3.3, read; holes: ISO 273 medium
    # and ASME B18.2.8 normal
    [
        (10, 11, 26.667, "AISC"),
        (12, 13.5, 32.4, "EN"),
        (16, 17.5, 42.667, "AISC"),
        (20, 22, 53.333, "AISC"),
        (24, 26, 64, "AISC"),
        (30, 33, 80, "AISC"),
        (3 / 8 * INCH, 13 / 32 * INCH, INCH, "AISC"),
        (1 / 2 * INCH, 9 / 16 * INCH, 1.35 * INCH, "EN"),
    ],
)
def test_the_stricter_spacing_rules(bolt: float, hole: float, distance: float, source: str) -> None:
    rule = least_spacing(hole, bolt)
    assert rule.distance == pytest.approx(distance, abs=5e-4)
    assert rule.source.startswith(source)


@pytest.mark.parametrize(("count", "chord"), [(3, 0.866025), (5, 0.587785), (6, 0.5)])
def test_bolt_circle_chord(count: int, chord: float) -> None:
    # D sin(180 / n): exact, handbooks tabulate it
    bolts = Bolts(count=count, spacing=1.0, size=BOLTS["3/8"], fit="normal", turn=0.3)
    points = bolt_points(bolts)
    assert points[0].distance(points[1]) == pytest.approx(chord, abs=5e-7)
