// What every page needs: asking the server, finding and making elements.

const { base, pageKey } = document.body.dataset;

export const page = { base, canWrite: document.body.dataset.write === "yes" };
export const one = (selector, inside = document) => inside.querySelector(selector);
export const all = (selector, inside = document) => [...inside.querySelectorAll(selector)];
export const told = (id) => JSON.parse(one(`#${id}`).textContent);

/** An element with attributes and what stands in it. */
export function make(name, attributes = {}, ...inside) {
  const made = document.createElement(name);
  for (const [attribute, value] of Object.entries(attributes)) {
    if (value === true) made.setAttribute(attribute, "");
    else if (value !== false && value !== null && value !== undefined) made.setAttribute(attribute, value);
  }
  made.append(...inside);
  return made;
}

export class Refusal extends Error {
  constructor(status, answer) {
    super(answer.error || "the page does not answer");
    this.status = status;
    this.answer = answer;
  }
}

async function answered(asked) {
  let response;
  try {
    response = await asked;
  } catch {
    throw new Refusal(0, { error: "the page's program has ended: start it again, this browser keeps your work" });
  }
  let answer = {};
  try { answer = await response.json(); } catch { /* no words came */ }
  if (!response.ok) throw new Refusal(response.status, answer);
  return answer;
}

export const get = (path) => answered(fetch(`${base}/${path}`));

export const post = (path, body = {}) => answered(fetch(`${base}/${path}`, {
  method: "POST",
  headers: { "Content-Type": "application/json", "X-Page-Key": pageKey },
  body: JSON.stringify(body),
}));

/** Says what went wrong at the top of the page; "" takes it away. */
export function trouble(words) {
  const line = one("#trouble");
  line.textContent = words;
  line.hidden = !words;
  if (words) line.scrollIntoView({ block: "nearest" });
}

/** Does something and says what went wrong. */
export async function tried(work) {
  try {
    const answer = await work();
    trouble("");
    return answer;
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    trouble(error.message);
    return null;
  }
}

export const lines = (list, words) => list.replaceChildren(...words.map((each) => make("li", {}, each)));

/** The files of an answer as links: what each is, in words. */
export function fileLinks(list, files) {
  const known = [
    [/-template\.pdf$/, "Template", "Open it and print it at 100 %, not “fit to page”; then lay a tape on its check bars."],
    [/-check\.pdf$/, "Check sheet", "Print it at 100 %."],
    [/-torch\.dxf$/, "Torch path alone, DXF", "The kerf is in it: switch the table’s own compensation off."],
    [/\.dxf$/, "DXF for the table", "Cut TORCH-PATH with the table’s own compensation off, or NET-PROFILE with it on. Never both."],
    [/-view\.svg$/, "View", "The finished bracket."],
    [/-card\.svg$/, "Card pattern, SVG", "For a cutter that takes card."],
    [/-plate\.svg$/, "Plate pattern, SVG", "The flat plate at true scale."],
    [/\.pdf$/, "Sheet, PDF", "Print it at 100 %."],
    [/./, "File", ""],
  ];
  list.replaceChildren(...files.map((file) => {
    const [, what, how] = known.find(([ending]) => ending.test(file.name));
    return make("li", {}, make("a", { href: file.address, target: "_blank", rel: "noopener" },
      make("b", {}, `${what}: ${file.name}`), how));
  }));
}

/** Waits until nothing new was asked for some time, then does the newest. */
export function quietly(wait, work) {
  let timer = 0;
  return (...given) => {
    clearTimeout(timer);
    timer = setTimeout(() => work(...given), wait);
  };
}
