// What script adds to an exam: the time counted down, answers kept on this device until the server has them,
// saving that tries again by itself with the same revision. Without script the form does its own work.

const AGAIN = 3000;
const WORD = "stringline said";

function countDown(line) {
  const said = document.getElementById("announce");
  const shown = line.querySelector("[data-left]");
  // Only differences of this device's clock are used: it may be set wrong.
  const ends = new Date(line.dataset.deadline) - new Date(line.dataset.now) + performance.now();
  const announced = new Set();
  const announce = (name) => {
    if (!announced.has(name)) said.textContent = said.dataset[name];
    announced.add(name);
  };
  const tick = () => {
    const left = ends - performance.now();
    const minutes = Math.max(0, Math.ceil(left / 60000));
    shown.textContent = minutes === 1 ? line.dataset.one : line.dataset.many.replace("#", minutes);
    if (left <= 0) {
      shown.textContent = line.dataset.over;
      setTimeout(() => location.reload(), 2000);
      return;
    }
    if (left <= 60000) announce("last");
    else if (left <= 300000 && left > 240000) announce("five");
    setTimeout(tick, 1000);
  };
  tick();
}

function storedDraft(key) {
  try {
    return JSON.parse(localStorage.getItem(key));
  } catch {
    return null;
  }
}

function fieldsOf(form) {
  const skip = new Set(["csrf_token", "revision"]);
  return [...new FormData(form)].filter(([name]) => !skip.has(name));
}

function fill(form, fields) {
  for (const control of form.elements) {
    if (!control.name || control.type === "hidden") continue;
    const values = fields.filter(([name]) => name === control.name).map(([, value]) => value);
    if (control.type === "radio" || control.type === "checkbox") control.checked = values.includes(control.value);
    else control.value = values[0] ?? "";
  }
}

// The word on what was saved goes with the person to the next page, where a screen reader says it.
function keepWord(said) {
  try {
    sessionStorage.setItem(WORD, said);
  } catch {
    // Without a store the next page says nothing; the list of questions still shows it.
  }
}

function sayKeptWord() {
  let said = null;
  try {
    said = sessionStorage.getItem(WORD);
    sessionStorage.removeItem(WORD);
  } catch {
    return;
  }
  if (!said) return;
  const line = document.createElement("p");
  line.className = "said";
  line.textContent = said;
  document.getElementById("said").append(line);
}

class Saving {
  constructor(form) {
    this.form = form;
    this.status = document.getElementById("saving");
    this.key = `stringline exam ${form.dataset.key}`;
    this.busy = false;
    this.restore();
    form.addEventListener("input", () => this.draft());
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.send();
    });
  }

  say(name, more = "") {
    this.status.textContent = `${this.status.dataset[name]} ${more}`.trim();
  }

  draft() {
    const kept = { revision: this.form.elements.revision.value, fields: fieldsOf(this.form) };
    try {
      localStorage.setItem(this.key, JSON.stringify(kept));
    } catch {
      // A full or closed store only means that there is no draft.
    }
    this.say("draft");
  }

  restore() {
    const kept = storedDraft(this.key);
    if (!kept) return;
    if (kept.revision !== this.form.elements.revision.value) {
      localStorage.removeItem(this.key);
      return;
    }
    fill(this.form, kept.fields);
    this.say("kept");
  }

  async send() {
    if (this.busy) return;
    this.busy = true;
    this.draft();
    this.say("sending");
    // What is sent stays the same through every try, so that the server sees one and the same answer.
    const body = new URLSearchParams(new FormData(this.form));
    for (;;) {
      const reply = await this.post(body);
      if (reply && !reply.again) return this.taken(reply);
      // A clock that stands is no refusal: the answer goes again, the same, until it runs.
      if (reply) this.say("refused", reply.reasons.join(" "));
      else this.say("waiting");
      await new Promise((done) => setTimeout(done, AGAIN));
    }
  }

  async post(body) {
    try {
      const reply = await fetch(this.form.action, {
        method: "POST", body, headers: { Accept: "application/json" }, signal: AbortSignal.timeout(10000),
      });
      // 5xx: nothing was decided, so the same request may go again.
      if (reply.status >= 500) return null;
      const json = reply.headers.get("Content-Type")?.startsWith("application/json");
      // Anything else, such as the door after the session ended, is a page for the person.
      return json ? await reply.json() : { elsewhere: true };
    } catch {
      return null;
    }
  }

  taken(reply) {
    this.busy = false;
    if (reply.saved) {
      localStorage.removeItem(this.key);
      this.say("saved");
      keepWord(reply.said);
      location.assign(reply.next);
    } else if (reply.elsewhere || reply.moved) {
      // The exam goes on in another place, or the session ended: the page says what to do. The draft stays on this
      // device and is there again after signing in.
      location.reload();
    } else {
      this.form.elements.revision.value = reply.revision;
      this.draft();
      this.say("refused", reply.reasons.join(" "));
    }
  }
}

// Pages that wait for somebody else look again by themselves, as long as they are in sight.
function lookAgain(line) {
  setTimeout(() => {
    if (document.visibilityState === "visible") location.reload();
    else lookAgain(line);
  }, Number(line.dataset.lookIn) * 1000);
}

sayKeptWord();
const waits = document.querySelector("[data-look-in]");
if (waits) lookAgain(waits);
const clock = document.querySelector(".timeleft");
if (clock) countDown(clock);
const form = document.getElementById("exam-answer");
if (form) new Saving(form);
