// One field of the form: the key, an input that suits its kind, its meaning, its default, and what is wrong with it.

import { el, words } from "./dom.js";
import { midiPicker } from "./picker.js";

// `change(value, kind)` is told of a new value: undefined text means that the key is left out.
export function field(each, at, value, change) {
  const id = `f-${at.join("-").replace(/[^\w-]/g, "_")}`;
  const wrong = el("p", { class: "wrong", id: `${id}-wrong` });
  const hint = el("span", { class: "hint" });
  const meaning = el("p", { class: "meaning", id: `${id}-meaning` }, words(each.meaning ?? ""));
  const inputs = inputsOf(each, id, value, change);
  for (const input of inputs) input.setAttribute("aria-describedby", `${id}-meaning ${id}-wrong`);
  const label = el("label", { for: id }, each.label ?? each.key.replaceAll("_", " "), each.required && el("span", { class: "soft" }, " (must be given)"));
  const node = el("div", { class: `field ${each.kind}` }, label, el("span", { class: "inputs" }, inputs), pickerOf(each, id, inputs[0], change), hint, meaning, wrong);
  return {
    node,
    clear() {
      wrong.textContent = "";
      node.classList.remove("bad");
      for (const input of inputs) input.removeAttribute("aria-invalid");
    },
    wrong(text) {
      wrong.textContent = wrong.textContent ? `${wrong.textContent} ${text}` : text;
      node.classList.add("bad");
      for (const input of inputs) input.setAttribute("aria-invalid", "true");
    },
    hint(now) {
      const left = inputs.every((input) => input.value === "");
      const chosen = each.choice_words?.[left ? now : inputs[0].value];
      const shown = left && !each.required ? ["default: ", ...words(now ?? each.default)] : [];
      hint.replaceChildren(...shown, shown.length && chosen ? ", " : "", chosen ?? "");
    },
  };
}

// A line of one's own or a reference may be a file from elsewhere: the workspace keeps a copy.
function pickerOf(each, id, input, change) {
  const one = each.kind === "MIDI file";
  if (!one && each.kind !== "MIDI files") return "";
  return midiPicker(`${id}-file`, one ? "Choose a MIDI file" : "Add a MIDI file", "midi", (kept) => {
    const files = one ? kept.path : inline([...parsed(input.value), kept.path]);
    input.value = files;
    change(files, one ? undefined : "toml");
  });
}

// Strings of a list in TOML, as far as it is written like one in JSON.
function parsed(list) {
  try {
    const found = JSON.parse(list || "[]");
    return Array.isArray(found) ? found : [found];
  } catch {
    return [];
  }
}

function inputsOf(each, id, value, change) {
  const text = (write, shown, more = {}) =>
    el("input", { id, value: shown, placeholder: plainExample(each), autocomplete: "off", spellcheck: "false", oninput: (event) => write(event.target.value.trim()), ...more });
  const shown = shownValue(each.kind, value);
  switch (each.kind) {
    case "choice":
      return [
        el(
          "select",
          { id, onchange: (event) => change(event.target.value || null) },
          el("option", { value: "" }, "by default"),
          each.choices.map((choice) => el("option", { value: choice, selected: choice === value }, choice)),
          value !== undefined && !each.choices.includes(value) ? el("option", { value: String(value), selected: true }, String(value)) : [],
        ),
      ];
    case "truth":
      return [
        el(
          "select",
          { id, onchange: (event) => change(event.target.value ? event.target.value === "true" : null) },
          ["", "true", "false"].map((choice) => el("option", { value: choice, selected: choice === String(value ?? "") }, choice || "by default")),
        ),
      ];
    case "pair": {
      const [least, most] = Array.isArray(value) ? value : ["", ""];
      const made = [least, most].map((number, index) =>
        el("input", { id: index ? `${id}-most` : id, value: `${number ?? ""}`, inputmode: "numeric", size: 4, autocomplete: "off", "aria-label": `${each.key.replaceAll("_", " ")}, ${index ? "most" : "fewest"}`, oninput: () => write() }),
      );
      const write = () => {
        const typed = made.map((input) => input.value.trim());
        change(typed.every((one) => !one) ? null : typed.map(numberOrText));
      };
      return made;
    }
    case "words":
      return [text((typed) => change(typed ? typed.split(/[\s,]+/).filter(Boolean) : null), shown)];
    case "number":
      return [text((typed) => change(typed ? numberOrText(typed) : null), shown, { inputmode: "decimal" })];
    case "number or text":
      return [text((typed) => change(typed ? numberOrText(typed) : null), shown)];
    case "numbers":
      return [text((typed) => change(listOrOne(typed.split(/[\s,]+/).filter(Boolean).map(numberOrText))), shown)];
    case "tuning":
      return [text((typed) => change(/^[A-Ga-g][#b]?-?\d/.test(typed) ? typed.split(/[\s,]+/).filter(Boolean) : typed || null), shown)];
    case "toml":
    case "MIDI files":
      return [text((typed) => change(typed || null, typed ? "toml" : undefined), shown)];
    default:
      return [text((typed) => change(typed || null), shown)];
  }
}

// A value of the brief as its field shows it.
export function shownValue(kind, value) {
  if (value === undefined || value === null) return "";
  if (kind === "words" || kind === "tuning") return Array.isArray(value) ? value.join(" ") : String(value);
  if (kind === "numbers") return Array.isArray(value) ? value.join(", ") : String(value);
  if (typeof value === "object") return inline(value);
  return String(value);
}

function inline(value) {
  if (Array.isArray(value)) return `[${value.map(inline).join(", ")}]`;
  if (typeof value === "object") return `{ ${Object.entries(value).map(([key, item]) => `${key} = ${inline(item)}`).join(", ")} }`;
  return JSON.stringify(value);
}

function plainExample(each) {
  const example = each.example ?? "";
  if (each.kind === "toml" || each.kind === "MIDI files") return example;
  return example.replaceAll(/["[\]]/g, "").replaceAll(/,\s*/g, each.kind === "words" || each.kind === "tuning" ? " " : ", ");
}

function numberOrText(typed) {
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(typed) ? Number(typed) : typed;
}

function listOrOne(numbers) {
  return numbers.length === 0 ? null : numbers.length === 1 ? numbers[0] : numbers;
}
