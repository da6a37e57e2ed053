// The open item: what was heard, every field, and what can be done.
import { capital, clock, make, plain } from "./dom.js";
import { standing, store, text } from "./store.js";
import { act } from "./net.js";
import { editable } from "./field.js";
import { attached } from "./photos.js";
import { accept, askReason, askStanding, dismiss, skip } from "./dialogs.js";
import { playItem } from "./sound.js";
import { askCopy, askJoin, askMove, askNumber, askSplit } from "./rework.js";

export function card(item) {
  const rejected = item.status === "rejected";
  return make(
    "div",
    { class: "card" },
    actions(item),
    ...visits(item),
    item.caution && make("p", { class: "caution" }, make("strong", {}, "Caution: "), plain(item.caution)),
    item.quote && heard(item),
    make("dl", { class: "fields" }, ...store.fields.map((field) => fieldRow(item, field, rejected))),
    ...(item.limits ?? []).map((limit) => make("p", { class: "note" }, make("strong", {}, capital(limit.verdict)), `: ${plain(limit.why)}`)),
    attached(item),
    !rejected && rework(item),
    why(item),
  );
}

function actions(item) {
  const button = (focus, label, key, act, kind = "") => make("button", { type: "button", class: kind, "data-focus": focus, onclick: act }, label, make("kbd", {}, key));
  const decided = item.status !== "proposed";
  const found = Boolean(item.finding);
  return make(
    "div",
    { class: "actions", role: "group", "aria-label": `Item ${item.number}` },
    item.status !== "confirmed" && button("accept", "Accept", "a", () => accept(item), "main"),
    found && button("accept", `Keep “${standing(item.finding.seen.standing)}”`, "a", () => accept(item), "main"),
    found && button("dismiss", "Dismiss", "x", () => dismiss(item)),
    item.status === "confirmed" && store.progress.visit && button("stand", "How it stands", "S", () => askStanding(item)),
    item.status !== "rejected" && !found && button("reject", "Reject", "x", () => askReason(item)),
    decided && button("restore", "Restore", "z", () => act({ do: "restore", number: item.number })),
    (!decided || found) && button("skip", "Skip", "s", skip),
  );
}

// What later visits found: what waits to be decided on, then what was.
function visits(item) {
  const said = ({ quote, span, recording }) => {
    const play = span && make("button", { type: "button", class: "play", "aria-label": `Play what was said at ${clock(span[0])}`, onclick: () => playItem({ ...item, span, recording }) }, make("span", { "aria-hidden": "true" }, "▶ "), clock(span[0]));
    return [quote && ` “${plain(quote)}” `, play];
  };
  const found = item.finding;
  return [
    found &&
      make("p", { class: "found" }, make("strong", {}, `Visit ${found.seen.visit}: ${standing(found.seen.standing)}?`), found.unsure && " unsure", ...said(found.seen), found.reasons.length > 0 && make("span", { class: "aside" }, ` ${plain(found.reasons.join("; "))}`)),
    ...(item.seen ?? []).map((seen) => make("p", { class: "note" }, make("strong", {}, `Visit ${seen.visit}`), `, ${seen.date}: ${standing(seen.standing)}${seen.note && `; ${plain(seen.note)}`}`, ...said(seen))),
  ];
}

// What is done now and then.
function rework(item) {
  const button = (label, key, act) => make("button", { type: "button", onclick: () => act(item) }, label, make("kbd", {}, key));
  return make(
    "div",
    { class: "rework", role: "group", "aria-label": `Rework item ${item.number}` },
    item.quote?.includes(" ") && button("Split", "h", askSplit),
    button("Join another", "j", askJoin),
    button("Same elsewhere", "b", askCopy),
    button("Move", "M", askMove),
    button("Number", "N", askNumber),
  );
}

// The words as heard, with those underlined that the item was made of.
function heard(item) {
  const known = (item.terms ?? []).map(([kind, name, words, how]) => ({ kind, name, words: words.toLowerCase(), how })).filter((term) => term.words);
  const quote = plain(item.quote);
  const lower = quote.toLowerCase();
  const marked = [];
  for (const term of known) {
    const at = lower.indexOf(term.words);
    if (at >= 0 && !marked.some((other) => at < other.end && other.at < at + term.words.length)) marked.push({ at, end: at + term.words.length, term });
  }
  marked.sort((a, b) => a.at - b.at);
  const parts = [];
  let done = 0;
  for (const { at, end, term } of marked) {
    parts.push(quote.slice(done, at), make("u", { class: term.how === "exact" ? "" : "bent", title: `${term.kind}: ${term.name} (${term.how})` }, quote.slice(at, end)));
    done = end;
  }
  parts.push(quote.slice(done));
  const when = item.span ? make("span", { class: "aside" }, ` ${clock(item.span[0])}`) : null;
  return make("blockquote", { class: "heard" }, "“", ...parts, "”", when);
}

function fieldRow(item, field, rejected) {
  const value = plain(text(item, field.name));
  const suffix = field.name === "remedy" && item.remedy_source ? make("span", { class: "aside" }, item.remedy_source === "suggested" ? " (suggested)" : " (your words)") : null;
  const like = item.likewise?.[field.name];
  const along = like && make("span", { class: "aside" }, ` (as you corrected item ${like})`);
  const label = make("dt", {}, field.name, make("kbd", { "aria-hidden": "true" }, field.key));
  const shown = make("button", { type: "button", class: "value", "data-focus": field.name, "data-field": field.name, disabled: rejected, "aria-label": `${field.name}: ${value || "nothing"}, change` }, value || "–");
  const cell = make("dd", {}, shown, suffix, along);
  editable(cell, shown, item, field.name);
  const broad = ["description", "remark", "remedy"].includes(field.name) ? "broad" : "";
  return make("div", { class: `${value ? "" : "without"} ${broad}` }, label, cell);
}

function why(item) {
  const bent = (item.terms ?? []).filter(([, , , how]) => how !== "exact").map(([kind, name, words, how]) => (words ? `“${words}” taken as ${name} (${how})` : `${kind} “${name}” is ${how}`));
  const reasons = [...(item.reasons ?? []), ...bent].map(plain);
  if (item.quote) reasons.unshift(`${item.sureness}, ${item.confidence.toFixed(2)}${item.hedged ? ", you were not sure" : ""}`);
  if (!reasons.length) return null;
  return make("p", { class: "note" }, "Why: ", reasons.join("; "));
}
