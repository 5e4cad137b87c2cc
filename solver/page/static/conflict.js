// Why nothing could be found, line by line, and what would help, as buttons that do it.

import { trying } from "./alerts.js";
import { get, path, send } from "./api.js";
import { el, plural } from "./dom.js";
import { solve } from "./solve.js";

// `deeds.watch(job)` looks on at a new job, `deeds.relock(words)` replaces what is locked.
export function conflict(job, deeds) {
  return el(
    "section",
    { class: "conflict", role: "alert", "aria-label": "What cannot hold together" },
    el("h2", {}, "This cannot hold together"),
    el("p", {}, `${sentence(job.message)}.`),
    ...job.conflicts.map((each) => one(job, each, deeds, job.conflicts.length > 1)),
    el("button", { class: "plain", onclick: () => deeds.dismiss() }, "Leave it as it is"),
  );
}

function one(job, { lines, where, rules, rhythms, every_rhythm: every, repairs }, deeds, several) {
  const place = where ? ` in bar ${where.bar}, beat ${where.beat}` : "";
  const proof = !rhythms ? "in any rhythm" : every ? `in any of its ${plural(rhythms, "rhythm")}` : `in each of ${plural(rhythms, "rhythm")} tried`;
  const by = rules?.length ? `. What meets there: ${rules.join("; ")}.` : ".";
  const helps = several ? "Any one of these helps, together with one for each other conflict:" : "Any one of these helps:";
  return el(
    "div",
    { class: "clash" },
    el("ul", {}, lines.map((line) => el("li", {}, line.line ? `Line ${line.line}: ` : "", el("code", {}, line.words)))),
    el("p", { class: "soft" }, `${lines.length > 1 ? "They collide" : "It cannot hold"}${place}, ${proof}${by}`),
    repairs.length ? el("p", {}, helps) : el("p", {}, "No small change was found that helps; loosen one of these lines."),
    el("div", { class: "row repairs" }, repairs.map((repair) => el("button", { onclick: () => trying(() => apply(job, repair, deeds)) }, sentence(repair.words)))),
  );
}

async function apply(job, repair, deeds) {
  const { order } = job;
  if (order.take) {
    const locks = repair.locks ?? order.locks;
    const changes = repair.key ? [...order.changes, `${repair.key} = ${JSON.stringify(repair.value)}`] : order.changes;
    if (repair.locks) deeds.relock(repair.locks);
    return deeds.watch(await solve({ ...order, locks, changes }));
  }
  const brief = await get(path("briefs", order.brief));
  const changes = [{ path: repair.key.split("."), value: repair.value }];
  const made = await send("POST", path("briefs", order.brief, "judge"), { text: brief.text, changes });
  await send("PUT", path("briefs", order.brief), { text: made.text, version: brief.version });
  return deeds.watch(await solve({ brief: order.brief }));
}

function sentence(words) {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
