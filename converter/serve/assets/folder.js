// The folder room: the list follows the search as one types; a run is told of as it goes.
import { fetched, fields, say, swap } from "./quick.js";

const WAIT = 220;
let timer = 0;
let asking = null;

function watchSearch() {
  const form = document.getElementById("search");
  if (!form) return;
  document.body.classList.add("quick");
  form.addEventListener("input", (event) => {
    clearTimeout(timer);
    timer = setTimeout(look, event.target.id === "find" ? WAIT : 0);
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    clearTimeout(timer);
    look();
  });
}

async function look() {
  const form = document.getElementById("search");
  const asked = fields(form);
  for (const [name, value] of [...asked]) if (!value || (name === "sort" && value === "title")) asked.delete(name);
  const url = form.getAttribute("action") + (asked.size ? `?${asked}` : "");
  asking?.abort();
  asking = new AbortController();
  try {
    const { page } = await fetched(url, { signal: asking.signal });
    if (!swap(page, "found")) { location.assign(url); return; }
    swap(page, "search-go");
    history.replaceState(null, "", url);
    say(document.getElementById("found-name").textContent.trim());
  } catch (error) {
    if (error.name !== "AbortError") say("The page does not answer; is undial still running?");
  }
}

function watchRun() {
  const going = document.querySelector(".going");
  if (!going || !window.EventSource) return;
  document.getElementById("run-look").hidden = true;
  const source = new EventSource("/folder/run/events");
  let spoken = 0;
  source.addEventListener("progress", (event) => {
    const run = JSON.parse(event.data);
    show(run);
    if (Date.now() - spoken > 15000) { spoken = Date.now(); say(run.told); }
  });
  source.addEventListener("over", async (event) => {
    source.close();
    const { told } = JSON.parse(event.data);
    const held = document.activeElement?.closest("#run") !== null;
    try {
      const { page } = await fetched(location.pathname + location.search);
      const parts = ["sum", "run", "found", "lost"];
      if (parts.some((id) => !document.getElementById(id) !== !page.getElementById(id))) {
        location.reload();
        return;
      }
      for (const id of parts) swap(page, id);
      if (held) document.querySelector("#run button")?.focus();
      say(told);
    } catch {
      say("The page does not answer; is undial still running?");
    }
  });
  source.onerror = () => {
    document.getElementById("run-told").textContent = "The page does not answer for the moment; it is asked again.";
  };
}

function show(run) {
  document.getElementById("run-told").textContent = run.told;
  const bar = document.getElementById("run-bar");
  if (run.total) { bar.max = run.total; bar.value = run.done; }
  document.getElementById("run-stop").disabled = run.phase === "stopping";
  document.getElementById("run-failed").hidden = !run.last.length;
  document.getElementById("run-count").textContent = run.failed;
  document.getElementById("run-last").replaceChildren(...run.last.map(({ source, reason }) => {
    const line = document.createElement("li");
    const file = document.createElement("bdi");
    file.textContent = source;
    line.append(file, `: ${reason}`);
    return line;
  }));
}

watchSearch();
watchRun();
