// What the pages of the desk do besides: answers that refine, rails and teeth to touch, news of files.
import { begin as live } from "./live.js";
import { begin as fields } from "./fields.js";
import { begin as news } from "./news.js";

// the next page may come without its answer, which then follows
document.cookie = "script=1; SameSite=Strict; Path=/";

export function prepare(part) {
  fields(part);
  live(part, prepare);
}
prepare(document);
news(prepare);
