// The page of one bracket file: its form, its pictures, what is found, and what comes out of it.

import { all, fileLinks, get, lines, make, one, page, post, quietly, Refusal, told, tried, trouble } from "./common.js";
import { Draft } from "./draft.js";
import { Fields } from "./fields.js";
import { FlatPicture, PlacePicture } from "./flat.js";
import { FoldPicture, heldBy } from "./fold.js";
import { Readings } from "./readings.js";

const { name } = document.body.dataset;
const part = Number(new URLSearchParams(location.search).get("part") || 1);
const FEW = 8; // distances told at once
const letters = new Map();
let state = told("state"), lit = null, wanting = null, pages = "";

// --- pictures and fields ------------------------------------------------------------------------

const sections = told("form-told").sections;
const learn = (field) => {
  if (field.letter) letters.set(field.key, field.letter);
  (field.columns || []).forEach(learn);
};
sections.forEach((section) => section.fields.forEach(learn));

/** A key's letter; rows of one letter are told apart by their number. */
function letterOf(key) {
  const letter = letters.get(key.replace(/\[\d+\]/g, "[]"));
  const number = key.match(/\[(\d+)\]/);
  return letter ? letter + (number ? number[1] : "") : "";
}

const flat = new FlatPicture(one("#flat"), { letters: letterOf, point, choose });
const place = new PlacePicture(one("#place"), { letters: letterOf, point, choose });
const fold = new FoldPicture(one("#folded"));
const fields = new Fields([one("#measure"), one("#add")], {
  send: (edits) => draft.send(edits), lit: (key) => light(key),
});

function light(key) {
  if (key === lit) return;
  lit = key;
  fields.light(key);
  flat.light(key);
  place.light(key);
  fold.light(key);
}

/** Lights the two places of a row of the check sheet. */
function lightRow(row) {
  const [piece] = state.pieces, key = `${row.state} ${row.name}`;
  const { stands, fold: bracket } = piece.picture;
  if (!(key in bracket.places)) {
    const alike = piece.dimensions.filter((each) => each.letter.split(", ").includes(row.name));
    const found = piece.dimensions.find((each) => each.words === row.words)
      || (alike.length === 1 ? alike[0] : null);
    const ends = found ? [found.start, found.end] : [];
    if (row.state === "flat" && ends.length && ends.every((end) => end.blank_mm)) {
      stands[key] = { line: ends.map(({ blank_mm: [x, y] }) => [x, -y]) };
    }
    bracket.places[key] = ends.filter((end) => row.state === "folded" && end.part_mm)
      .map((end) => heldBy(bracket, end.panel, end.part_mm));
  }
  light(key);
}

/** A letter of the picture was pointed at; with `go` its field is gone to. */
function point(key, go) {
  light(key);
  if (!go) return;
  const field = fields.fieldOf(key);
  if (!field) return;
  for (let shut; (shut = field.closest("details:not([open])"));) shut.open = true;
  const control = fields.controlOf(field);
  control.focus({ preventScroll: true });
  field.scrollIntoView({ block: "center", behavior: "instant" });
  if (control.select) control.select();
}

// --- choosing an edge or a panel in the picture -------------------------------------------------

for (const form of [one("#measure"), one("#add")]) {
  form.addEventListener("click", (event) => {
    const button = event.target.closest(".point");
    if (!button) return;
    wanting = one(`#${CSS.escape(button.dataset.for)}`);
    const sort = wanting.dataset.names, free = "free" in wanting.dataset;
    // of a panel that is chosen, its own edges alone: at a bend two lie on each other
    const owner = sort === "edge" && fields.ownerOf(wanting.closest("[data-key]").dataset.key);
    const panel = (owner && fields.controlOf(owner).value) || null;
    const what = sort === "panel" ? "a panel" : `${free ? "a free edge" : "an edge"}${panel ? ` of the ${panel}` : ""}`;
    showHand(0); // names are those of the hand that the file tells
    one("#choosing").hidden = false;
    one("#choosing").textContent = `Point at ${what} in the picture, `
      + "or go through them by the arrow keys and take one by Enter; Escape leaves it as it is.";
    flat.chooseFrom(sort, { panel, free });
    one(".flat").scrollIntoView({ block: "nearest" });
    one("#flat .choice")?.focus({ preventScroll: true });
  });
}

function choose(panel, edge) {
  const control = wanting;
  wanting = null;
  flat.chooseFrom(null);
  one("#choosing").hidden = true;
  if (!control) return;
  if (panel) {
    const value = edge || panel;
    const field = control.closest("[data-key]");
    if (edge) {
      const owner = fields.ownerOf(field.dataset.key);
      if (owner && fields.panelOf(field.dataset.key) !== panel) put(owner, panel);
    }
    put(field, value);
  }
  if (panel || one("#flat").contains(document.activeElement)) control.focus();
}

function put(field, value) {
  const control = fields.controlOf(field);
  if (![...control.options].some((each) => each.value === value)) {
    control.append(make("option", { value }, value));
  }
  control.value = value;
  fields.typed(control);
}

// --- showing ------------------------------------------------------------------------------------

function show(now, changed) {
  state = now;
  fields.show(state);
  showStale();
  showPictures();
  showFindings();
  if (changed) outdated();
  pagesSoon();
  readings.show(state);
}

function showStale() {
  const stale = one("#stale");
  stale.hidden = state.good;
  one("#pictures").classList.toggle("stale", !state.good);
  const words = state.shown
    ? "The last bracket that could be made: see the words at the field."
    : "Nothing to draw yet: see what is asked for beside the fields.";
  if (stale.textContent !== words) stale.textContent = words;
  const parts = one("#parts");
  parts.hidden = (state.parts || []).length < 2;
  if (!parts.hidden) {
    parts.replaceChildren(...state.parts.map((each, index) => make("a", {
      href: `?part=${index + 1}`, "aria-current": index + 1 === part ? "page" : false,
    }, each)));
  }
}

function showPictures() {
  const piece = state.pieces[0];
  if (!piece) return;
  const hands = state.pieces.map((each) => each.hand);
  one("#hand").textContent = hands.length > 1 || piece.hand === "as drawn" ? "" : piece.hand;
  one("#hands").hidden = hands.length < 2;
  all("[data-hand]").forEach((each, k) => { each.textContent = `${hands[k] === "right" ? "Right" : "Left"} hand`; });
  if (hands.length < 2) showHand(0);
  flat.show(piece.picture);
  fold.show(piece.picture.fold);
  const seen = piece.picture.in_place;
  one(".place").hidden = one("[data-tab=place]").hidden = !seen;
  if (seen) place.show(seen);
  showFold();
}

function showFold() {
  const piece = state.pieces[0];
  if (!piece) return;
  const { fold: bracket } = piece.picture;
  const amount = Number(one("#amount").value) / 100;
  const angles = bracket.bends.map((bend) => Math.round(bend.angle * amount * 180 / Math.PI));
  const many = angles.length > 4;
  const words = !angles.length ? "no bends" : amount === 0 ? "flat" : many
    ? `${Math.round(amount * 100)} %` : angles.map((angle, index) => `bend ${index + 1}: ${angle}°`).join(", ");
  one("#folded-words").textContent = words;
  one("#amount").setAttribute("aria-valuetext", `${Math.round(amount * 100)} % folded; ${words}`);
  lines(one("#touches"), bracket.touches.filter((touch) => touch.amount <= amount + 1e-6)
    .map((touch) => `⊕ ${touch.words}: from ${touch.angle_deg}° of bend ${touch.bend} on`
      + (touch.finished ? ", and when finished" : "")));
}

one("#amount").addEventListener("input", (event) => {
  fold.foldTo(Number(event.target.value) / 100);
  showFold();
});

for (const button of all("[data-tab]")) {
  button.addEventListener("click", () => {
    for (const each of all("[data-tab]")) each.setAttribute("aria-pressed", String(each === button));
    one("#pictures").dataset.seen = button.dataset.tab;
  });
}

// on a phone the picture makes room while a reading is typed, and is large again when touched
one("#paper").addEventListener("focusin", (event) => {
  if (wanting) choose(null, null);
  if (event.target.matches("input, select, textarea")) document.body.classList.add("typing");
});
one("#pictures").addEventListener("pointerdown", () => document.body.classList.remove("typing"));
const inSight = new Set();
const watch = new IntersectionObserver((seen) => {
  for (const each of seen) inSight[each.isIntersecting ? "add" : "delete"](each.target);
  document.body.classList.toggle("past", !inSight.size);
});
for (const each of [one("#measure"), one("#add")]) watch.observe(each);

for (const button of all("[data-face]")) {
  button.addEventListener("click", () => {
    for (const each of all("[data-face]")) each.setAttribute("aria-pressed", String(each === button));
    flat.turnOver(button.dataset.face);
  });
}
for (const button of all("[data-hand]")) button.addEventListener("click", () => showHand(Number(button.dataset.hand)));

/** Of a pair the first hand (0) or the other (1), which is its mirror image. */
function showHand(hand) {
  for (const each of all("[data-hand]")) each.setAttribute("aria-pressed", String(Number(each.dataset.hand) === hand));
  flat.showOther(hand === 1);
  fold.showOther(hand === 1);
}

function showFindings() {
  const found = new Map();
  for (const piece of state.pieces) {
    for (const finding of piece.findings) found.set(finding.words, finding);
  }
  const grave = [...found.values()].filter((each) => each.severity !== "note").length;
  const notes = found.size - grave;
  one("#verdict").textContent = !state.shown ? "No bracket yet."
    : `${grave ? `${grave} to change before cutting` : "Nothing has to be changed"}`
      + `${notes ? `; ${notes} ${notes === 1 ? "note" : "notes"}` : ""}.`
      + (state.good ? "" : " (Of the last bracket that could be made.)");
  one("#found").replaceChildren(...[...found.values()].map((each) => make("li", {
    class: each.severity === "note" ? "" : "grave",
  }, make("b", {}, each.severity === "change" ? "change" : each.severity), ` ${each.rule}: ${each.place}`
    + `${each.figures ? `: ${each.figures}` : ""}; ${each.change}`, make("small", {}, each.source))));
  const words = state.changed_lines.map((each) => each.trim());
  lines(one("#changed"), words.length ? words.slice(0, FEW) : ["nothing"]);
  one("#more-changed").hidden = words.length <= FEW;
  one("#more-changed summary").textContent = `${words.length - FEW} more`;
  lines(one("#more-changed ul"), words.slice(FEW));
  // beside the picture as well, where it is seen while a field is typed in
  one("#now").hidden = !words.length;
  one("#now").textContent = words.slice(0, 2).map((each) => {
    const at = each.lastIndexOf(": ");
    return at < 0 ? each : `${each.slice(at + 2)}: ${each.slice(0, at)}`;
  }).join("; ") + (words.length > 2 ? `; ${words.length - 2} more` : "");
  const told = [];
  if (state.stock) told.push(["Stock", state.stock.words]);
  for (const piece of state.pieces) {
    const who = state.pieces.length > 1 ? `, ${piece.hand}` : "";
    told.push([`Blank${who}`, piece.blank], [`Weight${who}`, piece.mass]);
    if (piece.bends.length <= 6) piece.bends.forEach((each, index) => told.push([`Bend ${index + 1}${who}`, each.replace(/^bend \d+: /, "")]));
  }
  if (state.fingerprint) told.push(["Fingerprint", state.fingerprint]);
  if (pages) told.push(["Pages", pages]);
  one("#stock").replaceChildren(...told.flatMap(([what, value]) => [make("dt", {}, what), make("dd", {}, value)]));
}

const pagesSoon = quietly(1200, async () => {
  if (!state.good || draft.asking) return;
  const { revision } = state;
  try {
    const answer = await get(`${draft.here("pages")}?part=${part}`);
    if (revision !== state.revision) return;
    const own = answer.parts[part - 1] || answer.parts[0];
    pages = `template ${own.template.reduce((all, each) => all + each, 0)}, check sheet ${own.check}`;
    showFindings();
  } catch { /* said elsewhere */ }
});

one("#use-text")?.addEventListener("click", () => draft.ask({ text: one("#text").value }));

// --- out ----------------------------------------------------------------------------------------

function options() {
  const chosen = { paper: one("#paper-size").value, pattern: one("#pattern").value };
  return Object.fromEntries(Object.entries(chosen).filter(([, value]) => value));
}

function outdated() {
  if (one("#made").children.length) one("#made-words").textContent = "Something was changed since: make the sheets again.";
  one("#made").replaceChildren();
}

one("#make").addEventListener("click", async () => {
  await draft.settled();
  one("#made-words").textContent = "Making …";
  const query = new URLSearchParams({ ...options(), torch: 1, svg: 1 });
  const answer = await tried(() => get(`${draft.here("outputs")}?${query}`));
  one("#made-words").textContent = answer ? "Each opens in a window of its own. Print at 100 %." : "";
  if (answer) fileLinks(one("#made"), answer.files);
});

one("#write")?.addEventListener("click", () => write(false));

async function write(overwrite) {
  await draft.settled();
  const line = one("#made-words");
  line.textContent = "Writing …";
  try {
    const answer = await post(draft.here("write"), { ...options(), overwrite });
    const old = answer.out_of_date.length ? ` OUT OF DATE now: ${answer.out_of_date.join(", ")}.` : "";
    line.textContent = `Wrote ${answer.wrote.join(", ")}.${old}`;
    trouble("");
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    line.textContent = error.message;
    if (error.status === 409 && !overwrite) {
      const anyway = make("button", { type: "button" }, "Write over what is there");
      anyway.addEventListener("click", () => write(true));
      line.append(" ", anyway);
    }
  }
}

one("#compare").addEventListener("click", async () => {
  await draft.settled();
  const other = one("#compare-with").value;
  const query = other ? `?with=${encodeURIComponent(other)}` : "";
  const answer = await tried(() => get(`${draft.here("compare")}${query}`));
  if (!answer) return;
  lines(one("#compared"), answer.lines.length ? answer.lines : ["nothing differs"]);
  if (answer.files?.length) {
    const links = make("ul", { class: "made" });
    fileLinks(links, answer.files);
    one("#compared").append(make("li", {}, links));
  }
});

async function listFiles() {
  const { files } = await get("api/folder");
  one("#compare-with").append(...files.filter((each) => each.sort === "bracket" && each.name !== name)
    .map((each) => make("option", { value: each.name }, each.name)));
}

// --- begin --------------------------------------------------------------------------------------

// which figures of a new file are the person's own outlives a reload
try { for (const key of JSON.parse(sessionStorage.getItem(`own ${name}`) || "[]")) fields.touched.add(key); } catch { /* none */ }
addEventListener("pagehide", () => sessionStorage.setItem(`own ${name}`, JSON.stringify([...fields.touched])));
const draft = new Draft(name, part, { show, waiting: fields.waiting });
const readings = new Readings(one("#readings"), { name, part, lit: lightRow });
fold.foldTo(1);
draft.take(state);
draft.offerKept();
listFiles();
if (location.hash === "#read") readings.begin(new URLSearchParams(location.search));
