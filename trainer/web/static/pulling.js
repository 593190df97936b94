// Numbers that step and handles that are pulled. A handle names a form and its fields; a field's own limits and steps
// hold for both, and letting a handle go sends the form.

const SPANISH = document.documentElement.lang === "es";

function read(input) {
  const found = input.value.replace(",", ".").match(/-?\d+(\.\d+)?|-?\.\d+/);
  return found ? Number(found[0]) : Number(input.dataset.low);
}

// The nearest number of the field's grid.
function snap(input, value) {
  const { low, high, step } = input.dataset;
  const steps = Math.round((value - low) / step);
  const most = Math.floor((high - low) / step + 1e-6);
  return Number(low) + Math.min(Math.max(steps, 0), most) * step;
}

function write(input, value) {
  const text = String(Number(value.toFixed(6)));
  input.value = SPANISH ? text.replace(".", ",") : text;
  input.dispatchEvent(new Event("input", { bubbles: true }));
}

export function stepNumbers(region) {
  for (const button of region.querySelectorAll("[data-add]")) {
    button.hidden = false;
    button.addEventListener("click", () => {
      const input = button.parentElement.querySelector("input");
      write(input, snap(input, read(input) + button.dataset.add * input.dataset.step));
    });
  }
}

class Handle {
  constructor(mark, region) {
    this.mark = mark;
    this.svg = mark.ownerSVGElement;
    this.region = region;
    this.form = region.querySelector(`#act-${CSS.escape(mark.dataset.form)}`);
    this.at = mark.dataset.at.split(",").map(Number);
    this.axes = ["x", "y"].flatMap((axis) => {
      const input = this.form?.elements[mark.dataset[axis]];
      return input ? [{ axis, input, per: Number(mark.dataset[axis === "x" ? "perX" : "perY"]), first: read(input) }] : [];
    });
    if (!this.axes.length) return;
    mark.addEventListener("pointerdown", (event) => this.grab(event));
    // The style `touch-action` does not hold inside a drawing: without this the finger would scroll the page.
    mark.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
    for (const one of this.axes) one.input.addEventListener("input", () => this.follow());
  }

  grab(event) {
    event.preventDefault();
    const { mark } = this;
    mark.setPointerCapture(event.pointerId);
    mark.classList.add("held");
    const scale = this.svg.viewBox.baseVal.width / this.svg.getBoundingClientRect().width;
    const from = { x: event.clientX, y: event.clientY };
    const start = this.axes.map((one) => read(one.input));
    const move = (to) => {
      this.axes.forEach((one, i) => {
        const pulled = ((one.axis === "x" ? to.clientX - from.x : to.clientY - from.y) * scale) / one.per;
        const value = snap(one.input, start[i] + pulled);
        if (value !== read(one.input)) write(one.input, value);
      });
    };
    const drop = (last) => {
      mark.removeEventListener("pointermove", move);
      mark.classList.remove("held");
      if (last.type === "pointerup" && this.axes.some((one, i) => read(one.input) !== start[i])) {
        this.form.requestSubmit(this.form.querySelector("button:not([type=button])"));
      }
    };
    mark.addEventListener("pointermove", move);
    mark.addEventListener("pointerup", drop, { once: true });
    mark.addEventListener("pointercancel", drop, { once: true });
  }

  // The handle, and the ends of lines that are tied to it, go where its numbers are.
  follow() {
    const by = { x: 0, y: 0 };
    for (const one of this.axes) by[one.axis] = (snap(one.input, read(one.input)) - one.first) * one.per;
    this.mark.setAttribute("transform", `translate(${by.x} ${by.y})`);
    const name = this.mark.dataset.name;
    if (!name) return;
    for (const i of [1, 2]) {
      for (const line of this.svg.querySelectorAll(`[data-end-${i}="${CSS.escape(name)}"]`)) {
        line.setAttribute(`x${i}`, this.at[0] + by.x);
        line.setAttribute(`y${i}`, this.at[1] + by.y);
      }
    }
  }
}

export function pullHandles(region) {
  for (const mark of region.querySelectorAll("svg .handle")) new Handle(mark, region);
}
