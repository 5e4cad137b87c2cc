// A question with a few answers, in the browser's own dialog, which keeps the keyboard inside.

import { el } from "./dom.js";

export function ask(question, answers) {
  return new Promise((resolve) => {
    const buttons = answers.map(([words, value]) => el("button", { value: value ?? "" }, words));
    const form = el("form", { method: "dialog" }, el("p", { id: "question" }, question), el("div", { class: "row" }, buttons));
    const dialog = el("dialog", { "aria-labelledby": "question" }, form);
    dialog.addEventListener("close", () => {
      dialog.remove();
      resolve(dialog.returnValue || undefined);
    });
    document.body.append(dialog);
    dialog.showModal();
  });
}

export function whichFirst(running) {
  return ask(`${running[0].brief} is being solved. What about this one?`, [
    ["Let it wait its turn", "queue"],
    ["Stop the other, keep what it has, and begin", "replace"],
    ["Do not solve", null],
  ]);
}
