// Laying the folder's parts on sheets: one search at a time, watched.

import { all, fileLinks, get, lines, one, post, tried } from "./common.js";

let job = null;
const given = (id) => one(`#${id}`).value.trim();
const ticked = (name) => all(`[name="${name}"]:checked`).map((each) => each.value);

one("#nest").addEventListener("submit", async (event) => {
  event.preventDefault();
  one("#made").replaceChildren();
  lines(one("#lines"), []);
  one("#write")?.setAttribute("hidden", "");
  const asked = {
    files: ticked("file"), remnants: ticked("remnant"), units: given("units"),
    sheets: given("sheets").split(/[,;]/).map((each) => each.trim()).filter(Boolean),
  };
  for (const each of ["gap", "margin"]) if (given(each)) asked[each] = given(each);
  if (given("tries")) asked.tries = Number(given("tries"));
  const answer = await tried(() => post("api/nest", asked));
  if (!answer) return;
  ({ job } = answer);
  one("#begin").disabled = true;
  one("#stop").disabled = false;
  one("#share").hidden = false;
  watch();
});

async function watch() {
  for (;;) {
    const seen = await tried(() => get(`api/nest/${job}`));
    if (!seen) break;
    one("#share").value = seen.share;
    one("#words").textContent = seen.state === "running"
      ? `${Math.round(seen.share * 100)} %${seen.best ? `; best so far: ${seen.best}` : ""}`
      : seen.state === "failed" ? `It could not be laid: ${seen.error}` : "Laid.";
    if (seen.state !== "running") {
      lines(one("#lines"), seen.lines || []);
      fileLinks(one("#made"), seen.files || []);
      one("#share").hidden = true;
      if (seen.state === "done") one("#write")?.removeAttribute("hidden");
      break;
    }
    await new Promise((done) => { setTimeout(done, 300); });
  }
  one("#begin").disabled = false;
  one("#stop").disabled = true;
}

one("#stop").addEventListener("click", () => tried(() => post(`api/nest/${job}/stop`)));
one("#write")?.addEventListener("click", async () => {
  const answer = await tried(() => post(`api/nest/${job}/write`, { overwrite: false }));
  if (answer) one("#words").textContent = `Wrote ${answer.wrote.join(", ")}.`;
});
