// Makes forms and links of a room quicker: what they answer with is put into the page that stands, without loading it anew.

let region = null;

/** Say words to those who listen; polite, one at a time. */
export function say(words) {
  if (!region) {
    region = document.createElement("div");
    region.className = "only-read";
    region.setAttribute("role", "status");
    document.body.append(region);
  }
  region.textContent = "";
  setTimeout(() => { region.textContent = words; }, 60);
}

/** Fetch a page of ours; returns {page, url, status}. Rejects where the machine does not answer. */
export async function fetched(url, options = {}) {
  const answer = await fetch(url, { ...options, headers: { "X-Part": "1", ...options.headers }, credentials: "same-origin" });
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  return { page, url: answer.url, status: answer.status };
}

/** Put the part with this id out of another page in the place of ours. Returns the new part, null where one lacks it. */
export function swap(page, id) {
  const mine = document.getElementById(id);
  const other = page.getElementById(id);
  if (!mine || !other) return null;
  const made = document.importNode(other, true);
  mine.replaceWith(made);
  if (id === "main") document.title = page.title;
  return made;
}

/** The fields of a form as it would send them, with the button that was pressed. */
export function fields(form, button) {
  const all = new URLSearchParams(new FormData(form));
  if (button && button.name) all.append(button.name, button.value);
  return all;
}
