// The desk: every key has its button, every button says what it decides; the answer is the bout as it then is.
import { around, isTyping, one } from "./dom.js";
import { Idiomorph } from "./vendor/idiomorph.esm.js";

/** @typedef {{ revision: number, html: string, message: string }} Shown */
/** @typedef {{ do: string, what?: string, ref?: string, to?: Record<string, unknown>, cue?: number, text?: string }} Decision */

const view = one("view", HTMLElement);
const message = one("message", HTMLElement);
const single = one("single-keys", HTMLInputElement);
/** The entry or the line of talk that keys and buttons are about. @type {HTMLElement | null} */
let chosen = null;
let busy = false;

const ENTRY = ".entry";
const CUE = ".cue";

/** @param {HTMLElement | null} entry */
function choose(entry) {
  if (chosen === entry) return;
  chosen?.classList.remove("chosen");
  chosen = entry;
  chosen?.classList.add("chosen");
}

/** How many questions were answered since the page was loaded. */
let answered = 0;

/** Says how far it is, and which of undo and redo there is something for. */
function tellState() {
  const section = one("doubts", HTMLElement);
  const left = section.querySelectorAll("ol.doubts > .entry:not([id^='unsaid-'])").length;
  one("progress", HTMLElement).textContent = answered ? `${answered} of ${answered + left} answered` : "";
  one("undo", HTMLButtonElement).disabled = section.dataset.undo !== "true";
  one("redo", HTMLButtonElement).disabled = section.dataset.redo !== "true";
}
tellState();

/** @param {HTMLElement} entry */
function goTo(entry) {
  const folded = entry.closest("details.unsaid");
  if (folded instanceof HTMLDetailsElement) folded.open = true;
  choose(entry);
  const link = entry.querySelector("a.at, a.time") ?? entry;
  if (link instanceof HTMLElement) link.focus();
  entry.scrollIntoView({ block: "nearest" });
}

/** The first question, so that one answer leads to the next. */
function firstDoubt() {
  const first = view.querySelector("#doubts .entry");
  if (first instanceof HTMLElement) goTo(first);
}

/** @param {string} text */
function tell(text) {
  message.textContent = text;
}

/** @param {Shown} shown */
function show(shown) {
  const only = one("only-marked", HTMLInputElement).checked;
  Idiomorph.morph(view, shown.html, { morphStyle: "innerHTML", restoreFocus: false });
  view.dataset.revision = String(shown.revision);
  const box = one("only-marked", HTMLInputElement);
  box.checked = only;
  box.dispatchEvent(new Event("change"));
  tellState();
}

/** After a decision the ids may be others: the same sort of entry, nearest in time, is chosen again. @param {HTMLElement | null} before */
function chooseAgain(before) {
  if (!before || before.closest("#doubts")) return firstDoubt();
  const at = Number(before.dataset.at);
  const sort = before.dataset.sort ?? "";
  /** @type {HTMLElement | null} */
  let nearest = null;
  for (const entry of view.querySelectorAll(`${ENTRY}[data-sort="${sort}"], ${CUE}[data-sort="${sort}"]`)) {
    if (!(entry instanceof HTMLElement) || entry.closest("#doubts")) continue;
    const gap = Math.abs(Number(entry.dataset.at) - at);
    if (!nearest || gap < Math.abs(Number(nearest.dataset.at) - at)) nearest = entry;
  }
  if (nearest) goTo(nearest);
}

/** @param {Decision} decision */
async function decide(decision) {
  if (busy) return;
  busy = true;
  view.setAttribute("aria-busy", "true");
  const before = chosen;
  const where = before ? { ...before.dataset } : {};
  const doubt = before?.closest("#doubts") ?? null;
  try {
    const answer = await fetch(view.dataset.decide ?? "", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ revision: Number(view.dataset.revision), ...decision }),
    });
    const shown = /** @type {Shown} */ (await answer.json());
    if (shown.html) {
      const asked = doubt && !before?.id.startsWith("unsaid-") && decision.do !== "undo" && decision.do !== "redo";
      if (asked && answer.status === 200) answered += 1;
      chosen?.classList.remove("chosen");
      chosen = null;
      show(shown);
      const stand = document.createElement("p");
      Object.assign(stand.dataset, where);
      chooseAgain(doubt || !before ? null : stand);
    }
    tell(shown.message);
  } catch (error) {
    if (error instanceof SyntaxError) tell("The desk met a fault of its own. Load the page again to see what is saved.");
    else tell("Not saved: the desk does not answer. Is saidscore correct still running?");
  } finally {
    busy = false;
    view.removeAttribute("aria-busy");
  }
}

/**
 * Seconds of "2:51.4", "1:02:51" or "171.4"; null where it is no time.
 * @param {string} text
 * @returns {number | null}
 */
function seconds(text) {
  if (!/^\s*(\d+:){0,2}\d+(\.\d+)?\s*$/.test(text)) return null;
  return text.split(":").reduce((sum, part) => sum * 60 + Number(part), 0);
}

/**
 * What a form says, as the decision wants it; null where it says something that is none.
 * @param {HTMLFormElement} form
 * @returns {Record<string, unknown> | null}
 */
function saidBy(form) {
  /** @type {Record<string, unknown>} */
  const to = {};
  for (const field of form.elements) {
    if (field instanceof HTMLSelectElement && field.name === "award") {
      const [kind, points] = field.value.split("|");
      to.kind = kind;
      to.points = Number(points);
    } else if (field instanceof HTMLInputElement && field.name === "t") {
      const t = seconds(field.value);
      if (t === null) {
        tell("Write the time as 2:51 or 2:51.4.");
        field.focus();
        return null;
      }
      // A time that nobody touched is the exact one, not what is shown of it.
      to.t = field.value === field.defaultValue && field.dataset.exact ? Number(field.dataset.exact) : t;
    } else if (field instanceof HTMLInputElement && field.name === "off") {
      to.status = field.checked ? "overturned" : "stands";
    } else if (field instanceof HTMLInputElement && (field.name === "said-red" || field.name === "said-blue")) {
      const said = /** @type {number[]} */ (to.said ?? [0, 0]);
      said[field.name === "said-red" ? 0 : 1] = Number(field.value);
      to.said = said;
    } else if (field instanceof HTMLInputElement && field.type === "radio") {
      if (field.checked) to[field.name] = field.value;
    } else if ((field instanceof HTMLInputElement || field instanceof HTMLSelectElement) && field.name) {
      to[field.name] = field.value === "" ? null : field.value;
    }
  }
  return to;
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || !form.dataset.decision) return;
  event.preventDefault();
  const to = saidBy(form);
  if (!to) return;
  const decision = /** @type {Decision} */ (JSON.parse(form.dataset.decision));
  const dialog = form.closest("dialog");
  if (dialog) {
    decision.cue = Number(dialog.dataset.cue);
    decision.text = dialog.dataset.text ?? "";
    dialog.close();
  }
  void decide({ ...decision, to });
});

/** The line of talk that something is added at: the chosen one, or where the recording is, or the first. */
function lineNow() {
  if (chosen?.matches(CUE)) return chosen;
  const now = view.querySelector(".cue.now") ?? view.querySelector(CUE);
  return now instanceof HTMLElement ? now : null;
}

/**
 * @param {HTMLDialogElement} dialog
 */
function openDialog(dialog) {
  const line = lineNow();
  if (!line) return;
  const picked = document.getSelection()?.toString().trim() ?? "";
  const shown = line.querySelector(".words")?.cloneNode(true);
  // What the marks were read as is not said in the line.
  if (shown instanceof Element) shown.querySelectorAll(".reading").forEach((reading) => reading.remove());
  const words = shown?.textContent ?? "";
  dialog.dataset.cue = line.dataset.cue ?? "";
  dialog.dataset.text = words.includes(picked) ? picked : "";
  const media = document.getElementById("media");
  const playing = media instanceof HTMLVideoElement && !media.hidden && line.classList.contains("now");
  const t = dialog.querySelector('input[name="t"]');
  if (t instanceof HTMLInputElement) {
    const at = playing ? media.currentTime : Number(line.dataset.at);
    t.value = t.defaultValue = `${Math.floor(at / 60)}:${(at % 60).toFixed(1).padStart(4, "0")}`;
    t.dataset.exact = String(at);
  }
  const told = dialog.querySelector(".line");
  if (told) told.textContent = dialog.dataset.text || words;
  dialog.showModal();
}

/**
 * Leaves a form without saving: the focus goes back to the entry.
 * @param {HTMLElement | null} details
 */
function leave(details) {
  if (!(details instanceof HTMLDetailsElement)) return;
  details.querySelector("form")?.reset();
  details.open = false;
  const entry = around(details, ENTRY);
  if (entry) goTo(entry);
}

/** The moment around which the recording is played over and over. @type {number | null} */
let loopedAt = null;
const HALF_S = 3;

/** @param {number} t */
function loop(t) {
  const media = one("media", HTMLVideoElement);
  if (media.hidden) return;
  loopedAt = loopedAt === t ? null : t;
  if (loopedAt === null) return media.pause();
  media.currentTime = Math.max(t - HALF_S, 0);
  media.play().catch(() => undefined);
}
one("media", HTMLVideoElement).addEventListener("timeupdate", () => {
  const media = one("media", HTMLVideoElement);
  if (loopedAt === null) return;
  if (media.currentTime > loopedAt + HALF_S) media.currentTime = Math.max(loopedAt - HALF_S, 0);
  else if (media.currentTime < loopedAt - HALF_S - 1) loopedAt = null;
});
one("media", HTMLVideoElement).addEventListener("pause", () => (loopedAt = null));

/** @param {HTMLElement} button */
function press(button) {
  const dialog = button.dataset.opens ? document.getElementById(button.dataset.opens) : null;
  if (dialog instanceof HTMLDialogElement) return openDialog(dialog);
  if (button.dataset.form) {
    const details = document.getElementById(button.dataset.form);
    const entry = around(details, ENTRY);
    if (!(details instanceof HTMLDetailsElement) || !entry) return;
    goTo(entry);
    details.open = true;
    const field = details.querySelector(button.dataset.field ? `[name="${button.dataset.field}"]` : "select, input");
    if (field instanceof HTMLElement) field.focus();
    if (field instanceof HTMLInputElement) field.select();
    return;
  }
  if (button.dataset.closes !== undefined) return button.closest("dialog")?.close();
  if (button.dataset.cancels !== undefined) return leave(around(button, "details[open]"));
  if (button.dataset.step) return nextDoubt(Number(button.dataset.step));
  if (button.dataset.loop) return loop(Number(button.dataset.loop));
  if (button.dataset.unfolds) {
    const details = one(button.dataset.unfolds, HTMLDetailsElement);
    details.open = !details.open;
    return;
  }
  if (button.dataset.decision) void decide(/** @type {Decision} */ (JSON.parse(button.dataset.decision)));
}

document.addEventListener("click", (event) => {
  const entry = around(event.target, `${ENTRY}, ${CUE}`);
  if (entry) choose(entry);
  const button = around(event.target, "button");
  if (button) press(button);
});
document.addEventListener("focusin", (event) => {
  const entry = around(event.target, `${ENTRY}, ${CUE}`);
  if (entry) choose(entry);
});

/** @param {number} step */
function nextDoubt(step) {
  const doubts = [...view.querySelectorAll("#doubts .entry")].filter((each) => each instanceof HTMLElement);
  const at = chosen ? doubts.indexOf(chosen) : -1;
  const next = doubts[at < 0 ? 0 : Math.min(Math.max(at + step, 0), doubts.length - 1)];
  if (next) goTo(next);
}

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const target = event.target;
  if (event.key === "Escape") {
    const details = around(target, "details[open]");
    leave(details);
    return;
  }
  // In a form Enter saves what it says, in a list of choices, too.
  if (event.key === "Enter" && target instanceof HTMLSelectElement && target.form) {
    event.preventDefault();
    target.form.requestSubmit();
    return;
  }
  if (!single.checked || document.querySelector("dialog[open]")) return;
  if (isTyping(target)) return;
  // A button or a checkbox has its own Enter. Where the entry itself has the focus, Enter is its main answer.
  const key = event.key === "Backspace" ? "Delete" : event.key;
  if (key === "Enter" && target instanceof Element && target.closest("button, summary, input, a:not(.at)")) return;
  const own = [...(chosen?.querySelectorAll("[data-key]") ?? [])];
  const everywhere = [...document.querySelectorAll(".everywhere [data-key]")];
  const button = [...own, ...everywhere].find((each) => each instanceof HTMLElement && each.dataset.key === key);
  if (!(button instanceof HTMLButtonElement) || button.disabled) return;
  event.preventDefault();
  press(button);
});

/** Another window may have decided something meanwhile. */
async function lookAgain() {
  if (document.hidden || busy) return;
  try {
    const answer = await fetch(`${view.dataset.view}?revision=${view.dataset.revision}`);
    if (answer.status !== 200) return;
    const shown = /** @type {Shown} */ (await answer.json());
    // The file only grows: what comes late and is older than what is shown is let go.
    if (busy || shown.revision <= Number(view.dataset.revision)) return;
    const before = chosen;
    const stand = before && !before.closest("#doubts") ? { ...before.dataset } : null;
    choose(null);
    show(shown);
    if (stand) {
      const place = document.createElement("p");
      Object.assign(place.dataset, stand);
      chooseAgain(place);
    }
    tell("This bout was changed in another window.");
  } catch {
    // The desk has been closed: the next decision says so.
  }
}
document.addEventListener("visibilitychange", () => void lookAgain());
window.addEventListener("focus", () => void lookAgain());
