// The page of the live desk: shows each view as it comes, and sends what a person answers.
import { around, isTyping, one } from "./dom.js";
import { Idiomorph } from "./vendor/idiomorph.esm.js";

/** @typedef {{ revision: number, html: string }} Sent */

const view = one("view", HTMLElement);
const message = one("message", HTMLElement);
const connection = one("connection", HTMLElement);
const announce = one("announce", HTMLElement);
const single = one("single-keys", HTMLInputElement);
const base = view.dataset.base ?? "";
const LOST_AFTER_MS = Number(view.dataset.lostAfter) * 1000;
/** A flag is answered only after it has been seen for so long: a key may have been meant for the one before. */
const SETTLE_MS = 500;
/** A clock runs on by itself no longer than this. */
const RUN_ON_MS = 15000;
const RETRY_MS = 2000;

let html = view.innerHTML;
let revision = Number(view.dataset.revision);
/** When the view came. */
let came = performance.now();
/** When anything came from the desk. */
let heard = came;
let lost = false;
let busy = false;
/** The flag in front, and since when it is. */
let front = "";
let frontSince = 0;
/** The flags that were announced, or were there from the beginning. @type {Set<string>} */
const known = new Set();

/**
 * The flags that wait for an answer, in the order of the page.
 * @param {ParentNode} within
 */
function waiting(within) {
  return [...within.querySelectorAll("[data-flag]")].filter((each) => each instanceof HTMLElement);
}

/** The flag in front is there first, and stays in front until it is answered or withdrawn. */
function show() {
  const wanted = document.createElement("div");
  wanted.innerHTML = html;
  const open = waiting(wanted);
  const first = open.find((flag) => flag.dataset.flag === front) ?? open[0];
  for (const flag of open) flag.classList.toggle("front", flag === first);
  if (first) first.parentElement?.prepend(first);
  const now = first?.dataset.flag ?? "";
  if (now !== front) {
    front = now;
    frontSince = performance.now();
  }
  const hadFocus = view.contains(document.activeElement);
  Idiomorph.morph(view, wanted.innerHTML, { morphStyle: "innerHTML" });
  // What had the focus is gone: it goes on at the next flag.
  if (hadFocus && !view.contains(document.activeElement)) toFront();
  document.title = `${open.length ? `${open.length} to answer: ` : ""}live desk`;
  runClocks();
}

function toFront() {
  (document.getElementById(`head-${front}`) ?? one("flags", HTMLElement)).focus();
}

/** Says each new flag once. */
function tellNew() {
  const fresh = waiting(view).filter((flag) => !known.has(flag.dataset.flag ?? ""));
  for (const flag of fresh) known.add(flag.dataset.flag ?? "");
  if (fresh.length) announce.textContent = fresh.map((flag) => flag.dataset.told).join(". ");
}

/** @param {number} step */
function step(step) {
  const wanted = document.createElement("div");
  wanted.innerHTML = html;
  const open = waiting(wanted).map((flag) => flag.dataset.flag ?? "");
  if (open.length) bringToFront(open[(open.indexOf(front) + step + open.length) % open.length] ?? "");
}

/** @param {string} flag */
function bringToFront(flag) {
  if (flag !== front) frontSince = performance.now();
  front = flag;
  show();
  toFront();
}

/** The clocks run on between two views, but not without end and not without a connection. */
function runClocks() {
  const runs = !lost && one("stream", HTMLElement).dataset.state === "running";
  const ran = runs ? Math.min(performance.now() - came, RUN_ON_MS) / 1000 : 0;
  if (lost) return;
  for (const clock of view.querySelectorAll("[data-clock]")) {
    if (!(clock instanceof HTMLElement)) continue;
    const left = Math.max(Number(clock.dataset.clock) - ran, 0);
    const words = `${Math.floor(left / 60)}:${String(Math.floor(left % 60)).padStart(2, "0")}`;
    if (clock.textContent !== words) clock.textContent = words;
  }
}
setInterval(runClocks, 200);

// The connection.

/** @param {boolean} is */
function setLost(is) {
  if (is === lost) return;
  lost = is;
  document.body.classList.toggle("lost", is);
  const at = one("stream", HTMLElement).dataset.at ?? "";
  connection.textContent = is ? `Connection lost, trying again. This is how it was at ${at} of the recording.` : "";
  if (!is) tell("Connected again.");
}

function hear() {
  heard = performance.now();
  setLost(false);
}

/** @type {EventSource | null} */
let events = null;
function connect() {
  events?.close();
  events = new EventSource(`${base}/events`);
  events.addEventListener("open", hear);
  events.addEventListener("beat", hear);
  events.addEventListener("view", (event) => {
    const sent = /** @type {Sent} */ (JSON.parse(event.data));
    hear();
    html = sent.html;
    revision = sent.revision;
    came = performance.now();
    show();
    tellNew();
  });
  events.addEventListener("error", () => setLost(true));
}
/** When it was last tried to connect anew. */
let tried = 0;
setInterval(() => {
  const now = performance.now();
  // A desk that hangs keeps its connection and says nothing.
  const silent = now - heard > LOST_AFTER_MS;
  if (silent) setLost(true);
  if ((silent || events?.readyState === EventSource.CLOSED) && now - tried > RETRY_MS) {
    tried = now;
    connect();
  }
}, 500);

// What a person does.

/** So long what was done is told, ms. */
const TOLD = 12000;
let fading = 0;

/** @param {string} text */
function tell(text) {
  message.textContent = text;
  clearTimeout(fading);
  fading = setTimeout(() => {
    message.textContent = "";
  }, TOLD);
}

/**
 * What the desk says to something, and whether it was done.
 * @param {string} path
 * @param {object} [sent]
 * @returns {Promise<{ done: boolean, message: string }>}
 */
async function ask(path, sent) {
  try {
    const answer = await fetch(
      `${base}/${path}`,
      sent && { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(sent) },
    );
    const told = /** @type {{ message: string }} */ (await answer.json());
    return { done: answer.ok, message: told.message };
  } catch (error) {
    if (error instanceof SyntaxError) return { done: false, message: "Not kept: the desk met a fault of its own." };
    return { done: false, message: "Not kept: the desk does not answer. Is saidscore live still running?" };
  }
}

/**
 * @param {string} path
 * @param {object} sent
 */
async function post(path, sent) {
  if (busy) return;
  busy = true;
  const answer = await ask(path, sent);
  busy = false;
  tell(answer.message);
}

/** @param {string} given */
function answerFlag(given) {
  if (performance.now() - frontSince < SETTLE_MS) tell("The flag has only just come: look at it, then answer again.");
  else void post("answer", { flag: front, answer: given, revision });
}

/** @param {string} text */
async function copy(text) {
  try {
    await navigator.clipboard.writeText(text);
    tell("Copied.");
  } catch {
    tell("The browser does not let it be copied.");
  }
}

/** @param {HTMLElement} dialog */
function open(dialog) {
  if (!(dialog instanceof HTMLDialogElement)) return;
  const rows = document.getElementById("rows");
  if (dialog.id === "correct") {
    if (!rows) return tell("There is no bout to correct yet.");
    one("correct-red", HTMLElement).textContent = rows.dataset.redName ?? "";
    one("correct-blue", HTMLElement).textContent = rows.dataset.blueName ?? "";
  }
  const told = dialog.querySelector(".told");
  if (told) told.textContent = "";
  dialog.showModal();
  for (const field of [...dialog.querySelectorAll("form input")].reverse()) {
    if (!(field instanceof HTMLInputElement)) continue;
    if (field.type === "number") field.value = rows?.dataset[field.name] ?? "0";
    field.focus();
    field.select();
  }
}

document.addEventListener("submit", (event) => {
  event.preventDefault();
  const form = event.target;
  const dialog = around(form, "dialog");
  if (!(form instanceof HTMLFormElement) || !(dialog instanceof HTMLDialogElement) || busy) return;
  void send(form, dialog);
});

/**
 * @param {HTMLFormElement} form
 * @param {HTMLDialogElement} dialog
 */
async function send(form, dialog) {
  const said = new FormData(form);
  const told = dialog.querySelector(".told");
  busy = true;
  const corrects = dialog.id === "correct";
  const answer = corrects
    ? await ask("correct", { red: Number(said.get("red")), blue: Number(said.get("blue")) })
    : await ask(`at?t=${encodeURIComponent(String(said.get("t")).trim())}`);
  busy = false;
  if (corrects && answer.done) {
    dialog.close();
    tell(answer.message);
  } else if (told) {
    told.textContent = answer.message;
  }
}

/** @param {HTMLElement} button */
function press(button) {
  const { answer, copy: words, step: by, opens, posts, front: flag } = button.dataset;
  if (answer) answerFlag(answer);
  else if (words) void copy(words);
  else if (by) step(Number(by));
  else if (opens) open(one(opens, HTMLElement));
  else if (posts) void post(posts, {});
  else if (flag) bringToFront(flag);
  else if (button.dataset.closes !== undefined) button.closest("dialog")?.close();
}

document.addEventListener("click", (event) => {
  const button = around(event.target, "button");
  if (button) press(button);
});

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
  if (!single.checked || document.querySelector("dialog[open]") || isTyping(event.target)) return;
  const keyed = [...document.querySelectorAll(".front [data-key], .everywhere [data-key]")];
  const button = keyed.find((each) => each instanceof HTMLElement && each.dataset.key === event.key);
  if (!(button instanceof HTMLElement)) return;
  event.preventDefault();
  press(button);
});

show();
for (const flag of waiting(view)) known.add(flag.dataset.flag ?? "");
connect();
