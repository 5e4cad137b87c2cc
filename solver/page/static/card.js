// The merit card: what the total is made of; where two are compared, both.

import { el } from "./dom.js";

export function card(view, other, growing) {
  return el(
    "section",
    { "aria-label": "Merits" },
    el("h2", {}, `${view.total.toFixed(1)} of 100`),
    other && el("p", { class: "soft" }, `The other has ${other.total.toFixed(1)}.`),
    el("p", {}, el("span", { class: "proof" }, growing ? "so far: the search in this rhythm goes on" : view.proof)),
    view.summary && el("p", {}, view.summary),
    listed("Locked notes alone break these rules, which is excused:", view.excused),
    listed("Nearest to what it keeps clear of:", view.nearest),
    view.similarity && el("p", { class: "soft small" }, view.similarity),
    el("ul", { class: "merits" }, view.marks.map((mark) => row(mark, other?.marks.find((each) => each.merit === mark.merit)))),
    el("p", { class: "soft small" }, "The total is a checklist and no forecast of what people like. Listen, then choose."),
  );
}

function listed(heading, lines) {
  return lines.length > 0 && el("div", { class: "small" }, el("p", {}, heading), el("ul", {}, lines.map((line) => el("li", {}, line))));
}

function row(mark, other) {
  const fill = el("span");
  fill.style.width = `${mark.points}%`;
  const notch = other && el("i");
  if (notch) notch.style.left = `${other.points}%`;
  const meter = el("span", { class: "track", "aria-hidden": "true" }, fill, notch);
  return el(
    "li",
    {},
    el(
      "details",
      { "data-merit": mark.merit },
      el(
        "summary",
        {},
        el("span", { class: "merit" }, mark.merit),
        meter,
        el("span", { class: "points" }, `${mark.points}`, other && el("span", { class: "soft" }, ` / ${other.points}`)),
      ),
      el("p", { class: "soft" }, `${mark.sentence} ${mark.share} % of the total.`),
    ),
  );
}
