"use strict";
(() => {
  const media = document.getElementById("media");
  const file = document.getElementById("media-file");
  const cues = [...document.querySelectorAll(".cue")];
  let address = "";
  file.addEventListener("change", () => {
    if (address) URL.revokeObjectURL(address);
    const chosen = file.files[0];
    media.hidden = !chosen;
    address = chosen ? URL.createObjectURL(chosen) : "";
    media.src = address;
  });
  document.addEventListener("click", (event) => {
    const link = event.target.closest("[data-t]");
    if (!link || !address) return;
    media.currentTime = Number(link.dataset.t);
    media.play().catch(() => undefined);
  });
  media.addEventListener("timeupdate", () => {
    for (const cue of cues) {
      const now = media.currentTime >= Number(cue.dataset.start) && media.currentTime < Number(cue.dataset.end);
      cue.classList.toggle("now", now);
    }
  });
  document.getElementById("only-marked").addEventListener("change", (event) => {
    document.getElementById("talk").classList.toggle("only", event.target.checked);
  });
})();
