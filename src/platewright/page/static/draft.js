// The draft of a file: what is typed goes to the server, one question at a time, and what comes back
// is shown at once. A burst of typing never queues up: what was typed meanwhile goes as one
// question. The server keeps the draft; the browser keeps a copy of its text.

import { get, make, one, page, post, quietly, Refusal, tried, trouble } from "./common.js";

const BESIDE = 2; // lines
const SIGNS = { both: "  ", disk: "− ", mine: "+ " };

export class Draft {
  /** `show` is called with each new state; `waiting` are the fields' values that wait. */
  constructor(name, part, { show, waiting }) {
    Object.assign(this, { name, part, show, waiting, state: null });
    this.queue = []; // edits that are not sent yet
    this.asking = false;
    this.serial = 0;
    this.kept = `platewright ${name}`;
    this.keep = quietly(400, () => this.keepText());
    one("#save")?.addEventListener("click", () => this.save());
    one("#save-as")?.addEventListener("click", () => one("#naming").showModal());
    one("#naming-do").addEventListener("click", () => this.saveAs());
    one("#naming form").addEventListener("submit", (event) => {
      if (event.submitter?.value !== "no") { event.preventDefault(); this.saveAs(); }
    });
    one("#discard")?.addEventListener("click", () => this.discard());
    one("#undo").addEventListener("click", () => { this.waiting.clear(); this.ask({ undo: true }); });
    one("#redo").addEventListener("click", () => { this.waiting.clear(); this.ask({ redo: true }); });
    document.addEventListener("keydown", (event) => {
      if ((event.ctrlKey || event.metaKey) && event.key === "s" && page.canWrite) {
        event.preventDefault();
        this.save();
      }
    });
    addEventListener("beforeunload", (event) => { if (this.queue.length) event.preventDefault(); });
  }

  here(path) { return `api/${path}/${encodeURIComponent(this.name)}`; }

  send(edits) {
    for (const edit of edits) {
      const at = this.queue.findIndex((each) => each.key !== undefined && each.key === edit.key);
      // typing on replaces what waits, unless rows were added or taken away since
      if (at >= 0 && this.queue.slice(at).every((each) => each.key !== undefined)) this.queue.splice(at, 1);
      this.queue.push(edit);
    }
    this.ask();
  }

  async ask(body = null) {
    if (body) await this.settled();
    if (this.asking) return;
    this.asking = true;
    document.body.setAttribute("aria-busy", "true");
    try {
      while (body || this.queue.length) {
        const edits = body ? [] : this.queue.splice(0);
        const asked = body || { edits };
        body = null;
        if (!await this.answer(asked, edits)) break;
      }
    } finally {
      this.asking = false;
      document.body.removeAttribute("aria-busy");
    }
  }

  async answer(asked, edits) {
    const words = new Map(this.waiting);
    this.serial += 1;
    try {
      const answer = await post(this.here("draft"), { serial: this.serial, part: this.part, ...asked });
      trouble("");
      for (const [key, text] of words) {
        const again = this.queue.some((each) => each.key === key);
        if (this.waiting.get(key) === text && !again) this.waiting.delete(key);
      }
      if (!answer.superseded) this.take(answer);
      return true;
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      trouble(error.message);
      if (error.status === 0) this.queue.unshift(...edits);
      return error.status !== 0;
    }
  }

  take(state) {
    const changed = !this.state || state.revision !== this.state.revision;
    if (this.state && state.form !== this.state.form) { location.reload(); return; }
    this.state = state;
    this.showStanding();
    this.show(state, changed);
    if (changed) this.keep();
    document.body.dataset.revision = state.revision;
    document.body.dataset.serial = state.serial ?? this.serial;
  }

  showStanding() {
    const { state } = this;
    const words = state.new ? "new, not saved yet" : state.unsaved ? "changed, not saved yet" : "saved";
    const disk = { changed: "; changed on the disk meanwhile", gone: "; no longer in the folder" };
    one("#standing").textContent = words + (state.new ? "" : disk[state.disk] || "")
      + (state.good || state.unsaved ? "" : "; nothing can be made of it yet");
    one("#undo").disabled = !state.can_undo || !page.canWrite;
    one("#redo").disabled = !state.can_redo || !page.canWrite;
  }

  // --- its text, kept in the browser too ----------------------------------------------------------

  async keepText() {
    try {
      const { text, saved } = await get(this.here("text"));
      if (one("#text")) one("#text").value = text;
      if (text === saved) {
        if (!this.offering) localStorage.removeItem(this.kept);
      } else localStorage.setItem(this.kept, JSON.stringify({ text, saved }));
    } catch { /* the browser keeps nothing, or the program has ended */ }
  }

  /** Offers what this browser kept of work that the program no longer has. */
  async offerKept() {
    let before = null;
    try { before = JSON.parse(localStorage.getItem(this.kept)); } catch { /* nothing to read */ }
    this.offering = Boolean(before); // it stays until it is taken up or dropped
    const { text } = await get(this.here("text"));
    if (one("#text")) one("#text").value = text;
    const offer = one("#kept");
    this.offering = Boolean(offer && before && before.text !== text && !this.state.unsaved);
    if (!this.offering) return;
    offer.hidden = false;
    const close = () => { offer.hidden = true; this.offering = false; };
    one("#take-up").addEventListener("click", () => { close(); this.ask({ text: before.text }); });
    one("#drop").addEventListener("click", () => { close(); localStorage.removeItem(this.kept); });
  }

  // --- saving -------------------------------------------------------------------------------------

  async settled() {
    while (this.asking || this.queue.length) await new Promise((done) => { setTimeout(done, 15); });
  }

  async save(seen = null) {
    await this.settled();
    try {
      await post(this.here("save"), { seen });
      trouble("");
      await this.again();
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      if (error.status === 409 && error.answer.lines) this.conflict(error.answer);
      else trouble(error.message);
    }
  }

  /** Under another name, and on with that one. */
  async saveAs() {
    const given = one("#other-name").value.trim();
    const other = given.endsWith(".toml") ? given : `${given}.toml`;
    await this.settled();
    try {
      const answer = await post(this.here("save-as"), { name: other });
      localStorage.removeItem(this.kept);
      location.href = encodeURIComponent(answer.name); // beside this one
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      one("#naming-message").textContent = error.message;
    }
  }

  async again() {
    this.take(await get(`${this.here("draft")}?part=${this.part}`));
    this.keep();
  }

  /** The file changed on the disk meanwhile: what differs, and which of the two is to stay. */
  conflict({ error, lines: differing, seen }) {
    const dialog = one("#conflict");
    one("#conflict-words").textContent = error;
    // of the lines that both have only those beside a difference
    const near = differing.map((_, k) => differing.slice(Math.max(0, k - BESIDE), k + BESIDE + 1)
      .some((each) => each.in !== "both"));
    one("#difference").replaceChildren(...differing.flatMap((each, k) => (near[k]
      ? [make("span", { class: each.in }, SIGNS[each.in] + each.text)]
      : k === 0 || near[k - 1] ? [make("span", { class: "both" }, "  …")] : [])));
    one("#keep-mine").onclick = () => { dialog.close(); this.save(seen); };
    one("#take-disk").onclick = () => { dialog.close(); this.discard(); };
    one("#neither").onclick = () => dialog.close();
    dialog.showModal();
  }

  async discard() {
    const answer = await tried(() => post(this.here("discard")));
    if (!answer) return;
    localStorage.removeItem(this.kept);
    this.waiting.clear();
    if (answer.name === null) location.href = `${page.base}/`;
    else await this.again();
  }
}
