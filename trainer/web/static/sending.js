// Sends forms: asks first whether the server answers, keeps what was typed, tries again by itself.

const SLOW = 400;
const AGAIN = 3000;
const FREE = 10000;
const PROBE = new URL("alive.txt", import.meta.url);

const show = (id, on) => {
  const part = document.getElementById(id);
  if (part) part.hidden = !on;
};

async function answers() {
  try {
    const reply = await fetch(PROBE, { cache: "no-store", signal: AbortSignal.timeout(8000) });
    return reply.ok;
  } catch {
    return false;
  }
}

async function sendWhenItAnswers(form, button) {
  const slow = setTimeout(() => show("busy", true), SLOW);
  while (!(await answers())) {
    show("busy", false);
    show("offline", true);
    await new Promise((done) => setTimeout(done, AGAIN));
  }
  show("offline", false);
  form.dataset.sending = "yes";
  form.requestSubmit(button);
  // A file as the answer leaves the page standing: the form must work again.
  setTimeout(() => {
    clearTimeout(slow);
    show("busy", false);
    delete form.dataset.sending;
  }, FREE);
}

export function watchForms(page) {
  page.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented || form.method !== "post") return;
    if (form.dataset.sending === "yes") {
      form.dataset.sending = "sent";
      return;
    }
    event.preventDefault();
    if (form.dataset.sending) return; // a second press while the first is on its way
    form.dataset.sending = "asking";
    sendWhenItAnswers(form, event.submitter);
  });
  // Coming back by the back button: the form may be sent again.
  window.addEventListener("pageshow", () => {
    show("busy", false);
    for (const form of page.querySelectorAll("form[data-sending]")) delete form.dataset.sending;
  });
  window.addEventListener("offline", () => show("offline", true));
  window.addEventListener("online", () => show("offline", false));
}
