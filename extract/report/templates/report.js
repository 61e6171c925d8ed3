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
    media.parentElement?.classList.toggle("pinned", Boolean(chosen));
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
    media.parentElement?.classList.remove("pinned");
  });
  document.addEventListener("click", (event) => {
    const link = around(event, "[data-t]");
    if (!link || !address || media.hidden) return;
    // With a recording a time plays and the page stays; the arrow beside it leads to the line.
    event.preventDefault();
    media.currentTime = Number(link.dataset.t);
    media.play().catch(() => undefined);
  });
  media.addEventListener("timeupdate", () => {
    const now = media.currentTime;
    for (const cue of cues) {
      cue.classList.toggle("now", now >= Number(cue.dataset.start) && now < Number(cue.dataset.end));
    }
  });

  // What is folded on the screen belongs on the paper.
  window.addEventListener("beforeprint", () => {
    for (const notes of document.querySelectorAll("details.notes")) notes.setAttribute("open", "");
  });

  const only = one("only-marked", HTMLInputElement);
  const filter = () => talk.classList.toggle("only", only.checked);
  only.addEventListener("change", filter);
  // A browser that comes back to the page puts the tick back, without a word to the script.
  window.addEventListener("pageshow", filter);

  /**
   * Puts a text on the clipboard. A page that was opened from a file may have no other way than a selection.
   * @param {string} text
   */
  async function copied(text) {
    try {
      await navigator.clipboard.writeText(text);
      return true;
    } catch {
      const field = document.createElement("textarea");
      field.value = text;
      document.body.append(field);
      field.select();
      const done = document.execCommand("copy");
      field.remove();
      return done;
    }
  }
  document.addEventListener("click", async (event) => {
    const button = around(event, "button[data-copy]");
    if (!button) return;
    const done = await copied(button.dataset.copy ?? "");
    button.focus();
    button.textContent = done ? "Copied" : "Not copied";
    setTimeout(() => (button.textContent = "Copy"), 2000);
  });

  /**
   * Gives the reader a file.
   * @param {Blob} blob
   * @param {string} name
   */
  function hand(blob, name) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(blob);
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  }

  /**
   * The drawing as a picture with its title and the caveat, as SVG or, drawn by the browser, as PNG.
   * @param {string} form
   */
  function savePicture(form) {
    const drawn = one("picture", HTMLTemplateElement).content.querySelector("svg");
    if (!drawn) return;
    const name = `${document.title.replace(/[^\p{L}\p{N}-]+/gu, "-").slice(0, 80)}.${form}`;
    const svg = new Blob([new XMLSerializer().serializeToString(drawn)], { type: "image/svg+xml" });
    if (form === "svg") return hand(svg, name);
    const image = new Image();
    const address = URL.createObjectURL(svg);
    image.addEventListener("load", () => {
      const canvas = document.createElement("canvas");
      canvas.width = image.width;
      canvas.height = image.height;
      canvas.getContext("2d")?.drawImage(image, 0, 0);
      URL.revokeObjectURL(address);
      canvas.toBlob((png) => png && hand(png, name), "image/png");
    });
    image.src = address;
  }
  document.addEventListener("click", (event) => {
    const button = around(event, "button[data-save]");
    if (button) savePicture(button.dataset.save ?? "svg");
  });

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
