// What was said, paragraph by paragraph: it follows the sound, and selected words make an item.
import { clock, find, make, plain } from "./dom.js";
import { read } from "./net.js";
import { inOrder, on, store, text } from "./store.js";
import { current, playFrom } from "./sound.js";
import { askNew } from "./dialogs.js";

const box = find("#paragraphs");
let paragraphs = [];
let shownOf = null;
let spoken = -1; // number of the word that was marked last
// Marks without changing the text, where the browser can (CSS Custom Highlight API).
const marks = "highlights" in CSS ? { now: new Highlight(), item: new Highlight(), doubt: new Highlight() } : null;

export function startWords() {
  if (marks) for (const [name, mark] of Object.entries(marks)) CSS.highlights.set(name, mark);
  document.addEventListener("selectionchange", () => {
    const from = selected();
    find("#from-words").hidden = !from;
    if (from) find("#from-words").textContent = `New item from “${from.quote.length > 40 ? `${plain(from.quote.slice(0, 40))}…` : plain(from.quote)}”`;
  });
  // The selection must outlast the press.
  find("#from-words").addEventListener("pointerdown", (event) => event.preventDefault());
  find("#from-words").addEventListener("click", () => askNew(fromWords()));
  box.addEventListener("keydown", walk);
  box.addEventListener("dblclick", (event) => {
    const paragraph = event.target.closest("p");
    if (paragraph) playFrom(paragraphs[paragraph.dataset.at].times[0] ?? 0);
  });
  on("open", markItem);
}

// Shows the words of a recording.
export async function showWords(id) {
  if (shownOf === id) return;
  shownOf = id;
  const found = await read(`/words/${id}`).catch(() => []);
  if (shownOf !== id) return;
  paragraphs = found;
  spoken = -1;
  for (const paragraph of paragraphs) {
    paragraph.text = paragraph.words.map(plain).join(" ");
    paragraph.starts = [];
    let at = 0;
    for (const word of paragraph.words) {
      paragraph.starts.push(at);
      at += word.length + 1;
    }
  }
  box.replaceChildren(
    ...paragraphs.map((paragraph, place) =>
      make(
        "p",
        { "data-at": place, tabindex: place === 0 ? 0 : -1 },
        paragraph.times.length ? make("span", { class: "when", "aria-hidden": "true", "data-when": clock(paragraph.times[0]) }) : null,
        paragraph.text,
      ),
    ),
  );
  if (!paragraphs.length) box.append(make("p", { class: "quiet" }, "No words are kept of this recording."));
  if (marks) {
    marks.now.clear();
    marks.doubt.clear();
    paragraphs.forEach((paragraph, place) => paragraph.doubtful.forEach((word) => marks.doubt.add(rangeOf(place, word, word))));
  }
  markItem({ quiet: true });
}

// The text's range from one word of a paragraph to another.
function rangeOf(place, first, last) {
  const node = box.children[place].lastChild;
  const paragraph = paragraphs[place];
  const range = new StaticRange({ startContainer: node, startOffset: paragraph.starts[first], endContainer: node, endOffset: paragraph.starts[last] + paragraph.words[last].length });
  return range;
}

// The paragraph that holds a word, by its number in the whole transcript.
function holding(number) {
  let [low, high] = [0, paragraphs.length - 1];
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (paragraphs[middle].first <= number) low = middle;
    else high = middle - 1;
  }
  return low;
}

// Marks the words behind the open item and brings them into view.
function markItem({ quiet = false } = {}) {
  const item = store.items.get(store.open);
  marks?.item.clear();
  box.querySelector(".mine")?.classList.remove("mine");
  if (!item?.words || item.recording !== shownOf || !paragraphs.length) return;
  const [first, after] = item.words;
  const place = holding(first);
  for (let at = place; at < paragraphs.length && paragraphs[at].first < after; at += 1) {
    const start = Math.max(0, first - paragraphs[at].first);
    const end = Math.min(paragraphs[at].words.length - 1, after - 1 - paragraphs[at].first);
    if (start <= end) marks?.item.add(rangeOf(at, start, end));
  }
  box.children[place].classList.add("mine");
  bring(box.children[place], quiet);
}

// Scrolls the words only, never the page.
function bring(paragraph) {
  const [top, tall] = [paragraph.offsetTop - box.offsetTop, box.clientHeight];
  if (top < box.scrollTop || top + paragraph.offsetHeight > box.scrollTop + tall) box.scrollTop = Math.max(0, top - tall / 3);
}

// Marks the word that is being heard.
export function followWords(ms, playing) {
  if (shownOf !== current()?.id || !paragraphs.length || !paragraphs[0].times.length) return;
  let [low, high] = [0, paragraphs.length - 1];
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if ((paragraphs[middle].times[0] ?? 0) <= ms) low = middle;
    else high = middle - 1;
  }
  const paragraph = paragraphs[low];
  let word = 0;
  while (word + 1 < paragraph.words.length && paragraph.times[2 * (word + 1)] <= ms) word += 1;
  if (spoken === paragraph.first + word) return;
  spoken = paragraph.first + word;
  box.querySelector(".now")?.classList.remove("now");
  box.children[low].classList.add("now");
  if (marks) {
    marks.now.clear();
    marks.now.add(rangeOf(low, word, word));
  }
  if (playing) bring(box.children[low]);
}

// Returns what is selected, in whole words; null where nothing is.
function selected() {
  const selection = getSelection();
  if (!selection.rangeCount || selection.isCollapsed) return null;
  const range = selection.getRangeAt(0);
  if (!box.contains(range.commonAncestorContainer)) return null;
  const touched = paragraphs.map((_, place) => place).filter((place) => range.intersectsNode(box.children[place]));
  const numbers = [];
  for (const place of touched) {
    const { starts, words, first } = paragraphs[place];
    const node = box.children[place].lastChild;
    const start = range.startContainer === node ? range.startOffset : 0;
    const end = range.endContainer === node ? range.endOffset : range.endContainer === box.children[place] && range.endOffset === 0 ? 0 : Infinity;
    starts.forEach((at, word) => at + words[word].length > start && at < end && numbers.push(first + word));
  }
  return numbers.length ? portion(numbers[0], numbers.at(-1)) : null;
}

// The words from one number to another, as an item is made from them.
function portion(first, last) {
  const words = [];
  let [start, end] = [null, null];
  for (let number = first; number <= last; number += 1) {
    const paragraph = paragraphs[holding(number)];
    const at = number - paragraph.first;
    words.push(paragraph.words[at]);
    start ??= paragraph.times[2 * at] ?? null;
    end = paragraph.times[2 * at + 1] ?? null;
  }
  const span = start === null || end === null ? null : [start, end];
  return { recording: shownOf, words: [first, last + 1], span, quote: words.join(" "), place: placeOf(first) };
}

// The place of the item spoken of last before a word.
function placeOf(number) {
  const before = inOrder().filter((item) => item.recording === shownOf && item.words && item.words[0] <= number);
  return before.length ? text(before.at(-1), "place") : undefined;
}

// What a new item is to be made from: the selected words, or the paragraph that has the focus.
export function fromWords() {
  const paragraph = document.activeElement.closest?.("#paragraphs p[data-at]");
  if (selected()) return selected();
  if (!paragraph) return null;
  const { first, words } = paragraphs[paragraph.dataset.at];
  return portion(first, first + words.length - 1);
}

// Up and down go from paragraph to paragraph, Enter plays it.
function walk(event) {
  const paragraph = event.target.closest("p[data-at]");
  if (!paragraph) return;
  const next = { ArrowDown: paragraph.nextElementSibling, ArrowUp: paragraph.previousElementSibling }[event.key];
  if (next) {
    event.preventDefault();
    paragraph.tabIndex = -1;
    next.tabIndex = 0;
    next.focus({ preventScroll: true });
    bring(next);
  } else if (event.key === "Enter" && paragraphs[paragraph.dataset.at].times.length) {
    playFrom(paragraphs[paragraph.dataset.at].times[0]);
  }
}
