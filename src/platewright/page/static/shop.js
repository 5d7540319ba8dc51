// The page of a shop's own figures: its form alone.

import { one, told } from "./common.js";
import { Draft } from "./draft.js";
import { Fields } from "./fields.js";

const fields = new Fields([one("#measure")], {
  send: (edits) => draft.send(edits), lit: () => {},
});
const draft = new Draft(document.body.dataset.name, 1, {
  show: (state) => fields.show(state), waiting: fields.waiting,
});
draft.take(told("state"));
