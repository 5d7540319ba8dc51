// Readings back from the part: the rows of the check sheet with a field for each, and what they
// mean beside them. They go into a readings file of their own, saved as any file.

import { get, make, one, page, post, quietly, Refusal, tried } from "./common.js";

const STATES = { flat: "On the flat blank", folded: "On the folded part" };

export class Readings {
  /** Fills `place`; `name` and `part` are the bracket's, `lit` is called with a row looked at. */
  constructor(place, { name, part, lit }) {
    Object.assign(this, { place, name, part, piece: 0, made: "plate", told: null, drawn: "" });
    this.asking = false;
    this.values = {};
    this.ask = quietly(250, () => this.sendOn());
    one("#read-begin").addEventListener("click", () => this.load());
    one("#read-made").addEventListener("change", (event) => { this.made = event.target.value; this.load(); });
    one("#read-piece").addEventListener("change", (event) => {
      this.piece = Number(event.target.value);
      this.load();
    });
    one("#read-save")?.addEventListener("click", () => this.save());
    place.addEventListener("focusin", (event) => {
      const { state, row } = event.target.dataset;
      const found = this.told.rows.find((each) => each.state === state && each.name === row);
      // a further piece, or one in card, is not the one in the picture
      if (found && this.piece === 0 && this.made === "plate") lit(found);
    });
    place.addEventListener("input", (event) => {
      const { state, row } = event.target.dataset;
      (this.values[state] ||= {})[row] = event.target.value;
      this.ask();
    });
  }

  /** The bracket as it is now: other pieces, another fingerprint. */
  show(state) {
    const pieces = one("#read-piece"), names = state.pieces.map((each) => each.title);
    if ([...pieces.options].map((each) => each.text).join() !== names.join()) {
      pieces.replaceChildren(...names.map((each, index) => make("option", { value: index }, each)));
    }
    pieces.parentNode.hidden = names.length < 2;
    if (this.told && this.of !== state.fingerprint) this.load();
    this.of = state.fingerprint;
  }

  /** From the address of a readings file: of which piece, and made of what. */
  begin(query) {
    this.piece = Number(query.get("piece") || 0);
    this.made = query.get("made_of") || this.made;
    one("#read-piece").value = this.piece;
    one("#read-made").value = this.made;
    this.load();
  }

  path() { return `api/readings/${encodeURIComponent(this.name)}`; }
  which() { return { part: this.part, piece: this.piece, made_of: this.made }; }

  async load() {
    const told = await tried(() => get(`${this.path()}?${new URLSearchParams(this.which())}`));
    if (told) this.take(told);
  }

  async sendOn() {
    if (this.asking) return;
    this.asking = true;
    try {
      while (Object.keys(this.values).length) {
        const values = this.values;
        this.values = {};
        const told = await tried(() => post(this.path(), { ...this.which(), values }));
        if (told) this.take(told);
      }
    } finally { this.asking = false; }
  }

  take(told) {
    this.told = told;
    one("#read-begin").hidden = true;
    one("#read-all").hidden = false;
    const rows = told.rows.map((row) => `${row.state}.${row.name}`).join("\n") + this.piece + this.made;
    if (rows !== this.drawn) { this.draw(told.rows); this.drawn = rows; }
    for (const field of this.place.querySelectorAll("input")) {
      const { state, row } = field.dataset;
      const value = (told.typed[state] || {})[row] || "";
      const waits = this.values[state] && row in this.values[state];
      if (!waits && field !== document.activeElement && field.value !== value) field.value = value;
      const wrong = told.messages.filter((each) => each.key === `${state}.${row}`);
      field.setAttribute("aria-invalid", String(wrong.length > 0));
      one(`#${CSS.escape(field.getAttribute("aria-describedby").split(" ")[1])}`).textContent
        = wrong.map((each) => each.message).join("; ");
    }
    const words = told.lines.filter(Boolean);
    const elsewhere = told.messages.filter((each) => !/^(flat|folded)\./.test(each.key));
    one("#diagnosis").textContent = [...elsewhere.map((each) => `${each.key}: ${each.message}`), ...words].join("\n")
      || "Nothing read yet.";
    one("#read-standing").textContent = told.unsaved ? `${told.file}: not saved yet` : `${told.file}: saved`;
    const sheet = one("#read-sheet");
    sheet.hidden = !told.diagnosis;
    sheet.href = `${page.base}/out-readings/${encodeURIComponent(this.name)}?${new URLSearchParams(this.which())}`;
  }

  draw(rows) {
    this.place.replaceChildren(...Object.entries(STATES).flatMap(([state, title]) => {
      const own = rows.filter((row) => row.state === state);
      if (!own.length) return [];
      return [make("h3", {}, title), ...own.map((row, index) => {
        const id = `r-${state}-${index}`;
        return make("div", { class: "field reading-row" },
          make("span", { class: "letter named" }, row.name),
          make("label", { for: id }, row.words, row.critical
            ? make("span", { class: "fit" }, " ★", make("span", { class: "aside" }, " decides the fit")) : ""),
          make("div", { class: "reading" }, make("input", {
            id, type: "text", autocomplete: "off", spellcheck: "false", "data-state": state,
            "data-row": row.name, "aria-describedby": `h-${id} m-${id}`, disabled: !page.canWrite,
          })),
          make("p", { class: "how", id: `h-${id}` }, `Should be ${row.told}.`),
          make("p", { class: "message", id: `m-${id}`, "aria-live": "polite" }));
      })];
    }));
  }

  async save() {
    while (this.asking) await new Promise((done) => { setTimeout(done, 15); });
    try {
      await post(`api/save/${encodeURIComponent(this.told.file)}`, { seen: null });
      await this.load();
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      one("#read-standing").textContent = error.message;
    }
  }
}
