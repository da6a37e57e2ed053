// What is shown of the list: search, and choices by state, place, trade and severity.
import { find, make, plain } from "./dom.js";
import { inOrder, on, store, text, undecided } from "./store.js";
import { arrange, refilter } from "./ledger.js";

const shows = {
  all: () => true,
  undecided,
  unsure: undecided,
  outside: (item) => (item.limits ?? []).some((limit) => limit.verdict === "outside"),
  "without-photo": (item) => item.status !== "rejected" && !item.photos?.length,
  wanted: (item) => item.photo_wanted && !item.photos?.length,
  confirmed: (item) => item.status === "confirmed",
  rejected: (item) => item.status === "rejected",
};
const wanted = { show: "all", place: "", trade: "", severity: "", words: [] };

export function startFilters() {
  find("#filters").addEventListener("submit", (event) => event.preventDefault());
  for (const name of ["show", "place", "trade", "severity"]) {
    const select = find(`#${name}`);
    wanted[name] = select.value;
    select.addEventListener("change", () => {
      const regroup = name === "show" && (select.value === "unsure") !== (wanted.show === "unsure");
      wanted[name] = select.value;
      apply(regroup);
    });
  }
  find("#search").addEventListener("input", () => {
    wanted.words = find("#search").value.toLowerCase().split(/\s+/).filter(Boolean);
    apply(false);
  });
  on("items", ({ order }) => order && fillChoices());
}

function apply(regroup) {
  for (const item of store.items.values()) item.filtered = true;
  if (regroup) arrange();
  else refilter();
}

// The places and trades that there are.
export function fillChoices() {
  for (const [name, every] of [["place", "every place"], ["trade", "every trade"]]) {
    const select = find(`#${name}`);
    const there = [...new Set(inOrder().map((item) => text(item, name)))].filter(Boolean);
    if (there.join("\n") === select.dataset.there) continue;
    select.dataset.there = there.join("\n");
    select.replaceChildren(make("option", { value: "" }, every), ...there.map((value) => make("option", { value }, plain(value))));
    select.value = there.includes(wanted[name]) ? wanted[name] : "";
  }
}

export function visible(item) {
  return (
    shows[wanted.show](item) &&
    ["place", "trade", "severity"].every((name) => !wanted[name] || text(item, name) === wanted[name]) &&
    wanted.words.every((word) => searched(item).includes(word))
  );
}

function searched(item) {
  item.searched ??= [item.number, ...Object.values(item.fields), item.quote ?? ""].join(" ").toLowerCase();
  return item.searched;
}

// The items under their headings: by place in walking order, or unsure ones first without any.
export function grouped(items) {
  if (wanted.show === "unsure") return [[null, [...items].sort((a, b) => a.confidence - b.confidence)]];
  const groups = new Map();
  for (const item of items) {
    const place = text(item, "place");
    if (!groups.has(place)) groups.set(place, []);
    groups.get(place).push(item);
  }
  return [...groups];
}
