// Whether somebody is in the middle of a press: what is redrawn between press and release would swallow the click.

let pressed = false;
const waiting = [];

function release() {
  pressed = false;
  // The click comes right after the release; what waits comes after the click.
  setTimeout(() => {
    if (!pressed) for (const go of waiting.splice(0)) go();
  });
}

addEventListener("pointerdown", () => (pressed = true), true);
addEventListener("keydown", (event) => event.key === " " && event.target.tagName === "BUTTON" && (pressed = true), true);
for (const kind of ["pointerup", "pointercancel", "keyup", "dragend"]) addEventListener(kind, release, true);
addEventListener("blur", release); // of the window: what happens elsewhere is not heard here

// Resolves once nothing is pressed, at once where nothing is.
export function atRest() {
  return pressed ? new Promise((go) => waiting.push(go)) : Promise.resolve();
}
