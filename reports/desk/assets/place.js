// Where somebody is on a page, while parts of it are replaced: what is open, what has the focus.

// what a field stood at when the page was made, or when it was last sent
const stood = (field) =>
  field.dataset.sent ?? (field.options ? ([...field.options].find((one) => one.defaultSelected) ?? field.options[0])?.value : field.defaultValue);
// a heading without the number of fields behind it, which may change
const name = (details) => (details.querySelector("summary .heading") ?? details.querySelector("summary"))?.textContent ?? "";

export function carry(part) {
  const focus = document.activeElement;
  return {
    open: [...part.querySelectorAll("details")].map((one) => [name(one), one.open]),
    focus: part.contains(focus) && focus.id ? focus.id : null,
    selection: focus && "selectionStart" in focus ? safe(() => focus.selectionStart) : null,
    scrolled: window.scrollY,
    // what was typed since it was last sent
    typed: [...part.querySelectorAll("form[data-change] :is(input, select, textarea)[id]:not([type=range])")]
      .filter((field) => field.value !== stood(field))
      .map((field) => [field.id, field.value]),
  };
}

// some fields have no selection to ask for
function safe(ask) {
  try {
    return ask();
  } catch {
    return null;
  }
}

export function restore(part, place) {
  const before = new Map(place.open);
  for (const one of part.querySelectorAll("details")) {
    if (before.has(name(one))) one.open = before.get(name(one));
  }
  for (const [id, value] of place.typed) {
    const typed = document.getElementById(id);
    if (!typed || typed.value === value) continue;
    typed.value = value;
    typed.form?.setAttribute("data-touched", "");
  }
  const field = place.focus && document.getElementById(place.focus);
  if (field) {
    field.focus({ preventScroll: true });
    if (place.selection !== null) safe(() => field.setSelectionRange(place.selection, place.selection));
  }
  window.scrollTo(0, place.scrolled);
}
