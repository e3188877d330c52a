// A room file brought on to the workbench, dropped anywhere or chosen by the button: the server reads it and asks first.
import { home, root, view } from "./page.js";
import { keep } from "./hand.js";

const bringing = document.getElementById("bringing");
const message = document.getElementById("message");
const bringsFile = (event) => event.dataTransfer?.types.includes("Files");

export function startDropping() {
  const chosen = bringing.querySelector("input[type=file]");
  document.addEventListener("dragover", (event) => {
    if (!bringsFile(event)) return;
    event.preventDefault();
    root.classList.add("over");
  });
  document.addEventListener("dragleave", (event) => {
    if (event.relatedTarget === null) root.classList.remove("over");
  });
  document.addEventListener("drop", (event) => {
    if (!bringsFile(event)) return;
    event.preventDefault();
    root.classList.remove("over");
    chosen.files = event.dataTransfer.files;
    bring(chosen);
  });
  chosen.addEventListener("change", () => bring(chosen));
  home.addEventListener("click", (event) => {
    if (event.target.closest("[data-bring]")) chosen.click();
  });
  message.addEventListener("click", (event) => {
    if (event.target.closest("[data-leave]")) message.replaceChildren();
  });
  document.addEventListener("htmx:after:swap", (event) => {
    if (event.detail.ctx?.sourceElement === bringing) message.querySelector("#dropped-head")?.focus();
  });
}

function bring(chosen) {
  if (chosen.files.length > 1) return refuse(`${chosen.files.length} files at once. Drop one room file at a time.`);
  if (chosen.files.length === 0) return;
  keep();
  bringing.elements.namedItem("layout").value = view().layout;
  bringing.requestSubmit();
  chosen.value = "";
}

function refuse(words) {
  const box = document.createElement("section");
  box.className = "trouble";
  const told = document.createElement("p");
  told.textContent = words;
  box.append(told);
  message.replaceChildren(box);
}
