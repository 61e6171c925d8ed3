// Copies the sentence beside a button; where there is no clipboard, it is selected for the keyboard's own copy.
const told = document.getElementById("told");
for (const button of document.querySelectorAll(".copy")) {
  button.hidden = false;
  button.addEventListener("click", async () => {
    const sentence = button.parentElement.querySelector(".sentence");
    let done = "Copied";
    try {
      await navigator.clipboard.writeText(sentence.textContent);
    } catch {
      getSelection().selectAllChildren(sentence);
      done = document.execCommand("copy") ? done : "Selected";
    }
    button.textContent = done;
    told.textContent = `${done}: ${sentence.textContent}`;
    setTimeout(() => { button.textContent = "Copy"; }, 2000);
  });
}
