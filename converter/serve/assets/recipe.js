// Makes the recipe's page quicker: answers without leaving the place, dropped files, copying. Everything works without.
"use strict";

const said = document.getElementById("said");
const main = document.getElementById("main");

function tell(words) {
  if (!said) return;
  said.textContent = "";
  // A region that is filled anew is read out anew.
  window.setTimeout(() => { said.textContent = words; }, 50);
}

// ---- answers: the same form, sent in place; only the contents change

function freshMain(words) {
  return new DOMParser().parseFromString(words, "text/html").getElementById("main");
}

async function answer(form, button) {
  const step = form.closest(".step");
  const open = [...main.querySelectorAll("details[open]")].map(placeOf);
  form.setAttribute("aria-busy", "true");
  const fields = new FormData(form);
  fields.set(button.name, button.value);
  let reply;
  try {
    reply = await fetch(form.action, { method: "POST", body: new URLSearchParams(fields), headers: { "X-Part": "1" } });
  } catch {
    form.removeAttribute("aria-busy");
    tell("That could not be sent: undial does not answer. Is it still running?");
    return;
  }
  const fresh = freshMain(await reply.text());
  if (!fresh) {
    form.submit();
    return;
  }
  const above = step ? step.getBoundingClientRect().top : 0;
  main.replaceChildren(...fresh.childNodes);
  for (const details of main.querySelectorAll("details")) {
    if (open.includes(placeOf(details)) && !details.matches(".own, .more, .menu")) details.open = true;
  }
  const alert = main.querySelector(".alert");
  const now = step && document.getElementById(step.id);
  if (!reply.ok && alert) {
    alert.tabIndex = -1;
    alert.focus();
    return;
  }
  if (now) {
    window.scrollBy({ top: now.getBoundingClientRect().top - above, behavior: "instant" });
    now.classList.add("fresh");
    now.focus({ preventScroll: true });
    history.replaceState(null, "", `#${now.id}`);
  }
  const left = main.querySelector(".left");
  const told = [button.value === "back" ? "Taken back." : "Kept."];
  if (now) told.push(`Step ${now.id.replace("step-", "")} is now:`, plainWords(now.querySelector(".now .words")));
  if (left) told.push(plainWords(left));
  tell(told.join(" "));
}

// The words that are seen, without those for readers of the whole page.
function plainWords(element) {
  const copy = element.cloneNode(true);
  for (const extra of copy.querySelectorAll(".only-read, [aria-hidden]")) extra.remove();
  return copy.textContent.trim();
}

function placeOf(details) {
  const step = details.closest(".step");
  return `${step ? step.id : ""} ${details.className}`;
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || !form.matches("[data-swap]") || !event.submitter) return;
  event.preventDefault();
  if (form.getAttribute("aria-busy") !== "true") answer(form, event.submitter);
});

// ---- copy and print

document.addEventListener("click", async (event) => {
  const link = event.target instanceof Element ? event.target.closest("[data-copy]") : null;
  if (!link || !navigator.clipboard || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  try {
    const reply = await fetch(link.dataset.copy);
    if (!reply.ok) throw new Error(reply.statusText);
    await navigator.clipboard.writeText(await reply.text());
    link.textContent = "Copied";
    tell("The recipe is copied as text.");
    window.setTimeout(() => { link.textContent = "Copy"; }, 4000);
  } catch {
    window.location.assign(link.href);
  }
});

const printing = document.querySelector("[data-print-now]");
if (printing) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "main";
  button.textContent = "Print";
  button.addEventListener("click", () => window.print());
  printing.replaceWith(button);
}

const words = document.querySelector(".select-all");
if (words) {
  words.focus();
  words.select();
}

// ---- a menu closes by Escape and by a click elsewhere

document.addEventListener("keydown", (event) => {
  const menu = event.key === "Escape" && document.querySelector(".menu[open]");
  if (menu) {
    menu.open = false;
    menu.querySelector("summary").focus();
  }
});
document.addEventListener("click", (event) => {
  for (const menu of document.querySelectorAll(".menu[open]")) {
    if (!menu.contains(event.target)) menu.open = false;
  }
});

// ---- dropped files

const take = document.getElementById("take");
if (take) {
  const file = document.getElementById("file");
  const field = document.getElementById("text");
  const busy = () => {
    tell("Reading the recipe.");
    const button = take.querySelector("button.main");
    button.textContent = "Reading …";
  };
  let depth = 0;
  const holds = (event) => event.dataTransfer && [...event.dataTransfer.types].includes("Files");
  document.addEventListener("dragenter", (event) => {
    if (!holds(event)) return;
    depth += 1;
    take.classList.add("over");
  });
  document.addEventListener("dragleave", (event) => {
    if (!holds(event)) return;
    depth -= 1;
    if (depth <= 0) take.classList.remove("over");
  });
  document.addEventListener("dragover", (event) => {
    if (holds(event)) event.preventDefault();
  });
  document.addEventListener("drop", (event) => {
    if (!holds(event) || !event.dataTransfer.files.length) return;
    event.preventDefault();
    depth = 0;
    take.classList.remove("over");
    file.files = event.dataTransfer.files;
    take.requestSubmit();
  });
  file.addEventListener("change", () => {
    if (file.files.length && !field.value.trim()) take.requestSubmit();
  });
  take.addEventListener("submit", busy);
  window.addEventListener("pageshow", () => { take.querySelector("button.main").textContent = "Rewrite the recipe"; });
}
