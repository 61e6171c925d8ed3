// What the scripts of the desks share.

/**
 * The element of an id, of the kind that it is there as.
 * @template {HTMLElement} T
 * @param {string} id
 * @param {new () => T} kind
 * @returns {T}
 */
export function one(id, kind) {
  const found = document.getElementById(id);
  if (!(found instanceof kind)) throw new Error(`no ${kind.name} #${id}`);
  return found;
}

/**
 * The nearest element of the selector around what an event is about.
 * @param {EventTarget | null} target
 * @param {string} selector
 * @returns {HTMLElement | null}
 */
export function around(target, selector) {
  const found = target instanceof Element ? target.closest(selector) : null;
  return found instanceof HTMLElement ? found : null;
}

/**
 * Whether keys are letters here: in a field that is written in, or a list of choices. A field of a dialog that was closed
 * keeps the focus until the page is next drawn, and is none.
 * @param {EventTarget | null} target
 */
export function isTyping(target) {
  const field =
    target instanceof HTMLSelectElement ||
    (target instanceof HTMLInputElement && !["checkbox", "radio", "file"].includes(target.type));
  return field && target.checkVisibility();
}
