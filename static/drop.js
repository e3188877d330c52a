// A room file dropped anywhere on the page is put into the form and sent. Without this script the form does the same.
const form = document.querySelector("[data-drop]");
const input = form.querySelector("input[type=file]");

const bringsFile = (event) => event.dataTransfer?.types.includes("Files");

function refuse(words) {
  const told = document.createElement("p");
  told.className = "trouble";
  told.textContent = words;
  document.getElementById("message").replaceChildren(told);
}

form.querySelector("[data-drop-hint]").hidden = false;

document.addEventListener("dragover", (event) => {
  if (!bringsFile(event)) return;
  event.preventDefault();
  document.body.classList.add("over");
});

document.addEventListener("dragleave", (event) => {
  if (event.relatedTarget === null) document.body.classList.remove("over");
});

document.addEventListener("drop", (event) => {
  if (!bringsFile(event)) return;
  event.preventDefault();
  document.body.classList.remove("over");
  const { files } = event.dataTransfer;
  if (files.length > 1) return void refuse(`${files.length} files at once. Drop one file at a time.`);
  input.files = files;
  if (input.files.length > 0) form.requestSubmit();
});
