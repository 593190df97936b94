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
    const reply = await fetch(form.dataset.look, { method: "POST", body: new FormData(form), signal: asked.signal });
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

form.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(look, PAUSE);
});
