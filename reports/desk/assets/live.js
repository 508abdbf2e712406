// Answers that follow what is set, each better than the one before, and forms that change a file without
// leaving the page.
import { carry, restore } from "./place.js";

let stream = null;
let waiting = 0;

const region = () => document.getElementById("live");

// what is set now: the fields of the form as it would be sent
function asked(form) {
  const query = new URLSearchParams(new FormData(form));
  for (const [name, value] of [...query]) if (value === "") query.delete(name);
  return query.toString();
}

// a better answer in the place of the one before: what was opened stays open
function put(piece) {
  const live = region();
  if (!live) return;
  const place = carry(live);
  live.innerHTML = piece;
  live.classList.remove("stale");
  restore(live, place);
}

// what to do now, in a sentence, to those who hear the page
function say() {
  const first = document.querySelector("#live > .doubt, #live > .advice p");
  const said = document.getElementById("said");
  if (first && said.textContent !== first.textContent) said.textContent = first.textContent;
}

function refine(query) {
  const live = region();
  if (!live) return;
  if (stream) stream.close();
  live.classList.add("stale");
  live.setAttribute("aria-busy", "true");
  const from = live.dataset.from;
  stream = new EventSource(query ? `${from}?${query}` : from);
  const own = stream;
  const ended = () => {
    own.close();
    live.removeAttribute("aria-busy");
  };
  stream.addEventListener("piece", (event) => put(event.data));
  stream.addEventListener("last", () => {
    ended();
    say();
  });
  stream.onerror = () => {
    ended();
    // what stands there is the answer to what was set before
    news("The desk does not answer: is it still running?");
  };
}

function follow(form) {
  const query = asked(form);
  const path = location.pathname;
  history.replaceState(null, "", query ? `${path}?${query}` : path);
  refine(query);
}

// nothing is replaced under a finger
let held = false;
addEventListener("pointerdown", () => (held = true), true);
for (const end of ["pointerup", "pointercancel"]) addEventListener(end, () => (held = false), true);
async function letGo() {
  for (let i = 0; held && i < 50; i += 1) await new Promise((done) => setTimeout(done, 20));
}

function news(text) {
  const said = document.getElementById("news");
  said.hidden = false;
  said.textContent = text;
}

// the answer of a form or an address takes the place of the page, which keeps its place and focus
export async function swap(address, sent, prepare) {
  const answer = await fetch(address, sent);
  const text = await answer.text();
  const page = new DOMParser().parseFromString(text, "text/html");
  const main = page.getElementById("main");
  const refused = !answer.ok && sent.method === "POST";
  if (refused && !main?.querySelector("form[method=post]")) {
    // nothing to go on with: what was entered stays, and what is said stands above it
    const said = page.querySelector("main .refused") ?? page.querySelector("main");
    news(`This was not saved. ${said?.textContent.trim() ?? ""}`);
    document.querySelector("form[aria-busy]")?.removeAttribute("aria-busy");
    return;
  }
  if (!main) {
    location.assign(answer.url);
    return;
  }
  await letGo();
  if (stream) stream.close();
  stream = null;
  clearTimeout(waiting);
  const place = carry(document.getElementById("main"));
  document.getElementById("main").replaceWith(main);
  document.title = page.title;
  if (answer.ok) history.replaceState(null, "", answer.url);
  // what the desk gave back unsaved is still somebody's
  if (refused) for (const form of main.querySelectorAll("form[data-change]")) form.setAttribute("data-touched", "");
  const rooms = page.querySelector("nav.rooms");
  if (rooms) document.querySelector("nav.rooms").replaceWith(rooms);
  restore(main, place);
  prepare(main);
  say();
  document.dispatchEvent(new Event("desk:changed"));
}

// what was pressed or filled in while an answer was under way: its turn comes on the page that follows
const pressed = [];

function press(id) {
  const next = id && document.getElementById(id);
  if (next instanceof HTMLFormElement) next.requestSubmit();
  else if (next) next.click();
}

// a form whose every entry is written down at once
function entering(form, prepare) {
  const send = async (by) => {
    if (form.getAttribute("aria-busy") === "true") {
      pressed.push((by && by.id) || form.id);
      return;
    }
    for (const field of form.elements) field.dataset.sent = field.value;
    const fields = new URLSearchParams(new FormData(form, by));
    form.setAttribute("aria-busy", "true");
    try {
      await swap(form.action, { method: "POST", body: fields, redirect: "follow" }, prepare);
      press(pressed.shift());
    } catch {
      pressed.length = 0;
      form.removeAttribute("aria-busy");
      news("This was not saved: the desk does not answer. Is it still running?");
    }
  };
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    send(event.submitter);
  });
  if (form.dataset.change === "each") {
    form.addEventListener("change", () => form.requestSubmit());
  }
}

export function begin(part, prepare) {
  for (const form of part.querySelectorAll("form[data-go]")) {
    form.addEventListener("change", () => form.requestSubmit());
  }
  for (const form of part.querySelectorAll("form[data-live]")) {
    form.addEventListener("input", () => {
      clearTimeout(waiting);
      // as fast as a slider moves is faster than anyone looks
      waiting = setTimeout(() => follow(form), 60);
    });
    form.addEventListener("submit", (event) => {
      if (event.submitter && event.submitter.name) return;
      event.preventDefault();
      follow(form);
    });
  }
  for (const form of part.querySelectorAll("form[data-change]")) entering(form, prepare);
  if (region() && "better" in region().dataset) refine(location.search.slice(1));
}

// a file is written by its button alone
window.addEventListener("beforeunload", (event) => {
  if (document.querySelector("#file[data-touched]")) event.preventDefault();
});
window.addEventListener("pagehide", () => stream && stream.close());
