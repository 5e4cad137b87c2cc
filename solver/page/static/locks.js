// What is locked, as bars of parts: {part, bar, aspect}. Bars count from 1; the aspect is notes, rhythm or pitch.

export const ASPECTS = { notes: "notes", rhythm: "rhythm only", pitch: "pitches only" };

export function lockedBar(locks, part, bar) {
  return locks.find((lock) => lock.part === part && lock.bar === bar);
}

// Lock the bars of the parts, or unlock them where all of them are locked already.
export function toggled(locks, parts, from, to, aspect) {
  const wanted = parts.flatMap((part) => bars(from, to).map((bar) => ({ part, bar, aspect })));
  const all = wanted.every((lock) => lockedBar(locks, lock.part, lock.bar));
  const others = locks.filter((lock) => !lockedBar(wanted, lock.part, lock.bar));
  return all ? others : [...others, ...wanted];
}

// Stretches of neighbouring bars with one aspect: {part, from, to, aspect}, in the parts' order.
export function stretches(locks, parts) {
  const found = [];
  for (const part of parts) {
    const own = locks.filter((lock) => lock.part === part).sort((a, b) => a.bar - b.bar);
    for (const lock of own) {
      const last = found.at(-1);
      if (last && last.part === part && last.to === lock.bar - 1 && last.aspect === lock.aspect) last.to = lock.bar;
      else found.push({ part, from: lock.bar, to: lock.bar, aspect: lock.aspect });
    }
  }
  return found;
}

export function inWords(stretch, all) {
  const where = stretch.from === 1 && stretch.to === all ? "all bars" : barWords(stretch.from, stretch.to);
  return `${stretch.part}, ${where}${stretch.aspect === "notes" ? "" : `, ${ASPECTS[stretch.aspect]}`}`;
}

export function barWords(from, to) {
  return from === to ? `bar ${from}` : `bars ${from} to ${to}`;
}

// As the command line writes locks.
export function expression(stretch) {
  const range = stretch.from === stretch.to ? `${stretch.from}` : `${stretch.from}-${stretch.to}`;
  return `${stretch.part}:${range}${stretch.aspect === "notes" ? "" : `:${stretch.aspect}`}`;
}

// What an expression locks: the reverse of `expression`.
export function read(words, all) {
  const [part, ...others] = words.split(":");
  const range = others.find((other) => /^\d/.test(other));
  const [from, to] = range ? range.split("-").map(Number) : [1, all];
  const aspect = others.find((other) => other in ASPECTS) ?? "notes";
  return bars(from, to ?? from).map((bar) => ({ part, bar, aspect }));
}

function bars(from, to) {
  const [low, high] = from <= to ? [from, to] : [to, from];
  return Array.from({ length: high - low + 1 }, (_, index) => low + index);
}
