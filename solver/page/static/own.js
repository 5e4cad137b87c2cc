// One's own words about an arrangement: a favourite mark and a short note, kept in the take.

import { trying } from "./alerts.js";
import { send } from "./api.js";
import { el } from "./dom.js";

export function own(loops) {
  const { take, number } = loops.shown;
  if (take.startsWith("job-")) {
    return el("p", { class: "soft small" }, "A favourite mark and a note can be given once the take is written.");
  }
  const row = loops.takes.find((each) => each.name === take);
  const now = row?.remarks?.[number] ?? { favourite: false, note: "" };
  const write = (change) =>
    trying(async () => {
      try {
        const made = await send("PUT", `${loops.base(loops.shown)}/remark`, change);
        if (row) row.remarks = { ...row.remarks, [number]: made };
      } catch (problem) {
        if (problem.status === 409) problem.message += `; you wrote: ${change.note}`;
        if (problem.status === 409 && row) row.remarks = { ...row.remarks, [number]: { ...now, note: problem.facts.note } };
        throw problem;
      } finally {
        loops.refreshRemarks();
      }
    });
  const note = el("input", {
    id: "own-note",
    maxlength: "500",
    value: now.note,
    placeholder: "such as: for the second verse",
    onchange: (event) => write({ note: event.target.value, was: now.note }),
  });
  return el(
    "section",
    { "aria-label": "Your own words", class: "own-words" },
    el(
      "button",
      { class: "favourite", "aria-pressed": now.favourite ? "true" : "false", onclick: () => write({ favourite: !now.favourite }) },
      now.favourite ? "A favourite" : "Mark as a favourite",
    ),
    el("label", { for: "own-note" }, "Your note"),
    note,
  );
}
