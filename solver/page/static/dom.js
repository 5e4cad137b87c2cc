// Building elements without a framework, and without ever turning text into markup.

export function el(tag, props = {}, ...children) {
  const made = document.createElement(tag);
  apply(made, props);
  made.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== false));
  return made;
}

const SVG = "http://www.w3.org/2000/svg";

export function svg(tag, props = {}, ...children) {
  const made = document.createElementNS(SVG, tag);
  apply(made, props);
  made.append(...children);
  return made;
}

function apply(made, props) {
  for (const [name, value] of Object.entries(props)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else if (name === "value" || name === "checked" || name === "selected") made[name] = value;
    else made.setAttribute(name, value === true ? "" : value);
  }
}

// Put something new in the place of something alike: what had the focus has it again, what was unfolded stays so.
export function renew(place, ...made) {
  const reached = () => [...place.querySelectorAll("a, button, input, summary")];
  const focus = reached().indexOf(document.activeElement);
  const unfolded = new Set([...place.querySelectorAll("details[open]")].map((each) => each.dataset.merit));
  place.replaceChildren(...made);
  for (const each of place.querySelectorAll("details")) each.open = unfolded.has(each.dataset.merit);
  if (focus >= 0) reached()[focus]?.focus({ preventScroll: true });
}

// A picture that the server drew; its ids must differ from those of other pictures on the page.
export function drawing(text, prefix) {
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  for (const item of parsed.querySelectorAll("[id]")) item.id = prefix + item.id;
  for (const name of ["fill", "clip-path"]) {
    for (const item of parsed.querySelectorAll(`[${name}^="url(#"]`)) {
      item.setAttribute(name, item.getAttribute(name).replace("url(#", `url(#${prefix}`));
    }
  }
  return document.importNode(parsed, true);
}

export function plural(count, word) {
  return count === 1 ? `1 ${word}` : `${count} ${word}s`;
}

// Words with `code` in backticks, as the schema writes them.
export function words(text) {
  return text.split("`").map((piece, index) => (index % 2 ? el("code", {}, piece) : piece));
}

export function later(milliseconds, run) {
  let timer = 0;
  return (...given) => {
    clearTimeout(timer);
    timer = setTimeout(() => run(...given), milliseconds);
  };
}
