// What a plain field becomes for hands: a rail beside a figure, a tooth to touch.

// people write decimals with a comma or a point
const figure = (text) => Number(text.trim().replace(",", "."));

function tell(field) {
  field.dispatchEvent(new Event("input", { bubbles: true }));
}
function settle(field) {
  field.dispatchEvent(new Event("change", { bubbles: true }));
}

function railFor(field, low, high, step) {
  const rail = document.createElement("input");
  rail.type = "range";
  rail.id = `${field.id}-rail`;
  [rail.min, rail.max, rail.step] = [low, high, step];
  const label = field.labels[0];
  rail.setAttribute("aria-label", label ? label.textContent.trim() : field.name);
  field.after(rail);
  return rail;
}

// a rail over a figure; the figure may still be typed, also beyond its ends
function overFigure(field) {
  const [low, high, step] = field.dataset.rail.split(" ").map(Number);
  const rail = railFor(field, low, high, step);
  const digits = Math.max(0, Math.ceil(-Math.log10(step) - 1e-9));
  const follow = () => {
    const now = figure(field.value);
    if (Number.isFinite(now)) rail.value = now;
    rail.setAttribute("aria-valuetext", field.value);
  };
  rail.addEventListener("input", (event) => {
    event.stopPropagation();
    field.value = String(Number(Number(rail.value).toFixed(digits)));
    rail.setAttribute("aria-valuetext", field.value);
    tell(field);
  });
  rail.addEventListener("change", (event) => {
    event.stopPropagation();
    settle(field);
  });
  field.addEventListener("input", follow);
  follow();
}

// a rail that snaps to what there is to choose from
function overChoices(field) {
  const rail = railFor(field, 0, field.options.length - 1, 1);
  const follow = () => {
    rail.value = field.selectedIndex;
    rail.setAttribute("aria-valuetext", field.selectedOptions[0]?.textContent ?? "");
  };
  rail.addEventListener("input", (event) => {
    event.stopPropagation();
    field.selectedIndex = Number(rail.value);
    follow();
    tell(field);
  });
  rail.addEventListener("change", (event) => {
    event.stopPropagation();
    settle(field);
  });
  field.addEventListener("change", follow);
  follow();
}

// a drawn flank: touched where the pattern lies, it says how far up the profile that is
function overTooth(field) {
  const drawn = field.parentElement.querySelector(".flank svg");
  if (!drawn) return;
  const [x, y] = drawn.dataset.middle.split(" ").map(Number);
  const depth = Number(drawn.dataset.depth);
  const mark = document.createElementNS("http://www.w3.org/2000/svg", "ellipse");
  mark.setAttribute("class", "touched");
  mark.setAttribute("cx", x);
  mark.setAttribute("rx", depth * 0.5);
  mark.setAttribute("ry", depth * 0.14);
  drawn.append(mark);
  const held = (share) => Math.max(-0.5, Math.min(0.5, share));
  const follow = () => {
    const share = figure(field.value);
    const known = field.value.trim() !== "" && Number.isFinite(share);
    mark.toggleAttribute("hidden", !known);
    if (known) mark.setAttribute("cy", y - depth * held(share));
  };
  drawn.addEventListener("pointerdown", (event) => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(drawn.getScreenCTM().inverse());
    // a pattern is read to a twentieth of the tooth
    field.value = String(Math.round(held((y - at.y) / depth) * 20) / 20);
    follow();
    tell(field);
    settle(field);
  });
  field.addEventListener("input", follow);
  follow();
}

export function begin(part) {
  for (const field of part.querySelectorAll("input[data-rail]")) overFigure(field);
  for (const field of part.querySelectorAll("select[data-rail]")) overChoices(field);
  for (const field of part.querySelectorAll("input[data-tooth]")) overTooth(field);
  for (const form of part.querySelectorAll("form")) {
    form.addEventListener("input", () => form.setAttribute("data-touched", ""));
  }
}
