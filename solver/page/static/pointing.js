// Pointing at the picture: a click on a strand locks its bar, a drag the bars it crosses, above a row those of all parts.

import { svg } from "./dom.js";

const REACH = 16; // how near a strand one must point, in the picture's units
const HEAD = 40; // height above a row in which all parts are meant
const STILL = 5; // pixels of movement that are still a click

export function point(picture) {
  const { over, layers, deeds } = picture;
  let begun = null;
  over.addEventListener("pointerdown", (event) => {
    if (event.button) return;
    const start = placeOf(picture, event);
    const parts = start && partsAt(picture, start);
    if (!parts?.length) return;
    begun = { parts, start, x: event.clientX, y: event.clientY, drag: false, touch: event.pointerType === "touch" };
    if (!begun.touch) over.setPointerCapture(event.pointerId);
  });
  over.addEventListener("pointermove", (event) => {
    if (!begun || begun.touch) return;
    if (Math.hypot(event.clientX - begun.x, event.clientY - begun.y) > STILL) begun.drag = true;
    if (begun.drag) choose(picture, begun, placeOf(picture, event, true));
  });
  over.addEventListener("pointercancel", () => {
    begun = null;
    layers.chosen.replaceChildren();
  });
  over.addEventListener("pointerup", (event) => {
    if (!begun) return;
    const { parts, start, drag } = begun;
    const end = drag ? placeOf(picture, event, true) : start;
    begun = null;
    layers.chosen.replaceChildren();
    if (end) deeds.lock(parts, picture.barOf(start.slot), picture.barOf(end.slot));
  });
}

// The row and slot under the pointer; with `near`, the nearest ones.
function placeOf({ view, over }, event, near = false) {
  const [left, top, width] = view.frame;
  const box = over.getBoundingClientRect();
  const scale = width / box.width;
  const x = (event.clientX - box.left) * scale + left;
  const y = (event.clientY - box.top) * scale + top;
  const { rows, slot_width: slot } = view;
  let row = rows.find((one) => y >= one.top - HEAD && y <= one.bottom + 6);
  if (!row && near) row = rows.reduce((a, b) => (away(b, y) < away(a, y) ? b : a));
  if (!row) return null;
  const at = Math.floor((x - row.left) / slot) + row.start;
  if (!near && (at < row.start || at >= row.end)) return null;
  return { row, y, slot: Math.min(Math.max(at, row.start), row.end - 1) };
}

function partsAt({ view, loop }, { row, y, slot }) {
  if (y < row.top) return loop.parts.map((part) => part.name);
  let best = null;
  for (const note of view.notes.filter((each) => each.row === view.rows.indexOf(row))) {
    const beside = Math.max(note.onset - slot, slot - note.onset - note.length, 0) * view.slot_width;
    const far = Math.hypot(beside / 3, note.y - y);
    if (far < (best?.far ?? REACH)) best = { part: note.part, far };
  }
  return best ? [best.part] : [];
}

function choose(picture, { parts, start }, end) {
  if (!end) return;
  const [from, to] = [picture.barOf(start.slot), picture.barOf(end.slot)].sort((a, b) => a - b);
  const boxes = parts.flatMap((part) => picture.boxes(part, from, to));
  picture.layers.chosen.replaceChildren(...boxes.map(({ row, ...box }) => svg("rect", { class: "choosing", rx: 8, ...box })));
}

function away(row, y) {
  return Math.max(row.top - y, y - row.bottom, 0);
}
