// The folder: files to open, a new one to begin, and work that this browser kept.

import { all, make, one, page, post, Refusal, tried } from "./common.js";

one("#new")?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const given = one("#new-name").value.trim();
  const name = given.endsWith(".toml") ? given : `${given}.toml`;
  const kind = event.submitter.value;
  try {
    const answer = await post("api/new", { name, kind, units: one("#new-units").value });
    const sort = { travel: "setup", shop: "shop" }[kind] || "bracket";
    location.href = `${page.base}/${sort}/${encodeURIComponent(answer.name)}`;
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    one("#new-message").textContent = error.message;
    one("#new-name").focus();
  }
});

/** New files that were never saved, and that the program no longer has. */
function offerKept() {
  const there = all("main a b").map((each) => each.textContent);
  const lost = Object.keys(localStorage).filter((each) => each.startsWith("platewright "))
    .map((each) => each.slice("platewright ".length)).filter((each) => !there.includes(each));
  if (!lost.length || !page.canWrite) return;
  one("#kept").hidden = false;
  one("#kept").replaceChildren("This browser kept work that was never saved: ", ...lost.map((name) => {
    const button = make("button", { type: "button" }, name);
    button.addEventListener("click", () => takeUp(name));
    return button;
  }));
}

async function takeUp(name) {
  const { text } = JSON.parse(localStorage.getItem(`platewright ${name}`));
  const kind = /^\s*kind\s*=\s*"([a-z]+)"/m.exec(text)?.[1] || "travel";
  const begun = await tried(() => post("api/new", { name, kind, units: "in" }));
  if (!begun) return;
  await tried(() => post(`api/draft/${encodeURIComponent(name)}`, { serial: 0, part: 1, text }));
  location.href = `${page.base}/${kind === "travel" ? "setup" : "bracket"}/${encodeURIComponent(name)}`;
}

offerKept();
