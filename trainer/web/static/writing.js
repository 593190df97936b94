// While a question is written: what a learner will see follows the fields. Nothing is saved by looking, and without
// script the page's own buttons do the same.
const PAUSE = 600;
const PARTS = ["spots", "offers", "beside"];

const form = document.getElementById("fields");
let waiting = null;
let asked = null;

async function look() {
  asked?.abort();
  asked = new AbortController();
  try {
    const body = new FormData(form);
    body.delete("picture"); // a photo is sent once, by `bring`
    const reply = await fetch(form.dataset.look, { method: "POST", body, signal: asked.signal });
    if (reply.ok && !reply.redirected) show(await reply.text());
  } catch {
    // No connection, or another look has begun: what stands there stays, and the next key asks again.
  }
}

function show(text) {
  const page = new DOMParser().parseFromString(text, "text/html");
  for (const id of PARTS) {
    const [old, fresh] = [document.getElementById(id), page.getElementById(id)];
    if (!old || !fresh || old.contains(document.activeElement) || old.innerHTML === fresh.innerHTML) continue;
    const open = [...old.querySelectorAll("details")].map((one) => one.open);
    old.replaceWith(fresh);
    fresh.querySelectorAll("details").forEach((one, at) => { one.open = open[at] ?? false; });
  }
}

// A chosen photo goes up at once, with the fields as they are; the page that comes back has it, or says what is wrong.
async function bring() {
  const said = document.getElementById("bringing");
  said.textContent = said.dataset.sending;
  const body = new FormData(form);
  body.set("go", "look");
  try {
    const reply = await fetch(form.action, { method: "POST", body });
    const page = new DOMParser().parseFromString(await reply.text(), "text/html");
    const fresh = page.getElementById("picture");
    if (!fresh) throw new Error("another page");
    document.getElementById("picture").replaceWith(fresh);
    fresh.focus();
    look();
  } catch {
    said.textContent = said.dataset.failed; // the file is still chosen: the page's own buttons send it along
  }
}

form.addEventListener("input", (event) => {
  if (event.target.name === "picture") {
    if (event.target.files.length) bring();
    return;
  }
  clearTimeout(waiting);
  waiting = setTimeout(look, PAUSE);
});
