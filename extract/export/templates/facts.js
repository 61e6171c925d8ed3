"use strict";
// Copies the sentence beside a button; where there is no clipboard, it is selected for the keyboard's own copy.
(() => {
  const told = document.getElementById("told");
  for (const button of document.querySelectorAll("button.copy")) {
    const sentence = button.parentElement?.querySelector(".sentence");
    if (!(button instanceof HTMLButtonElement) || !sentence) continue;
    button.hidden = false;
    button.addEventListener("click", async () => {
      let done = "Copied";
      try {
        await navigator.clipboard.writeText(sentence.textContent ?? "");
      } catch {
        getSelection()?.selectAllChildren(sentence);
        done = document.execCommand("copy") ? done : "Selected";
      }
      button.textContent = done;
      if (told) told.textContent = `${done}: ${sentence.textContent}`;
      setTimeout(() => (button.textContent = "Copy"), 2000);
    });
  }
})();
