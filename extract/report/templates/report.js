"use strict";
(() => {
  /**
   * The element of an id, of the kind that it is there as.
   * @template {HTMLElement} T
   * @param {string} id
   * @param {new () => T} kind
   * @returns {T}
   */
  function one(id, kind) {
    const found = document.getElementById(id);
    if (!(found instanceof kind)) throw new Error(`no ${kind.name} #${id}`);
    return found;
  }

  /**
   * The nearest element of the selector around what an event is about.
   * @param {Event} event
   * @param {string} selector
   * @returns {HTMLElement | null}
   */
  function around(event, selector) {
    const found = event.target instanceof Element ? event.target.closest(selector) : null;
    return found instanceof HTMLElement ? found : null;
  }

  const media = one("media", HTMLVideoElement);
  const file = one("media-file", HTMLInputElement);
  const trouble = one("media-trouble", HTMLElement);
  const talk = one("talk", HTMLElement);
  const cues = [...talk.querySelectorAll(".cue")].filter((cue) => cue instanceof HTMLElement);
  let address = "";

  file.addEventListener("change", () => {
    if (address) URL.revokeObjectURL(address);
    const chosen = file.files?.[0];
    media.hidden = !chosen;
    trouble.hidden = true;
    address = chosen ? URL.createObjectURL(chosen) : "";
    if (address) media.src = address;
    else media.removeAttribute("src");
  });
  media.addEventListener("loadedmetadata", () => media.classList.toggle("sound", !media.videoWidth));
  media.addEventListener("error", () => {
    if (!address) return;
    trouble.hidden = false;
    media.hidden = true;
  });
  document.addEventListener("click", (event) => {
    const link = around(event, "[data-t]");
    if (!link || !address) return;
    media.currentTime = Number(link.dataset.t);
    media.play().catch(() => undefined);
  });
  media.addEventListener("timeupdate", () => {
    const now = media.currentTime;
    for (const cue of cues) {
      cue.classList.toggle("now", now >= Number(cue.dataset.start) && now < Number(cue.dataset.end));
    }
  });

  const only = one("only-marked", HTMLInputElement);
  const filter = () => talk.classList.toggle("only", only.checked);
  only.addEventListener("change", filter);
  // A browser that comes back to the page puts the tick back, without a word to the script.
  window.addEventListener("pageshow", filter);

  /**
   * A reading is shown by the style sheet; this keeps it inside the window.
   * @param {Event} event
   */
  function place(event) {
    talk.classList.remove("quiet");
    const reading = around(event, ".mark")?.querySelector(".reading");
    if (!(reading instanceof HTMLElement)) return;
    reading.style.left = "0";
    const box = reading.getBoundingClientRect();
    const over = Math.max(box.right + 8 - document.documentElement.clientWidth, 0);
    reading.style.left = `${-Math.min(over, box.left - 8)}px`;
  }
  talk.addEventListener("mouseover", place);
  talk.addEventListener("focusin", place);
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") talk.classList.add("quiet");
  });
})();
