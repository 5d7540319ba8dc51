// The flat blank as SVG: what the server tells of a face, and the letters of the measuring form
// where they cover least. The picture is drawn in pixels of the screen, so that letters stay
// large enough for a thumb at any width.

const SVG = "http://www.w3.org/2000/svg";
const LETTER = 13, THUMB = 22; // radius of a letter's circle, and of what may be touched, px
const RIM = { wide: 74, narrow: 46, small: 26 }; // kept round the blank, px
const SMALL = 250; // px
const LARGEST = 6; // px for each mm
const ROWS = [0, 30, -30, 46, -46, 64, -64, 84, -84];
const SHARES = [0.5, 0.36, 0.64, 0.22, 0.78];
const RINGS = [30, 42, 56, 72, 92, 120];
const REACHES = [38, 54, 74, 96];
const WAYS = 16;
const SAMPLE = 7; // px between the places of an outline that letters keep off

export function element(name, told = {}, ...inside) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(told)) {
    if (value !== null && value !== undefined && value !== false) made.setAttribute(key, value);
  }
  made.append(...inside);
  return made;
}

const apart = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);
const part = (a, b, share) => [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share];
const line = (a, b, told) => element("line", { x1: a[0], y1: a[1], x2: b[0], y2: b[1], ...told });

export class FlatPicture {
  /**
   * Draws into an svg element. `letters` gives a key's letter ("" for none); `point` is called
   * with the key of a letter that was chosen, `choose` with a panel and an edge that were
   * pointed at while choosing.
   */
  constructor(svg, { letters, point, choose }) {
    Object.assign(this, { svg, letters, point, choose });
    this.face = "top";
    this.lit = null;
    this.choosing = null;
    this.other = false; // the other hand of a pair, which is the mirror image
    this.spots = new Map();
    new ResizeObserver(() => this.draw()).observe(svg);
    svg.addEventListener("click", (event) => this.clicked(event));
    svg.addEventListener("keydown", (event) => this.pressed(event));
    svg.addEventListener("pointerover", (event) => {
      const mark = event.target.closest("[data-key]");
      if (mark) this.point(mark.dataset.key, false);
    });
  }

  show(picture) { this.picture = picture; this.draw(); }
  turnOver(face) { this.face = face; this.draw(); }
  showOther(other) { if (other !== this.other) { this.other = other; this.draw(); } }

  light(key) {
    const drawn = this.svg.querySelector(`.stand[data-key="${CSS.escape(key || "")}"]`);
    const asked = key !== this.lit;
    this.lit = key;
    // one without a letter, or in a small picture, is drawn when it is asked for
    if (asked && this.picture && !drawn && key && key in this.picture.stands) { this.draw(); return; }
    for (const mark of this.svg.querySelectorAll(".stand")) {
      mark.classList.toggle("lit", mark.dataset.key === key);
    }
    const lit = this.svg.querySelector(".stand.lit");
    if (!lit || !lit.nextSibling) return;
    const focused = lit.contains(document.activeElement) && document.activeElement;
    lit.parentNode.append(lit); // over all others
    if (focused) focused.focus({ preventScroll: true });
  }

  /**
   * Waits for a panel or an edge to be pointed at: "panel", "edge", or null to stop. Of a `panel`
   * its own edges alone, and only those that are `free` of bends.
   */
  chooseFrom(sort, { panel = null, free = false } = {}) {
    this.choosing = sort;
    this.offers = (name, edge) => (!panel || name === panel) && !(free && edge.bent);
    this.svg.classList.toggle("choosing", Boolean(sort));
    this.draw();
  }

  clicked(event) {
    const mark = event.target.closest("[data-key], [data-panel]");
    if (!mark) return;
    if (mark.dataset.panel) this.choose(mark.dataset.panel, mark.dataset.edge || null);
    else this.point(mark.dataset.key, true);
  }

  /** Arrow keys go from letter to letter, or from edge to edge; Enter takes one. */
  pressed(event) {
    const stops = [...this.svg.querySelectorAll(this.choosing ? ".choice" : ".stand .bubble")];
    if (!stops.length) return;
    const at = stops.indexOf(document.activeElement);
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (step) {
      const next = stops[(at + step + stops.length) % stops.length];
      stops.forEach((stop) => stop.setAttribute("tabindex", stop === next ? 0 : -1));
      next.focus();
      const { key } = next.closest("[data-key]")?.dataset || {};
      if (key) this.point(key, false);
    } else if ((event.key === "Enter" || event.key === " ") && at >= 0) {
      this.clicked({ target: stops[at] });
    } else if (event.key === "Escape" && this.choosing) {
      this.choose(null, null);
    } else return;
    event.preventDefault();
  }

  // --- drawing ----------------------------------------------------------------------------------

  draw() {
    const box = this.svg.getBoundingClientRect();
    if (!this.picture || box.width < 20 || box.height < 20) return;
    const { svg, picture } = this;
    // the other hand's top face has the outline of this one's underside; grooves stay on their face
    const mirrored = (this.face === "underside") !== this.other;
    const own = picture[this.face].bends;
    const face = { ...picture[mirrored ? "underside" : "top"] };
    if (this.other) face.bends = face.bends.map((bend, k) => ({ ...bend, scored: own[k].scored }));
    this.mirrored = mirrored;
    const focused = svg.contains(document.activeElement) ? document.activeElement : null;
    const kept = focused && (focused.closest("[data-key]")
      ? `[data-key="${CSS.escape(focused.closest("[data-key]").dataset.key)}"] .bubble`
      : `[aria-label="${CSS.escape(focused.getAttribute("aria-label"))}"]`);
    svg.setAttribute("viewBox", `0 0 ${box.width} ${box.height}`);
    const [left, top, wide, high] = picture.box;
    this.small = box.height < SMALL; // room for the letter that is asked for alone
    const rim = this.small ? RIM.small : box.width < 480 || box.height < 320 ? RIM.narrow : RIM.wide;
    const scale = Math.max(0.02, Math.min(
      (box.width - 2 * rim) / wide, (box.height - 2 * rim) / high, LARGEST,
    ));
    const shift = [(box.width - wide * scale) / 2 - left * scale,
      (box.height - high * scale) / 2 - top * scale];
    this.scale = scale;
    this.px = ([x, y]) => [x * scale + shift[0], y * scale + shift[1]];
    this.room = [box.width, box.height];
    const drawn = element("g", {
      transform: `translate(${shift[0]} ${shift[1]}) scale(${scale})`, class: "metal",
    });
    this.putBlank(drawn, face);
    const over = element("g", { class: "over" });
    svg.replaceChildren(drawn, over);
    this.taken = this.inkOf(face);
    if (!this.choosing) this.putWords(over, face);
    if (this.choosing) this.putChoices(over, face);
    else this.putStands(over, mirrored ? turned(picture) : picture.stands);
    this.light(this.lit);
    if (kept) svg.querySelector(kept)?.focus({ preventScroll: true });
  }

  putBlank(group, face) {
    const path = (d, kind, words) => {
      const made = element("path", { d, class: kind });
      if (words) made.append(element("title", {}, words));
      group.append(made);
    };
    path(face.outline, "plate");
    for (const mark of face.marks) path(mark.path, `mark ${mark.meaning}`, mark.words);
    for (const bend of face.bends) {
      const [a, b] = bend.line;
      group.append(line(a, b, { class: bend.scored ? "bend scored" : "bend" }));
      if (bend.scored) {
        for (const [p, q] of [bend.near, bend.far]) group.append(line(p, q, { class: "groove" }));
      }
    }
    for (const cut of face.cutouts) path(cut.path, "opening", cut.words);
    for (const hole of face.holes) {
      if (hole.cut) path(hole.path, "opening", hole.words);
      const r = Math.max(hole.diameter * 0.75, 5 / this.scale), [x, y] = hole.at;
      group.append(line([x - r, y], [x + r, y], { class: "centre" }),
        line([x, y - r], [x, y + r], { class: "centre" }));
    }
    path(face.outline, "outline");
    if (face.wall) {
      const [a, b] = face.wall;
      const long = apart(a, b), out = [-(b[1] - a[1]) / long, (b[0] - a[0]) / long];
      const deep = 9 / this.scale, step = 8 / this.scale;
      const way = this.mirrored ? -1 : 1; // metal lies on one side, the wall on the other
      for (let at = step / 2; at < long; at += step) {
        const p = part(a, b, at / long);
        group.append(line(p, [p[0] + way * out[0] * deep - (b[0] - a[0]) / long * deep * 0.7,
          p[1] + way * out[1] * deep - (b[1] - a[1]) / long * deep * 0.7], { class: "wall" }));
      }
    }
  }

  /** Places along all lines of the picture, px, that letters keep off. */
  inkOf(face) {
    const ink = new Ink(this.room);
    const paths = [face.outline, ...face.cutouts.map((each) => each.path),
      ...face.holes.filter((hole) => hole.cut).map((hole) => hole.path)];
    for (const path of paths) for (const [a, b] of chordsOf(path)) ink.along(this.px(a), this.px(b));
    for (const bend of face.bends) ink.along(...bend.line.map(this.px));
    return ink;
  }

  putWords(group, face) {
    for (const bend of face.bends) {
      let [a, b] = bend.line.map(this.px);
      if (a[0] > b[0] || (a[0] === b[0] && a[1] < b[1])) [a, b] = [b, a];
      const short = bend.words.replace(/^bend (\d+): fold (\w+) ([^,]*).*$/, "$1: $2 $3");
      const words = apart(a, b) > 7 * short.length ? short : String(bend.number);
      const at = part(a, b, 0.5);
      const angle = Math.atan2(b[1] - a[1], b[0] - a[0]) * 180 / Math.PI;
      const made = element("text", {
        x: at[0], y: at[1] - 6, class: "words",
        transform: `rotate(${angle} ${at[0]} ${at[1]})`,
      }, words);
      made.append(element("title", {}, bend.words));
      group.append(made);
      const long = apart(a, b) || 1, half = 4 * words.length;
      const along = [(b[0] - a[0]) / long, (b[1] - a[1]) / long];
      const [from, to] = [-half, half].map((far) => [at[0] + along[0] * far + along[1] * 10,
        at[1] + along[1] * far - along[0] * 10]);
      this.taken.along(from, to);
    }
  }

  putChoices(group, face) {
    const placed = element("g", {
      transform: group.previousSibling.getAttribute("transform"), class: "choices",
    });
    group.append(placed);
    const put = (told, kind, words) => {
      const made = element("path", {
        ...told, class: `choice ${kind}`, tabindex: placed.children.length ? -1 : 0,
        role: "button", "aria-label": words,
      });
      made.append(element("title", {}, words));
      placed.append(made);
    };
    for (const panel of face.panels) {
      const name = { "data-panel": panel.name };
      if (this.choosing === "panel") {
        put({ d: panel.path, ...name }, "whole", panel.name);
      } else {
        for (const edge of panel.edges.filter((each) => this.offers(panel.name, each))) {
          put({ d: edge.path, ...name, "data-edge": edge.name }, "edge",
            `${edge.name}, on the ${panel.name}`);
        }
      }
    }
    for (const panel of face.panels) {
      const [x, y] = this.px(panel.at);
      group.append(element("text", { x, y, class: "words name" }, panel.name));
    }
  }

  // --- letters ----------------------------------------------------------------------------------

  putStands(group, stands) {
    const circles = [];
    const known = Object.entries(stands).filter(([key]) => key === this.lit
      || (this.letters(key) && !this.small));
    // those with a line of their own first: they cannot go far
    known.sort(([, a], [, b]) => Boolean(b.line) - Boolean(a.line));
    const lines = [];
    for (const [key, stand] of known) {
      const best = this.bestOf(stand, circles, lines);
      circles.push(best.spot);
      lines.push(...best.segments);
      group.append(this.standMark(key, best));
    }
    const first = group.querySelector(".bubble");
    if (first) first.setAttribute("tabindex", 0);
  }

  bestOf(stand, circles, lines) {
    let best = null;
    for (const way of this.waysOf(stand)) {
      const base = way.cost + this.crossed(way, lines);
      if (best && base >= best.cost) continue;
      for (const [spot, more] of way.spots) {
        if (best && base + more >= best.cost) continue;
        const cost = base + more + this.covered(spot, circles, way);
        if (!best || cost < best.cost) best = { ...way, spot, cost };
      }
    }
    return best;
  }

  /** Ways to draw where a measurement is: its lines, places for its letter, what each costs. */
  * waysOf(stand) {
    const round = (at, from) => {
      const spots = [];
      RINGS.forEach((ring, index) => {
        for (let k = 0; k < WAYS; k++) {
          const turn = (k + 0.5) / WAYS * 2 * Math.PI;
          spots.push([[at[0] + ring * Math.cos(turn), at[1] + ring * Math.sin(turn)],
            from + index * 1.2]);
        }
      });
      return spots;
    };
    if (stand.at) {
      const at = this.px(stand.at);
      yield { segments: [], ends: [at], at, leader: true, spots: round(at, 0), cost: 0 };
      return;
    }
    if (stand.apex) {
      const apex = this.px(stand.apex), ends = stand.ways.map(this.px);
      const [from, to] = ends.map((p) => Math.atan2(p[1] - apex[1], p[0] - apex[0]));
      let sweep = Math.atan2(Math.sin(to - from), Math.cos(to - from));
      if (Math.abs(Math.abs(sweep) - Math.PI) < 1e-6) sweep = -Math.PI; // opens upwards
      for (const reach of REACHES) {
        const p = (share) => [apex[0] + reach * Math.cos(from + sweep * share),
          apex[1] + reach * Math.sin(from + sweep * share)];
        const at = p(0.5);
        const spots = Math.abs(sweep) * reach > 3 * LETTER ? [[at, -3]] : round(at, 0);
        yield {
          arc: [p(0), reach, Math.abs(sweep) > Math.PI ? 1 : 0, sweep > 0 ? 1 : 0, p(1)],
          segments: [[apex, p(0)], [apex, p(1)]], ends: [p(0), p(1)], at,
          leader: spots.length > 1, spots, cost: reach * 0.02,
        };
      }
      return;
    }
    const [a, b] = stand.line.map(this.px), long = apart(a, b);
    if (long < 2) {
      yield { segments: [], ends: [a, b], at: a, leader: true, spots: round(a, 0), cost: 0 };
      return;
    }
    const out = [(b[1] - a[1]) / long, -(b[0] - a[0]) / long];
    for (const row of ROWS) {
      const [p, q] = [a, b].map((end) => [end[0] + out[0] * row, end[1] + out[1] * row]);
      const roomy = long > 3.2 * LETTER;
      const at = part(p, q, 0.5);
      yield {
        segments: [[p, q]], between: [p, q], from: [a, b], ends: [a, b], at, leader: !roomy,
        spots: roomy ? SHARES.map((share, k) => [part(p, q, share), k * 0.15 - 2]) : round(at, 0),
        cost: Math.abs(row) * 0.035,
      };
    }
  }

  /** What a letter costs at a place: other letters, lines under it, leaving the picture. */
  covered(spot, circles, way) {
    let cost = 0;
    const edge = Math.min(spot[0], spot[1], this.room[0] - spot[0], this.room[1] - spot[1]);
    if (edge < LETTER + 2) cost += 60 + (LETTER - edge);
    for (const other of circles) {
      const gap = apart(spot, other);
      if (gap < 2 * LETTER + 2) cost += 40 + (2 * LETTER - gap);
      else if (gap < 2 * THUMB) cost += 2 * (1 - (gap - 2 * LETTER) / (2 * THUMB - 2 * LETTER));
    }
    cost += Math.min(8, this.taken.near(spot, spot, LETTER + 2) * 0.9);
    if (way.leader) cost += Math.min(4, this.taken.near(way.at, spot, 3) * 0.5);
    return cost;
  }

  crossed(way, lines) {
    let cost = 0;
    for (const [a, b] of way.segments) {
      for (const [c, d] of lines) {
        if (crosses(a, b, c, d)) cost += 1;
        else if (beside(c, a, b) < 8 && beside(d, a, b) < 8) cost += 3;
      }
      cost += Math.min(6, Math.max(0, this.taken.near(a, b, 4) - 2) * 0.45);
    }
    return cost;
  }

  standMark(key, best) {
    const letter = this.letters(key) || "•";
    const group = element("g", { class: "stand", "data-key": key });
    if (best.between) {
      const [p, q] = best.between;
      best.from.forEach((end, k) => {
        const there = best.between[k];
        if (apart(end, there) > 1) {
          group.append(line(end, part(end, there, 1 + 4 / apart(end, there)), { class: "thin" }));
        }
      });
      group.append(line(p, q, { class: "thin" }), arrow(p, q), arrow(q, p));
    }
    if (best.arc) {
      const [from, reach, large, way, to] = best.arc;
      best.segments.forEach(([a, b]) => group.append(line(a, b, { class: "thin" })));
      group.append(element("path", {
        d: `M${from} A${reach} ${reach} 0 ${large} ${way} ${to}`, class: "thin",
      }));
    }
    if (best.leader) group.append(line(best.at, best.spot, { class: "thin" }));
    if (best.leader && !best.between) {
      group.append(element("circle", { cx: best.at[0], cy: best.at[1], r: 3, class: "dot" }));
    }
    for (const [x, y] of best.ends) {
      group.append(element("circle", { cx: x, cy: y, r: 6, class: "end" }));
    }
    const [x, y] = best.spot;
    const bubble = element("g", {
      class: "bubble", tabindex: -1, role: "button", "aria-label": `measurement ${letter}`,
    },
    element("circle", { cx: x, cy: y, r: THUMB, class: "thumb" }),
    element("circle", { cx: x, cy: y, r: LETTER }),
    element("text", { x, y }, letter));
    group.append(bubble);
    return group;
  }
}

const CELL = 24; // px

/** Places along lines, in cells, so that those near a straight are soon counted. */
class Ink {
  constructor([wide, high]) {
    this.columns = Math.ceil(wide / CELL) + 1;
    this.rows = Math.ceil(high / CELL) + 1;
    this.cells = Array.from({ length: this.columns * this.rows }, () => []);
  }

  along(a, b) {
    const count = Math.max(1, Math.round(apart(a, b) / SAMPLE));
    for (let k = 0; k < count; k++) {
      const p = part(a, b, (k + 0.5) / count);
      const column = Math.floor(p[0] / CELL), row = Math.floor(p[1] / CELL);
      if (column >= 0 && row >= 0 && column < this.columns && row < this.rows) {
        this.cells[row * this.columns + column].push(p);
      }
    }
  }

  near(a, b, reach) {
    const cell = (figure, most) => Math.max(0, Math.min(most - 1, Math.floor(figure / CELL)));
    const [left, right] = [cell(Math.min(a[0], b[0]) - reach, this.columns),
      cell(Math.max(a[0], b[0]) + reach, this.columns)];
    const [top, bottom] = [cell(Math.min(a[1], b[1]) - reach, this.rows),
      cell(Math.max(a[1], b[1]) + reach, this.rows)];
    let count = 0;
    for (let row = top; row <= bottom; row++) {
      for (let column = left; column <= right; column++) {
        for (const p of this.cells[row * this.columns + column]) {
          if (beside(p, a, b) < reach) count += 1;
        }
      }
    }
    return count;
  }
}

/** A path of the server's (M, L, A, Z, arcs below half a turn) as chords that follow its arcs. */
function* chordsOf(path) {
  let at = null, first = null;
  for (const [, letter, figures] of path.matchAll(/([MLAZ])([^MLAZ]*)/g)) {
    const found = figures.trim().split(/[ ,]+/).map(Number), end = found.slice(-2);
    if (letter === "M") first = end;
    else if (letter === "L") yield [at, end];
    else if (letter === "Z") yield [at, first];
    else {
      const half = apart(at, end) / 2, [radius] = found, way = found[4] ? 1 : -1;
      const off = Math.sqrt(Math.max(0, radius * radius - half * half)) * way / (2 * half || 1);
      const middle = part(at, end, 0.5);
      const centre = [middle[0] - (end[1] - at[1]) * off, middle[1] + (end[0] - at[0]) * off];
      const from = Math.atan2(at[1] - centre[1], at[0] - centre[0]);
      const sweep = 2 * Math.asin(Math.min(1, half / radius)) * way;
      let before = at;
      for (let k = 1; k <= 8; k++) {
        const turn = from + sweep * k / 8;
        const p = [centre[0] + radius * Math.cos(turn), centre[1] + radius * Math.sin(turn)];
        yield [before, p];
        before = p;
      }
    }
    if (letter !== "Z") at = end;
  }
}

/** The places of the measurements as the blank turned over has them. */
function turned({ box: [left, , wide], stands }) {
  const over = ([x, y]) => [2 * left + wide - x, y];
  return Object.fromEntries(Object.entries(stands).map(([key, { at, line: ends, apex, ways }]) => [key,
    at ? { at: over(at) } : ends ? { line: ends.map(over) } : { apex: over(apex), ways: ways.map(over).reverse() }]));
}

function arrow(at, from) {
  const long = apart(at, from) || 1;
  const along = [(from[0] - at[0]) / long, (from[1] - at[1]) / long];
  const wide = [-along[1], along[0]];
  const size = Math.min(8, long / 2);
  const p = (a, b) => [at[0] + along[0] * a + wide[0] * b, at[1] + along[1] * a + wide[1] * b];
  return element("path", {
    d: `M${at} L${p(size, size * 0.25)} L${p(size, -size * 0.25)} Z`, class: "head",
  });
}

/** How far a place is from a straight. */
function beside(p, a, b) {
  // in plain figures: asked very often
  const run = b[0] - a[0], rise = b[1] - a[1], x = p[0] - a[0], y = p[1] - a[1];
  const square = run * run + rise * rise;
  const share = square ? Math.min(1, Math.max(0, (x * run + y * rise) / square)) : 0;
  return Math.hypot(x - run * share, y - rise * share);
}

function crosses(a, b, c, d) {
  const side = (p, q, r) => (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}

/** The bracket in its place, with its letters, by the same means. */
export class PlacePicture extends FlatPicture {
  show(picture) {
    const empty = { outline: "", marks: [], bends: [], cutouts: [], holes: [], panels: [] };
    this.place = picture;
    super.show({ box: picture.box, top: empty, stands: picture.stands });
  }

  putBlank(group) {
    const { section, carried, face, centres } = this.place;
    group.append(
      element("path", { d: centres, class: "centre" }),
      element("path", { d: carried, class: "mark phantom" }),
      line(face[0], face[1], { class: "bend" }),
      element("path", { d: section, class: "outline" }),
    );
  }
}
