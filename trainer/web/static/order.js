// Moves lines of an order list in place; without script each press is a round trip that does the same.

function settle(list) {
  const lines = [...list.children];
  lines.forEach((line, at) => {
    const [up, down] = line.querySelectorAll("button[name=move]");
    up.disabled = at === 0;
    down.disabled = at === lines.length - 1;
  });
}

function move(line, up) {
  const other = up ? line.previousElementSibling : line.nextElementSibling;
  if (!other) return;
  if (up) other.before(line);
  else other.after(line);
}

export function watchOrders(page) {
  page.addEventListener("click", (event) => {
    const button = event.target.closest("[data-order] button[name=move]");
    if (!button) return;
    event.preventDefault();
    const line = button.closest("li");
    move(line, button.value.startsWith("up:"));
    settle(line.parentElement);
    // Focus stays with the line; when it reaches the end its other button takes it.
    (button.disabled ? line.querySelector("button[name=move]:not(:disabled)") : button)?.focus();
  });
}
