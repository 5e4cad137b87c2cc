// The family of a brief's takes: which came from which arrangement, and a way back to every one.

import { el, plural } from "./dom.js";

export function family(loops) {
  if (!loops.takes.length) return el("div");
  const byParent = Map.groupBy ? Map.groupBy(loops.takes, parentOf) : grouped(loops.takes);
  const names = new Set(loops.takes.map((take) => take.name));
  const roots = loops.takes.filter((take) => !take.parent || !names.has(take.parent.take));
  return el(
    "section",
    { "aria-label": "Family of takes" },
    el("h2", {}, "Takes"),
    el("ul", { class: "kin" }, roots.map((take) => entry(loops, take, byParent))),
  );
}

function entry(loops, take, byParent) {
  const children = byParent.get(take.name) ?? [];
  const here = loops.shown?.take === take.name;
  if (take.broken) return el("li", {}, el("span", {}, `${take.name} cannot be read: ${take.broken}`));
  const favourites = take.arrangements.filter((each) => take.remarks?.[each.number]?.favourite);
  const from = take.parent ? `from ${take.parent.number} of ${take.parent.take}` : `from ${take.midi ?? "the brief"}`;
  const kept = [
    take.locks.length ? `, kept ${take.locks.join(", ")}` : "",
    take.changes.length ? `, changed ${take.changes.join(", ")}` : "",
    take.kind ? `, ${take.kind === "like" ? "of its kind" : "of another kind"}` : "",
  ].join("");
  const open = () => loops.open(take.name, take.arrangements[0].number);
  return el(
    "li",
    {},
    el("button", { class: "plain", "aria-current": here ? "true" : null, onclick: open }, take.name),
    el("span", { class: "soft" }, ` ${from}${kept}; ${plural(take.arrangements.length, "arrangement")}, best ${take.arrangements[0].total.toFixed(1)}`),
    ...favourites.map((each) => {
      const note = take.remarks[each.number].note;
      const words = `favourite ${take.arrangements.indexOf(each) + 1}${note ? `: ${note}` : ""}`;
      return el("button", { class: "plain fav", onclick: () => loops.open(take.name, each.number) }, words);
    }),
    children.length ? el("ul", {}, children.map((child) => entry(loops, child, byParent))) : null,
  );
}

function parentOf(take) {
  return take.parent?.take;
}

function grouped(takes) {
  const groups = new Map();
  for (const take of takes) groups.set(parentOf(take), [...(groups.get(parentOf(take)) ?? []), take]);
  return groups;
}
