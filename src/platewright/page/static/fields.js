// The fields of a form: rows made and taken away, what is typed sent on, what the file says shown.
// Keys are those of the file, such as "hole[2].measured_from[1].edge".

import { all, make, one } from "./common.js";

const PAIRED = (text) => text.split("\n").map((row) => row.trim()).filter(Boolean)
  .map((row) => row.split(/[,;\t]/).map((each) => each.trim()));
const LISTED = (text) => text.split(/[,;\n]/).map((each) => each.trim()).filter(Boolean);

export class Fields {
  /** `send` is called with edits; `lit` with the key of a field that is looked at. */
  constructor(forms, { send, lit }) {
    Object.assign(this, { forms, send, lit });
    this.waiting = new Map(); // key -> what was typed and is not answered yet
    this.panels = [];
    this.values = {};
    this.touched = new Set();
    for (const form of forms) {
      form.addEventListener("submit", (event) => event.preventDefault());
      form.addEventListener("input", (event) => this.typed(event.target));
      form.addEventListener("click", (event) => this.clicked(event));
      form.addEventListener("focusin", (event) => this.look(event.target));
      form.addEventListener("pointerover", (event) => {
        const letter = event.target.closest(".letter");
        if (letter) this.look(letter);
      });
    }
  }

  look(target) {
    const field = target.closest("[data-key]");
    if (field) this.lit(field.dataset.key);
  }

  fieldOf(key) {
    for (const form of this.forms) {
      const found = one(`[data-key="${CSS.escape(key)}"]`, form);
      if (found) return found;
    }
    return null;
  }

  controlOf(field) { return one("input, select, textarea", field); }

  /** What stands in a field, as an edit has it. */
  valueOf(field) {
    const text = this.controlOf(field).value;
    if (!text.trim()) return "";
    switch (field.dataset.quantity) {
      case "pairs": return PAIRED(text);
      case "lengths": return LISTED(text);
      case "flag": return text === "true";
      case "text": return text.trim();
      default: return text;
    }
  }

  typed(control) {
    const field = control.closest("[data-key]");
    if (!field) return;
    const { key } = field.dataset;
    this.waiting.set(key, control.value);
    this.touched.add(key);
    field.classList.remove("example");
    this.send([{ key, value: this.valueOf(field) }]);
  }

  clicked(event) {
    const { target } = event;
    const rows = target.closest("[data-rows]");
    if (target.closest(".add") && rows) {
      const { rows: key } = rows.dataset;
      const count = one(":scope > ol", rows).children.length;
      if (count >= Number(rows.dataset.most)) return;
      const edits = [{ add_row: key, values: {} }];
      this.setRows(rows, count + 1);
      const row = one(":scope > ol", rows).lastElementChild;
      for (const inner of all("[data-begin]", row)) { // as many as it cannot do without
        const begin = Number(inner.dataset.begin);
        for (let k = 0; k < begin; k++) edits.push({ add_row: inner.dataset.rows, values: {} });
        this.setRows(inner, begin);
      }
      this.send(edits);
      one("input, select, textarea", row)?.focus();
    } else if (target.closest(".remove") && rows) {
      const row = target.closest("li");
      const number = [...row.parentNode.children].indexOf(row) + 1;
      for (const key of [...this.waiting.keys()]) {
        if (key.startsWith(`${rows.dataset.rows}[`)) this.waiting.delete(key);
      }
      this.send([{ remove_row: `${rows.dataset.rows}[${number}]` }]);
      row.remove();
      this.number(rows);
      one(":scope > .add", rows).focus();
    } else if (target.closest("[data-clear]")) {
      this.send([{ key: target.closest("[data-clear]").dataset.clear, value: null }]);
    }
  }

  // --- rows -------------------------------------------------------------------------------------

  setRows(rows, count) {
    const list = one(":scope > ol", rows);
    while (list.children.length > count) list.lastElementChild.remove();
    const fresh = [];
    while (list.children.length < count) {
      fresh.push(one(":scope > template", rows).content.cloneNode(true).firstElementChild);
      list.append(fresh.at(-1));
    }
    this.number(rows);
    for (const field of fresh.flatMap((row) => all("[data-key]", row))) this.showField(field, this.values);
    const counted = rows.closest(".group")?.querySelector("summary .count");
    if (counted && !rows.parentNode.closest("[data-rows]")) {
      counted.textContent = count ? `: ${count}` : "";
    }
  }

  /** Every row by its number: the generic keys of a template are told apart by it. */
  number(rows) {
    const { rows: key } = rows.dataset;
    const generic = key.replace(/\[\d+\]/g, "[]");
    [...one(":scope > ol", rows).children].forEach((row, index) => {
      const own = `${key}[${index + 1}]`;
      const before = row.dataset.own || `${generic}[]`;
      if (before !== own) renamed(row, before, own);
      row.dataset.own = own;
      const what = generic.replace(/^.*[.]/, "").replace(/_/g, " ");
      one("legend", row).textContent = `${what} ${index + 1}`;
    });
  }

  // --- what the file says -------------------------------------------------------------------------

  show(state) {
    this.values = state.typed;
    this.example = state.new; // a new file begins with the figures of an example
    this.panels = state.panels && state.panels.length ? state.panels : this.panels;
    for (const form of this.forms) {
      // rows in rows come to be with the rows around them
      for (let deep = 0; deep < 3; deep++) {
        for (const rows of all("[data-rows]", form)) {
          const count = state.rows[rows.dataset.rows] || 0;
          if (count !== one(":scope > ol", rows).children.length) this.setRows(rows, count);
        }
      }
      for (const field of all("[data-key]", form)) this.showField(field, state.typed);
    }
    this.showMessages(state);
  }

  showField(field, typed) {
    const { key } = field.dataset, control = this.controlOf(field);
    if (this.waiting.has(key)) return;
    const value = shownAs(typed[key], field.dataset.quantity);
    const own = !this.example || this.touched.has(key) || !value || !one(".letter", field).textContent;
    field.classList.toggle("example", !own);
    if (control.dataset.names) this.offer(field, control, value);
    if (control.tagName === "SELECT" && ![...control.options].some((each) => each.value === value)) {
      control.append(make("option", { value }, value));
    }
    if (document.activeElement === control && sameWords(control, value)) return;
    if (control.value !== value) control.value = value;
    const more = value && field.closest("details.more");
    if (more) more.open = true;
  }

  /** The names of panels or edges to choose from; of an edge those of its own panel. */
  offer(field, control, value) {
    let names = this.panels.map((panel) => panel.name);
    if (control.dataset.names === "edge") {
      const own = this.panelOf(field.dataset.key);
      const panels = this.panels.filter((panel) => !own || panel.name === own);
      const free = "free" in control.dataset;
      names = [...new Set(panels.flatMap((panel) => panel.edges
        .filter((edge) => !free || !panel.bent.includes(edge))))];
    }
    if (value && !names.includes(value)) names.push(value);
    const standing = [...control.options].slice(1).map((each) => each.value);
    if (standing.join("\n") === names.join("\n")) return;
    control.replaceChildren(control.options[0], ...names.map((each) => make("option", { value: each }, each)));
    control.value = value;
  }

  /** The field that names the panel which an edge is on: beside it, or in its row. */
  ownerOf(key) {
    const row = key.match(/^[^[]+\[\d+\]/);
    return this.fieldOf(key.replace(/[^.]*$/, "panel")) || (row && this.fieldOf(`${row[0]}.panel`));
  }

  /** The panel that an edge is on: the one that is named, else the first. */
  panelOf(key) {
    const named = this.ownerOf(key);
    return (named && this.controlOf(named).value) || this.panels[0]?.name;
  }

  showMessages(state) {
    for (const message of this.forms.flatMap((form) => all(".message", form))) {
      if (message.textContent) message.textContent = "";
    }
    for (const field of this.forms.flatMap((form) => all(".wrong", form))) {
      field.classList.remove("wrong");
      this.controlOf(field)?.removeAttribute("aria-invalid");
    }
    const general = one("#general"), left = [];
    const refused = state.refused_edits || [];
    for (const each of [...refused, ...state.messages]) {
      const at = each.other_part ? null : this.placeFor(each.key);
      if (!at) { left.push(each); continue; }
      const line = at.querySelector(":scope > .message");
      if (!at.dataset.key || at.dataset.key !== each.key) {
        line.textContent += `${line.textContent ? "; " : ""}${each.key}: ${each.message}`;
      } else line.textContent += `${line.textContent ? "; " : ""}${wordsOf(each)}`;
      if (at.dataset.key) {
        at.classList.add("wrong");
        this.controlOf(at).setAttribute("aria-invalid", "true");
      }
      for (let closed; (closed = at.closest("details:not([open])"));) closed.open = true;
    }
    const words = left.map((each) => make("p", {}, `${each.key ? `${each.key}: ` : ""}${wordsOf(each)}`));
    if (general.textContent !== words.map((each) => each.textContent).join("")) {
      general.replaceChildren(...words);
    }
  }

  /** The field or the rows that a key belongs to, or those around it. */
  placeFor(key) {
    for (let at = key; at; at = at.replace(/\.?[^.]*$/, "")) {
      const field = this.fieldOf(at);
      if (field) return field;
      for (const form of this.forms) {
        const rows = one(`[data-rows="${CSS.escape(at.replace(/\[\d+\]$/, ""))}"]`, form);
        if (rows) return rows;
      }
    }
    return null;
  }

  light(key) {
    for (const form of this.forms) {
      for (const field of all(".field.lit", form)) field.classList.remove("lit");
    }
    const field = key && this.fieldOf(key);
    if (field) field.classList.add("lit");
    return field;
  }
}

function renamed(row, before, own) {
  for (const each of [row, ...all("*", row)]) {
    if (each.tagName === "TEMPLATE") continue;
    for (const { name, value } of [...each.attributes]) {
      if (value.includes(before)) each.setAttribute(name, value.split(before).join(own));
    }
  }
}

function wordsOf(each) {
  const nearest = each.nearest ? `; did you mean '${each.nearest}'?` : "";
  return `${each.message}${nearest}`;
}

function shownAs(value, quantity) {
  if (value === undefined || value === null) return "";
  if (quantity === "pairs" && Array.isArray(value)) {
    return value.map((row) => (Array.isArray(row) ? row.join(", ") : String(row))).join("\n");
  }
  if (Array.isArray(value)) return value.join(", ");
  return String(value);
}

/** Whether what is being typed and what the file says are the same but for blanks. */
function sameWords(control, value) {
  const plain = (text) => text.replace(/[\s,;]+/g, " ").trim();
  return plain(control.value) === plain(value);
}
