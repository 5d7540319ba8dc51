"""How long `make` takes, against a bare floor, and warm per bracket. A script, not a test.

Run from the project's root: `python tests/bench/bench_make.py [PATTERN]`.
The floor is a process that imports the libraries that the run itself imports and writes as many
DXF entities, PDF pages (with as many path and text operators) and SVG elements as the real outputs
hold, and does nothing else. Both processes find their modules compiled, as installed ones are.
Wall times tell little on a busy machine; processor times tell more.
"""

from __future__ import annotations

import json
import os
import re
import resource
import statistics
import subprocess
import sys
import tempfile
import time
import zlib
from pathlib import Path

ROOT = Path(__file__).parents[2]
RUNS = 15

FLOOR = """
import io, json, sys
import ezdxf
from reportlab.pdfgen.canvas import Canvas
entities, pages, lines, texts, elements, libraries = json.loads(sys.argv[1])
for name in libraries:
    __import__(name)
document = ezdxf.new("R2010", setup=False)
space = document.modelspace()
for i in range(entities):
    space.add_lwpolyline([(i, 0), (i, 1), (i + 1, 1)])
stream = io.StringIO(); document.write(stream)
open(sys.argv[2] + "/floor.dxf", "w").write(stream.getvalue())
for name, count in (("a", pages[0]), ("b", pages[1])):
    canvas = Canvas(sys.argv[2] + f"/{name}.pdf", pageCompression=1)
    share = sum(pages)
    for _ in range(count):
        for i in range(lines // share):
            canvas.line(i, 0, i, 10)
        for i in range(texts // share):
            canvas.drawString(i, 20, "3 3/16 strong")
        canvas.showPage()
    canvas.save()
with open(sys.argv[2] + "/floor.svg", "w") as svg:
    for i in range(elements):
        svg.write(f'<path d="M {i:.3f} 0 L {i:.3f} 10"/>')
"""

PROBE = """
import json, sys
from platewright.__main__ import main
try:
    main()
except SystemExit:
    pass
used = [name for name in ("click", "ezdxf", "reportlab", "shapely") if name in sys.modules]
print("USED", json.dumps(used))
"""


def run(command: list[str], compiled: str) -> str:
    """What one whole process prints; its modules are kept compiled in a folder."""
    given = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    environment = {**given, "PYTHONPYCACHEPREFIX": compiled}
    done = subprocess.run(
        command, check=True, capture_output=True, cwd=ROOT, env=environment, text=True
    )
    return done.stdout


def timed(command: list[str], compiled: str) -> tuple[float, float]:
    """(Wall time, processor time) of one whole process, seconds."""
    before, begin = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    run(command, compiled)
    wall, after = time.perf_counter() - begin, resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def size_of(folder: Path) -> tuple[int, list[int], int, int, int]:
    """(DXF entities, pages of each PDF, path and text operators, SVG elements) of real outputs."""
    import ezdxf

    dxf = next(folder.glob("*.dxf"))
    entities = len(ezdxf.readfile(dxf).modelspace())
    pages, lines, texts = [], 0, 0
    for pdf in sorted(folder.glob("*.pdf")):
        data = pdf.read_bytes()
        pages.append(len(re.findall(rb"/Type /Page\b", data)))
        for stream in re.findall(rb"stream\r?\n(.*?)endstream", data, re.DOTALL):
            lines += len(re.findall(rb" [lc]\b", inflated(stream)))
            texts += len(re.findall(rb"\bTj\b", inflated(stream)))
    elements = sum(svg.read_text(encoding="utf-8").count("<") for svg in folder.glob("*.svg"))
    return entities, pages, lines, texts, elements


def inflated(stream: bytes) -> bytes:
    """A content stream in the clear (ASCII 85 and zlib undone where used)."""
    import base64

    body = stream.strip()
    if body.endswith(b"~>"):
        body = base64.a85decode(body[:-2])
    try:
        return zlib.decompress(body)
    except zlib.error:
        return b""


def whole_process(pattern: Path) -> None:
    """Time `make` as a process against the floor, alternating so that both see the same machine."""
    with (
        tempfile.TemporaryDirectory() as real,
        tempfile.TemporaryDirectory() as bare,
        tempfile.TemporaryDirectory() as compiled,
    ):
        arguments = ["make", str(pattern.resolve()), "--out", real]
        probed = run([sys.executable, "-c", PROBE, *arguments], compiled)
        used = json.loads(probed.rpartition("USED ")[2])
        size = size_of(Path(real))
        make = [sys.executable, "-m", "platewright", *arguments]
        floor = [sys.executable, "-c", FLOOR, json.dumps([*size, used]), bare]
        run(make, compiled)
        run(floor, compiled)
        pairs = [(timed(make, compiled), timed(floor, compiled)) for _ in range(RUNS)]
    print(f"{pattern.name}: {size[0]} entities, {sum(size[1])} pages, libraries {', '.join(used)}")
    for index, what in enumerate(("wall", "processor")):
        made, base = (statistics.median(pair[i][index] for pair in pairs) for i in (0, 1))
        best = min(pair[0][index] for pair in pairs) / min(pair[1][index] for pair in pairs)
        print(
            f"  {what}: make {made * 1e3:.0f} ms, floor {base * 1e3:.0f} ms, "
            f"ratio {made / base:.2f} (of the fastest runs {best:.2f})"
        )


def warm(pattern: Path, count: int = 100) -> None:
    """Warm time per bracket for many brackets of different sizes in one process."""
    from platewright.files.reader import read_job
    from platewright.kinds.catalogue import catalogue
    from platewright.product import MakeOptions, make_parts

    text = pattern.read_text(encoding="utf-8")
    jobs = []
    for i in range(count):
        changed = re.sub(r"clearance\s*=\s*.*", f'clearance = "{6 + i * 0.05:.3f} mm"', text)
        changed = re.sub(r"^name\s*=.*$", f'name = "part-{i}"', changed, flags=re.MULTILINE)
        jobs.append(read_job(changed, f"part-{i}.toml", catalogue()))
    make_parts(jobs[:3], MakeOptions(), lambda _line: None)
    begin = time.process_time()
    make_parts(jobs, MakeOptions(), lambda _line: None)
    took = (time.process_time() - begin) / count * 1e3
    print(f"  warm: {took:.1f} ms of processor time a bracket over {count}")


def vertices(pattern: Path) -> None:
    """Segments in the torch path against a polygonised offset of the same outline."""
    from platewright.files.reader import load_job
    from platewright.geometry.contour import Contour
    from platewright.plate.blank import blank_of
    from platewright.shop.cutting import torch_plan

    job = load_job(pattern)
    (part,) = job.parts
    blank, cutting = blank_of(part.bracket), part.common.cutting
    plan = torch_plan(blank, part.stock.thickness, cutting)
    ours = sum(len(c.path.segments) if isinstance(c.path, Contour) else 1 for c in plan.cuts)
    theirs = polygonised(blank.outline, cutting.kerf / 2)
    theirs += sum(polygonised(hole.circle, -cutting.kerf / 2) for hole in blank.cut_holes)
    theirs += sum(polygonised(each.contour, -cutting.kerf / 2) for each in blank.cutouts)
    print(f"  torch path: {ours} segments, polygonised at 0.01 mm: {theirs}")


def polygonised(outline, distance: float) -> int:
    """Vertices of a buffered polygon whose arcs are true to 0.01 mm."""
    from shapely import Polygon

    points = [(p.x, p.y) for p in outline.flatten(0.01)]
    return len(Polygon(points).buffer(distance, quad_segs=16).exterior.coords) - 1


if __name__ == "__main__":
    chosen = [Path(a) for a in sys.argv[1:]] or sorted(
        ROOT / "patterns" / name for name in ("spring-seat.toml", "pump-foot.toml")
    )
    for path in chosen:
        whole_process(path)
        warm(path)
        vertices(path)
