// What script adds to a bench: acts are sent without leaving the page and kept on this device until the server has
// them; handles and cards are pulled; what rolls is played. It knows no bench: drawings and forms say what is what.
import { carryCards } from "./carrying.js";
import { pullHandles, stepNumbers } from "./pulling.js";
import { Runner } from "./rolling.js";
import { show, untilItAnswers } from "./sending.js";

const SLOW = 400;
const AGAIN = 3000;

class Bench {
  constructor(region) {
    this.region = region;
    this.key = `stringline bench ${region.dataset.key}`;
    this.busy = false;
    region.addEventListener("submit", (event) => this.pressed(event));
    this.dress(false);
    this.sendKept();
  }

  // Everything that script adds to what the server sent.
  dress(played) {
    this.runner?.stop();
    stepNumbers(this.region);
    pullHandles(this.region);
    carryCards(this.region);
    this.runner = Runner.of(this.region);
    if (played) this.runner?.playUnlessStill();
  }

  pressed(event) {
    const form = event.target;
    if (!form.matches(".offer")) return;
    event.preventDefault();
    const body = new URLSearchParams(new FormData(form, event.submitter));
    this.send(form.action, body, event.submitter?.id ?? "");
  }

  // What was pressed stays the same through every try, so that the server sees one and the same act.
  async send(address, body, pressed) {
    if (this.busy) return;
    this.busy = true;
    this.region.setAttribute("aria-busy", "true");
    this.keep({ address, body: body.toString(), number: this.region.dataset.number });
    const slow = setTimeout(() => show("busy", true), SLOW);
    let reply = await this.post(address, body);
    while (!reply) {
      await untilItAnswers();
      reply = await this.post(address, body);
      if (!reply) await new Promise((done) => setTimeout(done, AGAIN));
    }
    clearTimeout(slow);
    show("busy", false);
    this.keep(null);
    this.busy = false;
    this.region.removeAttribute("aria-busy");
    if (reply.elsewhere) location.reload();
    else this.taken(reply, pressed);
  }

  async post(address, body) {
    try {
      const reply = await fetch(address, {
        method: "POST", body, headers: { Accept: "application/json" }, signal: AbortSignal.timeout(10000),
      });
      if (reply.status >= 500) return null; // nothing was decided, so the same request may go again
      const json = reply.headers.get("Content-Type")?.startsWith("application/json");
      return json ? await reply.json() : { elsewhere: true };
    } catch {
      return null;
    }
  }

  taken(reply, pressed) {
    const open = [...this.region.querySelectorAll("details[id][open]")].map((one) => one.id);
    const fresh = new DOMParser().parseFromString(reply.html, "text/html").getElementById("bench");
    this.region.replaceChildren(...fresh.childNodes);
    this.region.dataset.number = fresh.dataset.number;
    for (const one of this.region.querySelectorAll("details[id]")) one.open ||= open.includes(one.id);
    this.dress(reply.done);
    this.speak(reply.said);
    const over = this.region.querySelector("#result-title, #ended-title");
    const again = over ?? (pressed ? document.getElementById(pressed) : null);
    if (over) over.scrollIntoView({ block: "start" });
    again?.focus({ preventScroll: true });
    // What rolls is brought into sight; what is there already does not move.
    if (!over && reply.done) this.runner?.rolls?.closest("figure").scrollIntoView({ block: "nearest" });
  }

  // For those who hear the page: what stands in the region is not announced when it is put in.
  speak(said) {
    const line = document.createElement("p");
    line.className = "apart";
    line.textContent = said;
    document.getElementById("said").replaceChildren(line);
  }

  keep(what) {
    try {
      if (what) localStorage.setItem(this.key, JSON.stringify(what));
      else localStorage.removeItem(this.key);
    } catch {
      // Without a store an act that did not arrive is only on this page.
    }
  }

  // An act that was pressed before a reload and may not have arrived; the server knows it again by its number.
  sendKept() {
    let kept = null;
    try {
      kept = JSON.parse(localStorage.getItem(this.key));
    } catch {
      return;
    }
    if (!kept) return;
    if (kept.number !== this.region.dataset.number) return this.keep(null);
    const token = this.region.querySelector("[name=csrf_token]");
    if (!token) return this.keep(null);
    const body = new URLSearchParams(kept.body);
    body.set("csrf_token", token.value);
    this.send(kept.address, body, "");
  }
}

const region = document.getElementById("bench");
if (region) new Bench(region);
