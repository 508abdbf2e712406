// What changes in the folder shows: by itself where nothing was begun here, and said where something was.
import { swap } from "./live.js";

const OFTEN = 1500;
// the files that the page was made of
let known = {};
const ofPage = () => JSON.parse(document.getElementById("main").dataset.files ?? "{}");

async function look() {
  const answer = await fetch("/news");
  return answer.ok ? answer.json() : null;
}

function changed(before, now) {
  const names = new Set([...Object.keys(before), ...Object.keys(now)]);
  return [...names].filter((name) => before[name] !== now[name]);
}

export function begin(prepare) {
  const said = document.getElementById("news");
  const say = (text) => {
    said.textContent = text;
    said.hidden = text === "";
  };
  const tick = async () => {
    if (document.visibilityState !== "visible") return;
    let now;
    try {
      now = await look();
    } catch {
      say("The desk does not answer: is it still running? Nothing here is lost until this page is closed.");
      return;
    }
    if (now === null) return;
    if (said.textContent.startsWith("The desk does not answer")) say("");
    const names = changed(known, now);
    known = now;
    if (names.length === 0) return;
    const begun = document.querySelector("form[method=post][data-touched]");
    if (begun) {
      say(`${names.join(", ")} changed meanwhile. What you have entered here is kept; saving it says whether both fit.`);
    } else {
      await swap(location.href, {}, prepare);
    }
  };
  known = ofPage();
  // what this page changed itself is no news to it
  document.addEventListener("desk:changed", () => {
    known = ofPage();
    say("");
  });
  setInterval(tick, OFTEN);
  document.addEventListener("visibilitychange", tick);
}
