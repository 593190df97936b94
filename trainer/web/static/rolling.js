// Plays what moves in a bench's drawings from moments and places that the server worked out once. All drawings of a
// region run by one clock, which can be stopped and set by hand; where less motion is asked for it never
// starts by itself.

const still = matchMedia("(prefers-reduced-motion: reduce)");

const keys = (text) => text.split(";").filter(Boolean).map((one) => one.split(",").map(Number));

class Rolling {
  constructor(mark) {
    this.mark = mark;
    this.keys = keys(mark.dataset.track);
    this.next = 0;
  }

  at(moment) {
    const { keys } = this;
    if (this.next > 0 && keys[this.next - 1][0] > moment) this.next = 0;
    while (this.next < keys.length && keys[this.next][0] <= moment) this.next += 1;
    const before = keys[Math.max(this.next - 1, 0)];
    const after = keys[Math.min(this.next, keys.length - 1)];
    const span = after[0] - before[0];
    const share = span > 0 ? Math.max(0, (moment - before[0]) / span) : 0;
    const x = before[1] + share * (after[1] - before[1]);
    const y = before[2] + share * (after[2] - before[2]);
    this.mark.setAttribute("transform", `translate(${x.toFixed(2)} ${y.toFixed(2)})`);
  }
}

class During {
  constructor(mark) {
    this.mark = mark;
    this.spans = keys(mark.dataset.during);
    this.otherwise = "otherwise" in mark.dataset;
    this.seen = null;
  }

  at(moment) {
    const seen = this.spans.some(([on, off]) => on <= moment && moment <= off) !== this.otherwise;
    if (seen !== this.seen) this.mark.classList.toggle("away", !seen);
    this.seen = seen;
  }
}

export class Runner {
  // The runner of a region, or nothing where nothing moves.
  static of(region) {
    const box = region.querySelector(".runner");
    return box ? new Runner(region, box) : null;
  }

  constructor(region, box) {
    this.seconds = Number(box.dataset.seconds);
    this.words = box.dataset;
    this.button = box.querySelector("button");
    this.slider = box.querySelector("input");
    this.output = box.querySelector(".moment");
    this.parts = [
      ...[...region.querySelectorAll(".drawings [data-track]")].map((mark) => new Rolling(mark)),
      ...[...region.querySelectorAll(".drawings [data-during]")].map((mark) => new During(mark)),
    ];
    this.rolls = region.querySelector(".drawings [data-track]");
    box.hidden = false;
    this.button.addEventListener("click", () => (this.frame ? this.stop() : this.play()));
    this.slider.addEventListener("input", () => {
      this.stop();
      this.show(Number(this.slider.value));
    });
    const first = region.querySelector("svg[data-still]");
    this.show(first ? Number(first.dataset.still) : this.seconds);
  }

  // After an act: it starts by itself, unless less motion is asked for.
  playUnlessStill() {
    if (!still.matches) this.play();
  }

  play() {
    let last = null;
    let moment = this.moment >= this.seconds - 0.01 ? 0 : this.moment;
    const tick = (now) => {
      moment += last === null ? 0 : Math.min(now - last, 100) / 1000;
      last = now;
      this.show(Math.min(moment, this.seconds));
      this.frame = moment < this.seconds ? requestAnimationFrame(tick) : null;
      this.label();
    };
    this.frame = requestAnimationFrame(tick);
  }

  stop() {
    if (this.frame) cancelAnimationFrame(this.frame);
    this.frame = null;
    this.label();
  }

  label() {
    const word = this.frame ? this.words.stop : this.words.again;
    if (this.button.textContent !== word) this.button.textContent = word;
  }

  show(moment) {
    this.moment = moment;
    for (const part of this.parts) part.at(moment);
    // Ten times a second is enough for a number and a slider; what rolls moves with every frame.
    const said = `${moment.toFixed(1)} s`;
    if (this.output.textContent === said) return;
    this.output.textContent = said;
    this.slider.value = moment;
  }
}
