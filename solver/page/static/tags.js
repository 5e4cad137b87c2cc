// The arrangements of a take, hung on a cord, best first.

import { el } from "./dom.js";

export function tags(loops, take, number, deeds) {
  const remarks = loops.takes.find((each) => each.name === take)?.remarks ?? {};
  const items = loops.list.map((entry, index) => {
    const here = entry.number === number;
    const compared = loops.other?.take === take && loops.other.number === entry.number;
    const favourite = remarks[entry.number]?.favourite;
    return el(
      "li",
      { class: `tag${here ? " here" : ""}${compared ? " other" : ""}` },
      el(
        "button",
        { class: "tag-name", "aria-pressed": here ? "true" : "false", onclick: () => deeds.open(entry.number) },
        el("b", {}, `${index + 1}`),
        ` ${entry.total.toFixed(1)}`,
        entry.final === false && el("span", { class: "growing" }, " so far"),
        favourite && el("span", { class: "fav" }, " favourite"),
      ),
      !here &&
        el(
          "button",
          { class: "plain", "aria-pressed": compared ? "true" : "false", "aria-label": `${compared ? "compared" : "compare"} with arrangement ${index + 1}`, onclick: () => deeds.compare(entry.number) },
          compared ? "compared" : "compare",
        ),
    );
  });
  const label = take.startsWith("job-") ? "Found so far, best first" : `Arrangements of ${take}, best first`;
  return el("nav", { "aria-label": label }, el("p", { class: "soft" }, label), el("ol", { class: "cord" }, items), loops.remarks.get(take) && el("p", { class: "soft" }, `${loops.remarks.get(take)}.`));
}
