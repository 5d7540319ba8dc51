"""Time and density of nests: `python tests/bench/bench_nest.py [TRIES]` from the project's root.

Open sets of irregular outlines made by chance from a fixed seed, and the project's own patterns,
on one long sheet. Density is the metal's share of the strip that the parts reach along.
"""

from __future__ import annotations

import math
import random
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from platewright.files.job import worked_out
from platewright.files.reader import load_job
from platewright.geometry.contour import Contour
from platewright.geometry.plane import Point
from platewright.nest.layout import NestPart, NestRules, rectangle_sheet
from platewright.nest.nest import nest
from platewright.plate.bracket import Bracket, Panel
from platewright.plate.piece import pieces_of
from platewright.plate.stock import MATERIALS, Stock
from platewright.shop.cutting import Cutting, torch_plan

ROOT = Path(__file__).resolve().parents[2]
STOCK = Stock(5.0, MATERIALS["A36"])


def part(name: str, points: list[tuple[float, float]], count: int) -> NestPart:
    """A flat part cut without a kerf."""
    outline = Contour.polygon(Point(x, y) for x, y in points).anticlockwise()
    bracket = Bracket(stock=STOCK, root=Panel(name="plate", contour=outline))
    (piece,) = pieces_of(name, "as drawn", bracket)
    return NestPart(piece=piece, torch=torch_plan(piece.blank, 5.0, Cutting(kerf=0.0)), count=count)


def stars(seed: int, kinds: int, count: int, depth: float) -> list[NestPart]:
    """Outlines round a middle whose corners lie at chance distances, `depth` deep at most."""
    chance = random.Random(seed)
    found = []
    for kind in range(kinds):
        size, corners = chance.uniform(50, 120), chance.randint(5, 11)
        turns = sorted((i + chance.uniform(0.1, 0.9)) * math.tau / corners for i in range(corners))
        points = []
        for turn in turns:
            reach = size * chance.uniform(1 - depth, 1)
            points.append((reach * math.cos(turn) * 1.3, reach * math.sin(turn)))
        found.append(part(f"star-{kind}", points, count))
    return found


def bent(seed: int, kinds: int, count: int) -> list[NestPart]:
    """Ls, Us, Ts, wedges and bars of chance sizes."""
    chance = random.Random(seed)
    found = []
    for kind in range(kinds):
        w, h = chance.uniform(80, 220), chance.uniform(60, 160)
        t = min(w, h) * chance.uniform(0.25, 0.4)
        shapes = (
            [(0, 0), (w, 0), (w, t), (t, t), (t, h), (0, h)],
            [(0, 0), (w, 0), (w, h), (w - t, h), (w - t, t), (t, t), (t, h), (0, h)],
            [
                (0, 0),
                (w, 0),
                (w, t),
                (0.6 * w, t),
                (0.6 * w, h),
                (0.3 * w, h),
                (0.3 * w, t),
                (0, t),
            ],
            [(0, 0), (w, 0), (w * 0.3, h)],
            [(0, 0), (w, 0), (w * 0.8, t), (w * 0.1, t)],
        )
        found.append(part(f"bent-{kind}", shapes[kind % len(shapes)], count))
    return found


def patterns(copies: int) -> list[NestPart]:
    """The project's own brackets, as many of each, all taken as of one plate."""
    found = []
    for path in sorted((ROOT / "patterns").glob("*.toml")):
        if "\n[travel]" in path.read_text("utf-8"):
            continue
        for each in worked_out([load_job(path)]):
            cutting, thickness = each.common.cutting, each.stock.thickness
            plans = [torch_plan(p.blank, thickness, cutting) for p in each.pieces]
            pairs = zip(each.pieces, plans, strict=True)
            found += [NestPart(piece=p, torch=plan, count=copies) for p, plan in pairs]
    return found


def sets(wanted: str) -> Iterator[tuple[str, list[NestPart], float, float]]:
    """Name, parts, width of the strip and gap of each set whose name begins so."""
    if "stars".startswith(wanted[:5]):
        yield "stars 48", stars(3, 8, 6, 0.5), 700.0, 0.0
        yield "stars 40, deep", stars(5, 10, 4, 0.75), 700.0, 0.0
    if "bent".startswith(wanted[:4]):
        yield "bent 50", bent(7, 10, 5), 800.0, 0.0
        yield "bent 54, gap 6", bent(8, 9, 6), 800.0, 6.0
    for copies in (2, 7) if "patterns".startswith(wanted) else ():
        mine = patterns(copies)
        yield f"patterns {copies * len(mine)}", mine, 1219.0, 6.35


def main() -> None:
    """Print one line a set."""
    tries = int(sys.argv[1]) if len(sys.argv) > 1 else 80
    wanted = sys.argv[2] if len(sys.argv) > 2 else ""
    for name, parts, width, gap in sets(wanted):
        rules = NestRules(gap=gap, margin=0.0, tries=tries)
        metal = math.fsum(each.piece.blank.area * each.count for each in parts)
        sheet = rectangle_sheet("strip", max(2 * metal, 1.5 * width**2) / width, width)
        begun = time.process_time()
        found = nest(parts, [sheet], rules)
        spent = time.process_time() - begun
        reach = max(laid.box.xmax for laid in found.sheets[0].laid)
        print(f"{name:20} {spent:6.1f} s   {100 * metal / (reach * width):5.1f} %", flush=True)


if __name__ == "__main__":
    main()
