// The page of a suspension: its form, the side view at any height, the curves through its travel.

import { get, lines, make, one, told } from "./common.js";
import { Draft } from "./draft.js";
import { Fields } from "./fields.js";

const { name } = document.body.dataset;
let lift = null, range = null, asking = false, again = false;

const fields = new Fields([one("#measure")], {
  send: (edits) => draft.send(edits), lit: (key) => fields.light(key),
});

function show(state) {
  fields.show(state);
  one("#stale").hidden = state.good;
  one("#stale").textContent = "What is typed now makes no suspension: see the words at its field.";
  one("#pictures").classList.toggle("stale", !state.good);
  lines(one("#lines"), state.lines || []);
  if (state.good) look();
}

const drawn = (svg) => {
  const picture = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  picture.removeAttribute("width");
  picture.removeAttribute("height");
  picture.setAttribute("role", "img");
  return document.importNode(picture, true);
};

/** The side view at the slider's height; what the slider passes meanwhile is left out. */
async function look() {
  if (asking) { again = true; return; }
  asking = true;
  do {
    again = false;
    try {
      const query = lift === null ? "" : `?lift_mm=${lift}`;
      const seen = await get(`${draft.here("setup")}${query}`);
      range = [seen.lowest_mm, seen.highest_mm];
      one("#lift").value = Math.round((seen.lift_mm - range[0]) / (range[1] - range[0]) * 100);
      one("#side").replaceChildren(drawn(seen.svg));
      one("#curves").replaceChildren(drawn(seen.plots));
      const [[height, value]] = seen.words, [what, unit] = height.split(", ");
      one("#lift-words").textContent = `${what} ${value} ${unit || ""}${seen.lift_mm === seen.ride_mm ? ": ride" : ""}`;
      one("#lift").setAttribute("aria-valuetext", seen.words[0].join(" "));
      one("#figures").replaceChildren(...seen.words.flatMap(([what, value]) => [
        make("dt", {}, what), make("dd", {}, value)]));
    } catch { /* its own words stand at the fields */ }
  } while (again);
  asking = false;
}

one("#lift").addEventListener("input", (event) => {
  if (!range) return;
  lift = range[0] + (range[1] - range[0]) * Number(event.target.value) / 100;
  look();
});

const draft = new Draft(name, 1, { show, waiting: fields.waiting });
draft.take(told("state"));
