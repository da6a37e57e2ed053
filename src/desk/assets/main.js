// Starts the page: the way in, the list, and everything around it.
import { find, make, plain, trouble } from "./dom.js";
import { enter, listen, read } from "./net.js";
import { store, takeUpdate, tell, show, undecided, inOrder } from "./store.js";
import { startLedger } from "./ledger.js";
import { startFilters, fillChoices } from "./filter.js";
import { startUnlisted } from "./unlisted.js";
import { startSound } from "./sound.js";
import { startWords } from "./words.js";
import { startPhotos } from "./photos.js";
import { startDialogs } from "./dialogs.js";
import { startGrowth } from "./growth.js";
import { startKeys } from "./keys.js";

function startViews() {
  const buttons = document.querySelectorAll(".views button");
  for (const button of buttons) {
    button.addEventListener("click", () => {
      document.body.dataset.view = button.dataset.view;
      for (const other of buttons) other.setAttribute("aria-pressed", String(other === button));
    });
  }
}

async function start() {
  try {
    await enter();
    const whole = await read("/list");
    store.fields = whole.fields;
    store.standings = whole.standings;
    store.places = whole.places;
    store.recordings = whole.recordings;
    find("#title").textContent = plain(whole.title);
    document.title = `${plain(whole.title)}: callover desk`;
    startViews();
    startLedger();
    startFilters();
    startUnlisted();
    startDialogs();
    startSound();
    startPhotos();
    startWords();
    startGrowth();
    startKeys();
    takeUpdate(whole.list);
    fillChoices();
    const first = inOrder().find(undecided) ?? inOrder()[0];
    if (first) show(first.id, { quiet: true });
    tell("recordings");
    listen();
    document.body.dataset.ready = "yes";
  } catch (error) {
    find("#list").replaceChildren(make("p", { class: "quiet" }, error.message));
    trouble(error.message);
  }
}

start();
