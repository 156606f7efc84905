// Makes the buttons and fields of the sheet, each wide enough for a wet thumb.
"use strict";
(() => {
  let last = 0;
  sitebook.element = (name, className, text) => {
    const made = document.createElement(name);
    if (className) made.className = className;
    if (text !== undefined) made.textContent = text;
    return made;
  };
  sitebook.button = (text, className, tapped) => {
    const made = sitebook.element("button", className, text);
    made.type = "button";
    if (tapped) made.addEventListener("click", tapped);
    return made;
  };

  // Buttons of which one is pressed at most; a second tap takes it back where nothing may be chosen.
  sitebook.chips = (label, choices, { value = null, optional = true, changed = () => {} } = {}) => {
    const box = sitebook.element("fieldset", "field");
    const row = sitebook.element("div", "chips");
    let chosen = value;
    const show = () => {
      for (const chip of row.children) chip.setAttribute("aria-pressed", String(chip.dataset.value === chosen));
    };
    for (const [word, shown, meaning] of choices) {
      const chip = sitebook.button(shown || word, "chip", () => {
        chosen = chosen === word && optional ? null : word;
        show();
        changed(chosen);
      });
      chip.dataset.value = word;
      if (meaning) chip.title = meaning;
      row.append(chip);
    }
    box.append(sitebook.element("legend", "", label), row);
    show();
    return { box, get: () => chosen, set: (word) => ((chosen = word), show()) };
  };

  // Buttons of which any number may be pressed.
  sitebook.marks = (label, choices, value) => {
    const box = sitebook.element("fieldset", "field");
    const row = sitebook.element("div", "chips");
    const chosen = new Set(value);
    for (const [word, shown] of choices) {
      const chip = sitebook.button(shown, "chip", () => {
        if (!chosen.delete(word)) chosen.add(word);
        chip.setAttribute("aria-pressed", String(chosen.has(word)));
      });
      chip.setAttribute("aria-pressed", String(chosen.has(word)));
      row.append(chip);
    }
    box.append(sitebook.element("legend", "", label), row);
    return { box, get: () => choices.map(([word]) => word).filter((word) => chosen.has(word)) };
  };

  sitebook.field = (label, { type = "text", mode, value = "", hint, wide = false } = {}) => {
    const box = sitebook.element("div", "field");
    const name = sitebook.element("label", "", label);
    const input = sitebook.element(wide ? "textarea" : "input");
    if (!wide) input.type = type;
    if (wide) input.rows = 2;
    if (mode) input.inputMode = mode;
    if (hint) input.placeholder = hint;
    input.autocomplete = "off";
    input.value = value === null || value === undefined ? "" : value;
    input.id = `field-${(last += 1)}`;
    name.htmlFor = input.id;
    box.append(name, input);
    const get = () => input.value.trim();
    return { box, input, get, set: (text) => (input.value = text === null || text === undefined ? "" : text) };
  };

  // A whole number with a button on either side.
  sitebook.stepper = (label, { value = null, lowest = 1, empty = true } = {}) => {
    const made = sitebook.field(label, { mode: "numeric", value });
    const row = sitebook.element("div", "stepper");
    const step = (by) => {
      const now = parseInt(made.get(), 10);
      const next = Number.isNaN(now) ? lowest : now + by;
      made.set(next < lowest ? (empty ? "" : lowest) : next);
    };
    const less = sitebook.button("−", "", () => step(-1));
    const more = sitebook.button("+", "", () => step(1));
    less.setAttribute("aria-label", `${label}: one less`);
    more.setAttribute("aria-label", `${label}: one more`);
    row.append(less, made.input, more);
    made.box.append(row);
    return made;
  };

  // A number as she writes it, comma or point; null for none, undefined for what cannot be.
  sitebook.number = (text, lowest, highest, whole) => {
    if (!text) return null;
    const value = Number(text.replace(",", "."));
    const fits = Number.isFinite(value) && value >= lowest && value <= highest && (!whole || Number.isInteger(value));
    return fits ? value : undefined;
  };

  const two = (number) => String(number).padStart(2, "0");
  sitebook.day = (when) => `${when.getFullYear()}-${two(when.getMonth() + 1)}-${two(when.getDate())}`;
  sitebook.hour = (when) => `${two(when.getHours())}:${two(when.getMinutes())}`;
  sitebook.stamp = (day, hour) => {
    const when = new Date(`${day}T${hour}:00`);
    if (Number.isNaN(when.getTime())) return null;
    const east = -when.getTimezoneOffset();
    const sign = east < 0 ? "-" : "+";
    return `${day}T${hour}:00${sign}${two(Math.floor(Math.abs(east) / 60))}:${two(Math.abs(east) % 60)}`;
  };
  sitebook.pane = (name) => document.querySelector(`[data-pane="${name}"]`);
  sitebook.open = (name) => {
    document.querySelector(".app").dataset.open = name;
    for (const button of document.querySelectorAll(".dock button")) {
      button.setAttribute("aria-current", String(button.dataset.show === name));
    }
    const app = document.querySelector(".app");
    window.scrollTo(0, name === "places" ? 0 : app.offsetTop);
    const head = sitebook.pane(name).querySelector("h2");
    if (head) head.focus({ preventScroll: true });
  };
  sitebook.head = (text) => {
    const made = sitebook.element("h2", "", text);
    made.tabIndex = -1;
    return made;
  };
  sitebook.say = (text) => {
    document.getElementById("said").textContent = text;
  };
})();
