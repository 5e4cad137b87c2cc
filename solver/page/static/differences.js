// What two arrangements have differently, note by note.

export function without(notes, others) {
  const known = new Set(others.map(key));
  return notes.filter((note) => !known.has(key(note)));
}

function key(note) {
  return [note.part, note.onset, note.pitch].join(" ");
}

// Another arrangement's notes at their places in this one's picture, whose heights may differ.
export function placed(notes, view) {
  const [low, high] = [view.notes[0], view.notes.find((note) => note.pitch !== view.notes[0].pitch && note.row === view.notes[0].row)];
  if (!high) return [];
  const step = (high.y - low.y) / (high.pitch - low.pitch);
  return notes.flatMap((note) => {
    const index = view.rows.findIndex((row) => row.start <= note.onset && note.onset < row.end);
    const row = view.rows[index];
    const first = view.notes.find((each) => each.row === index) ?? low;
    const part = view.loop.parts.some((each) => each.name === note.part);
    if (!row || !part) return [];
    const y = first.y + (note.pitch - first.pitch) * step;
    return [{ ...note, x: row.left + (note.onset - row.start) * view.slot_width, y }];
  });
}
