// Cards that are carried by their grip onto a zone of a drawing: dropping one is the same as pressing it, with the
// zone's fields set. Where the drawing has no zone, cards are only pressed.

class Card {
  constructor(grip, region) {
    this.grip = grip;
    this.region = region;
    this.button = grip.closest("button");
    grip.hidden = false;
    grip.addEventListener("pointerdown", (event) => this.lift(event));
    // A press on the grip alone is a press on the card; one that was carried is not.
    grip.addEventListener("click", (event) => {
      if (this.carried) event.preventDefault();
    });
  }

  lift(event) {
    if (this.button.disabled) return;
    event.preventDefault();
    this.carried = false;
    this.grip.setPointerCapture(event.pointerId);
    const from = { x: event.clientX, y: event.clientY };
    const move = (to) => this.carry(to, from);
    const drop = (last) => {
      this.grip.removeEventListener("pointermove", move);
      this.lay(last);
    };
    this.grip.addEventListener("pointermove", move);
    this.grip.addEventListener("pointerup", drop, { once: true });
    this.grip.addEventListener("pointercancel", drop, { once: true });
  }

  carry(to, from) {
    if (!this.carried) {
      if (Math.hypot(to.clientX - from.x, to.clientY - from.y) < 8) return;
      this.carried = true;
      this.ghost = document.createElement("div");
      this.ghost.className = "ghost";
      this.ghost.textContent = this.button.textContent.trim();
      document.body.append(this.ghost);
      document.body.classList.add("carrying");
      const drawing = this.region.querySelector("svg:has(.zone)");
      const seen = drawing.getBoundingClientRect();
      // The place to drop it must be in sight, and stays there.
      if (seen.top < 0 || seen.bottom > innerHeight) drawing.scrollIntoView({ block: "start", behavior: "instant" });
    }
    this.ghost.style.left = `${to.clientX}px`;
    this.ghost.style.top = `${to.clientY}px`;
    const zone = this.zoneAt(to);
    if (zone !== this.zone) {
      this.zone?.classList.remove("over");
      zone?.classList.add("over");
      this.zone = zone;
    }
  }

  lay(last) {
    // Before anything of the page changes: what lies under the finger is what was seen there.
    const zone = this.zoneAt(last);
    this.ghost?.remove();
    document.body.classList.remove("carrying");
    this.zone?.classList.remove("over");
    this.zone = null;
    if (!this.carried || last.type !== "pointerup") return;
    if (!zone) return;
    const { form } = this.button;
    for (const [name, value] of new URLSearchParams(zone.dataset.drop)) {
      const field = form.elements[name];
      if (field) field.value = value;
    }
    form.requestSubmit(this.button);
  }

  zoneAt(event) {
    return document.elementFromPoint(event.clientX, event.clientY)?.closest(".zone") ?? null;
  }
}

export function carryCards(region) {
  if (!region.querySelector("svg .zone")) return;
  for (const grip of region.querySelectorAll(".grip")) new Card(grip, region);
}
