// Sends forms: asks first whether the server answers and the person is still signed in, keeps what was typed,
// tries again by itself.

const SLOW = 400;
const AGAIN = 3000;
const FREE = 10000;

export const show = (id, on) => {
  const part = document.getElementById(id);
  if (part) part.hidden = !on;
};

// What stands in the way of sending now: nothing, no connection, or a session that has ended.
export async function hindrance() {
  const { here, person } = document.body.dataset;
  try {
    const reply = await fetch(here, { cache: "no-store", signal: AbortSignal.timeout(8000) });
    if (!reply.ok) return "offline";
    return person && (await reply.json()).person !== person ? "signed-out" : null;
  } catch {
    return "offline";
  }
}

// Waits until nothing stands in the way of sending, and says meanwhile what does.
export async function untilItAnswers() {
  for (let why = await hindrance(); why; why = await hindrance()) {
    show("busy", false);
    show("offline", why === "offline");
    show("signed-out", why === "signed-out");
    await new Promise((done) => setTimeout(done, AGAIN));
  }
  show("offline", false);
  show("signed-out", false);
}

async function sendWhenItAnswers(form, button) {
  const slow = setTimeout(() => show("busy", true), SLOW);
  await untilItAnswers();
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
