// Warns before the page is left with something that is not saved yet. On the workbench the script of the page says what
// is; on pages with one large form, marked data-warn, that is whatever was typed since it was last sent.

/** Asks the browser to warn as long as `isUnsaved()` holds when the page is about to go. */
export function warnWhile(isUnsaved) {
  window.addEventListener("beforeunload", (event) => {
    if (isUnsaved()) event.preventDefault();
  });
}

const marked = document.querySelector("[data-warn]");
if (marked) {
  let typed = marked.querySelector(".trouble") !== null;
  warnWhile(() => typed);
  marked.addEventListener("input", () => { typed = true; });
  document.addEventListener("submit", () => { typed = false; });
  document.addEventListener("htmx:after:swap", (event) => {
    if (marked.dataset.warn === "until-swapped" && event.detail.ctx?.response?.status < 400) typed = false;
  });
}
