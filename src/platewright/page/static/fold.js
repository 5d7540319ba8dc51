// The bracket folding: panels and bends in space, seen from any side, hidden surfaces left out.
//
// What the server tells are panels in frames of their own, and bends as sectors of a cylinder; each
// panel is carried by its bend, as in `place`. Surfaces go into a buffer of depths, pixel by pixel; edges are drawn over
// them where nothing lies in front.

const TOP = 255, UNDERSIDE = 204, CUT = 232; // greys, as on the sheets
const BEND_ROWS = 10;
const MOST_PIXELS = 700000;
const BODY_HEIGHT = 0.45; // of its diameter: its true height is not known
const START = { turn: -38, rise: 28 }; // degrees, from square in front of the wall
const FLAT = 1e-6;

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const minus = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const cross = (a, b) => [
  a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0],
];
const unit = (a) => { const l = Math.hypot(...a) || 1; return [a[0] / l, a[1] / l, a[2] / l]; };

/** A point of a frame (three axes and an origin in a row) in the space that the frame lies in. */
function placed(frame, x, y, z) {
  return [
    frame[9] + frame[0] * x + frame[3] * y + frame[6] * z,
    frame[10] + frame[1] * x + frame[4] * y + frame[7] * z,
    frame[11] + frame[2] * x + frame[5] * y + frame[8] * z,
  ];
}

/** Two frames in a row: `one` of the space, `other` of that one. */
function within(one, other) {
  const turned = (x, y, z) => minus(placed(one, x, y, z), one.slice(9));
  return [...turned(...other.slice(0, 3)), ...turned(...other.slice(3, 6)),
    ...turned(...other.slice(6, 9)), ...placed(one, ...other.slice(9))];
}

/** The inside radius of a bend made in part: its neutral line keeps its length (radius_part_way). */
function radiusOf(bend, amount) {
  return amount === 1 ? bend.radius
    : Math.max(0, bend.allowance / (bend.angle * amount) - bend.neutral);
}

/** Every panel's frame in the root's at an amount of the fold, from flat (0) to finished (1). */
export function placesAt(fold, amount) {
  const frames = [[1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0]];
  for (const bend of fold.bends) {
    const angle = bend.angle * amount, flat = angle < FLAT;
    const [c, s] = [Math.cos(angle), Math.sin(angle) * (bend.up ? 1 : -1)];
    // the top face is the inside of a fold up and the outside of a fold down
    const radius = flat ? 0 : radiusOf(bend, amount) + (bend.up ? 0 : fold.thickness);
    const step = [1, 0, 0, 0, c, s, 0, -s, c, 0,
      flat ? bend.allowance : radius * Math.sin(angle),
      (bend.up ? 1 : -1) * radius * 2 * Math.sin(angle / 2) ** 2];
    const [[ax, ay], [bx, by]] = bend.base;
    const long = Math.hypot(bx - ax, by - ay), x = (bx - ax) / long, y = (by - ay) / long;
    const baseFromChild = [x, -y, 0, y, x, 0, 0, 0, 1, -ax * x - ay * y, ax * y - ay * x, 0];
    frames.push(within(within(within(frames[bend.parent], bend.parent_from_bend), step),
      baseFromChild));
  }
  return frames;
}

/** A place of the finished part, as a place of one of its panels that folds with it. */
export function heldBy(fold, name, [x, y, z]) {
  const panel = Math.max(0, fold.panels.findIndex((each) => each.name === name));
  const frame = placesAt(fold, 1)[panel], off = minus([x, y, z], frame.slice(9));
  return { panel, at: [0, 3, 6].map((axis) => dot(off, frame.slice(axis, axis + 3))) };
}

export class FoldPicture {
  /** Draws on a canvas, that is turned by dragging and by the arrow keys. */
  constructor(canvas) {
    this.canvas = canvas;
    this.pen = canvas.getContext("2d");
    this.amount = 1;
    this.other = false;
    this.turn = START.turn;
    this.rise = START.rise;
    this.fold = null;
    this.lit = null;
    this.asked = false;
    canvas.tabIndex = 0;
    canvas.addEventListener("pointerdown", (event) => this.startTurning(event));
    canvas.addEventListener("keydown", (event) => this.turnByKey(event));
    new ResizeObserver(() => this.redraw()).observe(canvas);
  }

  show(fold) { this.fold = fold; this.redraw(); }
  /** The other hand of a pair: the mirror image. */
  showOther(other) { this.other = other; this.redraw(); }
  foldTo(amount) { this.amount = amount; this.redraw(); }
  /** Marks the two ends of what a key of the file tells. */
  light(key) { this.lit = key; this.redraw(); }

  redraw() {
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame(() => { this.asked = false; this.draw(); });
  }

  startTurning(down) {
    const { canvas } = this;
    canvas.setPointerCapture(down.pointerId);
    let [x, y] = [down.clientX, down.clientY];
    const move = (event) => {
      this.turnBy((x - event.clientX) * 0.5, (event.clientY - y) * 0.5);
      [x, y] = [event.clientX, event.clientY];
    };
    const end = () => {
      canvas.removeEventListener("pointermove", move);
      canvas.removeEventListener("pointerup", end);
      canvas.removeEventListener("pointercancel", end);
    };
    canvas.addEventListener("pointermove", move);
    canvas.addEventListener("pointerup", end);
    canvas.addEventListener("pointercancel", end);
  }

  turnByKey(event) {
    const steps = {
      ArrowLeft: [10, 0], ArrowRight: [-10, 0], ArrowUp: [0, 10], ArrowDown: [0, -10],
    };
    const step = steps[event.key];
    if (step) this.turnBy(...step);
    else if (event.key === "Home") this.turnTo(START.turn, START.rise);
    else return;
    event.preventDefault();
  }

  turnBy(turn, rise) { this.turnTo(this.turn + turn, this.rise + rise); }

  turnTo(turn, rise) {
    this.turn = turn;
    this.rise = Math.max(-89, Math.min(89, rise));
    this.redraw();
  }

  // --- where everything is --------------------------------------------------------------------

  eye() {
    const wall = this.fold.wall;
    const front = wall
      ? Math.atan2(wall[1][0] - wall[0][0], -(wall[1][1] - wall[0][1])) : Math.PI / 2;
    // a mirror image seen from one side is the mirror image of what is seen from the other
    const hand = this.other ? -1 : 1;
    const azimuth = front + hand * this.turn * Math.PI / 180, rise = this.rise * Math.PI / 180;
    const flat = Math.cos(rise);
    const towards = [flat * Math.cos(azimuth), flat * Math.sin(azimuth), Math.sin(rise)];
    const right = [-Math.sin(azimuth), Math.cos(azimuth), 0];
    return { towards, right: right.map((each) => hand * each), up: cross(towards, right) };
  }

  /** The box that holds the bracket flat and folded as it is seen: its scale does not jump. */
  seenBox(eye) {
    let [left, right, low, high] = [Infinity, -Infinity, Infinity, -Infinity];
    for (const amount of [0, 0.35, 0.7, 1]) {
      const frames = placesAt(this.fold, amount);
      this.fold.panels.forEach((panel, index) => {
        const frame = frames[index];
        for (const [x, y] of panel.outline) {
          const p = placed(frame, x, y, 0);
          const across = dot(eye.right, p), up = dot(eye.up, p);
          [left, right] = [Math.min(left, across), Math.max(right, across)];
          [low, high] = [Math.min(low, up), Math.max(high, up)];
        }
      });
    }
    const { body } = this.fold;
    if (body) {
      const way = body.top ? 1 : -1, r = body.fullest / 2;
      const p = [...body.centre, way * BODY_HEIGHT * body.fullest];
      const across = dot(eye.right, p), up = dot(eye.up, p), deep = r * Math.abs(eye.towards[2]);
      [left, right] = [Math.min(left, across - r), Math.max(right, across + r)];
      [low, high] = [Math.min(low, up - deep), Math.max(high, up + deep)];
    }
    return { left, right, low, high };
  }

  // --- drawing ----------------------------------------------------------------------------------

  draw() {
    const { canvas, fold } = this;
    const box = canvas.getBoundingClientRect();
    if (!fold || box.width < 10 || box.height < 10) return;
    const ratio = Math.min(
      window.devicePixelRatio || 1, 2, Math.sqrt(MOST_PIXELS / (box.width * box.height)),
    );
    const wide = Math.round(box.width * ratio), high = Math.round(box.height * ratio);
    if (canvas.width !== wide || canvas.height !== high) [canvas.width, canvas.height] = [wide, high];
    const eye = this.eye();
    const seenBox = this.seenBox(eye);
    const rim = 14 * ratio;
    const scale = Math.min((wide - 2 * rim) / (seenBox.right - seenBox.left + fold.thickness),
      (high - 2 * rim) / (seenBox.high - seenBox.low + fold.thickness));
    this.ratio = ratio;
    const across = wide / 2 - scale * (seenBox.left + seenBox.right) / 2;
    const down = high / 2 + scale * (seenBox.low + seenBox.high) / 2;
    this.seen = (p) => [across + scale * dot(eye.right, p), down - scale * dot(eye.up, p),
      dot(eye.towards, p)];
    this.eyeTowards = eye.towards;
    this.buffer = { wide, high, depth: new Float32Array(wide * high).fill(-1e9),
      grey: new Uint8ClampedArray(wide * high).fill(255) };
    this.near = Math.min(0.4 * fold.thickness, 2.5 / scale) + 0.6 / scale;
    this.edges = [];
    this.frames = placesAt(fold, this.amount);
    fold.panels.forEach((panel, index) => this.panel(panel, this.frames[index], index));
    fold.bends.forEach((bend) => this.bend(bend));
    this.putSurfaces();
    this.putEdges();
    this.putBeside();
    this.putLit();
    this.putTouches();
  }

  panel(panel, frame, index) {
    const deep = -this.fold.thickness;
    const rings = [panel.outline, ...panel.openings];
    const facesEye = (dot(frame.slice(6, 9), this.eyeTowards) > 0);
    const level = facesEye ? 0 : deep;
    this.fill(rings.map((ring) => ring.map(([x, y]) => placed(frame, x, y, level))),
      facesEye ? TOP : UNDERSIDE);
    const tangents = this.tangentsOf(index);
    rings.forEach((ring, which) => {
      const high = ring.map(([x, y]) => placed(frame, x, y, 0));
      const low = ring.map(([x, y]) => placed(frame, x, y, deep));
      const count = ring.length;
      const facing = ring.map((_, k) => this.wall(high, low, k, (k + 1) % count));
      for (let k = 0; k < count; k++) {
        const next = (k + 1) % count;
        const pieces = which === 0 ? partsOf(ring[k], ring[next], tangents) : [[0, 1, false]];
        for (const [from, to, thin] of pieces) {
          for (const row of [high, low]) {
            this.edge(along(row[k], row[next], from), along(row[k], row[next], to), thin);
          }
        }
        if (ring[k][2] || facing[k] !== facing[(k + count - 1) % count]) {
          this.edge(high[k], low[k], which === 0 && tangents.some((t) => isEnd(ring[k], t)));
        }
      }
    });
  }

  /** A side wall from one corner of a ring to the next; returns whether it faces the eye. */
  wall(high, low, k, next) {
    const out = cross(minus(low[k], high[k]), minus(high[next], high[k]));
    const facing = dot(out, this.eyeTowards) > 0;
    // an opening's ring may run either way round: a wall is filled from both sides
    this.fill([[high[k], low[k], low[next], high[next]]], CUT);
    return facing;
  }

  /** The lines where bends begin, in a panel's own frame. */
  tangentsOf(index) {
    const found = [];
    this.fold.bends.forEach((bend, child) => {
      if (bend.parent === index) {
        const f = bend.parent_from_bend;
        found.push([[f[9], f[10]], [f[9] + f[0] * bend.length, f[10] + f[1] * bend.length]]);
      }
      if (child + 1 === index) found.push(bend.base);
    });
    return found;
  }

  bend(bend) {
    const angle = bend.angle * this.amount;
    const flat = angle < FLAT;
    const inside = flat ? 0 : radiusOf(bend, this.amount);
    const parent = this.frames[bend.parent];
    const deepest = this.fold.thickness;
    const at = (x, turned, depth) => {
      let y = turned * bend.allowance, rise = 0;
      if (!flat) {
        const round = inside + depth;
        y = round * Math.sin(turned * angle);
        rise = round * 2 * Math.sin(turned * angle / 2) ** 2;
      }
      const z = bend.up ? rise - depth : depth - deepest - rise;
      return placed(parent, ...placed(bend.parent_from_bend, x, y, z));
    };
    const shades = bend.up ? [TOP, UNDERSIDE] : [UNDERSIDE, TOP];
    [0, bend.bent].forEach((depth, side) => {
      let before = null;
      for (let row = 0; row < BEND_ROWS; row++) {
        const from = row / BEND_ROWS, to = (row + 1) / BEND_ROWS;
        const quad = [at(0, from, depth), at(bend.length, from, depth),
          at(bend.length, to, depth), at(0, to, depth)];
        this.fill([quad], shades[side]);
        const facing = dot(cross(minus(quad[1], quad[0]), minus(quad[2], quad[0])),
          this.eyeTowards) > 0;
        if (before !== null && before !== facing) this.edge(quad[0], quad[1], false);
        before = facing;
        for (const x of [0, bend.length]) {
          this.edge(at(x, from, depth), at(x, to, depth), false);
          if (side === 0) {
            this.fill([[at(x, from, 0), at(x, to, 0), at(x, to, bend.bent), at(x, from, bend.bent)]],
              CUT);
          }
        }
      }
    });
  }

  edge(a, b, thin) { this.edges.push([this.seen(a), this.seen(b), thin]); }

  /** Fills a flat face: spans between its outlines, row by row, each pixel if it is nearest. */
  fill(loops, grey) {
    const { wide, high, depth, grey: greys } = this.buffer;
    const rings = loops.map((ring) => ring.map(this.seen));
    const plane = planeOf(rings[0]);
    if (!plane) return;
    let top = Infinity, bottom = -Infinity;
    for (const p of rings[0]) { top = Math.min(top, p[1]); bottom = Math.max(bottom, p[1]); }
    const first = Math.max(0, Math.ceil(top - 0.5)), last = Math.min(high - 1, Math.floor(bottom - 0.5));
    for (let row = first; row <= last; row++) {
      const y = row + 0.5, crossings = [];
      for (const ring of rings) {
        for (let k = 0, j = ring.length - 1; k < ring.length; j = k++) {
          const a = ring[j], b = ring[k];
          if ((a[1] <= y) !== (b[1] <= y)) {
            crossings.push(a[0] + (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1]));
          }
        }
      }
      crossings.sort((a, b) => a - b);
      for (let k = 0; k + 1 < crossings.length; k += 2) {
        const from = Math.max(0, Math.ceil(crossings[k] - 0.5));
        const to = Math.min(wide - 1, Math.floor(crossings[k + 1] - 0.5));
        for (let x = from, at = row * wide + from; x <= to; x++, at++) {
          const z = plane[0] * (x + 0.5) + plane[1] * y + plane[2];
          if (z > depth[at]) { depth[at] = z; greys[at] = grey; }
        }
      }
    }
  }

  putSurfaces() {
    const { wide, high, depth, grey } = this.buffer;
    const image = this.pen.createImageData(wide, high);
    const pixels = new Uint32Array(image.data.buffer);
    for (let at = 0; at < pixels.length; at++) {
      const g = depth[at] > -1e8 ? grey[at] : 255;
      pixels[at] = 0xff000000 | (g << 16) | (g << 8) | g;
    }
    this.pen.putImageData(image, 0, 0);
  }

  /** Whether nothing lies in front of a place of the picture, its own surface not counted. */
  sees(x, y, z) {
    const { wide, high, depth } = this.buffer;
    for (const [dx, dy] of [[0, 0], [1, 0], [-1, 0], [0, 1], [0, -1]]) {
      const column = Math.floor(x) + dx, row = Math.floor(y) + dy;
      if (column < 0 || row < 0 || column >= wide || row >= high) return true;
      if (depth[row * wide + column] <= z + this.near) return true;
    }
    return false;
  }

  putEdges() {
    const { pen, ratio } = this;
    pen.strokeStyle = "#000";
    pen.lineCap = "round";
    for (const thin of [true, false]) {
      pen.lineWidth = (thin ? 0.6 : 1.5) * ratio;
      pen.beginPath();
      for (const [a, b, isThin] of this.edges) {
        if (isThin === thin) this.visible(a, b);
      }
      pen.stroke();
    }
  }

  /** Adds the seen pieces of a line to the pen's path. */
  visible(a, b) {
    const steps = Math.max(1, Math.ceil(Math.hypot(b[0] - a[0], b[1] - a[1]) / 3));
    let drawing = false;
    for (let k = 0; k < steps; k++) {
      const p = along(a, b, (k + 0.5) / steps);
      const now = this.sees(...p);
      if (now && !drawing) this.pen.moveTo(...along(a, b, k / steps).slice(0, 2));
      if (!now && drawing) this.pen.lineTo(...along(a, b, k / steps).slice(0, 2));
      drawing = now;
    }
    if (drawing) this.pen.lineTo(b[0], b[1]);
  }

  /** What the bracket stands beside: the wall's edge, the round body; thin, long dashes. */
  putBeside() {
    const { pen, ratio, fold } = this;
    pen.lineWidth = 0.8 * ratio;
    pen.setLineDash([9 * ratio, 3 * ratio, 2 * ratio, 3 * ratio, 2 * ratio, 3 * ratio]);
    pen.beginPath();
    const { body, wall } = fold;
    if (body) {
      const level = body.top ? 0 : -fold.thickness, way = body.top ? 1 : -1;
      const rows = [[body.plate, level], [body.fullest, level + way * BODY_HEIGHT * body.fullest]];
      for (const [diameter, z] of rows) {
        let before = null;
        for (let k = 0; k <= 72; k++) {
          const turn = k / 36 * Math.PI;
          const p = this.seen([body.centre[0] + diameter / 2 * Math.cos(turn),
            body.centre[1] + diameter / 2 * Math.sin(turn), z]);
          if (before) this.visible(before, p);
          before = p;
        }
      }
    }
    if (wall) {
      const out = unit(minus([...wall[1], 0], [...wall[0], 0]));
      const long = Math.hypot(...minus([...wall[1], 0], [...wall[0], 0])), beyond = long * 0.08;
      const [from, to] = [[wall[0], -beyond], [wall[1], beyond]]
        .map(([p, way]) => [p[0] + out[0] * way, p[1] + out[1] * way]);
      const reach = long * 0.22;
      const corners = [[from, -reach], [to, -reach], [to, reach], [from, reach]]
        .map(([p, z]) => this.seen([p[0], p[1], z]));
      corners.forEach((p, k) => this.visible(p, corners[(k + 1) % 4]));
      pen.stroke();
      pen.beginPath();
      this.word("wall", corners[3]);
    }
    pen.stroke();
    pen.setLineDash([]);
  }

  word(text, at) {
    const { pen, ratio } = this;
    pen.fillStyle = "#000";
    pen.font = `${13 * ratio}px sans-serif`;
    pen.fillText(text, at[0] + 3 * ratio, at[1] + 14 * ratio);
  }

  /** A place that must be seen through everything: a cross in a ring with its number. */
  ring(at, text, radius) {
    const { pen, ratio } = this;
    const [x, y] = at, r = radius * ratio;
    pen.lineWidth = 2.5 * ratio;
    pen.strokeStyle = "#000";
    pen.beginPath();
    pen.arc(x, y, r, 0, 2 * Math.PI);
    pen.moveTo(x - r * 1.6, y); pen.lineTo(x + r * 1.6, y);
    pen.moveTo(x, y - r * 1.6); pen.lineTo(x, y + r * 1.6);
    pen.stroke();
    if (text) {
      pen.font = `bold ${14 * ratio}px sans-serif`;
      const wide = pen.measureText(text).width;
      const left = Math.min(x + r * 1.7, this.buffer.wide - wide - 4 * ratio);
      pen.fillStyle = "#fff";
      pen.fillRect(left - 2 * ratio, y - r * 1.7 - 15 * ratio, wide + 4 * ratio, 18 * ratio);
      pen.fillStyle = "#000";
      pen.fillText(text, left, y - r * 1.7);
    }
  }

  putTouches() {
    for (const touch of this.fold.touches) {
      if (this.amount + 1e-6 < touch.amount) continue;
      const at = this.seen(placed(this.frames[touch.panel], ...touch.at));
      this.ring(at, `${touch.words} at ${touch.angle_deg}°`, 9);
    }
  }

  putLit() {
    const ends = (this.lit && this.fold.places[this.lit]) || [];
    const seen = ends.map((end) => this.seen(placed(this.frames[end.panel], ...end.at)));
    const { pen, ratio } = this;
    if (seen.length === 2) {
      pen.lineWidth = 2.5 * ratio;
      pen.strokeStyle = "#000";
      pen.beginPath();
      pen.moveTo(seen[0][0], seen[0][1]);
      pen.lineTo(seen[1][0], seen[1][1]);
      pen.stroke();
    }
    for (const [x, y] of seen) {
      pen.beginPath();
      pen.arc(x, y, 6 * ratio, 0, 2 * Math.PI);
      pen.fillStyle = "#fff";
      pen.fill();
      pen.lineWidth = 3 * ratio;
      pen.stroke();
    }
  }
}

function along(a, b, share) {
  return a.map((figure, index) => figure + (b[index] - figure) * share);
}

/** Depth as a plane over the picture; none for a face seen on edge. */
function planeOf(ring) {
  let [x, y, z] = [0, 0, 0];
  for (let k = 0, j = ring.length - 1; k < ring.length; j = k++) {
    const a = ring[j], b = ring[k];
    x += (a[1] - b[1]) * (a[2] + b[2]);
    y += (a[2] - b[2]) * (a[0] + b[0]);
    z += (a[0] - b[0]) * (a[1] + b[1]);
  }
  if (Math.abs(z) < 1e-3) return null;
  const mean = [0, 1, 2].map((i) => ring.reduce((sum, p) => sum + p[i], 0) / ring.length);
  const across = -x / z, down = -y / z;
  return [across, down, mean[2] - across * mean[0] - down * mean[1]];
}

/** A straight of an outline in shares, each thin where a bend begins there. */
function partsOf(a, b, tangents) {
  const run = [b[0] - a[0], b[1] - a[1]];
  const length = Math.hypot(...run);
  if (length < 1e-6) return [];
  const cuts = [0, 1], thin = [];
  for (const tangent of tangents) {
    const shares = tangent.map((p) => {
      const off = (p[0] - a[0]) * run[1] - (p[1] - a[1]) * run[0];
      return Math.abs(off) / length < 0.01
        ? ((p[0] - a[0]) * run[0] + (p[1] - a[1]) * run[1]) / length ** 2 : null;
    });
    if (shares.includes(null)) continue;
    const [low, high] = [Math.max(0, Math.min(...shares)), Math.min(1, Math.max(...shares))];
    if (high - low > 1e-6) { thin.push([low, high]); cuts.push(low, high); }
  }
  cuts.sort((one, other) => one - other);
  const pieces = [];
  for (let k = 0; k + 1 < cuts.length; k++) {
    const middle = (cuts[k] + cuts[k + 1]) / 2;
    if (cuts[k + 1] - cuts[k] > 1e-6) {
      pieces.push([cuts[k], cuts[k + 1], thin.some(([l, h]) => l < middle && middle < h)]);
    }
  }
  return pieces;
}

function isEnd(p, line) {
  return line.some((end) => Math.hypot(end[0] - p[0], end[1] - p[1]) < 0.01);
}
