// What script adds to the checklist of a practical: every mark is kept on this device as it is made, and the page
// opens again where there is no connection. Signing needs the server, because the password is kept nowhere.
import { ASIDE, checklistOf, draftsOf, drop, dropArrived, isMarked, keyOf, lastObserver, load, save } from "./practical_drafts.js";
import { hindrance, show } from "./sending.js";

const AGAIN = 3000;
const NOT_KEPT = new Set(["csrf_token", "password", "form_id", "person", "machine", "device_times", "filled_offline"]);

class Checklist {
  constructor(form, key, address) {
    Object.assign(this, { form, key, address, words: document.getElementById("kept").dataset });
    this.mayHold = form.elements.password === undefined;
    document.querySelector("#offline p").textContent = this.words.gone;
    this.restore(load(key));
    form.addEventListener("input", (event) => this.marked(event.target));
    form.addEventListener("submit", (event) => this.pressed(event));
    this.offerErasing(document.getElementById("erase"));
    if (this.mayHold) return;
    const connected = () => this.connected(navigator.onLine);
    window.addEventListener("online", connected);
    window.addEventListener("offline", connected);
    connected();
    this.keep();
  }

  say(name) {
    document.getElementById("kept").textContent = this.words[name];
  }

  // Signing is put away while there is no connection, so that nobody types a password that would have to wait.
  connected(on) {
    show("signing", on);
    show("offline", !on);
  }

  restore(draft) {
    const fresh = { form: this.form.elements.form_id?.value, times: {}, fields: [], offline: false, sent: false };
    this.draft = draft ?? { ...fresh, address: this.address, title: document.querySelector("h1").textContent };
    if (!draft) return;
    for (const control of this.controls()) {
      const values = draft.fields.filter(([name]) => name === control.name).map(([, value]) => value);
      if (control.type === "radio" || control.type === "checkbox") control.checked = values.includes(control.value);
      else control.value = values[0] ?? "";
      if (control.type === "textarea" && control.value) control.closest("details")?.setAttribute("open", "");
    }
    if (this.form.elements.form_id) this.form.elements.form_id.value = draft.form;
    if (isMarked(draft)) this.say("unsent");
  }

  controls() {
    return [...this.form.elements].filter((one) => one.name && one.type !== "file" && !NOT_KEPT.has(one.name));
  }

  marked(control) {
    if (control.type === "file" || NOT_KEPT.has(control.name)) return;
    if (control.type === "radio") this.draft.times[control.name.replace(/^step-/, "")] = new Date().toISOString();
    this.draft.offline ||= this.mayHold || !navigator.onLine;
    this.say(this.keep() ? "unsent" : "full");
  }

  // What this page does not show stays in the draft as it was.
  keep() {
    const here = new Set(this.controls().map((one) => one.name));
    const others = this.draft.fields.filter(([name]) => !here.has(name));
    this.draft.fields = [...others, ...[...new FormData(this.form)].filter(([name]) => here.has(name))];
    const { device_times: times, filled_offline: offline } = this.form.elements;
    if (times) times.value = JSON.stringify(this.draft.times);
    if (offline) offline.value = this.draft.offline ? "yes" : "";
    return save(this.key, this.draft);
  }

  async pressed(event) {
    if (this.mayHold) return event.preventDefault();
    if (this.answers) return;
    event.preventDefault();
    if (await hindrance() === "offline") {
      this.form.elements.password.value = "";
      this.connected(false);
      return;
    }
    this.draft.sent = true;
    this.keep();
    this.answers = true;
    this.form.requestSubmit(event.submitter);
    this.answers = false;
  }

  offerErasing(button) {
    button.hidden = false;
    button.addEventListener("click", () => {
      if (!confirm(button.dataset.sure)) return;
      drop(this.key);
      location.assign(button.dataset.then);
    });
  }
}

// Puts aside what opens this page without a connection. Gives whether this browser can.
async function putAside({ shell, worker }) {
  if (!navigator.serviceWorker || !("caches" in window)) return false;
  try {
    const reply = await fetch(shell, { cache: "no-store" });
    if (!reply.ok || reply.redirected) return false;
    const page = new DOMParser().parseFromString(await reply.clone().text(), "text/html");
    const files = [...page.querySelectorAll("link[href], script[src]")];
    const cache = await caches.open(ASIDE);
    await cache.addAll(files.map((one) => one.getAttribute("href") ?? one.getAttribute("src")));
    await cache.put(shell, reply);
    await navigator.serviceWorker.register(worker, { scope: "/practicals" });
    await navigator.serviceWorker.ready;
    return true;
  } catch {
    return false;
  }
}

// The checklist as the server sent it, with its person and its token.
async function open(form) {
  const { person } = document.body.dataset;
  const { page } = form.dataset;
  const key = keyOf(person, checklistOf(page));
  // A refused form was sent to another address, which a reload would not open again.
  if (location.pathname + location.search !== page) history.replaceState(null, "", page);
  const arrived = navigator.onLine && form.dataset.refused !== "yes" ? await dropArrived(person) : [];
  const checklist = new Checklist(form, key, page);
  if (arrived.includes(key)) checklist.say("arrived");
  document.getElementById("can").textContent = checklist.words[(await putAside(form.dataset)) ? "ready" : "stay"];
}

// The page that was put aside: it knows nobody; all that it shows comes from the drafts of who signed in last.
function openAside(form) {
  show("offline", true);
  const observer = lastObserver();
  const checklist = checklistOf(location.href);
  const draft = observer && checklist ? load(keyOf(observer, checklist)) : null;
  if (draft) {
    document.querySelector("h1").textContent = document.title = draft.title;
    new Checklist(form, keyOf(observer, checklist), draft.address);
  } else {
    document.querySelector("#offline p").textContent = document.getElementById("kept").dataset.nothing;
  }
  form.hidden = !draft;
  watchForServer();
}

async function watchForServer() {
  while (await hindrance() === "offline") await new Promise((done) => setTimeout(done, AGAIN));
  location.reload();
}

// What is kept here and not sent, as links to its checklists.
async function list(section) {
  const observer = document.body.dataset.person || lastObserver();
  if (!observer) return;
  if (document.body.dataset.person) await dropArrived(observer);
  const drafts = draftsOf(observer).map(([, draft]) => draft).filter((one) => section.dataset.all || isMarked(one));
  for (const { address, title } of drafts) {
    const link = Object.assign(document.createElement("a"), { href: address, className: "card", textContent: title });
    const line = document.createElement("li");
    line.append(link);
    section.querySelector("ul").append(line);
  }
  section.hidden = !drafts.length;
}

const form = document.querySelector("form.checklist");
const section = document.getElementById("on-this-device");
if (form?.dataset.page) open(form);
else if (form) openAside(form);
if (section && !(form && !form.hidden)) list(section);
